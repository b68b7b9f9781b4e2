package weather

import (
	"context"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Two days on invented roofs, as a crew would write them down; the day in UTC.
var winterDay = readings(15, time.December, [][5]float64{
	{7, 0.5, -2, 96, 1}, {8, 1, -1.5, 95, 1}, {9, 2.5, 0.5, 92, 1}, {10, 5, 5.5, 82, 1.5}, {11, 6.5, 8, 75, 2}, {12, 7.5, 9.5, 70, 2},
	{13, 8, 9.5, 69, 2.5}, {14, 7, 7, 74, 2}, {15, 5, 3, 84, 1.5}, {16, 3, 0.5, 91, 1}, {17, 1.5, -1, 94, 1},
})

var summerDay = readings(15, time.July, [][5]float64{
	{5, 18, 16, 82, 1}, {6, 19, 18.5, 78, 1}, {7, 21, 23, 70, 1}, {8, 23, 30, 62, 2}, {9, 26, 38, 52, 2}, {10, 28, 46, 45, 2}, {12, 31, 56, 36, 3},
	{14, 33, 60, 31, 3}, {16, 33, 54, 31, 3}, {18, 31, 41, 36, 2}, {19, 29, 34, 42, 2}, {20, 27, 28, 49, 2}, {21, 25, 23, 58, 1}, {22, 23, 20, 66, 1},
})

func readings(day int, month time.Month, rows [][5]float64) []Moment {
	var m []Moment
	for _, r := range rows {
		m = append(m, Measured(time.Date(2026, month, day, int(r[0]), 0, 0, 0, time.UTC), r[1], r[2], r[3], r[4]))
	}
	return m
}

// plain is the laminate's limits at the moment itself: no look-ahead, no frost rule, no daylight.
func plain() StageLimits {
	l := LaminateLimits()
	l.AheadH, l.FrostFreeH, l.RainFreeH, l.Light = 0, 0, 0, false
	return l
}

func goTimes(t *testing.T, m []Moment, l StageLimits) (times []string, all []Judgement) {
	t.Helper()
	all, err := Judge(context.Background(), m, l, Site{LatDeg: 53.5, LonDeg: -1})
	if err != nil {
		t.Fatal(err)
	}
	for _, j := range all {
		if j.Verdict == Go {
			times = append(times, j.Time.Format("15:04"))
		}
	}
	return times, all
}

func same(t *testing.T, what string, got []string, want string) {
	t.Helper()
	if g := strings.Join(got, " "); g != want {
		t.Errorf("%s: go at %s, want %s", what, g, want)
	}
}

func TestWinterDay(t *testing.T) {
	got, all := goTimes(t, winterDay, plain())
	same(t, "at the moment alone", got, "10:00 11:00 12:00 13:00 14:00")
	broken := func(i int) string {
		var s []string
		for _, r := range all[i].Broken {
			s = append(s, string(r.Limit))
		}
		return strings.Join(s, ", ")
	}
	for i, want := range map[int]string{
		0: "air too cold, surface too cold, humidity, dew margin", 8: "air near its least and falling, surface too cold, dew margin",
		9: "air too cold, surface too cold, humidity, dew margin",
	} {
		if broken(i) != want {
			t.Errorf("%s: %s; want %s", all[i].Time.Format("15:04"), broken(i), want)
		}
	}
	if all[0].Verdict != Wait || all[0].NextGo.Hour() != 10 || all[8].Verdict != NoGo {
		t.Errorf("07:00 waits for 10:00 and 15:00 is no-go: %v %v, %v", all[0].Verdict, all[0].NextGo, all[8].Verdict)
	}

	l := plain()
	l.AheadH = 2
	got, _ = goTimes(t, winterDay, l)
	same(t, "2 h ahead, hourly", got, "10:00 11:00 12:00")
	l.AheadH = 4
	got, _ = goTimes(t, winterDay, l)
	same(t, "4 h ahead, hourly", got, "10:00")

	// Between samples the margin falls under 3 K at about 14:20, so the last start
	// with two hours ahead is about 12:20, with four about 10:20.
	c := Crossings(winterDay, Moment.DewMarginK, 3)
	if last := c[len(c)-1]; last.Rising || last.Time.Sub(time.Date(2026, 12, 15, 14, 20, 0, 0, time.UTC)).Abs() > time.Minute {
		t.Errorf("the dew margin passes 3 K at %v", last)
	}
	quarters := QuarterHours(winterDay)
	l.AheadH = 2
	got, _ = goTimes(t, quarters, l)
	if got[len(got)-1] != "12:15" {
		t.Errorf("last start with 2 h ahead %s, want 12:15 (12:20 on the quarter)", got[len(got)-1])
	}
	l.AheadH = 4
	got, _ = goTimes(t, quarters, l)
	if got[len(got)-1] != "10:15" {
		t.Errorf("last start with 4 h ahead %s, want 10:15 (10:20 on the quarter)", got[len(got)-1])
	}

	// The deck is below zero at 17:00: the frost rule stops the whole day.
	got, all = goTimes(t, winterDay, LaminateLimits())
	same(t, "with the frost rule", got, "")
	for i := range all {
		ok := false
		for _, r := range all[i].Broken {
			ok = ok || r.Limit == LimitFrost
		}
		if !ok {
			t.Errorf("%s: frost is not among %v", all[i].Time, all[i].Broken)
		}
	}
	// No window for the top coat at all.
	tc := TopCoatLimits()
	tc.FrostFreeH = 0
	tc.AheadH, tc.RainFreeH = 5, 5
	got, _ = goTimes(t, quarters, tc)
	same(t, "top coat", got, "")
}

func TestHotSummerDay(t *testing.T) {
	got, all := goTimes(t, summerDay, plain())
	same(t, "laminate", got, "06:00 07:00 08:00 19:00 20:00 21:00 22:00")
	if all[0].Binding.Limit != LimitDew {
		t.Errorf("05:00 is bound by %q, want the dew margin", all[0].Binding.Limit)
	}
	if all[5].Verdict != Wait || all[5].Binding.Limit != LimitDeckMax || all[5].NextGo.Hour() != 19 {
		t.Errorf("10:00: %+v; want to wait for 19:00, surface too hot", all[5])
	}
	c := Crossings(summerDay, func(m Moment) float64 { return m.SurfaceC }, 35)
	if len(c) != 2 || c[0].Time.Sub(time.Date(2026, 7, 15, 8, 38, 0, 0, time.UTC)).Abs() > time.Minute {
		t.Errorf("the deck passes 35 °C at %v, want about 08:38 first", c)
	}
	got, _ = goTimes(t, QuarterHours(summerDay), plain())
	joined := strings.Join(got, " ")
	if !strings.Contains(joined, "08:30 19:00") {
		t.Errorf("by quarters: %s; want 08:30 the last before 19:00", joined)
	}
}

// Top coat on the hot day: go from 19:00 to 22:00, but two hours until tack-free
// are only known to be fine for a finish by 20:00.
func TestHotDayTopCoat(t *testing.T) {
	l := TopCoatLimits()
	l.AheadH, l.RainFreeH, l.FrostFreeH, l.Light = 2, 2, 0, false
	got, all := goTimes(t, summerDay[10:], l)
	same(t, "top coat", got, "19:00 20:00 21:00 22:00")
	for i, want := range []bool{true, true, false, false} {
		if all[i].Sure != want {
			t.Errorf("%s: sure %v, want %v", all[i].Time.Format("15:04"), all[i].Sure, want)
		}
	}
}

// Humidity passes and the surface is already below the dew point: the looser rule
// does not hide the stricter.
func TestClearNightAt71Percent(t *testing.T) {
	m := Measured(time.Date(2026, 5, 1, 22, 0, 0, 0, time.UTC), 10, 0.97+4.03, 71, 1)
	got, all := goTimes(t, []Moment{m}, plain())
	if len(got) != 0 {
		t.Fatal("a deck at the dew point is no go")
	}
	for _, r := range all[0].Broken {
		if r.Limit == LimitRH {
			t.Error("71 % is within 85 %")
		}
	}
	if all[0].Binding.Limit != LimitDew {
		t.Errorf("bound by %q", all[0].Binding.Limit)
	}
}

func TestRainWindLightAndEnds(t *testing.T) {
	noon := time.Date(2026, 6, 15, 12, 0, 0, 0, time.UTC)
	var m []Moment
	for q := range 60 {
		m = append(m, Measured(noon.Add(time.Duration(q)*15*time.Minute), 18, 24, 60, 3))
	}
	l := LaminateLimits()
	l.FrostFreeH = 0
	first := func() Judgement {
		_, all := goTimes(t, m, l)
		return all[0]
	}
	if j := first(); j.Verdict != Go || !j.Sure {
		t.Fatalf("a fine noon: %+v", j)
	}
	m[3].RainMMPerH = 0.5
	if j := first(); j.Verdict != Wait || j.Binding.Limit != LimitRainAhead || j.NextGo != m[4].Time {
		t.Errorf("a shower at 12:45: %+v", j)
	}
	if text := first().Binding.Text(time.FixedZone("", 3600)); text != "rain ahead: 0.5 mm/h at 13:45, limit 0.1 mm/h" {
		t.Error(text)
	}
	m[3].RainMMPerH = 0
	m[2].RainProb = 0.6
	if j := first(); j.Binding.Limit != LimitRainProb || j.Verdict == Go {
		t.Errorf("60 %% chance of rain: %+v", j)
	}
	m[2].RainProb = 0
	m[0].WindMS = 12
	if j := first(); j.Binding.Limit != LimitWind {
		t.Errorf("12 m/s: %+v", j)
	}
	m[0].WindMS = 3
	m[0].SurfaceLow = m[0].DewPointC + 2
	if j := first(); j.Verdict != Go || j.Sure {
		t.Errorf("only the low breaks the margin: %+v", j)
	}
	_, all := goTimes(t, m, l)
	for _, j := range all {
		if up := j.Time.Before(time.Date(2026, 6, 15, 20, 30, 0, 0, time.UTC)); up != (j.Verdict == Go) && j.Time.Hour() != 20 {
			t.Errorf("%s: %v", j.Time, j.Verdict)
		}
	}
	l.Light = false
	if _, all = goTimes(t, m, l); all[len(all)-1].Sure {
		t.Error("the weather ends here: two hours ahead are not known")
	}
	l.RHMax.Value = 0 / zero
	if _, err := Judge(context.Background(), m, l, Site{}); err == nil {
		t.Error("a limit that is not a number")
	}
	if _, err := Judge(context.Background(), []Moment{m[1], m[0]}, LaminateLimits(), Site{}); err == nil {
		t.Error("moments out of order")
	}
}

var zero float64

// A looser limit never takes a go away.
func TestLooserLimitsKeepEveryGo(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		day := rapid.SampledFrom([][]Moment{winterDay, summerDay}).Draw(rt, "day")
		strict, loose := plain(), plain()
		strict.AheadH = rapid.Float64Range(0, 4).Draw(rt, "ahead")
		dew := rapid.Float64Range(2, 5).Draw(rt, "dew")
		strict.DewMargin = habit("", "", dew, "K")
		loose.DewMargin = habit("", "", dew-rapid.Float64Range(0, 2).Draw(rt, "looser"), "K")
		loose.AheadH = strict.AheadH * rapid.Float64Range(0, 1).Draw(rt, "shorter")
		a, _ := Judge(context.Background(), day, strict, Site{})
		b, _ := Judge(context.Background(), day, loose, Site{})
		for i := range a {
			if a[i].Verdict == Go && b[i].Verdict != Go {
				rt.Fatalf("%s: go under the stricter limits only", a[i].Time)
			}
		}
	})
}

// The sliding window against looking through every window.
func TestLookAheadAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
		var m []Moment
		for range rapid.IntRange(1, 40).Draw(rt, "moments") {
			at = at.Add(time.Duration(rapid.IntRange(1, 90).Draw(rt, "minutes")) * time.Minute)
			m = append(m, Moment{Time: at, AirC: float64(rapid.IntRange(-3, 3).Draw(rt, "air"))})
		}
		hours := rapid.Float64Range(0, 5).Draw(rt, "hours")
		skip := rapid.IntRange(0, 1).Draw(rt, "skip")
		l := newLook(m, hours)
		got := l.least(m, skip, func(m *Moment) float64 { return m.AirC })
		for i := range m {
			until := m[i].Time.Add(time.Duration(hours * float64(time.Hour)))
			want := -1
			for k := i + skip; k < len(m) && !m[k].Time.After(until); k++ {
				if want < 0 || m[k].AirC < m[want].AirC {
					want = k
				}
			}
			if int(got[i]) != want {
				rt.Fatalf("moment %d: %d, want %d", i, got[i], want)
			}
			if reached := !m[len(m)-1].Time.Before(until); l.reached[i] != reached {
				rt.Fatalf("moment %d: reached %v", i, l.reached[i])
			}
		}
	})
}

// A limit is no cliff: what lies near it says by how little, and what would do. The sun that is
// down is not so many hours before it sets.
func TestNearALimitIsSaid(t *testing.T) {
	at := time.Date(2026, 5, 12, 13, 0, 0, 0, time.UTC)
	for want, r := range map[string]Reason{
		"surface too hot: 35.04 °C at 13:00, limit 35 °C (0.1 K beyond it: shade on the deck, or an hour earlier or later, would do)": {
			Limit: LimitDeckMax, Value: 35.04, Bound: 35, Unit: "°C", At: at},
		"surface too hot: 34.6 °C at 13:00, limit 35 °C (0.4 K to spare)":                                  {Limit: LimitDeckMax, Value: 34.6, Bound: 35, Unit: "°C", At: at},
		"humidity: 97.2 % at 13:00, limit 85 %":                                                            {Limit: LimitRH, Value: 97.23, Bound: 85, Unit: "%", At: at},
		"wind: 9.09 m/s at 13:00, limit 8 m/s":                                                             {Limit: LimitWind, Value: 9.093, Bound: 8, Unit: "m/s", At: at},
		"surface too hot: 44 °C at 13:00, limit 35 °C":                                                     {Limit: LimitDeckMax, Value: 44, Bound: 35, Unit: "°C", At: at},
		"air too cold: 4.2 °C at 13:00, limit 5 °C (0.8 K beyond it: an hour later, in the sun, would do)": {Limit: LimitAirMin, Value: 4.2, Bound: 5, Unit: "°C", At: at},
		"daylight: the sun is down at 13:00":                                                               {Limit: LimitLight, Value: -0.04, Bound: 0, Unit: "h", At: at},
		"daylight: 0.2 h before sunset":                                                                    {Limit: LimitLight, Value: 0.2, Bound: 0, Unit: "h", At: at},
	} {
		if got := r.Text(time.UTC); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
