// Package drawing turns a roof into sheets: the plan with its edges, openings,
// falls and dimensions, the edges in section, and the machinery that the set-out
// plans share (frame, title block, scale, key, numbered pieces).
//
// It takes a roof.Job (metres and millimetres) and gives scenes in paper
// millimetres. Sheets are A4 with the frame of ISO 5457 and a title block
// with the fields of ISO 7200; scales are those of ISO 5455; lines, lettering and
// dimensions follow ISO 128-2, ISO 3098-1 and ISO 129-1. Everything reads in black
// and white: an edge's condition is a word, a line type and a number of ticks, a
// material is a hatch, a piece is a number.
//
// It calculates nothing but what a drawing needs to be placed: heights from the
// falls, and where lettering finds room.
package drawing
