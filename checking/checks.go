package checking

import (
	"context"
	"fmt"
	"math"
	"strings"

	"gelwright/check"
	"gelwright/check/country"
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
	// Guesses are the values that bear on these checks and that nobody has given.
	Guesses  []roof.Default
	Wind     wind.Site
	Geometry steps.Made[runoff.Geometry]
	SetOut   steps.Made[framing.SetOut]
	Framing  steps.Made[framing.Framing]
	Laminate steps.Made[laying.Laminate]
	Waters   steps.Made[runoff.Waters]
	// Origin is where the values of the site, the boards and the deck's base were written;
	// Base is where the last stands in the file.
	Origin roof.Origin
	Base   string
	// SpanTable asks for allowed spans of common joists, where these are still to be chosen: not
	// where they exist, nor where the file gives them, which the check answers.
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
func MakeDeckChecks(ctx context.Context, in DeckChecksInput) (DeckChecks, error) {
	var out DeckChecks
	set, _ := country.For(in.Country)
	fail := func(err error) (DeckChecks, error) { return out, fmt.Errorf("deck %q: %w", in.Deck.Name, err) }
	_, load, err := in.snow(set, snow.Capacity{})
	if err != nil {
		return fail(err)
	}
	bears, err := out.structure(&in, set, withSnow(in.loads(set), load))
	if err != nil {
		return fail(err)
	}
	for _, ask := range []func() error{
		func() error { return out.snow(&in, set, bears) },
		func() error { return out.wind(&in, set) },
		func() error { return out.drainage(&in, set, bears) },
		func() error { out.movement(&in, set); return nil },
	} {
		if err := ctx.Err(); err != nil {
			return fail(err)
		}
		if err := ask(); err != nil {
			return fail(err)
		}
	}
	return out, nil
}

// movement asks how the deck moves, and whether laminate and board joints bear it.
func (out *DeckChecks) movement(in *DeckChecksInput, set country.Set) {
	d, g, thick := &in.Deck, &in.Geometry.Value, in.Laminate.Value.LaminateMM
	ask := movement.Input{From: in.Origin, AreaM2: g.GrossM2, Dark: dark(in.Spec.TopCoat.Colour), Bays: 1, BoardM: in.Spec.Board.WidthM,
		MoistureChange: 4,
		BandageMM:      in.Spec.BandageMM, GapMM: in.Spec.Board.GapMM, ThicknessMM: thick, BandageThicknessMM: 1.0,
		ModulusN: 6000, CrackStrain: 0.012}
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
	Origin                    roof.Origin
}

// MakeDampCheck asks whether the deck is dry enough to laminate.
func MakeDampCheck(_ context.Context, in DampInput) (check.Notes, error) {
	var out check.Notes
	var readings []float64
	for _, r := range in.Readings {
		readings = append(readings, r.Pct)
	}
	out.AnswerOn(in.Deck, in.Several, moisture.CheckDeck(readings, in.BoardMM, in.AirC, in.RelativeHumidityPct, in.Origin))
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
		out.Answer(exposure.CheckCarriage(in.Load, set.Carriage()), "")
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

// CountryInput is where the roof is.
type CountryInput struct{ Country string }

// MakeCountryCheck says by whose rules the checks ask, where they are not those of the place.
func MakeCountryCheck(_ context.Context, in CountryInput) (check.Notes, error) {
	var out check.Notes
	set, _ := country.For(in.Country)
	if r, ok := set.Rules(); ok {
		out.Answer(r, "")
	}
	return out, nil
}

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
	b := in.Job.Spec.Board
	for _, f := range exposure.Safety(b.LengthM, b.WidthM, b.ThicknessMM) {
		out.Figure(f)
	}
	return out, nil
}
