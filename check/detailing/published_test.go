package detailing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/internal/published"
	"gelwright/plane"
	"gelwright/roof"
)

func TestDistancesOfPractice(t *testing.T) {
	published.Hold(t, []published.Row{
		{Clause: "a brush needs 150 mm (common practice)", Place: "tightM", Got: tightM, Want: 0.15}, {Clause: "300 mm better (common practice)", Place: "comfortableM", Got: comfortableM, Want: 0.30},
		{Clause: "back-gutter saddles from 600 mm across the flow (common practice; US residential code 30 in)", Place: "saddleWidthM", Got: saddleWidthM, Want: 0.6},
		{Clause: "a deck wet over more than a quarter is stripped (common practice)", Place: "roof.WetPart", Got: roof.WetPart, Want: 25},
	})
}

func england() country.Set { s, _ := country.For("GB-ENG"); return s }

// one returns a job with a single wall edge and its only result of a key.
func one(t *testing.T, job roof.Job, key string) check.Result {
	t.Helper()
	r := find(Rules(job, england()), key)
	if len(r) != 1 {
		t.Fatalf("%d results of %s", len(r), key)
	}
	return r[0]
}

func jobOf(e roof.Edge) roof.Job {
	return roof.Job{Decks: []roof.Deck{{Name: "main", Outline: plane.Rectangle(0, 0, 4, 3), Edges: []roof.Edge{{Condition: roof.Drip}, e}}}}
}

// 150 mm above the finished roof (BS 6229), less what the new work adds where something limits it.
func TestUpstandsByHand(t *testing.T) {
	for _, c := range []struct {
		name    string
		e       roof.Edge
		spec    roof.Spec
		verdict check.Verdict
		use     float64
		says    string
		values  string
	}{
		{"150 is enough", roof.Edge{HeightMM: 150}, roof.Spec{}, check.Pass, 1, "150 mm against 150 mm", ""},
		{"149 is not", roof.Edge{HeightMM: 149}, roof.Spec{}, check.Fail, 150.0 / 149, "149 mm against 150 mm", "150"},
		{"nobody knows", roof.Edge{}, roof.Spec{}, check.Ask, 0, "how high can the upstand be", ""},
		{"a limit of 200 less 18 of boards", roof.Edge{HeightMM: 300, LimitMM: 200}, roof.Spec{Board: roof.Board{ThicknessMM: 18}}, check.Pass, 150.0 / 182, "200 mm of room − 18 mm of new work = 182 mm against 150 mm", ""},
		{"a limit above what is built", roof.Edge{HeightMM: 160, LimitMM: 200}, roof.Spec{Board: roof.Board{ThicknessMM: 18}}, check.Pass, 150.0 / 160, "160 mm against 150 mm", ""},
		{"a limit of 160 less 18: raise it to 168", roof.Edge{HeightMM: 300, LimitMM: 160}, roof.Spec{Board: roof.Board{ThicknessMM: 18}}, check.Fail, 150.0 / 142, "160 mm of room − 18 mm of new work = 142 mm against", "168"},
		{"and the upstand itself", roof.Edge{HeightMM: 145, LimitMM: 160}, roof.Spec{Board: roof.Board{ThicknessMM: 18}}, check.Fail, 150.0 / 142, "142 mm against", "168 150"},
		{"a limit alone", roof.Edge{LimitMM: 200}, roof.Spec{Board: roof.Board{ThicknessMM: 18}}, check.Pass, 150.0 / 182, "200 mm of room", ""},
		{"insulation above the deck adds too", roof.Edge{HeightMM: 300, LimitMM: 200}, roof.Spec{Build: "warm", Board: roof.Board{ThicknessMM: 18}, Insulation: &roof.Insulation{ThicknessMM: 120}}, check.Fail, 150.0 / 62, "200 mm of room − 138 mm of new work = 62 mm", "288"},
		{"inverted too", roof.Edge{HeightMM: 300, LimitMM: 200}, roof.Spec{Build: "inverted", Board: roof.Board{ThicknessMM: 18}, Insulation: &roof.Insulation{ThicknessMM: 120}}, check.Fail, 150.0 / 62, "138 mm of new work", "288"},
		{"below the deck it does not", roof.Edge{HeightMM: 300, LimitMM: 200}, roof.Spec{Build: "cold", Board: roof.Board{ThicknessMM: 18}, Insulation: &roof.Insulation{ThicknessMM: 120}}, check.Pass, 150.0 / 182, "18 mm of new work", ""},
		{"no room at all", roof.Edge{HeightMM: 300, LimitMM: 18}, roof.Spec{Board: roof.Board{ThicknessMM: 18}}, check.Fail, 0, "0 mm against", "168"},
	} {
		c.e.Condition = roof.Parapet
		job := jobOf(c.e)
		job.Spec = c.spec
		r := one(t, job, "detailing.upstand")
		var values []string
		for _, m := range r.Remedies {
			values = append(values, m.Value)
		}
		if r.Verdict != c.verdict || math.Abs(r.Utilisation-c.use) > 1e-12 || !strings.Contains(r.Finding, c.says) || strings.Join(values, " ") != c.values || r.Where != "deck main, edge 2 ("+string(roof.Parapet)+")" {
			t.Errorf("%s: %+v", c.name, r)
		}
		if in := r.Working[0].Inputs; strings.Contains(c.says, "of new work") && (len(in) != 2 || in[0].Value != c.e.LimitMM || math.Abs(in[1].Value-(c.e.LimitMM-r.Working[0].Value)) > 1e-12) {
			t.Errorf("%s: working %+v", c.name, r.Working[0])
		}
	}
	// The riser between two decks has no least height.
	if r := find(Rules(jobOf(roof.Edge{Condition: roof.StepUp, HeightMM: 50}), england()), "detailing.upstand"); len(r) != 0 {
		t.Errorf("%+v", r)
	}
}

func TestSillsKerbsAndTraysByHand(t *testing.T) {
	for _, c := range []struct {
		mm       float64
		verdict  check.Verdict
		use      float64
		remedies int
		flags    int
	}{{150, check.Pass, 1, 0, 0}, {149, check.Fail, 150.0 / 149, 2, 1}, {75, check.Fail, 2, 2, 1}, {74, check.Fail, 150.0 / 74, 1, 0}, {0, check.Fail, 150, 1, 0}} {
		r := one(t, jobOf(roof.Edge{Condition: roof.Parapet, HeightMM: 200, Thresholds: []roof.Threshold{{UpstandMM: c.mm}}}), "detailing.threshold")
		if r.Verdict != c.verdict || math.Abs(r.Utilisation-c.use) > 1e-12 || len(r.Remedies) != c.remedies || len(r.Flags) != c.flags {
			t.Errorf("sill of %g mm: %+v", c.mm, r)
		}
	}
	for tray, want := range map[string]check.Verdict{"yes": check.Pass, "no": check.Fail, "": check.Ask} {
		r := one(t, jobOf(roof.Edge{Condition: roof.Wall, HeightMM: 200, CavityTray: tray}), "detailing.cavity-tray")
		if r.Verdict != want || (want == check.Fail) != (len(r.Remedies) == 1 && r.Utilisation == 1.01) {
			t.Errorf("tray %q: %+v", tray, r)
		}
	}
	if r := find(Rules(jobOf(roof.Edge{Condition: roof.Parapet, HeightMM: 200}), england()), "detailing.cavity-tray"); len(r) != 0 {
		t.Errorf("a parapet has no cavity of a wall above: %+v", r)
	}
	for mm, want := range map[float64]struct {
		verdict check.Verdict
		use     float64
	}{0: {check.Ask, 0}, 149: {check.Fail, 150.0 / 149}, 150: {check.Pass, 1}, 300: {check.Pass, 0.5}} {
		job := jobOf(roof.Edge{Condition: roof.Drip})
		job.Decks[0].Openings = []roof.Opening{{Name: "RL", KerbMM: mm, Outline: plane.Rectangle(1, 1, 2, 2)}}
		r := one(t, job, "detailing.kerb")
		if r.Verdict != want.verdict || math.Abs(r.Utilisation-want.use) > 1e-12 || (want.verdict == check.Fail) != (len(r.Remedies) == 1) {
			t.Errorf("kerb of %g mm: %+v", mm, r)
		}
	}
}

// Width across the flow, by hand, for every way a deck falls. The opening is 0.5 by 0.9 m.
func TestSaddlesByHand(t *testing.T) {
	fall := func(x, y float64) plane.FallPlane { return plane.FallPlane{Down: plane.Point{X: x, Y: y}, Ratio: 40} }
	line := [2]plane.Point{{X: 0, Y: 1.5}, {X: 4, Y: 1.5}}
	for _, c := range []struct {
		name  string
		falls plane.Falls
		at    plane.Point
		width float64
		due   bool
	}{
		{"south: 0.5 across", plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{fall(0, -1)}}, plane.Point{X: 1, Y: 1}, 0.5, true},
		{"west: 0.9 across", plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{fall(-1, 0)}}, plane.Point{X: 1, Y: 1}, 0.9, true},
		{"ridge, above the line the first plane", plane.Falls{Kind: plane.Ridge, Line: line, Planes: []plane.FallPlane{fall(0, 1), fall(-1, 0)}}, plane.Point{X: 1, Y: 1.6}, 0.5, true},
		{"ridge, below it the second", plane.Falls{Kind: plane.Ridge, Line: line, Planes: []plane.FallPlane{fall(0, 1), fall(-1, 0)}}, plane.Point{X: 1, Y: 0.2}, 0.9, true},
		{"a centre on the line counts to the first", plane.Falls{Kind: plane.Ridge, Line: line, Planes: []plane.FallPlane{fall(0, 1), fall(-1, 0)}}, plane.Point{X: 1, Y: 1.05}, 0.5, true},
		{"a line with one plane only", plane.Falls{Kind: plane.Hip, Line: line, Planes: []plane.FallPlane{fall(0, 1)}}, plane.Point{X: 1, Y: 0.2}, 0.5, true},
		{"to an outlet due south of its middle", plane.Falls{Kind: plane.ToPoint, Point: plane.Point{X: 1.25, Y: 0}, Planes: []plane.FallPlane{{Ratio: 40}}}, plane.Point{X: 1, Y: 1}, 0.5, true},
		{"to an outlet due west", plane.Falls{Kind: plane.ToPoint, Point: plane.Point{X: 0, Y: 1.45}, Planes: []plane.FallPlane{{Ratio: 40}}}, plane.Point{X: 1, Y: 1}, 0.9, true},
		{"an outlet in its middle", plane.Falls{Kind: plane.ToPoint, Point: plane.Point{X: 1.25, Y: 1.45}, Planes: []plane.FallPlane{{Ratio: 40}}}, plane.Point{X: 1, Y: 1}, 0, false},
		{"no falls known", plane.Falls{}, plane.Point{X: 1, Y: 1}, 0, false},
	} {
		deck := roof.Deck{Name: "main", Falls: c.falls}
		r, due := saddle(roof.Opening{Name: "RL", Outline: plane.Rectangle(c.at.X, c.at.Y, c.at.X+0.5, c.at.Y+0.9)}, &deck)
		if due != c.due || due && (math.Abs(r.Working[0].Value-c.width) > 1e-9 || math.Abs(r.Utilisation-c.width/0.6) > 1e-9) {
			t.Errorf("%s: %v %+v", c.name, due, r)
		}
	}
	deck := roof.Deck{Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{fall(0, -1)}}}
	for w, want := range map[float64]check.Verdict{0.599: check.Pass, 0.6: check.Caution} {
		if r, _ := saddle(roof.Opening{Outline: plane.Rectangle(1, 1, 1+w, 2)}, &deck); r.Verdict != want || (want == check.Caution) != (len(r.Remedies) == 1) {
			t.Errorf("%g m: %+v", w, r)
		}
	}
}

func TestAccessFireAndGuard(t *testing.T) {
	job := jobOf(roof.Edge{Condition: roof.Drip})
	job.Site.EavesM = 2.4
	r := one(t, job, "detailing.access")
	if r.Verdict != check.Ask || !strings.HasPrefix(r.Finding, "edge 2.4 m above ground") || strings.Contains(r.Finding, "cover and mark") {
		t.Errorf("%+v", r)
	}
	job.Decks[0].Openings = []roof.Opening{{Name: "RL1", Fragile: true, Outline: plane.Rectangle(1, 1, 2, 2)}, {Name: "RL2", Outline: plane.Rectangle(1, 1, 2, 2)}}
	if r = one(t, job, "detailing.access"); !strings.HasSuffix(r.Finding, "before anyone goes up: RL1") {
		t.Errorf("%+v", r)
	}
	if r = one(t, job, "detailing.fire"); !strings.Contains(r.Finding, "BROOF(t4)") {
		t.Errorf("%+v", r)
	}
	ireland, _ := country.For("IE")
	if f := find(Rules(job, ireland), "detailing.fire"); strings.Contains(f[0].Finding, "t4") || len(f[0].Flags) != 0 {
		t.Errorf("%+v", f)
	}
	if g := find(Rules(job, ireland), "detailing.guard"); len(g) != 0 {
		t.Errorf("%+v", g)
	}
	job.Use.Access = "balcony"
	if g := one(t, job, "detailing.guard"); len(g.Flags) != 1 || !strings.Contains(g.Flags[0], "1100") {
		t.Errorf("%+v", g)
	}
}

// Clear distances by hand: 150 mm at least, 300 mm better. The pipe is 100 mm across.
func TestClearancesByHand(t *testing.T) {
	edges := []roof.Edge{{Condition: roof.Drip}, {Condition: roof.Parapet}, {Condition: roof.Wall}, {Condition: roof.Kerb}}
	deck := func(ps ...roof.Penetration) *roof.Deck {
		return &roof.Deck{Name: "main", Outline: plane.Rectangle(0, 0, 6, 6), Edges: edges, Penetrations: ps}
	}
	pipe := func(x, y float64) roof.Penetration {
		return roof.Penetration{Name: "P1", Kind: "pipe", At: plane.Point{X: x, Y: y}, DiameterMM: 100}
	}
	for _, c := range []struct {
		name    string
		deck    *roof.Deck
		says    string
		use     float64
		verdict check.Verdict
		helps   int
	}{
		{"near the parapet", deck(pipe(5.81, 3)), "140 mm to edge 2", 0.15 / 0.14, check.Fail, 1},
		{"150 mm from it", deck(pipe(5.80, 3)), "150 mm to edge 2", 1, check.Caution, 0},
		{"299 mm", deck(pipe(5.651, 3)), "299 mm to edge 2", 0.15 / 0.299, check.Caution, 0},
		{"300 mm", deck(pipe(5.65, 3)), "300 mm to edge 2", 0.5, check.Pass, 0},
		{"near the kerb", deck(pipe(0.19, 3)), "140 mm to edge 4", 0.15 / 0.14, check.Fail, 1},
		{"a drip is no hindrance", deck(pipe(3, 0.05)), "2950 mm", 0.15 / 2.95, check.Pass, 0},
		{"an outlet in the gutter", deck(roof.Penetration{Name: "O1", Kind: "outlet", At: plane.Point{X: 5.81, Y: 3}, DiameterMM: 100}), "140 mm to edge 2", 0.15 / 0.14, check.Caution, 1},
		{"an outlet in the open", deck(roof.Penetration{Name: "O1", Kind: "outlet", At: plane.Point{X: 3, Y: 3}, DiameterMM: 100}), "2950 mm", 0.15 / 2.95, check.Pass, 0},
		{"a post in the open", deck(roof.Penetration{Name: "P1", Kind: "post", At: plane.Point{X: 3, Y: 3}, WidthMM: 100, DepthMM: 80}), "2950 mm", 0.15 / 2.95, check.Caution, 1},
		{"a deep post by the wall", deck(roof.Penetration{Name: "P1", Kind: "post", At: plane.Point{X: 3, Y: 5.81}, WidthMM: 60, DepthMM: 100}), "140 mm to edge 3", 0.15 / 0.14, check.Fail, 2},
		{"against the wall", deck(pipe(3, 5.95)), "0 mm to edge 3", 150, check.Fail, 1},
	} {
		r := clearances(c.deck)
		if len(r) != 1 || !strings.Contains(r[0].Finding, c.says) || math.Abs(r[0].Utilisation-c.use) > 1e-6 || r[0].Verdict != c.verdict || len(r[0].Remedies) != c.helps {
			t.Errorf("%s: %+v", c.name, r)
			continue
		}
		var mm float64
		if _, err := fmt.Sscanf(r[0].Finding, "%f mm", &mm); err != nil || math.Abs(r[0].Working[0].Value-mm) > 0.5 {
			t.Errorf("%s: working %g mm, %s", c.name, r[0].Working[0].Value, r[0].Finding)
		}
	}
	// Two pipes 0.4 m apart, 100 and 200 mm across: 250 mm; an overflow in between counts for nothing.
	two := deck(pipe(3, 3), roof.Penetration{Name: "P2", Kind: "pipe", At: plane.Point{X: 3.4, Y: 3}, DiameterMM: 200}, roof.Penetration{Name: "F1", Kind: "overflow", At: plane.Point{X: 3.1, Y: 3}})
	r := clearances(two)
	if len(r) != 2 || !strings.Contains(r[0].Finding, "250 mm to P2") || !strings.Contains(r[1].Finding, "250 mm to P1") {
		t.Errorf("%+v", r)
	}
	// A rooflight 0.2 m from the pipe's side.
	by := deck(pipe(2.75, 3))
	by.Openings = []roof.Opening{{Name: "RL", Outline: plane.Rectangle(3, 2, 4, 4)}}
	if r = clearances(by); !strings.Contains(r[0].Finding, "200 mm to RL") {
		t.Errorf("%+v", r)
	}
	// Nothing to be clear of.
	free := deck(pipe(3, 3))
	free.Edges = []roof.Edge{{Condition: roof.Drip}, {Condition: roof.Drip}}
	if r = clearances(free); len(r) != 0 {
		t.Errorf("%+v", r)
	}
}

func TestGroupingKeepsWhatMustBeChanged(t *testing.T) {
	alike := func(name string, use float64, fix string) check.Result {
		return check.Result{Key: "detailing.kerb", Where: "deck main, " + name, Verdict: check.Fail, Finding: "120 mm against 150 mm", Utilisation: use, Remedies: []check.Remedy{{Text: "raise the kerb", Field: fix}}}
	}
	if got := grouped([]check.Result{alike("RL1", 1, "openings[RL1].kerb_mm"), alike("RL2", 1, "openings[RL2].kerb_mm")}); len(got) != 2 {
		t.Errorf("what is to be changed in the file stays by itself: %+v", got)
	}
	got := grouped([]check.Result{alike("RL1", 1, ""), alike("RL2", 1.5, ""), alike("RL3", 1.2, "")})
	if len(got) != 1 || got[0].Utilisation != 1.5 || got[0].Where != "deck main, RL1–RL3" || got[0].Finding != "3 openings alike: 120 mm against 150 mm" {
		t.Errorf("%+v", got)
	}
	got = grouped([]check.Result{alike("RL1", 1, ""), alike("RL2", 1, "")})
	if len(got) != 1 || got[0].Where != "deck main, RL1, RL2" {
		t.Errorf("%+v", got)
	}
	other := check.Result{Key: "detailing.access", Where: "deck main, all", Finding: "x"}
	if got := grouped([]check.Result{other, other}); len(got) != 2 {
		t.Errorf("only saddles and kerbs are joined: %+v", got)
	}
	for _, c := range []struct {
		names []string
		want  string
	}{{[]string{"A0", "A1", "A2"}, "A0–A2"}, {[]string{"A1", "B2", "A3"}, "A1, B2, A3"}, {[]string{"A", "A", "A"}, "A, A, A"}, {[]string{"A2", "A1", "A0"}, "A2, A1, A0"}} {
		if got := spread(c.names); got != c.want {
			t.Errorf("%v: %s", c.names, got)
		}
	}
	// A quarter wet, of no readings, is no overlay refused.
	if r, _ := CheckOverlay(roof.Job{Work: roof.Work{Kind: "overlay", OldDeck: "OSB"}, Decks: []roof.Deck{{Name: "main"}}}); r.Verdict != check.Pass {
		t.Errorf("%+v", r)
	}
}
