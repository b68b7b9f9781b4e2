// Package settingout says where each board, trim, corner, bandage strip and mat
// strip of a deck goes, piece by piece, and from which stock length, sheet or
// roll each piece is cut.
//
// It takes a surveyed deck and a specification (package roof) and gives a
// SetOut: numbered pieces with their shape on plan, the joints between boards,
// noggins, fixings, the cut lists with what is wasted and how much of that is
// proven unavoidable, and the choices made beside those turned down. Plan
// dimensions are metres, pieces are cut in whole millimetres.
//
// Boards are set out in rows across the joists, their joints chosen row by row
// by a shortest path under stagger, bearing and least-piece rules, for every
// offset of the rows at which the cut list can change and for rows parted at corners of
// the deck; trims are cut by the
// exact one-dimensional cutter over all edges of one kind; mat is set out in
// strips shingled with the flow of water. Package settingout/proof checks the
// result knowing nothing of how it was made.
//
// MakeFrom takes the lengths and rolls that are sold and what the firm has in hand
// (Supply), which is cut first and not bought, and the wind zones by which fixings
// are counted.
//
// It does not decide what the build-up is, how much resin the pieces take
// (package quantity) or in which buckets it goes down (package mixing).
package settingout
