package cure

import (
	"encoding/json"
	"errors"
	"math"
	"testing"

	"gelwright/material"
)

// A law read back from a file is the law that was written; a spoilt one is named.
func TestALawFromAFileIsChecked(t *testing.T) {
	for _, r := range material.Generic().Resins {
		g, err := NewGel(r)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := json.Marshal(g)
		if err != nil {
			t.Fatal(err)
		}
		var back Gel
		if err := json.Unmarshal(raw, &back); err != nil {
			t.Fatal(err)
		}
		if err := back.Check(); err != nil {
			t.Errorf("%s: %v", r.Key, err)
		}
		a, _ := g.Time(15, 2)
		if b, err := back.Time(15, 2); err != nil || a != b {
			t.Errorf("%s: %v read back as %v, %v", r.Key, a, b, err)
		}
		for name, spoil := range map[string]func(*Gel){
			"nothing": func(g *Gel) { *g = Gel{} }, "warmth slows": func(g *Gel) { g.Mean[1] = -60 }, "no number": func(g *Gel) { g.Mean[2] = math.NaN() },
			"limits": func(g *Gel) { g.MaxPct = 12 }, "backwards": func(g *Gel) { g.MinC, g.MaxC = g.MaxC, g.MinC },
			"no covariance": func(g *Gel) { g.Cov[0][1] = 1e3 }, "lopsided": func(g *Gel) { g.Cov[1][0] += 0.1 * math.Sqrt(g.Cov[0][0]*g.Cov[1][1]) },
		} {
			bad := g
			spoil(&bad)
			if bad.Check() == nil {
				t.Errorf("%s: a law with %s passes", r.Key, name)
			}
		}
	}
}

// A dose chosen elsewhere is answered as it is, and refused outside the limits.
func TestADoseChosenElsewhere(t *testing.T) {
	q := ask(t)
	q.Pct, q.NeedMin = 2.5, 0
	a, err := Dose(q)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "grams", a.CatalystG, 25, 1e-9)
	g, _ := sheetGel(t, "resin.all-season")
	if want, _ := g.Time(q.At.DeckC, 2.5); a.Gel != want {
		t.Errorf("gel %v, the law has %v", a.Gel, want)
	}
	q.Pct = 5
	if _, err := Dose(q); !errors.Is(err, ErrOverDose) {
		t.Errorf("5 %%: %v", err)
	}
}

// With fewer minutes than wanted the least dose is taken, down to those needed.
func TestTheLeastDoseMayLeaveFewerThanWanted(t *testing.T) {
	g, _ := sheetGel(t, "resin.all-season")
	a, err := AdviseDose(g, At(30), 9, Aim{})
	if err != nil {
		t.Fatal(err)
	}
	if a.Pct != g.MinPct || a.Gel.LowMin < 9 || a.Gel.LowMin >= 15 {
		t.Errorf("%+v", a)
	}
	if _, err := AdviseDose(g, At(30), a.Gel.LowMin+0.1, Aim{}); !errors.Is(err, ErrNotThatLong) {
		t.Errorf("more than the least dose leaves: %v", err)
	}
}

// On a deck in the sun conversion would close the over-coating window within hours; a
// laminate without wax bonds for the trade's 24 h all the same (common practice), and a
// waxed coat does not.
func TestAHotDeckKeepsTheOverCoatingWindow(t *testing.T) {
	g, _ := sheetGel(t, "resin.all-season")
	at := func(th Thresholds) (Hardenings, Range) {
		r, err := FilmRange(ctx, g, Roof(), Film{ResinKGPerM2: 1.1, GlassKGPerM2: 0.45, Base: []Reading{{0, 32}, {120, 60}}}, 1, th, Doubts{}, 16)
		if err != nil {
			t.Fatal(err)
		}
		tb, err := NewTable(ctx, g, TableAsk{Kinetics: Roof(), Thresholds: th}.Narrow(g, 1.1))
		if err != nil {
			t.Fatal(err)
		}
		u, err := tb.Under(OverCoatUntil, []Reading{{0, 32}, {120, 60}}, 1, 1.1)
		if err != nil {
			t.Fatal(err)
		}
		return r.Hardening, u
	}
	h, table := at(RoofThresholds())
	near(t, "laminate", h[OverCoatUntil].LikelyMin, 24*60, 1e-9)
	near(t, "laminate, by table", table.LikelyMin, 24*60, 1e-9)
	bare := RoofThresholds()
	bare.EarliestMin = [milestones]float64{}
	if b, _ := at(bare); b[OverCoatUntil].HighMin >= 24*60 || b[Walk] != h[Walk] || b[FullCure] != h[FullCure] {
		t.Errorf("without the floor %v, with it %v", b, h)
	}
	if c, _ := at(TopCoatThresholds()); c[OverCoatUntil].HighMin > 3*60 {
		t.Errorf("a waxed coat bonds for %v", c[OverCoatUntil])
	}
	wrong := RoofThresholds()
	wrong.EarliestMin[OverCoatUntil] = 60 * 60
	if wrong.check() == nil {
		t.Error("a window that closes before it may passes")
	}
}
