// Package moisture answers whether a roof stays dry inside: condensation between the
// layers month by month, ventilation of cold roofs, and whether the deck is dry
// enough to laminate.
//
// Temperatures in °C, vapour pressures in Pa, equivalent air layer thickness sd in m,
// condensate in kg/m². Method: ISO 13788 (steady months, vapour by diffusion only).
// It does not see air leakage, rain, built-in water or capillary flow, and says so.
package moisture
