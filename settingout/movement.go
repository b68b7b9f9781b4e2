package settingout

import (
	"fmt"
	"math"
	"sort"

	"gelwright/plane"
	"gelwright/roof"
)

// Sizes of movement joints: common practice, no standard gives them; the resin
// supplier's own joint comes first.
const (
	// JointGapMM parts the boards along a joint.
	JointGapMM = 10
	// A raised joint has a batten JointBattenMM wide and JointHighMM high on either side
	// of the gap, laminated over, and a cap that reaches JointCapOverMM past both.
	JointBattenMM  = 38
	JointHighMM    = 50
	JointCapOverMM = 12
	// JointStripMM is the width of the flexible strip over a flush joint.
	JointStripMM = 200
)

// jointRole is the role of whatever belongs to a movement joint.
const jointRole = "movement joint"

// MovementJoint reports whether the piece belongs to a movement joint.
func (p Piece) MovementJoint() bool { return p.Role == jointRole }

// jointReachM is how far short of an edge, or past it, a joint's end may be given.
const jointReachM = 0.1

// MovementJoint is a break between two fields, from edge to edge. Where no water runs
// against it it is raised: battens laminated over, under a sliding cap. Where it lies
// across the water a raised one would be a dam: there it is flush, the laminate ending
// on both sides of the gap under a flexible strip.
type MovementJoint struct {
	// Name is "joint 2", by its place in the roof file.
	Name string `json:"name"`
	// From and To are its ends; Ends says what it runs into: "edge 3", "RL1", "joint 1".
	From plane.Point `json:"from"`
	To   plane.Point `json:"to"`
	Ends [2]string   `json:"ends"`
	// Raised, or flush.
	Raised bool `json:"raised"`
	// FieldMM is how far from its line the mat of the fields ends, on both sides.
	FieldMM float64 `json:"field_mm"`
	// Built are the stretches of batten and cap, or of strip: the line less where joints
	// meet it. Each is broken there, or one would tie the fields of another together.
	Built [][2]plane.Point `json:"built"`
	// edge is the outline edge each end runs into, -1 where it is none; out says that no
	// deck lies beyond that end.
	edge [2]int
	out  [2]bool
	// slant is the cotangent of the angle at which an end meets its edge.
	slant [2]float64
}

// LengthM of the joint from end to end.
func (j MovementJoint) LengthM() float64 { return j.From.Distance(j.To) }

// BuiltM is the length of batten and cap.
func (j MovementJoint) BuiltM() float64 {
	sum := 0.0
	for _, b := range j.Built {
		sum += b[0].Distance(b[1])
	}
	return sum
}

// Strip is the ground that the fields leave free along the joint, anticlockwise.
func (j MovementJoint) Strip() []plane.Point { return j.slot(j.FieldMM / 1000) }

// slot is a band along the joint, a little longer than it, half wide on either side.
func (j MovementJoint) slot(halfM float64) plane.Loop {
	const past = 0.010
	u := j.To.Sub(j.From).Unit()
	n := u.Left().Scale(halfM)
	a, b := j.From, j.To
	// At a slanting edge one side of the band is longer.
	if j.out[0] {
		a = a.Sub(u.Scale(past + halfM*j.slant[0]))
	}
	if j.out[1] {
		b = b.Add(u.Scale(past + halfM*j.slant[1]))
	}
	return plane.Loop{a.Sub(n), b.Sub(n), b.Add(n), a.Add(n)}
}

// slots are the bands of all joints, each half as wide as halfM says.
func slots(joints []MovementJoint, halfM func(MovementJoint) float64) []plane.Loop {
	var out []plane.Loop
	for _, j := range joints {
		out = append(out, j.slot(halfM(j)))
	}
	return out
}

func boardSlot(MovementJoint) float64   { return JointGapMM / 2000.0 }
func fieldSlot(j MovementJoint) float64 { return j.FieldMM / 1000 }

// chordsAlong returns the intervals of the line through p along the unit vector dir
// that lie in the region, with a little ground on both sides of the line.
func chordsAlong(r plane.Region, p, dir plane.Point) [][2]float64 {
	const aside = 0.003
	var sides [3][][2]float64
	for k, off := range []float64{aside, -aside, 0} {
		for _, iv := range r.Along(dir, dir.Left().Dot(p)+off) {
			sides[k] = append(sides[k], [2]float64{iv[0] - dir.Dot(p), iv[1] - dir.Dot(p)})
		}
	}
	var out [][2]float64
	for _, a := range sides[0] {
		for _, b := range sides[1] {
			lo, hi := max(a[0], b[0]), min(a[1], b[1])
			if hi-lo <= 0.05 {
				continue
			}
			// At a slanting edge the line itself ends between the two.
			for _, c := range sides[2] {
				if math.Abs(c[0]-lo) < 4*aside {
					lo = c[0]
				}
				if math.Abs(c[1]-hi) < 4*aside {
					hi = c[1]
				}
			}
			out = append(out, [2]float64{lo, hi})
		}
	}
	return out
}

// movementJoints works out how the joints of the roof file are built.
func movementJoints(d roof.Deck) ([]MovementJoint, []Finding, error) {
	if len(d.MovementJoints) == 0 {
		return nil, nil, nil
	}
	net, err := netDeck(d, func(int) float64 { return 0 }, func(roof.Opening) float64 { return 0 }, nil)
	if err != nil {
		return nil, nil, err
	}
	w := jointWork{d: d, net: net}
	for i := range d.MovementJoints {
		w.trace(i)
	}
	for i := range w.joints {
		w.build(i)
	}
	w.raise()
	return w.joints, w.findings, nil
}

// MovementJointsOf is how the movement joints of a deck's survey are built. It fails where
// the outline crosses itself.
func MovementJointsOf(d roof.Deck) ([]MovementJoint, error) {
	joints, _, err := movementJoints(d)
	return joints, err
}

type jointWork struct {
	d        roof.Deck
	net      plane.Region
	joints   []MovementJoint
	findings []Finding
}

func (w *jointWork) find(code, where, format string, args ...any) {
	w.findings = append(w.findings, Finding{code, w.d.Name + ", " + where, fmt.Sprintf(format, args...)})
}

// trace finds the stretches of line i that lie on the deck and what they run into.
func (w *jointWork) trace(i int) {
	l := w.d.MovementJoints[i]
	length := l[0].Distance(l[1])
	if length < 0.05 {
		return
	}
	u := l[1].Sub(l[0]).Unit()
	name := fmt.Sprintf("joint %d", i+1)
	for _, chord := range chordsAlong(w.net, l[0], u) {
		lo, hi := max(chord[0], 0), min(chord[1], length)
		if hi-lo < 0.05 {
			continue
		}
		at := func(t float64) plane.Point { return l[0].Add(u.Scale(t)) }
		if other, along := w.along(at(lo), at(hi)); along {
			w.find("joint.double", name, "it lies along %s and is left out", other)
			continue
		}
		j := MovementJoint{Name: name, edge: [2]int{-1, -1}}
		from, to := w.stop(i, l[0], u, lo, chord[0], -1), w.stop(i, l[0], u, hi, chord[1], 1)
		if lo-from > jointReachM || to-hi > jointReachM {
			w.find("joint.stops", name, "it stops in the middle of a field, where the laminate would tear on: it is carried on to the next "+
				"edge or joint")
		}
		j.From, j.To = at(from), at(to)
		for k, t := range []float64{from, to} {
			j.edge[k], j.Ends[k] = w.meets(i, at(t), u, math.Abs(t-chord[k]) < 1e-6)
			past := at(t + float64(2*k-1)*(0.004+0.006*j.slant[k]))
			aside := u.Left().Scale(0.004)
			if j.edge[k] >= 0 {
				j.slant[k] = cotangent(w.d.Outline.Edge(j.edge[k]), at(t), u)
			}
			j.out[k] = !w.net.Contains(past.Add(aside)) && !w.net.Contains(past.Sub(aside))
		}
		w.joints = append(w.joints, j)
	}
}

// cotangent of the angle between an edge at p and a way, 0 where it is square, 3 at most.
func cotangent(e plane.Edge, p, way plane.Point) float64 {
	t, _ := along(e, p)
	tangent := e.Tangent(t)
	return math.Min(math.Abs(tangent.Dot(way))/math.Max(math.Abs(tangent.Cross(way)), 1e-9), 3)
}

// along names a joint before that runs where this one would.
func (w *jointWork) along(a, b plane.Point) (string, bool) {
	for _, j := range w.joints {
		u := j.To.Sub(j.From).Unit()
		n := u.Left()
		if math.Abs(n.Dot(a.Sub(j.From))) > 0.03 || math.Abs(n.Dot(b.Sub(j.From))) > 0.03 {
			continue
		}
		lo, hi := order2(u.Dot(a.Sub(j.From)), u.Dot(b.Sub(j.From)))
		if min(hi, j.LengthM())-max(lo, 0) > 0.05 {
			return j.Name, true
		}
	}
	return "", false
}

func order2(a, b float64) (float64, float64) { return min(a, b), max(a, b) }

// stop is where the end at t of line i, which may go on to far, comes to an end: at
// the boundary where it is near it, else at the next joint or the boundary.
func (w *jointWork) stop(i int, p, u plane.Point, t, far, sign float64) float64 {
	if math.Abs(far-t) <= jointReachM {
		return far
	}
	best := far
	for k, o := range w.d.MovementJoints {
		if k == i || o[0].Distance(o[1]) < 0.05 {
			continue
		}
		x, along, ok := crossAt(p, u, o)
		if !ok || along < -jointReachM || along > o[0].Distance(o[1])+jointReachM {
			continue
		}
		if sign*(x-t) >= -jointReachM && sign*(x-best) < 0 {
			best = x
		}
	}
	return best
}

// crossAt is where the line through p along u meets line o: along itself, and along o.
func crossAt(p, u plane.Point, o [2]plane.Point) (t, along float64, ok bool) {
	v := o[1].Sub(o[0]).Unit()
	cross := u.Cross(v)
	if math.Abs(cross) < 0.02 {
		return 0, 0, false
	}
	d := o[0].Sub(p)
	return d.Cross(v) / cross, d.Cross(u) / cross, true
}

// meets names what an end at p runs into.
func (w *jointWork) meets(i int, p, way plane.Point, boundary bool) (edge int, name string) {
	if !boundary {
		for k, o := range w.d.MovementJoints {
			if k == i || o[0].Distance(o[1]) < 0.05 {
				continue
			}
			if u := o[1].Sub(o[0]).Unit(); math.Abs(u.Left().Dot(p.Sub(o[0]))) < 1e-6 {
				return -1, fmt.Sprintf("joint %d", k+1)
			}
		}
	}
	best, edge := math.Inf(1), -1
	for k := range w.d.Outline {
		// At a corner it is the edge it comes to and not the one it goes on along.
		e := w.d.Outline.Edge(k)
		t, off := along(e, p)
		if off += 0.003 * math.Abs(e.Tangent(t).Dot(way)); off < best {
			best, edge = off, k
		}
	}
	name = fmt.Sprintf("edge %d", edge+1)
	for _, o := range w.d.Openings {
		for k := range o.Outline {
			if _, off := along(o.Outline.Edge(k), p); off < best-0.005 {
				best, edge, name = off, -1, o.Name
			}
		}
	}
	return edge, name
}

// build breaks joint i where it ends at another, and where others cross it or end at it.
func (w *jointWork) build(i int) {
	j := &w.joints[i]
	u := j.To.Sub(j.From).Unit()
	half := func(cross float64) float64 { return (JointGapMM/2 + JointBattenMM) / 1000.0 / math.Max(cross, 0.2) }
	from, to := 0.0, j.LengthM()
	var gaps [][2]float64
	for k, o := range w.joints {
		if k == i {
			continue
		}
		line := [2]plane.Point{o.From, o.To}
		t, along, ok := crossAt(j.From, u, line)
		if !ok || along < -1e-6 || along > o.LengthM()+1e-6 {
			continue
		}
		h := half(math.Abs(u.Cross(o.To.Sub(o.From).Unit())))
		switch {
		case math.Abs(t) < 1e-6:
			from = max(from, h)
		case math.Abs(t-j.LengthM()) < 1e-6:
			to = min(to, j.LengthM()-h)
		case t > 0 && t < j.LengthM():
			gaps = append(gaps, [2]float64{t - h, t + h})
		}
	}
	sort.Slice(gaps, func(a, b int) bool { return gaps[a][0] < gaps[b][0] })
	at := func(t float64) plane.Point { return j.From.Add(u.Scale(t)) }
	for _, g := range gaps {
		if g[0]-from > 0.01 {
			j.Built = append(j.Built, [2]plane.Point{at(from), at(g[0])})
		}
		from = max(from, g[1])
	}
	if to-from > 0.01 {
		j.Built = append(j.Built, [2]plane.Point{at(from), at(to)})
	}
}

// against is the sine above which water that comes at a joint runs into it and not along it.
const against = 0.1

// raise settles which joints are raised: those that no water runs against.
func (w *jointWork) raise() {
	for i := range w.joints {
		j := &w.joints[i]
		j.Raised, j.FieldMM = true, JointGapMM/2+JointBattenMM
		if runsAgainst(w.d.Falls, j.From, j.To) > 0.02*j.LengthM() {
			j.Raised, j.FieldMM = false, JointGapMM/2
			w.find("joint.flush", j.Name, "it lies across the water, which a raised joint would dam: it is set out flush, with a flexible "+
				"strip; ask the supplier for the strip that goes with the resin, or move the joint to a ridge or along the fall")
		}
	}
}

// DownAt is the direction in which water runs at p, a unit vector; zero where the falls
// name none.
func DownAt(f plane.Falls, p plane.Point) plane.Point {
	switch {
	case f.Kind == plane.Level || len(f.Planes) == 0:
		return plane.Point{}
	case f.Kind == plane.ToPoint:
		return f.Point.Sub(p).Unit()
	case len(f.Planes) > 1 && f.Line[1].Sub(f.Line[0]).Cross(p.Sub(f.Line[0])) < 0:
		return f.Planes[1].Down.Unit()
	}
	return f.Planes[0].Down.Unit()
}

// runsAgainst is the length of a line that water of one side or the other runs against, m.
func runsAgainst(f plane.Falls, from, to plane.Point) float64 {
	u := to.Sub(from).Unit()
	length := from.Distance(to)
	n := max(8, int(length/0.1))
	sum := 0.0
	for k := range n {
		p := from.Add(to.Sub(from).Scale((float64(k) + 0.5) / float64(n)))
		for _, side := range []plane.Point{u.Left(), u.Left().Scale(-1)} {
			if DownAt(f, p.Add(side.Scale(0.05))).Dot(side) < -against {
				sum += length / float64(n)
				break
			}
		}
	}
	return sum
}
