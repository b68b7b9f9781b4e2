package checking

import (
	"errors"
	"math"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/check/deck"
	"gelwright/check/snow"
	"gelwright/roof"
	"gelwright/runoff"
)

// loads gives what the deck carries, from the build-up and the use.
func (in *DeckChecksInput) loads(set country.Set) deck.Loads {
	s := in.Spec
	// Board 640 kg/m³, laminate and coat about 2.5 kg/m², insulation 35 kg/m³.
	dead := s.Board.ThicknessMM*0.0064 + 0.025
	if s.Insulation != nil {
		dead += s.Insulation.ThicknessMM * 0.00035
	}
	if s.Build == "warm" {
		dead += 0.115 // the structural deck below the insulation
	}
	if in.Use.Below == "heated" || in.Use.Below == "wet room" {
		dead += 0.15 // ceiling and services
	}
	l := deck.Loads{DeadKPa: dead, VariableKPa: set.RoofImposed.Value, PointKN: set.RoofPoint.Value, Short: true,
		From: in.Origin, Base: in.Base}
	if in.Use.Access == "balcony" {
		l.VariableKPa, l.PointKN, l.Short, l.Psi2 = set.BalconyLoad.Value, 2.0, false, 0.3
	}
	return l
}

// bearing is what the joists of a deck do: how far they sag under what lies on them for good,
// mm, over a span, m, and what snow they carry, as surveyed and at the kindest that a guess may turn out.
type bearing struct {
	sagMM, spanM float64
	carries      snow.Capacity
	kindest      snow.Capacity
}

// structure checks boards and joists.
func (out *DeckChecks) structure(in *DeckChecksInput, set country.Set, l deck.Loads) (bearing, error) {
	name, b := in.Deck.Name, in.Deck.Base
	if b.Kind != "joists" {
		out.AnswerOn(name, in.Several, check.Result{Key: "deck.boards", Title: "Will the boards bounce or break between the joists?",
			Verdict: check.NotApplicable,
			Finding: "the new boards lie on " + b.Kind, Clause: runoff.Derived})
		return bearing{carries: snow.Unknown("what bears the " + b.Kind + " is not surveyed")}, nil
	}
	s := in.Spec.Board
	r, err := deck.CheckBoard(s.Material, s.ThicknessMM, b.JoistSpacingMM, l, set)
	if err != nil {
		r.Verdict, r.Finding = check.Ask, err.Error()
	}
	in.soften(&r, func() bool {
		kind := kindJoist(deck.Joist{SpacingMM: b.JoistSpacingMM}, in.guessed(r.Key))
		kinder, err := deck.CheckBoard(s.Material, s.ThicknessMM, kind.SpacingMM, l, set)
		return err == nil && kinder.Verdict != check.Fail
	})
	out.AnswerOn(name, in.Several, r)
	if b.JoistSpanM <= 0 || b.JoistDepthMM <= 0 || b.TimberClass == "" {
		const why = "the joists' section, span and strength class are not given"
		out.AnswerOn(name, in.Several, check.Result{Key: joistsKey, Title: "Are the joists strong and stiff enough?", Verdict: check.Ask,
			Finding: why, Clause: runoff.Derived, CallFor: "whoever can see the joists"})
		return bearing{carries: snow.Unknown(why)}, nil
	}
	return out.joists(in, set, l)
}

// joists checks joists whose section, span and class are known or guessed.
func (out *DeckChecks) joists(in *DeckChecksInput, set country.Set, l deck.Loads) (bearing, error) {
	name, b := in.Deck.Name, in.Deck.Base
	j := deck.Joist{WidthMM: b.JoistWidthMM, DepthMM: b.JoistDepthMM, ClearMM: b.JoistSpanM * 1000, SpacingMM: b.JoistSpacingMM,
		Class: b.TimberClass, Guessed: in.guessedInputs()}
	kind := kindJoist(j, in.guessed(joistsKey))
	r, err := deck.CheckJoist(j, l, set, in.Use.Access == "balcony")
	if err != nil {
		r.Verdict, r.Finding = check.Ask, err.Error()
		out.AnswerOn(name, in.Several, r)
		return bearing{carries: snow.Unknown(err.Error())}, nil
	}
	in.soften(&r, func() bool {
		kinder, err := deck.CheckJoist(kind, l, set, false)
		return err == nil && kinder.Verdict != check.Fail
	})
	out.AnswerOn(name, in.Several, r)
	// Water runs over what the dead load leaves: its final deflection.
	own := l
	own.VariableKPa, own.PointKN = 0, 0
	dead, err := j.Solve(own, set)
	if err != nil {
		return bearing{}, err
	}
	if in.SpanTable && len(in.guessed(joistsKey)) > 0 {
		if out.Spans, err = spans(b, l, set); err != nil {
			return bearing{}, err
		}
		for _, row := range out.Spans.Rows {
			for _, f := range row.Figures {
				out.Figure(f)
			}
		}
	}
	capacity, err := j.VariableCapacity(l, set)
	kindest, err2 := kind.VariableCapacity(l, set)
	once, err3 := j.ExceptionalCapacity(l, set)
	kindestOnce, err4 := kind.ExceptionalCapacity(l, set)
	return bearing{sagMM: dead.FinalMM, spanM: j.SpanMM() / 1000, carries: snow.Carries(capacity, once),
		kindest: snow.Carries(kindest, kindestOnce)}, errors.Join(err, err2, err3, err4)
}

// withSnow puts the greater of snow and imposed load on the boards and joists, and exceptional snow
// beside it; a drift is taken as if it lay everywhere, on the safe side.
func withSnow(l deck.Loads, snowy snow.Loads) deck.Loads {
	if s := snowy.Persistent; s != nil && s.Value > l.VariableKPa {
		l.VariableKPa, l.Short, l.Psi2 = s.Value, true, 0
	}
	if s := snowy.Exceptional; s != nil {
		l.ExceptionalKPa = s.Value
	}
	return l
}

// snow asks whether the joists carry the snow.
func (out *DeckChecks) snow(in *DeckChecksInput, set country.Set, bears bearing) error {
	r, _, err := in.snow(set, bears.carries)
	if err != nil {
		return err
	}
	in.soften(&r, func() bool {
		kinder, _, err := in.snow(set, bears.kindest)
		return err == nil && kinder.Verdict != check.Fail
	})
	out.AnswerOn(in.Deck.Name, in.Several, r)
	return nil
}

// snow checks the joists' capacity against flat load and drifts; with the result come the
// governing loads.
func (in *DeckChecksInput) snow(set country.Set, carries snow.Capacity) (check.Result, snow.Loads, error) {
	d := &in.Deck
	ask := snow.Input{Set: set, AltitudeM: in.Site.AltitudeM, GroundKPa: in.Site.GroundSnowKPa, Zone: in.Site.SnowZone,
		ExceptionalFactor: in.Site.ExceptionalSnowFactor, Drifts: in.Site.ExceptionalDrifts, Carries: carries, From: in.Origin}
	low, high := d.Outline.Bounds()
	ask.LongM = math.Max(high.X-low.X, high.Y-low.Y)
	ask.WidthM = ask.LongM
	for i, e := range d.Edges {
		switch e.Condition {
		case roof.Wall, roof.StepUp:
			// How far the wall rises is seldom surveyed: one storey.
			ask.WallHeightM = math.Max(ask.WallHeightM, wallRiseM(d, e, in.Levels))
			ask.WidthM = away(d, i)
			if ask.WallHeightM == oneStoreyM {
				ask.WallWhy = wallWhy(d, in.Levels)
			}
		case roof.Parapet:
			ask.ParapetM = math.Max(ask.ParapetM, e.HeightMM/1000)
		}
	}
	for _, o := range d.Openings {
		if o.Kind == "rooflight" || o.Kind == "hatch" {
			ask.KerbM = math.Max(ask.KerbM, o.KerbMM/1000)
		}
	}
	return snow.Check(ask)
}
