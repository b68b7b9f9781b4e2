package plane

import (
	"fmt"
	"math"
	"sort"
)

// Facet is one plane of a deck's surface with the part of the deck it covers.
type Facet struct {
	// Area is the part on plan.
	Area []Polygon
	// Gradient points uphill on plan; its length is the fall as a fraction, 0.025 for 1:40.
	Gradient Point
	// z = z0 + Gradient·p, m.
	z0 float64
}

// HeightM returns the height of the facet's plane at p, m, also beyond its area.
func (f Facet) HeightM(p Point) float64 { return f.z0 + f.Gradient.Dot(p) }

// Surface is the top of a deck: facets that together cover it.
type Surface struct {
	// Deck is the plan area the surface was made for.
	Deck   []Polygon
	Facets []Facet
	// LowAt is the lowest point of the deck, where the height is zero.
	LowAt Point
	falls Falls
}

// fanStepDeg bounds the angle of one facet of a fall to a point: the plane
// between two spokes at 1:n is steeper by 1/cos(half the angle), 3.5 % at 30°.
const fanStepDeg = 30

// SurfaceOf builds the surface of a deck from its falls.
//
// The folds are taken as whole lines across the deck. The two planes at a ridge,
// hip or valley must agree in height along it. ToPoint gives planes between
// spokes that fall at exactly 1:n from every corner to the point, so that water
// on a plane runs to a spoke and along it, and nothing is flatter than 1:n.
func SurfaceOf(deck []Polygon, falls Falls) (Surface, error) {
	s := Surface{Deck: deck, falls: falls}
	if TotalArea(deck) <= 0 {
		return s, fmt.Errorf("falls: the deck has no area")
	}
	var err error
	switch falls.Kind {
	case Level:
		s.Facets = []Facet{{Area: deck}}
	case OneWay:
		err = s.oneWay()
	case Ridge, Hip, Valley:
		err = s.twoPlanes()
	case ToPoint:
		err = s.fan()
	default:
		err = fmt.Errorf("falls: kind %q is not known: write one way, ridge, hip, valley, to point or level", falls.Kind)
	}
	if err != nil {
		return Surface{}, err
	}
	s.setDatum()
	return s, nil
}

// gradientOf returns the uphill gradient of a fall.
func gradientOf(f FallPlane, n int) (Point, error) {
	if !(f.Ratio > 0) || math.IsInf(f.Ratio, 0) {
		return Point{}, fmt.Errorf("falls, plane %d: a ratio of 1:%g is no fall: give a positive number", n, f.Ratio)
	}
	u := f.Down.Unit()
	if l := u.Length(); !(l > 0.5) {
		return Point{}, fmt.Errorf("falls, plane %d: the downhill direction is missing", n)
	}
	return u.Scale(-1 / f.Ratio), nil
}

func (s *Surface) oneWay() error {
	if len(s.falls.Planes) != 1 {
		return fmt.Errorf("falls: one way needs one plane, %d are given", len(s.falls.Planes))
	}
	g, err := gradientOf(s.falls.Planes[0], 0)
	if err != nil {
		return err
	}
	s.Facets = []Facet{{Area: s.Deck, Gradient: g}}
	return nil
}

func (s *Surface) twoPlanes() error {
	f := s.falls
	if len(f.Planes) != 2 {
		return fmt.Errorf("falls: %s needs two planes, left and right of its line, %d are given", f.Kind, len(f.Planes))
	}
	u := f.Line[1].Sub(f.Line[0]).Unit()
	if u == (Point{}) {
		return fmt.Errorf("falls: the line of the %s has no length: give two different points", f.Kind)
	}
	for i, hand := range []float64{1, -1} {
		g, err := gradientOf(f.Planes[i], i)
		if err != nil {
			return err
		}
		away := -g.Dot(u.Left()) * hand
		if f.Kind == Valley {
			away = -away
		}
		if away <= 0 {
			verb := "away from"
			if f.Kind == Valley {
				verb = "towards"
			}
			return fmt.Errorf("falls, plane %d: at a %s the planes fall %s the line: turn its direction, or swap left and right", i, f.Kind, verb)
		}
		area, err := halfOf(s.Deck, f.Line[0], u, hand)
		if err != nil {
			return err
		}
		if len(area) > 0 {
			s.Facets = append(s.Facets, Facet{Area: area, Gradient: g, z0: -g.Dot(f.Line[0])})
		}
	}
	if len(s.Facets) == 2 {
		if d := s.Facets[0].Gradient.Sub(s.Facets[1].Gradient).Dot(u); math.Abs(d) > 2e-4 {
			return fmt.Errorf("falls: the two planes part along the %s by %.1f mm in a metre: make their falls equal along the line", f.Kind,
				math.Abs(d)*1000)
		}
	}
	return nil
}

// halfOf returns the part of the area to the left (hand 1) or right (−1) of the
// line through o along u.
func halfOf(area []Polygon, o, u Point, hand float64) ([]Polygon, error) {
	low, high := BoundsOf(area)
	reach := low.Distance(high) + low.Distance(o) + 1
	v := u.Left().Scale(hand * reach)
	a, b := o.Sub(u.Scale(reach)), o.Add(u.Scale(reach))
	return Intersection(area, properLoop([]Point{a, b, b.Add(v), a.Add(v)}))
}

// offDeckM is how far off the deck the low point may lie, in a gutter or an outlet beside it.
const offDeckM = 0.5

// sameWay is the angle, rad, within which two corners lie in one direction.
const sameWay = 1e-4

func (s *Surface) fan() error {
	f := s.falls
	if len(f.Planes) != 1 || !(f.Planes[0].Ratio > 0) || math.IsInf(f.Planes[0].Ratio, 0) {
		return fmt.Errorf("falls: to point needs one plane with a positive ratio")
	}
	o := f.Point
	if near := nearestSide(s.Deck, o); !ContainsAny(s.Deck, o) && near > offDeckM {
		return fmt.Errorf("falls: the low point (%.3f, %.3f) lies %.3f m off the deck: move it on to the deck", o.X, o.Y, near)
	}
	low, high := BoundsOf(s.Deck)
	reach := 2*(low.Distance(high)+o.Distance(low)) + 1
	angles := fanAngles(s.Deck, o)
	for i, a := range angles {
		b := angles[(i+1)%len(angles)]
		if b <= a {
			b += 2 * math.Pi
		}
		p, q := turn(Point{1, 0}, a), turn(Point{1, 0}, b)
		// Both spokes rise at 1:n, so the gradient is along their bisector.
		w := turn(Point{1, 0}, (a+b)/2)
		g := w.Scale(1 / (f.Planes[0].Ratio * math.Cos((b-a)/2)))
		area, err := Intersection(s.Deck, properLoop([]Point{o, o.Add(p.Scale(reach)), o.Add(q.Scale(reach))}))
		if err != nil {
			return err
		}
		if len(area) > 0 {
			s.Facets = append(s.Facets, Facet{Area: area, Gradient: g, z0: -g.Dot(o)})
		}
	}
	return nil
}

// fanAngles returns the directions, sorted, of the corners seen from o, with
// more between where two are further apart than fanStepDeg.
func fanAngles(deck []Polygon, o Point) []float64 {
	var corners []float64
	for _, p := range deck {
		for _, q := range p.Outer {
			if d := q.Sub(o); d.Length() > 1e-6 {
				corners = append(corners, math.Atan2(d.Y, d.X))
			}
		}
	}
	sort.Float64s(corners)
	var kept []float64
	for _, a := range corners {
		if len(kept) == 0 || a-kept[len(kept)-1] > sameWay {
			kept = append(kept, a)
		}
	}
	if n := len(kept); n > 1 && kept[0]+2*math.Pi-kept[n-1] < sameWay {
		kept = kept[:n-1]
	}
	const step = fanStepDeg * math.Pi / 180
	var out []float64
	for i, a := range kept {
		b := kept[(i+1)%len(kept)]
		if i == len(kept)-1 {
			b += 2 * math.Pi
		}
		n := int(math.Ceil((b - a) / step))
		for k := 0; k < n; k++ {
			out = append(out, a+(b-a)*float64(k)/float64(n))
		}
	}
	return out
}

// setDatum moves all planes so that the lowest point of the deck is at zero.
func (s *Surface) setDatum() {
	low := math.Inf(1)
	for _, f := range s.Facets {
		for _, p := range f.Area {
			for _, l := range p.Region() {
				for _, q := range l {
					if z := f.HeightM(q); z < low-1e-12 {
						low, s.LowAt = z, q
					}
				}
			}
		}
	}
	for i := range s.Facets {
		s.Facets[i].z0 -= low
	}
}

// facetAt returns the number of the facet that holds p, or the nearest one.
func (s Surface) facetAt(p Point) int {
	best, at := math.Inf(1), 0
	for i, f := range s.Facets {
		if ContainsAny(f.Area, p) {
			return i
		}
		if d := nearestSide(f.Area, p); d < best {
			best, at = d, i
		}
	}
	return at
}

// HeightM returns the height of the deck at p above its lowest point, m. Off the
// deck it continues the nearest plane.
func (s Surface) HeightM(p Point) float64 {
	if len(s.Facets) == 0 {
		return 0
	}
	return s.Facets[s.facetAt(p)].HeightM(p)
}

// GradientAt returns the uphill gradient at p, a fraction: 0.025 long for 1:40.
func (s Surface) GradientAt(p Point) Point {
	if len(s.Facets) == 0 {
		return Point{}
	}
	return s.Facets[s.facetAt(p)].Gradient
}

// TrueArea returns the area along the slope, m².
func (s Surface) TrueArea() float64 {
	var sum float64
	for _, f := range s.Facets {
		sum += TotalArea(f.Area) * math.Hypot(1, f.Gradient.Length())
	}
	return sum
}

// LineRatio returns the n of 1:n at which the fold (ridge, hip or valley) runs
// along its line, +Inf for a level one or where there is no line. Two planes of
// 1:40 falling square to each other meet in a valley of 1:56.6.
func (s Surface) LineRatio() float64 {
	u := s.falls.Line[1].Sub(s.falls.Line[0]).Unit()
	if len(s.Facets) == 0 || u == (Point{}) {
		return math.Inf(1)
	}
	g := math.Abs(s.Facets[0].Gradient.Dot(u))
	if g < 1e-12 {
		return math.Inf(1)
	}
	return 1 / g
}

// LeastRatio returns the n of the flattest plane or valley, +Inf when one is level.
func (s Surface) LeastRatio() float64 {
	g := math.Inf(1)
	for _, f := range s.Facets {
		g = min(g, f.Gradient.Length())
	}
	n := 1 / g
	if s.falls.Kind == Valley {
		n = max(n, s.LineRatio())
	}
	if s.falls.Kind == ToPoint {
		n = s.falls.Planes[0].Ratio
	}
	return n
}

// CornerHeights returns the height of each corner of a ring, m.
func (s Surface) CornerHeights(r Ring) []float64 {
	out := make([]float64, len(r))
	for i, v := range r {
		out[i] = s.HeightM(v.Point)
	}
	return out
}

// Highest returns the highest point of the deck and its height, m.
func (s Surface) Highest() (at Point, heightM float64) {
	heightM = math.Inf(-1)
	for _, f := range s.Facets {
		for _, p := range f.Area {
			for _, q := range p.Outer {
				if z := f.HeightM(q); z > heightM+1e-12 {
					at, heightM = q, z
				}
			}
		}
	}
	return at, heightM
}
