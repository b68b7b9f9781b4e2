// Package drainage answers whether the water gets off the roof: how much rain falls
// on what, whether gutter, outlet and pipe carry it, what stands on the roof when an
// outlet blocks, and whether the fall is still there after the deck has bent.
//
// Areas in m², rainfall in l/(s·m²), flows in l/s, gutters and pipes in mm. Method:
// EN 12056-3 with the country's rainfall.
package drainage
