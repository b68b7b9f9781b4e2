package ode

import (
	"context"
	"errors"
	"fmt"
	"math"

	"gelwright/elementary"
)

// System fills dydt with y′ at t. It must depend on t and y alone.
type System func(t float64, y, dydt []float64)

// Event is something to be found: a sign change of G along the solution.
type Event struct {
	G func(t float64, y []float64) float64
	// Direction: +1 finds changes from − to +, −1 from + to −, 0 both.
	Direction int
	// Stop ends the integration there.
	Stop bool
	// Rough events are looked for at the ends of steps alone and left where the dense output
	// has them: for what only has to end a run, or may be as coarse as a step.
	Rough bool
}

// Options tune a run. The zero value is a relative tolerance of 1e-6.
type Options struct {
	// RelTol of each component; 1e-6 when 0.
	RelTol float64
	// AbsTol of each component; RelTol·1e-3 for all when nil.
	AbsTol []float64
	// FirstStep and MaxStep; chosen, and unbounded, when 0.
	FirstStep, MaxStep float64
	// MaxSteps, accepted and refused; 100 000 when 0.
	MaxSteps int
	Events   []Event
	// Observe is called after each accepted step; the step is valid during the call.
	Observe func(s *Step)
}

// Hit is an event found.
type Hit struct {
	Event int // index in Options.Events
	T     float64
	Y     []float64
}

// Solution is the end of a run and how it went.
type Solution struct {
	T    float64
	Y    []float64
	Hits []Hit // in order of time
	// Stopped tells that an event ended the run before its time.
	Stopped               bool
	Steps, Refused, Calls int
}

const (
	askEvery   = 64     // steps between looks at the context
	absShare   = 1e-3   // the absolute tolerance, as a share of the relative, when none is given
	usualSteps = 100000 // at most, when nothing is given

	// The first step, Hairer, Nørsett & Wanner §II.4.
	smallNorm = 1e-5
	aim       = 0.01
	cautious  = 1e-3
	widest    = 100
	order     = 5

	leastError   = 1e-4 // remembered for the control
	nearlyLast   = 1.01 // a step that ends so close to the end goes there
	retreat      = 0.1  // of a step, when there is no number at its end
	mostRetreats = 40
	mostRefusals = 60
)

// ErrTooManySteps: the equations are stiff, or the tolerance cannot be met.
var ErrTooManySteps = errors.New("too many steps: the equations are stiff or the tolerance is too tight")

// ErrNotFinite: the right-hand side gave no number and a smaller step did not help.
var ErrNotFinite = errors.New("the right-hand side is not a number")

// Solve integrates from t0 to t1 > t0. The context is looked at every few steps; on its
// end, or on an error, the solution reached so far comes with the error.
func Solve(ctx context.Context, f System, t0, t1 float64, y0 []float64, o Options) (Solution, error) {
	s, err := start(f, t0, t1, y0, o)
	if err != nil {
		return Solution{}, err
	}
	for n := 0; s.t < t1; n++ {
		if n%askEvery == 0 {
			if err := ctx.Err(); err != nil {
				return s.end(), err
			}
		}
		if n >= s.o.MaxSteps {
			return s.end(), fmt.Errorf("ode: at %g after %d steps: %w", s.t, n, ErrTooManySteps)
		}
		stopped, err := s.advance(t1)
		if err != nil {
			return s.end(), err
		}
		if stopped {
			break
		}
	}
	return s.end(), nil
}

// solver is the state of a run.
type solver struct {
	f    System
	o    Options
	t, h float64
	y    []float64
	k    [7][]float64
	yn   []float64 // the state that a step arrives at
	tmp  []float64
	old  float64 // last accepted error, for the control
	sol  Solution
	g    []float64 // event values at t
	step Step
	keep []float64
}

func start(f System, t0, t1 float64, y0 []float64, o Options) (*solver, error) {
	if !(t1 >= t0) || math.IsInf(t1-t0, 0) {
		return nil, fmt.Errorf("ode: from %g to %g: give an end after the start", t0, t1)
	}
	if len(y0) == 0 {
		return nil, errors.New("ode: no unknowns: give a starting state")
	}
	if !(o.RelTol > 0) {
		o.RelTol = 1e-6
	}
	if o.AbsTol == nil {
		o.AbsTol = make([]float64, len(y0))
		for i := range o.AbsTol {
			o.AbsTol[i] = o.RelTol * absShare
		}
	}
	if len(o.AbsTol) != len(y0) {
		return nil, fmt.Errorf("ode: %d absolute tolerances for %d unknowns", len(o.AbsTol), len(y0))
	}
	if !(o.MaxStep > 0) {
		o.MaxStep = math.Inf(1)
	}
	if o.MaxSteps <= 0 {
		o.MaxSteps = usualSteps
	}
	n := len(y0)
	block := make([]float64, 16*n+len(o.Events))
	take := func(n int) []float64 { s := block[:n:n]; block = block[n:]; return s }
	s := &solver{f: f, o: o, t: t0, old: leastError, y: take(n), yn: take(n), tmp: take(n), keep: take(n), g: take(len(o.Events))}
	for i := range s.k {
		s.k[i] = take(n)
	}
	for i := range s.step.c {
		s.step.c[i] = take(n)
	}
	copy(s.y, y0)
	s.call(t0, s.y, s.k[0])
	if !finite(s.k[0]) || !finite(s.y) {
		return nil, fmt.Errorf("ode: at the start: %w", ErrNotFinite)
	}
	for i, e := range o.Events {
		s.g[i] = e.G(t0, s.y)
	}
	s.h = o.FirstStep
	if !(s.h > 0) {
		s.h = s.firstStep(t1 - t0)
	}
	return s, nil
}

func (s *solver) end() Solution {
	s.sol.T = s.t
	s.sol.Y = append([]float64(nil), s.y...)
	return s.sol
}

func (s *solver) call(t float64, y, dydt []float64) {
	s.f(t, y, dydt)
	s.sol.Calls++
}

// firstStep guesses a step from the size of y and y′ (Hairer, Nørsett & Wanner, §II.4).
func (s *solver) firstStep(span float64) float64 {
	norm := func(v []float64) float64 {
		sum := 0.0
		for i := range v {
			e := v[i] / (s.o.AbsTol[i] + s.o.RelTol*math.Abs(s.y[i]))
			sum += e * e
		}
		return math.Sqrt(sum / float64(len(v)))
	}
	d0, d1 := norm(s.y), norm(s.k[0])
	h := 1e-6
	if d0 > smallNorm && d1 > smallNorm {
		h = aim * d0 / d1
	}
	h = min(min(h, span), s.o.MaxStep)
	for i := range s.tmp {
		s.tmp[i] = s.y[i] + h*s.k[0][i]
	}
	s.call(s.t+h, s.tmp, s.k[1])
	if !finite(s.k[1]) {
		return h * cautious
	}
	for i := range s.tmp {
		s.tmp[i] = s.k[1][i] - s.k[0][i]
	}
	d2 := norm(s.tmp) / h
	h1 := max(1e-6, h*cautious)
	if m := max(d1, d2); m > 1e-15 {
		h1 = elementary.Pow(aim/m, 1.0/order)
	}
	return min(min(widest*h, h1), min(span, s.o.MaxStep))
}

func finite(v []float64) bool {
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// Step control, Hairer, Nørsett & Wanner §II.4 with the β of their program DOPRI5.
const (
	beta              = 0.04
	expo              = 0.2 - 0.75*beta
	safety            = 0.9
	slowest, quickest = 0.2, 10.0
)

// advance takes one accepted step and handles its events.
func (s *solver) advance(t1 float64) (stopped bool, err error) {
	limit := quickest
	for tries := 0; ; tries++ {
		h := min(s.h, s.o.MaxStep)
		last := s.t+nearlyLast*h >= t1
		if last {
			h = t1 - s.t
		}
		if h <= 4*math.Nextafter(math.Abs(s.t), math.Inf(1))*0x1p-53 && !last {
			return false, fmt.Errorf("ode: at %g the step vanishes: %w", s.t, ErrTooManySteps)
		}
		e := s.try(s.t, h, s.y, s.yn)
		if math.IsNaN(e) || math.IsInf(e, 0) || !finite(s.k[6]) {
			s.sol.Refused++
			s.h, limit = h*retreat, 1
			if tries > mostRetreats {
				return false, fmt.Errorf("ode: at %g: %w", s.t, ErrNotFinite)
			}
			continue
		}
		factor := safety / (elementary.Pow(max(e, 1e-10), expo)) * elementary.Pow(s.old, beta)
		if e > 1 {
			s.sol.Refused++
			s.h, limit = h*max(slowest, min(1, safety/elementary.Pow(e, expo))), 1
			if tries > mostRefusals {
				return false, fmt.Errorf("ode: at %g: %w", s.t, ErrTooManySteps)
			}
			continue
		}
		s.old = max(e, leastError)
		next := h * max(slowest, min(limit, factor))
		t := s.t + h
		if last {
			t = t1
		}
		s.sol.Steps++
		if len(s.o.Events) > 0 || s.o.Observe != nil {
			s.step.set(s, h)
		}
		if stopped = s.events(h, t); stopped {
			return true, nil
		}
		if s.o.Observe != nil {
			s.o.Observe(&s.step)
		}
		s.t = t
		s.y, s.yn = s.yn, s.y
		s.k[0], s.k[6] = s.k[6], s.k[0]
		if !last || next < s.h {
			s.h = next
		}
		return false, nil
	}
}
