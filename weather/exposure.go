package weather

import (
	"context"
	"fmt"
	"time"

	"gelwright/conduction"
)

// Exposure is what weather and room do to a roof through a span of time, for a
// simulation of one's own: a film of resin that cures on the deck under the same
// sun, sky, wind and rain as SurfaceTemps sees.
type Exposure struct {
	in SurfaceInput
	f  *forcing
	// start is the time of the forcing's first instant.
	start time.Time
	to    time.Time
}

// Expose works the exposure out. Layers of the input may be left out when Deck is
// not called.
func Expose(in SurfaceInput) (*Exposure, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	in, from, n := in.defaults()
	e := &Exposure{in: in, f: newForcing(&in, from, n)}
	e.start = from.Add(-time.Duration(e.f.lead) * 15 * time.Minute)
	e.to = from.Add(time.Duration(n) * 15 * time.Minute)
	return e, nil
}

// Span is the time in which the exposure holds.
func (e *Exposure) Span() (from, to time.Time) {
	return e.start.Add(time.Duration(e.f.lead) * 15 * time.Minute), e.to
}

// Drive is the exposure for conduction.Slab.Advance with seconds counted from
// origin; outside the span the first and the last instants go on. Low and High
// need an input without CentralOnly, and equal Likely otherwise.
func (e *Exposure) Drive(origin time.Time, side Side) conduction.Drive {
	if e.in.CentralOnly || side < Likely || side > High {
		side = Likely
	}
	shift := origin.Sub(e.start).Seconds()
	d := e.f.drive(&e.in, side)
	outer, inner := d.Outer, d.Inner
	d.Outer = func(tS float64) conduction.Face { return outer(tS + shift) }
	d.Inner = func(tS float64) conduction.Face { return inner(tS + shift) }
	return d
}

// Deck is the build-up of the input as the weather has left it at a time within
// the span.
func (e *Exposure) Deck(ctx context.Context, at time.Time, side Side) (*conduction.Slab, error) {
	if at.Before(e.start) || at.After(e.to) {
		return nil, fmt.Errorf("deck at %s: the exposure runs from %s to %s. Ask within it", at.UTC().Format(time.RFC3339),
			e.start.Format(time.RFC3339), e.to.Format(time.RFC3339))
	}
	if e.in.CentralOnly || side < Likely || side > High {
		side = Likely
	}
	slab, err := e.in.warm(ctx, e.f, side)
	if err != nil {
		return nil, err
	}
	drive := e.f.drive(&e.in, side)
	// By quarters, so that the rain of an hour begins and ends where it does.
	end := at.Sub(e.start).Seconds()
	for t := 0.0; t < end; t += quarterS {
		if err := slab.Advance(ctx, t, min(t+quarterS, end), drive); err != nil {
			return nil, err
		}
	}
	return slab, nil
}
