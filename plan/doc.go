// Package plan is the conductor: from a surveyed job, a catalogue and the day's
// temperatures it makes the Plan that every drawing, document, list and screen is a
// view of. It holds no formula of the trade itself: it maps between the packages
// that do, and registers every figure they return in one ledger.
//
// Make is pure: the same input gives the same plan, byte for byte.
package plan
