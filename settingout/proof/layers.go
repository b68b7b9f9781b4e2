package proof

import (
	"fmt"
	"math"
	"strings"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
)

// trims: each edge is covered end to end, laps and clear distances kept.
func (c *checker) trims(joints []joint) {
	byEdge := map[int][]settingout.Piece{}
	for _, p := range c.plan.Pieces {
		if p.Kind == settingout.Trim {
			byEdge[p.Edge] = append(byEdge[p.Edge], p)
		}
	}
	lap := c.spec.TrimLapMM / 1000
	for i := range c.deck.Outline {
		if i >= len(c.deck.Edges) || c.deck.Edges[i].Condition == roof.Joins || c.deck.Edges[i].Condition == "" {
			continue
		}
		e := c.deck.Outline.Edge(i)
		for _, free := range c.freeOf(e) {
			if c.stopped() {
				return
			}
			var pieces []settingout.Piece
			for _, p := range byEdge[i] {
				if at := positionOn(e, p.Corner); at > free[0]-0.01 && at < free[1]-0.005 {
					pieces = append(pieces, p)
				}
			}
			c.trimRun(e, fmt.Sprintf("edge %d", i+1), free, pieces, lap, joints)
		}
	}
	c.faces(byEdge[-1])
	c.goesOn(byEdge, lap)
}

// goesOn: where an edge goes straight on with the same trim, the pieces of the two lap.
func (c *checker) goesOn(byEdge map[int][]settingout.Piece, lap float64) {
	n := len(c.deck.Outline)
	for i := range c.deck.Outline {
		before := (i + n - 1) % n
		e, b := c.deck.Outline.Edge(i), c.deck.Outline.Edge(before)
		if before == i || !e.Straight() || !b.Straight() || len(byEdge[i]) == 0 || len(byEdge[before]) == 0 {
			continue
		}
		u := e.B.Sub(e.A).Unit()
		if turn := b.B.Sub(b.A).Unit().Cross(u); math.Abs(turn) > 0.008 || u.Dot(b.B.Sub(b.A)) < 0 {
			continue
		}
		reach, from := math.Inf(-1), math.Inf(1)
		material := byEdge[i][0].Material
		for _, p := range byEdge[before] {
			reach = max(reach, u.Dot(p.Corner.Sub(e.A))+float64(p.LengthMM)/1000)
		}
		for _, p := range byEdge[i] {
			from = min(from, u.Dot(p.Corner.Sub(e.A)))
		}
		// An opening or a movement joint at the corner parts them.
		if byEdge[before][0].Material == material && reach > -0.002 && from < 0.002 && reach-from < lap-0.002 {
			c.fault("trim.lap", fmt.Sprintf("edges %d and %d", before+1, i+1), "the trim goes straight on and laps %.0f mm", (reach-from)*1000)
		}
	}
}

// freeOf is what of an edge no opening covers, m along it, found by walking it.
func (c *checker) freeOf(e plane.Edge) [][2]float64 {
	l := e.Length()
	const step = 0.0025
	var out [][2]float64
	from := -1.0
	sides := c.sidesNear(e)
	for at := 0.0; !c.stopped(); at = min(at+step, l) {
		on := !c.taken(e, at, sides)
		if on && from < 0 {
			from = at
		}
		if from >= 0 && (!on || at >= l) {
			if at-from > 0.01 {
				out = append(out, [2]float64{from, at})
			}
			from = -1
		}
		if at >= l {
			break
		}
	}
	return out
}

// alongM is how close to an edge an opening's side runs along it.
const alongM = 0.005

// sidesNear are the sides of openings that may run along an edge: of a bent one, all.
func (c *checker) sidesNear(e plane.Edge) []segment {
	var out []segment
	for _, sides := range c.ground.openings {
		for _, s := range sides {
			apart := max(min(s.a.X, s.b.X)-max(e.A.X, e.B.X), min(e.A.X, e.B.X)-max(s.a.X, s.b.X),
				min(s.a.Y, s.b.Y)-max(e.A.Y, e.B.Y), min(e.A.Y, e.B.Y)-max(s.a.Y, s.b.Y))
			if !e.Straight() || apart <= alongM {
				out = append(out, s)
			}
		}
	}
	return out
}

// taken reports whether one of the sides of openings near an edge, or the end of a movement
// joint, takes the place at, m along the edge.
func (c *checker) taken(e plane.Edge, at float64, sides []segment) bool {
	l := e.Length()
	p := e.At(at / l)
	for _, s := range sides {
		if s.distance(p) < alongM && math.Abs(s.b.Sub(s.a).Unit().Dot(e.Tangent(at/l))) > 0.999 {
			return true
		}
	}
	for _, j := range c.plan.MovementJoints {
		n := j.To.Sub(j.From).Unit().Left()
		if math.Abs(n.Dot(e.Tangent(at/l))) > 0.05 && math.Abs(n.Dot(p.Sub(j.From))) < halfGapM &&
			min(p.Distance(j.From), p.Distance(j.To)) < 0.1 && min(at, l-at) > 0.15 {
			return true
		}
	}
	return false
}

// openPlaces are the millimetres of a free stretch, total long from fromM of the edge,
// at which trims may meet: clear of its ends and of the joints of boards.
func openPlaces(e plane.Edge, fromM float64, total, clear int, joints []joint) []bool {
	open := make([]bool, total+1)
	for at := clear; at <= total-clear; at++ {
		open[at] = true
	}
	for _, j := range joints {
		for _, q := range []plane.Point{j.seg.a, j.seg.b} {
			if distanceTo(e, q) >= 0.035 {
				continue
			}
			at := int(math.Round((positionOn(e, q) - fromM) * 1000))
			for x := max(0, at-clear); x <= min(total, at+clear); x++ {
				open[x] = false
			}
		}
	}
	return open
}

// deepest is how far p lies from the cut sides of that of the pieces in which it lies
// deepest, m; −1 where it lies in none.
func deepest(p plane.Point, near []int, pieces []shape, cut [][]segment) float64 {
	best := -1.0
	for _, i := range near {
		if !contains(pieces[i].sides, p) {
			continue
		}
		deep := math.Inf(1)
		for _, s := range cut[i] {
			deep = min(deep, s.distance(p))
		}
		best = max(best, deep)
	}
	return best
}

// faces: round a chimney on an edge with an upstand the trim goes on along each side
// that stands on the deck.
func (c *checker) faces(pieces []settingout.Piece) {
	length := map[string]float64{}
	for _, p := range pieces {
		length[p.Opening] += float64(p.LengthMM)/1000 - p.EndLapMM/1000
	}
	for k, o := range c.deck.Openings {
		if o.Kind != "chimney" {
			continue
		}
		want, onUpstand := 0.0, false
		for _, s := range c.ground.openings[k] {
			on := -1
			for i := range c.deck.Outline {
				e := c.deck.Outline.Edge(i)
				if e.Straight() && (segment{e.A, e.B}).distance(s.a) < 0.005 && (segment{e.A, e.B}).distance(s.b) < 0.005 {
					on = i
				}
			}
			if on < 0 {
				want += s.length()
			} else if on < len(c.deck.Edges) && c.deck.Edges[on].Condition.HasUpstand() {
				onUpstand = true
			}
		}
		if onUpstand && length[o.Name] < want-0.002 {
			c.fault("trim.cover", o.Name, "%.3f m of trim round it, %.3f m are asked for", length[o.Name], want)
		}
	}
}

// trimRun: a free stretch of an edge is covered end to end.
func (c *checker) trimRun(e plane.Edge, where string, free [2]float64, pieces []settingout.Piece, lap float64, joints []joint) {
	if len(pieces) == 0 {
		c.fault("trim.cover", where, "no trim")
		return
	}
	longest := c.longestTrim()
	fits := c.fitsWithout(shortMM, e, free, len(pieces), lap, joints)
	reached := free[0]
	for k, p := range pieces {
		from := positionOn(e, p.Corner)
		to := from + float64(p.LengthMM)/1000
		if k == 0 && from > free[0]+0.003 {
			c.fault("trim.cover", where, "the first trim starts %.0f mm in", (from-free[0])*1000)
		}
		if k > 0 {
			if reached-from < lap-0.002 {
				c.fault("trim.lap", p.Number, "laps %.0f mm", (reached-from)*1000)
			}
			if !c.allowed("trim.joint") {
				c.trimClear(e, free, (reached+from)/2, p.Number, joints)
			}
		}
		if p.LengthMM < 300 && free[1]-free[0] > 0.3 {
			c.fault("trim.short", p.Number, "%d mm", p.LengthMM)
		}
		if p.LengthMM < shortMM && fits {
			c.fault("trim.short", p.Number, "%d mm, with %d pieces none need be under %d mm", p.LengthMM, len(pieces), shortMM)
		}
		c.flexible(e, p)
		if p.LengthMM > longest {
			c.fault("trim.long", p.Number, "%d mm", p.LengthMM)
		}
		reached = to
	}
	if reached < free[1]-0.003 {
		c.fault("trim.cover", where, "the last trim ends %.0f mm short", (free[1]-reached)*1000)
	}
}

// shortMM is a piece of trim that nobody likes to nail.
const shortMM = 500

// fitsWithout reports whether a free stretch can be divided into n pieces, none under
// least mm or over the longest, their joints clear of corners and board joints: it
// follows the places, mm, that each joint's middle can take.
func (c *checker) fitsWithout(least int, e plane.Edge, free [2]float64, n int, lap float64, joints []joint) bool {
	total, lapMM, longest := int(math.Floor((free[1]-free[0])*1000)), int(math.Round(lap*1000)), c.longestTrim()
	if n == 1 {
		return total >= least
	}
	if total+(n-1)*lapMM < n*least {
		return false
	}
	// A margin of 5 mm on all sides: what is only just possible is not asked for.
	const clear = 155
	open := openPlaces(e, free[0], total, clear, joints)
	// upTo[x] counts the places below x that the joint before can take.
	upTo := make([]int, total+2)
	for k := 1; k < n; k++ {
		next := make([]int, total+2)
		for x := 0; x <= total; x++ {
			next[x+1] = next[x]
			from, to := x-(longest-lapMM), x-(least-lapMM)
			can := k == 1 && x+lapMM/2 >= least && x+lapMM/2 <= longest
			if k > 1 && to >= 0 {
				can = upTo[to+1] > upTo[max(from, 0)]
			}
			if can && open[x] {
				next[x+1]++
			}
		}
		upTo = next
	}
	from, to := total+lapMM/2-longest, total+lapMM/2-least
	return to >= 0 && upTo[min(to, total)+1] > upTo[max(from, 0)]
}

// flexible: an edge of a radius under 3 m takes a flexible trim, any other none.
func (c *checker) flexible(e plane.Edge, p settingout.Piece) {
	bent := false
	if b := math.Abs(e.Bulge); b > 0 && !e.Straight() {
		bent = e.A.Distance(e.B)*(1+b*b)/(4*b) < 3
	}
	if bent != strings.HasSuffix(p.Material, ", flexible") {
		c.fault("trim.flexible", p.Number, "is cut from %q, the edge's bulge is %.3f", p.Material, e.Bulge)
	}
}

// longestTrim is the longest that is sold, mm.
func (c *checker) longestTrim() int {
	longest := 0.0
	for _, l := range c.given.Supply.TrimLengthsM {
		longest = max(longest, l*1000)
	}
	if longest == 0 {
		return 3000
	}
	return int(math.Round(longest))
}

// positionOn is the distance along an edge of a point on it.
func positionOn(e plane.Edge, p plane.Point) float64 {
	best, at := math.Inf(1), 0.0
	n := 1
	if !e.Straight() {
		n = 2000
	}
	for k := 0; k < n; k++ {
		t0, t1 := float64(k)/float64(n), float64(k+1)/float64(n)
		s := segment{e.At(t0), e.At(t1)}
		if d := s.distance(p); d < best-1e-9 {
			u := s.b.Sub(s.a)
			f := min(max(p.Sub(s.a).Dot(u)/u.Dot(u), 0), 1)
			best, at = d, (t0+(t1-t0)*f)*e.Length()
		}
	}
	return at
}

// trimClear: the joint is 150 mm from the edge's ends and from board joints that
// run out to it.
func (c *checker) trimClear(e plane.Edge, free [2]float64, at float64, number string, joints []joint) {
	const clear = 0.149
	if near := min(at-free[0], free[1]-at); near < clear-0.003 {
		c.fault("trim.clear", number, "its joint is %.0f mm from a corner", near*1000)
	}
	p := e.At(at / e.Length())
	for _, j := range joints {
		for _, q := range []plane.Point{j.seg.a, j.seg.b} {
			// Joints end a wall gap short of the edge at most.
			if q.Distance(p) < clear-0.02 && math.Abs(positionOn(e, q)-at) < clear && distanceTo(e, q) < 0.025 {
				c.fault("trim.clear", number, "its joint is %.0f mm from a board joint", math.Abs(positionOn(e, q)-at)*1000)
			}
		}
	}
}

func distanceTo(e plane.Edge, p plane.Point) float64 {
	return e.At(positionOn(e, p) / e.Length()).Distance(p)
}

// mat: each layer covers the deck with the laps asked for, lies within its
// rectangles, and is shingled with the fall.
func (c *checker) mat() {
	layers := map[int][]shape{}
	for _, s := range c.of(settingout.Mat) {
		if s.piece.Role == "field" {
			layers[s.piece.Layer] = append(layers[s.piece.Layer], s)
		}
	}
	want := len(c.spec.Layers)
	if c.spec.TissueGPerM2 > 0 {
		want++
	}
	lap := min(c.spec.SideLapMM, c.spec.EndLapMM) / 1000
	for layer := 1; layer <= want; layer++ {
		pieces := layers[layer]
		where := fmt.Sprintf("layer %d", layer)
		if len(pieces) == 0 {
			c.fault("mat.cover", where, "no mat")
			continue
		}
		c.matCover(where, pieces, lap)
		c.shingle(where, pieces)
		for _, s := range pieces {
			c.rectangle(s)
		}
	}
	for layer := 2; layer <= want; layer++ {
		c.lapsApart(layer, layers[layer-1], layers[layer])
	}
}

// matCover: every point of the deck lies so deep in some piece that half a lap
// around it is that piece's too (where the deck does not end first). Were a lap
// anywhere less than asked for, the points in its middle would fail.
func (c *checker) matCover(where string, pieces []shape, lap float64) {
	cut := make([][]segment, len(pieces))
	for i, s := range pieces {
		for _, t := range s.sides {
			onBoundary := c.fields.toBoundary(t.middle()) < 0.004 && c.fields.toBoundary(t.a) < 0.004
			if !onBoundary {
				cut[i] = append(cut[i], t)
			}
		}
	}
	at := matCheck{c, where, lap, pieces, cut, indexOf(pieces, 0)}
	for _, p := range c.samples {
		if c.stopped() {
			return
		}
		at.look(p, 0.004)
	}
	// Points half a lap inside each cut side are where a short lap shows.
	for i := range pieces {
		if c.stopped() {
			return
		}
		for _, s := range cut[i] {
			n := s.b.Sub(s.a).Unit().Left()
			steps := max(1, int(s.length()/0.2))
			for k := 0; k < steps; k++ {
				at.look(s.a.Add(s.b.Sub(s.a).Scale((float64(k)+0.5)/float64(steps))).Add(n.Scale(lap/2)), 0.006)
			}
		}
	}
}

// matCheck is a layer of mat whose places are looked at.
type matCheck struct {
	*checker
	where  string
	lap    float64
	pieces []shape
	cut    [][]segment
	ix     index
}

// look checks one place of the layer that lies so clear of the field's edge, m.
func (m *matCheck) look(p plane.Point, clearM float64) {
	if on, clear := m.fields.open(p); !on || clear <= clearM {
		return
	}
	best := deepest(p, m.ix.at(p), m.pieces, m.cut)
	switch {
	case best < 0:
		m.fault("mat.cover", m.where+" "+place(p), "no mat here")
	case best < m.lap/2-0.002:
		m.fault("mat.lap", m.where+" "+place(p), "the lap is %.0f mm, %.0f mm are asked for", 2*best*1000, m.lap*1000)
	}
}

// lapsApart: laps of one layer keep a quarter of the roll's width off those below.
func (c *checker) lapsApart(layer int, below, above []shape) {
	type line struct{ at, from, to float64 }
	lines := func(pieces []shape) []line {
		var out []line
		for _, s := range pieces {
			n := s.piece.Along.Left()
			if n.X < -1e-9 || (math.Abs(n.X) < 1e-9 && n.Y < 0) {
				n = n.Scale(-1)
			}
			for _, t := range s.sides {
				if math.Abs(t.b.Sub(t.a).Unit().Dot(s.piece.Along)) > 0.999 && t.length() > 0.5 && c.fields.toBoundary(t.middle()) > 0.02 {
					from, to := order(n.Cross(t.a), n.Cross(t.b))
					out = append(out, line{n.Dot(t.a), from, to})
				}
			}
		}
		return out
	}
	a, b := lines(below), lines(above)
	if len(c.deck.Falls.Planes) > 1 {
		return
	}
	for _, x := range b {
		for _, y := range a {
			// Fields beyond a movement joint have laps of their own.
			if off := math.Abs(y.at - x.at); off < 0.15 && min(x.to, y.to)-max(x.from, y.from) > 0.1 {
				c.fault("mat.laps-in-line", fmt.Sprintf("layers %d and %d", layer-1, layer), "laps %.0f mm apart", off*1000)
			}
		}
	}
}
