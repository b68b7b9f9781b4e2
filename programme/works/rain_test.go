package works

import (
	"context"
	"math"
	"slices"
	"testing"
	"time"

	"gelwright/programme"
	"gelwright/weather"
)

// Rain spoils a laminate until the film is firm, which in the cold is far later than an hour after its gel: on a day of 5 °C it is
// begun only where the rain comes after the mark at which the papers say that rain does no harm, and not much later either.
func TestRainIsKeptOffALaminateUntilItIsFirm(t *testing.T) {
	j, w, zone := example(t, "r01-garage.yaml", 2)
	withoutBucket(w)
	stages := of(w.Stages, programme.Laminate)[:1]
	stages[0].LeadLimits = nil
	limits := *stages[0].Limits
	limits.FrostFreeH = 0
	stages[0].Limits = &limits
	film := stages[0].Film
	i := slices.Index(film.TempsC, 5)
	if i < 0 {
		t.Fatal("no 5 °C in the film's table: ", film.TempsC)
	}
	at := func(m programme.Mark) float64 {
		return film.Min[m][i] * math.Pow(film.RefPct/film.DosePct[i], film.DoseExponent[m])
	}
	firmMin := at(programme.RainSafe)
	if firmMin < at(programme.Gel)+2*60 {
		t.Fatalf("at 5 °C firm %.0f min after mixing, gelled after %.0f", firmMin, at(programme.Gel))
	}
	begin := time.Date(2026, 5, 12, 8, 0, 0, 0, zone)
	end := begin.Add(time.Duration(stages[0].Quarters) * programme.Quarter)
	for rainMin := 0.0; ; rainMin += 15 {
		if rainMin > firmMin+30 {
			t.Fatalf("not begun though the rain comes %.0f min after it is laid, and it is firm after %.0f", rainMin, firmMin)
		}
		var course []weather.Moment
		for q := range 4 * 24 * 2 {
			m := weather.Measured(begin.Add(time.Duration(q-32)*programme.Quarter), 5, 5, 50, 1)
			if m.Time.Sub(end).Minutes() >= rainMin {
				m.RainMMPerH = 1
			}
			course = append(course, m)
		}
		p, err := programme.Prepare(context.Background(), programme.Input{Stages: stages, Members: [][]weather.Moment{course},
			Site: SiteOf(j, zone), Hours: programme.Hours{StartMin: 480, EndMin: 1020}, EarliestStart: begin})
		if err != nil {
			t.Fatal(err)
		}
		a, err := p.Now(context.Background(), begin, nil)
		if err != nil {
			t.Fatal(err)
		}
		if a.PNow == 0 && a.Verdict != weather.Go {
			continue
		}
		if rainMin < firmMin-15 {
			t.Errorf("begun though rain comes %.0f min after it is laid, and it is firm after %.0f", rainMin, firmMin)
		}
		return
	}
}
