package ode

import (
	"context"
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func solve(t testing.TB, f System, t0, t1 float64, y0 []float64, o Options) Solution {
	t.Helper()
	s, err := Solve(context.Background(), f, t0, t1, y0, o)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.15g, want %.15g ± %g", what, got, want, tol)
	}
}

func oscillator(_ float64, y, d []float64) { d[0], d[1] = y[1], -y[0] }

// sin and cos, exact.
func TestOscillator(t *testing.T) {
	s := solve(t, oscillator, 0, 20, []float64{0, 1}, Options{RelTol: 1e-10, AbsTol: []float64{1e-12, 1e-12}})
	near(t, "sin 20", s.Y[0], math.Sin(20), 1e-8)
	near(t, "cos 20", s.Y[1], math.Cos(20), 1e-8)
}

// Hairer, Nørsett & Wanner, Solving ODEs I, §II.0 eq. (0.1): the Arenstorf orbit of a
// satellite about earth and moon closes after 17.0652165601579625588917206249.
func TestArenstorfOrbitCloses(t *testing.T) {
	const μ = 0.012277471
	f := func(_ float64, y, d []float64) {
		p1 := math.Pow((y[0]+μ)*(y[0]+μ)+y[1]*y[1], 1.5)
		p2 := math.Pow((y[0]-(1-μ))*(y[0]-(1-μ))+y[1]*y[1], 1.5)
		d[0], d[1] = y[2], y[3]
		d[2] = y[0] + 2*y[3] - (1-μ)*(y[0]+μ)/p1 - μ*(y[0]-(1-μ))/p2
		d[3] = y[1] - 2*y[2] - (1-μ)*y[1]/p1 - μ*y[1]/p2
	}
	y0 := []float64{0.994, 0, 0, -2.00158510637908252240537862224}
	s := solve(t, f, 0, 17.0652165601579625588917206249, y0, Options{RelTol: 1e-12, AbsTol: []float64{1e-13, 1e-13, 1e-13, 1e-13}})
	near(t, "x", s.Y[0], y0[0], 2e-6)
	near(t, "y", s.Y[1], y0[1], 2e-6)
}

// The global error must fall with the fifth power of a fixed step, the dense
// output's with the fourth at least.
func TestOrderOfConvergence(t *testing.T) {
	run := func(h float64) (end, dense float64) {
		y := make([]float64, 2)
		s := solve(t, oscillator, 0, 4, []float64{0, 1}, Options{RelTol: 1e9, AbsTol: []float64{1e9, 1e9}, FirstStep: h, MaxStep: h, Observe: func(p *Step) {
			m := p.From + 0.37*(p.To-p.From)
			p.At(m, y)
			dense = math.Max(dense, math.Abs(y[0]-math.Sin(m)))
		}})
		return math.Abs(s.Y[0] - math.Sin(4)), dense
	}
	e1, d1 := run(0.1)
	e2, d2 := run(0.05)
	if p := math.Log2(e1 / e2); p < 4.7 || p > 6 {
		t.Errorf("order %.2f, the pair has 5", p)
	}
	if p := math.Log2(d1 / d2); p < 3.8 {
		t.Errorf("dense output of order %.2f, want 4", p)
	}
}

// Zeros of sine: kπ, exact; a stopping event ends the run at its place.
func TestEventsAreFoundAndPolished(t *testing.T) {
	zero := func(_ float64, y []float64) float64 { return y[0] }
	o := Options{RelTol: 1e-10, AbsTol: []float64{1e-13, 1e-13}, Events: []Event{{G: zero}, {G: zero, Direction: -1}, {G: func(tt float64, _ []float64) float64 { return tt - 11 }, Stop: true}}}
	s := solve(t, oscillator, 0.5, 40, []float64{math.Sin(0.5), math.Cos(0.5)}, o)
	var both, down []float64
	for _, h := range s.Hits {
		switch h.Event {
		case 0:
			both = append(both, h.T)
		case 1:
			down = append(down, h.T)
		}
	}
	if len(both) != 3 || len(down) != 2 || !s.Stopped {
		t.Fatalf("hits %v, %v, stopped %v", both, down, s.Stopped)
	}
	for i, h := range both {
		near(t, "zero", h, float64(i+1)*math.Pi, 2e-9)
	}
	near(t, "second fall", down[1], 3*math.Pi, 2e-9)
	near(t, "stop", s.T, 11, 1e-12)
	near(t, "state at the stop", s.Y[0], math.Sin(11), 1e-8)
}

// Steps of the default tolerance are long: two zeros may fall into one of them.
func TestTwoEventsInOneStep(t *testing.T) {
	// y = t²−4t+3.9 has zeros 2 ± √0.1; the pair integrates a parabola in one stride.
	f := func(tt float64, _, d []float64) { d[0] = 2*tt - 4 }
	s := solve(t, f, 0, 10, []float64{3.9}, Options{FirstStep: 1.3, MaxStep: 1.3, Events: []Event{{G: func(_ float64, y []float64) float64 { return y[0] }}}})
	if len(s.Hits) != 2 {
		t.Fatalf("%d hits", len(s.Hits))
	}
	near(t, "first", s.Hits[0].T, 2-math.Sqrt(0.1), 1e-9)
	near(t, "second", s.Hits[1].T, 2+math.Sqrt(0.1), 1e-9)
}

func TestToleranceIsKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.Float64Range(0.01, 3).Draw(t, "k")
		span := rapid.Float64Range(0.1, 10).Draw(t, "span")
		tol := math.Pow(10, -rapid.Float64Range(4, 11).Draw(t, "digits"))
		s, err := Solve(context.Background(), func(_ float64, y, d []float64) { d[0] = k * y[0] }, 0, span, []float64{1}, Options{RelTol: tol, AbsTol: []float64{0}})
		if err != nil {
			t.Fatal(err)
		}
		want := math.Exp(k * span)
		// A per-step tolerance adds up over the run: a hundred steps at most matter here.
		if rel := math.Abs(s.Y[0]/want - 1); rel > 100*tol {
			t.Fatalf("relative error %g at tolerance %g", rel, tol)
		}
		if s.T != span {
			t.Fatalf("ended at %g", s.T)
		}
	})
}

func TestWhatCannotBeIntegratedIsSaid(t *testing.T) {
	ctx := context.Background()
	if _, err := Solve(ctx, func(_ float64, y, d []float64) { d[0] = -1e9 * (y[0] - 1) }, 0, 1e3, []float64{0}, Options{MaxSteps: 2000}); !errors.Is(err, ErrTooManySteps) {
		t.Errorf("stiff: %v", err)
	}
	if _, err := Solve(ctx, func(_ float64, y, d []float64) { d[0] = y[0] * y[0] }, 0, 2, []float64{1}, Options{}); err == nil {
		t.Error("1/(1−t) passes t = 1 without a word")
	}
	if _, err := Solve(ctx, func(_ float64, _, d []float64) { d[0] = math.NaN() }, 0, 1, []float64{1}, Options{}); !errors.Is(err, ErrNotFinite) {
		t.Errorf("no number: %v", err)
	}
	// A right-hand side that only exists up to t = 1, where √(1−t) ends.
	if _, err := Solve(ctx, func(tt float64, _, d []float64) { d[0] = math.Sqrt(1 - tt) }, 0, 2, []float64{1}, Options{}); err == nil {
		t.Error("past the end of the right-hand side without a word")
	}
	gone, cancel := context.WithCancel(ctx)
	cancel()
	if _, err := Solve(gone, oscillator, 0, 1, []float64{0, 1}, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	for name, run := range map[string]func() error{
		"backwards": func() error { _, err := Solve(ctx, oscillator, 1, 0, []float64{0, 1}, Options{}); return err },
		"empty":     func() error { _, err := Solve(ctx, oscillator, 0, 1, nil, Options{}); return err },
		"tolerances": func() error {
			_, err := Solve(ctx, oscillator, 0, 1, []float64{0, 1}, Options{AbsTol: []float64{1}})
			return err
		},
	} {
		if run() == nil {
			t.Errorf("%s passes", name)
		}
	}
}

func TestNoSpanIsTheStart(t *testing.T) {
	s := solve(t, oscillator, 3, 3, []float64{1, 2}, Options{})
	if s.T != 3 || s.Y[0] != 1 || s.Steps != 0 {
		t.Errorf("%+v", s)
	}
}

func BenchmarkOscillator(b *testing.B) {
	for range b.N {
		if _, err := Solve(context.Background(), oscillator, 0, 20, []float64{0, 1}, Options{RelTol: 1e-8}); err != nil {
			b.Fatal(err)
		}
	}
}

// A rough event ends a run where the dense output has it, without a step of its own: sin t
// passes 1/2 at π/6 as near as the output is, and the run took no more calls than without.
func TestRoughEventsEndARun(t *testing.T) {
	half := Event{G: func(_ float64, y []float64) float64 { return y[0] - 0.5 }, Direction: 1, Stop: true, Rough: true}
	o := Options{RelTol: 1e-8, AbsTol: []float64{1e-10, 1e-10}, Events: []Event{half}}
	s := solve(t, oscillator, 0, 3, []float64{0, 1}, o)
	if len(s.Hits) != 1 || !s.Stopped {
		t.Fatalf("hits %v, stopped %v", s.Hits, s.Stopped)
	}
	near(t, "time", s.T, math.Pi/6, 1e-6)
	near(t, "state", s.Y[0], 0.5, 1e-6)
	near(t, "its slope", s.Y[1], math.Sqrt(3)/2, 1e-6)
	o.Events[0].Rough = false
	if fine := solve(t, oscillator, 0, 3, []float64{0, 1}, o); s.Calls >= fine.Calls || s.Steps != fine.Steps {
		t.Errorf("%d calls in %d steps, %d in %d when it is polished", s.Calls, s.Steps, fine.Calls, fine.Steps)
	}
}
