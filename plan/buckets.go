package plan

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"gelwright/cure"
	"gelwright/material"
	"gelwright/mixing"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/working"
)

// lawOf is a resin's gel law: what the firm has learned of it, else its data sheet's.
func (m *maker) lawOf(r material.Resin) (cure.Gel, error) {
	if g, ok := m.in.Gels[r.Key]; ok {
		return g, nil
	}
	return cure.NewGel(r)
}

// mixOf joins the resin's gel law to the mixing plan.
func (m *maker) mixOf(r material.Resin) (mixing.Resin, error) {
	g, err := m.lawOf(r)
	if err != nil {
		return mixing.Resin{}, err
	}
	return mixing.Resin{Name: r.Name, Law: g, DensityKGPerL: r.DensityKGPerL, CatalystGPerML: m.catalyst.DensityGPerML, Waxed: r.Coat}, nil
}

func (m *maker) crewOf() (mixing.Crew, error) {
	c := m.job.Crew
	cap, err := mixing.ExperienceCap(c.Experience)
	if err != nil {
		return mixing.Crew{}, err
	}
	m.figure(cap.Keyed("crew.cap"))
	return mixing.Crew{People: c.People, LayM2PerManHour: c.LayM2PerManHour, MarginMin: c.MarginMin, CapKG: cap.Value, MaxBucketKG: c.MaxBucketKG}, nil
}

// dayOf gives the working day and its temperatures: hour by hour where the file has
// them, else one figure.
func (m *maker) dayOf() mixing.Day {
	d := mixing.Day{StartMin: clock(m.job.Crew.Start, 8*60), EndMin: clock(m.job.Crew.End, 17*60)}
	for _, h := range m.job.Day.Hours {
		d.Temps = append(d.Temps, mixing.TempAt{Min: clock(h.Time, 0), TempC: h.DeckC})
	}
	if len(d.Temps) == 0 {
		d.Temps = []mixing.TempAt{{Min: 0, TempC: m.tempC}}
	}
	return d
}

// clock reads "08:30" as minutes after midnight.
func clock(text string, otherwise float64) float64 {
	h, min, ok := strings.Cut(text, ":")
	hours, err1 := strconv.Atoi(h)
	minutes, err2 := strconv.Atoi(min)
	if !ok || err1 != nil || err2 != nil {
		return otherwise
	}
	return float64(hours*60 + minutes)
}

// coatM2PerManHour is how fast top coat goes down: 12 to 18 m² a man-hour (common
// practice, no source).
const coatM2PerManHour = 15

// buckets plans every pass of wet work.
func (m *maker) buckets() error {
	resin, err := m.mixOf(m.resin)
	if err != nil {
		return fmt.Errorf("spec.resin: %w", err)
	}
	coat, err := m.mixOf(m.coat)
	if err != nil {
		return fmt.Errorf("spec.coat_resin: %w", err)
	}
	crew, err := m.crewOf()
	if err != nil {
		return fmt.Errorf("crew.experience: %w", err)
	}
	day := m.dayOf()
	spec := m.job.Spec
	rate := rates(spec)
	more := 1 + spec.WastePct.Resin/100
	number := 1
	wet := &chain{m: m, day: day, at: moment{1, day.StartMin}}
	run := func(pass Pass, in mixing.Input, items []mixing.Detail, from *begin) error {
		in.Crew, in.Day, in.FirstNumber = crew, day, number
		if pass.Kind == "top coat" {
			in.Crew.LayM2PerManHour = coatM2PerManHour
		}
		if from == nil {
			b, err := wet.next()
			if err != nil {
				return fmt.Errorf("deck %q, %s: %w", pass.Deck, in.Name, err)
			}
			from = &b
		}
		p, began, err := wet.plan(*from, in, items)
		var refusal *cure.Refusal
		switch {
		case errors.As(err, &refusal):
			pass.Refusal, pass.Remedies = refusal.Finding, refusal.Remedies
		case err != nil:
			return fmt.Errorf("deck %q, %s: %w", pass.Deck, in.Name, err)
		default:
			pass.Plan, pass.Begins = p, began.why
			number += len(p.Mixes)
			for _, f := range p.Figures {
				m.figure(f)
			}
			for _, x := range p.Mixes {
				pass.KG += x.ResinKG
				m.plan.Totals.CatalystG += x.CatalystG
				for _, f := range x.Working {
					m.figure(f)
				}
				for _, f := range x.Charge.Figures {
					m.figure(f)
				}
			}
			m.plan.Totals.Buckets += len(p.Mixes)
		}
		m.plan.Passes = append(m.plan.Passes, pass)
		if pass.Plan != nil {
			wet.done(&pass)
		}
		return nil
	}
	apart := len(m.rounds()) > 1
	for _, i := range m.topDown() {
		first := wet.deck(apart)
		from := &first
		d := &m.plan.Decks[i]
		deck := &m.job.Decks[i]
		items := details(d, deck, spec, rate, more, crew)
		kg := 0.0
		for _, it := range items {
			kg += it.KG
		}
		if len(items) > 0 {
			in := mixing.Input{Key: "mix." + d.Name + ".details", Name: "bandage and details", Resin: resin}
			if err := run(Pass{Deck: d.Name, Kind: "details", Resin: m.resin.Name, KG: 0}, in, items, from); err != nil {
				return err
			}
			from = nil
			m.totalResin(kg)
		}
		var lowest []mixing.Cell // the coat goes over the same ground as the first layer
		for layer := 1; layer <= len(spec.Layers); layer++ {
			cells, err := m.matCells(d, deck.Falls, layer, rate, more)
			if err != nil {
				return err
			}
			if layer == 1 {
				lowest = cells
			}
			area := 0.0
			for _, c := range cells {
				area += c.AreaM2
				m.totalResin(c.ResinKG)
			}
			in := mixing.Input{Key: fmt.Sprintf("mix.%s.mat%d", d.Name, layer), Name: fmt.Sprintf("mat layer %d", layer), Cells: cells, Exits: []plane.Point{deck.Exit}, Breaks: breaks(d), Resin: resin}
			if err := run(Pass{Deck: d.Name, Kind: "mat", Layer: layer, AreaM2: area, Resin: m.resin.Name, Cells: cells}, in, nil, from); err != nil {
				return err
			}
			from = nil
		}
		for c := 1; c <= spec.TopCoat.Coats; c++ {
			// The coat of upstands and trims is cut in from the bucket of the cell beside it.
			perM2 := spec.TopCoat.KGPerM2 * d.CoatM2 / d.FieldM2 * (1 + spec.WastePct.TopCoat/100)
			cells := mixing.AtRate(lowest, perM2)
			area := 0.0
			for _, c := range cells {
				area += c.AreaM2
				m.plan.Totals.CoatKG += c.ResinKG
			}
			in := mixing.Input{Key: fmt.Sprintf("mix.%s.coat%d", d.Name, c), Name: fmt.Sprintf("top coat %d", c), Cells: cells, Exits: []plane.Point{deck.Exit}, Breaks: breaks(d), Resin: coat}
			if err := run(Pass{Deck: d.Name, Kind: "top coat", Layer: c, AreaM2: area, Resin: m.coat.Name, Cells: cells}, in, nil, from); err != nil {
				return err
			}
		}
	}
	waste := m.given("w", "left in buckets, sleeves and rollers", spec.WastePct.Resin, "%", "spec.waste_pct.resin")
	var parts []*working.Figure
	for _, d := range m.plan.Decks {
		for _, z := range []string{"deck", "upstand", "corner", "bandage"} {
			if f, ok := m.plan.Workings.Find("laminate." + d.Name + "." + z + ".resin"); ok {
				parts = append(parts, f)
			}
		}
	}
	m.figure(working.Calc("M", "laminating resin to mix", m.plan.Totals.ResinKG, "kg", "M = Σ zones × (1 + w/100)", derived, append(parts, waste)...).Keyed("roof.resin"))
	m.figure(working.Calc("Mc", "top coat to mix", m.plan.Totals.CoatKG, "kg", "Mc = Σ area × rate × coats × (1 + w/100)", derived, m.coatFigures()...).Keyed("roof.topcoat"))
	m.figure(working.Calc("", "buckets in all", float64(m.plan.Totals.Buckets), "", "count", derived).Keyed("roof.buckets"))
	m.figure(working.Calc("mk", "catalyst for all buckets", m.plan.Totals.CatalystG, "g", "sum over the buckets of resin × dose", derived).Keyed("roof.catalyst"))
	return nil
}

func (m *maker) coatFigures() []*working.Figure {
	var parts []*working.Figure
	for _, d := range m.plan.Decks {
		if f, ok := m.plan.Workings.Find("topcoat." + d.Name + ".area"); ok {
			parts = append(parts, f)
		}
	}
	s := m.job.Spec
	return append(parts, m.given("q", "top coat, each coat", s.TopCoat.KGPerM2, "kg/m²", "spec.top_coat.kg_per_m2"),
		m.given("", "coats", float64(s.TopCoat.Coats), "", "spec.top_coat.coats"), m.given("w", "left in buckets and sleeves", s.WastePct.TopCoat, "%", "spec.waste_pct.top_coat"))
}

func (m *maker) totalResin(kg float64) { m.plan.Totals.ResinKG += kg }

// breaks are the lines at which the laminate ends on both sides.
func breaks(d *Deck) [][2]plane.Point {
	var out [][2]plane.Point
	for _, j := range d.SetOut.MovementJoints {
		out = append(out, [2]plane.Point{j.From, j.To})
	}
	return out
}

// matCells turns the field strips of one layer into cells that do not overlap: each
// keeps what no strip before it covered, so that their areas add up to the deck's.
func (m *maker) matCells(d *Deck, falls plane.Falls, layer int, rate zoneRates, more float64) ([]mixing.Cell, error) {
	var strips []settingout.Piece
	for _, p := range d.SetOut.Of(settingout.Mat) {
		if p.Layer == layer && !p.Upright {
			strips = append(strips, p)
		}
	}
	slope := d.FieldM2 / plane.TotalArea(d.Fields)
	var cells []mixing.Cell
	var of []int // the strip each cell is of
	var before []plane.Polygon
	type box struct{ low, high plane.Point }
	var boxes []box
	for i, p := range strips {
		low, high := p.Bounds()
		deck := around(d.Fields, low, high)
		poly := plane.Polygon{Outer: p.Shape, Holes: p.Holes}
		whole, err := plane.Intersection([]plane.Polygon{poly}, deck)
		if err != nil {
			// A strip that an opening cuts right through may have an outline that touches
			// itself; what it covers is then its rectangle as far as the deck goes.
			poly = blank(p)
			if whole, err = plane.Intersection([]plane.Polygon{poly}, deck); err != nil {
				return nil, fmt.Errorf("mat %s: %w", p.Number, err)
			}
		}
		var near []plane.Polygon
		for k, b := range boxes {
			if b.low.X < high.X && low.X < b.high.X && b.low.Y < high.Y && low.Y < b.high.Y {
				near = append(near, before[k])
			}
		}
		own := whole
		if len(near) > 0 {
			if own, err = plane.Difference(whole, near); err != nil {
				return nil, err
			}
		}
		before, boxes = append(before, poly), append(boxes, box{low, high})
		net := plane.TotalArea(own)
		if net < 1e-6 {
			continue
		}
		kg := rate.layer[layer-1] * p.AreaM2
		if layer == 1 {
			kg += rate.soak * net * slope
		}
		if layer == len(rate.layer) && rate.tissue > 0 {
			kg += rate.tissue * net
		}
		for k, part := range own {
			a := part.Area()
			if a < 1e-4 && len(own) > 1 {
				// A sliver left by the overlay: its resin goes with the largest part.
				continue
			}
			name := p.Number
			if k > 0 {
				name = fmt.Sprintf("%s%c", p.Number, 'a'+rune(k))
			}
			of = append(of, i)
			cells = append(cells, mixing.Cell{Name: name, Strip: p.Order, Shape: part.Outer, Along: p.Along, AreaM2: a * slope, ResinKG: kg * a / net * more})
		}
	}
	// Give slivers' area back, so that the cells' areas add up to the deck's to the last digit.
	sum := 0.0
	for _, c := range cells {
		sum += c.AreaM2
	}
	if sum > 0 && math.Abs(sum-d.FieldM2) < 0.01*d.FieldM2 {
		for i := range cells {
			cells[i].AreaM2 *= d.FieldM2 / sum
		}
	}
	shingle(cells, of, strips, falls)
	return cells, nil
}

// around returns what of a deck matters between low and high: its outlines, and only
// the openings that reach in there. A large roof has scores of them.
func around(net []plane.Polygon, low, high plane.Point) []plane.Polygon {
	reaches := func(a, b plane.Point) bool { return a.X <= high.X && low.X <= b.X && a.Y <= high.Y && low.Y <= b.Y }
	var out []plane.Polygon
	for _, p := range net {
		if !reaches(p.Bounds()) {
			continue
		}
		here := plane.Polygon{Outer: p.Outer}
		for _, h := range p.Holes {
			if reaches((plane.Polygon{Outer: h}).Bounds()) {
				here.Holes = append(here.Holes, h)
			}
		}
		out = append(out, here)
	}
	return out
}

// blank is the rectangle that a piece is cut to, as it lies.
func blank(p settingout.Piece) plane.Polygon {
	along := p.Along.Scale(float64(p.LengthMM) / 1000)
	across := p.Along.Left().Scale(float64(p.WidthMM) / 1000)
	return plane.Polygon{Outer: []plane.Point{p.Corner, p.Corner.Add(along), p.Corner.Add(along).Add(across), p.Corner.Add(across)}}
}

// DetailName is what the buckets call the work that a strip of bandage, a patch or an
// upstand's mat belongs to: "flange, edge 2".
func DetailName(p settingout.Piece, deck *roof.Deck) string {
	switch {
	case p.Opening != "":
		return p.Opening
	case penetration(deck, p.Serves) != "":
		return penetration(deck, p.Serves) + " " + p.Serves
	case p.Kind == settingout.Patch && opening(deck, p.Serves):
		return p.Serves
	case p.Kind == settingout.Patch && p.Edge < 0:
		return p.Role + ", " + p.Serves
	case p.Edge >= 0 && p.Upright:
		return fmt.Sprintf("upstand, edge %d", p.Edge+1)
	case p.Edge >= 0:
		return fmt.Sprintf("flange, edge %d", p.Edge+1)
	case p.MovementJoint():
		return "movement " + p.Serves
	case p.Role == "joint end":
		return "ends and crossings of movement joints"
	case p.Role == "fold":
		return foldWords(deck)
	case p.Role != "board joint":
		return p.Role
	}
	return "board joints"
}

// penetration is the kind of the pipe, outlet or the like of a name; empty where a deck has none.
func penetration(deck *roof.Deck, name string) string {
	for _, x := range deck.Penetrations {
		if x.Name == name {
			return x.Kind
		}
	}
	return ""
}

func opening(deck *roof.Deck, name string) bool {
	for _, o := range deck.Openings {
		if o.Name == name {
			return true
		}
	}
	return false
}

// foldWords names the lines over which a deck's bandage is wide.
func foldWords(deck *roof.Deck) string {
	var words []string
	switch deck.Falls.Kind {
	case plane.Ridge, plane.Hip, plane.Valley:
		words = append(words, string(deck.Falls.Kind))
	case plane.ToPoint:
		words = append(words, "valleys to the outlet")
	}
	if words == nil {
		return "changes of slope"
	}
	return strings.Join(words, " and ")
}

// details lists the strips of bandage, upstands and patches, those of one edge, joint group
// or opening one after another.
func details(d *Deck, deck *roof.Deck, spec roof.Spec, rate zoneRates, more float64, crew mixing.Crew) []mixing.Detail {
	var order []string
	of := map[string][]mixing.Detail{}
	for _, p := range d.SetOut.Pieces {
		var perM2 float64
		switch {
		case p.Kind == settingout.Bandage:
			perM2 = 0.45*spec.ResinToGlass + rate.soak
		case p.Kind == settingout.Mat && p.Upright:
			perM2 = rate.layer[0] + rate.soak
		case p.Kind == settingout.Patch:
			perM2 = rate.layer[0] // it lies on laminate that has drunk already
		default:
			continue
		}
		name := DetailName(p, deck)
		item := mixing.Detail{Name: p.Number, Of: name, KG: p.AreaM2 * perM2 * more}
		// Bandage goes down at 25 to 35 m a man-hour, upstands at half the rate of a deck.
		if p.Kind == settingout.Bandage {
			item.ManMinutes = float64(p.LengthMM) / 1000 / 30 * 60
		} else {
			item.ManMinutes = p.AreaM2 / (crew.LayM2PerManHour / 2) * 60
		}
		if !(item.KG > 0 && item.ManMinutes > 0) {
			continue
		}
		if of[name] == nil {
			order = append(order, name)
		}
		of[name] = append(of[name], item)
	}
	var out []mixing.Detail
	for _, name := range order {
		out = append(out, of[name]...)
	}
	return out
}
