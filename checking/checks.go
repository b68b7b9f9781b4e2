package checking

import (
	"context"
	"fmt"
	"math"
	"strings"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/check/deck"
	"gelwright/check/detailing"
	"gelwright/check/exposure"
	"gelwright/check/moisture"
	"gelwright/check/movement"
	"gelwright/check/snow"
	"gelwright/check/wind"
	"gelwright/framing"
	"gelwright/laying"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/settingout"
	"gelwright/steps"
	"gelwright/working"
)

// boardDensityKGPerM3 is the characteristic density of OSB/3 (EN 12369-1, from memory).
const boardDensityKGPerM3 = 550

// DeckChecksInput is a deck worked out, and what it must stand.
type DeckChecksInput struct {
	Deck roof.Deck
	// Index of the deck in the roof, whose decks lie at Levels; Several says that it has more.
	Index   int
	Levels  []Level
	Several bool
	Spec    roof.Spec
	Site    roof.Site
	Use     roof.Use
	Country string
	// Guesses are values of the joists that nobody has measured.
	Guesses  []roof.Default
	Wind     wind.Site
	Geometry steps.Made[runoff.Geometry]
	SetOut   steps.Made[framing.SetOut]
	Framing  steps.Made[framing.Framing]
	Laminate steps.Made[laying.Laminate]
	Waters   steps.Made[runoff.Waters]
	// SpanTable asks for allowed spans of common joists.
	SpanTable bool
}

// DeckChecks is what the design checks say of a deck, weather and heat apart.
type DeckChecks struct {
	Spans          *Spans
	Zones          []WindZone
	Blocked        *Blocked
	JointsProposed [][2]plane.Point
	check.Notes
}

// MakeDeckChecks asks whether a deck carries, stays on, drains, and moves without cracks.
func MakeDeckChecks(_ context.Context, in DeckChecksInput) (DeckChecks, error) {
	var out DeckChecks
	set, _ := country.For(in.Country)
	fail := func(err error) (DeckChecks, error) { return out, fmt.Errorf("deck %q: %w", in.Deck.Name, err) }
	_, load, err := in.snow(set, 0)
	if err != nil {
		return fail(err)
	}
	sag, span, capacity, err := out.structure(&in, set, withSnow(in.loads(set), load))
	if err != nil {
		return fail(err)
	}
	snowy, _, err := in.snow(set, capacity)
	if err != nil {
		return fail(err)
	}
	out.AnswerOn(in.Deck.Name, in.Several, snowy)
	if err := out.wind(&in, set); err != nil {
		return fail(err)
	}
	if err := out.drainage(&in, set, sag, span); err != nil {
		return fail(err)
	}
	out.movement(&in, set)
	return out, nil
}

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
	l := deck.Loads{DeadKPa: dead, VariableKPa: set.RoofImposed.Value, PointKN: set.RoofPoint.Value, Short: true}
	if in.Use.Access == "balcony" {
		l.VariableKPa, l.PointKN, l.Short, l.Psi2 = set.BalconyLoad.Value, 2.0, false, 0.3
	}
	return l
}

// structure checks boards and joists; it returns the sag of the deck, mm, over a
// span, m, and the variable load the joists can carry.
func (out *DeckChecks) structure(in *DeckChecksInput, set country.Set, l deck.Loads) (sagMM, spanM, capacityKPa float64, err error) {
	name, b := in.Deck.Name, in.Deck.Base
	if b.Kind != "joists" {
		out.AnswerOn(name, in.Several, check.Result{Key: "deck.boards", Title: "Will the boards bounce or break between the joists?",
			Verdict: check.NotApplicable,
			Finding: "the new boards lie on " + b.Kind, Clause: runoff.Derived})
		return 0, 0, 0, nil
	}
	s := in.Spec.Board
	r, err := deck.CheckBoard(s.Material, s.ThicknessMM, b.JoistSpacingMM, l, set)
	if err != nil {
		r.Verdict, r.Finding = check.Ask, err.Error()
	}
	out.AnswerOn(name, in.Several, r)
	if b.JoistSpanM <= 0 || b.JoistDepthMM <= 0 || b.TimberClass == "" {
		out.AnswerOn(name, in.Several, check.Result{Key: "deck.joists", Title: "Are the joists strong and stiff enough?", Verdict: check.Ask,
			Finding: "the joists' section, span and strength class are not given", Clause: runoff.Derived,
			CallFor: "whoever can see the joists"})
		return 0, 0, 0, nil
	}
	j := deck.Joist{WidthMM: b.JoistWidthMM, DepthMM: b.JoistDepthMM, SpanMM: b.JoistSpanM * 1000, SpacingMM: b.JoistSpacingMM,
		Class: b.TimberClass}
	r, err = deck.CheckJoist(j, l, set, in.Use.Access == "balcony")
	if err != nil {
		r.Verdict, r.Finding = check.Ask, err.Error()
		out.AnswerOn(name, in.Several, r)
		return 0, 0, 0, nil
	}
	in.assumed(&r)
	out.AnswerOn(name, in.Several, r)
	// Water runs over what the dead load leaves: its final deflection.
	own := l
	own.VariableKPa, own.PointKN = 0, 0
	dead, err := j.Solve(own, set)
	if err != nil {
		return 0, 0, 0, err
	}
	if in.SpanTable {
		if out.Spans, err = spans(b, l, set); err != nil {
			return 0, 0, 0, err
		}
	}
	capacityKPa, err = j.VariableCapacity(l, set)
	return dead.FinalMM, b.JoistSpanM, capacityKPa, err
}

// GuessedJoists are the values of joists that were taken because the file is silent.
func GuessedJoists(job *roof.Job) []roof.Default {
	var out []roof.Default
	for _, f := range job.Defaults {
		if strings.Contains(f.Field, "base.joist_") || strings.Contains(f.Field, "timber_class") {
			out = append(out, f)
		}
	}
	return out
}

// assumed turns a pass on guessed joists into a caution.
func (in *DeckChecksInput) assumed(r *check.Result) {
	for _, f := range in.Guesses {
		r.Flags = append(r.Flags, f.Field+" = "+f.Value+" is a guess: measure it")
		if r.Verdict == check.Pass {
			r.Verdict = check.Caution
		}
		if r.Verdict == check.Fail {
			r.Verdict, r.CallFor = check.Ask, "whoever can see the joists; then a structural engineer"
			r.Finding += " - but the joists are a guess"
		}
	}
}

// withSnow puts the greater of snow and imposed load on the boards and joists; a drift is
// taken as if it lay everywhere, on the safe side.
func withSnow(l deck.Loads, snowy *working.Figure) deck.Loads {
	if snowy != nil && snowy.Value > l.VariableKPa {
		l.VariableKPa, l.Short, l.Psi2 = snowy.Value, true, 0
	}
	return l
}

// snow checks the joists' capacity against flat load and drifts; with the result comes the
// governing load, nil where nobody knows it.
func (in *DeckChecksInput) snow(set country.Set, capacityKPa float64) (check.Result, *working.Figure, error) {
	d := &in.Deck
	ask := snow.Input{Set: set, AltitudeM: in.Site.AltitudeM, GroundKPa: in.Site.GroundSnowKPa, Zone: in.Site.SnowZone,
		CapacityKPa: capacityKPa}
	low, high := d.Outline.Bounds()
	ask.WidthM = math.Max(high.X-low.X, high.Y-low.Y)
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
	return snow.Check(ask)
}

// movement asks how the deck moves, and whether laminate and board joints bear it.
func (out *DeckChecks) movement(in *DeckChecksInput, set country.Set) {
	d, g, thick := &in.Deck, &in.Geometry.Value, in.Laminate.Value.LaminateMM
	ask := movement.Input{AreaM2: g.GrossM2, Dark: dark(in.Spec.TopCoat.Colour), Bays: 1, BoardM: in.Spec.Board.WidthM, MoistureChange: 4,
		BandageMM: in.Spec.BandageMM, GapMM: in.Spec.Board.GapMM, ThicknessMM: thick, BandageThicknessMM: 1.0, ModulusN: 6000, CrackStrain: 0.012}
	if thick > 0 {
		ask.ModulusN = in.Laminate.Value.StiffnessNPerMM / thick
	}
	low, high := d.Outline.Bounds()
	ask.LongestM = math.Max(high.X-low.X, high.Y-low.Y)
	if fields := betweenJoints(g.Net, in.SetOut.Value.Upper.MovementJoints); len(fields) > 1 {
		ask.Bays, ask.AreaM2, ask.LongestM = len(fields), 0, 0
		for _, b := range fields {
			// A field moves as far as it reaches; a rooflight in it takes nothing off.
			ask.AreaM2 = math.Max(ask.AreaM2, plane.Polygon{Outer: b.Outer}.Area())
			l, h := b.Bounds()
			ask.LongestM = math.Max(ask.LongestM, math.Max(h.X-l.X, h.Y-l.Y))
		}
	}
	for _, c := range g.Corners {
		if c.Kind == plane.Internal {
			ask.ReentrantCorners++
		}
	}
	r := movement.CheckJoints(ask, set)
	if r.Verdict == check.Fail {
		out.JointsProposed = proposeJoints(d, g.Corners, ask.Dark, set.LargestField.Value)
		if len(r.Remedies) > 0 {
			r.Remedies[0].Value = jointsText(append(append([][2]plane.Point(nil), d.MovementJoints...), out.JointsProposed...))
			r.Remedies[0].Text += "; proposed places are drawn"
		}
	}
	out.AnswerOn(d.Name, in.Several, r)
	if !in.Spec.Board.TongueAndGroove {
		out.AnswerOn(d.Name, in.Several, movement.CheckBoardJoints(ask))
	}
}

// betweenJoints parts a deck at the middle lines of its movement joints.
func betweenJoints(net []plane.Polygon, joints []settingout.MovementJoint) []plane.Polygon {
	parts := net
	for _, j := range joints {
		j.FieldMM = 0.5
		next, err := plane.Difference(parts, []plane.Polygon{{Outer: j.Strip()}})
		if err != nil {
			return nil
		}
		parts = next
	}
	return parts
}

// dark reports whether a colour runs hot in the sun.
func dark(colour string) bool {
	c := strings.ToLower(colour)
	for _, w := range []string{"dark", "black", "anthracite", "slate", "charcoal"} {
		if strings.Contains(c, w) {
			return true
		}
	}
	return false
}

// DampInput is the readings of a deck, and the air of the day.
type DampInput struct {
	Deck                      string
	Several                   bool
	Readings                  []roof.Moisture
	BoardMM                   float64
	AirC, RelativeHumidityPct float64
}

// MakeDampCheck asks whether the deck is dry enough to laminate.
func MakeDampCheck(_ context.Context, in DampInput) (check.Notes, error) {
	var out check.Notes
	var readings []float64
	for _, r := range in.Readings {
		readings = append(readings, r.Pct)
	}
	out.AnswerOn(in.Deck, in.Several, moisture.CheckDeck(readings, in.BoardMM, in.AirC, in.RelativeHumidityPct))
	return out, nil
}

// ExposureInput is what is laid and where.
type ExposureInput struct {
	Country string
	Work    exposure.Work
	// Load is the transport load of the order, nil where nothing dangerous is carried.
	Load *working.Figure
}

// MakeExposureChecks asks after the air, the neighbours and the van.
func MakeExposureChecks(_ context.Context, in ExposureInput) (check.Notes, error) {
	var out check.Notes
	set, _ := country.For(in.Country)
	r, err := exposure.CheckWorkers(in.Work, set)
	if err != nil {
		return out, err
	}
	out.Answer(r, "")
	out.Answer(exposure.CheckNeighbours(in.Work, 0, false), "")
	if in.Load != nil {
		out.Answer(exposure.CheckCarriage(in.Load, european(in.Country)), "")
	}
	return out, nil
}

// RolledAtOnceM2 is what is being rolled at one time: what one bucket covers, and where
// none can be mixed 3 m² or the roof.
func RolledAtOnceM2(passes []laying.Pass, netM2 float64) float64 {
	most := 0.0
	for _, p := range passes {
		if p.Plan == nil {
			continue
		}
		for _, x := range p.Plan.Mixes {
			most = math.Max(most, x.AreaM2)
		}
	}
	if most == 0 {
		return math.Min(3, netM2)
	}
	return most
}

// RulesInput is a job as surveyed.
type RulesInput struct{ Job roof.Job }

// MakeOverlayCheck asks whether the old roof may be laid over, where that is meant.
func MakeOverlayCheck(_ context.Context, in RulesInput) (check.Notes, error) {
	var out check.Notes
	if r, asked := detailing.CheckOverlay(in.Job); asked {
		out.Answer(r, "")
	}
	return out, nil
}

// MakeRuleChecks asks the surveyor's rules of detailing.
func MakeRuleChecks(_ context.Context, in RulesInput) (check.Notes, error) {
	var out check.Notes
	set, _ := country.For(in.Job.Site.Country)
	for _, r := range detailing.Rules(in.Job, set) {
		out.Answer(r, "")
	}
	return out, nil
}

// european reports whether the carriage rules of the European agreement apply.
func european(code string) bool {
	switch strings.SplitN(strings.ToUpper(code), "-", 2)[0] {
	case "US", "CA", "AU", "NZ":
		return false
	}
	return true
}
