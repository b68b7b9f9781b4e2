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
	if want, _ := g.Time(q.TempC, 2.5); a.Gel != want {
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
	a, err := AdviseDose(g, 30, 30, 9, Aim{})
	if err != nil {
		t.Fatal(err)
	}
	if a.Pct != g.MinPct || a.Coldest.LowMin < 9 || a.Coldest.LowMin >= 15 {
		t.Errorf("%+v", a)
	}
	if _, err := AdviseDose(g, 30, 30, a.Coldest.LowMin+0.1, Aim{}); !errors.Is(err, ErrNotThatLong) {
		t.Errorf("more than the least dose leaves: %v", err)
	}
}
