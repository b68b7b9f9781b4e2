package cure

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gelwright/material"
)

func pair(t testing.TB, resin, catalyst string) (Gel, material.Resin, material.Catalyst) {
	t.Helper()
	cat := material.Generic()
	r, err := cat.Resin(resin)
	if err != nil {
		t.Fatal(err)
	}
	c, err := cat.Catalyst(catalyst)
	if err != nil {
		t.Fatal(err)
	}
	g, err := NewGel(r)
	if err != nil {
		t.Fatal(err)
	}
	if g, err = g.With(r, c); err != nil {
		t.Fatal(err)
	}
	return g, r, c
}

// A top coat takes no less than 20 ml of catalyst to the litre, about 1.8 % by mass, in warm
// weather too; 40 ml go into 2 l. Common practice, no source.
func TestTheLeastDoseOfATopCoat(t *testing.T) {
	g, r, c := pair(t, "topcoat.waxed", "catalyst.mekp")
	near(t, "20 ml to the litre by mass", r.LeastPct(c.DensityGPerML), 1.84, 1e-9) // 20·1.15/1250, by hand
	near(t, "least dose, as a dispenser follows it", g.MinPct, 1.85, 1e-9)
	for tempC := 12.0; tempC <= 34; tempC += 2 {
		for _, catalyst := range []string{"catalyst.mekp", "catalyst.slow"} {
			_, _, c := pair(t, "topcoat.waxed", catalyst)
			a, err := Dose(Ask{Resin: r, Catalyst: c, At: At(tempC), NeedMin: 3, Litres: 2})
			var no *Refusal
			switch {
			case errors.As(err, &no):
				if !errors.Is(err, ErrNotThatLong) || !strings.Contains(no.Finding, "20 ml to the litre") {
					t.Errorf("%g °C, %s: %v", tempC, catalyst, err)
				}
			case err != nil:
				t.Fatal(err)
			case a.CatalystML < 40 || a.MLPerL < 20:
				t.Errorf("%g °C, %s: %.1f ml into 2 l, %.1f to the litre", tempC, catalyst, a.CatalystML, a.MLPerL)
			}
		}
	}
	// A sheet that goes lower is used, by mass or by the jug.
	low := r
	low.MinPct, low.MinMLPerL = 1, 0
	if g, err := NewGel(low); err != nil || g.MinPct != 1 {
		t.Errorf("the sheet's 1 %%: %v, %v", g.MinPct, err)
	}
	low.MinPct, low.MinMLPerL = 0, 15
	if g, err := g.With(low, c); err != nil || math.Abs(g.MinPct-1.4) > 1e-9 { // 15·1.15/12.5 = 1.38
		t.Errorf("the sheet's 15 ml: %v, %v", g.MinPct, err)
	}
	// A light catalyst is fewer grams for the same millilitres.
	light := c
	light.DensityGPerML = 1.08
	if g, _ := g.With(r, light); math.Abs(g.MinPct-1.75) > 1e-9 { // 20·1.08/12.5 = 1.728
		t.Errorf("at 1.08 g/ml the least is %v %%", g.MinPct)
	}
}

// Too hot for the least dose: slow catalyst, smaller mixes, cool resin, shade, morning or
// evening are named, and never less than the least (common practice, no source).
func TestHeatIsAnsweredAndNotByLess(t *testing.T) {
	g, _, _ := pair(t, "topcoat.waxed", "catalyst.mekp")
	_, err := AdviseDose(g, Temps{ResinC: 31, DeckC: 33}, 14, Aim{})
	for _, want := range []string{"smaller", "deck in the shade", "morning or the evening", "slow (summer) catalyst",
		"20 ml to the litre (1.85 % by mass)", "least it takes whatever the weather"} {
		if !errors.Is(err, ErrNotThatLong) || !strings.Contains(err.Error(), want) {
			t.Errorf("no %q: %v", want, err)
		}
	}
	// Under a warm deck a cooler pail alone would do, or with a cool pail a cooler deck.
	for want, at := range map[string]Temps{"resin cool in the shade": {ResinC: 20, DeckC: 26}, "shade on it": {ResinC: 12, DeckC: 29}} {
		if _, err = AdviseDose(g, at, 14, Aim{MarginMin: 5}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("no %q: %v", want, err)
		}
	}
	slow, _, _ := pair(t, "topcoat.waxed", "catalyst.slow")
	if _, err := AdviseDose(slow, At(35), 20, Aim{}); err == nil || strings.Contains(err.Error(), "slow (summer)") {
		t.Errorf("a slow catalyst is advised to who has one: %v", err)
	}
}

// A slow catalyst stretches every gel by its factor, a fast one shortens it, and what is not
// known of the factor widens the range; its own gel points stand before the factor.
func TestTheCatalystHasASpeed(t *testing.T) {
	g, r, c := pair(t, "resin.all-season", "catalyst.mekp")
	base, _ := g.Time(20, 2)
	for catalyst, factor := range map[string]float64{"catalyst.slow": 1.5, "catalyst.fast": 0.65} {
		h, _, _ := pair(t, "resin.all-season", catalyst)
		got, _ := h.Time(20, 2)
		near(t, catalyst, got.LikelyMin/base.LikelyMin, factor, 1e-9)
		if got.HighMin/got.LowMin <= base.HighMin/base.LowMin {
			t.Errorf("%s: the range does not widen", catalyst)
		}
	}
	own := c
	own.GelFactor = 3
	own.Gels = []material.CatalystGels{{Resin: r.Key, Points: []material.GelPoint{{TempC: 20, CatalystPct: 2, LowMin: 38, HighMin: 42}}}}
	h, err := g.With(r, own)
	if err != nil {
		t.Fatal(err)
	}
	if got, _ := h.Time(20, 2); math.Abs(got.LikelyMin-40) > 1 || !strings.Contains(h.Evidence, "catalyst's data sheet") {
		t.Errorf("own points of 38 to 42 min give %v, %s", got, h.Evidence)
	}
	for _, bad := range []material.Catalyst{{}, {DensityGPerML: 1.15, GelFactor: 9}, {DensityGPerML: 1.15, GelFactor: 1.5, GelFactorSD: -1}} {
		if _, err := g.With(r, bad); err == nil {
			t.Errorf("%+v passes", bad)
		}
	}
	drum := g
	drum.Drums = []Drum{{Name: "7", Mean: g.Mean}}
	slow := c
	slow.GelFactor = 1.5
	if h, _ := drum.With(r, slow); math.Abs(h.Drums[0].Mean[0]-g.Mean[0]-math.Log(1.5)) > 1e-12 || drum.Drums[0].Mean != g.Mean {
		t.Error("a known drum does not follow its catalyst, or the law that was given is changed")
	}
}

// The pail rules while the resin is in it and the deck once it is spread: what leaves the pail
// last keeps its margin on the deck, by one age over both, and neither leaves longer than it
// does by itself.
func TestTwoTemperatures(t *testing.T) {
	g, _, _ := pair(t, "resin.all-season", "catalyst.mekp")
	cool, _ := g.Time(14, 2)
	warm, _ := g.Time(26, 2)
	for _, at := range []Temps{{ResinC: 14, DeckC: 26}, {ResinC: 26, DeckC: 14}, {ResinC: 14, DeckC: 14, HotC: 26}} {
		m, err := g.Mixed(at, 2, 5)
		if err != nil {
			t.Fatal(err)
		}
		if at.ResinC == 26 {
			if m.Gel != warm {
				t.Errorf("%+v: worked by %v, the warm pail gels in %v", at, m.Gel, warm)
			}
			continue
		}
		// Out of the pail when all of its life is gone there but the share that five minutes
		// are of a life on the deck.
		near(t, "out of a cool pail", m.Gel.LowMin-5, cool.LowMin*(1-5/warm.LowMin), 1e-9)
		near(t, "out of a cool pail", m.Gel.LikelyMin-5, cool.LikelyMin*(1-5/warm.LikelyMin), 1e-9)
		if m.Gel.LowMin > cool.LowMin || m.Gel.LowMin-5 < warm.LowMin-5 {
			t.Errorf("%+v: worked by %v, the pail gels in %v and the deck in %v", at, m.Gel, cool, warm)
		}
	}
	// Whatever the margin, rolling out takes three minutes.
	short, _ := g.Mixed(Temps{ResinC: 14, DeckC: 26}, 2, 0)
	near(t, "without a margin", short.Gel.LowMin, cool.LowMin*(1-3/warm.LowMin), 1e-9)
	m, _ := g.Mixed(Temps{ResinC: 14, DeckC: 26}, 2, 5)
	if m.Pail != cool {
		t.Errorf("in the pail %v, at 14 °C it gels in %v", m.Pail, cool)
	}
	// Two minutes in the pail at 14 °C, half a minute in between, then the deck: of the
	// pail's way 2/t(14) is gone, by hand with the half minute at its middle.
	between, _ := g.Time(20, 2)
	want := 2.5 + (1-2/cool.LikelyMin-0.5/between.LikelyMin)*warm.LikelyMin
	near(t, "on the deck", m.Deck.LikelyMin, want, 0.05)
	// A deck colder than the pail must still not be starved: the least dose is the deck's.
	a, err := AdviseDose(g, Temps{ResinC: 20, DeckC: 8}, 5, Aim{})
	if err != nil || a.Pct < g.leastAt(8) {
		t.Errorf("on a deck of 8 °C %.2f %%, least %.2f: %v", a.Pct, g.leastAt(8), err)
	}
	if _, err := AdviseDose(g, Temps{ResinC: 3, DeckC: 14}, 8, Aim{}); !errors.Is(err, ErrTooCold) || !strings.Contains(err.Error(), "in its pail") {
		t.Errorf("resin of 3 °C: %v", err)
	}
	if _, err := AdviseDose(g, Temps{ResinC: 20, DeckC: 20, HotC: 40}, 8, Aim{}); !errors.Is(err, ErrTooHot) {
		t.Errorf("a deck that may be at 40 °C: %v", err)
	}
}

// More than 3 % goes in only where 3 % would gel later than an hour.
func TestNoMoreThanThreePerCentWithoutNeed(t *testing.T) {
	quick, late := law(t, 30, 2, 60, 0.8), law(t, 75, 2, 60, 0.8)
	if a, err := AdviseDose(quick, At(10), 8, Aim{}); err != nil || a.Pct > 3 {
		t.Errorf("%.2f %%: %v", a.Pct, err)
	}
	if a, err := AdviseDose(late, At(10), 8, Aim{}); err == nil && a.Pct <= 3 {
		t.Errorf("%.2f %% where 3 %% gels after %.0f min", a.Pct, a.Deck.LikelyMin)
	}
}
