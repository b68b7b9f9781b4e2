package works

import (
	"context"
	"os"
	"testing"
	"time"

	"gelwright/programme"
	"gelwright/weather"
	"gelwright/weather/forecast"
)

// BenchmarkReplan: a garage, a terrace with its box gutter and three levels, on the
// morning of the first day, in 31 courses of a week of real weather (Met Éireann).
func BenchmarkReplan(b *testing.B) {
	data, err := os.ReadFile("../../weather/forecast/testdata/dublin_week.csv")
	if err != nil {
		b.Fatal(err)
	}
	for _, name := range []string{"r01-garage.yaml", "r10-terrace.yaml", "r11-three-levels.yaml"} {
		b.Run(name, func(b *testing.B) {
			j, w, zone := example(b, name, 0)
			site := SiteOf(j, zone)
			f, err := forecast.Read(data, forecast.Options{Name: "dublin_week.csv"})
			if err != nil {
				b.Fatal(err)
			}
			if f, err = f.Fill(site); err != nil {
				b.Fatal(err)
			}
			start := f.Members[0].Start
			if f, err = f.Members[0].Members(start, 31, weather.AssumedErrors()); err != nil {
				b.Fatal(err)
			}
			in, _ := SurfaceOf(j, site)
			c, err := Courses(context.Background(), f, in, time.Time{}, time.Time{})
			if err != nil {
				b.Fatal(err)
			}
			// Limits of temperature lifted: it is January.
			p, err := programme.Prepare(context.Background(), programme.Input{Stages: w.Stages, Members: c, Site: site, Hours: w.Hours, Overrides: []programme.Override{
				{Limit: weather.LimitFrost, Reason: "benchmark"}, {Limit: weather.LimitDeckMin, Reason: "benchmark"}, {Limit: weather.LimitAirMin, Reason: "benchmark"}, {Limit: weather.LimitRH, Reason: "benchmark"}, {Limit: weather.LimitDew, Reason: "benchmark"}}})
			if err != nil {
				b.Fatal(err)
			}
			b.ResetTimer()
			for range b.N {
				if _, err := p.Now(context.Background(), start.Add(9*time.Hour), nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
