package firring

import (
	"fmt"
	"math"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/working"
)

// Layout is where the joists lie.
type Layout struct {
	// BearingDeg is the direction of the joists, degrees anticlockwise from +x.
	BearingDeg float64
	// SpacingMM is centre to centre; OffsetMM the distance of the first joist's
	// centre from the deck's lowest coordinate across the joists.
	SpacingMM, OffsetMM float64
	// WidthMM of joist and firring; 0 takes both as lines.
	WidthMM float64
	// Within is where firrings may lie: the deck less the gaps at its walls. Nil is the
	// whole deck.
	Within []plane.Polygon
}

// UsualWidthMM is a joist's width where the survey gives none (common practice).
const UsualWidthMM = 47

// LayoutOf reads the layout from the survey's base.
func LayoutOf(b roof.Base) Layout {
	l := Layout{BearingDeg: b.JoistBearingDeg, SpacingMM: b.JoistSpacingMM, OffsetMM: b.JoistOffsetMM, WidthMM: b.JoistWidthMM}
	if !(l.WidthMM > 0) {
		l.WidthMM = UsualWidthMM
	}
	return l
}

// Along is the unit vector in which the joists run.
func (l Layout) Along() plane.Point {
	sin, cos := math.Sincos(l.BearingDeg * math.Pi / 180)
	return plane.Point{X: rightAngle(cos), Y: rightAngle(sin)}
}

// Across is the unit vector in which joists are counted and their offset is measured:
// towards +x, or +y where they run along x.
func (l Layout) Across() plane.Point {
	v := l.Along().Left()
	if v.X < -1e-9 || (math.Abs(v.X) <= 1e-9 && v.Y < 0) {
		return v.Scale(-1)
	}
	return v
}

// rightAngle keeps the sines of right angles exact.
func rightAngle(x float64) float64 {
	for _, v := range []float64{-1, 0, 1} {
		if math.Abs(x-v) < 1e-12 {
			return v
		}
	}
	return x
}

const (
	// mmPerM turns metres of height into millimetres.
	mmPerM = 1000
	// leastPieceM is the shortest stretch of a plane that is looked at, m.
	leastPieceM = 0.01
	mostJoists  = 5000
)

// joist is one line of the layout across the whole deck.
type joist struct {
	number int
	a, b   plane.Point
}

// joists returns the lines of the layout that can meet the deck.
func (l Layout) joists(deck []plane.Polygon) ([]joist, error) {
	if !(l.SpacingMM > 0) || math.IsInf(l.SpacingMM, 0) || math.IsNaN(l.OffsetMM+l.BearingDeg) || math.IsInf(l.OffsetMM+l.BearingDeg, 0) {
		return nil, fmt.Errorf("joists at %g mm centres, offset %g mm, bearing %g°: give a positive spacing and finite numbers", l.SpacingMM,
			l.OffsetMM, l.BearingDeg)
	}
	if plane.TotalArea(deck) <= 0 {
		return nil, fmt.Errorf("joists: the deck has no area")
	}
	u, v := l.Along(), l.Across()
	low, high, from, to := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, p := range deck {
		a, b := p.Extent(v)
		c, d := p.Extent(u)
		low, high, from, to = min(low, a), max(high, b), min(from, c), max(to, d)
	}
	pitch := l.SpacingMM / mmPerM
	if (high-low)/pitch > mostJoists {
		return nil, fmt.Errorf("joists at %g mm centres over %.1f m: more than %d; check the units", l.SpacingMM, high-low, mostJoists)
	}
	first := low + l.OffsetMM/mmPerM
	// An offset of more than a spacing leaves room for joists before it.
	first -= math.Floor((first-low)/pitch+1e-9) * pitch
	var out []joist
	for k := 0; ; k++ {
		y := first + float64(k)*pitch
		if y > high+1e-9 {
			return out, nil
		}
		// A joist on the very edge is read a hair inside it.
		y = min(max(y, low+1e-6), high-1e-6)
		out = append(out, joist{k, u.Scale(from - 1).Add(v.Scale(y)), u.Scale(to + 1).Add(v.Scale(y))})
	}
}

// Piece is one firring, straight on both faces.
type Piece struct {
	// Joist numbers the joist it lies on, from 0.
	Joist int
	// From and To on plan are the ends of its middle line, along the joist's bearing;
	// FromMM and ToMM its heights there.
	From, To     plane.Point
	FromMM, ToMM float64
	// SkewDeg is how far its ends are cut off square, degrees: positive where the left
	// side, looking from From to To, reaches further towards To.
	SkewDeg [2]float64
	// AsideMM is how far its middle lies from the joist's, where the joist reaches past
	// the deck's edge.
	AsideMM float64
	// OffMM is how far its straight top is off the designed surface at most, where it
	// passes over a fold.
	OffMM float64
	// CutFromM is the length of the timber it is cut from, skew ends included, m.
	CutFromM float64
}

// LengthM is the plan length, m.
func (p Piece) LengthM() float64 { return p.From.Distance(p.To) }

// Level reports whether it is a packer of one height: the joist runs across the fall.
func (p Piece) Level() bool { return math.Abs(p.FromMM-p.ToMM) < 0.05 }

// Plan is all firrings of a deck.
type Plan struct {
	Pieces []Piece
	// LengthM is their total plan length.
	LengthM float64
	// Least and Greatest height of any piece, with their working, mm.
	Least, Greatest *working.Figure
}

// Cut returns the firrings that give a level deck the surface s: on every joist
// one piece for each plane it passes over, parted at openings and folds. leastMM
// ≥ 0 is the height at the deck's lowest point; 0 is a feather edge. Pieces lie within
// the deck: on a joist that reaches past an edge beside it they are set in. What would
// be too short to nail is joined to the next piece.
//
// Where joists run across the fall every piece is a level packer.
func Cut(s plane.Surface, l Layout, leastMM float64) (Plan, error) {
	if !(leastMM >= 0) || math.IsInf(leastMM, 0) {
		return Plan{}, fmt.Errorf("least firring height %g mm: give zero or more", leastMM)
	}
	lines, err := l.joists(s.Deck)
	if err != nil {
		return Plan{}, err
	}
	ground := l.ground(s)
	var plan Plan
	low, high := math.Inf(1), math.Inf(-1)
	for _, j := range lines {
		var on []bit
		for _, x := range ground.on(j) {
			from, to := x.heights(leastMM)
			on = append(on, bit{stretch: x, h: [2]float64{from, to}, profile: []spot{{x.t[0], from}, {x.t[1], to}}})
		}
		for _, x := range mergeShort(on) {
			p := x.piece(j, l.WidthMM/mmPerM)
			if p.LengthM() < leastPieceM {
				continue
			}
			plan.LengthM += p.LengthM()
			low, high = min(low, p.FromMM, p.ToMM), max(high, p.FromMM, p.ToMM)
			plan.Pieces = append(plan.Pieces, p)
		}
	}
	if len(plan.Pieces) == 0 {
		return plan, fmt.Errorf("no joist at %g mm centres meets the deck: check spacing and offset", l.SpacingMM)
	}
	least := working.AssumedFigure("h0", "least firring height", leastMM, "mm", "enough to nail without splitting; no survey gives it")
	source := working.Source{Title: "geometry of the planes", Standing: working.Derived}
	end := func(f *working.Formula, name string, mm float64) *working.Figure {
		return f.Figure(name, "mm", source, least, working.Measured("z", "height of the deck there above its lowest point",
			(mm-leastMM)/mmPerM, "m", "falls of the deck: distance down the fall over n"))
	}
	plan.Least = end(leastHeight, "lowest end of any firring", low)
	plan.Greatest = end(greatestHeight, "highest end of any firring", high)
	return plan, nil
}

var (
	leastHeight    = working.MustFormula("h_min = h0 + 1000·z")
	greatestHeight = working.MustFormula("h_max = h0 + 1000·z")
)
