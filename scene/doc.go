// Package scene is a vector drawing in paper millimetres: shapes with holes,
// lines and arcs, lettering, dimensions and hatches, each of which may bear an
// identity, a class and a title, so that a page can tap a piece and a screen
// reader can name it.
//
// The origin is the sheet's lower left corner, x to the right and y up. Line
// widths are those of ISO 128-2, lettering heights those of ISO 3098-1 (height of
// the capitals), dimensions follow ISO 129-1 with oblique strokes as terminators.
// Hatches are cut into lines here, once, so that every format shows the same.
//
// The scene knows no file format; the packages svg, pdf, png and dxf below it
// each write one. Same scene, same bytes.
package scene
