package desk

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"syscall"
	"testing"

	"gelwright/rooffile"
	"gelwright/steps"
	"gelwright/weather"
	"gelwright/weather/forecast"
)

// cpuMS is the processor time that the program has used, ms: what stands beside it on the machine does not count.
func cpuMS() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e6
}

// timed runs a bench and prints the processor time for each of so many roofs.
func timed(b *testing.B, name string, roofs int, run func() error) {
	b.Run(name, func(b *testing.B) {
		was := cpuMS()
		for b.Loop() {
			if err := run(); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric((cpuMS()-was)/float64(b.N*roofs), "cpu-ms/roof")
	})
}

// ensemble is the example forecast as 50 members of an ensemble; the variant is that of another morning.
func ensemble(b *testing.B, variant uint64) weather.Forecast {
	b.Helper()
	raw, err := os.ReadFile("../examples/forecast.csv")
	if err != nil {
		b.Fatal(err)
	}
	f, err := forecast.Read(raw, forecast.Options{Name: "forecast.csv"})
	if err != nil {
		b.Fatal(err)
	}
	if f, err = f.Fill(weather.Site{LatDeg: 52.4, LonDeg: -1.7, ElevM: 100}); err != nil {
		b.Fatal(err)
	}
	how := weather.AssumedErrors()
	how.Variant = variant
	if f, err = f.Members[0].Members(f.Members[0].Start, 50, how); err != nil {
		b.Fatal(err)
	}
	f.Invented = false
	return f
}

// roofNamed is an example, its day not weighed.
func roofNamed(b *testing.B, name string) Given {
	b.Helper()
	raw, err := os.ReadFile("../examples/" + name + ".yaml")
	if err != nil {
		b.Fatal(err)
	}
	job, _, err := rooffile.Read(name+".yaml", raw)
	if err != nil {
		b.Fatal(err)
	}
	return Given{Job: job}
}

// A morning's re-plan of one roof, by kind of roof: the long way that keeps nothing; then with its work kept, by
// what is looked for, where the weather of its place has to be laid on its deck first, and where it lies there.
func BenchmarkReplanKinds(b *testing.B) {
	ctx := context.Background()
	first, second := ensemble(b, 0), ensemble(b, 1)
	look := UsualLook()
	for _, name := range []string{"r01-garage", "r03-bay", "r04-l-shape", "r06-balcony"} {
		g := roofNamed(b, name)
		timed(b, name+"/long", 1, func() error {
			o, err := LookOut(ctx, g, first, lookFrom(look))
			if err == nil {
				_, err = o.When(ctx)
			}
			return err
		})
		shared, kept := NewShared(10), g
		kept.Steps = steps.NewCache(KeptSteps)
		fresh, err := NewMorning(first, look, shared).Replan(ctx, Planned{Given: kept})
		if err != nil {
			b.Fatal(err)
		}
		for _, seek := range []Seek{SeekNothing, SeekSure, SeekBest} {
			ask := func(m *Morning) error {
				_, err := m.Replan(ctx, Planned{Given: kept, Starts: fresh.Starts(), Seek: seek})
				return err
			}
			what := name + "/" + seekNames[seek]
			timed(b, what+"/own place", 1, func() error { return ask(NewMorning(second, look, shared)) })
			m := NewMorning(second, look, shared)
			if err := ask(m); err != nil {
				b.Fatal(err)
			}
			timed(b, what+"/known place", 1, func() error { return ask(m) })
		}
	}
}

// seekNames are what is looked for, in words.
var seekNames = map[Seek]string{SeekNothing: "judged", SeekSure: "sure", SeekBest: "best"}

func lookFrom(l Look) Look {
	l.From = "2026-05-11"
	return l
}

// Two hundred varied roofs in 50 members on all processors, at so many places: the morning on which nothing stands
// and nothing is kept, and the next one, by what is looked for in the place of what falls; and what share stands.
func BenchmarkReplanMany(b *testing.B) {
	for _, places := range []int{200, 20, 1} {
		b.Run(fmt.Sprintf("%d places", places), func(b *testing.B) { replanMany(b, 200, places) })
	}
}

func replanMany(b *testing.B, n, places int) {
	ctx := context.Background()
	first, second := ensemble(b, 0), ensemble(b, 1)
	r := rand.New(rand.NewPCG(7, 7))
	shared, kept := NewShared(n), steps.NewCache(40*n)
	roofs := make([]Planned, n)
	for i := range roofs {
		g := anyRoof(b, r)
		g.Job.Site.LatDeg, g.Job.Date = 51+float64(i%places)/200, "2026-05-13"
		g.Steps = kept
		roofs[i].Given = g
	}
	look := UsualLook()
	look.Target = 0.6
	was := cpuMS()
	answers, err := Replan(ctx, roofs, first, look, shared)
	if err != nil {
		b.Fatal(err)
	}
	b.Logf("the first morning: %.1f cpu-ms/roof", (cpuMS()-was)/float64(n))
	for i := range answers {
		if answers[i].Fault != nil {
			b.Fatal(answers[i].Fault)
		}
		roofs[i].Starts, roofs[i].Was = answers[i].Starts(), answers[i].Chance()
	}
	for _, seek := range []Seek{SeekNothing, SeekSure, SeekBest} {
		for i := range roofs {
			roofs[i].Seek = seek
		}
		stand := 0
		timed(b, seekNames[seek], n, func() error {
			stand = 0
			answers, err := Replan(ctx, roofs, second, look, shared)
			for i := range answers {
				if answers[i].answered() {
					stand++
				}
			}
			return err
		})
		b.Logf("%d of %d stand", stand, n)
	}
}
