package plane

import "math"

// CornerKind says how an outline turns at a corner.
type CornerKind string

const (
	// External: the deck fills less than half of the turn, as at a house corner.
	External CornerKind = "external"
	// Internal: the deck fills more than half.
	Internal CornerKind = "internal"
	// StraightOn: the edges run on in one line, as where a condition changes.
	StraightOn CornerKind = "straight"
)

// Corner is one corner of an outline.
type Corner struct {
	// At is the place; Vertex its number: the corner between edges Vertex−1 and Vertex.
	At     Point      `json:"at"`
	Vertex int        `json:"vertex"`
	Kind   CornerKind `json:"kind"`
	// InteriorDeg is the angle inside the deck, 0 to 360°, between the tangents.
	InteriorDeg float64 `json:"interior_deg"`
	// OffSquareDeg is how far the corner is from a right angle: InteriorDeg − 90
	// for an external corner, InteriorDeg − 270 for an internal one, InteriorDeg −
	// 180 for a straight one.
	OffSquareDeg float64 `json:"off_square_deg"`
	// MitreDeg is the angle to which each of two equal trims is cut, measured from
	// a square cut: 45° at a square corner, 0° straight on.
	MitreDeg float64 `json:"mitre_deg"`
}

// straightDeg is the turn, degrees, below which edges count as running on.
const straightDeg = 0.5

// Corners classifies every corner of the ring, whichever way it runs, by the
// tangents of the edges that meet there.
func (r Ring) Corners() []Corner {
	out := make([]Corner, 0, len(r))
	n := len(r)
	hand := 1.0
	if r.SignedArea() < 0 {
		hand = -1
	}
	for i := range r {
		in, on := r.Edge((i+n-1)%n).Tangent(1), r.Edge(i).Tangent(0)
		turnDeg := hand * math.Atan2(in.Cross(on), in.Dot(on)) * 180 / math.Pi
		c := Corner{At: r[i].Point, Vertex: i, InteriorDeg: 180 - turnDeg, MitreDeg: math.Abs(turnDeg) / 2}
		switch {
		case math.Abs(turnDeg) < straightDeg:
			c.Kind, c.OffSquareDeg = StraightOn, c.InteriorDeg-180
		case turnDeg > 0:
			c.Kind, c.OffSquareDeg = External, c.InteriorDeg-90
		default:
			c.Kind, c.OffSquareDeg = Internal, c.InteriorDeg-270
		}
		out = append(out, c)
	}
	return out
}
