// Package thermal answers how much heat a roof loses: the U-value by the combined
// method, with fasteners, air gaps and tapered insulation, the thickness needed for
// a target, and the temperature factor of the surface.
//
// Thicknesses in mm, conductivities in W/mK, resistances in m²K/W, U in W/m²K.
// Method: ISO 6946. It does not model cold bridges at upstands by fields: it flags
// them.
package thermal
