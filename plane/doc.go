// Package plane is the plan geometry of a roof: outlines with straight and arc
// edges, their exact areas and lengths, offsets, clipping into strips, corner
// angles, and falls as planes in three dimensions.
//
// Coordinates are metres, x east and y north, outlines anticlockwise, holes
// clockwise when they are made into polygons. Arcs are exact in areas and
// lengths; where a polygon is needed they become chords that stay within a
// stated tolerance. Boolean operations are those of
// github.com/peterstace/simplefeatures; this package stays thin above it.
package plane
