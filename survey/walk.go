package survey

import "math"

// Leg is one side of the roof as it is walked with the tape, and the turn at its far end.
type Leg struct {
	// LengthM of the side; 0 where it could not be reached.
	LengthM float64
	// TurnDeg to the left at the far corner, to the right negative; 90 for a square corner that sticks out.
	TurnDeg float64
	// Turn says how the turn is known.
	Turn Turning
}

// Turning is how a turn is known.
type Turning int

const (
	// Squared: taken as square by eye.
	Squared Turning = iota
	// Measured with a protractor or a bevel.
	Measured
	// Free: only its side is known, by the sign of TurnDeg, or nothing if that is 0.
	Free
)

// Tolerance is what one standard deviation of each kind is.
type Tolerance struct {
	// LengthM and LengthPerM: a length L is read to LengthM + LengthPerM·L.
	LengthM    float64 `json:"length_m"`
	LengthPerM float64 `json:"length_per_m"`
	// SquareDeg is how far a corner that looks square may be off; AngleDeg a measured one.
	SquareDeg float64 `json:"square_deg"`
	AngleDeg  float64 `json:"angle_deg"`
}

// Usual is what a careful person reads off a tape on a roof: 2 mm and 0.2 mm a metre, corners that look square to 0.3°, that is
// 5 mm in a metre, a bevel to 0.5°. Common practice, no source.
func Usual() Tolerance {
	return Tolerance{LengthM: 0.002, LengthPerM: 0.0002, SquareDeg: 0.3, AngleDeg: 0.5}
}

// Of is the standard deviation of a length, m.
func (t Tolerance) Of(lengthM float64) float64 { return t.LengthM + t.LengthPerM*math.Abs(lengthM) }

// CornerName is the name of the i-th corner of a walk: A to Z, then A2 to Z2, and so on.
func CornerName(i int) string {
	name := string(rune('A' + i%26))
	if n := i / 26; n > 0 {
		digits := ""
		for n++; n > 0; n /= 10 {
			digits = string(rune('0'+n%10)) + digits
		}
		name += digits
	}
	return name
}

// Walk is an outline walked once round: side i runs from corner i to corner i+1, the last one back to the first; the turn of
// the last leg is the one at the first corner.
type Walk []Leg

// Names are the names of its corners.
func (w Walk) Names() []string {
	out := make([]string, len(w))
	for i := range w {
		out[i] = CornerName(i)
	}
	return out
}

// Measurements are its lengths and turns as observations, the lengths first.
func (w Walk) Measurements(t Tolerance) []Measurement {
	var out []Measurement
	n := len(w)
	for i, l := range w {
		if l.LengthM > 0 {
			out = append(out, Measurement{Kind: Length, From: CornerName(i), To: CornerName((i + 1) % n), Value: l.LengthM, SD: t.Of(l.LengthM)})
		}
	}
	for i, l := range w {
		if l.Turn == Free {
			continue
		}
		m := Measurement{Kind: Angle, At: CornerName((i + 1) % n), From: CornerName((i + 2) % n), To: CornerName(i), Value: 180 - l.TurnDeg,
			SD: t.AngleDeg}
		if l.Turn == Squared {
			m.SD, m.Assumed = t.SquareDeg, true
		}
		out = append(out, m)
	}
	return out
}

// Gap is how far the walk, drawn side by side as it was called, misses its start, m; known is false where a side or a turn is
// not known.
func (w Walk) Gap() (gapM float64, known bool) {
	x, y, heading := 0.0, 0.0, 0.0
	for i, l := range w {
		if l.LengthM <= 0 || l.Turn == Free && i < len(w)-1 {
			return 0, false
		}
		x, y = x+l.LengthM*math.Cos(heading), y+l.LengthM*math.Sin(heading)
		heading += l.TurnDeg * math.Pi / 180
	}
	return math.Hypot(x, y), true
}

// Clockwise reports whether the walk goes round clockwise, by its turns: more to the right than to the left.
func (w Walk) Clockwise() bool {
	sum := 0.0
	for _, l := range w {
		sum += l.TurnDeg
	}
	return sum < 0
}
