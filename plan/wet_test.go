package plan_test

import (
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/cure"
	"gelwright/laying"
	"gelwright/material"
	"gelwright/plan"
	"gelwright/roof"
)

// wetAt plans an example at one temperature, with resins whose drums carry a data sheet.
func wetAt(t *testing.T, name string, tempC float64) *plan.Plan {
	t.Helper()
	return wetPlan(t, name, &tempC)
}

func wetPlan(t *testing.T, name string, tempC *float64) *plan.Plan {
	t.Helper()
	job := example(t, name)
	p, err := plan.Make(context.Background(), plan.Input{Cache: shared, Job: job, Catalogue: material.Generic(), TempC: tempC, Weigh: true,
		Gels: sheetLaws(t, job)})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// sheetLaws are the laws of a job's resins as if the catalogue's points were their drums' own
// data sheets: of an unknown brand the ranges are wider.
func sheetLaws(t *testing.T, job roof.Job) map[string]cure.Gel {
	t.Helper()
	out := map[string]cure.Gel{}
	for _, key := range []string{job.Spec.Resin, job.Spec.CoatResin} {
		r, err := material.Generic().Resin(key)
		if err != nil {
			t.Fatal(err)
		}
		r.Own = []string{"gel_points"}
		if out[key], err = cure.NewGel(r); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

func passOf(t *testing.T, p *plan.Plan, kind string) *laying.WetPass {
	t.Helper()
	for i := range p.Wet {
		if p.Wet[i].Kind == kind {
			return &p.Wet[i]
		}
	}
	t.Fatalf("no %s hardens", kind)
	return nil
}

// Hardening that the trade expects of its usual doses (common practice, no source): a
// laminate bears a careful foot after 45 to 90 min at 20 °C and 2 to 3 h at 10 °C, is
// safe from rain 30 to 60 min after its gel of about 20 min at 20 °C, and takes a coat within
// 24 to 48 h; a waxed coat is tack-free after 2 to 4 h at 20 °C and about 4 h at 10 °C.
// Held when the range meets the trade's.
func TestPassesHardenAsTheTradeExpects(t *testing.T) {
	for _, c := range []struct {
		tempC     float64
		kind      string
		is        cure.Milestone
		low, high float64 // min
	}{
		{20, "mat", cure.Walk, 45, 90}, {20, "mat", cure.RainSafe, 50, 80}, {20, "mat", cure.OverCoatUntil, 24 * 60, 48 * 60},
		{10, "mat", cure.Walk, 120, 180}, {10, "mat", cure.OverCoatUntil, 24 * 60, 48 * 60},
		{20, "top coat", cure.RainSafe, 120, 240}, {10, "top coat", cure.RainSafe, 180, 300}, {20, "top coat", cure.Walk, 20 * 60, 28 * 60},
		{20, "mat", cure.FullCure, 5 * 24 * 60, 7 * 24 * 60},
	} {
		r := passOf(t, wetAt(t, "r01-garage.yaml", c.tempC), c.kind).At(c.is)
		if r.LowMin > c.high || r.HighMin < c.low {
			t.Errorf("%s at %g °C: %s after %.0f–%.0f min, the trade has %g–%g", c.kind, c.tempC, c.is.Done(), r.LowMin, r.HighMin, c.low, c.high)
		}
	}
	// Nobody sands what does not bear a foot.
	for _, kind := range []string{"mat", "top coat"} {
		w := passOf(t, wetAt(t, "r01-garage.yaml", 20), kind)
		if walk, sand := w.At(cure.Walk), w.At(cure.Sand); sand.LikelyMin < walk.LikelyMin {
			t.Errorf("%s is sanded after %.0f min and walked on after %.0f", kind, sand.LikelyMin, walk.LikelyMin)
		}
	}
}

// Every pass of every example: all milestones, each a range, each with its working down
// to the gel law, and nothing in the JSON that is no number.
func TestEveryPassIsFollowed(t *testing.T) {
	for _, name := range examples(t) {
		p := planned(t, name)
		passes := 0
		for _, x := range p.Passes {
			if x.Plan != nil && !x.Pieces() {
				passes++
			}
		}
		if len(p.Wet) != passes || passes == 0 {
			t.Errorf("%s: %d passes, %d followed", name, passes, len(p.Wet))
		}
		for i := range p.Wet {
			w := &p.Wet[i]
			if len(w.Marks) != len(cure.Milestones()) {
				t.Errorf("%s %s: %d milestones", name, w.Key, len(w.Marks))
			}
			for _, m := range w.Marks {
				r := m.After
				if !(r.LowMin > 0 && r.LowMin <= r.LikelyMin && r.LikelyMin <= r.HighMin) {
					t.Errorf("%s %s: %v is no range", name, m.Key, r)
				}
				f, ok := p.Workings.Find(m.Key)
				if !ok {
					t.Errorf("%s: no figure %s", name, m.Key)
					continue
				}
				if f.Text == "" && (f.Value != r.LikelyMin || f.Low > f.Value || f.High < f.Value || math.IsInf(f.High, 0)) {
					t.Errorf("%s: %s is %g (%g–%g), the pass has %v", name, m.Key, f.Value, f.Low, f.High, r)
				}
				if f.Text != "" != math.IsInf(r.LikelyMin, 1) {
					t.Errorf("%s: %s says %q of %v", name, m.Key, f.Text, r)
				}
			}
			if gel := w.At(cure.AtGel); gel.HighMin >= w.At(cure.Walk).HighMin || w.PeakLowC > w.PeakC || w.PeakC > w.PeakHighC ||
				w.Left.PeakC < w.PeakC {
				t.Errorf("%s %s: gel %v, peak %g (%g–%g), bucket %g", name, w.Key, gel, w.PeakC, w.PeakLowC, w.PeakHighC, w.Left.PeakC)
			}
			if n := len(w.Curve); n < 20 || w.Curve[n-1].Alpha < 0.8 {
				t.Errorf("%s %s: a curve of %d points", name, w.Key, n)
			}
		}
		raw, err := json.Marshal(p)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		var back struct{ Wet []laying.WetPass }
		if err := json.Unmarshal(raw, &back); err != nil {
			t.Fatal(err)
		}
		for i := range back.Wet {
			for _, m := range cure.Milestones() {
				if a, b := back.Wet[i].At(m), p.Wet[i].At(m); a != b {
					t.Errorf("%s %s: %s is %v and read back %v", name, p.Wet[i].Key, m, b, a)
				}
			}
		}
	}
}

// Twenty cases are few: the range must be near that of many, or they are too few.
func TestFewCasesAreEnough(t *testing.T) {
	p := wetAt(t, "r01-garage.yaml", 15)
	w := passOf(t, p, "mat")
	g := sheetLaws(t, p.Job)[p.Job.Spec.Resin]
	f := cure.Film{ResinKGPerM2: w.ResinKGPerM2, GlassKGPerM2: w.GlassKGPerM2, Base: []cure.Reading{{TempC: w.DeckC}}, Deck: nil}
	f.Deck = append(f.Deck, cure.Board(p.Job.Spec.Board.ThicknessMM))
	many, err := cure.FilmRange(context.Background(), g, cure.Roof(), f, w.Pct, cure.RoofThresholds(), cure.Doubts{}, 512)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range []cure.Milestone{cure.AtGel, cure.Trim, cure.Walk, cure.Sand, cure.RainSafe} {
		few, all := w.At(m), many.Hardening[m]
		for _, v := range []struct{ few, all, tol float64 }{{few.LowMin, all.LowMin, 0.10}, {few.LikelyMin, all.LikelyMin, 0.07},
			{few.HighMin, all.HighMin, 0.10}} {
			if math.Abs(math.Log(v.few/v.all)) > v.tol {
				t.Errorf("%s: %v from few cases, %v from many", m, few, all)
			}
		}
	}
}

func resultOf(t *testing.T, p *plan.Plan, key string) check.Result {
	t.Helper()
	for _, r := range p.Checks {
		if r.Key == key {
			return r
		}
	}
	t.Fatalf("no check %s", key)
	return check.Result{}
}

// A cold deck stops the cure short and says so, with what would help; a mild one does not.
func TestAColdCureIsNamed(t *testing.T) {
	mild := resultOf(t, wetAt(t, "r01-garage.yaml", 18), "cure.window")
	if mild.Verdict != check.Pass || !strings.Contains(mild.Finding, "safe from rain") || len(mild.Flags) == 0 {
		t.Errorf("18 °C: %+v", mild)
	}
	cold := resultOf(t, wetAt(t, "r01-garage.yaml", 5.2), "cure.window")
	if cold.Verdict == check.Pass || len(cold.Remedies) < 3 || len(cold.Working) < 4 {
		t.Errorf("5.2 °C: %+v", cold)
	}
	// The winter roof's hours fall below freezing in the evening; its laminate is later safe
	// than on a deck that stays at the temperature of mixing.
	winter := planned(t, "r08-winter.yaml")
	w := passOf(t, winter, "mat")
	level := passOf(t, wetAt(t, "r08-winter.yaml", w.DeckC), "mat")
	if !(w.At(cure.RainSafe).LikelyMin > 1.2*level.At(cure.RainSafe).LikelyMin) {
		t.Errorf("a freezing night: safe from rain after %v, on a level deck after %v", w.At(cure.RainSafe), level.At(cure.RainSafe))
	}
	if r := resultOf(t, winter, "cure.window"); r.Verdict == check.Pass || len(r.Flags) != 0 {
		t.Errorf("winter: %+v", r)
	}
}

// A bucket left standing is a caution with an act, whatever else is well; its figures
// are those of the pass.
func TestABucketLeftStandingIsACaution(t *testing.T) {
	p := wetAt(t, "r01-garage.yaml", 20)
	r := resultOf(t, p, "cure.leftover")
	if r.Verdict != check.Caution || len(r.Remedies) < 2 || !strings.Contains(r.Remedies[0].Text, "dry sand") {
		t.Errorf("%+v", r)
	}
	for i := range p.Wet {
		w := &p.Wet[i]
		if f, ok := p.Workings.Find(w.Key + ".bucket_peak"); !ok || f.Value != w.Left.PeakC {
			t.Errorf("%s: the peak of its bucket has no figure", w.Key)
		}
	}
}

// A slower drum hardens later: the learned law reaches the milestones too.
func TestALearnedLawMovesTheMilestones(t *testing.T) {
	job := example(t, "r01-garage.yaml")
	c := material.Generic()
	r, err := c.Resin(job.Spec.Resin)
	if err != nil {
		t.Fatal(err)
	}
	known := sheetLaws(t, job)
	g := known[r.Key]
	g.Mean[0] += math.Log(1.2)
	tempC := 18.0
	slow, err := plan.Make(context.Background(), plan.Input{Cache: shared, Job: job, Catalogue: c, TempC: &tempC, Gels: map[string]cure.Gel{r.Key: g}})
	if err != nil {
		t.Fatal(err)
	}
	plain, err := plan.Make(context.Background(), plan.Input{Cache: shared, Job: job, Catalogue: c, TempC: &tempC, Gels: known})
	if err != nil {
		t.Fatal(err)
	}
	a, b := passOf(t, slow, "mat"), passOf(t, plain, "mat")
	if a.Pct != b.Pct {
		t.Fatalf("the doses differ, %g and %g", a.Pct, b.Pct)
	}
	for _, m := range []cure.Milestone{cure.AtGel, cure.Walk, cure.RainSafe} {
		if q := a.At(m).LikelyMin / b.At(m).LikelyMin; math.Abs(q-1.2) > 0.05 {
			t.Errorf("%s comes %.2f times as late, the law is 1.2 times slower", m, q)
		}
	}
}

func TestLastingInWords(t *testing.T) {
	for min, want := range map[float64]string{35.4: "35 min", 90: "1.5 h", 120: "2 h", 700: "12 h", 71 * 60: "71 h", 7 * 24 * 60: "7 days",
		40 * 24 * 60: "more than 30 days", math.Inf(1): "more than 30 days"} {
		if got := laying.Lasting(min); got != want {
			t.Errorf("%g min: %q, want %q", min, got, want)
		}
	}
	for want, r := range map[string]cure.Range{
		"26–44 min": {LowMin: 26, LikelyMin: 33, HighMin: 44}, "0.9–1.9 h": {LowMin: 54, LikelyMin: 80, HighMin: 114},
		"3.3–22 h": {LowMin: 198, LikelyMin: 480, HighMin: 1320},
		"48 h":     {LowMin: 2870, LikelyMin: 2880, HighMin: 2880}, "9–23 days": {LowMin: 9 * 1440, LikelyMin: 13 * 1440, HighMin: 23 * 1440},
		"5 days or longer":   {LowMin: 5 * 1440, LikelyMin: 20 * 1440, HighMin: math.Inf(1)},
		"not within 30 days": {LowMin: 5 * 1440, LikelyMin: math.Inf(1), HighMin: math.Inf(1)},
	} {
		if got := laying.LastingRange(r); got != want {
			t.Errorf("%v: %q, want %q", r, got, want)
		}
	}
}

// The weighing keeps its promises: laid falls and ready rises with the dose, and the
// rule's dose and the weighed one lie within the resin's limits. On a mild day a dose
// does both; on the frosty winter roof none does, and measures are weighed.
func TestDosesOfThePlanAreWeighed(t *testing.T) {
	for _, c := range []struct {
		p     *plan.Plan
		meets bool
	}{{wetAt(t, "r01-garage.yaml", 18), true}, {wetAt(t, "r01-garage.yaml", 23), true}, {wetPlan(t, "r08-winter.yaml", nil), false}} {
		w := passOf(t, c.p, "top coat")
		if w.Doses == nil {
			t.Fatal("no doses of the top coat are weighed")
		}
		a := w.Doses
		if a.Chosen.Meets != c.meets || a.KG != w.Left.KG || a.Ready != cure.RainSafe.Done() {
			t.Errorf("chosen %+v of %+v", a.Chosen, a)
		}
		for i := 1; i < len(a.Frontier); i++ {
			o, before := a.Frontier[i], a.Frontier[i-1]
			if o.Technique == before.Technique && (o.Laid > before.Laid+1e-9 || o.Ready < before.Ready-1e-9) {
				t.Errorf("%+v after %+v", o, before)
			}
		}
		if !c.meets && len(a.Measures) == 0 {
			t.Error("no measure is weighed")
		}
	}
}
