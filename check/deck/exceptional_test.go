package deck

import (
	"math"
	"testing"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/internal/published"
)

// EN 1990 eq. 6.11b (γ = 1 on weight and snow), EN 1995-1-1 table 2.3 (γM 1.0 in an accident) and table 3.1 (short-term, class 2:
// 0.9 of solid timber, 0.70 of OSB/3), worked apart for C16 47×195 at 400 mm over 4.0 m clear and for 18 mm OSB/3 at 600 mm.
func TestExceptionalSnowBearsNoPartialFactors(t *testing.T) {
	set := country.Recommended()
	j := Joist{WidthMM: 47, DepthMM: 195, ClearMM: 4000, SpacingMM: 400, Class: "C16"}
	for _, l := range []Loads{{DeadKPa: 0.25, VariableKPa: 0.6, PointKN: 0.9, Short: true, ExceptionalKPa: 2},
		{DeadKPa: 0.25, VariableKPa: 2.5, PointKN: 2, Psi2: 0.3, ExceptionalKPa: 2}} { // whatever lies there in other winters
		a, err := j.Solve(l, set)
		if err != nil {
			t.Fatal(err)
		}
		capacity, err := j.ExceptionalCapacity(l, set)
		if err != nil {
			t.Fatal(err)
		}
		p, _ := PanelOf("OSB/3", 18)
		l.ExceptionalKPa = 3
		b, err := Board(p, 18, 600, l, set, false)
		if err != nil {
			t.Fatal(err)
		}
		published.HoldWorked(t, []published.Worked{
			{Clause: "EN 1995-1-1 6.1.6 with γ = 1", Place: "Joist.Solve, Exceptional", Got: a.Exceptional, Want: 0.4045587, Digits: 6},
			{Clause: "EN 1995-1-1 6.1.6 solved for the snow", Place: "ExceptionalCapacity", Got: capacity, Want: 5.434020, Digits: 6},
			{Clause: "EN 1995-1-1 6.1.6 with γ = 1", Place: "Board, Exceptional", Got: b.Exceptional, Want: 0.2359175, Digits: 6},
		})
	}
	heavy := Loads{DeadKPa: 20, VariableKPa: 0.6, Short: true}
	if c, err := j.ExceptionalCapacity(heavy, set); err != nil || c != 0 {
		t.Errorf("joists used up by the roof carry %g (%v)", c, err)
	}
	if _, err := (Joist{Class: "C16"}).ExceptionalCapacity(heavy, set); err == nil {
		t.Error("a joist without a size was answered")
	}
}

// The use printed is the use worked, and exceptional snow decides where it is the worst.
func TestExceptionalSnowDecides(t *testing.T) {
	set := country.Recommended()
	j := Joist{WidthMM: 47, DepthMM: 195, ClearMM: 4000, SpacingMM: 400, Class: "C16"}
	l := Loads{DeadKPa: 0.25, VariableKPa: 0.4, PointKN: 0.9, Short: true}
	c, err := j.ExceptionalCapacity(l, set)
	if err != nil {
		t.Fatal(err)
	}
	for _, share := range []float64{0.99, 1.01} {
		l.ExceptionalKPa = c * share
		r, err := CheckJoist(j, l, set, false)
		if err != nil {
			t.Fatal(err)
		}
		a, _ := j.Solve(l, set)
		if _, name := a.Governing(); name != underDrift || (r.Verdict == check.Fail) != (share > 1) || r.Working[0].Fault != nil ||
			math.Abs(r.Utilisation-a.Exceptional) > 1e-9 {
			t.Errorf("at %g of the capacity: %s by %s, used to %g, worked %g, %v", share, r.Verdict, name, r.Utilisation, a.Exceptional, r.Working[0].Fault)
		}
	}
	l.ExceptionalKPa = 16
	r, err := CheckBoard("OSB/3", 18, 600, l, set)
	p, _ := PanelOf("OSB/3", 18)
	b, _ := Board(p, 18, 600, l, set, false)
	if _, name := b.Governing(); err != nil || name != underDrift || r.Verdict != check.Fail || r.Working[0].Fault != nil || math.Abs(r.Utilisation-b.Exceptional) > 1e-9 {
		t.Errorf("boards: %v, %s by %s, used to %g, worked %g", err, r.Verdict, name, r.Utilisation, b.Exceptional)
	}
}
