package mixing

import (
	"context"
	"fmt"
	"math"

	"gelwright/plane"
)

// Detail is a piece of small work that takes resin: bandage along an edge, a
// corner, a pipe collar.
type Detail struct {
	Name string
	// KG of resin, and the man-minutes it takes to lay.
	KG, ManMinutes float64
	// Of is the work that it belongs to, as an edge: a bucket with room left takes later
	// strips of the same.
	Of string
	// Places on plan, evenly along it, where it is cut in ahead of a field; Shared is set where it is a part of a piece.
	Places []plane.Point
	Shared bool
	// From and To bound that part, as shares of the piece along its Places; both 0 where all of it is meant, or where it
	// lies in several places.
	From, To float64
}

// span is which share of a piece, from one end to the other, a bucket covers that takes share of a stretch; both 0 where
// nobody can say.
func (p *pour) span(s *stretch, share float64) (from, to float64) {
	d := p.items[s.cell]
	from, to = d.From, d.To
	if to == 0 {
		if d.Shared {
			return 0, 0
		}
		to = 1
	}
	per := (to - from) / d.KG
	from = to - per*s.kg
	return from, from + per*s.kg*share
}

// DetailCapKG is the largest bucket for details; common practice, no source.
const DetailCapKG = 2

// details plans the buckets of one gang.
func details(ctx context.Context, in Input, items []Detail) (*Plan, error) {
	if len(items) == 0 {
		return nil, fmt.Errorf("mixing: %s: no details: give at least one", in.Name)
	}
	in.Exits, in.Cells = nil, nil
	in.Crew.CapKG = math.Min(in.Crew.CapKG, DetailCapKG)
	if in.CapL > 0 {
		in.Crew.CapKG = math.Min(in.Crew.CapKG, in.CapL*in.Resin.DensityKGPerL)
	}
	crew, err := in.Crew.filled()
	if err != nil {
		return nil, err
	}
	in.Crew = crew
	if err := in.Day.check(); err != nil {
		return nil, err
	}
	if err := in.begins(); err != nil {
		return nil, err
	}
	if err := in.sessionsSound(); err != nil {
		return nil, err
	}
	if in.FirstNumber == 0 {
		in.FirstNumber = 1
	}
	p := in.pour()
	p.detail, p.items = true, items
	for i, d := range items {
		if !(d.KG > 0 && d.ManMinutes > 0) || math.IsInf(d.KG+d.ManMinutes, 0) {
			return nil, fmt.Errorf("mixing: detail %q takes %g kg and %g man-minutes: give both", d.Name, d.KG, d.ManMinutes)
		}
		// The area that the crew would lay in the same time stands in for the work.
		m2 := d.ManMinutes / 60 * crew.LayM2PerManHour
		in.Cells = append(in.Cells, Cell{Name: d.Name, AreaM2: m2, ResinKG: d.KG})
		p.queue = append(p.queue, stretch{cell: i, m2: m2, kg: d.KG, whole: !d.Shared})
	}
	p.in = in
	if err := p.run(ctx); err != nil {
		return nil, err
	}
	plan := &Plan{Name: in.Name, Mixes: p.mixes, How: "in the order given", Claim: Good, WayOut: WayOut{Holds: true}, Days: p.days(),
		EndMin: p.clock, Notes: p.notes}
	for i := range plan.Mixes {
		plan.Mixes[i].AreaM2 = 0
		for j := range plan.Mixes[i].Parts {
			plan.Mixes[i].Parts[j].AreaM2 = 0
		}
	}
	plan.chances(crew.PaceCV)
	return plan, nil
}

// takeWhole removes one bucket of details: as many whole ones as come nearest to an even
// share without a bucket more, a detail larger than a bucket in even parts by itself.
func (p *pour) takeWhole(b size) []Part {
	const slack = 1e-9
	if s := p.queue[0]; b.effort(s.kg, s.m2) > 1+slack {
		e := b.effort(s.kg, s.m2)
		return p.draw(b, e/math.Ceil(e-slack))
	}
	_, _, all := p.inField(b)
	n := math.Max(1, math.Ceil(all-slack))
	best, done, keeps := 0.0, 0.0, false
	for _, s := range p.queue {
		if done += b.effort(s.kg, s.m2); done > 1+slack {
			break
		}
		// Nothing more than the buckets left after it can hold may stay behind.
		k := all-done <= n-1+slack
		if best == 0 || k && !keeps || k == keeps && (!k || math.Abs(done-all/n) < math.Abs(best-all/n)) {
			best, keeps = done, k
		}
	}
	if !keeps {
		best = p.fill(b, best)
	}
	return p.draw(b, best)
}

// fill brings forward what still fits into a bucket that whole strips leave room in, of the
// same work as its last.
func (p *pour) fill(b size, done float64) float64 {
	k, sum := 0, 0.0
	for k < len(p.queue) && sum < done-1e-9 {
		sum += b.effort(p.queue[k].kg, p.queue[k].m2)
		k++
	}
	if k == 0 {
		return done
	}
	work := p.items[p.queue[k-1].cell].Of
	for i := k; i < len(p.queue) && p.items[p.queue[i].cell].Of == work; i++ {
		s := p.queue[i]
		if e := b.effort(s.kg, s.m2); sum+e <= 1 {
			copy(p.queue[k+1:i+1], p.queue[k:i])
			p.queue[k] = s
			sum, k = sum+e, k+1
		}
	}
	return sum
}
