package plane

// FallPlane is one plane that water runs down.
type FallPlane struct {
	// Down points downhill on plan; its length does not matter.
	Down Point `json:"down"`
	// Ratio is the n of 1:n: 40 falls 25 mm in a metre.
	Ratio float64 `json:"ratio"`
}

// FallKind says how the planes of a deck meet.
type FallKind string

const (
	// OneWay: a single plane.
	OneWay FallKind = "one way"
	// Ridge: two planes fall away from a line; Hip the same on a slanting line.
	Ridge FallKind = "ridge"
	Hip   FallKind = "hip"
	// Valley: two planes fall towards a line.
	Valley FallKind = "valley"
	// ToPoint: the deck falls from every side to an outlet.
	ToPoint FallKind = "to point"
	// Level: no fall, which only an existing deck can have and every check refuses.
	Level FallKind = "level"
)

// Falls describes the fall of one deck as its surveyor wrote it.
type Falls struct {
	Kind FallKind `json:"kind"`
	// Planes: one for OneWay; two, left and right of Line as one looks from
	// Line[0] to Line[1], for Ridge, Hip and Valley; one with only a Ratio for ToPoint.
	Planes []FallPlane `json:"planes"`
	// Line is the ridge, hip or valley on plan.
	Line [2]Point `json:"line,omitzero"`
	// Point is the low point for ToPoint.
	Point Point `json:"point,omitzero"`
}
