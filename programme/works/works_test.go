package works

import (
	"context"
	"math"
	"strings"
	"testing"
	"time"

	"gelwright/conduction"
	"gelwright/cure"
	"gelwright/internal/rework"
	"gelwright/material"
	"gelwright/programme"
	"gelwright/weather"
	"gelwright/working"
)

// Roofs of each kind become stages in an order that can be worked, with a figure for
// the time of each.
func TestExamples(t *testing.T) {
	// One deck stripped, a bay, an overlay, three levels; the winter and the hot roof
	// have tests of their own.
	for _, name := range []string{"r01-garage.yaml", "r03-bay.yaml", "r07-overlay.yaml", "r08-winter.yaml", "r11-three-levels.yaml"} {
		t.Run(name, func(t *testing.T) {
			j, w, _ := example(t, name, 0)
			if _, bad := programme.NetworkOf(w.Stages, w.Hours).Earliest(); bad != nil {
				t.Fatal(bad)
			}
			if len(w.Figures) != len(w.Stages) {
				t.Errorf("%d figures for %d stages", len(w.Figures), len(w.Stages))
			}
			if faults, n := rework.Faults(w.Figures); len(faults) > 0 || n < len(w.Figures) {
				t.Errorf("%d formulas for %d figures; %v", n, len(w.Figures), faults)
			}
			for _, fig := range w.Figures {
				if fig.Source.Title == "" || len(fig.Inputs) == 0 {
					t.Errorf("%s: no source or no inputs", fig.Name)
				}
			}
			seen := map[string]bool{}
			wet := 0
			for _, s := range w.Stages {
				if seen[s.Key] {
					t.Errorf("two stages %q", s.Key)
				}
				seen[s.Key] = true
				// It is written behind "First: ".
				if strings.Contains(s.AgainWhy, " first") {
					t.Errorf("%s: %q says first twice", s.Key, s.AgainWhy)
				}
				if s.Kind == programme.Laminate {
					wet += s.Quarters
				}
			}
			if wet == 0 {
				t.Errorf("%s: nothing to laminate", j.Name)
			}
		})
	}
}

// By hand: 20 m² at 6 m² a man-hour, two people: 100 minutes, 7 quarters. 20 m² of
// boards at 5 and insulation at 6.5: 3.54 h, 15 quarters. Double the crew, half the time.
func TestTimesByHand(t *testing.T) {
	_, w, _ := example(t, "r08-winter.yaml", 2)
	total := func(w *Work, k programme.Kind) (q int) {
		for _, s := range w.Stages {
			if s.Kind == k {
				q += s.Quarters
			}
		}
		return q
	}
	if got := total(w, programme.Laminate); got != 7 {
		t.Errorf("laminating takes %d quarters, want 7", got)
	}
	if got := total(w, programme.Boards); got != 15 {
		t.Errorf("boarding takes %d quarters, want 15", got)
	}
	_, four, _ := example(t, "r08-winter.yaml", 4)
	if got := total(four, programme.Boards); got != 8 {
		t.Errorf("four people board in %d quarters, want 8", got)
	}
}

func TestRatesOver(t *testing.T) {
	r := Rates{CoatM2: 20}.Over(CommonRates())
	if r.CoatM2 != 20 || r.LayM2 != CommonRates().LayM2 {
		t.Errorf("got %+v", r)
	}
	if f := rate("top coat", 20, 15, "m²/man-hour"); f.Source.Standing != working.Given {
		t.Errorf("the firm's own rate stands as %s", f.Source.Standing)
	}
	if f := rate("top coat", 0, 15, "m²/man-hour"); f.Source.Standing != working.CommonPractice {
		t.Errorf("the habit's rate stands as %s", f.Source.Standing)
	}
}

// The table with equivalent age against the film itself, cured through a deck's day
// that warms from 8 to 26 °C and cools again (package cure, run for the profile):
// within a quarter hour and 15 %.
func TestEquivalentAgeAgainstTheFilm(t *testing.T) {
	r, err := material.Generic().Resin("resin.all-season")
	if err != nil {
		t.Fatal(err)
	}
	deck := []conduction.Layer{cure.Board(18)}
	g, err := cure.NewGel(r)
	if err != nil {
		t.Fatal(err)
	}
	f, err := FilmOf(context.Background(), "mat", Resin{Law: g}, 1.05, 0.45, deck)
	if err != nil {
		t.Fatal(err)
	}
	site := weather.Site{LatDeg: 52}
	start := time.Date(2026, 5, 1, 6, 0, 0, 0, time.UTC)
	moments := make([]weather.Moment, 4*30)
	tempAt := func(min float64) float64 { return 17 - 9*math.Cos(2*math.Pi*min/(20*60)) }
	var base []cure.Reading
	for i := range moments {
		c := tempAt(float64(i) * 15)
		moments[i] = weather.Measured(start.Add(time.Duration(i)*programme.Quarter), c, c, 40, 1)
	}
	for _, at := range []int{4, 12, 24} {
		base = base[:0]
		for i := at; i < len(moments); i++ {
			base = append(base, cure.Reading{Min: float64(i-at) * 15, TempC: moments[i].SurfaceC})
		}
		pct := f.DosePct[0]
		for i, c := range f.TempsC {
			if c <= moments[at].SurfaceC {
				u := math.Min(1, (moments[at].SurfaceC-c)/5)
				pct = f.DosePct[i]*(1-u) + f.DosePct[min(i+1, len(f.DosePct)-1)]*u
			}
		}
		g, err := cure.NewGel(r)
		if err != nil {
			t.Fatal(err)
		}
		run, err := cure.Roof().Matched(g, moments[at].SurfaceC, pct).Film(context.Background(), cure.Film{ResinKGPerM2: 1.05, GlassKGPerM2: 0.45, Deck: deck, Base: base}, pct, cure.RoofThresholds())
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range []struct {
			mark programme.Mark
			is   cure.Milestone
		}{{programme.Gel, cure.AtGel}, {programme.Walk, cure.Walk}, {programme.RainSafe, cure.RainSafe}} {
			// The wait is read off a stage that may follow no sooner than the mark.
			stages := []programme.Stage{{Name: "lay", Kind: programme.Laminate, Quarters: 1, Film: f}, {Name: "next", Kind: programme.CleanUp, Quarters: 1, Join: programme.Lag{Least: m.mark}}}
			p, err := programme.Prepare(context.Background(), programme.Input{Stages: stages, Members: [][]weather.Moment{moments}, Site: site,
				Hours: programme.Hours{EndMin: 24 * 60}, EarliestStart: moments[at-1].Time})
			if err != nil {
				t.Fatal(err)
			}
			a, err := p.Now(context.Background(), moments[at].Time, []programme.Done{{Key: "lay", Start: moments[at-1].Time, End: moments[at].Time}})
			if err != nil || a.Plan == nil {
				t.Fatal(err, a)
			}
			got, want := a.Plan.Begin.Sub(moments[at].Time).Minutes(), run.Hardening.At(m.is)
			if math.Abs(got-want) > 15+0.15*want {
				t.Errorf("laid at %.1f °C: %s after %.0f min, the film itself says %.0f", moments[at].SurfaceC, m.mark, got, want)
			}
		}
	}
}

// The overlay's insulation lies between the joists below a deck that stays: boarding its
// 31.68 m² (6.6 × 4.8, 1:60) takes 60 × 31.68 / 5 = 380 man-minutes and nothing more.
func TestNoTimeForInsulationThatStays(t *testing.T) {
	job, w, _ := example(t, "r07-overlay.yaml", 1)
	if job.Spec.Insulation == nil {
		t.Fatal("the example has no insulation")
	}
	seen := false
	for _, x := range w.Figures {
		if !strings.HasSuffix(x.Key, ".boards") {
			continue
		}
		seen = true
		if math.Abs(x.Value-380.2) > 0.5 {
			t.Errorf("%s: %g min, want 380.2", x.Key, x.Value)
		}
		for _, in := range x.Inputs {
			if strings.Contains(in.Name, "insulation") {
				t.Errorf("%s reckons with %s", x.Key, in.Name)
			}
		}
	}
	if !seen {
		t.Error("no time for boarding")
	}
}
