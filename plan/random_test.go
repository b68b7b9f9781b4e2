package plan_test

import (
	"context"
	"flag"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gelwright/material"
	"gelwright/plan"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/settingout/proof"
)

// bounded keeps the random checks short unless the command line asks for more.
func bounded(t *testing.T, rounds string, f func(*rapid.T)) {
	t.Helper()
	checks := flag.Lookup("rapid.checks")
	if before := checks.Value.String(); before == checks.DefValue {
		if err := checks.Value.Set(rounds); err != nil {
			t.Fatal(err)
		}
		defer func() { _ = checks.Value.Set(before) }()
	}
	rapid.Check(t, f)
}

// drawDeck draws a deck: a rectangle, an L, a triangle or a bay with an arc, on joists
// or on a deck, with a rooflight and a pipe at times.
func drawDeck(t *rapid.T) roof.Deck {
	part := func(low, high int, what string) float64 {
		return float64(rapid.IntRange(low, high).Draw(t, what)) / 1000
	}
	w, h := part(2000, 9000, "width"), part(2000, 7000, "depth")
	a, b := w*part(350, 600, "a"), h*part(350, 600, "b")
	p := func(x, y float64) plane.Point { return plane.Point{X: x, Y: y}.Snap() }
	d := roof.Deck{Name: "main"}
	kind := rapid.SampledFrom([]string{"rectangle", "L", "triangle", "bay"}).Draw(t, "kind")
	switch kind {
	case "L":
		d.Outline = plane.RingOf(p(0, 0), p(w, 0), p(w, b), p(a, b), p(a, h), p(0, h))
	case "triangle":
		d.Outline = plane.RingOf(p(0, 0), p(w, 0), p(0, h))
	case "bay":
		d.Outline = plane.Ring{{Point: p(0, 0), Bulge: part(100, 500, "bulge")}, {Point: p(w, 0)}, {Point: p(w, h)}, {Point: p(0, h)}}
	default:
		d.Outline = plane.RingOf(p(0, 0), p(w, 0), p(w, h), p(0, h))
	}
	for range d.Outline {
		c := rapid.SampledFrom([]roof.Condition{roof.Kerb, roof.Wall, roof.Verge, roof.Parapet}).Draw(t, "condition")
		d.Edges = append(d.Edges, roof.Edge{Condition: c, HeightMM: 150, WidthMM: 0})
	}
	// Water runs south over the first edge.
	d.Edges[0] = roof.Edge{Condition: roof.Drip}
	if rapid.Bool().Draw(t, "rooflight") && kind != "triangle" {
		x, y := a*part(200, 500, "ox"), b*part(200, 500, "oy")
		ring := plane.Rectangle(x, y, x+min(0.9, a*0.4), y+min(0.7, b*0.4))
		for i := range ring {
			ring[i].Point = ring[i].Point.Snap()
		}
		d.Openings = []roof.Opening{{Name: "RL1", Kind: "rooflight", KerbMM: 150, Outline: ring}}
	}
	d.Base = roof.Base{Kind: "sound deck"}
	if rapid.Bool().Draw(t, "on joists") {
		d.Base = roof.Base{Kind: "joists", JoistSpacingMM: rapid.SampledFrom([]float64{300, 400, 600}).Draw(t, "spacing"),
			JoistBearingDeg: rapid.SampledFrom([]float64{0, 90}).Draw(t, "bearing"),
			JoistWidthMM:    47, JoistDepthMM: 195, JoistSpanM: 3, TimberClass: "C24"}
	}
	d.Falls = plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: -1}, Ratio: 40}}}
	d.Exit = p(0, rapid.SampledFrom([]float64{0, h}).Draw(t, "exit"))
	return d
}

// drawJob puts a random deck into an example's job, with a random specification.
func drawJob(t *rapid.T, base roof.Job) roof.Job {
	job := clone(base)
	job.Decks = []roof.Deck{drawDeck(t)}
	job.Work.Kind = "strip"
	job.Spec.Layers = rapid.SampledFrom([][]float64{{450}, {600}, {450, 450}}).Draw(t, "layers")
	job.Spec.TopCoat.Coats = rapid.IntRange(1, 2).Draw(t, "coats")
	job.Crew.People = rapid.IntRange(1, 4).Draw(t, "people")
	temp := float64(rapid.IntRange(8, 28).Draw(t, "temperature"))
	job.Day = roof.Day{AirC: temp, DeckC: temp, ResinC: temp, RelativeHumidityPct: 60}
	return job
}

func made(rt *rapid.T, job roof.Job) *plan.Plan {
	p, err := plan.Make(context.Background(), plan.Input{Job: job, Catalogue: material.Generic()})
	if err != nil {
		rt.Fatal(err)
	}
	return p
}

// balance reports what does not add up in a plan: areas, kilograms, numbers, packs.
func balance(p *plan.Plan) []string {
	var faults []string
	near := func(what string, got, want, relative float64) {
		if math.Abs(got-want) > relative*math.Max(1, math.Abs(want)) || math.IsNaN(got) {
			faults = append(faults, fmt.Sprintf("%s: %v and %v", what, got, want))
		}
	}
	slope := map[string]float64{}
	for _, d := range p.Decks {
		slope[d.Name] = d.FieldM2
		near("net area of deck "+d.Name, d.NetM2, d.GrossM2-d.OpeningsM2, 1e-9)
		rain := 0.0
		for _, x := range d.Drains {
			rain += x.AreaM2
		}
		// The lids of openings shed too, but for those that touch the outline, and chords
		// lose a little of an arc.
		if len(d.Drains) > 0 && (rain < 0.99*d.NetM2 || rain > 1.001*d.GrossM2) {
			faults = append(faults, fmt.Sprintf("rain on deck %s falls on %v m² of %v", d.Name, rain, d.GrossM2))
		}
	}
	resin, coat, catalyst, buckets, highest := 0.0, 0.0, 0.0, 0, 0
	seen := map[int]bool{}
	for _, x := range p.Passes {
		name := fmt.Sprintf("%s %d on deck %s", x.Kind, x.Layer, x.Deck)
		cells, cellKG := 0.0, 0.0
		for _, c := range x.Cells {
			cells += c.AreaM2
			cellKG += c.ResinKG
		}
		if !x.Pieces() {
			near("cells of "+name, cells, slope[x.Deck], 1e-6)
			near("area of "+name, x.AreaM2, slope[x.Deck], 1e-6)
		}
		if x.Plan == nil {
			if x.Refusal == "" {
				faults = append(faults, name+" has neither buckets nor a refusal")
			}
			if x.Coat() {
				coat += cellKG
			} else {
				resin += cellKG
			}
			continue
		}
		mixed, laid := 0.0, 0.0
		for _, m := range x.Plan.Mixes {
			buckets++
			mixed += m.ResinKG
			laid += m.AreaM2
			catalyst += m.CatalystG
			// Edges and field of a coat share their numbers, turn by turn.
			if seen[m.Number] || m.Number != buckets && !x.Coat() {
				faults = append(faults, fmt.Sprintf("bucket %d stands at place %d", m.Number, buckets))
			}
			seen[m.Number], highest = true, max(highest, m.Number)
			if m.ResinKG > m.LimitKG*(1+1e-9) {
				faults = append(faults, fmt.Sprintf("mix %d is %v kg of %v allowed", m.Number, m.ResinKG, m.LimitKG))
			}
			parts, kg := 0.0, 0.0
			for _, part := range m.Parts {
				parts += part.AreaM2
				kg += part.KG
			}
			near(fmt.Sprintf("area of mix %d", m.Number), parts, m.AreaM2, 1e-6)
			near(fmt.Sprintf("kilograms of mix %d", m.Number), kg, m.ResinKG, 1e-6)
			// Per cent by mass and by jug are two things and both must hold.
			near(fmt.Sprintf("catalyst of mix %d by mass", m.Number), m.CatalystG, m.ResinKG*10*m.DosePct, 1e-9)
			near(fmt.Sprintf("catalyst of mix %d by jug", m.Number), m.CatalystML, m.ResinL*m.DoseMLPerL, 1e-9)
		}
		near("kilograms of "+name, mixed, x.KG, 1e-6)
		if !x.Pieces() {
			near("buckets of "+name, laid, slope[x.Deck], 1e-6)
			near("kilograms in cells of "+name, mixed, cellKG, 1e-6)
		}
		if x.Coat() {
			coat += mixed
		} else {
			resin += mixed
		}
	}
	if highest != buckets {
		faults = append(faults, fmt.Sprintf("the last of %d buckets is number %d", buckets, highest))
	}
	refused := false
	for _, x := range p.Passes {
		refused = refused || x.Refusal != ""
	}
	if !refused {
		near("resin in all", p.Totals.ResinKG, resin, 1e-6)
	}
	if !refused {
		near("top coat in all", p.Totals.CoatKG, coat, 1e-6)
	}
	near("catalyst in all", p.Totals.CatalystG, catalyst, 1e-6)
	if buckets != p.Totals.Buckets {
		faults = append(faults, fmt.Sprintf("%d buckets, the total says %d", buckets, p.Totals.Buckets))
	}
	return append(faults, orders(p)...)
}

// boarded is the deck as its carrier boards see it: over a structural deck they lie on
// insulation, and their joints need no joist.
func boarded(d roof.Deck, out plan.Deck) roof.Deck {
	if out.Structural != nil {
		d.Base.Kind = "sound deck"
	}
	return d
}

// orders reports lines that order less than is used, or name pieces nobody can find.
func orders(p *plan.Plan) []string {
	var faults []string
	known := map[string]bool{}
	pieces := map[string]float64{}
	for i, d := range p.Decks {
		prefix := ""
		if len(p.Decks) > 1 {
			prefix = d.Name + " "
		}
		known["deck "+d.Name] = true
		for _, x := range d.SetOut.Pieces {
			if known[prefix+x.Number] {
				faults = append(faults, "two pieces are called "+prefix+x.Number)
			}
			known[prefix+x.Number] = true
			pieces[string(x.Kind)] += x.AreaM2
		}
		if d.Structural != nil {
			for _, x := range d.Structural.Pieces {
				if known[prefix+x.Number] {
					faults = append(faults, "two pieces are called "+prefix+x.Number)
				}
				known[prefix+x.Number] = true
			}
		}
		for _, f := range d.Firrings {
			known[prefix+f.Number] = true
		}
		for _, r := range d.Renewals {
			known[prefix+r.Name] = true
		}
		surveyed := p.Job.Decks[i]
		for k := range surveyed.Edges {
			known[fmt.Sprintf("%sedge %d", prefix, k+1)] = true
		}
		for _, x := range surveyed.Openings {
			known[prefix+x.Name] = true
		}
		for _, x := range surveyed.Penetrations {
			known[prefix+x.Name] = true
		}
	}
	for _, x := range p.Passes {
		for _, c := range x.Cells {
			known[c.Name] = true
		}
		if x.Plan != nil {
			for _, m := range x.Plan.Mixes {
				known[fmt.Sprintf("mix %d", m.Number)] = true
			}
		}
	}
	boards, mat := 0.0, 0.0
	for _, l := range p.Order.Schedule.Lines {
		if l.Ordered < l.Gross-1e-6 || l.Gross < l.Net-1e-9 || l.Net <= 0 {
			faults = append(faults, fmt.Sprintf("%s: net %v, gross %v, ordered %v", l.MaterialKey, l.Net, l.Gross, l.Ordered))
		}
		packs := 0.0
		for _, k := range l.Order {
			packs += k.Quantity * float64(k.Count)
		}
		if packs > 0 && math.Abs(packs-l.Ordered) > 1e-6*packs {
			faults = append(faults, fmt.Sprintf("%s: packs hold %v, ordered %v", l.MaterialKey, packs, l.Ordered))
		}
		for _, n := range l.Pieces {
			if !known[n] {
				faults = append(faults, fmt.Sprintf("%s is for %q, which is not on the set-out", l.MaterialKey, n))
			}
		}
		switch l.Kind {
		case material.KindBoard:
			boards += l.Ordered
		case material.KindMat:
			mat += l.Ordered
		}
	}
	if boards < float64(p.Totals.Boards) {
		faults = append(faults, fmt.Sprintf("%v boards ordered of %d", boards, p.Totals.Boards))
	}
	if used := pieces[string(settingout.Mat)] + pieces[string(settingout.Patch)]; mat < used-1e-6 {
		faults = append(faults, fmt.Sprintf("%v m² of mat ordered, the pieces take %v", mat, used))
	}
	return faults
}

func TestExamplesAddUp(t *testing.T) {
	for _, name := range examples(t) {
		for _, f := range balance(planned(t, name)) {
			t.Errorf("%s: %s", name, f)
		}
	}
}

func TestRandomRoofsAddUp(t *testing.T) {
	base := example(t, "r04-l-shape.yaml")
	bounded(t, "40", func(rt *rapid.T) {
		job := drawJob(rt, base)
		for _, f := range job.Validate() {
			if !f.Warning {
				rt.Fatalf("the roof drawn is not sound: %+v", f)
			}
		}
		p := made(rt, job)
		for _, f := range balance(p) {
			rt.Error(f)
		}
		for _, d := range p.Decks {
			owned := false
			for _, f := range d.SetOut.Findings {
				owned = owned || strings.HasPrefix(f.Code, "board.")
			}
			for _, f := range proof.CheckFrom(boarded(job.Decks[0], d), job.Spec, d.Given, d.SetOut) {
				if !(owned && strings.HasPrefix(f.Code, "boards.s")) {
					rt.Errorf("set-out: %v", f)
				}
			}
		}
	})
}
