package desk_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"gelwright/cutting"
	"gelwright/desk"
	"gelwright/gelfile"
	"gelwright/material"
	"gelwright/roof"
)

func of(v float64) *float64 { return &v }

// A dose in millilitres, grams, per cent and millilitres to the litre is one dose: % = g/(10·kg), ml = g over the catalyst's
// density, litres = kg over the resin's (definitions, worked apart from the answer's own).
func TestADoseIsOneDose(t *testing.T) {
	cat := desk.Catalogue(nil)
	r, err := cat.Resin(desk.UsualResin)
	if err != nil {
		t.Fatal(err)
	}
	c, err := cat.Catalyst(material.UsualCatalyst)
	if err != nil {
		t.Fatal(err)
	}
	for _, ask := range []desk.DoseAsk{{TempC: of(15), Litres: of(3), NeedMin: 10, MarginMin: 5}, {TempC: of(22), KG: of(2.5), NeedMin: 8, MarginMin: 4},
		{TempC: of(10), KG: of(4), NeedMin: 12, MarginMin: 6, Cup: &roof.Cup{Min: 31, TempC: 12, Pct: 2}}} {
		a, err := desk.DoseOf(context.Background(), cat, ask)
		if err != nil || !a.Works || a.Refused() != nil {
			t.Fatalf("%+v: %v %+v", ask, err, a)
		}
		for _, v := range []struct {
			what      string
			got, want float64
		}{{"per cent", a.PctByMass, a.CatalystG / (10 * a.ResinKG)}, {"millilitres", a.CatalystML, a.CatalystG / c.DensityGPerML},
			{"litres", a.ResinL, a.ResinKG / r.DensityKGPerL}, {"millilitres to the litre", a.MLPerLitre, a.CatalystML / a.ResinL},
			{"habit", a.HabitPctOf10ML, c.DensityGPerML}} {
			if math.Abs(v.got-v.want) > 0.02*v.want {
				t.Errorf("%s %g, worked apart %g", v.what, v.got, v.want)
			}
		}
		if !(a.GelLowMin < a.GelLikelyMin && a.GelLikelyMin < a.GelHighMin) || a.GelLikelyMin < ask.NeedMin {
			t.Errorf("gels in %g, %g, %g min for %g to lay", a.GelLowMin, a.GelLikelyMin, a.GelHighMin, ask.NeedMin)
		}
		if (a.Cup != nil) != (ask.Cup != nil) {
			t.Errorf("cup %+v for %+v", a.Cup, ask.Cup)
		}
	}
}

// A question that is wrong names the part of it that is.
func TestAWrongQuestionNamesItsPart(t *testing.T) {
	good := desk.DoseAsk{TempC: of(15), Litres: of(3), NeedMin: 10, MarginMin: 5}
	for _, c := range []struct {
		name, place string
		change      func(*desk.DoseAsk)
	}{
		{"no temperature", "temp", func(a *desk.DoseAsk) { a.TempC = nil }},
		{"both amounts", "litres", func(a *desk.DoseAsk) { a.KG = of(3) }},
		{"no amount", "litres", func(a *desk.DoseAsk) { a.Litres = nil }},
		{"more than a drum", "kg", func(a *desk.DoseAsk) { a.Litres, a.KG = nil, of(300) }},
		{"no such milestone", "ready", func(a *desk.DoseAsk) { a.Ready, a.ByMin = "dry", 100 }},
		{"no time for it", "by", func(a *desk.DoseAsk) { a.Ready = "walk" }},
		{"a drum without a law", "drum", func(a *desk.DoseAsk) { a.Drum = "A1" }},
		{"more left than mixed", "left", func(a *desk.DoseAsk) { a.LeftKG = of(9) }},
	} {
		ask := good
		c.change(&ask)
		_, err := desk.DoseOf(context.Background(), desk.Catalogue(nil), ask)
		var e *desk.Error
		if !errors.As(err, &e) || e.Kind != desk.Asked || e.Place != c.place {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	// Hot resin and an hour's work: no dose, and that is an answer.
	hot := good
	hot.TempC, hot.NeedMin = of(34), 60
	a, err := desk.DoseOf(context.Background(), desk.Catalogue(nil), hot)
	var e *desk.Error
	if err != nil || a.Works || a.CatalystML != 0 || a.Why == "" || len(a.Remedies) == 0 || !errors.As(a.Refused(), &e) || e.Kind != desk.No {
		t.Errorf("hot: %v %+v", err, a)
	}
}

// Three of 1 500 mm from 3 000 mm need two lengths; what is too long is a fault of the list, not of the question.
func TestCutOnValues(t *testing.T) {
	p := cutting.Problem{Pieces: []cutting.Piece{{Name: "a", LengthMM: 1500, Count: 3}}, Stocks: []cutting.Stock{{Name: "s", LengthMM: 3000, Cost: 1, Available: -1}}}
	got, err := desk.Cut(context.Background(), p)
	if err != nil || got.Cost != 2 {
		t.Errorf("%v %+v", err, got)
	}
	p.Pieces[0].LengthMM = 3001
	var e *desk.Error
	if _, err = desk.Cut(context.Background(), p); !errors.As(err, &e) || e.Kind != desk.Faulty {
		t.Errorf("too long: %v", err)
	}
}

// Gels that came later than the sheet says make the law slower, and the more so the more there are.
func TestLearnOnValues(t *testing.T) {
	cat := desk.Catalogue(nil)
	density, err := desk.CatalystGPerML(cat)
	if err != nil {
		t.Fatal(err)
	}
	const head = "drum,temp_c,catalyst_pct,gel_min\n"
	last := 0.0
	for _, n := range []int{1, 4, 16} {
		log, err := gelfile.ReadLog("log.csv", strings.NewReader(head+strings.Repeat("A,15,2,60\n", n)), density)
		if err != nil {
			t.Fatal(err)
		}
		l, err := desk.Learn(context.Background(), cat, desk.UsualResin, log)
		if err != nil {
			t.Fatal(err)
		}
		before, err := l.Before.Time(15, 2)
		if err != nil {
			t.Fatal(err)
		}
		after, err := l.Law.Gel.Time(15, 2)
		if err != nil {
			t.Fatal(err)
		}
		if after.LikelyMin <= max(before.LikelyMin, last) || after.LikelyMin > 61 {
			t.Errorf("%d gels of 60 min: %g min before, %g after, %g with fewer", n, before.LikelyMin, after.LikelyMin, last)
		}
		last = after.LikelyMin
	}
	if _, err := desk.Learn(context.Background(), cat, "resin.none", &gelfile.Log{}); err == nil {
		t.Error("a resin that is not held was learned")
	}
}

// Where no dose works with the usual pair, the others with which one does are told as they are answered when they are
// asked for by name, and no other: of what the firm keeps alone, and none where it is too cold for all.
func TestNoDoseNamesThePairThatDoes(t *testing.T) {
	ask := desk.DoseAsk{TempC: of(15), Litres: of(2), NeedMin: 15, MarginMin: 5}
	answer := func(ask desk.DoseAsk) desk.Dose {
		t.Helper()
		a, err := desk.DoseOf(context.Background(), desk.Catalogue(nil), ask)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	a := answer(ask)
	if a.Works || !a.Sought || a.ResinKey != desk.UsualResin || a.CatalystKey != material.UsualCatalyst || len(a.Others) == 0 {
		t.Fatalf("%+v", a)
	}
	if o := a.Others[0]; o.CatalystKey != "catalyst.slow" || o.ResinKey != desk.UsualResin || math.Round(o.MLPerLitre) != 24 {
		t.Errorf("the slow catalyst, 24 ml to the litre, is not the first of %+v", a.Others)
	}
	works := map[string]bool{}
	for _, o := range a.Others {
		again := ask
		again.Resin, again.Catalyst = o.ResinKey, o.CatalystKey
		if b := answer(again); !b.Works || b.CatalystML != o.CatalystML || b.GelLowMin != o.GelLowMin || b.With != o.With || b.Sought {
			t.Errorf("%+v, asked for by name %+v", o, b)
		}
		works[o.ResinKey+o.CatalystKey] = true
	}
	for _, r := range desk.Catalogue(nil).Resins {
		for _, c := range desk.Catalogue(nil).Catalysts {
			again := ask
			again.Resin, again.Catalyst = r.Key, c.Key
			if !r.Coat && answer(again).Works != works[r.Key+c.Key] {
				t.Errorf("%s with %s: works %v, told %v", r.Key, c.Key, !works[r.Key+c.Key], works[r.Key+c.Key])
			}
		}
	}
	ask.Keeps = []string{desk.UsualResin, material.UsualCatalyst}
	if a := answer(ask); !a.Sought || len(a.Others) != 0 {
		t.Errorf("the firm keeps neither a slow catalyst nor another grade: %+v", a.Others)
	}
	kg := 12.0
	ask.Litres, ask.KG = nil, &kg
	if a := answer(ask); a.Works || a.Sought {
		t.Errorf("no catalyst makes a pail smaller: %+v", a)
	}
}
