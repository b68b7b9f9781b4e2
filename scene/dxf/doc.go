// Package dxf writes a scene for drawing programs in the R12 exchange format
// (AC1009), in real millimetres: paper lengths times the scale. Straight lines
// become LINE, chains POLYLINE with bulges, arcs ARC, circles CIRCLE, lettering
// TEXT, each on its layer. Fills are left out; hatches are lines already.
//
// R12 itself has no unit in its header; $INSUNITS is written all the same, since
// later readers take it.
package dxf
