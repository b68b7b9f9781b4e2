// Package tracing takes the outline of a roof from what others drew or measured: a drawing exchange file (DXF, text form: LINE,
// LWPOLYLINE and POLYLINE with bulges, ARC, CIRCLE, INSERT), GeoJSON (RFC 7946, or projected metres) and lists of points.
//
// Lines that meet within a millimetre are chained to closed outlines; an outline within another is an opening in it. What is not
// understood is named with its line in the file and left out, never guessed. Outlines are metres, with the lowest and leftmost
// corner of all at (0, 0), to a tenth of a millimetre. Nothing here reads files.
package tracing
