package weather

import (
	"fmt"
	"math"
	"time"
)

// Wall is something higher than the roof that can shade a point on it: a house
// wall, a parapet, a hedge.
type Wall struct {
	// HeightM above the roof's surface and DistanceM from the point, square to the
	// wall, m.
	HeightM, DistanceM float64
	// BearingDeg is the direction from the point to the wall, square to it,
	// clockwise from north.
	BearingDeg float64
	// LeftM and RightM are how far it reaches to the left and right of that line
	// as seen from the point, m; both zero is a wall without end.
	LeftM, RightM float64
}

// Check tells what is wrong with the wall.
func (w Wall) Check() error {
	switch {
	case !(w.HeightM >= 0 && w.HeightM < 1000):
		return fmt.Errorf("shade: a wall %g m high. Give 0 to 1000 m above the roof", w.HeightM)
	case !(w.DistanceM > 0 && w.DistanceM < 1e5):
		return fmt.Errorf("shade: a wall %g m away. Give its distance from the middle of the roof, above 0", w.DistanceM)
	case !(w.LeftM >= 0 && w.RightM >= 0):
		return fmt.Errorf("shade: a wall that reaches %g m to the left and %g m to the right. Give lengths of 0 or more", w.LeftM, w.RightM)
	case !(w.BearingDeg >= -360 && w.BearingDeg <= 360):
		return fmt.Errorf("shade: a wall at bearing %g°. Give degrees clockwise from north", w.BearingDeg)
	}
	return nil
}

// hides reports whether the wall stands between the point and the sun.
func (w Wall) hides(s Sun) bool {
	d := math.Remainder(s.AzimuthDeg-w.BearingDeg, 360)
	if math.Abs(d) >= 90 {
		return false
	}
	sd, cd := math.Sincos(d * rad)
	side := w.DistanceM * sd / cd
	if w.LeftM != 0 || w.RightM != 0 {
		if side > w.RightM || -side > w.LeftM {
			return false
		}
	}
	return math.Tan((90-s.ZenithDeg)*rad) < w.HeightM*cd/w.DistanceM
}

// hidden is the share of the sky dome, as a level surface weighs it, that the wall
// takes: (1 − cos φ)/2 for a wall without end with its top at the angle φ, less in
// proportion to the sine of the angle where it ends.
func (w Wall) hidden() float64 {
	whole := (1 - w.DistanceM/math.Hypot(w.DistanceM, w.HeightM)) / 2
	if w.LeftM == 0 && w.RightM == 0 {
		return whole
	}
	sine := func(reach float64) float64 { return reach / math.Hypot(reach, w.DistanceM) }
	return whole * (sine(w.LeftM) + sine(w.RightM)) / 2
}

// Shade is what keeps sun and sky from the roof. The zero value is an open roof.
type Shade struct {
	Walls []Wall
	// Hours are spans of local time of every day in which the sun is kept off,
	// for a person who simply knows "shade until ten".
	Hours []ShadeHours
	// CoverShare is the share of the sun and of the sky that an awning or net over
	// the work takes, 0–1, all day.
	CoverShare float64
}

// ShadeHours is a span of the local day in minutes after midnight; a span whose
// end is not after its start runs over midnight.
type ShadeHours struct{ FromMin, ToMin int }

// Check tells what is wrong with the shade.
func (s Shade) Check() error {
	for _, w := range s.Walls {
		if err := w.Check(); err != nil {
			return err
		}
	}
	for _, h := range s.Hours {
		if h.FromMin < 0 || h.FromMin > 1440 || h.ToMin < 0 || h.ToMin > 1440 {
			return fmt.Errorf("shade: hours from minute %d to %d. Give 0 to 1440 after midnight", h.FromMin, h.ToMin)
		}
	}
	if !(s.CoverShare >= 0 && s.CoverShare <= 1) {
		return fmt.Errorf("shade: a cover that takes %g of the sun. Give 0 to 1", s.CoverShare)
	}
	return nil
}

// Beam is the share of the direct sun that reaches the roof at t.
func (s Shade) Beam(sun Sun, t time.Time, site Site) float64 {
	for _, w := range s.Walls {
		if w.hides(sun) {
			return 0
		}
	}
	if len(s.Hours) > 0 {
		local := t.In(site.zone())
		m := local.Hour()*60 + local.Minute()
		for _, h := range s.Hours {
			in := m >= h.FromMin && m < h.ToMin
			if h.ToMin <= h.FromMin {
				in = m >= h.FromMin || m < h.ToMin
			}
			if in {
				return 0
			}
		}
	}
	return 1 - s.CoverShare
}

// SkyView is the share of the sky dome left open, 0–1; what is hidden radiates at
// air temperature.
func (s Shade) SkyView() float64 {
	view := 1.0
	for _, w := range s.Walls {
		view -= w.hidden()
	}
	return math.Max(0, view) * (1 - s.CoverShare)
}
