package conduction

import (
	"context"
	"errors"
	"fmt"
	"math"
)

// Drive is what acts on the build-up through time. tS is in seconds on whatever
// clock the caller uses in Advance.
type Drive struct {
	// Outer and Inner give the faces at a moment; nil is adiabatic.
	Outer, Inner func(tS float64) Face
	// Faces, when set, fills both faces at a moment in place of Outer and Inner: all that it ever fills of them, in
	// each call; the rest stays zero. It is for courses of many steps.
	Faces func(tS float64, outer, inner *Face)
	// Source fills the heat released in each cell, W/m³, at temperatures tempC,
	// and may fill its slope with temperature, W/(m³·K). Both arrive zeroed. nil
	// is no source. It must be a pure function of its arguments.
	Source func(tS float64, tempC, wPerM3, slopeWPerM3K []float64)
}

// Steady is a drive whose faces do not change and whose source, W/m³ for each
// cell, is constant; nil for none.
func Steady(outer, inner Face, wPerM3 []float64) Drive {
	d := Drive{
		Outer: func(float64) Face { return outer },
		Inner: func(float64) Face { return inner },
	}
	if wPerM3 != nil {
		d.Source = func(_ float64, _, w, _ []float64) { copy(w, wPerM3) }
	}
	return d
}

// ErrNoBalance is returned when a step cannot be solved however short: the drive
// asks for the impossible, such as a source that grows without bound.
var ErrNoBalance = errors.New("the heat balance cannot be solved. Check the faces and the source for values out of range")

// Constants of TR-BDF2: γ = 2−√2, and in the notation of Hosea and Shampine
// d = γ/2, w = √2/4.
const (
	trGamma = 2 - math.Sqrt2
	trD     = trGamma / 2
	trW     = math.Sqrt2 / 4
	// Weights of the error: b − b̂ with b̂ = ((1−w)/3, (3w+1)/3, d/3).
	errK1 = trW - (1-trW)/3
	errK2 = trW - (3*trW+1)/3
	errK3 = trD - trD/3

	shortestStepS = 1e-7
	firstStepS    = 10
	askEvery      = 32  // steps between looks at the context
	evenUnder     = 1.8 // what is left under so many steps is parted evenly

	// How a step follows from the error of the last.
	mostGrowth  = 4.0
	mostShrink  = 0.25
	safety      = 0.85
	refusedMost = 0.7
)

// flows is the heat into the build-up at one stage, W/m².
type flows struct{ outer, inner, source float64 }

// Advance moves the build-up from fromS to toS under drive, choosing steps so that
// the estimated error of each stays within Options.TolK. It stops with the
// context's error when ctx is done, keeping the state reached.
func (s *Slab) Advance(ctx context.Context, fromS, toS float64, drive Drive) error {
	if !(toS >= fromS) || math.IsInf(toS-fromS, 0) {
		return fmt.Errorf("build-up: cannot advance from %g s to %g s. Give an end at or after the start", fromS, toS)
	}
	s.forget()
	h := s.nextStepS
	if h <= 0 {
		h = min(firstStepS, s.opts.MaxStepS)
	}
	for t, n := fromS, 0; t < toS; n++ {
		if n%askEvery == 0 {
			if err := ctx.Err(); err != nil {
				return err
			}
		}
		left := toS - t
		try := min(h, left)
		if left < evenUnder*try && left > try {
			try = left / 2 // two even steps rather than a long and a stub
		}
		last := try >= left
		errK, err := s.attempt(t, try, &drive)
		if err != nil && !errors.Is(err, ErrNoBalance) {
			return err
		}
		factor := mostGrowth
		switch {
		case err != nil:
			factor = mostShrink
		case errK > 0:
			factor = grows(s.opts.TolK / errK)
		}
		if err != nil || errK > s.opts.TolK {
			s.refusedSteps++
			h = try * min(factor, refusedMost)
			if h < shortestStepS {
				return fmt.Errorf("build-up at %g s: %w", t, ErrNoBalance)
			}
			continue
		}
		s.accept(try)
		if last {
			t = toS
		} else {
			t += try
		}
		if grown := min(try*factor, s.opts.MaxStepS); grown > h || factor < 1 {
			h = grown
		}
		s.nextStepS = h
	}
	return nil
}

// grows is by how much the next step may be longer than one whose error is so many times less than is allowed.
func grows(less float64) float64 {
	const much = 110 // the cube of more than mostGrowth/safety
	if less > much {
		return mostGrowth
	}
	return min(mostGrowth, max(mostShrink, safety*math.Cbrt(less)))
}

// trial holds what an attempt found until accept makes it the state.
type trial struct {
	stage            [3]flows
	outerTs, innerTs float64
}

// attempt computes a step into s.y and s.last without changing the state.
func (s *Slab) attempt(t, h float64, drive *Drive) (errK float64, err error) {
	var tr trial
	tr.outerTs, tr.innerTs = s.outerTs, s.innerTs

	outer, inner := &s.outer, &s.inner
	if err := s.facesAt(drive, t); err != nil {
		return 0, err
	}
	tr.stage[0] = s.rates(s.temp, s.k1, outer, inner, t, drive, &tr)

	// Of one length, so that no index is checked.
	n := len(s.temp)
	temp, base, y, k1, k2, rh := s.temp, s.base[:n], s.y[:n], s.k1[:n], s.k2[:n], s.rh[:n]
	for i, was := range temp {
		base[i] = was + trD*h*k1[i]
		y[i] = was + trGamma*h*clampRate(k1[i], h)
	}
	t2 := t + trGamma*h
	if err := s.facesAt(drive, t2); err != nil {
		return 0, err
	}
	if tr.stage[1], err = s.solveStage(t2, trD*h, outer, inner, drive, &tr); err != nil {
		return 0, err
	}
	for i, was := range temp {
		k := (y[i] - base[i]) / (trD * h)
		k2[i] = k
		base[i] = was + trW*h*(k1[i]+k)
		y[i] += (1 - trGamma) * h * clampRate(k, h)
	}
	t3 := t + h
	if err := s.facesAt(drive, t3); err != nil {
		return 0, err
	}
	if tr.stage[2], err = s.solveStage(t3, trD*h, outer, inner, drive, &tr); err != nil {
		return 0, err
	}
	for i := range temp {
		k := (y[i] - base[i]) / (trD * h)
		rh[i] = h * (errK1*k1[i] + errK2*k2[i] + errK3*k)
	}
	// The raw estimate overstates stiff components; the last factored matrix
	// filters them (Hosea and Shampine, §4).
	s.backSolve(s.rh)
	for _, e := range s.rh {
		errK = max(errK, math.Abs(e))
	}
	if math.IsNaN(errK) || math.IsInf(errK, 0) {
		return 0, ErrNoBalance
	}
	s.last = tr
	return errK, nil
}

// clampRate keeps the first guess of a stage within reach: a start far from
// balance has huge initial rates.
func clampRate(rate, h float64) float64 {
	const far = 20 // K
	return max(-far/h, min(far/h, rate))
}

func (s *Slab) accept(h float64) {
	copy(s.temp, s.y)
	s.outerTs, s.innerTs = s.last.outerTs, s.last.innerTs
	for i, b := range [3]float64{trW, trW, trD} {
		s.heat.OuterJPerM2 += h * b * s.last.stage[i].outer
		s.heat.InnerJPerM2 += h * b * s.last.stage[i].inner
		s.heat.SourceJPerM2 += h * b * s.last.stage[i].source
	}
	s.done++
}

// forget forgets the faces of an earlier drive.
func (s *Slab) forget() { s.outer, s.inner, s.at = Face{}, Face{}, math.NaN() }

// facesAt finds the faces at a moment; those that the last step ended with are those that the next begins with.
func (s *Slab) facesAt(d *Drive, t float64) error {
	if t == s.at {
		return nil
	}
	if d.Faces != nil {
		d.Faces(t, &s.outer, &s.inner)
	} else {
		s.outer, s.inner = Face{}, Face{}
		if d.Outer != nil {
			s.outer = d.Outer(t)
		}
		if d.Inner != nil {
			s.inner = d.Inner(t)
		}
	}
	if err := checkFaces(&s.outer, &s.inner, t); err != nil {
		s.at = math.NaN()
		return err
	}
	s.at = t
	return nil
}

func checkFaces(outer, inner *Face, t float64) error {
	if outer.valid() && inner.valid() {
		return nil
	}
	return badFace(*outer, *inner, t)
}

// badFace says which face is wrong.
func badFace(outer, inner Face, t float64) error {
	name, face := "outer", outer
	if outer.valid() {
		name, face = "inner", inner
	}
	return fmt.Errorf("build-up, %s face at %g s: a value is not a number, or a coefficient is negative: %+v. "+
		"Check the weather and the room", name, t, face)
}
