package works

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"gelwright/programme"
	"gelwright/weather"
)

// steady is days of one temperature, dry and still.
func steady(begin time.Time, days int, c float64) []weather.Moment {
	out := make([]weather.Moment, days*96)
	for q := range out {
		out[q] = weather.Measured(begin.Add(time.Duration(q)*programme.Quarter), c, c, 40, 1)
	}
	return out
}

// Nobody walks on a top coat before it bears a foot: what follows it, flashings or the hand-over, waits for that as its film tells it
// at the temperature it lies in, and a day at the least. A forecast that ends before makes no plan.
func TestTheTopCoatBearsAFootBeforeWhatFollows(t *testing.T) {
	begin := time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC)
	longer := 0
	for _, name := range []string{"r01-garage.yaml", "r10-terrace.yaml"} {
		job, w, zone := example(t, name, 0)
		last := len(w.Stages) - 1
		for w.Stages[last].Kind != programme.TopCoat {
			last--
		}
		stages := slices.Clone(w.Stages[last:])
		stages[0].Join, stages[0].Again, stages[0].AgainQuarters = programme.Lag{}, nil, 0
		film := stages[0].Film
		for _, c := range []float64{10, 15, 20} {
			at := slices.Index(film.TempsC, c)
			foot := film.Min[programme.Walk][at] * math.Pow(film.RefPct/film.DosePct[at], film.DoseExponent[programme.Walk])
			least := max(foot, 24*60)
			search := func(days int) *programme.Result {
				p, err := programme.Prepare(context.Background(), programme.Input{Stages: stages, Members: [][]weather.Moment{steady(begin, days, c)},
					Site: SiteOf(job, zone), Hours: w.Hours})
				if err != nil {
					t.Fatal(err)
				}
				r, err := p.Search(context.Background())
				if err != nil {
					t.Fatal(err)
				}
				return r
			}
			r := search(4 + int(least/24/60))
			if r.Likeliest == nil {
				t.Fatalf("%s at %g °C: %s", name, c, r.Blocked)
			}
			slots := r.Likeliest.Slots
			wait := slots[1].Start.Sub(slots[0].End).Minutes()
			// Rounded to quarters, and to the next morning at most.
			if wait < least-15 || wait > least+24*60 {
				t.Errorf("%s at %g °C: %s %.1f h after the top coat; it bears a foot after %.1f h", name, c, slots[1].Name, wait/60, foot/60)
			}
			if foot > 24*60 {
				longer++
				if r := search(int(foot / 24 / 60)); r.Likeliest != nil || !strings.Contains(r.Blocked, "a longer forecast") {
					t.Errorf("%s at %g °C: a plan in a forecast that ends before: %q", name, c, r.Blocked)
				}
			}
		}
	}
	if longer == 0 {
		t.Error("no coat took longer than a day")
	}
}
