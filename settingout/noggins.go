package settingout

import (
	"fmt"
	"math"
	"sort"

	"gelwright/plane"
	"gelwright/roof"
)

// noggins lists the short timbers between joists under square long edges and
// round openings.
func noggins(b boarding, d roof.Deck, r boardRules, out *SetOut) {
	if b.g.free {
		return
	}
	type edgeRun struct {
		y, lo, hi float64
		serves    string
	}
	var lines []edgeRun
	for _, j := range out.Joints {
		if j.Long && j.Support == "noggin" {
			p, q := b.f.in(j.From), b.f.in(j.To)
			lines = append(lines, edgeRun{p.Y, min(p.X, q.X), max(p.X, q.X), j.A + "/" + j.B})
		}
	}
	sort.SliceStable(lines, func(i, j int) bool {
		if math.Abs(lines[i].y-lines[j].y) > 1e-6 {
			return lines[i].y < lines[j].y
		}
		return lines[i].lo < lines[j].lo
	})
	done := map[[2]int]bool{}
	var list [][2]plane.Point
	var serves []string
	for _, l := range lines {
		for k := math.Floor((l.lo - b.g.first) / b.g.spacing); ; k++ {
			x0 := b.g.first + k*b.g.spacing + b.g.width/2
			x1 := x0 + b.g.spacing - b.g.width
			if x0 >= l.hi {
				break
			}
			key := [2]int{int(math.Round(l.y * 1000)), int(k)}
			if x1 <= l.lo || done[key] || min(x1, l.hi)-max(x0, l.lo) < 0.02 {
				continue
			}
			done[key] = true
			list = append(list, [2]plane.Point{b.f.out(plane.Point{X: x0, Y: l.y}), b.f.out(plane.Point{X: x1, Y: l.y})})
			serves = append(serves, l.serves)
		}
	}
	for i, l := range list {
		addNoggin(out, i, l, b.g.width, "board edge", serves[i])
	}
	n := len(list)
	add := func(from, to plane.Point, role, serves string) {
		addNoggin(out, n, [2]plane.Point{from, to}, b.g.width, role, serves)
		n++
	}
	for _, o := range d.Openings {
		for _, s := range sidesOf(o.Outline, chordToleranceM) {
			if s.a.Distance(s.b) < 0.05 {
				continue
			}
			add(s.a, s.b, "opening edge", o.Name)
		}
	}
	underFolds(b, out, add)
	underEdges(b, d, out, add)
}

// offJoistM is how near a joist must be to carry a board's edge that runs beside it, m.
const offJoistM = 0.050

// underFolds sets timbers between the joists along a ridge, hip, valley or movement
// joint, and one along it where it runs beside the joists and none is near.
func underFolds(b boarding, out *SetOut, add func(from, to plane.Point, role, serves string)) {
	type key struct{ x, y int }
	done := map[key]bool{}
	for _, j := range out.Joints {
		if j.Support != "fold" && j.Support != jointRole {
			continue
		}
		p, q := b.f.in(j.From), b.f.in(j.To)
		if p.X > q.X {
			p, q = q, p
		}
		serves := j.A + "/" + j.B
		if q.X-p.X < 0.02 {
			// Beside the joists.
			if off := b.g.nearest(p.X); off > b.g.width/2+offJoistM {
				add(b.f.out(p), b.f.out(q), j.Support, serves)
			}
			continue
		}
		slope := (q.Y - p.Y) / (q.X - p.X)
		at := func(x float64) plane.Point { return plane.Point{X: x, Y: p.Y + slope*(x-p.X)} }
		for k := math.Floor((p.X - b.g.first) / b.g.spacing); ; k++ {
			x0 := b.g.first + k*b.g.spacing + b.g.width/2
			x1 := x0 + b.g.spacing - b.g.width
			if x0 >= q.X {
				break
			}
			from, to := at(x0), at(x1)
			id := key{int(math.Round(x0 * 1000)), int(math.Round(from.Y * 200))}
			if min(x1, q.X)-max(x0, p.X) < 0.02 || done[id] {
				continue
			}
			done[id] = true
			add(b.f.out(from), b.f.out(to), j.Support, serves)
		}
	}
}

// nearest is how far x lies from the nearest joist's centre.
func (g grid) nearest(x float64) float64 { return math.Abs(math.Remainder(x-g.first, g.spacing)) }

// edgeStubM is how far apart the stubs stand that carry an edge timber, m.
const edgeStubM = 0.600

// underEdges looks at the deck's edges that run beside the joists with none within
// 50 mm. By default a fascia, wall plate or last joist carries them, which is
// remarked on; where the survey says that nothing does, a timber along the edge and
// stubs from the last joist are set.
func underEdges(b boarding, d roof.Deck, out *SetOut, add func(from, to plane.Point, role, serves string)) {
	for i := range d.Outline {
		e := d.Outline.Edge(i)
		p, q := b.f.in(e.A), b.f.in(e.B)
		if !e.Straight() || math.Abs(q.X-p.X) > 0.01*math.Abs(q.Y-p.Y) || e.Chord() < 0.1 {
			continue
		}
		// Into the deck, and the first joist there.
		side := 1.0
		if b.f.in(e.A.Add(e.Tangent(0).Left())).X < p.X {
			side = -1
		}
		k := math.Ceil(side*(p.X-b.g.first)/b.g.spacing - 1e-6)
		joist := b.g.first + side*k*b.g.spacing
		clear := math.Abs(joist-p.X) - b.g.width/2
		if clear <= offJoistM || b.g.nearest(p.X) <= b.g.width/2+offJoistM {
			continue
		}
		if d.Base.EdgeBearing != "none" {
			out.find("edge.bearing", edgeName(d, i), "the nearest joist is %.0f mm off: the boards' edge lies on a fascia, wall plate or last joist; look whether it does", clear*1000)
			continue
		}
		serves := fmt.Sprintf("edge %d", i+1)
		low, high := min(p.Y, q.Y), max(p.Y, q.Y)
		x := p.X + side*b.g.width/2
		add(b.f.out(plane.Point{X: x, Y: low}), b.f.out(plane.Point{X: x, Y: high}), "deck edge", serves)
		face, near := joist-side*b.g.width/2, p.X+side*b.g.width
		if math.Abs(face-near) < 0.05 || side*(face-near) < 0 {
			continue
		}
		n := int(math.Ceil((high-low)/edgeStubM)) + 1
		for s := 0; s < n; s++ {
			y := low + b.g.width/2 + (high-low-b.g.width)*float64(s)/float64(n-1)
			add(b.f.out(plane.Point{X: near, Y: y}), b.f.out(plane.Point{X: face, Y: y}), "deck edge stub", serves)
		}
	}
}

// nogginStock sums the timber for noggins; it is cut from whatever lengths come.
func nogginStock(out *SetOut) {
	sum := 0.0
	for _, p := range out.Pieces {
		if p.Kind == Noggin {
			sum += float64(p.LengthMM) / 1000
		}
	}
	if sum > 0 {
		out.Materials = append(out.Materials, Material{Name: "noggin timber", Kind: Noggin, Unit: "m", Bought: round3(sum), Used: round3(sum), Bound: round3(sum), Optimal: true, Method: "sum of lengths"})
	}
}

func addNoggin(out *SetOut, index int, l [2]plane.Point, width float64, role, serves string) {
	dir := l[1].Sub(l[0]).Unit()
	half := dir.Left().Scale(width / 2)
	out.Pieces = append(out.Pieces, Piece{
		Number: number(Noggin, index), Kind: Noggin, Role: role, Serves: serves, Edge: -1, Order: index + 1, Material: "noggin timber",
		Shape:    []plane.Point{l[0].Sub(half), l[1].Sub(half), l[1].Add(half), l[0].Add(half)},
		LengthMM: upMM(l[0].Distance(l[1])), WidthMM: upMM(width), Corner: l[0].Sub(half), Along: dir, AreaM2: l[0].Distance(l[1]) * width,
	})
}

// sameSize is what pieces on one line of a list share.
type sameSize struct {
	role          string
	length, width int
}

// Alike is a line of a list in which pieces of one size share a line.
type Alike struct {
	Kind     Kind   `json:"kind"`
	Role     string `json:"role"`
	LengthMM int    `json:"length_mm"`
	WidthMM  int    `json:"width_mm"`
	Count    int    `json:"count"`
	// Numbers of the pieces, in order.
	Numbers []string `json:"numbers"`
}

// Alike lists the pieces of a kind with those of one size and role on one line,
// longest first.
func (s SetOut) Alike(kind Kind) []Alike {
	var out []Alike
	at := map[sameSize]int{}
	for _, p := range s.Of(kind) {
		k := sameSize{p.Role, p.LengthMM, p.WidthMM}
		i, known := at[k]
		if !known {
			i = len(out)
			at[k] = i
			out = append(out, Alike{Kind: kind, Role: p.Role, LengthMM: p.LengthMM, WidthMM: p.WidthMM})
		}
		out[i].Count++
		out[i].Numbers = append(out[i].Numbers, p.Number)
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].LengthMM > out[j].LengthMM })
	return out
}
