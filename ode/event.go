package ode

import "math"

// looks is the number of places within a step at which events are looked for, so
// that two changes in one step are not missed.
const looks = 4

// The search for an event within a step.
const (
	rootRounds = 60
	nearShare  = 1e-4 // of the bracket, for a slope
	farShare   = 0.1  // of the bracket: a step so far is no polish
)

// events finds the sign changes of the step just taken (s.t to t1, state s.yn). When
// one of them stops the run, the solver is left at it.
func (s *solver) events(h, t1 float64) (stopped bool) {
	if len(s.o.Events) == 0 {
		return false
	}
	var hits []Hit
	y := s.tmp
	for j, e := range s.o.Events {
		ga, ta := s.g[j], s.t
		for n := e.firstLook(); n <= looks; n++ {
			tb, at := s.t+h*float64(n)/looks, s.yn
			if n < looks {
				s.step.At(tb, y)
				at = y
			} else {
				tb = t1
			}
			gb := e.G(tb, at)
			up, down := ga < 0 && gb >= 0, ga > 0 && gb <= 0
			if (up && e.Direction >= 0) || (down && e.Direction <= 0) {
				hits = append(hits, Hit{Event: j, T: s.root(e, ta, tb, ga, gb)})
			}
			ga, ta = gb, tb
		}
		s.g[j] = ga
	}
	if len(hits) == 0 {
		return false
	}
	// A step holds one or two hits: sort by insertion.
	for i := 1; i < len(hits); i++ {
		for k := i; k > 0 && hits[k].T < hits[k-1].T; k-- {
			hits[k], hits[k-1] = hits[k-1], hits[k]
		}
	}
	end := append([]float64(nil), s.k[6]...)
	for i := range hits {
		hits[i].T, hits[i].Y = s.polish(s.o.Events[hits[i].Event], hits[i].T)
		s.sol.Hits = append(s.sol.Hits, hits[i])
		if s.o.Events[hits[i].Event].Stop {
			s.t = hits[i].T
			copy(s.y, hits[i].Y)
			s.sol.Stopped = true
			return true
		}
	}
	copy(s.k[6], end)
	return false
}

// firstLook is the first of the looks at an event within a step.
func (e *Event) firstLook() int {
	if e.Rough {
		return looks
	}
	return 1
}

// root finds the sign change of e on the dense output between ta and tb by regula
// falsi in the Illinois form.
func (s *solver) root(e Event, ta, tb, ga, gb float64) float64 {
	y := s.keep
	for range rootRounds {
		if gb == 0 || math.Abs(tb-ta) <= 1e-14*(math.Abs(ta)+math.Abs(tb)) {
			return tb
		}
		t := tb - gb*(tb-ta)/(gb-ga)
		if !(t > min(ta, tb) && t < max(ta, tb)) {
			t = (ta + tb) / 2
		}
		s.step.At(t, y)
		g := e.G(t, y)
		if (g < 0) != (gb < 0) {
			ta, ga = tb, gb
		} else {
			ga /= 2
		}
		tb, gb = t, g
	}
	return tb
}

// polish takes true steps from the start of the step to the event and corrects its
// time by the slope of the dense output's event function. The stages k are used up.
func (s *solver) polish(e Event, t float64) (float64, []float64) {
	y := make([]float64, len(s.y))
	if e.Rough {
		s.step.At(t, y)
		return t, y
	}
	lo, hi := s.step.From, s.step.To
	for range 2 {
		if t <= lo {
			copy(y, s.y)
			return lo, y
		}
		s.try(lo, t-lo, s.y, y)
		g := e.G(t, y)
		// Slope from two points of the dense output around t.
		δ := nearShare * (hi - lo)
		s.step.At(min(t+δ, hi), s.keep)
		gp := e.G(min(t+δ, hi), s.keep)
		s.step.At(max(t-δ, lo), s.keep)
		gm := e.G(max(t-δ, lo), s.keep)
		slope := (gp - gm) / (min(t+δ, hi) - max(t-δ, lo))
		next := t - g/slope
		if slope == 0 || math.IsNaN(next) || math.Abs(next-t) > farShare*(hi-lo) {
			break
		}
		t = max(lo, min(hi, next))
	}
	s.try(lo, t-lo, s.y, y)
	return t, y
}
