package settingout

import (
	"math"
	"sort"

	"gelwright/plane"
)

// loop is a closed ring of points with the interior on its left: outer loops run
// anticlockwise, holes clockwise.
type loop []plane.Point

// area is positive for outer loops.
func (l loop) area() float64 {
	if len(l) < 3 {
		return 0
	}
	var twice float64
	o := l[0]
	for i := range l {
		twice += l[i].Sub(o).Cross(l[(i+1)%len(l)].Sub(o))
	}
	return twice / 2
}

// region is a set of loops; which hole lies in which outer loop is left open
// until parts asks.
type region []loop

func (r region) area() float64 {
	var sum float64
	for _, l := range r {
		sum += l.area()
	}
	return sum
}

// bounds returns the least rectangle around the region.
func (r region) bounds() (low, high plane.Point) {
	low = plane.Point{X: math.Inf(1), Y: math.Inf(1)}
	high = plane.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, l := range r {
		for _, p := range l {
			low = plane.Point{X: min(low.X, p.X), Y: min(low.Y, p.Y)}
			high = plane.Point{X: max(high.X, p.X), Y: max(high.Y, p.Y)}
		}
	}
	return low, high
}

// halfPlane keeps the part of the region where n·p ≥ c, n a unit vector.
//
// Each loop is walked and the chains on the kept side are joined along the
// cutting line. A corner exactly on the line counts as kept, so that every
// crossing is an entry or an exit and the two alternate along the line.
func (r region) halfPlane(n plane.Point, c float64) region {
	type crossing struct {
		t     float64
		exit  bool
		chain int
	}
	var out region
	var chains []loop
	var marks []crossing
	// Along the line with the kept side on the left: left of d is n.
	d := plane.Point{X: n.Y, Y: -n.X}
	for _, l := range r {
		first := -1
		inside := 0
		for i, p := range l {
			if n.Dot(p) >= c {
				inside++
			}
			next := l[(i+1)%len(l)]
			if n.Dot(p) < c && n.Dot(next) >= c && first < 0 {
				first = i
			}
		}
		if inside == len(l) {
			out = append(out, l)
			continue
		}
		if first < 0 {
			continue
		}
		var chain loop
		for k := 0; k < len(l); k++ {
			p, q := l[(first+k)%len(l)], l[(first+k+1)%len(l)]
			sp, sq := n.Dot(p)-c, n.Dot(q)-c
			switch {
			case sp < 0 && sq >= 0:
				at := p.Add(q.Sub(p).Scale(sp / (sp - sq)))
				chain = loop{at}
				marks = append(marks, crossing{d.Dot(at), false, len(chains)})
				chain = append(chain, q)
			case sp >= 0 && sq >= 0:
				chain = append(chain, q)
			case sp >= 0 && sq < 0:
				at := p.Add(q.Sub(p).Scale(sp / (sp - sq)))
				chain = append(chain, at)
				marks = append(marks, crossing{d.Dot(at), true, len(chains)})
				chains = append(chains, chain)
				chain = nil
			}
		}
	}
	if len(chains) == 0 {
		return out
	}
	sort.SliceStable(marks, func(i, j int) bool { return marks[i].t < marks[j].t })
	// Where crossings coincide, take them so that exits and entries alternate.
	const tie = 1e-9
	for i := range marks {
		wantExit := i%2 == 0
		if marks[i].exit == wantExit {
			continue
		}
		for j := i + 1; j < len(marks) && marks[j].t-marks[i].t < tie; j++ {
			if marks[j].exit == wantExit {
				marks[i], marks[j] = marks[j], marks[i]
				break
			}
		}
	}
	next := make([]int, len(chains))
	for i := range next {
		next[i] = i
	}
	for i := 0; i+1 < len(marks); i += 2 {
		a, b := marks[i], marks[i+1]
		if a.exit && !b.exit {
			next[a.chain] = b.chain
		}
	}
	used := make([]bool, len(chains))
	for i := range chains {
		if used[i] {
			continue
		}
		var l loop
		for j := i; !used[j]; j = next[j] {
			used[j] = true
			l = append(l, chains[j]...)
		}
		if l = tidy(l); len(l) >= 3 {
			out = append(out, l)
		}
	}
	return out
}

// tidy drops repeated points and points in the middle of a straight side.
func tidy(l loop) loop {
	const eps = 1e-7
	out := make(loop, 0, len(l))
	for _, p := range l {
		if len(out) > 0 && out[len(out)-1].Distance(p) < eps {
			continue
		}
		out = append(out, p)
	}
	for len(out) > 1 && out[0].Distance(out[len(out)-1]) < eps {
		out = out[:len(out)-1]
	}
	for i := 0; i < len(out) && len(out) >= 3; {
		a, b, c := out[(i+len(out)-1)%len(out)], out[i], out[(i+1)%len(out)]
		if math.Abs(b.Sub(a).Cross(c.Sub(b))) < eps*a.Distance(c)*0.5 {
			out = append(out[:i], out[i+1:]...)
			if i > 0 {
				i--
			}
			continue
		}
		i++
	}
	return out
}

// band keeps low ≤ coordinate ≤ high of one axis (0 x, 1 y).
func (r region) band(axis int, low, high float64) region {
	n := plane.Point{X: 1}
	if axis == 1 {
		n = plane.Point{Y: 1}
	}
	return r.halfPlane(n, low).halfPlane(n.Scale(-1), -high)
}

// part is one connected piece of a region.
type part struct {
	outer loop
	holes []loop
}

func (p part) region() region { return append(region{p.outer}, p.holes...) }

func (p part) area() float64 { return p.region().area() }

// sliver is the area, m², below which a part is nothing anyone could cut.
const sliver = 1e-5

// parts splits a region into connected parts, from left to right.
func (r region) parts() []part {
	var out []part
	for _, l := range r {
		if l.area() > sliver {
			out = append(out, part{outer: l})
		}
	}
	for _, h := range r {
		if h.area() >= -sliver {
			continue
		}
		best := -1
		for i := range out {
			if inside(out[i].outer, middleOfFirstSide(h)) && (best < 0 || out[i].outer.area() < out[best].outer.area()) {
				best = i
			}
		}
		if best >= 0 {
			out[best].holes = append(out[best].holes, h)
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		a, _ := region{out[i].outer}.bounds()
		b, _ := region{out[j].outer}.bounds()
		if math.Abs(a.X-b.X) > 1e-9 {
			return a.X < b.X
		}
		return a.Y < b.Y-1e-9
	})
	return out
}

func middleOfFirstSide(l loop) plane.Point { return l[0].Add(l[1]).Scale(0.5) }

// inside reports whether p lies in the loop by the crossing rule.
func inside(l loop, p plane.Point) bool {
	in := false
	for i := range l {
		a, b := l[i], l[(i+1)%len(l)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// contains reports whether p lies in the region.
func (r region) contains(p plane.Point) bool {
	in := false
	for _, l := range r {
		if inside(l, p) {
			in = !in
		}
	}
	return in
}

// frame turns plan coordinates into those of the work: first along the pieces'
// length, second across them; either may be mirrored, so that the work always
// starts at the low corner.
type frame struct {
	u, v plane.Point
}

func (f frame) in(p plane.Point) plane.Point  { return plane.Point{X: f.u.Dot(p), Y: f.v.Dot(p)} }
func (f frame) out(p plane.Point) plane.Point { return f.u.Scale(p.X).Add(f.v.Scale(p.Y)) }

// mirrored reports whether the frame is left-handed.
func (f frame) mirrored() bool { return f.u.Cross(f.v) < 0 }

func (f frame) mapLoop(l loop, by func(plane.Point) plane.Point) loop {
	out := make(loop, len(l))
	for i, p := range l {
		if f.mirrored() {
			out[len(l)-1-i] = by(p)
		} else {
			out[i] = by(p)
		}
	}
	return out
}

func (f frame) regionIn(r region) region {
	out := make(region, len(r))
	for i, l := range r {
		out[i] = f.mapLoop(l, f.in)
	}
	return out
}

func (f frame) loopOut(l loop) loop { return f.mapLoop(l, f.out) }

// away is how far p lies from the region's boundary.
func (r region) away(p plane.Point) float64 {
	near := math.Inf(1)
	for _, l := range r {
		for i, a := range l {
			near = min(near, (plane.Edge{A: a, B: l[(i+1)%len(l)]}).Nearest(p).Distance(p))
		}
	}
	return near
}
