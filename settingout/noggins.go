package settingout

import (
	"fmt"
	"math"
	"sort"

	"gelwright/firring"
	"gelwright/plane"
	"gelwright/roof"
)

// noggins lists the short timbers between joists under square long edges and
// round openings, all within the ground that is boarded.
func noggins(b boarding, d roof.Deck, ground plane.Region, out *SetOut) {
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
			p, q := b.f.In(j.From), b.f.In(j.To)
			lines = append(lines, edgeRun{p.Y, min(p.X, q.X), max(p.X, q.X), j.A + "/" + j.B})
		}
	}
	sort.SliceStable(lines, func(i, j int) bool {
		if math.Abs(lines[i].y-lines[j].y) > 1e-6 {
			return lines[i].y < lines[j].y
		}
		return lines[i].lo < lines[j].lo
	})
	n := &nogginer{f: b.f, g: b.g, ground: b.f.RegionIn(ground), out: out}
	trimmers := n.trimmers(b, d)
	for _, t := range trimmers {
		n.blocks = append(n.blocks, plane.Polygon{Outer: t.Shape})
	}
	done := map[[2]int]bool{}
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
			n.add(plane.Point{X: x0, Y: l.y}, plane.Point{X: x1, Y: l.y}, "board edge", l.serves)
		}
	}
	for _, t := range trimmers {
		n.put(t)
	}
	underFolds(b, out, n.add)
	underEdges(b, d, out, n.add)
}

// nogginer cuts noggins to the ground they lie under.
type nogginer struct {
	f plane.Frame
	g grid
	// ground is the deck less its gaps and openings, blocks are timbers set before; both
	// in local coordinates.
	ground plane.Region
	blocks []plane.Polygon
	out    *SetOut
	count  int
}

// leastNogginM is the shortest noggin that is cut, m.
const leastNogginM = 0.020

// cut returns what of a timber between two local points lies under the deck, with its
// ends as the deck's edge cuts them. Shapes are local.
func (n *nogginer) cut(from, to plane.Point, role, serves string) []Piece {
	// A timber that lies against an edge is not split by a rounding.
	const hair = 1e-5
	length, half := from.Distance(to), n.g.width/2
	u := to.Sub(from).Unit()
	v := u.Left()
	free := [][2]float64{{0, length}}
	for _, b := range n.blocks {
		for _, off := range []float64{0, half - hair, hair - half} {
			a := from.Add(v.Scale(off))
			for _, c := range b.ClipLine(a.Sub(u), a.Add(u.Scale(length+1))) {
				free = firring.Without(free, [][2]float64{{c[0].Sub(a).Dot(u), c[1].Sub(a).Dot(u)}})
			}
		}
	}
	strip := n.ground.HalfPlane(v, v.Dot(from)-half+hair).HalfPlane(v.Scale(-1), -v.Dot(from)-half+hair)
	var out []Piece
	for _, f := range free {
		for _, part := range strip.HalfPlane(u, u.Dot(from)+f[0]).HalfPlane(u.Scale(-1), -u.Dot(from)-f[1]).Parts() {
			lo, hi := math.Inf(1), math.Inf(-1)
			for i, p := range part.Outer {
				lo, hi = min(lo, u.Dot(p.Sub(from))), max(hi, u.Dot(p.Sub(from)))
				// The hair given back.
				if side := v.Dot(p.Sub(from)); math.Abs(math.Abs(side)-half) < 2*hair {
					part.Outer[i] = p.Add(v.Scale(math.Copysign(half, side) - side))
				}
			}
			if hi-lo < leastNogginM {
				continue
			}
			corner := from.Add(u.Scale(lo)).Sub(v.Scale(half))
			p := Piece{Kind: Noggin, Role: role, Serves: serves, Edge: -1, Material: "noggin timber", Shape: beginAt(part.Outer, corner),
				AreaM2:   part.Area(),
				LengthMM: upMM(hi - lo), WidthMM: upMM(n.g.width), Corner: corner, Along: u}
			n.skew(&p, u, u.Dot(from)+(lo+hi)/2)
			out = append(out, p)
		}
	}
	return out
}

// beginAt turns a loop so that it begins at its corner nearest to p.
func beginAt(l plane.Loop, p plane.Point) plane.Loop {
	best := 0
	for i := range l {
		if l[i].Distance(p) < l[best].Distance(p)-1e-9 {
			best = i
		}
	}
	return append(append(plane.Loop(nil), l[best:]...), l[:best]...)
}

// skew says at which angle the ends of a timber are cut where they follow a slanting edge.
func (n *nogginer) skew(p *Piece, u plane.Point, middle float64) {
	v := u.Left()
	most := [2]float64{}
	for i, a := range p.Shape {
		b := p.Shape[(i+1)%len(p.Shape)]
		d := b.Sub(a).Unit()
		along, across := d.Dot(u), d.Dot(v)
		deg := math.Atan2(along*across, across*across) * 180 / math.Pi
		if math.Abs(deg) <= 1 || math.Abs(deg) > 89 || a.Distance(b) < 0.005 {
			continue
		}
		end := 0
		if u.Dot(a.Add(b).Scale(0.5)) > middle {
			end = 1
		}
		if l := a.Distance(b); l > most[end] {
			most[end], p.CutEnds[end] = l, math.Round(10*deg)/10
		}
	}
	if p.CutEnds != [2]float64{} {
		p.Cuts++
		p.Note = fmt.Sprintf("skew cut, %.0f° off square", max(math.Abs(p.CutEnds[0]), math.Abs(p.CutEnds[1])))
	}
}

// add cuts a timber and sets it.
func (n *nogginer) add(from, to plane.Point, role, serves string) {
	for _, p := range n.cut(from, to, role, serves) {
		n.put(p)
	}
}

// put numbers a timber and turns it from local to plan.
func (n *nogginer) put(p Piece) {
	p.Number, p.Order = number(Noggin, n.count), n.count+1
	n.count++
	along := n.f.Out(p.Along)
	if n.f.Mirrored() {
		// Width lies to the left of Along: begin at the other long side.
		p.Corner = p.Corner.Add(p.Along.Left().Scale(n.g.width))
		p.CutEnds = [2]float64{-p.CutEnds[0], -p.CutEnds[1]}
	}
	p.Corner, p.Along = n.f.Out(p.Corner), along
	p.Shape = beginAt(n.f.LoopOut(p.Shape), p.Corner)
	n.out.Pieces = append(n.out.Pieces, p)
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
		p, q := b.f.In(j.From), b.f.In(j.To)
		if p.X > q.X {
			p, q = q, p
		}
		serves := j.A + "/" + j.B
		if q.X-p.X < 0.02 {
			// Beside the joists.
			if off := b.g.nearest(p.X); off > b.g.width/2+offJoistM {
				add(p, q, j.Support, serves)
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
			add(from, to, j.Support, serves)
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
		p, q := b.f.In(e.A), b.f.In(e.B)
		if !e.Straight() || math.Abs(q.X-p.X) > 0.01*math.Abs(q.Y-p.Y) || e.Chord() < 0.1 {
			continue
		}
		// Into the deck, and the first joist there.
		side := 1.0
		if b.f.In(e.A.Add(e.Tangent(0).Left())).X < p.X {
			side = -1
		}
		k := math.Ceil(side*(p.X-b.g.first)/b.g.spacing - 1e-6)
		joist := b.g.first + side*k*b.g.spacing
		clear := math.Abs(joist-p.X) - b.g.width/2
		if clear <= offJoistM || b.g.nearest(p.X) <= b.g.width/2+offJoistM {
			continue
		}
		if d.Base.EdgeBearing != "none" {
			out.find("edge.bearing", edgeName(d, i),
				"the nearest joist is %.0f mm off: the boards' edge lies on a fascia, wall plate or last joist; look whether it does", clear*1000)
			continue
		}
		serves := fmt.Sprintf("edge %d", i+1)
		low, high := min(p.Y, q.Y), max(p.Y, q.Y)
		gap := 0.0
		if conditionOf(d, i).HasUpstand() {
			gap = b.spec.WallGapMM / 1000
		}
		x := p.X + side*(gap+b.g.width/2)
		add(plane.Point{X: x, Y: low}, plane.Point{X: x, Y: high}, "deck edge", serves)
		face, near := joist-side*b.g.width/2, p.X+side*(gap+b.g.width)
		if math.Abs(face-near) < 0.05 || side*(face-near) < 0 {
			continue
		}
		n := int(math.Ceil((high-low)/edgeStubM)) + 1
		for s := 0; s < n; s++ {
			y := low + b.g.width/2 + (high-low-b.g.width)*float64(s)/float64(n-1)
			add(plane.Point{X: near, Y: y}, plane.Point{X: face, Y: y}, "deck edge stub", serves)
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
		out.Materials = append(out.Materials, Material{Name: "noggin timber", Kind: Noggin, Unit: "m", Bought: round3(sum), Used: round3(sum),
			Bound: round3(sum), Optimal: true, Method: "sum of lengths"})
	}
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
