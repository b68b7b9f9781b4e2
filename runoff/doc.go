// Package runoff knows how a deck lies and where its water goes: areas, lengths, corners and
// heights; how its fall is made, in firrings or tapered insulation, and what was measured of an
// old one; which part of it drains where, over steps to the decks below, and where water stands
// before it leaves.
//
// It takes decks as surveyed (metres on plan, falls 1:n) and gives areas in m², heights in mm
// above a deck's lowest point. Each of its steps is a pure function of its own input: Geometry,
// then Falls, then Waters of all decks together. How much water a drain can take is a check's
// question, not its.
package runoff
