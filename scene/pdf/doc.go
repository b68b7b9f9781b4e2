// Package pdf draws a scene on a page of a PDF document, arcs as Bézier curves
// and lettering as text in the embedded Go fonts. The same scene and date give
// the same bytes.
package pdf
