package desk_test

import (
	"context"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"gelwright/desk"
	"gelwright/rooffile"
	"gelwright/weather/forecast"
)

// garage is the example that everything is measured on.
func garage(t testing.TB) desk.Given {
	t.Helper()
	raw, err := os.ReadFile("../examples/r01-garage.yaml")
	if err != nil {
		t.Fatal(err)
	}
	job, _, err := rooffile.Read("r01-garage.yaml", raw)
	if err != nil {
		t.Fatal(err)
	}
	return desk.Given{Job: job}
}

// yearOfHours is an invented year: warm summers, warm afternoons, showers on every fifth day
// or so, wind and cloud that come and go.
func yearOfHours(from time.Time) string {
	var b strings.Builder
	b.WriteString("time_utc,air_c,rh_pct,wind_ms,rain_mm,cloud_pct\n")
	for h := range 24 * 366 {
		at := from.Add(time.Duration(h) * time.Hour)
		day := at.YearDay()
		season := 10 - 9*math.Cos(2*math.Pi*float64(day-20)/365)
		air := season + 4*math.Sin(float64(at.Hour()-9)/24*2*math.Pi)
		rain := 0.0
		if day*7919%5 == 0 && at.Hour()%7 < 3 {
			rain = 1.2
		}
		fmt.Fprintf(&b, "%s,%.1f,%.0f,%.1f,%.1f,%d\n", at.Format("2006-01-02T15:04Z"), air, min(98, 85-2*(air-season)),
			2+float64(day*13%9)*0.6, rain, day*37%100)
	}
	return b.String()
}

func BenchmarkWhenYear(b *testing.B) {
	g := garage(b)
	site, err := desk.SiteOf(&g.Job)
	if err != nil {
		b.Fatal(err)
	}
	f, err := forecast.Read([]byte(yearOfHours(time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC))), forecast.Options{Name: "year.csv", Zone: site.Zone})
	if err != nil {
		b.Fatal(err)
	}
	look := desk.UsualLook()
	look.From, look.Days = "2026-01-01", 365
	for b.Loop() {
		o, err := desk.LookOut(context.Background(), g, f, look)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := o.When(context.Background()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNow(b *testing.B) {
	g := garage(b)
	site, err := desk.SiteOf(&g.Job)
	if err != nil {
		b.Fatal(err)
	}
	raw, err := os.ReadFile("../examples/forecast.csv")
	if err != nil {
		b.Fatal(err)
	}
	f, err := forecast.Read(raw, forecast.Options{Name: "forecast.csv", Zone: site.Zone})
	if err != nil {
		b.Fatal(err)
	}
	look := desk.UsualLook()
	look.At = time.Date(2026, 5, 13, 9, 30, 0, 0, site.Zone)
	for b.Loop() {
		o, err := desk.LookOut(context.Background(), g, f, look)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := o.Now(context.Background(), look.At, nil); err != nil {
			b.Fatal(err)
		}
	}
}
