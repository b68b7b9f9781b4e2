package main

import (
	"context"
	"testing"
	"time"

	"gelwright/material"
	"gelwright/weather"
)

func series(hours int, air, rain func(h int) float64) weather.Series {
	s := weather.Series{Start: time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC), Hours: make([]weather.Hour, hours)}
	for i := range s.Hours {
		s.Hours[i].Set(weather.Air, air(i))
		s.Hours[i].Set(weather.DewPoint, air(i)-9)
		s.Hours[i].Set(weather.Wind, 2)
		s.Hours[i].Set(weather.Cloud, 0.8)
		s.Hours[i].Set(weather.Rain, rain(i))
	}
	return s
}

func TestSimpleRule(t *testing.T) {
	mild, none := func(int) float64 { return 12 }, func(int) float64 { return 0 }
	for name, c := range map[string]struct {
		s    weather.Series
		want bool
	}{
		"mild and dry":         {series(24, mild, none), true},
		"rain at night":        {series(24, mild, func(h int) float64 { return map[bool]float64{true: 0.2}[h == 23] }), false},
		"cold at noon":         {series(24, func(h int) float64 { return map[bool]float64{true: 4, false: 12}[h == 12] }, none), false},
		"cold before the work": {series(24, func(h int) float64 { return map[bool]float64{true: 2, false: 12}[h < 8] }, none), true},
		"half a day known":     {series(12, mild, none), false},
	} {
		if got := simpleRule(c.s, c.s.Start); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// In mild dry days whose forecasts are right nearly every day is used, and every one
// used holds; in wet ones none is used.
func TestSureWeather(t *testing.T) {
	site := weather.Site{LatDeg: 53, LonDeg: -6, Zone: time.UTC}
	jobs, err := trials(context.Background(), "")
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		rain        float64
		least, most int
		possible    int
	}{"dry": {0, 5, 6, 6}, "wet": {1, 0, 0, 0}} {
		s, err := series(240, func(int) float64 { return 14 }, func(int) float64 { return c.rain }).Fill(site)
		if err != nil {
			t.Fatal(err)
		}
		got, err := jobs[0].test(context.Background(), place{name: name, f: weather.Forecast{Members: []weather.Series{s}}, site: site}, options{members: 41, leadH: 0, worse: 0, everyNthDay: 1})
		if err != nil {
			t.Fatal(err)
		}
		u := got.ours
		if got.days != 6 || u.used < c.least || u.used > c.most || u.kept != u.used || u.sound != u.used || got.possible != c.possible {
			t.Errorf("%s: %+v, want %d to %d of 6 days, each kept", name, got, c.least, c.most)
		}
	}
}

// On a hot still day at noon no bucket of an unknown brand leaves eight minutes, a cup opens more
// of the hours than none, and without the switch nothing is shut.
func TestHoursInWhichNoBucketIsMixedAreShut(t *testing.T) {
	cat := material.Generic()
	most := map[string]float64{}
	for _, mix := range []string{"brand", "cup"} {
		h, err := hottest(cat, "topcoat.waxed", mix)
		if err != nil {
			t.Fatal(err)
		}
		most[mix] = h.Most(20)
	}
	if none, err := hottest(cat, "topcoat.waxed", ""); none != nil || err != nil {
		t.Errorf("without the switch: %v, %v", none, err)
	}
	if !(most["brand"] > 20 && most["brand"] < most["cup"] && most["cup"] < 45) {
		t.Errorf("out of a pail of 20 °C the deck may be %.1f °C for an unknown brand, %.1f °C with a cup", most["brand"], most["cup"])
	}
	if _, err := hottest(cat, "topcoat.waxed", "both"); err == nil {
		t.Error("a word that nobody knows is taken")
	}
}
