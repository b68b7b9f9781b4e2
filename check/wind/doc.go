// Package wind answers whether the boards, the insulation and the edge trims will
// stay on in a gale: peak velocity pressure, the zones of a flat roof, the uplift
// in each, and the fasteners or adhesive that it takes.
//
// Heights and lengths are in metres, velocities in m/s, pressures in Pa inside and
// kN/m² where printed. Method: EN 1991-1-4:2005, clause 4 and 7.2.3, with the set
// of the country (package country). It does not cover hills that need an orography
// factor, tall slender buildings (csCd other than 1), or canopies; it says so.
package wind
