package plan

import (
	"gelwright/checking"
	"gelwright/framing"
	"gelwright/laying"
	"gelwright/method"
	"gelwright/quantity/takeoff"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/settingout"

	"gelwright/cure"
)

// What a plan holds of the rooms that make it.
type (
	EdgeSum    = runoff.EdgeSum
	Firring    = runoff.Firring
	Levels     = runoff.Levels
	Water      = runoff.Water
	Drain      = runoff.Drain
	Pool       = runoff.Pool
	Renewal    = framing.Renewal
	Pass       = laying.Pass
	WetPass    = laying.WetPass
	WetMark    = laying.WetMark
	WetBucket  = laying.WetBucket
	DoseCard   = laying.DoseCard
	DoseRow    = laying.DoseRow
	DoseAnswer = laying.DoseAnswer
	Blocked    = checking.Blocked
	Spans      = checking.Spans
	WindZone   = checking.WindZone
	Step       = method.Step
	Stock      = takeoff.Stock
	Offcut     = takeoff.Offcut
)

// CuttingIn is the kind of the pass in which the edges of a coat are cut in.
const CuttingIn = laying.CuttingIn

// Lasting prints minutes as a person says them: see laying.Lasting.
func Lasting(min float64) string { return laying.Lasting(min) }

// LastingRange prints a range in one unit: see laying.LastingRange.
func LastingRange(r cure.Range) string { return laying.LastingRange(r) }

// Trimmer reports whether a timber trims an opening: see framing.Trimmer.
func Trimmer(p settingout.Piece) bool { return framing.Trimmer(p) }

// DetailName is what the buckets call the work that a piece belongs to: see laying.DetailName.
func DetailName(p settingout.Piece, deck *roof.Deck) string { return laying.DetailName(p, deck) }
