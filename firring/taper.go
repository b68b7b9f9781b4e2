package firring

import (
	"fmt"
	"math"

	"gelwright/plane"
	"gelwright/roof"
)

// Board is one cut of tapered insulation: one board of the grid on one plane.
type Board struct {
	Row    int             `json:"row"`
	Column int             `json:"column"`
	Area   []plane.Polygon `json:"area"`
	// LeastMM, MostMM and MeanMM are thicknesses over the board's area.
	LeastMM float64 `json:"least_mm"`
	MostMM  float64 `json:"most_mm"`
	MeanMM  float64 `json:"mean_mm"`
}

// Taper is a deck's tapered insulation.
type Taper struct {
	Boards []Board
	// VolumeM3 of insulation; LeastMM, MostMM and MeanMM over the deck.
	VolumeM3, LeastMM, MostMM, MeanMM float64
}

// mostBoards bounds a laying of boards.
const mostBoards = 20000

// TaperedBoards lays boards of lengthM (along x) by widthM from the low corner of the
// deck's bounds and gives each its thickness: leastMM at the deck's lowest point,
// rising with the surface. A board over a fold counts once for each plane.
func TaperedBoards(s plane.Surface, lengthM, widthM, leastMM float64) (Taper, error) {
	if !(lengthM > 0) || !(widthM > 0) || !(leastMM >= 0) || math.IsInf(lengthM+widthM+leastMM, 0) {
		return Taper{}, fmt.Errorf("boards of %g × %g m from %g mm: give a positive size and a least thickness of zero or more", lengthM,
			widthM, leastMM)
	}
	low, high := plane.BoundsOf(s.Deck)
	if n := (high.X - low.X) / lengthM * (high.Y - low.Y) / widthM; n > mostBoards {
		return Taper{}, fmt.Errorf("boards of %g × %g m: %.0f of them; check the units", lengthM, widthM, n)
	}
	t := Taper{LeastMM: math.Inf(1), MostMM: math.Inf(-1)}
	var area float64
	for row, y := 0, low.Y; y < high.Y-1e-6; row, y = row+1, y+widthM {
		for col, x := 0, low.X; x < high.X-1e-6; col, x = col+1, x+lengthM {
			box, err := plane.PolygonOf(plane.Rectangle(x, y, x+lengthM, y+widthM), nil, plane.ChordToleranceM)
			if err != nil {
				return Taper{}, err
			}
			for _, f := range s.Facets {
				parts, err := plane.Intersection(f.Area, []plane.Polygon{box})
				if err != nil {
					return Taper{}, fmt.Errorf("board row %d, column %d: %w", row, col, err)
				}
				if plane.TotalArea(parts) < 1e-6 {
					continue
				}
				b := Board{Row: row, Column: col, Area: parts, LeastMM: math.Inf(1), MostMM: math.Inf(-1)}
				var volume float64
				for _, p := range parts {
					for _, q := range p.Outer {
						h := leastMM + mmPerM*f.HeightM(q)
						b.LeastMM, b.MostMM = min(b.LeastMM, h), max(b.MostMM, h)
					}
					// Over a plane the mean is the value at the centre of area.
					volume += p.Area() * (leastMM + mmPerM*f.HeightM(p.Centroid())) / mmPerM
				}
				b.MeanMM = volume / plane.TotalArea(parts) * mmPerM
				t.VolumeM3 += volume
				area += plane.TotalArea(parts)
				t.LeastMM, t.MostMM = min(t.LeastMM, b.LeastMM), max(t.MostMM, b.MostMM)
				t.Boards = append(t.Boards, b)
			}
		}
	}
	if area == 0 {
		return Taper{}, fmt.Errorf("tapered boards: the deck has no area")
	}
	t.MeanMM = t.VolumeM3 / area * mmPerM
	return t, nil
}

// Height is a height at a place, mm above the deck's lowest point.
type Height struct {
	At plane.Point `json:"at"`
	MM float64     `json:"mm"`
}

// Heights returns the heights of the deck on a grid of stepM, from the low corner
// of its bounds, where the deck is.
func Heights(s plane.Surface, stepM float64) ([]Height, error) {
	low, high := plane.BoundsOf(s.Deck)
	if !(stepM > 0) || (high.X-low.X)/stepM*(high.Y-low.Y)/stepM > mostCells {
		return nil, fmt.Errorf("a grid of %g m: give a positive step with fewer than %d places", stepM, mostCells)
	}
	var out []Height
	for j := 0; low.Y+float64(j)*stepM <= high.Y+1e-9; j++ {
		for i := 0; low.X+float64(i)*stepM <= high.X+1e-9; i++ {
			p := plane.Point{X: low.X + float64(i)*stepM, Y: low.Y + float64(j)*stepM}
			on := plane.ContainsAny(s.Deck, p)
			for _, d := range s.Deck {
				on = on || d.Distance(p) < 1e-6
			}
			if on {
				out = append(out, Height{p, mmPerM * s.HeightM(p)})
			}
		}
	}
	return out, nil
}

// HeightsAt returns the heights of the deck at given places, such as its outlets
// and corners.
func HeightsAt(s plane.Surface, places []plane.Point) []Height {
	out := make([]Height, len(places))
	for i, p := range places {
		out[i] = Height{p, mmPerM * s.HeightM(p)}
	}
	return out
}

// Drains is where water may leave a deck.
type Drains struct {
	Outline plane.Ring
	// Takes says whether water leaves over an edge of the outline.
	Takes   func(edge int) bool
	Outlets []plane.Point
}

// DrainsOf reads the drains of a surveyed deck: its open edges and its outlets.
func DrainsOf(d roof.Deck) Drains {
	out := Drains{Outline: d.Outline, Takes: func(e int) bool { return e < len(d.Edges) && d.Edges[e].Condition.TakesWater() }}
	for _, p := range d.Penetrations {
		if p.Kind == "outlet" {
			out.Outlets = append(out.Outlets, p.At)
		}
	}
	return out
}

// ErrLowPoint is the refusal of a surface whose water does not reach a drain.
type ErrLowPoint struct {
	// At is the place, AreaM2 what drains to it; 0 for the lowest point itself.
	At     plane.Point
	AreaM2 float64
}

// Error says where and how to mend.
func (e ErrLowPoint) Error() string {
	if e.AreaM2 > 0 {
		return fmt.Sprintf("water of %.2f m² stands at (%.3f, %.3f): turn the fall, open the edge, or put an outlet there", e.AreaM2, e.At.X,
			e.At.Y)
	}
	return fmt.Sprintf("the lowest point of the deck, (%.3f, %.3f), is at no outlet and no open edge: turn the fall or move the outlet",
		e.At.X, e.At.Y)
}

const (
	// atOutletM is how near an outlet the lowest point may lie, m (common practice).
	atOutletM = 0.15
	// onEdgeM is how near an edge a point lies that is on it; standsM2 what area is none.
	onEdgeM  = 0.002
	standsM2 = 1e-4
)

// LowAtDrain checks that the lowest point of the surface lies at an outlet (within
// 150 mm) or on an open edge, and that all water of the deck reaches a drain.
func LowAtDrain(s plane.Surface, d Drains) error {
	catchments, err := plane.Catchments(s, d.Outline, d.Takes, d.Outlets)
	if err != nil {
		return err
	}
	for _, c := range catchments {
		if c.Stands() && c.RainM2() > standsM2 {
			return ErrLowPoint{c.At, c.RainM2()}
		}
	}
	for i := range d.Outline {
		if e := d.Outline.Edge(i); d.Takes(i) && e.Nearest(s.LowAt).Distance(s.LowAt) < onEdgeM {
			return nil
		}
	}
	for _, o := range d.Outlets {
		if o.Distance(s.LowAt) <= atOutletM {
			return nil
		}
	}
	return ErrLowPoint{At: s.LowAt}
}
