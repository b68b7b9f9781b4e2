package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gelwright/check"
	"gelwright/check/deck"
	"gelwright/check/detailing"
	"gelwright/check/exposure"
	"gelwright/check/moisture"
	"gelwright/check/movement"
	"gelwright/check/snow"
	"gelwright/check/thermal"
	"gelwright/check/wind"
	"gelwright/firring"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/weather"
	"gelwright/working"
)

// assumedWindMS stands in for a national wind map that nobody has read, m/s.
const assumedWindMS = 24

// assumedScrewN is the design pull-out of one 5 mm screw in 35 mm of softwood, N: EN
// 1995-1-1 8.7.2 gives more; a pull-out test on the deck outranks it.
const assumedScrewN = 450

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

// oneStoreyM is how far a wall rises above a roof where nobody has said, m.
const oneStoreyM = 2.5

// wallRiseM returns how far a wall rises above the deck: to the deck it steps up to,
// or one storey of 2.5 m.
func (m *maker) wallRiseM(d *roof.Deck, e roof.Edge) float64 {
	for k := range m.job.Decks {
		if m.job.Decks[k].Name == e.To && m.job.Decks[k].LevelM > d.LevelM {
			return m.job.Decks[k].LevelM - d.LevelM
		}
	}
	best := math.Inf(1)
	for k := range m.job.Decks {
		if rise := m.job.Decks[k].LevelM - d.LevelM; rise > 0.1 && e.Condition == roof.Wall {
			best = math.Min(best, rise)
		}
	}
	if !math.IsInf(best, 1) {
		return best
	}
	return oneStoreyM
}

// wallWhy says on what the wall above a deck rests: empty where every rise is that of a
// deck drawn above.
func (m *maker) wallWhy(d *roof.Deck) string {
	for _, e := range d.Edges {
		if e.Condition == roof.Wall && m.wallRiseM(d, e) == oneStoreyM {
			return fmt.Sprintf("the walls' height is not in the roof file: one storey of %g m is taken", oneStoreyM)
		}
	}
	return ""
}

// away returns the depth of the deck square to an edge, m.
func away(d *roof.Deck, edge int) float64 {
	e := d.Outline.Edge(edge)
	inward := e.B.Sub(e.A).Unit().Left()
	depth := 0.0
	for _, p := range d.Outline.Chords(0.01) {
		depth = math.Max(depth, p.Sub(e.A).Dot(inward))
	}
	return depth
}

// windSite is the site as the wind rules see one deck.
func (m *maker) windSite(d *roof.Deck) wind.Site {
	site := wind.Site{BasicMS: m.job.Site.BasicWindMS, Given: m.job.Site.BasicWindMS > 0, AltitudeM: m.job.Site.AltitudeM, Terrain: m.job.Site.Terrain, HeightM: m.job.Site.EavesM, Hill: m.job.Site.Hill}
	if !site.Given {
		site.BasicMS = assumedWindMS
	}
	for _, e := range d.Edges {
		if e.Condition == roof.Parapet {
			// The lowest parapet shelters least.
			if h := e.HeightMM / 1000; site.ParapetM == 0 || h < site.ParapetM {
				site.ParapetM = h
			}
		}
	}
	// A parapet helps only where it runs all round; a single one does not.
	for _, e := range d.Edges {
		if e.Condition == roof.Drip || e.Condition == roof.Verge || e.Condition == roof.Kerb {
			site.ParapetM = 0
		}
	}
	return site
}

// windZones draws the wind zones of a deck, with the fixing centres asked for there.
func (m *maker) windZones(d *roof.Deck, out *Deck) ([]settingout.Zone, error) {
	if d.Base.Kind == "concrete" {
		return nil, nil
	}
	zones, err := wind.ZonesOn(out.Net, d.Outline, m.windSite(d))
	if err != nil {
		return nil, err
	}
	var list []settingout.Zone
	for _, z := range zones {
		s := settingout.Zone{Name: string(z.Zone), Area: z.Area}
		switch z.Zone {
		case wind.Corner:
			s.CentresMM = m.job.Spec.Board.CornerFixMM
		case wind.Perimeter:
			s.CentresMM = m.job.Spec.Board.PerimeterFixMM
		}
		list = append(list, s)
	}
	return list, nil
}

// leastZoneM2 is the area of a zone under which a count of its fixings says nothing;
// the deck's mean stands for it.
const leastZoneM2 = 0.25

// boardFixing is what holds the boards down, zone by zone, as they were set out. Over an
// old deck only the screws along the joists count: what ends in the old deck holds nothing.
func (m *maker) boardFixing(job *roof.Deck, out *Deck) wind.Fixing {
	b := m.job.Spec.Board
	perM2 := 0.0
	count := 0
	s := settingout.SetOut{Pieces: out.SetOut.Pieces, Fixings: out.SetOut.Fixings, FixingZones: out.SetOut.FixingZones}
	if job.Base.Kind == "sound deck" && !m.throughInsulation() {
		s.Fixings = slices.Clone(s.Fixings)
		joistScrews(&s, screwLines(out), b, out.Given.Zones)
	}
	for _, f := range s.Fixings {
		count += f.Edge + f.Field
	}
	if out.NetM2 > 0 {
		perM2 = float64(count) / out.NetM2
	}
	fixing := wind.Fixing{Layer: "boards", ResistanceN: assumedScrewN, TributaryM2: 1, DeadKPa: b.ThicknessMM * 0.0064, PerM2: [4]float64{perM2, perM2, perM2, perM2}}
	for i, z := range s.FixingZones {
		if i < len(fixing.PerM2) && z.AreaM2 >= leastZoneM2 && z.Count > 0 {
			fixing.PerM2[i] = z.PerM2
		}
	}
	return fixing
}

func (m *maker) wind(d *roof.Deck, out *Deck) error {
	site := m.windSite(d)
	b := m.job.Spec.Board
	if d.Base.Kind == "concrete" {
		return nil
	}
	results, pressure, demands, err := wind.Check(site, m.plan.Set, m.boardFixing(d, out))
	if err != nil {
		return err
	}
	trims, err := wind.CheckTrim(pressure, wind.Trim{ExposedM: 0.15, CloutSpacingMM: cloutMM, DiameterMM: 3, PenetrationMM: b.ThicknessMM, DensityKGPerM3: boardDensityKGPerM3}, m.plan.Set)
	if err != nil {
		return err
	}
	m.addCheck(trims, "deck "+d.Name)
	zones, err := wind.ZonesOn(out.Net, d.Outline, site)
	if err != nil {
		return err
	}
	for i, z := range zones {
		if len(z.Area) == 0 {
			continue
		}
		out.Zones = append(out.Zones, WindZone{Zone: string(z.Zone), Words: z.Zone.Words(), AreaM2: plane.TotalArea(z.Area), Area: z.Area, NetKPa: demands[i].NetKPa, FastenersPerM2: demands[i].Needed})
		r := results[i]
		r.Where = "deck " + d.Name + ", " + r.Where
		for _, f := range r.Working {
			f.Key = "check.wind." + d.Name + "." + string(z.Zone)
		}
		m.addCheck(r, "")
	}
	return nil
}

// WindZone is a zone of one deck with its uplift.
type WindZone struct {
	Zone           string          `json:"zone"`
	Words          string          `json:"words"`
	AreaM2         float64         `json:"area_m2"`
	NetKPa         float64         `json:"uplift_kpa"`
	FastenersPerM2 float64         `json:"fasteners_per_m2"`
	Area           []plane.Polygon `json:"area"`
}

func (m *maker) movement(d *roof.Deck, out *Deck) {
	in := movement.Input{AreaM2: out.GrossM2, Dark: dark(m.job.Spec.TopCoat.Colour), Bays: 1, BoardM: m.job.Spec.Board.WidthM, MoistureChange: 4,
		BandageMM: m.job.Spec.BandageMM, GapMM: m.job.Spec.Board.GapMM, ThicknessMM: out.LaminateMM, BandageThicknessMM: 1.0, ModulusN: 6000, CrackStrain: 0.012}
	if f, ok := m.plan.Workings.Find("laminate." + d.Name + ".deck.stiffness"); ok && out.LaminateMM > 0 {
		in.ModulusN = f.Value / out.LaminateMM
	}
	low, high := d.Outline.Bounds()
	in.LongestM = math.Max(high.X-low.X, high.Y-low.Y)
	// A field moves as far as it reaches; a rooflight in it takes nothing off.
	whole := out.Net
	if gross, err := plane.Net(d.Outline, nil, plane.ChordToleranceM); err == nil {
		whole = gross
	}
	if bays := bays(whole, d.MovementJoints); len(bays) > 1 {
		in.Bays, in.AreaM2, in.LongestM = len(bays), 0, 0
		for _, b := range bays {
			in.AreaM2 = math.Max(in.AreaM2, b.Area())
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

// bays parts a deck along its movement joints.
func bays(net []plane.Polygon, joints [][2]plane.Point) []plane.Polygon {
	parts := net
	for _, j := range joints {
		u := j[1].Sub(j[0]).Unit()
		if u == (plane.Point{}) {
			continue
		}
		n := u.Left()
		const far = 1e3
		a, b := j[0].Sub(u.Scale(far)), j[0].Add(u.Scale(far))
		left := plane.Polygon{Outer: []plane.Point{a, b, b.Add(n.Scale(far)), a.Add(n.Scale(far))}}
		// Part by part: overlaid together, neighbouring bays would be joined again.
		var next []plane.Polygon
		for _, p := range parts {
			in, err := plane.Intersection([]plane.Polygon{p}, []plane.Polygon{left})
			if err != nil {
				return parts
			}
			rest, err := plane.Difference([]plane.Polygon{p}, []plane.Polygon{left})
			if err != nil {
				return parts
			}
			next = append(append(next, in...), rest...)
		}
		parts = next
	}
	return parts
}

func (m *maker) moistureOf(d *roof.Deck) {
	var readings []float64
	for _, r := range d.Moisture {
		readings = append(readings, r.Pct)
	}
	m.addCheck(moisture.CheckDeck(readings, m.job.Spec.Board.ThicknessMM, m.job.Day.AirC, m.job.Day.RelativeHumidityPct), "deck "+d.Name)
}

// heat checks U-value, surface, condensation and ventilation.
func (m *maker) heat() error {
	if b := m.job.Use.Below; b == "unheated" || b == "open" {
		results, _, err := thermal.Check(thermal.Build{}, thermal.Unheated, m.plan.Set, 10)
		if err != nil {
			return err
		}
		m.addCheck(results[0], "")
		r := check.Result{Key: "moisture.ventilation", Title: "Is the space below aired?", Verdict: check.Caution, Clause: working.Source{Title: "unheated spaces below a tight roof", Standing: working.CommonPractice},
			Finding: "no insulation is wanted; keep the space below ventilated, or the underside of the boards will drip on cold clear nights"}
		m.addCheck(r, "")
		return nil
	}
	build, vapour := m.layers()
	taperNote, err := m.evenOut(&build)
	if err != nil {
		return err
	}
	purpose := thermal.Renovation
	if m.job.Work.Kind == "new" {
		purpose = thermal.Extension
	}
	if m.job.Spec.Insulation == nil {
		m.addCheck(check.Result{Key: "thermal.u", Title: "Does it keep the heat in?", Verdict: check.Ask, Finding: "the space below is heated and no insulation is named: what is there, or what will there be?", Clause: derived,
			Remedies: []check.Remedy{{Text: "name the insulation", Field: "spec.insulation"}}}, "")
		return nil
	}
	results, _, err := thermal.Check(build, purpose, m.plan.Set, 10)
	if err != nil {
		m.addCheck(check.Result{Key: "thermal.u", Title: "Does it keep the heat in?", Verdict: check.Ask, Finding: err.Error(), Clause: derived, CallFor: "someone who computes heat flow in two dimensions"}, "")
	}
	for _, r := range results {
		if taperNote != "" {
			r.Flags = append(r.Flags, taperNote)
		}
		m.addCheck(r, "")
	}
	class := moisture.HumidityClass(3)
	if m.job.Use.Below == "wet room" {
		class = 5
	}
	months := months(m.job.Site)
	cold := m.job.Spec.Build == "cold"
	r, _, err := moisture.CheckCondensation(m.ctx, moisture.Roof{Layers: vapour, Class: class}, months, fmt.Sprintf("monthly norms for latitude %.0f°", m.job.Site.LatDeg), cold)
	if err != nil {
		return err
	}
	r.Flags = append(r.Flags, "the climate is a norm by latitude, not the site's own record")
	m.addCheck(r, "")
	if cold {
		path := 0.0
		for i := range m.job.Decks {
			path = math.Max(path, m.job.Decks[i].Base.JoistSpanM)
		}
		m.addCheck(moisture.CheckVentilation(moisture.Void{PathM: path, ClearMM: m.job.Spec.VoidMM, BothEnds: m.job.Spec.VoidVented, NoColdRoofs: m.plan.Set.Code == "GB-SCT"}), "")
	}
	return nil
}

// taperCellM is the side of the cells over which the U-value of tapered insulation is
// averaged: fine enough that the fall within one does not count.
const taperCellM = 0.3

// evenOut replaces tapered insulation by the even thickness of the same mean U-value,
// which is less than its mean thickness (ISO 6946 annex E, by integration).
func (m *maker) evenOut(build *thermal.Build) (string, error) {
	if !m.tapered() {
		return "", nil
	}
	main := -1
	for i := range build.Layers {
		if build.Layers[i].Main {
			main = i
		}
	}
	var area, heat, volume float64
	for i := range m.plan.Decks {
		t, err := firring.TaperedBoards(m.plan.Decks[i].Surface, taperCellM, taperCellM, build.Layers[main].ThicknessMM)
		if err != nil {
			return "", err
		}
		at := *build
		at.Layers = append([]thermal.Layer(nil), build.Layers...)
		for _, b := range t.Boards {
			at.Layers[main].ThicknessMM = b.MeanMM
			a, err := at.Solve()
			if err != nil {
				return "", err
			}
			cell := plane.TotalArea(b.Area)
			area, heat, volume = area+cell, heat+cell*a.Corrected, volume+cell*b.MeanMM
		}
	}
	if area == 0 {
		return "", nil
	}
	least := build.Layers[main].ThicknessMM
	even, err := build.ThicknessFor(heat / area)
	if err != nil {
		return "", err
	}
	build.Layers[main].ThicknessMM = even
	return fmt.Sprintf("tapered from %.0f mm, %.0f mm in the mean, counts as %.0f mm even", least, volume/area, even), nil
}

// invertedRainMMPerDay stands in for the mean rainfall of the heating season (assumed;
// 1 to 3.5 mm a day in maritime climates).
const invertedRainMMPerDay = 2.5

// layers builds the roof from inside to outside for heat and for vapour.
func (m *maker) layers() (thermal.Build, []moisture.Layer) {
	s := m.job.Spec
	var b thermal.Build
	var v []moisture.Layer
	add := func(l thermal.Layer, sd float64) {
		b.Layers = append(b.Layers, l)
		v = append(v, moisture.Layer{Name: l.Name, ResistanceM2KPerW: l.Resistance(), SdM: sd})
	}
	mem := working.Remembered
	add(thermal.Layer{Name: "plasterboard", ThicknessMM: 12.5, LambdaWPerMK: 0.25, Standing: mem, Usual: true}, 0.125)
	ins := thermal.Layer{Name: "insulation", Main: true}
	mu := 60.0
	if s.Insulation != nil {
		ins.Name, ins.ThicknessMM, ins.LambdaWPerMK, ins.Standing = s.Insulation.Material, s.Insulation.ThicknessMM, s.Insulation.LambdaWPerM, working.Given
		if strings.Contains(strings.ToLower(s.Insulation.Material), "wool") || strings.Contains(strings.ToLower(s.Insulation.Material), "quilt") {
			mu = 1
		}
	}
	board := thermal.Layer{Name: s.Board.Material + " deck", ThicknessMM: s.Board.ThicknessMM, LambdaWPerMK: 0.13, Standing: mem}
	boardSd := 50 * s.Board.ThicknessMM / 1000
	vcl := func() {
		if s.VCL {
			v = append(v, moisture.Layer{Name: "vapour control layer", SdM: 50})
		}
	}
	insSd := mu * ins.ThicknessMM / 1000
	if s.Build == "cold" {
		vcl()
		base := m.job.Decks[0].Base
		if base.JoistWidthMM > 0 && base.JoistSpacingMM > 0 {
			ins.BridgeLambda, ins.BridgeFraction = 0.13, base.JoistWidthMM/base.JoistSpacingMM
		}
		add(ins, insSd)
		// A well ventilated void counts for nothing, nor does what lies outside it; the surface
		// of the insulation sees still air (ISO 6946, from memory). Vapour still meets the rest.
		b.Rse = thermal.RsiUp
		v = append(v, moisture.Layer{Name: "ventilated void", ResistanceM2KPerW: thermal.UnventilatedAir(50), SdM: 0.05},
			moisture.Layer{Name: board.Name, ResistanceM2KPerW: board.Resistance(), SdM: boardSd}, moisture.Layer{Name: "laminate", ResistanceM2KPerW: 0.0075, SdM: 30})
		return b, v
	} else if s.Build == "inverted" {
		add(thermal.Layer{Name: "joist void", ThicknessMM: 150, ResistanceM2KPerW: thermal.UnventilatedAir(150), Standing: mem}, 0.05)
		add(board, boardSd)
		add(thermal.Layer{Name: "laminate", ThicknessMM: 3, LambdaWPerMK: 0.40, Standing: mem}, 30)
		add(ins, insSd)
		// Rain that runs under the boards: mean of the heating season where nobody has given it.
		b.RainMMPerDay, b.RainFactor = invertedRainMMPerDay, 0.04
		return b, v
	} else {
		add(thermal.Layer{Name: "joist void", ThicknessMM: 150, ResistanceM2KPerW: thermal.UnventilatedAir(150), Standing: mem}, 0.05)
		under := board
		under.Name = "structural deck"
		add(under, boardSd)
		vcl()
		add(ins, insSd)
		if s.Build == "warm" {
			carrier := board
			carrier.Name = "carrier board"
			add(carrier, boardSd)
			// Steel screws through to the joists, as many as were set out.
			perM2, _ := m.throughScrews()
			b.Fasteners = thermal.Fasteners{PerM2: perM2, DiameterMM: 4.8, LambdaWPerMK: 50}
		}
	}
	add(thermal.Layer{Name: "laminate", ThicknessMM: 3, LambdaWPerMK: 0.40, Standing: mem, Usual: true}, 30)
	return b, v
}

// months gives the climate norms of the site's latitude.
func months(s roof.Site) []moisture.Month {
	n := weather.NormsOfLatitude(s.LatDeg)
	names := [...]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}
	days := [...]float64{31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	var out []moisture.Month
	for i := range names {
		out = append(out, moisture.Month{Name: names[i], Days: days[i], OutdoorC: n.Months[i].MeanC, RHPct: n.Months[i].RHPct, IndoorC: 20})
	}
	return out
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
