// Package proof checks a set-out against its deck and specification. It takes
// the pieces and their cut lists only and works out joints, cover, laps and
// bearings anew from their shapes, with geometry of its own, so that a mistake of
// the planner is not repeated by its checker.
//
// It answers with a list of faults, empty when the set-out holds: what, where,
// by how much. Lengths in metres unless named otherwise.
package proof
