package cure_test

import (
	"context"
	"errors"
	"fmt"

	"gelwright/conduction"
	"gelwright/cure"
	"gelwright/material"
)

// The man with the jug: 5 kg of resin at 16 °C, a quarter of an hour to lay it.
func ExampleDose() {
	c := material.Generic()
	resin, _ := c.Resin("resin.all-season")
	resin.Own = []string{"gel_points"} // of an unknown brand the range is wider
	catalyst, _ := c.Catalyst("catalyst.mekp")
	a, err := cure.Dose(cure.Ask{Resin: resin, Catalyst: catalyst, At: cure.At(16), NeedMin: 15, KG: 5})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f %% by mass: %.0f g, %.0f ml; gels in %.0f–%.0f min\n", a.Pct, a.CatalystG, a.CatalystML, a.Gel.LowMin, a.Gel.HighMin)
	// Output:
	// 2.00 % by mass: 100 g, 87 ml; gels in 20–32 min
}

// Too hot for the time asked: the refusal says what would help.
func ExampleAdviseDose() {
	resin, _ := material.Generic().Resin("resin.all-season")
	g, err := cure.NewGel(resin)
	if err != nil {
		fmt.Println(err)
		return
	}
	_, err = cure.AdviseDose(g, cure.Temps{ResinC: 24, DeckC: 30}, 15, cure.Aim{})
	fmt.Println(errors.Is(err, cure.ErrNotThatLong))
	var r *cure.Refusal
	if errors.As(err, &r) {
		fmt.Println(r.Remedies[1].Text)
		fmt.Println(r.Remedies[2].Text)
	}
	// Output:
	// true
	// time a test cup of today's resin: its brand is not known, so the earliest gel of any is reckoned with
	// keep the resin cool in the shade: 13 °C or less in its pail
}

// A laminate on 18 mm of board through a cooling evening.
func ExampleKinetics_Film() {
	resin, _ := material.Generic().Resin("resin.all-season")
	g, err := cure.NewGel(resin)
	if err != nil {
		fmt.Println(err)
		return
	}
	const tempC, pct = 14, 2.25
	film := cure.Film{ResinKGPerM2: 1.125, GlassKGPerM2: 0.45, Deck: []conduction.Layer{cure.Board(18)},
		Base: []cure.Reading{{Min: 0, TempC: tempC}, {Min: 180, TempC: 9}, {Min: 480, TempC: 5}}}
	run, err := cure.Roof().Matched(g, tempC, pct).Film(context.Background(), film, pct, cure.RoofThresholds())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range []cure.Milestone{cure.AtGel, cure.Walk, cure.RainSafe} {
		fmt.Printf("%s after %.1f h\n", m, run.Hardening.At(m)/60)
	}
	// Output:
	// gel after 0.5 h
	// walk after 1.9 h
	// safe from rain after 2.6 h
}
