package plan_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gelwright/material"
	"gelwright/plan"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/rooffile"
	"gelwright/steps"
)

// largeRoof is an invented roof of 5 000 m²: 100 by 50 m, a ridge along the middle,
// gutters on both long sides, a hundred bays of 5 by 10 m and a rooflight in each of
// eighty of them.
func largeRoof(t testing.TB) roof.Job {
	job := clone(example(t, "r12-hall.yaml"))
	p := func(x, y float64) plane.Point { return plane.Point{X: x, Y: y} }
	d := job.Decks[0]
	d.Name = "works"
	d.Outline = plane.RingOf(p(0, 0), p(100, 0), p(100, 50), p(0, 50))
	d.Falls.Line = [2]plane.Point{p(0, 25), p(100, 25)}
	d.Openings, d.MovementJoints, d.AntiSlip = nil, nil, nil
	for i := 1; i < 20; i++ {
		d.MovementJoints = append(d.MovementJoints, [2]plane.Point{p(float64(5*i), 0), p(float64(5*i), 50)})
	}
	for i := 1; i < 5; i++ {
		d.MovementJoints = append(d.MovementJoints, [2]plane.Point{p(0, float64(10*i)), p(100, float64(10*i))})
	}
	for row, y := range []float64{5, 15, 35, 45} {
		for i := 0; i < 20; i++ {
			x := 2.5 + 5*float64(i)
			d.Openings = append(d.Openings, roof.Opening{Name: fmt.Sprintf("RL%02d", 20*row+i+1), Kind: "rooflight",
				Outline: plane.Rectangle(x-0.6, y-0.6, x+0.6, y+0.6), KerbMM: 150, Fragile: true})
		}
	}
	d.Exit = p(0, 40)
	job.Name, job.Decks = "Works roof of 5 000 m² (invented)", []roof.Deck{d}
	return job
}

// TestLargeRoofIsPlanned: a roof a hundred times a usual one adds up, and a file of it
// reads back. How long it takes is for the benchmark.
func TestLargeRoofIsPlanned(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	job := largeRoof(t)
	raw, err := rooffile.Write(job)
	if err != nil {
		t.Fatal(err)
	}
	back, faults, err := rooffile.Read("works.yaml", raw)
	if err != nil {
		t.Fatalf("%v %v", err, faults)
	}
	p := planOf(t, back)
	if want := 5000 - 80*1.44; math.Abs(p.Totals.NetM2-want) > 1e-6 {
		t.Errorf("net %v m², want %v", p.Totals.NetM2, want)
	}
	for _, f := range balance(p) {
		t.Error(f)
	}
	if err := finding("movement.bays", "100 bays of 50 m²")(p); err != nil {
		t.Error(err)
	}
	if err := water("works, edge 1 (drip)", 2500)(p); err != nil {
		t.Error(err)
	}
}

func BenchmarkPlan(b *testing.B) {
	run := func(name string, job roof.Job) {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := plan.Make(b.Context(), plan.Input{Job: job, Catalogue: material.Generic()}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	for _, name := range examples(b) {
		run(strings.TrimSuffix(name, ".yaml"), example(b, name))
	}
	run("works-5000m2", largeRoof(b))
}

// TestExamplesLieNearAPlainTakeOff compares with a take-off by one fixed rule set:
// regression only. That rule set measures areas and multiplies; it knows no pieces, no
// offcuts and no upstands in the laminate, so the bands are wide and say only that
// nothing is out by a factor. Its mat is area × 1.1 for each layer, ours is what is cut
// off the roll with upstands and patches; its catalyst is 2 % on all resin.
func TestExamplesLieNearAPlainTakeOff(t *testing.T) {
	for _, c := range []struct {
		name                          string
		boards                        int
		matM2, bandageM, resinKG, cat float64
		coatKG                        float64
	}{
		{"r01-garage", 7, 19.71, 44.0, 33.78, 0.909, 11.69},
		{"r02-dormer", 4, 8.71, 23.65, 15.38, 0.416, 5.39},
		{"r04-l-shape", 12, 32.97, 68.34, 72.12, 1.829, 19.32},
		{"r05-triangle", 3, 6.6, 21.45, 12.04, 0.326, 4.28},
		{"r06-balcony", 5, 24.95, 32.09, 37.76, 0.908, 7.63},
		{"r07-overlay", 13, 34.85, 68.64, 75.84, 1.92, 20.17},
		{"r08-winter", 8, 22.0, 47.3, 37.51, 1.009, 12.95},
		{"r09-summer", 18, 48.62, 89.93, 105.18, 2.662, 27.92},
		{"r10-terrace", 17, 47.95, 100.68, 105.03, 2.663, 28.13},
		{"r11-three-levels", 26, 72.2, 153.23, 158.33, 4.015, 42.44},
		{"r12-hall", 230, 650.5, 911.24, 1375.75, 34.659, 357.21},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := planned(t, c.name+".yaml")
			s := p.Totals
			// The plain take-off knows one layer of boards.
			for _, d := range p.Decks {
				if d.Structural != nil {
					s.Boards -= d.Structural.Materials[0].Items
				}
			}
			near := func(what string, got, want, low, high float64) {
				if got < low*want || got > high*want {
					t.Errorf("%s: %v, the plain take-off says %v", what, got, want)
				}
			}
			near("boards", float64(s.Boards), float64(c.boards), 0.7, 1.15)
			near("mat", s.MatM2, c.matM2, 0.95, 1.9)
			near("bandage", s.BandageM, c.bandageM, 0.7, 1.3)
			near("resin", s.ResinKG, c.resinKG, 0.9, 1.6)
			near("top coat, each coat", s.CoatKG/float64(p.Job.Spec.TopCoat.Coats), c.coatKG, 0.8, 2.2)
			// The dose follows the day, 1 to 4 %.
			near("catalyst", s.CatalystG/1000, c.cat, 0.45, 2.6)
		})
	}
}

// BenchmarkChange plans a roof again after the air has become warmer or colder, with what is
// kept of the plan before.
func BenchmarkChange(b *testing.B) {
	for _, name := range []string{"r01-garage.yaml", "r04-l-shape.yaml", "r12-hall.yaml"} {
		b.Run(strings.TrimSuffix(name, ".yaml"), func(b *testing.B) {
			job, cache, t := example(b, name), steps.NewCache(256), 14.0
			for b.Loop() {
				t += 0.01
				if _, err := plan.Make(b.Context(), plan.Input{Job: job, Catalogue: material.Generic(), TempC: &t, Cache: cache}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
