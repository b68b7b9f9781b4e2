package weather

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// Whether a moment keeps its limits is worked out twice: with reasons, and, for all moments
// of all courses, without. The two agree, on any stretch of a course, at the bounds
// themselves and on what is no number.
func TestBenchAgreesWithItself(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(20261, 1))
	site := Site{LatDeg: 52, LonDeg: -1}
	for range 60 {
		l := LaminateLimits()
		if rng.IntN(2) == 0 {
			l = TopCoatLimits()
		}
		for _, off := range []func(){func() { l.Light = false }, func() { l.DewMargin = nil }, func() { l.RainTrace = nil }, func() { l.RainProb = nil },
			func() { l.FrostFreeH = 0 }, func() { l.AheadH = 0 }, func() { l.RainFreeH = 0 }, func() { l.AirMin = nil },
			func() { l.Mix = &Mixable{FromC: 0, StepK: 10, DeckC: []float64{40, 10, 9, 0}} }} {
			if rng.IntN(4) == 0 {
				off()
			}
		}
		m := nearLimits(rng, 200)
		bench := NewBench(l, site)
		fit := make([]uint64, len(m))
		if err := bench.Within(context.Background(), m, 1, fit); err != nil {
			t.Fatal(err)
		}
		from := rng.IntN(len(m))
		to := from + rng.IntN(len(m)-from+1)
		judged, err := Judge(context.Background(), m, l, site)
		if err != nil {
			t.Fatal(err)
		}
		seen := 0
		bench.Each([][]Moment{m}, from, to, func(_, i, broken int, binding *Reason) {
			seen++
			if (fit[i] == 1) != (broken == 0) {
				t.Fatalf("moment %d of %d, %+v: within its limits %t, breaks %d, by %+v", i, len(m), m[i], fit[i] == 1, broken, *binding)
			}
			if j := judged[i]; len(j.Broken) != broken || fmt.Sprint(j.Binding) != fmt.Sprint(*binding) {
				t.Fatalf("moment %d from %d to %d: %d broken, by %+v; judged alone %d, by %+v", i, from, to, broken, *binding, len(j.Broken),
					j.Binding)
			}
		})
		if seen != to-from {
			t.Fatalf("%d moments from %d to %d", seen, from, to)
		}
	}
}

// nearLimits is weather that keeps close to the limits, and now and then is on one or no
// number.
func nearLimits(rng *rand.Rand, n int) []Moment {
	m := make([]Moment, n)
	start := time.Date(2026, 3, 1, rng.IntN(24), 0, 0, 0, time.UTC)
	pick := func(v ...float64) float64 { return v[rng.IntN(len(v))] }
	for i := range m {
		x := &m[i]
		x.Time = start.Add(time.Duration(i) * 15 * time.Minute)
		x.AirC = pick(5, 5.5, 5.9, 6, 8, 20, 35)
		x.SurfaceC = pick(5, 5.5, 6, 9, 9, 12, 35)
		x.DewPointC = x.SurfaceC - pick(3, 3, 4, 5, 6)
		x.RHPct, x.WindMS, x.GustMS = pick(50, 85), pick(3, 8), pick(3, 9)
		if rng.IntN(12) == 0 {
			x.RainMMPerH, x.RainProb = pick(0.05, 0.1, 2), pick(0, 0.4, 0.5)
		}
		switch rng.IntN(120) {
		case 0:
			x.AirC, x.SurfaceC = 0, -0.5
		case 1:
			x.SurfaceC = math.NaN()
		case 2:
			x.RainMMPerH = math.NaN()
		case 3:
			x.WindMS = math.NaN()
		}
		x.SurfaceLow, x.SurfaceHigh = x.SurfaceC, x.SurfaceC
	}
	return m
}
