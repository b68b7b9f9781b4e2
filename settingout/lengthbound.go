package settingout

import (
	"context"
	"math"
	"slices"

	"gelwright/cutting/lp"
	"gelwright/plane"
)

// section is a stretch along the rows, from a to b, that is met over a height of the deck, m.
type section struct{ a, b, high float64 }

const (
	// sectionShiftM is how far a slanting side moves within one section, m, and slantedMost into how
	// many sections it is cut at most.
	sectionShiftM = 0.15
	slantedMost   = 8
	// sliverM is what rowsOf leaves out at most, m.
	sliverM = 0.002
)

// sectionsOf are the stretches along the rows that boards must cover, wherever the rows lie. A line
// along the rows in the gap between two of them belongs to the nearer one, so that a section loses
// half a gap where it begins and where it ends; one between slanting sides is the narrowest that
// it is anywhere, less what they move by in a gap.
func sectionsOf(bays []bay, r boardRules) []section {
	var out []section
	for i := range bays {
		var ys []float64
		for _, l := range bays[i].region {
			for _, p := range l {
				ys = append(ys, p.Y)
			}
		}
		slices.Sort(ys)
		var open []section // those that reach up to where the next slab begins
		for n := 0; n+1 < len(ys); n++ {
			if ys[n+1]-ys[n] < 1e-5 {
				continue
			}
			slab := slabOf(bays[i], ys[n], ys[n+1], r.gap)
			for k := range slab {
				c := &slab[k]
				at := slices.IndexFunc(open, func(o section) bool { return math.Abs(o.a-c.a) < 1e-6 && math.Abs(o.b-c.b) < 1e-6 })
				if at >= 0 {
					c.high += open[at].high
					open = slices.Delete(open, at, at+1)
				}
			}
			out, open = append(out, open...), slab
		}
		out = append(out, open...)
	}
	for i := range out {
		out[i].high -= r.gap + 2*sliverM
	}
	return slices.DeleteFunc(out, func(c section) bool { return c.high <= 0 || c.b-c.a < 2*sliverM })
}

// slabOf are the sections of a bay between two heights with no corner between them.
func slabOf(b bay, y0, y1, gap float64) []section {
	const in = 1e-7
	x := plane.Point{X: 1}
	from, to := b.region.Along(x, y0+in), b.region.Along(x, y1-in)
	if len(from) != len(to) {
		return nil
	}
	var out []section
	for i := range from {
		da, db := to[i][0]-from[i][0], to[i][1]-from[i][1]
		if math.Abs(da)+math.Abs(db) < 1e-5 {
			out = append(out, section{max(from[i][0], to[i][0]), min(from[i][1], to[i][1]), y1 - y0})
			continue
		}
		n := min(slantedMost, int(math.Ceil((math.Abs(da)+math.Abs(db))/sectionShiftM)))
		k := float64(n)
		spare := (math.Abs(da) + math.Abs(db)) * gap / (y1 - y0)
		// What a section loses at its ends is lost once, not in every part.
		high := (y1 - y0) / k
		for t := range n {
			at := float64(t) / k
			a, b := from[i][0]+da*at, from[i][1]+db*at
			c := section{max(a, a+da/k) + spare, min(b, b+db/k) - spare, high}
			if t > 0 {
				c.high += gap + 2*sliverM
			}
			out = append(out, c)
		}
	}
	return out
}

// parting is a section with the places where its boards may end.
type parting struct {
	high  float64
	nodes int
	arcs  []arc // by rising to
}

// arc is a piece between two places of a section; size is an index of lengths, −1 where nothing is cut.
type arc struct{ from, to, size int }

// lengthBound is the programme of lengthBound.
type lengthProgramme struct {
	length, kerf int // of a board, mm
	sizes        []int
	parts        []parting
	lp           *lp.Solver
	worth        []float64 // of each size, as tried last
	centre       []float64 // the worth that gave the best bound so far
	bound        float64   // that bound, metres of board
	// Scratch.
	best []float64
	last []int32
	held []float64 // the greatest worth that a length holds, by mm
	from []int32
}

// divide lists the pieces that a section can be parted into: from the end, or a bearing, to another or
// the other end, each as short as the play on the bearings lets it be.
func (p *lengthProgramme) divide(c section, g grid, r boardRules, index map[int]int) {
	slack := r.gap/2 + g.play
	xs := append([]float64{c.a}, g.within(c.a-slack, c.b+slack)...)
	xs = append(xs, c.b)
	d := parting{high: c.high, nodes: len(xs)}
	last := len(xs) - 1
	for to := 1; to <= last; to++ {
		for from := 0; from < to; from++ {
			long := xs[to] - xs[from]
			if from > 0 {
				long -= slack
			}
			if to < last {
				long -= slack
			}
			mm := int(math.Floor(1000*long - 0.2))
			if mm > p.length {
				continue
			}
			size := -1
			if mm > 0 {
				i, known := index[mm]
				if !known {
					i = len(p.sizes)
					p.sizes = append(p.sizes, mm)
					index[mm] = i
				}
				size = i
			}
			d.arcs = append(d.arcs, arc{from, to, size})
		}
	}
	p.parts = append(p.parts, d)
}

// roundsMost bounds the rounds of lengthBound.
const roundsMost = 40

// lengthBound is a number of boards below which no layout comes that keeps joints on bearings, whatever its
// rows: a line along the rows meets pieces that end on bearings or at the deck's edge, and lines along a
// board hold no more of such pieces than its length. So a worth of every length of piece, under which no
// board's length holds more than 1, gives the least worth of every section, and their sum over the
// height of the deck is not below the width of the boards. (A dual feasible function found by a linear programme,
// as Gilmore and Gomory 1961 price patterns; Fekete and Schepers 2001 use such functions in two dimensions; both
// from memory.) It stops where needed boards are proven.
func lengthBound(ctx context.Context, bays []bay, g grid, r boardRules, needed int) float64 {
	p := lengthProgramme{length: upMM(r.length), kerf: r.kerf, lp: lp.New(1000)}
	index := map[int]int{}
	for _, c := range sectionsOf(bays, r) {
		p.divide(c, g, r, index)
	}
	unit := (r.width + float64(r.kerf)/1000) * r.gain()
	p.start()
	for range roundsMost {
		if ctx.Err() != nil || boardsFor(p.bound/unit) >= needed {
			break
		}
		solved := p.lp.Solve(500)
		if solved && p.lp.Violation() < 1e-9 && boardsFor(p.lp.Objective()/unit) <= boardsFor(p.bound/unit) {
			break
		}
		if !p.price(0.3) && !p.price(1) {
			break
		}
	}
	return p.bound / unit
}

// start sets up the programme: a row for each section, covered at least as high as it is, and one for
// each size, cut at least as often as it is laid; a column for each way found to divide a section or
// to cut a board. A piece is worth its length at first, which gives the bound by area.
func (p *lengthProgramme) start() {
	for i := range p.parts {
		p.lp.AddRow(lp.AtLeast, p.parts[i].high, nil, nil)
	}
	p.worth, p.centre = make([]float64, len(p.sizes)), make([]float64, len(p.sizes))
	for i, mm := range p.sizes {
		p.lp.AddRow(lp.AtLeast, 0, nil, nil)
		p.lp.AddColumn(1, []int32{int32(len(p.parts) + i)}, []float64{float64((p.length + p.kerf) / (mm + p.kerf))})
		p.worth[i] = float64(mm+p.kerf) / float64(p.length+p.kerf)
	}
	p.weigh()
}

// price takes the duals, in part, as the worth of the sizes, adds what does better, and reports
// whether anything does.
func (p *lengthProgramme) price(share float64) bool {
	for i := range p.sizes {
		p.worth[i] = max(0, share*p.lp.Dual(len(p.parts)+i)+(1-share)*p.centre[i])
	}
	return p.weigh()
}

// weigh works out the bound under the present worths and adds columns that do better under them.
func (p *lengthProgramme) weigh() bool {
	before := p.lp.Columns()
	most := p.fill()
	sum := 0.0
	for i := range p.parts {
		worth := p.least(&p.parts[i])
		if math.IsInf(worth, 1) {
			continue // no lawful way: the rule is broken there whatever is done
		}
		sum += worth * p.parts[i].high
		p.column(i)
	}
	if bound := sum / max(most, 1e-9) * (1 - 1e-9); bound > p.bound {
		p.bound = bound
		copy(p.centre, p.worth)
		for i := range p.centre {
			p.centre[i] /= max(most, 1e-9)
		}
	}
	return p.lp.Columns() > before
}

// least is the least worth of a section; the pieces that have it are found back from last.
func (p *lengthProgramme) least(d *parting) float64 {
	p.best = append(p.best[:0], 0)
	p.last = append(p.last[:0], -1)
	for k := 1; k < d.nodes; k++ {
		p.best, p.last = append(p.best, math.Inf(1)), append(p.last, -1)
	}
	for n, a := range d.arcs {
		v := p.best[a.from]
		if a.size >= 0 {
			v += p.worth[a.size]
		}
		if v < p.best[a.to] {
			p.best[a.to], p.last[a.to] = v, int32(n)
		}
	}
	return p.best[d.nodes-1]
}

// column adds the parting of section i that least has found, where it costs less than the section is worth.
func (p *lengthProgramme) column(i int) {
	d := &p.parts[i]
	count := make([]float64, len(p.sizes))
	cost := 0.0
	for at := d.nodes - 1; at > 0; at = d.arcs[p.last[at]].from {
		if s := d.arcs[p.last[at]].size; s >= 0 {
			count[s]--
			cost += p.lp.Dual(len(p.parts) + s)
		}
	}
	if p.lp.Pivots() > 0 && cost > p.lp.Dual(i)-1e-9 {
		return
	}
	rows, vals := []int32{int32(i)}, []float64{1}
	p.add(0, rows, vals, count)
}

func (p *lengthProgramme) add(cost float64, rows []int32, vals, count []float64) {
	for s, v := range count {
		if v != 0 {
			rows, vals = append(rows, int32(len(p.parts)+s)), append(vals, v)
		}
	}
	p.lp.AddColumn(cost, rows, vals)
}

// fill finds the greatest worth that a board's length holds, and adds for every size the pattern of
// most worth that has it, where the programme gains by it.
func (p *lengthProgramme) fill() float64 {
	room := p.length + p.kerf
	if p.held == nil {
		p.held, p.from = make([]float64, room+1), make([]int32, room+1)
	}
	for x := 1; x <= room; x++ {
		p.held[x], p.from[x] = p.held[x-1], -1
		for i, mm := range p.sizes {
			if need := mm + p.kerf; need <= x {
				if v := p.held[x-need] + p.worth[i]; v > p.held[x]+1e-12 {
					p.held[x], p.from[x] = v, int32(i)
				}
			}
		}
	}
	for i, mm := range p.sizes {
		count := make([]float64, len(p.sizes))
		count[i]++
		gain := p.lp.Dual(len(p.parts) + i)
		for x := room - mm - p.kerf; x > 0; {
			if p.from[x] < 0 {
				x--
				continue
			}
			s := int(p.from[x])
			count[s]++
			gain += p.lp.Dual(len(p.parts) + s)
			x -= p.sizes[s] + p.kerf
		}
		if p.lp.Pivots() == 0 || gain > 1+1e-9 {
			p.add(1, nil, nil, count)
		}
	}
	return p.held[room]
}
