package weather

import (
	"math"
	"strings"
	"testing"
	"time"
)

// A forecast that was 2 K too warm with the right dew point, and 30 % too calm, is put right
// in a fortnight; one day moves it by a quarter.
func TestRecordCorrectsAForecast(t *testing.T) {
	site := Site{LatDeg: 53}
	came := mustFill(t, dayOf(time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC), 20, 12, 4, 5, 4, 0.5), site)
	said := came
	said.Hours = append([]Hour(nil), came.Hours...)
	for i := range said.Hours {
		said.Hours[i].AirC += 2
		said.Hours[i].WindMS *= 0.7
		if i%5 == 0 {
			came.Hours[i].RainMM, came.Hours[i].Filled = 1, came.Hours[i].Filled&^Rain
		}
	}
	for days, off := range map[int]float64{14: 2 * 3.0 / 17, 1: 2 * 3.0 / 4} {
		r := Compare(said.Part(said.Start, said.Start.AddDate(0, 0, days)), came, site)
		got := r.Correct(said, site)
		for _, i := range []int{400, 412} { // by night and by day
			near(t, "air", got.Hours[i].AirC-came.Hours[i].AirC, off, 0.01)
			near(t, "dew point", got.Hours[i].DewPointC, came.Hours[i].DewPointC, 0.01)
			if w := got.Hours[i].WindMS / came.Hours[i].WindMS; w < 0.75 || w > 1 {
				t.Errorf("%d days: wind × %.2f", days, w)
			}
		}
		if m := r.Errors(AssumedErrors()); m.Air.First >= AssumedErrors().Air.First || m.SurpriseRain.First < AssumedErrors().SurpriseRain.First {
			t.Errorf("%d days of errors all alike: %+v", days, m)
		}
	}
	var none Record
	if none.Errors(AssumedErrors()) != AssumedErrors() || none.Correct(said, site).Hours[7].AirC != said.Hours[7].AirC {
		t.Error("no record changes the forecast")
	}
	long := Compare(said, came, site)
	if m := long.Errors(AssumedErrors()); m.SurpriseRain.First < 0.1 {
		t.Errorf("a fifth of dry hours wet: %+v", m.SurpriseRain)
	}
	two := long
	two.Add(long)
	if two.Hours != 2*long.Hours || math.Abs(two.Air[1].Mean()-long.Air[1].Mean()) > 1e-9 {
		t.Errorf("joined: %+v", two)
	}
}

// The gap of air and dew point has an error of its own, and an hour of which rain is not told
// is wet in three of ten courses.
func TestMembersErrInTheGapAndInUntoldRain(t *testing.T) {
	base := dayOf(time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC), 2, 14, 0, 5, 4, 0.5)
	for i := 20; i < 40; i++ {
		base.Hours[i].Has &^= Rain | RainProbability
	}
	base = mustFill(t, base, Site{LatDeg: 52})
	f, err := base.Members(base.Start, 201, AssumedErrors())
	if err != nil {
		t.Fatal(err)
	}
	sq, wet := 0.0, 0.0
	for _, m := range f.Members[1:] {
		d := m.Hours[1].AirC - m.Hours[1].DewPointC - (base.Hours[1].AirC - base.Hours[1].DewPointC)
		sq += d * d
		if m.Hours[30].RainMM > 0 {
			wet++
		}
	}
	near(t, "spread of the gap", math.Sqrt(sq/200), AssumedErrors().Gap.at(1), 0.2)
	near(t, "share of wet courses where nothing is told", wet/200, 0.3, 0.06)
}

// Numbers in another unit than their column's are caught; true weather is not.
func TestDoubts(t *testing.T) {
	site := Site{LatDeg: 53}
	good := func() Series { return dayOf(time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC), 3, 10, 4, 5, 4, 0.5) }
	if s := good(); len(s.Doubts(site)) > 0 {
		t.Errorf("mild days: %v", s.Doubts(site))
	}
	for want, spoil := range map[string]func(h *Hour){
		"fraction":   func(h *Hour) { h.Set(Humidity, 0.65) },
		"Fahrenheit": func(h *Hour) { h.Set(Air, h.AirC*1.8+32) },
		"km/h":       func(h *Hour) { h.Set(Wind, 18) },
	} {
		s := good()
		for i := range s.Hours {
			spoil(&s.Hours[i])
		}
		if d := s.Doubts(site); len(d) != 1 || !strings.Contains(d[0].Found, want) || d[0].Remedy == "" {
			t.Errorf("%s: %v", want, d)
		}
	}
	hot := good()
	for i := range hot.Hours {
		hot.Hours[i].Set(Air, hot.Hours[i].AirC+12)
		hot.Hours[i].Set(Wind, 9)
	}
	if d := hot.Doubts(site); len(d) > 0 {
		t.Errorf("a windy heat wave: %v", d)
	}
}
