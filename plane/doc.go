// Package plane is the plan geometry of a roof: outlines with straight and arc
// edges, their exact areas and lengths, offsets, clipping into strips, corner
// angles, and falls as planes in three dimensions.
//
// Coordinates are metres, x east and y north, outlines anticlockwise, holes
// clockwise when they are made into polygons. Arcs are exact in areas and
// lengths; where a polygon is needed they become chords that stay within a
// stated tolerance. Boolean operations are those of
// github.com/peterstace/simplefeatures, worked near the origin; each result is
// checked against its inputs and tried again on a fine grid when it does not hold.
//
// A surface is made of planes, heights in metres above the deck's lowest point.
// Water follows the steepest way down; because streamlines on a plane are
// straight, the catchments of edges and outlets are exact polygons.
//
// It knows nothing of what an edge is for: whether water leaves over it, or how
// far a board stays away from it, is told by the caller.
package plane
