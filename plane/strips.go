package plane

import (
	"fmt"
	"math"
)

// StripLayout says how an area is parted into parallel strips.
type StripLayout struct {
	// AlongRad is the direction of the strips, radians anticlockwise from +x.
	AlongRad float64
	// WidthM of each strip and LapM over its neighbour; LapM < WidthM.
	WidthM, LapM float64
	// OffsetM is how much of the first strip's width lies before the area, 0 to
	// less than WidthM.
	OffsetM float64
}

// Strip is one strip with the pieces it gives.
type Strip struct {
	// LowM and HighM bound the strip across its direction, about the origin.
	LowM, HighM float64
	Pieces      []StripPiece
}

// StripPiece is one connected piece of a strip.
type StripPiece struct {
	Polygon
	// FromM and ToM bound the piece along the strip's direction, about the origin.
	FromM, ToM float64
}

// LengthM is the length to cut from the roll.
func (s StripPiece) LengthM() float64 { return s.ToM - s.FromM }

// mostStrips bounds what a slip of the unit may ask for.
const mostStrips = 100000

// Strips parts the area into strips from its low side across to its high side.
// Strips that meet nothing are left out.
func Strips(area []Polygon, s StripLayout) ([]Strip, error) {
	pitch := s.WidthM - s.LapM
	if !(s.WidthM > 0) || !(s.LapM >= 0) || !(pitch > 0) {
		return nil, fmt.Errorf("strips of width %g m with a lap of %g m: the width must be positive and the lap smaller", s.WidthM, s.LapM)
	}
	if !(s.OffsetM >= 0) || s.OffsetM >= s.WidthM {
		return nil, fmt.Errorf("offset %g m of the first strip: it must be from 0 to less than the width of %g m", s.OffsetM, s.WidthM)
	}
	along := turn(Point{1, 0}, s.AlongRad)
	low, high := extentOf(area, along.Left())
	if (high-low)/pitch > mostStrips {
		return nil, fmt.Errorf("strips of %g m over %g m: more than %d strips; check the units", s.WidthM, high-low, mostStrips)
	}
	var out []Strip
	// A last strip of less than a hundredth of a millimetre is rounding.
	for k := 0; ; k++ {
		lo := low - s.OffsetM + float64(k)*pitch
		if covered := lo + s.LapM; k > 0 && covered > high-1e-5 || k == 0 && lo >= high {
			break
		}
		ps, err := Band(area, s.AlongRad, lo, lo+s.WidthM)
		if err != nil {
			return nil, err
		}
		strip := Strip{LowM: lo, HighM: lo + s.WidthM}
		for _, p := range ps {
			from, to := p.Extent(along)
			strip.Pieces = append(strip.Pieces, StripPiece{p, from, to})
		}
		if len(ps) > 0 {
			out = append(out, strip)
		}
	}
	return out, nil
}

// Band returns the part of the area whose coordinate across the direction
// alongRad lies from lowM to highM.
func Band(area []Polygon, alongRad, lowM, highM float64) ([]Polygon, error) {
	u := turn(Point{1, 0}, alongRad)
	v := u.Left()
	from, to := extentOf(area, u)
	if from > to || !(highM > lowM) {
		return nil, nil
	}
	at := func(x, y float64) Point { return u.Scale(x).Add(v.Scale(y)) }
	box := Polygon{Outer: []Point{at(from-1, lowM), at(to+1, lowM), at(to+1, highM), at(from-1, highM)}}
	return Intersection(area, []Polygon{box})
}

func extentOf(ps []Polygon, along Point) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range ps {
		l, h := p.Extent(along)
		low, high = min(low, l), max(high, h)
	}
	return low, high
}
