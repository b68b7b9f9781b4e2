package plan_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gelwright/cure"
	"gelwright/material"
	"gelwright/plan"
	"gelwright/plane"
	"gelwright/roof"
)

// moved returns a job with every place on plan moved by f; flips tells whether f turns
// the plan over.
func moved(job roof.Job, f func(plane.Point) plane.Point, flips bool) roof.Job {
	out := clone(job)
	// A direction is moved as the difference of two places.
	direction := func(u plane.Point) plane.Point { return f(u).Sub(f(plane.Point{})) }
	ring := func(r plane.Ring) plane.Ring {
		to := append(plane.Ring(nil), r...)
		if flips {
			to = r.Reversed()
		}
		for i := range to {
			to[i].Point = f(to[i].Point)
			if flips {
				// Reversed turns the bulge's sign, mirroring turns it back.
				to[i].Bulge = -to[i].Bulge
			}
		}
		return to
	}
	for k := range out.Decks {
		d := &out.Decks[k]
		before := job.Decks[k]
		d.Outline, d.Exit = ring(before.Outline), f(before.Exit)
		if flips {
			n := len(before.Edges)
			for i := range d.Edges {
				d.Edges[i] = before.Edges[(2*n-2-i)%n]
			}
		}
		for i := range d.Openings {
			d.Openings[i].Outline = ring(before.Openings[i].Outline)
		}
		for i := range d.Falls.Planes {
			d.Falls.Planes[i].Down = direction(before.Falls.Planes[i].Down)
		}
		if d.Base.Kind == "joists" {
			along := direction(plane.Point{X: math.Cos(before.Base.JoistBearingDeg * math.Pi / 180),
				Y: math.Sin(before.Base.JoistBearingDeg * math.Pi / 180)})
			d.Base.JoistBearingDeg = math.Mod(math.Round(math.Atan2(along.Y, along.X)*180/math.Pi)+360, 180)
			d.Base.JoistOffsetMM = offset(before, *d, f)
		}
	}
	return out
}

// offset finds the first joist of a moved deck: it is counted from the lowest corner
// across the joists, which may be another corner now.
func offset(before, after roof.Deck, f func(plane.Point) plane.Point) float64 {
	low, _ := before.Outline.Bounds()
	first := low.Add(plane.Point{X: before.Base.JoistOffsetMM / 1000})
	if before.Base.JoistBearingDeg == 0 {
		first = low.Add(plane.Point{Y: before.Base.JoistOffsetMM / 1000})
	}
	first = f(first)
	corner, _ := after.Outline.Bounds()
	from := first.X - corner.X
	if after.Base.JoistBearingDeg == 0 {
		from = first.Y - corner.Y
	}
	rest := math.Mod(from*1000, after.Base.JoistSpacingMM)
	if rest < -1e-6 {
		rest += after.Base.JoistSpacingMM
	}
	return math.Max(0, math.Round(rest*10)/10)
}

func TestTurningOrMirroringChangesNoQuantity(t *testing.T) {
	base := example(t, "r04-l-shape.yaml")
	bounded(t, "12", func(rt *rapid.T) {
		job := drawJob(rt, base)
		plain := made(rt, job)
		for name, other := range map[string]roof.Job{
			"turned":   moved(job, func(p plane.Point) plane.Point { return plane.Point{X: -p.Y, Y: p.X} }, false),
			"mirrored": moved(job, func(p plane.Point) plane.Point { return plane.Point{X: -p.X, Y: p.Y} }, true),
			"shifted":  moved(job, func(p plane.Point) plane.Point { return p.Add(plane.Point{X: 17, Y: -9}) }, false),
		} {
			p := made(rt, other)
			for _, f := range differences(plain, p) {
				rt.Errorf("%s: %s", name, f)
			}
		}
	})
}

// differences compares what is bought and mixed; a millimetre of rounding in each
// piece is let through.
func differences(a, b *plan.Plan) []string {
	var out []string
	near := func(what string, x, y, slack float64) {
		if math.Abs(x-y) > slack*math.Max(1, math.Abs(x)) {
			out = append(out, what+": "+number(x)+" and "+number(y))
		}
	}
	s, t := a.Totals, b.Totals
	near("net area", s.NetM2, t.NetM2, 1e-9)
	near("boards", float64(s.Boards), float64(t.Boards), 0)
	near("trim", s.TrimM, t.TrimM, 2e-3)
	near("bandage", s.BandageM, t.BandageM, 2e-3)
	near("mat", s.MatM2, t.MatM2, 2e-3)
	near("resin", s.ResinKG, t.ResinKG, 2e-3)
	near("top coat", s.CoatKG, t.CoatKG, 1e-3)
	// A corner's hand changes in a mirror.
	hand := strings.NewReplacer("left-hand", "handed", "right-hand", "handed")
	lines := map[string]float64{}
	for _, l := range a.Order.Schedule.Lines {
		lines[hand.Replace(l.MaterialKey)] += l.Net
	}
	others := map[string]float64{}
	for _, l := range b.Order.Schedule.Lines {
		// Clouts and screws are counted from rounded lengths, buckets from the order of work.
		if l.Kind == material.KindFixing || l.Kind == material.KindTool || l.Kind == material.KindCatalyst {
			continue
		}
		others[hand.Replace(l.MaterialKey)] += l.Net
	}
	for key, net := range others {
		near("net "+key, lines[key], net, 5e-3)
	}
	for i, r := range a.Checks {
		// Screws are counted in small wind zones, where the boards happen to lie: boards that
		// are turned may lie otherwise and hold another number there.
		if strings.HasPrefix(r.Key, "wind.uplift") {
			continue
		}
		if i < len(b.Checks) && r.Verdict != b.Checks[i].Verdict && r.Key == b.Checks[i].Key && r.Where == b.Checks[i].Where {
			out = append(out, "check "+r.Key+": "+string(r.Verdict)+" and "+string(b.Checks[i].Verdict)+": "+b.Checks[i].Finding)
		}
	}
	return out
}

// TestWarmerDeckNeverGelsLater plans one roof at rising temperatures: the dose never
// rises, and under the same dose the gel never comes later; the law itself is held to
// it over all doses.
func TestWarmerDeckNeverGelsLater(t *testing.T) {
	bounded(t, "200", func(rt *rapid.T) {
		resins := material.Generic().Resins
		r := resins[rapid.IntRange(0, len(resins)-1).Draw(rt, "resin")]
		g, err := cure.NewGel(r)
		if err != nil {
			rt.Fatal(err)
		}
		pct := rapid.Float64Range(g.MinPct, g.MaxPct).Draw(rt, "dose")
		cold := rapid.Float64Range(g.MinC, g.MaxC).Draw(rt, "cold")
		warm := rapid.Float64Range(cold, g.MaxC).Draw(rt, "warm")
		a, err := g.Time(cold, pct)
		if err != nil {
			rt.Skip("outside the sheet")
		}
		b, err := g.Time(warm, pct)
		if err != nil {
			rt.Skip("outside the sheet")
		}
		if b.LikelyMin > a.LikelyMin*(1+1e-12) {
			rt.Errorf("%s at %v %%: %v min at %v °C, %v min at %v °C", r.Name, pct, a.LikelyMin, cold, b.LikelyMin, warm)
		}
	})
	job := named(example(t, "r01-garage.yaml"))
	lastPct, lastGel, worked := math.Inf(1), math.Inf(1), 0
	for temp := 4.0; temp <= 36; temp += 2 {
		p, err := plan.Make(t.Context(), plan.Input{Cache: shared, Job: job, Catalogue: material.Generic(), TempC: &temp})
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range p.Passes {
			if x.Kind != "mat" || x.Plan == nil {
				continue
			}
			worked++
			m := x.Plan.Mixes[0]
			if m.DosePct > lastPct {
				t.Errorf("at %v °C the dose rises from %v to %v %%", temp, lastPct, m.DosePct)
			}
			if m.DosePct == lastPct && m.Gel.LikelyMin > lastGel {
				t.Errorf("at %v °C and %v %% the gel is later: %v min after %v", temp, m.DosePct, m.Gel.LikelyMin, lastGel)
			}
			lastPct, lastGel = m.DosePct, m.Gel.LikelyMin
		}
	}
	if worked < 8 {
		t.Errorf("the roof could be laid at %d temperatures only", worked)
	}
}

// TestColdDayIsRefusedInWords: below the resin's least temperature there are no
// buckets, but a reason, what would help, and still a list of what to buy.
func TestColdDayIsRefusedInWords(t *testing.T) {
	temp := 1.0
	p, err := plan.Make(t.Context(), plan.Input{Cache: shared, Job: example(t, "r04-l-shape.yaml"), Catalogue: material.Generic(), TempC: &temp})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range p.Passes {
		if x.Plan != nil || x.Refusal == "" || len(x.Remedies) == 0 {
			t.Errorf("%s on deck %s: %q, %d remedies", x.Kind, x.Deck, x.Refusal, len(x.Remedies))
		}
	}
	usual := planned(t, "r04-l-shape.yaml")
	if math.Abs(p.Totals.ResinKG-usual.Totals.ResinKG) > 1e-6 || p.Totals.ResinKG == 0 {
		t.Errorf("%v kg of resin on a cold day, %v on another", p.Totals.ResinKG, usual.Totals.ResinKG)
	}
	for _, f := range orders(p) {
		t.Error(f)
	}
}
