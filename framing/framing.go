package framing

import (
	"context"
	"math"
	"slices"

	"gelwright/check/country"
	"gelwright/check/wind"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/settingout"
	"gelwright/steps"
)

// FramingInput is a deck set out, and what its screws must hold.
type FramingInput struct {
	Deck     roof.Deck
	Board    roof.Board
	Geometry steps.Made[runoff.Geometry]
	Falls    steps.Made[runoff.Falls]
	SetOut   steps.Made[SetOut]
	Wind     wind.Site
	Country  string
	// ThroughInsulation: the boards lie on insulation; TwoDecks with a structural deck below.
	ThroughInsulation, TwoDecks bool
}

// Framing is how the boards of a deck are held down.
type Framing struct {
	// Upper is the set-out of the deck with the screws of its boards.
	Upper settingout.SetOut
	// Holds is what holds the boards down, zone by zone.
	Holds wind.Fixing
	// FirringCentresM is how far apart firrings are fixed to their joists; 0 without firrings.
	FirringCentresM float64
}

// MakeFraming counts what holds the boards of a deck down.
func MakeFraming(ctx context.Context, in FramingInput) (Framing, error) {
	set, _ := country.For(in.Country)
	out := Framing{Upper: in.SetOut.Value.Upper}
	zones, net := in.SetOut.Value.Given.Zones, in.Geometry.Value.Net
	if in.ThroughInsulation {
		// What the set-out holds is kept for others: only a copy gets screws and notes.
		out.Upper.Pieces, out.Upper.Fixings = slices.Clone(out.Upper.Pieces), slices.Clone(out.Upper.Fixings)
		out.Upper.Findings = slices.Clone(out.Upper.Findings)
		lines := screwLines(&out.Upper, net)
		if in.TwoDecks {
			lines = in.SetOut.Value.Structural.Supports
		}
		perM2, err := uplifts(in.Wind, set, in.Board, zones)
		if err != nil {
			return out, err
		}
		h := holding{deck: in.Deck.Name, joists: lines, intoDeck: !in.TwoDecks, board: in.Board, zones: zones, perM2: perM2}
		if err := h.screws(ctx, &out.Upper); err != nil {
			return out, err
		}
	}
	out.Holds = boardFixing(ctx, in, &out.Upper)
	if len(in.Falls.Value.Firrings) > 0 {
		var err error
		if out.FirringCentresM, err = firringCentresM(in.Wind, set, out.Holds, in.Deck.Base); err != nil {
			return out, err
		}
	}
	return out, ctx.Err()
}

// boardFixing is what holds the boards down, zone by zone, as they were set out. Over an
// old deck only the screws along the joists count: what ends in the old deck holds nothing.
func boardFixing(ctx context.Context, in FramingInput, upper *settingout.SetOut) wind.Fixing {
	b, netM2 := in.Board, in.Geometry.Value.NetM2
	s := settingout.SetOut{Pieces: upper.Pieces, Fixings: upper.Fixings, FixingZones: upper.FixingZones}
	if in.Deck.Base.Kind == "sound deck" && !in.ThroughInsulation {
		s.Fixings = slices.Clone(s.Fixings)
		joistScrews(ctx, &s, screwLines(upper, in.Geometry.Value.Net), b, in.SetOut.Value.Given.Zones)
	}
	count, perM2 := 0, 0.0
	for _, f := range s.Fixings {
		count += f.Edge + f.Field
	}
	if netM2 > 0 {
		perM2 = float64(count) / netM2
	}
	fixing := wind.Fixing{Layer: "boards", ResistanceN: assumedScrewN, TributaryM2: 1, DeadKPa: b.ThicknessMM * 0.0064,
		PerM2: [4]float64{perM2, perM2, perM2, perM2}}
	for i, z := range s.FixingZones {
		if i < len(fixing.PerM2) && z.AreaM2 >= leastZoneM2 && z.Count > 0 {
			fixing.PerM2[i] = z.PerM2
		}
	}
	return fixing
}

// firringCentresM is how far apart a deck's firrings are fixed to its joists, m: every 600 mm,
// or closer where the uplift of the roof, which all passes through them, asks for it.
func firringCentresM(site wind.Site, set country.Set, holds wind.Fixing, base roof.Base) (float64, error) {
	_, _, demands, err := wind.Check(site, set, holds)
	if err != nil {
		return 0, err
	}
	centres := firringFixM
	for _, x := range demands {
		if perM := x.Needed * base.JoistSpacingMM / 1000; perM > 0 {
			centres = math.Min(centres, math.Floor(1/perM/0.05+1e-9)*0.05)
		}
	}
	return math.Max(centres, 0.1), nil
}
