package mixing

import (
	"fmt"

	"gelwright/working"
)

// hairM is the contact from which two parts of buckets count as joined, m: any.
const hairM = 1e-4

// finish proves the way out over the buckets' own parts, ages the joints and
// reckons the chances.
func (p *pour) finish(c choice) (*Plan, error) {
	plan := &Plan{Name: p.in.Name, Mixes: p.mixes, How: c.how, Claim: c.claim, Days: p.days(), EndMin: p.clock, Notes: p.notes}
	plan.WayOut = p.ground.prove(c.order)
	parts, of, cellOf := p.parts()
	small := joined(parts, hairM, p.in.Breaks...)
	for i, cell := range cellOf {
		if p.ground.exit[cell] {
			_, away := parts[i].Shape.Closest(p.ground.door[cell])
			small.exit[i] = away <= passM
		}
	}
	order := make([]int, len(parts))
	for i := range order {
		order[i] = i
	}
	if byPart := small.prove(order); plan.WayOut.Holds && !byPart.Holds {
		plan.WayOut.Holds, plan.WayOut.BrokenAfter, plan.WayOut.Trapped = false, byPart.BrokenAfter, byPart.Trapped
	} else if byPart.Holds {
		plan.WayOut.Steps = byPart.Steps
	}
	for _, name := range plan.WayOut.OwnWayOff {
		plan.Notes = append(plan.Notes, fmt.Sprintf("%s is joined to no exit: it needs a way off of its own", name))
	}
	plan.Tucked = p.tucked(c.order)
	if note := tuckNote(plan.Tucked); note != "" {
		plan.Notes = append(plan.Notes, note)
	}
	p.joints(plan, small, of)
	plan.chances(p.in.Crew.PaceCV)
	plan.total(&p.in)
	if p.turns != nil {
		plan.Edges = p.turns.finish(&p.in, p.mixes)
	}
	return plan, nil
}

// total adds what all buckets hold as the plan's first figure.
func (p *Plan) total(in *Input) {
	buckets := make([]*working.Figure, len(p.Mixes))
	for i, m := range p.Mixes {
		buckets[i] = m.Figures[0]
	}
	if len(buckets) > 0 {
		p.Figures = append(p.Figures, resinOfBuckets.Figure("resin mixed, "+in.Name, "kg", plainMath,
			buckets...).Keyed(keyed(in.Key)("total")))
	}
}

func (p *pour) parts() (parts []Cell, mix, cell []int) {
	for i, m := range p.mixes {
		for _, x := range m.Parts {
			parts = append(parts, Cell{Name: fmt.Sprintf("bucket %d, %s", m.Number, x.Name), Shape: x.Shape, AreaM2: x.AreaM2, ResinKG: x.KG})
			mix, cell = append(mix, i), append(cell, x.piece)
		}
	}
	return parts, mix, cell
}

func (p *pour) joints(plan *Plan, g *ground, of []int) {
	type pair struct{ a, b int }
	lengths := map[pair]float64{}
	var pairs []pair
	for i := range g.joins {
		for _, l := range g.joins[i] {
			if a, b := of[i], of[l.to]; a < b {
				if _, seen := lengths[pair{a, b}]; !seen {
					pairs = append(pairs, pair{a, b})
				}
				lengths[pair{a, b}] += l.lengthM
			}
		}
	}
	for _, q := range pairs {
		a, b := plan.Mixes[q.a], plan.Mixes[q.b]
		j := Joint{First: a.Number, Second: b.Number, LengthM: lengths[q], AgeMin: b.MixAtMin - a.MixAtMin + float64(b.Day-a.Day)*24*60,
			State: Planned}
		switch {
		case j.AgeMin <= p.in.open(a.Open):
			plan.WetM += j.LengthM
			continue
		case j.AgeMin <= p.in.tacky():
			j.State = Tacky
			plan.TackyM += j.LengthM
		default:
			plan.PlannedM += j.LengthM
		}
		plan.Joints = append(plan.Joints, j)
	}
}
