package weather

import (
	"context"
	"slices"
	"testing"
	"time"

	"gelwright/conduction"
)

// The likely course, the low and the high are followed at once and share nothing that changes:
// the likely one is what it is alone. The race detector runs this.
func TestThreeCoursesAtOnce(t *testing.T) {
	t.Parallel()
	site := Site{LatDeg: 53, LonDeg: -6}
	s := Series{Start: time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)}
	for h := range 48 {
		s.Hours = append(s.Hours, night(8+float64(h%24)/3, 4, 2, float64(h%7)/7))
	}
	for i := range s.Hours {
		s.Hours[i].Set(Rain, float64(i%9/8))
	}
	in := SurfaceInput{Layers: []conduction.Layer{roofLayers[1]}, Absorptance: 0.7, Site: site, Weather: mustFill(t, s, site),
		Room: Room{TempC: 20, ResistanceM2KPerW: 0.1}}
	three, err := SurfaceTemps(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	in.CentralOnly = true
	one, err := SurfaceTemps(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	// Nor does it matter to them whether the sun's places are shared with other courses.
	in.Suns = NewSuns(site, in.Weather.Start, in.Weather.End())
	for range 2 {
		again, err := SurfaceTemps(context.Background(), in)
		if err != nil || !slices.Equal(again.Quarters, one.Quarters) {
			t.Fatalf("with the sun's places kept the surface is another (%v)", err)
		}
	}
	// Nor whether they are worked out where another course was before, of another length.
	in.Store = &Store{}
	for _, hours := range []int{48, 30, 40} {
		in.To = in.Weather.Start.Add(time.Duration(hours) * time.Hour)
		in.Suns = nil
		kept, err := SurfaceTemps(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		alone := in
		alone.Store = nil
		want, err := SurfaceTemps(context.Background(), alone)
		if err != nil || !slices.Equal(kept.Quarters, want.Quarters) {
			t.Fatalf("%d h on a store that was used before are others than on a new one (%v)", hours, err)
		}
		in.Weather.Hours = slices.Clone(in.Weather.Hours)
		for i := range in.Weather.Hours {
			in.Weather.Hours[i].AirC += 3
		}
	}
	for i, q := range three.Quarters {
		if q.SurfaceC != one.Quarters[i].SurfaceC || q.LowC > q.SurfaceC || q.HighC < q.SurfaceC {
			t.Fatalf("%s: %g (%g to %g) beside its bounds, %g alone", q.Time, q.SurfaceC, q.LowC, q.HighC, one.Quarters[i].SurfaceC)
		}
	}
}
