// Package firring gives a flat roof its fall: the tapered timbers (firrings) on
// its joists, or the thicknesses of tapered insulation boards, from the falls a
// surveyor chose; and from levels measured on a roof as found, where water
// stands, how deep, and the firrings that cure it.
//
// Plan lengths are metres, heights and thicknesses millimetres. A designed
// surface is one of package plane: planes, so heights along a joist are straight
// between folds and exact. Measured levels are joined by triangles (Delaunay) and
// read piecewise linearly; depressions are filled by priority flood on a grid
// (R. Barnes, C. Lehman and D. Mulla, Computers & Geosciences 62 (2014) 117–127).
//
// It does not choose the fall, check the timber, or know how stiff the deck is:
// a deck that sags under its own pond is a matter for the structural check.
package firring
