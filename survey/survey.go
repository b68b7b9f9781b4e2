package survey

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gelwright/plane"
)

// Frame is where the outline is drawn: the first corner at Start, the first side at BearingDeg anticlockwise from +x.
type Frame struct {
	Start      plane.Point `json:"start"`
	BearingDeg float64     `json:"bearing_deg,omitempty"`
}

// exactDeg is the standard deviation of a corner that is square because nothing denies it: a tenth of a millimetre in ten metres.
const exactDeg = 0.0005

// Adjust finds the outline that fits the tape best, and judges the tape by it. Corners that look square are taken as exactly
// square when the tape does not deny it, because what is built square is square to build on; otherwise they lie as the tape says.
// The error is a *Fault where the measurements cannot give an outline, or the context's.
func Adjust(ctx context.Context, n Network, t Tolerance, f Frame) (Result, error) {
	names, of, fault := n.index()
	if fault != nil {
		return Result{}, fault
	}
	e := n.ends(of)
	list, fault := n.sketches(names, e)
	if fault != nil {
		return Result{}, fault
	}
	plain, err := n.best(ctx, list, e)
	if err != nil {
		return Result{}, err
	}
	taken, spare := plain, n.spare(len(names))
	judged := plain.judge()
	limit, ok := closes(spare, plain.sum, judged)
	isSquare := false
	if squared, list, okSquare, err := plain.squared(ctx); err != nil {
		return Result{}, err
	} else if okSquare {
		taken, judged, ok, isSquare, spare = squared, list, true, true, squared.spare
		limit, _ = closes(spare, squared.sum, judged)
	}
	for i := range judged {
		judged[i].SD = n.Measurements[i].SD
	}
	r := Result{Spare: max(0, spare), Squares: taken.sum, Limit: limit, Closes: ok, Square: isSquare}
	if doubted := plain.doubted(taken.at); doubted != nil {
		doubted.check(judged)
		r.Wanted = doubted.wanted(judged, t)
	}
	r.Measured = judged
	r.Corners, r.Others = taken.corners(names, f)
	if !ok {
		if r.Suspect, err = plain.suspect(ctx, judged, n.spare(len(names))); err != nil {
			return Result{}, err
		}
	}
	return r, nil
}

// best settles the likeliest sketches and takes the one that fits best; two that fit and differ are a fault.
func (n *Network) best(ctx context.Context, list []*sketch, e []ends) (*adjusted, error) {
	const tried = 6
	var found []*adjusted
	var first error
	for _, s := range list[:min(len(list), tried)] {
		a, err := n.settle(ctx, s, e)
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err != nil {
			if first == nil {
				first = err
			}
			continue
		}
		found = append(found, a)
	}
	if len(found) == 0 {
		return nil, first
	}
	slices.SortStableFunc(found, func(a, b *adjusted) int {
		switch {
		case a.score() < b.score()-1e-6:
			return -1
		case b.score() < a.score()-1e-6:
			return 1
		}
		// Where the tape cannot tell an outline from its mirror image, the one that goes anticlockwise.
		corners := len(n.Corners)
		return cmp.Compare(area(b.at[:corners]), area(a.at[:corners]))
	})
	best := found[0]
	for _, a := range found[1:] {
		// Within three standard deviations of the best, and another shape.
		if a.score() < best.score()+9 {
			if i, differs := another(best.at, a.at); differs {
				name := n.pointName(i)
				return nil, &Fault{-1, "two outlines fit what was measured; they differ most at " + name,
					"Measure from " + name + " to a corner that is not its neighbour"}
			}
		}
	}
	return best, nil
}

func (n *Network) pointName(i int) string {
	if i < len(n.Corners) {
		return "corner " + n.Corners[i]
	}
	return "a point beside the outline"
}

// score is the weighted squares, and a gross blunder for each turn to the wrong side and each crossing of sides: no roof's edge
// crosses itself.
func (a *adjusted) score() float64 {
	const gross = 400
	sum, c := a.sum, len(a.n.Corners)
	for i := range c {
		for k := i + 2; k < c; k++ {
			if k-i < c-1 && cross(a.at[i], a.at[i+1], a.at[k], a.at[(k+1)%c]) {
				sum += gross
			}
		}
	}
	for i, t := range a.n.Turns {
		if t != 0 && turned(a.at[(i+c-1)%c], a.at[i], a.at[(i+1)%c]) == -t {
			sum += gross
		}
	}
	return sum
}

// another reports whether two placements are different shapes, not the same one moved or turned over, and where they differ most.
func another(a, b []plane.Point) (worst int, differs bool) {
	least := math.Inf(1)
	for _, mirror := range []float64{1, -1} {
		p, q := framed(a, 1, Frame{}), framed(b, mirror, Frame{})
		most, at := 0.0, 0
		for i := range p {
			if d := p[i].Distance(q[i]); d > most {
				most, at = d, i
			}
		}
		if most < least {
			least, worst = most, at
		}
	}
	return worst, least > 0.05
}

// framed moves points so that the first lies at the frame's start and the second in its bearing; mirror -1 turns them over first.
func framed(at []plane.Point, mirror float64, f Frame) []plane.Point {
	out := make([]plane.Point, len(at))
	u := plane.Point{X: at[1].X, Y: mirror * at[1].Y}.Sub(plane.Point{X: at[0].X, Y: mirror * at[0].Y}).Unit()
	for i, p := range at {
		d := plane.Point{X: p.X, Y: mirror * p.Y}.Sub(plane.Point{X: at[0].X, Y: mirror * at[0].Y})
		out[i] = f.Start.Add(rotated(plane.Point{X: d.Dot(u), Y: d.Dot(u.Left())}, f.BearingDeg))
	}
	return out
}

// squared is the adjustment with every corner that looks square exactly so; ok is whether the tape leaves that standing. A survey
// without such corners, or with nothing to spare to test them by, is left as it is.
func (a *adjusted) squared(ctx context.Context) (_ *adjusted, judged []Judged, ok bool, err error) {
	n := &Network{a.n.Corners, a.n.Turns, slices.Clone(a.n.Measurements)}
	any := false
	for i := range n.Measurements {
		if n.Measurements[i].Assumed {
			n.Measurements[i].SD, any = exactDeg, true
		}
	}
	if !any {
		return nil, nil, false, nil
	}
	s, err := n.settle(ctx, &sketch{at: a.at}, a.e)
	if err != nil {
		return nil, nil, false, ctx.Err()
	}
	judged = s.judge()
	// Exact corners are no observations that chance moves: only what they leave to spare in the rest counts.
	free := 0.0
	for _, j := range judged {
		if !j.Assumed {
			free += j.Redundancy
		}
	}
	s.spare = int(math.Round(free))
	_, ok = closes(s.spare, s.sum, judged)
	return s, judged, ok, nil
}

// corners are the points in their frame with their standard errors.
func (a *adjusted) corners(names []string, f Frame) (corners, others []Corner) {
	at := framed(a.at, 1, f)
	lead := a.at[1].Sub(a.at[0])
	turn := f.BearingDeg - math.Atan2(lead.Y, lead.X)*180/math.Pi
	n := len(a.n.Corners)
	for i, name := range names {
		xx, yy, xy := *a.q.at(2*i, 2*i), *a.q.at(2*i+1, 2*i+1), *a.q.at(2*i, 2*i+1)
		middle, half := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
		c := Corner{Name: name, At: at[i], ErrorM: math.Sqrt(max(0, middle+half)), ShorterM: math.Sqrt(max(0, middle-half)),
			BearingDeg: math.Mod(math.Atan2(2*xy, xx-yy)*90/math.Pi+turn+720, 180)}
		if i >= n {
			others = append(others, c)
			continue
		}
		m := Measurement{Kind: Angle}
		inside, _ := m.observed(a.at[(i+1)%n], a.at[(i+n-1)%n], a.at[i])
		c.InsideDeg = math.Mod(inside*180/math.Pi+360, 360)
		if area(a.at[:n]) < 0 {
			c.InsideDeg = 360 - c.InsideDeg
		}
		corners = append(corners, c)
	}
	return corners, others
}

func area(at []plane.Point) float64 { return plane.Loop(at).SignedArea() }

// suspect looks for the one measurement that spoils the survey: each of those with the worst residual is let go in turn, and what it
// would have to read is what the others then say.
func (a *adjusted) suspect(ctx context.Context, judged []Judged, spare int) (*Suspect, error) {
	list := a.suspects(judged)
	if len(list) == 0 {
		return nil, nil
	}
	s := &Suspect{}
	for k, i := range list {
		without := &Network{a.n.Corners, a.n.Turns, slices.Clone(a.n.Measurements)}
		m := &without.Measurements[i]
		m.SD *= 1e4
		if m.Assumed {
			m.SD = unsquareDeg
		}
		let, err := without.settle(ctx, &sketch{at: a.at}, a.e)
		if err != nil {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			continue
		}
		_, ok := closes(spare-1, let.sum, let.judge())
		switch {
		case ok && !s.Explains:
			// The first that heals the survey; what stood before does not.
			s.Measurements, s.Explains = []int{i}, true
		case ok == s.Explains:
			s.Measurements = append(s.Measurements, i)
		}
		if k == 0 || s.Measurements[0] == i {
			s.Instead = m.Value - let.obs[i].misfit*m.scale()
		}
	}
	if len(s.Measurements) == 0 {
		return nil, nil
	}
	if m := &a.n.Measurements[s.Measurements[0]]; m.Kind == Length {
		s.Slip = slip(m.Value, s.Instead)
	}
	return s, nil
}
