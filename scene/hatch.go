package scene

import (
	"math"
	"sort"
)

// Hatch is a filling made of lines and dots.
type Hatch struct {
	Lines []HatchLines
	// DotsMM is the spacing of staggered dots; 0 is none.
	DotsMM float64
	// DotWidthMM of one dot; 0 means 0.35.
	DotWidthMM float64
}

// HatchLines is one family of parallel lines.
type HatchLines struct {
	AngleDeg  float64
	SpacingMM float64
	// ShiftMM moves the family across its lines.
	ShiftMM float64
	WidthMM float64 // 0 means 0.18
	Dash    Dash
}

// Diagonal returns the plain 45° hatch.
func Diagonal(spacingMM float64) Hatch {
	return Hatch{Lines: []HatchLines{{AngleDeg: 45, SpacingMM: spacingMM}}}
}

// Cross returns two families of lines at right angles.
func Cross(angleDeg, spacingMM float64) Hatch {
	return Hatch{Lines: []HatchLines{{AngleDeg: angleDeg, SpacingMM: spacingMM}, {AngleDeg: angleDeg + 90, SpacingMM: spacingMM}}}
}

// Parallel returns one family of lines.
func Parallel(angleDeg, spacingMM float64) Hatch {
	return Hatch{Lines: []HatchLines{{AngleDeg: angleDeg, SpacingMM: spacingMM}}}
}

// Dots returns staggered dots.
func Dots(spacingMM float64) Hatch { return Hatch{DotsMM: spacingMM} }

// maxHatchLines bounds the work that a mistaken spacing can cause.
const maxHatchLines = 20000

// Cut returns the hatch inside the outline less the holes (even-odd) as shapes of
// open paths. Families are laid out from the sheet's origin, so that neighbours
// with the same hatch match. Pieces shorter than 0.1 mm are left out.
func (h Hatch) Cut(m Meta, colour Colour, paths ...Path) []Item {
	var rings [][]Point
	for _, p := range paths {
		if pts := p.Points(chordToleranceMM); len(pts) > 2 {
			rings = append(rings, pts)
		}
	}
	if len(rings) == 0 {
		return nil
	}
	var out []Item
	for _, f := range h.Lines {
		var cut []Path
		for _, s := range f.cut(rings) {
			cut = append(cut, Polyline(s[0], s[1]))
		}
		if cut != nil {
			w := f.WidthMM
			if w == 0 {
				w = Hairline
			}
			out = append(out, Shape{Meta: m, Paths: cut, Stroke: Stroke{WidthMM: w, Dash: f.Dash, Colour: colour}})
		}
	}
	if h.DotsMM > 0 {
		w := h.DotWidthMM
		if w == 0 {
			w = Medium
		}
		if dots := h.dots(rings); dots != nil {
			out = append(out, Shape{Meta: m, Paths: dots, Stroke: Stroke{WidthMM: w, Colour: colour}})
		}
	}
	return out
}

// cut turns the rings so that the lines lie level, and pairs the crossings.
func (f HatchLines) cut(rings [][]Point) [][2]Point {
	if !(f.SpacingMM > 0) {
		return nil
	}
	turned := make([][]Point, len(rings))
	var box Box
	for i, r := range rings {
		for _, p := range r {
			q := p.Turned(-f.AngleDeg)
			turned[i] = append(turned[i], q)
			box = box.Take(q)
		}
	}
	k0 := math.Ceil((box.Low.Y - f.ShiftMM) / f.SpacingMM)
	k1 := math.Floor((box.High.Y - f.ShiftMM) / f.SpacingMM)
	if k1-k0 > maxHatchLines {
		return nil
	}
	var out [][2]Point
	for k := k0; k <= k1; k++ {
		y := k*f.SpacingMM + f.ShiftMM
		xs := crossings(turned, y)
		for i := 0; i+1 < len(xs); i += 2 {
			if xs[i+1]-xs[i] < 0.1 {
				continue
			}
			out = append(out, [2]Point{Point{xs[i], y}.Turned(f.AngleDeg), Point{xs[i+1], y}.Turned(f.AngleDeg)})
		}
	}
	return out
}

// crossings returns the sorted places where the level y meets the rings. An edge
// holds its lower end and not its upper one, so that a corner counts once.
func crossings(rings [][]Point, y float64) []float64 {
	var xs []float64
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (a.Y <= y) != (b.Y <= y) {
				xs = append(xs, a.X+(b.X-a.X)*(y-a.Y)/(b.Y-a.Y))
			}
		}
	}
	sort.Float64s(xs)
	return xs
}

// dots are lines too short to see as such: round ends make them dots in every format.
func (h Hatch) dots(rings [][]Point) []Path {
	row := HatchLines{SpacingMM: h.DotsMM / 2}
	var out []Path
	for _, s := range row.cut(rings) {
		k := math.Round(s[0].Y / row.SpacingMM)
		shift := 0.0
		if math.Mod(math.Abs(k), 2) == 1 {
			shift = h.DotsMM / 2
		}
		first := math.Ceil((s[0].X+dotClearMM-shift)/h.DotsMM)*h.DotsMM + shift
		for x := first; x <= s[1].X-dotClearMM && len(out) < maxHatchLines; x += h.DotsMM {
			out = append(out, Polyline(Point{x, s[0].Y}, Point{x + DotLengthMM, s[0].Y}))
		}
	}
	return out
}

// dotClearMM keeps dots off the outline.
const dotClearMM = 0.2

// DotLengthMM is the length of the line that stands for a dot.
const DotLengthMM = 0.01

// Holds reports whether p lies inside the outline less the holes (even-odd).
func Holds(p Point, paths ...Path) bool {
	in := false
	for _, q := range paths {
		r := q.Points(chordToleranceMM)
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (a.Y <= p.Y) != (b.Y <= p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
				in = !in
			}
		}
	}
	return in
}
