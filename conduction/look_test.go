package conduction

import (
	"fmt"
	"math"
	"slices"
)

// What the tests look at and no one else.

// HeldAt is a face kept at tempC.
func HeldAt(tempC float64) Face { return Face{AirC: tempC, Held: true} }

// Cells lists the slices, outermost first.
func (s *Slab) Cells() []Cell { return slices.Clone(s.cells) }

// InnerSurfaceC is the temperature of the inner surface, °C; see SurfaceC.
func (s *Slab) InnerSurfaceC() float64 { return s.innerTs }

// Clone returns an independent copy in the same state.
func (s *Slab) Clone() *Slab {
	c := *s
	c.temp = slices.Clone(s.temp)
	c.scratch()
	return &c
}

// LayerMeanC is the mean temperature of a layer, °C, weighted by thickness; NaN
// for a layer that is not there.
func (s *Slab) LayerMeanC(layer int) float64 {
	sum, width := 0.0, 0.0
	for i, c := range s.cells {
		if c.Layer == layer {
			sum += s.temp[i] * c.WidthMM
			width += c.WidthMM
		}
	}
	return sum / width
}

// Steps reports how many steps were taken and how many were refused as too long.
func (s *Slab) Steps() (taken, refused int) { return s.done, s.refusedSteps }

// Step takes one step of dtS seconds from tS whatever its error, and returns the
// estimate of that error, K, in the worst cell.
func (s *Slab) Step(tS, dtS float64, drive Drive) (errK float64, err error) {
	if !(dtS > 0) || math.IsInf(dtS, 0) {
		return 0, fmt.Errorf("build-up: a step of %g s. Give a positive number of seconds", dtS)
	}
	s.forget()
	if errK, err = s.attempt(tS, dtS, &drive); err != nil {
		return 0, fmt.Errorf("build-up at %g s: %w", tS, err)
	}
	s.accept(dtS)
	return errK, nil
}
