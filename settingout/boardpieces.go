package settingout

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"gelwright/firring"
	"gelwright/plane"
	"gelwright/roof"
)

// boardName names the board that pieces are cut from.
func boardName(b roof.Board) string { return fmt.Sprintf("board %s %g mm", b.Material, b.ThicknessMM) }

// boardPieces numbers the boards of the chosen boarding in laying order and
// finds their joints, noggins, supports and fixings.
func boardPieces(b boarding, d roof.Deck, spec roof.Spec, z sizes, zones []Zone, ground plane.Region, out *SetOut) {
	r, _ := rulesFor(spec.Board, z.kerf)
	full, wide := upMM(r.length), upMM(r.width)
	material := boardName(spec.Board)
	for i, s := range b.sheets {
		k := b.blanks[i]
		p := Piece{
			Number: fmt.Sprintf("B%d", i+1), Kind: Board, Role: "field", Edge: -1, Order: i + 1, Material: material,
			LengthMM: k.length, WidthMM: k.width, AreaM2: s.shape.Area(), Cuts: cutsOf(s, k, full, wide),
		}
		p.place(b.f, s.low, s.high)
		p.Shape = b.f.LoopOut(s.shape.Outer)
		for _, h := range s.shape.Holes {
			p.Holes = append(p.Holes, b.f.LoopOut(h))
		}
		for _, x := range d.Penetrations {
			if p.Shape.Contains(x.At) {
				p.Note = joinNote(p.Note, "cut for "+x.Name)
				p.Cuts++
			}
		}
		if b.rows[s.row].runs[s.run].high-b.rows[s.row].runs[s.run].low < leastRipM || s.narrow() {
			p.Note = joinNote(p.Note, "narrow")
		}
		out.Pieces = append(out.Pieces, p)
	}
	endJoints(b, r, out)
	longJoints(b, r, out)
	foldJoints(b, d, r, out)
	supports(b, d, out)
	out.Fixings = fixings(b, spec.Board, zones)
	out.CountZones(zones)
	noggins(b, d, ground, out)
	boardStock(b, material, z, out)
	ruleFindings(b, d, r, out)
	if !b.conform {
		out.find("board.direction", d.Name,
			"the pinned direction lays boards along the joists: their ends need noggins, and the boards are weaker this way")
	}
}

// ruleFindings says which rules of laying could not be kept, and in which rows.
func ruleFindings(b boarding, d roof.Deck, r boardRules, out *SetOut) {
	n := b.broken
	if tips := b.shortTips(r); len(tips) > n.short {
		out.find("board.short-piece", d.Name,
			"%s %s shorter than %.2f m: the deck's own shape cuts them there; glue and screw them all round to noggins",
			strings.Join(tips, ", "), isOrAre(len(tips)), r.least)
	}
	if n.total() == 0 {
		return
	}
	at := b.breaches(r)
	if n.stagger > 0 {
		out.find("board.stagger", d.Name,
			"in %d runs (%s) the joints stand closer than %.2f m to those of the next row: bandage them 150 mm wide", n.stagger,
			at.rows(at.stagger), r.stagger)
	}
	if n.short > 0 {
		out.find("board.short-piece", d.Name, "%d pieces (%s) are shorter than %.2f m and could not be avoided", n.short,
			at.rows(at.short), r.least)
	}
	if n.narrow > 0 {
		out.find("board.narrow", d.Name,
			"%d strips of board (%s) are narrower than %.2f m and could not be avoided: glue and screw them to a full-length batten",
			n.narrow, at.rows(at.narrow), leastRipM)
	}
	if n.inLine > 0 {
		out.find("board.fold", d.Name,
			"at %d places joints from both sides of a fold or movement joint reach it within %.0f mm: bandage them 150 mm wide",
			n.inLine, foldApartM*1000)
	}
	if n.unsupported > 0 {
		out.find("board.unsupported", d.Name, "%d runs (%s) have joints off the joists: set noggins under them", n.unsupported,
			at.rows(at.unsupported))
	}
}

// shortTips numbers the pieces under the least that no joint made short: where a slanting
// side or an opening leaves a tip.
func (b *boarding) shortTips(r boardRules) []string {
	var out []string
	for i, s := range b.sheets {
		if float64(b.blanks[i].length)/1000+0.001 < r.least && s.high.X-s.low.X < b.rows[s.row].runs[s.run].b-b.rows[s.row].runs[s.run].a-1e-6 {
			out = append(out, number(Board, i))
		}
	}
	return out
}

func isOrAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// place sets the bounding rectangle from local coordinates.
func (p *Piece) place(f plane.Frame, low, high plane.Point) {
	p.Along = f.U
	corner := low
	if f.Mirrored() {
		// Width lies to the left of Along: begin at the other long side.
		corner = plane.Point{X: low.X, Y: high.Y}
	}
	p.Corner = f.Out(corner)
}

func joinNote(a, b string) string {
	if a == "" {
		return b
	}
	return a + ", " + b
}

// cutFault says that a plan of the cutters does not add up: a fault of the program.
func (s *SetOut) cutFault(material string, err error) {
	if err != nil {
		s.find("cut.fault", material, "the cutting plan does not add up: %v", err)
	}
}

func (s *SetOut) find(code, where, format string, args ...any) {
	s.Findings = append(s.Findings, Finding{code, where, fmt.Sprintf(format, args...)})
}

// endJoints lists the joints between the boards of a run.
func endJoints(b boarding, r boardRules, out *SetOut) {
	for i := range b.rows {
		for k, u := range b.rows[i].runs {
			for _, x := range u.joints {
				var left, right []int
				for n, s := range b.sheets {
					if s.row != i || s.run != k {
						continue
					}
					if math.Abs(s.high.X-(x-r.gap/2)) < 1e-6 {
						left = append(left, n)
					}
					if math.Abs(s.low.X-(x+r.gap/2)) < 1e-6 {
						right = append(right, n)
					}
				}
				for _, p := range left {
					for _, q := range right {
						for _, iv := range sharedSides(b.sheets[p], b.sheets[q], 0, x-r.gap/2, x+r.gap/2) {
							j := Joint{A: number(Board, p), B: number(Board, q), From: b.f.Out(plane.Point{X: x, Y: iv[0]}),
								To: b.f.Out(plane.Point{X: x, Y: iv[1]}), Support: "joist"}
							if b.g.free {
								j.Support = "deck below"
							}
							out.Joints = append(out.Joints, j)
						}
					}
				}
			}
		}
	}
}

func number(k Kind, index int) string { return fmt.Sprintf("%s%d", letters[k], index+1) }

// reach returns the intervals in which the sheet touches the line coordinate = at
// of one axis (0 x, 1 y), along the other axis.
func (s sheet) reach(axis int, at float64) [][2]float64 {
	var out [][2]float64
	for _, l := range s.shape.Region() {
		for i := range l {
			p, q := l[i], l[(i+1)%len(l)]
			pa, qa, po, qo := p.X, q.X, p.Y, q.Y
			if axis == 1 {
				pa, qa, po, qo = p.Y, q.Y, p.X, q.X
			}
			if math.Abs(pa-at) < 1e-6 && math.Abs(qa-at) < 1e-6 {
				out = append(out, [2]float64{min(po, qo), max(po, qo)})
			}
		}
	}
	return out
}

// sharedSides returns the stretches where p's side at atP faces q's at atQ: two
// where an opening parts the joint.
func sharedSides(p, q sheet, axis int, atP, atQ float64) [][2]float64 {
	var out [][2]float64
	for _, a := range p.reach(axis, atP) {
		for _, c := range q.reach(axis, atQ) {
			if l, h := max(a[0], c[0]), min(a[1], c[1]); h-l > 0.002 {
				out = append(out, [2]float64{l, h})
			}
		}
	}
	return out
}

// longJoints lists where boards of neighbouring rows of a bay meet.
func longJoints(b boarding, r boardRules, out *SetOut) {
	byRow := make([][]int, len(b.rows))
	for n, s := range b.sheets {
		byRow[s.row] = append(byRow[s.row], n)
	}
	gap := r.pitch - r.width
	for i := range b.rows {
		if i+1 >= len(b.rows) || b.rows[i+1].bay != b.rows[i].bay {
			continue
		}
		y := b.rows[i].v1 + gap/2
		for _, p := range byRow[i] {
			if b.sheets[p].high.Y < b.rows[i].v1-1e-6 {
				continue
			}
			for _, q := range byRow[i+1] {
				if b.sheets[q].low.X > b.sheets[p].high.X || b.sheets[q].high.X < b.sheets[p].low.X {
					continue
				}
				for _, iv := range sharedSides(b.sheets[p], b.sheets[q], 1, b.rows[i].v1, b.rows[i+1].v0) {
					j := Joint{A: number(Board, p), B: number(Board, q), Long: true, From: b.f.Out(plane.Point{X: iv[0], Y: y}),
						To: b.f.Out(plane.Point{X: iv[1], Y: y})}
					switch {
					case r.glued:
						j.Glued, j.Support = true, "tongue and groove"
					case b.g.free:
						j.Support = "deck below"
					default:
						j.Support = "noggin"
					}
					out.Joints = append(out.Joints, j)
				}
			}
		}
	}
}

// foldJoints lists where boards end at a ridge, hip, valley or movement joint.
func foldJoints(b boarding, d roof.Deck, r boardRules, out *SetOut) {
	for _, line := range foldLines(d) {
		facingJoints(b, line, r.gap, r.gap+0.0015, "fold", out)
	}
	for _, j := range out.MovementJoints {
		facingJoints(b, [2]plane.Point{j.From, j.To}, JointGapMM/1000.0, r.gap+0.0015, jointRole, out)
	}
}

// facingJoints lists the boards that face each other across a line, gapM apart and as
// much as openM more on either side: a strip too narrow to be laid may be left open there.
func facingJoints(b boarding, line [2]plane.Point, gapM, openM float64, support string, out *SetOut) {
	a, e := b.f.In(line[0]), b.f.In(line[1])
	dir := e.Sub(a).Unit()
	n := dir.Left()
	c := n.Dot(a)
	near := func(off float64) bool { return off > gapM/2-1e-5 && off < gapM/2+openM }
	facing := func(sign float64) (list []span) {
		for i, s := range b.sheets {
			for _, l := range s.shape.Region() {
				for k := range l {
					p, q := l[k], l[(k+1)%len(l)]
					if near(sign*(n.Dot(p)-c)) && near(sign*(n.Dot(q)-c)) {
						tp, tq := dir.Dot(p), dir.Dot(q)
						list = append(list, span{min(tp, tq), max(tp, tq), i})
					}
				}
			}
		}
		return list
	}
	right := facing(-1)
	for _, p := range facing(1) {
		for _, q := range right {
			lo, hi := max(p.lo, q.lo), min(p.hi, q.hi)
			if hi-lo < 0.002 || p.id == q.id {
				continue
			}
			at := func(t float64) plane.Point { return b.f.Out(dir.Scale(t).Add(n.Scale(c))) }
			side := b.f.Out(n.Scale(0.002))
			if mid := at((lo + hi) / 2); support != jointRole && parts(out.MovementJoints, mid.Add(side), mid.Sub(side)) {
				continue // a ridge along which a movement joint runs
			}
			out.Joints = append(out.Joints, Joint{A: number(Board, p.id), B: number(Board, q.id), From: at(lo), To: at(hi), Support: support})
		}
	}
}

type span struct {
	lo, hi float64
	id     int
}

// leastUnderM is how much of a joist's width must lie under the boards for it to carry
// them, m: a joist whose middle is on the deck's edge, or behind the gap at a wall, does.
const leastUnderM = 0.010

// supports lists the joists under the deck, also those that lie half outside it.
func supports(b boarding, d roof.Deck, out *SetOut) {
	if b.g.free {
		return
	}
	reach := max(0, b.g.width/2-leastUnderM)
	for _, p := range b.bays {
		lo, hi := p.region.Bounds()
		for _, x := range b.g.within(lo.X-reach, hi.X+reach) {
			for _, iv := range chordsNear(p.region, x, reach) {
				out.Supports = append(out.Supports, Support{b.f.Out(plane.Point{X: x, Y: iv[0]}), b.f.Out(plane.Point{X: x, Y: iv[1]}),
					round3(b.g.width * 1000)})
			}
		}
	}
}

// besideM is the shortest stretch on which an edge of the deck runs beside a joist, m.
const besideM = 0.1

// chordsNear returns where the line x = at lies inside the region, and where an edge
// that runs along it leaves the region within reach of the line.
func chordsNear(r plane.Region, at, reach float64) [][2]float64 {
	out := chordsAt(r, at)
	for _, off := range []float64{reach, -reach} {
		for _, iv := range firring.Without(chordsAt(r, at+off), out) {
			if iv[1]-iv[0] >= besideM {
				out = append(out, iv)
			}
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i][0] < out[j][0] })
	joined := out[:0]
	for _, iv := range out {
		if n := len(joined); n > 0 && iv[0]-joined[n-1][1] < 1e-6 {
			joined[n-1][1] = max(joined[n-1][1], iv[1])
			continue
		}
		joined = append(joined, iv)
	}
	return joined
}

// chordsAt returns where the line x = at lies inside the region, as intervals of y.
func chordsAt(r plane.Region, at float64) [][2]float64 { return r.Along(plane.Point{Y: 1}, -at) }

// fixings counts screws board by board. On joists: edge centres where a board
// ends on a joist, field centres on the joists it crosses, and edge centres along
// square long edges, which lie on noggins. On a deck: edge centres round the
// board, field centres inside.
func fixings(b boarding, spec roof.Board, zones []Zone) []Fixings {
	var out []Fixings
	ix := indexZones(zones)
	for i, s := range b.sheets {
		out = append(out, inZones(number(Board, i), s, b.f, b.g, spec, ix))
	}
	return out
}

func fixingsOf(name string, s sheet, g grid, spec roof.Board) Fixings {
	edgeM, fieldM := spec.EdgeFixMM/1000, spec.FieldFixMM/1000
	if !(edgeM > 0) {
		edgeM = 0.150
	}
	if !(fieldM > 0) {
		fieldM = 0.300
	}
	along := func(length, centres float64) int { return int(math.Ceil(length/centres-0.01)) + 1 }
	f := Fixings{Board: name}
	long, high := s.high.X-s.low.X, s.high.Y-s.low.Y
	if g.free {
		share := s.area() / (long * high)
		f.Edge = max(4, int(math.Ceil(2*(long+high)/edgeM*math.Sqrt(share)-0.01)))
		inner := max(0, along(long, fieldM)-2) * max(0, along(high, fieldM)-2)
		f.Field = int(math.Round(float64(inner) * share))
		return f
	}
	f.Edge = 2 * along(high, edgeM)
	if !spec.TongueAndGroove {
		f.Edge += 2 * max(0, along(long, edgeM)-2)
	}
	across := func(m float64) int {
		n := along(m, fieldM)
		if !spec.TongueAndGroove {
			n = max(0, n-2) // the two at the long edges are counted there
		}
		return n
	}
	if s.plain {
		f.Field = g.countWithin(s.low.X+g.width/2, s.high.X-g.width/2) * across(high)
		return f
	}
	for _, x := range g.within(s.low.X+g.width/2, s.high.X-g.width/2) {
		for _, iv := range chordsAt(s.shape.Region(), x) {
			f.Field += across(iv[1] - iv[0])
		}
	}
	return f
}

// boardStock writes the cutting diagrams of the boards.
func boardStock(b boarding, material string, z sizes, out *SetOut) {
	out.cutFault(material, b.cut.fault)
	n := b.cut.boards
	m := Material{Name: material, Kind: Board, Unit: "boards", BoundUnit: "boards", Items: n, Stock: make([]Stock, len(b.cut.sheets))}
	counts := map[int]int{}
	for i, s := range b.cut.sheets {
		m.Stock[i] = Stock{Number: i + 1, LengthMM: s.length, WidthMM: s.width}
		area := float64(s.length) * float64(s.width) / 1e6
		if s.hand < 0 {
			m.Bought += area
			continue
		}
		m.Stock[i].InHand, m.Stock[i].Where = true, b.hand[s.hand].Where
		m.TakenItems++
		m.TakenQuantity += area
		counts[s.hand]++
	}
	for i, h := range b.hand {
		if counts[i] > 0 {
			m.Taken = append(m.Taken, Taken{LengthMM: h.LengthMM, WidthMM: h.WidthMM, Count: counts[i], Where: h.Where})
		}
	}
	inside := make([][]rect, len(m.Stock))
	taken := make([][]rect, len(m.Stock))
	for _, p := range b.cut.places {
		k := b.blanks[p.id]
		m.Stock[p.board].Cuts = append(m.Stock[p.board].Cuts, Cut{Piece: number(Board, p.id), XMM: p.x, YMM: p.y, LengthMM: k.length,
			WidthMM: k.width})
		out.Pieces[p.id].Stock = p.board + 1
		taken[p.board] = append(taken[p.board], rect{p.x, p.y, k.length, k.width})
		if r, ok := spareWithin(out.Pieces[p.id], z.kerf, z.keep); ok {
			inside[p.board] = append(inside[p.board], rect{p.x + r.x, p.y + r.y, r.l, r.w})
		}
	}
	for i := range m.Stock {
		s := &m.Stock[i]
		s.Offcuts = offcutsOf(leftovers(taken[i], s.LengthMM, s.WidthMM, z.kerf, z.keep), inside[i])
	}
	for _, s := range b.sheets {
		m.Used += s.shape.Area()
	}
	m.TakenQuantity = round3(m.TakenQuantity)
	m.WastePct = wastePct(m.Bought+m.TakenQuantity, m.Used)
	m.Bound = float64(b.cut.bound)
	m.Gap = math.Max(0, float64(n)-m.Bound) / math.Max(1, float64(n))
	m.Optimal = m.Gap == 0
	m.Method, m.AreaBound = b.cut.method, b.leastByArea
	if b.broken.total() == 0 && b.least > b.leastByArea {
		m.LayoutBound = b.least
	}
	out.Materials = append(out.Materials, m)
}

func wastePct(bought, used float64) float64 {
	if !(bought > 0) {
		return 0
	}
	return (bought - used) / bought * 100
}
