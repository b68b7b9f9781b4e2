package firring

import (
	"fmt"
	"math"
	"sort"

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
}

// LayoutOf reads the layout from the survey's base.
func LayoutOf(b roof.Base) Layout {
	return Layout{BearingDeg: b.JoistBearingDeg, SpacingMM: b.JoistSpacingMM, OffsetMM: b.JoistOffsetMM}
}

const (
	// mmPerM turns metres of height into millimetres.
	mmPerM = 1000
	// leastPieceM is the shortest firring worth cutting, m.
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
		return nil, fmt.Errorf("joists at %g mm centres, offset %g mm, bearing %g°: give a positive spacing and finite numbers", l.SpacingMM, l.OffsetMM, l.BearingDeg)
	}
	if plane.TotalArea(deck) <= 0 {
		return nil, fmt.Errorf("joists: the deck has no area")
	}
	sin, cos := math.Sincos(l.BearingDeg * math.Pi / 180)
	u := plane.Point{X: cos, Y: sin}
	v := u.Left()
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
	// From and To on plan, along the joist's bearing; FromMM and ToMM its heights there.
	From, To     plane.Point
	FromMM, ToMM float64
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
// ≥ 0 is the height at the deck's lowest point; 0 is a feather edge.
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
	var plan Plan
	low, high := math.Inf(1), math.Inf(-1)
	for _, j := range lines {
		var on []Piece
		for _, f := range s.Facets {
			for _, area := range f.Area {
				for _, c := range area.ClipLine(j.a, j.b) {
					if c[0].Distance(c[1]) < leastPieceM {
						continue
					}
					on = append(on, Piece{j.number, c[0], c[1], leastMM + mmPerM*f.HeightM(c[0]), leastMM + mmPerM*f.HeightM(c[1])})
				}
			}
		}
		sort.SliceStable(on, func(a, b int) bool { return on[a].From.Distance(j.a) < on[b].From.Distance(j.a) })
		for _, p := range on {
			plan.LengthM += p.LengthM()
			low, high = min(low, p.FromMM, p.ToMM), max(high, p.FromMM, p.ToMM)
		}
		plan.Pieces = append(plan.Pieces, on...)
	}
	if len(plan.Pieces) == 0 {
		return plan, fmt.Errorf("no joist at %g mm centres meets the deck: check spacing and offset", l.SpacingMM)
	}
	least := working.AssumedFigure("h0", "least firring height", leastMM, "mm", "enough to nail without splitting; no survey gives it")
	source := working.Source{Title: "geometry of the planes", Standing: working.Derived}
	plan.Least = working.Calc("h_min", "lowest end of any firring", low, "mm", "h = h0 + 1000·z", source, least,
		working.Calc("z", "height of the deck there above its lowest point", (low-leastMM)/mmPerM, "m", "z = distance down the fall / n", source))
	plan.Greatest = working.Calc("h_max", "highest end of any firring", high, "mm", "h = h0 + 1000·z", source, least,
		working.Calc("z", "height of the deck there above its lowest point", (high-leastMM)/mmPerM, "m", "z = distance down the fall / n", source))
	return plan, nil
}

// Kind is a number of firrings of one shape, whole millimetres.
type Kind struct {
	Count                   int
	LengthMM, LowMM, TallMM int
}

// Schedule groups the pieces that are alike to the millimetre, longest first.
func (p Plan) Schedule() []Kind {
	counts := map[Kind]int{}
	for _, x := range p.Pieces {
		a, b := int(math.Round(x.FromMM)), int(math.Round(x.ToMM))
		counts[Kind{0, int(math.Round(x.LengthM() * mmPerM)), min(a, b), max(a, b)}]++
	}
	out := make([]Kind, 0, len(counts))
	for k, n := range counts {
		k.Count = n
		out = append(out, k)
	}
	sort.Slice(out, func(i, j int) bool {
		a, b := out[i], out[j]
		if a.LengthMM != b.LengthMM {
			return a.LengthMM > b.LengthMM
		}
		if a.TallMM != b.TallMM {
			return a.TallMM > b.TallMM
		}
		return a.LowMM > b.LowMM
	})
	return out
}
