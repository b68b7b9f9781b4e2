// Package roof is the survey of a roof and what it is to be made of: decks with
// their outlines, a condition for every edge, openings, penetrations and falls,
// the ground the deck lies on, the build-up and the crew's way of working.
//
// It holds checked values in metres (plan), millimetres (thickness, height, lap),
// g/m² (mat), kg and litres (resin) and °C. Reading a file into it is the work of
// package rooffile; what a value may be is decided here, by Validate.
package roof
