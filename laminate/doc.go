// Package laminate is the arithmetic of glass and resin: what a zone of roof takes
// in glass, resin and top coat, how thick the cured laminate is, and how strong
// and stiff.
//
// Inputs are areas in m², mats in g/m² and the resin to glass ratio by mass;
// results are kg, mm, N/mm and N/mm², each a working.Figure with its formula and
// source. A laminate is taken as fully wetted and free of voids unless a void
// share is given; resin that the deck drinks adds to what is bought and mixed but
// not to the thickness. Nothing here knows pieces, packs or the weather.
package laminate
