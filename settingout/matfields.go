package settingout

import (
	"math"

	"gelwright/plane"
	"gelwright/roof"
)

// face is a part of the deck that drains one way: of a field between movement joints,
// what lies on one side of ridge, hip or valley.
type face struct {
	region plane.Region
	down   plane.Point // unit; zero where water runs every way
	// along is the way the one strip of a valley runs, up it; zero on all other faces.
	along plane.Point
}

// field is the ground between movement joints: its faces, and whether one leaves the
// roof from it. From the others one steps over a joint on to ground not yet laid.
type field struct {
	faces []face
	exit  bool
}

// fieldsOf parts the ground to be laid into fields, and each at ridge, hip or valley. Mat of
// one field laps over such a line; between fields nothing laps.
func fieldsOf(d roof.Deck, net plane.Region, overlapM, rollM float64, layer int) []field {
	if len(d.MovementJoints) == 0 {
		return []field{{facesOfField(d, net, overlapM, rollM, layer), true}}
	}
	var out []field
	near, last := math.Inf(1), 0
	for i, p := range net.Parts() {
		out = append(out, field{faces: facesOfField(d, p.Region(), overlapM, rollM, layer)})
		if off := p.Region().Distance(d.Exit); off < near-1e-9 {
			near, last = off, i
		}
	}
	if len(out) > 0 {
		out[last].exit = true
	}
	return out
}

// whole is all fields as one.
func whole(fields []field) field {
	out := field{exit: true}
	for _, f := range fields {
		out.faces = append(out.faces, f.faces...)
	}
	return out
}

func facesOfField(d roof.Deck, net plane.Region, overlapM, rollM float64, layer int) []face {
	whole := face{region: net}
	if len(d.Falls.Planes) > 0 {
		whole.down = d.Falls.Planes[0].Down.Unit()
	}
	switch d.Falls.Kind {
	case plane.Ridge, plane.Hip, plane.Valley:
		line := d.Falls.Line
		if len(d.Falls.Planes) < 2 || line[0] == line[1] {
			break
		}
		n := line[1].Sub(line[0]).Unit().Left()
		c := n.Dot(line[0])
		if !runsThrough(net, line) {
			// All of the field lies on one side, right of the line perhaps.
			if low, high := (plane.Frame{U: n.Left(), V: n}).RegionIn(net).Bounds(); (low.Y+high.Y)/2 < c {
				whole.down = d.Falls.Planes[1].Down.Unit()
			}
			break
		}
		left := face{region: net.HalfPlane(n, c), down: d.Falls.Planes[0].Down.Unit()}
		right := face{region: net.HalfPlane(n.Scale(-1), -c), down: d.Falls.Planes[1].Down.Unit()}
		if d.Falls.Kind == plane.Valley {
			return valleyFaces(net, left, right, line, overlapM, rollM, layer)
		}
		// Over a ridge either may lap the other: the second face laid runs over the line.
		right.region = net.HalfPlane(n.Scale(-1), -c-overlapM)
		return []face{left, right}
	case plane.ToPoint, plane.Level:
		whole.down = plane.Point{}
	}
	return []face{whole}
}

// valleyFaces lays a strip up the valley first, a roll wide, and both sides over it: did
// one side run over the line, its edge would face the water of the other. Every other
// layer's strip lies a quarter of its width to one side.
func valleyFaces(net plane.Region, left, right face, line [2]plane.Point, overlapM, rollM float64, layer int) []face {
	n := line[1].Sub(line[0]).Unit().Left()
	from := n.Dot(line[0]) - rollM/2
	if layer%2 == 0 {
		from += rollM / 4
	}
	to := from + rollM
	up := line[1].Sub(line[0]).Unit()
	if left.down.Dot(up) > 0 {
		up = up.Scale(-1)
	}
	middle := face{region: net.HalfPlane(n, from).HalfPlane(n.Scale(-1), -to), along: up}
	left.region = net.HalfPlane(n, to-overlapM)
	right.region = net.HalfPlane(n.Scale(-1), -from-overlapM)
	out := []face{middle}
	for _, f := range []face{left, right} {
		if f.region.Area() > plane.Sliver {
			out = append(out, f)
		}
	}
	return out
}

// lowExit reports whether strips laid in this direction from the low edge up
// would end away from the exit: it lies below the highest strip of the face one leaves by.
func (g field) lowExit(d roof.Deck, dir string, widthM float64) bool {
	if dir != "across fall" || !g.exit {
		return false
	}
	near := math.Inf(1)
	var last face
	for _, f := range g.faces {
		if off := f.region.Distance(d.Exit); off < near-1e-9 {
			near, last = off, f
		}
	}
	if last.down.Length() < 0.5 {
		return false
	}
	top := math.Inf(1)
	for _, l := range last.region {
		for _, p := range l {
			top = min(top, last.down.Dot(p))
		}
	}
	return last.down.Dot(d.Exit)-top > widthM
}

// beyondExit counts the pieces that go down after the strip one leaves by, where mat is laid
// outward from a point: those farther out, and those on the point's other side. v runs
// across the strips.
func beyondExit(d roof.Deck, v plane.Point, pieces []Piece) int {
	exit, point := v.Dot(d.Exit), v.Dot(d.Falls.Point)
	if exit < point {
		exit, point, v = -exit, -point, v.Scale(-1)
	}
	n := 0
	for _, p := range pieces {
		low, high := math.Inf(1), math.Inf(-1)
		for _, q := range p.Shape {
			low, high = min(low, v.Dot(q)), max(high, v.Dot(q))
		}
		if low > exit || high < point {
			n++
		}
	}
	return n
}

// lapClearM is how far a lap keeps off an outlet where it can (common practice, no source).
const lapClearM = 0.300

// lapsAtOutlets counts the outlets within reach of a lap of the pieces.
func lapsAtOutlets(d roof.Deck, ground field, pieces []Piece) int {
	n := 0
	for _, x := range d.Penetrations {
		if x.Kind == "outlet" && lapNear(x.At, ground, pieces) {
			n++
		}
	}
	return n
}

// lapNear reports whether a piece's side within the ground comes near p.
func lapNear(p plane.Point, ground field, pieces []Piece) bool {
	for _, m := range pieces {
		for i, a := range m.Shape {
			e := plane.Edge{A: a, B: m.Shape[(i+1)%len(m.Shape)]}
			if e.Nearest(p).Distance(p) > lapClearM {
				continue
			}
			for _, f := range ground.faces {
				if mid := e.At(0.5); f.region.Contains(mid) && f.region.Distance(mid) > 0.01 {
					return true
				}
			}
		}
	}
	return false
}
