package survey

import (
	"fmt"
	"math"

	"gelwright/plane"
)

// Kind is what a measurement says.
type Kind string

const (
	// Length of the straight line From–To, m.
	Length Kind = "length"
	// Angle at At, anticlockwise from the line At–From to the line At–To, degrees in (0, 360).
	Angle Kind = "angle"
	// Along is how far from From, on the line From–To, the foot of the perpendicular from At lies, m.
	Along Kind = "along"
	// Offset is how far to the left of the line From–To, seen from From, At lies, m; to the right it is negative.
	Offset Kind = "offset"
)

// Measurement is one observation.
type Measurement struct {
	Kind Kind   `json:"kind"`
	From string `json:"from"`
	To   string `json:"to"`
	At   string `json:"at,omitempty"`
	// Value in metres or degrees, SD its standard deviation in the same unit, above 0.
	Value float64 `json:"value"`
	SD    float64 `json:"sd"`
	// Assumed is an angle that nobody measured: a corner taken as square.
	Assumed bool `json:"assumed,omitempty"`
}

// Name says the measurement as a roofer would point at it: "AB", "diagonal AC", "corner B".
func (m *Measurement) Name() string {
	switch m.Kind {
	case Angle:
		return "corner " + m.At
	case Along:
		return m.At + " along " + m.From + m.To
	case Offset:
		return m.At + " off " + m.From + m.To
	}
	return m.From + "–" + m.To
}

// fault says what makes a measurement unusable, or nothing.
func (m *Measurement) fault() string {
	if f := m.nameFault(); f != "" {
		return f
	}
	switch {
	case math.IsNaN(m.Value) || math.IsInf(m.Value, 0) || math.Abs(m.Value) > 1e5:
		return "the value is no length of a roof"
	case m.Kind == Length && m.Value <= 0:
		return "a length is above 0"
	case m.Kind == Angle && (m.Value <= 0 || m.Value >= 360):
		return "an angle lies between 0 and 360 degrees"
	case !(m.SD > 0) || math.IsInf(m.SD, 0):
		return "its tolerance is above 0"
	}
	return ""
}

// nameFault says which point is missing or named twice.
func (m *Measurement) nameFault() string {
	names := []string{m.From, m.To}
	if m.Kind != Length {
		names = append(names, m.At)
	}
	for i, n := range names {
		for _, o := range names[:i] {
			if n == o {
				return fmt.Sprintf("%s is named twice", n)
			}
		}
		if n == "" {
			return "a point has no name"
		}
	}
	return ""
}

// observed returns what the measurement would be between points that lie as given, in metres or radians, and its
// derivatives with respect to from, to and at.
func (m *Measurement) observed(from, to, at plane.Point) (value float64, d [3]plane.Point) {
	line := to.Sub(from)
	length := line.Length()
	u := line.Scale(1 / length)
	n := u.Left()
	switch m.Kind {
	case Length:
		return length, [3]plane.Point{u.Scale(-1), u, {}}
	case Angle:
		a, b := from.Sub(at), to.Sub(at)
		// A direction turns by its end's movement across it, over its length.
		da, db := a.Left().Scale(1/a.Dot(a)), b.Left().Scale(1/b.Dot(b))
		return math.Atan2(a.Cross(b), a.Dot(b)), [3]plane.Point{da.Scale(-1), db, da.Sub(db)}
	}
	s, o := at.Sub(from).Dot(u), at.Sub(from).Dot(n)
	if m.Kind == Along {
		turn := n.Scale(o / length)
		return s, [3]plane.Point{u.Add(turn).Scale(-1), turn, u}
	}
	return o, [3]plane.Point{n.Scale(s/length - 1), n.Scale(-s / length), n}
}

// misfit is measured less observed, in metres or radians, an angle within half a turn.
func (m *Measurement) misfit(observed float64) float64 {
	if m.Kind != Angle {
		return m.Value - observed
	}
	d := math.Mod(m.Value*math.Pi/180-observed, 2*math.Pi)
	if d > math.Pi {
		d -= 2 * math.Pi
	} else if d < -math.Pi {
		d += 2 * math.Pi
	}
	return d
}

// scale turns metres or radians into the unit of Value.
func (m *Measurement) scale() float64 {
	if m.Kind == Angle {
		return 180 / math.Pi
	}
	return 1
}

// sd is the standard deviation in metres or radians.
func (m *Measurement) sd() float64 { return m.SD / m.scale() }
