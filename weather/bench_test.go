package weather

import (
	"context"
	"testing"
)

// BenchmarkJudgeYear holds a year of quarter hours against the laminate's limits.
func BenchmarkJudgeYear(b *testing.B) {
	site := Site{LatDeg: 53, LonDeg: -6}
	w, err := yearOfWeather().Fill(site)
	if err != nil {
		b.Fatal(err)
	}
	s, err := SurfaceTemps(context.Background(), SurfaceInput{Layers: roofLayers, Absorptance: 0.9, Site: site, Room: Room{TempC: 20, ResistanceM2KPerW: 0.1}, Weather: w, CentralOnly: true})
	if err != nil {
		b.Fatal(err)
	}
	m := s.Moments(w)
	l := LaminateLimits()
	b.ResetTimer()
	for range b.N {
		if _, err := Judge(context.Background(), m, l, site); err != nil {
			b.Fatal(err)
		}
	}
}
