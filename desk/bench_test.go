package desk_test

import (
	"context"
	"os"
	"testing"
	"time"

	"gelwright/bench/year"
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

func BenchmarkWhenYear(b *testing.B) {
	g := garage(b)
	site, err := desk.SiteOf(&g.Job)
	if err != nil {
		b.Fatal(err)
	}
	f, err := forecast.Read([]byte(year.Hours(time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC))), forecast.Options{Name: "year.csv", Zone: site.Zone})
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
