package settingout

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"gelwright/plane"
	"gelwright/roof"
)

// bandager collects bandage strips.
type bandager struct {
	out    *SetOut
	narrow int // mm, over joints and flanges
	wide   int // mm, at corners and changes of direction
	n      int
}

func (b *bandager) add(p Piece) {
	b.n++
	p.Kind, p.Number, p.Order = Bandage, number(Bandage, b.n-1), b.n
	p.Material = fmt.Sprintf("bandage %d mm", p.WidthMM)
	if p.AreaM2 == 0 {
		p.AreaM2 = float64(p.LengthMM) * float64(p.WidthMM) / 1e6
	}
	b.out.Pieces = append(b.out.Pieces, p)
}

// line adds a strip centred on a straight line.
func (b *bandager) line(from, to plane.Point, width int, role, serves string, edge int) {
	d := to.Sub(from).Unit()
	h := d.Left().Scale(float64(width) / 2000)
	b.add(Piece{Role: role, Serves: serves, Edge: edge, LengthMM: upMM(from.Distance(to)), WidthMM: width, Corner: from.Sub(h), Along: d,
		Shape: []plane.Point{from.Sub(h), to.Sub(h), to.Add(h), from.Add(h)}})
}

// setBandage lays strips over board joints, trim flanges and laps, corners,
// kerbs and penetrations.
func setBandage(d roof.Deck, spec roof.Spec, out *SetOut) error {
	b := &bandager{out: out, narrow: int(math.Round(spec.BandageMM)), wide: int(math.Round(spec.CornerStripMM))}
	if b.narrow <= 0 {
		b.narrow = 75
	}
	if b.wide <= 0 {
		b.wide = 150
	}
	b.joints()
	b.trims(d, int(math.Round(spec.TrimLapMM)))
	b.corners(d)
	b.openings(d)
	b.jointStrips(out.MovementJoints)
	b.penetrations(d)
	if err := toDeck(d, out); err != nil {
		return err
	}
	bandageStock(out)
	return nil
}

// flat are the bandages that lie on the deck; the others are wrapped up or down.
var flat = [...]string{"board joint", "fold", "flange", "trim lap"}

// toDeck cuts the bandages that lie on the deck to it: at a corner a strip along an edge
// is cut on the line of the next edge, at an opening on its side.
func toDeck(d roof.Deck, out *SetOut) error {
	var holes []plane.Ring
	for _, o := range d.Openings {
		holes = append(holes, o.Outline)
	}
	// The outline itself: an opening that stands on it must not be an error here.
	deck, err := plane.Net(d.Outline, holes, chordToleranceM)
	if err != nil {
		return fmt.Errorf("deck %q: %w", d.Name, err)
	}
	for i := range out.Pieces {
		p := &out.Pieces[i]
		if p.Kind != Bandage || !slices.Contains(flat[:], p.Role) || p.Shape.SignedArea() < 1e-6 {
			continue
		}
		if err := p.clipTo(deck); err != nil {
			return fmt.Errorf("deck %q, bandage %s: %w", d.Name, p.Number, err)
		}
	}
	return nil
}

// clipTo keeps what of a piece lies on the deck, and takes its length from that.
func (p *Piece) clipTo(deck []plane.Polygon) error {
	whole := p.Shape
	best, kept, err := biggestOn(whole, deck)
	if err != nil {
		return err
	}
	all := math.Abs(whole.SignedArea())
	if len(best) == 0 || all-kept < 1e-6 {
		return nil
	}
	// A curved strip's length runs along its edge and is not taken from its bounds; the
	// short ones over trim laps are torn to one length and trimmed on the roof.
	if len(p.Shape) == 4 && p.Role != "trim lap" {
		was, _ := plane.Polygon{Outer: p.Shape}.Extent(p.Along)
		from, to := plane.Polygon{Outer: best}.Extent(p.Along)
		p.LengthMM, p.Corner = upMM(to-from), p.Corner.Add(p.Along.Scale(from-was))
	}
	p.AreaM2 *= best.SignedArea() / all
	p.Shape = best
	return nil
}

// biggestOn returns the largest part of a strip that lies on the deck, and the area of
// all its parts there.
func biggestOn(strip plane.Loop, deck []plane.Polygon) (best plane.Loop, sum float64, err error) {
	if len(strip) != 4 {
		on, err := plane.Intersection([]plane.Polygon{{Outer: strip}}, deck)
		for _, o := range on {
			if best == nil || o.Area() > best.SignedArea() {
				best = o.Outer
			}
		}
		return best, plane.TotalArea(on), err
	}
	// A straight strip is four half planes, which is quicker by far.
	var r plane.Region
	for _, p := range deck {
		r = append(r, p.Outer)
		for _, h := range p.Holes {
			r = append(r, h)
		}
	}
	turn := 1.0
	if strip.SignedArea() < 0 {
		turn = -1
	}
	for i, a := range strip {
		n := strip[(i+1)%4].Sub(a).Unit().Left().Scale(turn)
		r = r.HalfPlane(n, n.Dot(a))
	}
	for _, p := range r.Parts() {
		sum += p.Area()
		if best == nil || p.Outer.SignedArea() > best.SignedArea() {
			best = p.Outer
		}
	}
	return best, sum, nil
}

// joined is a line of joints that one strip covers: n is the unit vector across, c how far
// off the origin it runs, lo and hi where it begins and ends, m.
// joined is a line of joints that one strip covers: n is the unit vector across, c how far
// off the origin it runs, lo and hi where it begins and ends, m.
type joined struct {
	n          plane.Point // unit, across the joint
	c, lo, hi  float64
	wide       bool
	a, z, role string
}

// jointLines lists the joints to be bandaged in the order of their lines, narrow before wide.
func (b *bandager) jointLines() []joined {
	var list []joined
	for _, j := range b.out.Joints {
		// Over a movement joint nothing is laid across.
		if j.Glued || j.LengthM() < 1e-6 || j.Support == jointRole {
			continue
		}
		d := positive(j.To.Sub(j.From).Unit())
		s := joined{n: d.Left(), a: j.A, z: j.B, role: "board joint", wide: j.Support == "fold"}
		s.c = s.n.Dot(j.From)
		s.lo, s.hi = min(d.Dot(j.From), d.Dot(j.To)), max(d.Dot(j.From), d.Dot(j.To))
		if s.wide {
			s.role = "fold"
		}
		list = append(list, s)
	}
	sort.SliceStable(list, func(i, k int) bool {
		a, z := list[i], list[k]
		switch {
		case a.wide != z.wide:
			return z.wide
		case math.Abs(a.n.X-z.n.X) > 1e-6:
			return a.n.X < z.n.X
		case math.Abs(a.c-z.c) > 1e-4:
			return a.c < z.c
		}
		return a.lo < z.lo
	})
	return list
}

// joints merges joints in line into strips: end joints singly, long joints and
// folds as far as they run.
func (b *bandager) joints() {
	list := b.jointLines()
	for i := 0; i < len(list); {
		s := list[i]
		last := s
		k := i + 1
		for ; k < len(list); k++ {
			t := list[k]
			if t.wide != s.wide || math.Abs(t.n.X-s.n.X) > 1e-6 || math.Abs(t.c-s.c) > 1e-4 || t.lo > s.hi+0.02 {
				break
			}
			along := plane.Point{X: s.n.Y, Y: -s.n.X}
			if t.lo > s.hi && parts(b.out.MovementJoints, along.Scale(s.hi-0.001).Add(s.n.Scale(s.c)), along.Scale(t.lo+0.001).Add(s.n.Scale(s.c))) {
				break
			}
			s.hi = max(s.hi, t.hi)
			last = t
		}
		d := plane.Point{X: s.n.Y, Y: -s.n.X}
		width := b.narrow
		if s.wide {
			width = b.wide
		}
		serves := s.a + "/" + s.z
		if k-i > 1 {
			serves += " to " + last.a + "/" + last.z
		}
		b.line(d.Scale(s.lo).Add(s.n.Scale(s.c)), d.Scale(s.hi).Add(s.n.Scale(s.c)), width, s.role, serves, -1)
		i = k
	}
}

// trims bandages flange lines and laps.
func (b *bandager) trims(d roof.Deck, lapMM int) {
	w := float64(b.narrow) / 1000
	flange := trimFlangeMM / 1000.0
	for i := range d.Outline {
		if trimFor(conditionOf(d, i)) == "" {
			continue
		}
		e := d.Outline.Edge(i)
		for _, f := range freeStretches(d, i, b.out.MovementJoints) {
			t0, t1 := f.from/e.Length(), f.to/e.Length()
			p := Piece{Role: "flange", Serves: fmt.Sprintf("edge %d", i+1), Edge: i, WidthMM: b.narrow, LengthMM: upMM(f.to - f.from),
				Along: e.Tangent(t0), Corner: e.At(t0)}
			p.Shape = stripAlong(e, t0, t1, flange-w/2, flange+w/2)
			p.AreaM2 = (f.to - f.from) * w
			b.add(p)
			if !e.Straight() {
				p.Note = "second strip: the flange is slit"
				b.add(p)
			}
		}
		// Laps: a strip across the flange where two trims meet.
		var before *Piece
		for k := range b.out.Pieces {
			p := &b.out.Pieces[k]
			if p.Kind != Trim || p.Edge != i {
				continue
			}
			if p.EndLapMM > 0 && before == nil {
				// It goes straight on from the edge before.
				at := p.Corner.Add(p.Along.Scale(float64(lapMM) / 2000))
				if last := lastTrim(b.out, (i+len(d.Outline)-1)%len(d.Outline)); last != "" {
					b.line(at, at.Add(p.Along.Left().Scale(flange+w)), b.narrow, "trim lap", last+"/"+p.Number, i)
					p = &b.out.Pieces[k]
				}
			}
			if p.EndLapMM > 0 && before != nil {
				t, _ := along(e, p.Corner)
				t = min(t+float64(lapMM)/2000/e.Length(), 1)
				at, n := e.At(t), e.Tangent(t).Left()
				serves := before.Number + "/" + p.Number
				b.line(at, at.Add(n.Scale(flange+w)), b.narrow, "trim lap", serves, i)
				p = &b.out.Pieces[k]
			}
			before = p
		}
	}
}

// battenEnds closes the ends of battens at the end of a movement joint, or where joints
// cross: a strip at each, short of the gaps.
func (b *bandager) battenEnds(c Piece) {
	const half = JointGapMM / 2000.0
	low, high := c.Bounds()
	at, u := low.Add(high).Scale(0.5), c.Along
	n := u.Left()
	wide, leg := float64(b.narrow)/1000, float64(cornerLegMM)/1000
	add := func(along, aside float64) {
		from, to := order2(along*half, along*(half+leg/2))
		if c.Role == "site-formed joint end" && !strings.HasPrefix(c.Note, "at joint") {
			// It is dressed over the edge of the deck.
			from, to = -leg/2, leg/2
		}
		in, out := order2(aside*half, aside*(half+wide))
		p := func(x, y float64) plane.Point { return at.Add(u.Scale(x)).Add(n.Scale(y)) }
		b.add(Piece{Role: "joint end", Serves: c.Number, Edge: -1, LengthMM: upMM(to - from), WidthMM: b.narrow, Corner: p(from, in), Along: u,
			Shape: []plane.Point{p(from, in), p(to, in), p(to, out), p(from, out)}, Note: "over the end of the batten, not over the gap"})
	}
	for _, aside := range []float64{1, -1} {
		add(1, aside)
		if c.Role == "site-formed joint crossing" {
			add(-1, aside)
		}
	}
}

// lastTrim is the number of the last trim along an edge.
func lastTrim(out *SetOut, edge int) string {
	number := ""
	for _, p := range out.Pieces {
		if p.Kind == Trim && p.Edge == edge {
			number = p.Number
		}
	}
	return number
}

// corners takes two wide strips at each corner, one over the other.
func (b *bandager) corners(d roof.Deck) {
	leg := float64(b.wide) / 1000
	for _, c := range b.out.Of(Corner) {
		i := c.Edge
		if i < 0 {
			if strings.HasPrefix(c.Role, "site-formed joint") {
				b.battenEnds(c)
				continue
			}
			for layer := 1; layer <= 2; layer++ {
				b.add(Piece{Role: "corner", Serves: c.Number, Opening: c.Opening, Edge: -1, LengthMM: 2 * b.wide, WidthMM: b.wide, Corner: c.Corner,
					Along: c.Along, Shape: c.Shape, Note: fmt.Sprintf("strip %d of 2", layer)})
			}
			continue
		}
		n := len(d.Outline)
		in, ou := d.Outline.Edge((i+n-1)%n).Tangent(1), d.Outline.Edge(i).Tangent(0)
		v := d.Outline[i].Point
		for layer := 1; layer <= 2; layer++ {
			far := v.Add(ou.Scale(leg))
			back := v.Sub(in.Scale(leg))
			tip := back.Add(ou.Scale(leg))
			if interiorDeg(d.Outline, i) > 180 {
				tip = v.Add(in.Left().Add(ou.Left()).Unit().Scale(leg))
			}
			b.add(Piece{Role: "corner", Serves: c.Number, Edge: i, LengthMM: 2 * b.wide, WidthMM: b.wide, Corner: v, Along: ou,
				Shape: []plane.Point{v, far, tip, back}, Note: fmt.Sprintf("strip %d of 2", layer)})
		}
	}
}

// openings takes a wide strip along the foot of each kerb.
func (b *bandager) openings(d roof.Deck) {
	h := float64(b.wide) / 2000
	for _, o := range d.Openings {
		ring := o.Outline
		if ring.SignedArea() > 0 {
			ring = ring.Reversed()
		}
		for i := range ring {
			e := ring.Edge(i)
			if e.Chord() < 0.01 || alongOutline(d, e) {
				continue
			}
			p := Piece{Role: "kerb", Opening: o.Name, Serves: o.Name, Edge: -1, WidthMM: b.wide, LengthMM: upMM(e.Length()) + 2*b.wide/2,
				Along: e.Tangent(0), Corner: e.A,
				Shape: stripAlong(e, 0, 1, -h, h)}
			p.AreaM2 = float64(p.LengthMM) * float64(p.WidthMM) / 1e6
			b.add(p)
		}
	}
}

// alongOutline reports whether an opening's side lies on the deck's own outline.
func alongOutline(d roof.Deck, e plane.Edge) bool {
	for i := range d.Outline {
		o := d.Outline.Edge(i)
		ok := true
		for _, t := range []float64{0, 0.5, 1} {
			if _, off := along(o, e.At(t)); off > 0.005 {
				ok = false
				break
			}
		}
		if ok {
			return true
		}
	}
	return false
}

// penetrations takes a wide strip round pipes and into outlets.
func (b *bandager) penetrations(d roof.Deck) {
	for _, x := range d.Penetrations {
		round := x.DiameterMM
		length := math.Pi * round
		half := round / 2000
		if round == 0 {
			length = 2 * (x.WidthMM + x.DepthMM)
			half = max(x.WidthMM, x.DepthMM) / 2000
		}
		half += float64(b.wide) / 2000
		b.add(Piece{Role: x.Kind, Serves: x.Name, Edge: -1, WidthMM: b.wide, LengthMM: int(math.Ceil(length)) + 50, Along: plane.Point{X: 1},
			Corner: x.At.Sub(plane.Point{X: half, Y: half}),
			Shape: []plane.Point{x.At.Add(plane.Point{X: -half, Y: -half}), x.At.Add(plane.Point{X: half, Y: -half}),
				x.At.Add(plane.Point{X: half, Y: half}), x.At.Add(plane.Point{X: -half, Y: half})}, Note: "wrapped round, ends lapped 50 mm"})
	}
}

// bandageStock sums the strips by width; they are torn off rolls at any length.
func bandageStock(out *SetOut) {
	sums := map[string]float64{}
	for _, p := range out.Pieces {
		if p.Kind == Bandage {
			sums[p.Material] += float64(p.LengthMM) / 1000
		}
	}
	names := make([]string, 0, len(sums))
	for k := range sums {
		names = append(names, k)
	}
	sort.Strings(names)
	for _, k := range names {
		out.Materials = append(out.Materials, Material{Name: k, Kind: Bandage, Unit: "m", Bought: round3(sums[k]), Used: round3(sums[k]),
			Bound: round3(sums[k]), Optimal: true, Method: "torn off the roll at any length"})
	}
}
