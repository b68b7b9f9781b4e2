package plan

import (
	"fmt"
	"math"
	"strings"

	"gelwright/check"
	"gelwright/check/deck"
	"gelwright/check/detailing"
	"gelwright/check/exposure"
	"gelwright/check/moisture"
	"gelwright/check/movement"
	"gelwright/check/snow"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/working"
)

// cloutMM is the spacing of clouts through a trim's flange (common practice: 150 to 200 mm).
const cloutMM = 175

// boardDensityKGPerM3 is the characteristic density of OSB/3 (EN 12369-1, from memory).
const boardDensityKGPerM3 = 550

// checks runs every design check on every deck.
func (m *maker) checks() error {
	if r, asked := detailing.CheckOverlay(*m.job); asked {
		m.addCheck(r, "")
	}
	loads := m.loads()
	for i := range m.job.Decks {
		d := &m.job.Decks[i]
		out := &m.plan.Decks[i]
		snowy, err := m.snowOn(d, 0)
		if err != nil {
			return fmt.Errorf("deck %q: %w", d.Name, err)
		}
		sag, span, capacity, err := m.structure(d, withSnow(loads, snowy))
		if err != nil {
			return fmt.Errorf("deck %q: %w", d.Name, err)
		}
		if err := m.snow(d, capacity); err != nil {
			return fmt.Errorf("deck %q: %w", d.Name, err)
		}
		if err := m.wind(d, out); err != nil {
			return fmt.Errorf("deck %q: %w", d.Name, err)
		}
		m.drainage(i, sag, span)
		if err := m.blocked(out); err != nil {
			return fmt.Errorf("deck %q: %w", d.Name, err)
		}
		m.movement(d, out)
		m.moistureOf(d)
	}
	if err := m.heat(); err != nil {
		return err
	}
	if err := m.exposure(); err != nil {
		return err
	}
	for _, r := range detailing.Rules(*m.job, m.plan.Set) {
		m.addCheck(r, "")
	}
	return nil
}

// loads gives what the deck carries, from the build-up and the use.
func (m *maker) loads() deck.Loads {
	s, set := m.job.Spec, m.plan.Set
	// Board 640 kg/m³, laminate and coat about 2.5 kg/m², insulation 35 kg/m³.
	dead := s.Board.ThicknessMM*0.0064 + 0.025
	if s.Insulation != nil {
		dead += s.Insulation.ThicknessMM * 0.00035
	}
	if s.Build == "warm" {
		dead += 0.115 // the structural deck below the insulation
	}
	if m.job.Use.Below == "heated" || m.job.Use.Below == "wet room" {
		dead += 0.15 // ceiling and services
	}
	l := deck.Loads{DeadKPa: dead, VariableKPa: set.RoofImposed.Value, PointKN: set.RoofPoint.Value, Short: true}
	if m.job.Use.Access == "balcony" {
		l.VariableKPa, l.PointKN, l.Short, l.Psi2 = set.BalconyLoad.Value, 2.0, false, 0.3
	}
	return l
}

// structure checks boards and joists; it returns the sag of the deck, mm, over a
// span, m, and the variable load the joists can carry.
func (m *maker) structure(d *roof.Deck, l deck.Loads) (sagMM, spanM, capacityKPa float64, err error) {
	b := d.Base
	if b.Kind != "joists" {
		m.addCheck(check.Result{Key: "deck.boards", Title: "Will the boards bounce or break between the joists?", Verdict: check.NotApplicable,
			Finding: "the new boards lie on " + b.Kind, Clause: derived}, "deck "+d.Name)
		return 0, 0, 0, nil
	}
	s := m.job.Spec.Board
	r, err := deck.CheckBoard(s.Material, s.ThicknessMM, b.JoistSpacingMM, l, m.plan.Set)
	if err != nil {
		r.Verdict, r.Finding = check.Ask, err.Error()
	}
	m.addCheck(r, "deck "+d.Name)
	if b.JoistSpanM <= 0 || b.JoistDepthMM <= 0 || b.TimberClass == "" {
		m.addCheck(check.Result{Key: "deck.joists", Title: "Are the joists strong and stiff enough?", Verdict: check.Ask, Finding: "the joists' section, span and strength class are not given", Clause: derived,
			CallFor: "whoever can see the joists"}, "deck "+d.Name)
		return 0, 0, 0, nil
	}
	j := deck.Joist{WidthMM: b.JoistWidthMM, DepthMM: b.JoistDepthMM, SpanMM: b.JoistSpanM * 1000, SpacingMM: b.JoistSpacingMM, Class: b.TimberClass}
	r, err = deck.CheckJoist(j, l, m.plan.Set, m.job.Use.Access == "balcony")
	if err != nil {
		r.Verdict, r.Finding = check.Ask, err.Error()
		m.addCheck(r, "deck "+d.Name)
		return 0, 0, 0, nil
	}
	m.assumedJoists(d, &r)
	m.addCheck(r, "deck "+d.Name)
	// Water runs over what the dead load leaves: its final deflection.
	own := l
	own.VariableKPa, own.PointKN = 0, 0
	dead, err := j.Solve(own, m.plan.Set)
	if err != nil {
		return 0, 0, 0, err
	}
	if err := m.spans(b, l); err != nil {
		return 0, 0, 0, err
	}
	capacityKPa, err = j.VariableCapacity(l, m.plan.Set)
	return dead.FinalMM, b.JoistSpanM, capacityKPa, err
}

// assumedJoists turns a pass on guessed joists into a caution.
func (m *maker) assumedJoists(d *roof.Deck, r *check.Result) {
	for _, f := range m.job.Defaults {
		if strings.Contains(f.Field, "base.joist_") || strings.Contains(f.Field, "timber_class") {
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
}

// withSnow puts the greater of snow and imposed load on the boards and joists; a drift is
// taken as if it lay everywhere, on the safe side.
func withSnow(l deck.Loads, snowy *working.Figure) deck.Loads {
	if snowy != nil && snowy.Value > l.VariableKPa {
		l.VariableKPa, l.Short, l.Psi2 = snowy.Value, true, 0
	}
	return l
}

// snow checks the joists' capacity against flat load and drifts.
func (m *maker) snow(d *roof.Deck, capacity float64) error {
	r, _, err := m.snowResult(d, capacity)
	if err != nil {
		return err
	}
	m.addCheck(r, "deck "+d.Name)
	return nil
}

// snowOn is the governing snow load on a deck, nil where nobody knows it.
func (m *maker) snowOn(d *roof.Deck, capacity float64) (*working.Figure, error) {
	_, f, err := m.snowResult(d, capacity)
	return f, err
}

func (m *maker) snowResult(d *roof.Deck, capacity float64) (check.Result, *working.Figure, error) {
	in := snow.Input{Set: m.plan.Set, AltitudeM: m.job.Site.AltitudeM, GroundKPa: m.job.Site.GroundSnowKPa, Zone: m.job.Site.SnowZone, CapacityKPa: capacity}
	low, high := d.Outline.Bounds()
	in.WidthM = math.Max(high.X-low.X, high.Y-low.Y)
	for i, e := range d.Edges {
		switch e.Condition {
		case roof.Wall, roof.StepUp:
			// How far the wall rises is seldom surveyed: one storey.
			in.WallHeightM = math.Max(in.WallHeightM, m.wallRiseM(d, e))
			in.WidthM = away(d, i)
			if in.WallHeightM == oneStoreyM {
				in.WallWhy = m.wallWhy(d)
			}
		case roof.Parapet:
			in.ParapetM = math.Max(in.ParapetM, e.HeightMM/1000)
		}
	}
	return snow.Check(in)
}

func (m *maker) movement(d *roof.Deck, out *Deck) {
	in := movement.Input{AreaM2: out.GrossM2, Dark: dark(m.job.Spec.TopCoat.Colour), Bays: 1, BoardM: m.job.Spec.Board.WidthM, MoistureChange: 4,
		BandageMM: m.job.Spec.BandageMM, GapMM: m.job.Spec.Board.GapMM, ThicknessMM: out.LaminateMM, BandageThicknessMM: 1.0, ModulusN: 6000, CrackStrain: 0.012}
	if f, ok := m.plan.Workings.Find("laminate." + d.Name + ".deck.stiffness"); ok && out.LaminateMM > 0 {
		in.ModulusN = f.Value / out.LaminateMM
	}
	low, high := d.Outline.Bounds()
	in.LongestM = math.Max(high.X-low.X, high.Y-low.Y)
	if fields := betweenJoints(out); len(fields) > 1 {
		in.Bays, in.AreaM2, in.LongestM = len(fields), 0, 0
		for _, b := range fields {
			// A field moves as far as it reaches; a rooflight in it takes nothing off.
			in.AreaM2 = math.Max(in.AreaM2, plane.Polygon{Outer: b.Outer}.Area())
			l, h := b.Bounds()
			in.LongestM = math.Max(in.LongestM, math.Max(h.X-l.X, h.Y-l.Y))
		}
	}
	for _, c := range out.Corners {
		if c.Kind == plane.Internal {
			in.ReentrantCorners++
		}
	}
	r := movement.CheckJoints(in, m.plan.Set)
	if r.Verdict == check.Fail {
		out.JointsProposed = proposeJoints(d, out, in.Dark, m.plan.Set.LargestField.Value)
		if len(r.Remedies) > 0 {
			r.Remedies[0].Value = jointsText(append(append([][2]plane.Point(nil), d.MovementJoints...), out.JointsProposed...))
			r.Remedies[0].Text += "; proposed places are drawn"
		}
	}
	m.addCheck(r, "deck "+d.Name)
	if !m.job.Spec.Board.TongueAndGroove {
		m.addCheck(movement.CheckBoardJoints(in), "deck "+d.Name)
	}
}

// betweenJoints parts a deck at the middle lines of its movement joints.
func betweenJoints(out *Deck) []plane.Polygon {
	parts := out.Net
	for _, j := range out.SetOut.MovementJoints {
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

func (m *maker) moistureOf(d *roof.Deck) {
	var readings []float64
	for _, r := range d.Moisture {
		readings = append(readings, r.Pct)
	}
	m.addCheck(moisture.CheckDeck(readings, m.job.Spec.Board.ThicknessMM, m.job.Day.AirC, m.job.Day.RelativeHumidityPct), "deck "+d.Name)
}

// exposure checks the air, the neighbours and the van.
func (m *maker) exposure() error {
	w := exposure.Work{ResinKG: m.plan.Totals.ResinKG, CoatKG: m.plan.Totals.CoatKG, StyreneFraction: m.resin.StyreneFraction, Enclosed: m.job.Site.Enclosed, ResinC: m.job.Day.ResinC, Neighbours: m.job.Site.Neighbours}
	// What is being rolled at one time is what one bucket covers.
	for _, p := range m.plan.Passes {
		if p.Plan == nil {
			continue
		}
		for _, x := range p.Plan.Mixes {
			w.WetM2 = math.Max(w.WetM2, x.AreaM2)
		}
	}
	if w.WetM2 == 0 {
		w.WetM2 = math.Min(3, m.plan.Totals.NetM2)
	}
	r, err := exposure.CheckWorkers(w, m.plan.Set)
	if err != nil {
		return err
	}
	m.addCheck(r, "")
	m.addCheck(exposure.CheckNeighbours(w, 0, false), "")
	if f := m.plan.Order.Schedule.Load.Figure; f != nil {
		m.addCheck(exposure.CheckCarriage(f, european(m.job.Site.Country)), "")
	}
	return nil
}

// european reports whether the carriage rules of the European agreement apply.
func european(code string) bool {
	switch strings.SplitN(strings.ToUpper(code), "-", 2)[0] {
	case "US", "CA", "AU", "NZ":
		return false
	}
	return true
}
