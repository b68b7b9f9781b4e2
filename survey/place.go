package survey

import (
	"cmp"
	"math"
	"slices"

	"gelwright/plane"
)

// A sketch is one way in which the points may lie, before the adjustment: each is placed from what is placed already, by two
// circles of the tape, by a direction and a length, by an offset. Where two circles cross twice both are followed, the likelier
// ones further (a beam of sketches), so that a wrong choice at one corner is undone by a later length.
type sketch struct {
	at     []plane.Point
	placed []bool
	misfit float64
}

// widest is how many sketches are followed side by side.
const widest = 48

// roomM is how far a sketch may miss a length before it counts as a standard deviation: sketches carry the errors of all before them.
const roomM = 0.02

func (s *sketch) with(i int, p plane.Point) *sketch {
	c := &sketch{slices.Clone(s.at), slices.Clone(s.placed), s.misfit}
	c.at[i], c.placed[i] = p, true
	return c
}

// locus is what one measurement says of an unplaced point: a circle about a centre, or a ray from it.
type locus struct {
	centre plane.Point
	radius float64
	ray    plane.Point
}

// sketches returns the likeliest ways in which the points may lie, best first; the fault names the points that nothing fixes.
func (n *Network) sketches(names []string, e []ends) ([]*sketch, *Fault) {
	base := slices.IndexFunc(n.Measurements, func(m Measurement) bool { return m.Kind == Length })
	start := &sketch{at: make([]plane.Point, len(names)), placed: make([]bool, len(names))}
	if base < 0 {
		return nil, &Fault{-1, "no length was measured", "Measure one side at least"}
	}
	start.placed[e[base].from], start.placed[e[base].to] = true, true
	start.at[e[base].to] = plane.Point{X: n.Measurements[base].Value}
	beam := []*sketch{start}
	for slices.Contains(beam[0].placed, false) {
		// All sketches place the same points in the same order: which can be placed does not depend on where the others lie.
		next := n.nextPoint(beam[0], e)
		if next < 0 {
			return nil, n.looseFault(names, beam[0].placed)
		}
		var grown []*sketch
		for _, s := range beam {
			for _, p := range n.candidates(s, e, next) {
				c := s.with(next, p)
				c.misfit = n.missed(c, e)
				grown = append(grown, c)
			}
		}
		slices.SortStableFunc(grown, func(a, b *sketch) int { return cmp.Compare(a.misfit, b.misfit) })
		beam = grown[:min(len(grown), widest)]
		if len(beam) == 0 {
			return nil, n.looseFault(names, start.placed)
		}
	}
	return beam, nil
}

// nextPoint is the unplaced point that is best determined: exactly, or by two loci; -1 where there is none.
func (n *Network) nextPoint(s *sketch, e []ends) int {
	two := -1
	for i := range s.placed {
		if s.placed[i] {
			continue
		}
		if _, ok := n.footed(s, e, i); ok {
			return i
		}
		loci := n.loci(s, e, i)
		for k := range loci {
			for _, o := range loci[:k] {
				if exact(o, loci[k]) {
					return i
				}
				if two < 0 && crossing(o, loci[k]) {
					two = i
				}
			}
		}
	}
	return two
}

// exact reports whether two loci fix a point by themselves: a ray and a circle about the same centre, or two rays.
func exact(a, b locus) bool {
	rayA, rayB := a.radius == 0, b.radius == 0
	return rayA != rayB && a.centre == b.centre || rayA && rayB && math.Abs(a.ray.Cross(b.ray)) > 0.05
}

// crossing reports whether two loci may cross: not about one centre.
func crossing(a, b locus) bool { return a.centre != b.centre && (a.radius > 0 || b.radius > 0) }

// footed places a point by its offset and its length along one line.
func (n *Network) footed(s *sketch, e []ends, point int) (plane.Point, bool) {
	for i, m := range n.Measurements {
		if m.Kind != Along || e[i].at != point || !s.placed[e[i].from] || !s.placed[e[i].to] {
			continue
		}
		for k, o := range n.Measurements {
			if o.Kind == Offset && e[k] == e[i] {
				from := s.at[e[i].from]
				u := s.at[e[i].to].Sub(from).Unit()
				return from.Add(u.Scale(m.Value)).Add(u.Left().Scale(o.Value)), true
			}
		}
	}
	return plane.Point{}, false
}

// loci are what the placed points say of an unplaced one, circles first.
func (n *Network) loci(s *sketch, e []ends, point int) []locus {
	var circles, rays []locus
	for i := range n.Measurements {
		m := &n.Measurements[i]
		switch {
		case m.Kind == Length && e[i].to == point && s.placed[e[i].from]:
			circles = append(circles, locus{centre: s.at[e[i].from], radius: m.Value})
		case m.Kind == Length && e[i].from == point && s.placed[e[i].to]:
			circles = append(circles, locus{centre: s.at[e[i].to], radius: m.Value})
		case m.Kind == Angle && s.placed[e[i].at]:
			at := s.at[e[i].at]
			if e[i].to == point && s.placed[e[i].from] {
				rays = append(rays, locus{centre: at, ray: rotated(s.at[e[i].from].Sub(at).Unit(), m.Value)})
			} else if e[i].from == point && s.placed[e[i].to] {
				rays = append(rays, locus{centre: at, ray: rotated(s.at[e[i].to].Sub(at).Unit(), -m.Value)})
			}
		}
	}
	return append(circles, rays...)
}

func rotated(u plane.Point, deg float64) plane.Point {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return plane.Point{X: u.X*cos - u.Y*sin, Y: u.X*sin + u.Y*cos}
}

// candidates are the places where a point may lie.
func (n *Network) candidates(s *sketch, e []ends, point int) []plane.Point {
	if p, ok := n.footed(s, e, point); ok {
		return []plane.Point{p}
	}
	loci := n.loci(s, e, point)
	for k := range loci {
		for _, o := range loci[:k] {
			if exact(o, loci[k]) {
				return []plane.Point{fixed(o, loci[k])}
			}
		}
	}
	// The pair that crosses most squarely; a beam of both crossings.
	var best []plane.Point
	sharp := -1.0
	for k := range loci {
		for _, o := range loci[:k] {
			if !crossing(o, loci[k]) {
				continue
			}
			if p, q := crossings(o, loci[k]); sharp < p.Distance(q) {
				sharp, best = p.Distance(q), []plane.Point{p, q}
			}
		}
	}
	return best
}

// fixed is the point of two loci that are exact together.
func fixed(a, b locus) plane.Point {
	if a.radius > 0 {
		a, b = b, a
	}
	if b.radius > 0 {
		return a.centre.Add(a.ray.Scale(b.radius))
	}
	t := b.centre.Sub(a.centre).Cross(b.ray) / a.ray.Cross(b.ray)
	return a.centre.Add(a.ray.Scale(t))
}

// crossings are the two points where a circle meets a circle or a ray, left of the way between the centres first; where they
// miss each other, the nearest place twice.
func crossings(a, b locus) (left, right plane.Point) {
	if a.radius == 0 {
		a, b = b, a
	}
	if b.radius == 0 {
		// The circle a and the ray b.
		foot := a.centre.Sub(b.centre).Dot(b.ray)
		off := a.centre.Sub(b.centre.Add(b.ray.Scale(foot))).Length()
		half := math.Sqrt(max(0, a.radius*a.radius-off*off))
		return b.centre.Add(b.ray.Scale(foot + half)), b.centre.Add(b.ray.Scale(foot - half))
	}
	way := b.centre.Sub(a.centre)
	d := way.Length()
	along := (d*d + a.radius*a.radius - b.radius*b.radius) / (2 * d)
	half := math.Sqrt(max(0, a.radius*a.radius-along*along))
	u := way.Unit()
	foot := a.centre.Add(u.Scale(along))
	return foot.Add(u.Left().Scale(half)), foot.Sub(u.Left().Scale(half))
}

// missed sums how badly a sketch misses what was measured between placed points; a turn to the wrong side counts like a gross
// blunder, and one blunder alone never rules a sketch out.
func (n *Network) missed(s *sketch, e []ends) float64 {
	const gross = 400
	sum := 0.0
	for i := range n.Measurements {
		m := &n.Measurements[i]
		if !s.placed[e[i].from] || !s.placed[e[i].to] || e[i].at >= 0 && !s.placed[e[i].at] {
			continue
		}
		at := plane.Point{}
		room := m.sd() + roomM
		if e[i].at >= 0 {
			at = s.at[e[i].at]
		}
		observed, _ := m.observed(s.at[e[i].from], s.at[e[i].to], at)
		if math.IsNaN(observed) {
			sum += gross
			continue
		}
		w := m.misfit(observed) / room
		sum += min(w*w, gross)
	}
	c := len(n.Corners)
	for i, turn := range n.Turns {
		before, after := (i+c-1)%c, (i+1)%c
		if turn != 0 && s.placed[before] && s.placed[i] && s.placed[after] && turned(s.at[before], s.at[i], s.at[after]) == -turn {
			sum += gross
		}
	}
	return sum
}
