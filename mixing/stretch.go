package mixing

import (
	"math"
	"slices"

	"gelwright/plane"
)

// stretch is a cell, or half of one, with the direction in which it is laid.
type stretch struct {
	cell   int
	shape  plane.Loop
	toward plane.Point // unit
	m2, kg float64
	whole  bool
	// number in the order of laying.
	number int
	// apart is set where it begins at a place that what is laid before it does not touch,
	// joined where it goes along all the same, since too little is laid there for a mix of its own.
	apart, joined bool
}

// onePlaceM is the least contact of two places that one bucket covers, m: a crew mixes strip by
// strip and does not carry what is left of a bucket over the roof (common practice, no source).
const onePlaceM = 0.05

// leastMixKG is the least that is mixed by itself: with less the catalyst cannot be measured
// (assumed).
const leastMixKG = 0.3

// touches reports whether two places meet.
func touches(a, b plane.Loop) bool { return a.Touching(b, joinTolM).LengthM >= onePlaceM }

// elsewhere reports whether a part touches nothing of what a bucket covers already.
func elsewhere(parts []Part, part Part) bool {
	return len(parts) > 0 && !slices.ContainsFunc(parts, func(x Part) bool { return touches(x.Shape, part.Shape) })
}

// partApart marks the stretches that begin away from where the one before them ends: the last
// and the first so many m² of them do not meet.
func partApart(queue []stretch, m2 float64) {
	for i := 1; i < len(queue); i++ {
		a, b := queue[i-1], queue[i]
		tail, head := a.shape, b.shape
		if a.m2 > m2 {
			_, tail = a.shape.SplitAt(a.toward, 1-m2/a.m2)
		}
		if b.m2 > m2 {
			head, _ = b.shape.SplitAt(b.toward, m2/b.m2)
		}
		queue[i].apart = !touches(tail, head)
	}
	joinCrumbs(queue)
}

// joinCrumbs lets a run of stretches that is too small for a mix of its own go along with the
// one before it; the first with the one after.
func joinCrumbs(queue []stretch) {
	for from := 0; from < len(queue); {
		to, kg := from+1, queue[from].kg
		for to < len(queue) && !queue[to].apart {
			kg += queue[to].kg
			to++
		}
		if kg < leastMixKG {
			at := from
			if from == 0 {
				at = to
			}
			if at < len(queue) {
				queue[at].apart, queue[at].joined = false, true
			}
		}
		from = to
	}
}

// endM is how near to the end of a cell the way off must lie to leave from that end.
const endM = 0.02

// stretches gives each cell of an order its direction of laying. The far end comes
// first, unless the way off lies there; where the way off is in the middle the cell
// is laid from both ends towards it.
func (g *ground) stretches(order []int) []stretch {
	place := make([]int, len(order))
	for k, i := range order {
		place[i] = k
	}
	var queue []stretch
	for k, i := range order {
		c := g.cells[i]
		u := c.axis()
		low, high := c.Shape.Extent(u)
		from, to, meet := g.wayOff(i, k, place, u)
		lastHigh := to >= high-endM
		lastLow := from <= low+endM
		mid := g.at[i].Dot(u)
		farLow := g.fromExit(g.at[i].Add(u.Scale(low-mid))) >= g.fromExit(g.at[i].Add(u.Scale(high-mid)))-1e-9
		whole := stretch{cell: i, shape: c.Shape, toward: u, m2: c.AreaM2, kg: c.ResinKG, whole: true}
		switch {
		case lastHigh && (farLow || !lastLow):
			queue = append(queue, whole)
		case lastLow:
			whole.toward = u.Scale(-1)
			queue = append(queue, whole)
		default:
			a := c.Shape.Below(u, meet)
			b := c.Shape.Below(u.Scale(-1), -meet)
			share := a.Area() / (a.Area() + b.Area())
			if !(share > 1e-6 && share < 1-1e-6) {
				queue = append(queue, whole) // nothing to part
				break
			}
			queue = append(queue,
				stretch{cell: i, shape: a, toward: u, m2: c.AreaM2 * share, kg: c.ResinKG * share},
				stretch{cell: i, shape: b, toward: u.Scale(-1), m2: c.AreaM2 * (1 - share), kg: c.ResinKG * (1 - share)})
		}
	}
	return queue
}

// wayOff returns the reach of cell i, along u, from which one steps to a cell laid
// later or off the roof, and the middle of the longest stretch of it, where the two
// halves of a cell laid from both ends may meet.
func (g *ground) wayOff(i, at int, place []int, u plane.Point) (from, to, meet float64) {
	from, to = math.Inf(1), math.Inf(-1)
	longest := -1.0
	note := func(p, q plane.Point) {
		a, b := math.Min(p.Dot(u), q.Dot(u)), math.Max(p.Dot(u), q.Dot(u))
		from, to = math.Min(from, a), math.Max(to, b)
		if b-a > longest {
			longest, meet = b-a, (a+b)/2
		}
	}
	for _, j := range g.walks[i] {
		if place[j] > at {
			ends := g.cells[i].Shape.Touching(g.cells[j].Shape, joinTolM).Ends
			for e := 0; e+1 < len(ends); e += 2 {
				note(ends[e], ends[e+1])
			}
		}
	}
	if g.exit[i] && from > to {
		note(g.door[i], g.door[i])
	}
	if from > to {
		note(g.at[i], g.at[i])
	}
	return from, to, meet
}

// snapShare is how far, as a share of a bucket, its end is moved to fall on the end of a cell.
const snapShare = 0.15

// fieldShare is the same for a bucket that is to end with its field.
const fieldShare = 0.3

// inField returns the effort of what is queued before the first stretch of another
// field, before the first that begins apart from what is laid before it or is of the next turn, and of all.
func (p *pour) inField(b size) (field, run, all float64) {
	left, away, m2 := false, false, 0.0
	for i, s := range p.queue {
		left = left || p.field(s.cell) != p.field(p.queue[0].cell)
		away = away || i > 0 && (s.apart || p.turns != nil && m2 > p.turns.restM2-1e-6)
		m2 += s.m2
		all += b.effort(s.kg, s.m2)
		if !left {
			field = all
		}
		if !away {
			run = all
		}
	}
	return field, run, all
}

// take removes one bucket from the queue: an even share of what remains, moved to
// the end of a cell where one is near and neither limit nor count suffers, or where
// the day ends. Where it costs no bucket more, what is left of a field is shared
// evenly, so that the last bucket there ends with it.
func (p *pour) take(b size) []Part {
	if p.detail {
		return p.takeWhole(b)
	}
	field, run, all := p.inField(b)
	if run < all {
		// What does not touch is never of one bucket: what does is shared evenly.
		all, field = run, math.Min(field, run)
	}
	buckets := func(effort float64) float64 { return math.Max(1, math.Ceil(effort-1e-9)) }
	n := buckets(all)
	if alone := buckets(field); field < all && alone+buckets(all-field) <= n && math.Abs(field/alone-all/n) <= fieldShare*all/n {
		all, n = field, alone
	}
	want, done := all/n, 0.0
	if n > 1 {
		for _, s := range p.queue {
			if done += b.effort(s.kg, s.m2); done > want*(1+snapShare) || done > 1 {
				break
			}
			if done >= want*(1-snapShare) && all-done <= n-1 {
				want = done
				break
			}
		}
	}
	if want < all-1e-9 && p.lastToday(b, want) {
		want = p.dayJoint(b, want)
	}
	return p.draw(b, want)
}

// lastToday reports whether no bucket of this size would be rolled out today after it.
func (p *pour) lastToday(b size, want float64) bool {
	if len(p.in.Sessions) > 0 {
		return false
	}
	m2, done := 0.0, 0.0
	for _, s := range p.queue {
		e := b.effort(s.kg, s.m2)
		m2 += s.m2 * math.Min(1, (want-done)/e)
		if done += e; done >= want {
			break
		}
	}
	return p.clock+2*m2/p.in.Crew.averageM2PerMin() > p.in.Day.EndMin
}

// leastLast is how small, as a share of what was meant, the last bucket of a day may be.
const leastLast = 0.6

// dayJoint moves the end of the day's last bucket to the end of a field or else of a
// cell where there is one, so that no strip is left half laid overnight.
func (p *pour) dayJoint(b size, want float64) float64 {
	best, done := want, 0.0
	for k, s := range p.queue {
		if done += b.effort(s.kg, s.m2); done > 1 {
			break
		}
		if done >= leastLast*want {
			best = done
			if k+1 < len(p.queue) && p.field(p.queue[k+1].cell) != p.field(s.cell) {
				break
			}
		}
	}
	return best
}

// divide gives a part its shape, or of a detail where along the piece it lies, and returns what is left of the stretch.
func (p *pour) divide(part *Part, s *stretch, share float64) plane.Loop {
	switch {
	case p.detail && !part.Whole:
		part.From, part.To = p.span(s, share)
	case !p.detail && share < 1:
		shape, rest := s.shape.SplitAt(s.toward, share)
		part.Shape = shape
		return rest
	}
	return s.shape
}

// draw takes stretches from the front of the queue until a bucket is as full as wanted.
func (p *pour) draw(b size, want float64) []Part {
	const crumb = 1e-7
	var parts []Part
	left := -want
	for _, s := range p.queue {
		left += b.effort(s.kg, s.m2)
	}
	if left < 10*crumb {
		want += 1 // what would be left is no bucket: it goes into this one
	}
	for len(p.queue) > 0 && (want > crumb || len(parts) == 0) {
		s := &p.queue[0]
		effort := b.effort(s.kg, s.m2)
		share := math.Min(1, want/effort)
		if effort*(1-share) < crumb {
			share = 1
		}
		of := s.cell
		if !p.detail {
			of = p.pieces[s.cell].of
		}
		part := Part{Cell: of, piece: s.cell, stretch: s.number, Name: p.in.Cells[of].Name, Shape: s.shape, AreaM2: s.m2 * share,
			KG: s.kg * share, Whole: s.whole && share == 1}
		rest := p.divide(&part, s, share)
		if !p.detail && !s.joined && elsewhere(parts, part) {
			break
		}
		if share < 1 {
			s.shape = rest
			s.m2, s.kg, s.whole = s.m2-part.AreaM2, s.kg-part.KG, false
		} else {
			p.queue = p.queue[1:]
		}
		want -= effort * share
		parts = append(parts, part)
	}
	return parts
}
