package mixing

import (
	"context"
	"fmt"
	"math"
)

// Details plans small buckets for bandages and details, in the order given: a detail that
// one bucket holds is never shared by two, so that nobody asks which part of a strip is
// whose. Gangs work at the same time, each on its own stretch of the list with a pail of its
// own. Cells and Exits of in are not used: the work is done from the bare deck, so there is no
// way out to prove and no wet edge to keep. Parts of the mixes bear no area.
func Details(ctx context.Context, in Input, items []Detail) (*Plan, error) {
	out, err := inGangs(ctx, in, items)
	if err != nil {
		return nil, err
	}
	out.total(&in)
	return out, nil
}

// inGangs plans the buckets of every gang.
func inGangs(ctx context.Context, in Input, items []Detail) (*Plan, error) {
	n := min(max(1, in.Gangs), max(1, len(items)), max(1, in.Crew.People))
	if n == 1 {
		return details(ctx, in, items)
	}
	var out *Plan
	people, from := in.Crew.People, 0
	first := max(1, in.FirstNumber)
	for k, share := range byGang(items, n) {
		g := in
		// The first gangs have the odd man.
		g.Crew.People = people/n + min(1, max(0, people%n-k))
		g.FirstNumber = first
		p, err := details(ctx, g, share)
		if err != nil {
			return nil, err
		}
		for i := range p.Mixes {
			p.Mixes[i].Gang = string(rune('A' + k))
			for j := range p.Mixes[i].Parts {
				p.Mixes[i].Parts[j].Cell += from
			}
		}
		for i := range p.Notes {
			p.Notes[i] = fmt.Sprintf("gang %c: %s", 'A'+k, p.Notes[i])
		}
		first, from = first+len(p.Mixes), from+len(share)
		out = out.beside(p)
	}
	return out, nil
}

// byGang parts a list between gangs, each a stretch of it, by the work as evenly as may be.
func byGang(items []Detail, n int) [][]Detail {
	all := 0.0
	for _, d := range items {
		all += d.ManMinutes
	}
	var out [][]Detail
	from, done := 0, 0.0
	for i, d := range items {
		done += d.ManMinutes
		left := n - len(out)
		if left > 1 && (done >= all*float64(len(out)+1)/float64(n)-1e-9 || len(items)-i-1 < left) {
			out, from = append(out, items[from:i+1]), i+1
		}
	}
	return append(out, items[from:])
}

// ReadyMin is how long the gang with the most mixes takes to weigh and stir those of a list, min: as
// few as hold it by mass, each of no more than capKG, a piece larger than that in several.
func ReadyMin(items []Detail, capKG float64, gangs int) float64 {
	if len(items) == 0 || !(capKG > 0) {
		return 0
	}
	most := 0
	for _, share := range byGang(items, min(max(1, gangs), len(items))) {
		mixes, room := 0, 0.0
		for _, d := range share {
			if d.KG > room+1e-9 {
				n := math.Ceil(d.KG/capKG - 1e-9)
				mixes, room = mixes+int(n), n*capKG
			}
			room -= d.KG
		}
		most = max(most, mixes)
	}
	return PrepareMin * float64(most)
}

// beside joins the buckets of another gang to a plan.
func (p *Plan) beside(q *Plan) *Plan {
	if p == nil {
		return q
	}
	if a, b := p.LastDay(), q.LastDay(); b > a || b == a && q.EndMin > p.EndMin {
		p.EndMin = q.EndMin
	}
	p.Mixes, p.Notes, p.Figures = append(p.Mixes, q.Mixes...), append(p.Notes, q.Notes...), append(p.Figures, q.Figures...)
	p.ChanceDay *= q.ChanceDay
	for i, c := range q.ChanceOfDay {
		if i < len(p.ChanceOfDay) {
			p.ChanceOfDay[i] *= c
			continue
		}
		p.ChanceOfDay = append(p.ChanceOfDay, c)
	}
	p.Days = int(math.Max(float64(p.Days), float64(q.Days)))
	return p
}

// LastDay is the last day on which a bucket is mixed; 0 for none.
func (p *Plan) LastDay() int {
	day := 0
	for _, m := range p.Mixes {
		day = max(day, m.Day)
	}
	return day
}
