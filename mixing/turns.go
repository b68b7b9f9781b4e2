package mixing

import (
	"context"
	"math"

	"gelwright/plane"
)

// Edges are what is cut in ahead of a field, in turns with it: a stretch of edges, then the field that goes
// over them while they are wet or have just gelled, and so on.
type Edges struct {
	// Key and Name are those of the pass, as in Input.
	Key, Name string
	Items     []Detail
	// CapL is the largest mix, litres; Gangs cut in at the same time, each with a pot of its own.
	CapL  float64
	Gangs int
	// TurnMin is how long the edges of a turn and the field over them may take together, min: from
	// the first edge to where its wax begins to close.
	TurnMin float64
	// MoreTurns than the fewest that this allows.
	MoreTurns int
}

// reach is a place of an item, counted along it, and the number of the stretch that it lies nearest to.
type reach struct{ place, stretch int }

// shareOfTurn is how much of the time of a turn is planned: a strip is not parted to fill it.
const shareOfTurn = 0.9

// turns follows the edges of a field that is being poured.
type turns struct {
	*Edges
	// over lists for each item its places that are still to be cut in.
	over [][]reach
	// restM2 is what of the field is still to be rolled before more is cut in.
	restM2 float64
	plan   *Plan
	// fields are, for each mix of the plan, the stretches that go over what it covers.
	fields [][]int
	// left is how many turns are still meant to come, MoreTurns among them.
	left int
	// tookMin is how long the crew has cut in since the last bucket of the field.
	tookMin float64
}

// Turns is in how many turns edges and field are laid that take so long together, min, each of no more than turnMin.
func Turns(allMin, turnMin float64) int {
	return max(1, int(math.Ceil(allMin/(shareOfTurn*turnMin)-1e-9)))
}

// takeTurns lays the edges of an input, if it has any, against the stretches of its field.
func (p *pour) takeTurns() {
	e := p.in.Edges
	if e == nil || len(e.Items) == 0 {
		return
	}
	t := &turns{Edges: e, over: make([][]reach, len(e.Items)), plan: &Plan{Name: e.Name, How: "ahead of its field", Claim: Good,
		WayOut: WayOut{Holds: true}, ChanceDay: 1}}
	boxes := make([][2]plane.Point, len(p.queue))
	for i, s := range p.queue {
		boxes[i][0], boxes[i][1] = s.shape.Bounds()
	}
	for i, x := range e.Items {
		for k, q := range x.Places {
			t.over[i] = append(t.over[i], reach{k, nearest(p.queue, boxes, q)})
		}
		if len(x.Places) == 0 {
			t.over[i] = []reach{{0, p.queue[0].number}}
		}
	}
	p.turns = t
}

// nearest is the number of the stretch that a place lies on or nearest to.
func nearest(queue []stretch, boxes [][2]plane.Point, q plane.Point) int {
	best, at := math.Inf(1), 0
	for i, s := range queue {
		low, high := boxes[i][0], boxes[i][1]
		away := plane.Point{X: max(0, low.X-q.X, q.X-high.X), Y: max(0, low.Y-q.Y, q.Y-high.Y)}
		if away.Length() >= best {
			continue
		}
		d := 0.0
		if !s.shape.Contains(q) {
			d = s.shape.Distance(q)
		}
		if d < best {
			best, at = d, s.number
		}
	}
	return at
}

// reached are the items, or the shares of them, that lie along stretches of the queue, and for each its place in the list and the
// stretches that go over it.
func (t *turns) reached(queue []stretch) (items []Detail, of []int, over [][]int) {
	here := make(map[int]bool, len(queue))
	for _, s := range queue {
		here[s.number] = true
	}
	for i, x := range t.Items {
		var in []int
		first, last := 0, 0
		for _, r := range t.over[i] {
			if !here[r.stretch] {
				continue
			}
			if len(in) == 0 {
				first = r.place
			}
			in, last = append(in, r.stretch), r.place
		}
		if len(in) == 0 {
			continue
		}
		share := float64(len(in)) / float64(max(1, len(x.Places)))
		x.KG, x.ManMinutes = x.KG*share, x.ManMinutes*share
		if share < 1 {
			x.Shared = true
			if last-first+1 == len(in) {
				x.From, x.To = float64(first)/float64(len(x.Places)), float64(last+1)/float64(len(x.Places))
			}
		}
		items, of, over = append(items, x), append(of, i), append(over, in)
	}
	return items, of, over
}

// cutMin is how long the crew takes to cut in some items, min.
func (p *pour) cutMin(items []Detail) float64 {
	work := 0.0
	for _, x := range items {
		work += x.ManMinutes
	}
	kg := math.Min(math.Min(p.in.Crew.CapKG, DetailCapKG), p.turns.CapL*p.in.Resin.DensityKGPerL)
	return math.Max(work/float64(p.in.Crew.People), ReadyMin(items, kg, pots(items, p.turns.Gangs)))
}

// turn is how many stretches of the queue the next turn takes: an even share of the fewest turns that hold
// what is left, ending with a bay where that is near; 0 where not even one is rolled out before the day ends.
func (p *pour) turn() int {
	t, pace := p.turns, p.in.Crew.averageM2PerMin()
	mins := func(n int) (cut, field float64) {
		items, _, _ := t.reached(p.queue[:n])
		for _, s := range p.queue[:n] {
			field += s.m2 / pace
		}
		return p.cutMin(items), field
	}
	cut, field := mins(len(p.queue))
	most := shareOfTurn * t.TurnMin
	fewest := Turns(cut+field, t.TurnMin)
	if t.left == 0 {
		t.left = fewest + t.MoreTurns
	}
	want := field / float64(max(fewest, t.left))
	if left := p.in.Day.EndMin - p.clock; len(p.in.Sessions) == 0 {
		most = math.Min(most, left)
	}
	best, off := 0, math.Inf(1)
	for n := 1; n <= len(p.queue); n++ {
		c, f := mins(n)
		if c+f > most {
			break
		}
		away := math.Abs(f - want)
		if n < len(p.queue) && p.pieces[p.queue[n-1].cell].bay == p.pieces[p.queue[n].cell].bay {
			away += want / 4 // the edge of the strip beside it waits while the next edges are cut in
		}
		if away <= off {
			best, off = n, away
		}
	}
	if best == 0 && (len(p.in.Sessions) > 0 || !p.begun()) {
		return 1
	}
	return best
}

// begun reports whether anything was mixed on the day at hand.
func (p *pour) begun() bool {
	k := len(p.mixes)
	return k > 0 && p.mixes[k-1].Day == p.day || p.turns != nil && p.turns.plan.LastDay() == p.day
}

// cutAhead cuts in the edges that the field reaches next, when what was cut in is gone over.
func (p *pour) cutAhead(ctx context.Context) error {
	t := p.turns
	if t == nil || t.restM2 > 1e-6 {
		return nil
	}
	n := p.turn()
	if n == 0 {
		p.nextDay("the next edges and their field would not be rolled out in time")
		n = p.turn()
	}
	items, of, over := t.reached(p.queue[:n])
	if len(items) > 0 {
		q, err := inGangs(ctx, p.edgesNow(items), items)
		if err != nil {
			return err
		}
		if p.waited > 0 {
			q.Mixes[0].WaitedMin, p.waited = q.Mixes[0].WaitedMin+p.waited, 0
		}
		t.add(q, of, over)
		for k, i := range of {
			t.over[i] = without(t.over[i], over[k])
		}
		t.tookMin += math.Max(0, q.EndMin-p.clock)
		p.day, p.clock = q.LastDay(), q.EndMin
	}
	for _, s := range p.queue[:n] {
		t.restM2 += s.m2
	}
	t.left = max(1, t.left-1)
	return nil
}

// next is the dose and the bound of the next bucket, when the edges that it reaches are cut in.
func (p *pour) next(ctx context.Context) (Dose, size, error) {
	if err := p.cutAhead(ctx); err != nil {
		return Dose{}, size{}, err
	}
	return p.ready()
}

// without takes the places along some stretches out of a list.
func without(all []reach, taken []int) []reach {
	is := map[int]bool{}
	for _, n := range taken {
		is[n] = true
	}
	var out []reach
	for _, r := range all {
		if !is[r.stretch] {
			out = append(out, r)
		}
	}
	return out
}

// edgesNow is the input for the edges of a turn that begins now.
func (p *pour) edgesNow(items []Detail) Input {
	in, t := p.in, p.turns
	in.Edges, in.Key, in.Name, in.CapL, in.Gangs = nil, t.Key, t.Name, t.CapL, pots(items, t.Gangs)
	in.FirstNumber = p.number()
	if p.begun() {
		in.ShownDay = p.day
	}
	in.FirstDay, in.BeginMin = p.day, p.clock
	if len(in.Sessions) > 0 {
		s := in.Sessions[p.session]
		s.BeginMin, s.Share = p.clock, 1
		in.Sessions = []Session{s}
	}
	return in
}

// pots are as many as those who cut in, but for so little that one would hold less than is mixed by itself.
func pots(items []Detail, gangs int) int {
	kg := 0.0
	for _, x := range items {
		kg += x.KG
	}
	return max(1, min(gangs, int(kg/leastMixKG)))
}

// number is that of the next bucket.
func (p *pour) number() int {
	n := p.in.FirstNumber + len(p.mixes)
	if p.turns != nil {
		n += len(p.turns.plan.Mixes)
	}
	return n
}

// add joins the buckets of a turn to the plan of the edges.
func (t *turns) add(q *Plan, of []int, over [][]int) {
	for i := range q.Mixes {
		if q.Mixes[i].Gang == "" && t.Gangs > 1 {
			q.Mixes[i].Gang = "A" // so little that all dip into one pot
		}
		var fields []int
		parts := q.Mixes[i].Parts
		for j := range parts {
			k := parts[j].Cell
			fields = append(fields, over[k]...)
			parts[j].Cell, parts[j].Whole = of[k], parts[j].Whole && !t.part(of[k], over[k])
		}
		t.fields = append(t.fields, fields)
	}
	p := t.plan
	if d := p.LastDay(); len(p.Mixes) == 0 || d != q.Mixes[0].Day {
		p.ChanceOfDay = append(p.ChanceOfDay, q.ChanceOfDay...)
		p.Days += q.Days
	} else {
		p.ChanceOfDay[len(p.ChanceOfDay)-1] *= q.ChanceOfDay[0]
		p.ChanceOfDay = append(p.ChanceOfDay, q.ChanceOfDay[1:]...)
		p.Days += q.Days - 1
	}
	p.ChanceDay *= q.ChanceDay
	p.Mixes, p.Notes, p.EndMin = append(p.Mixes, q.Mixes...), append(p.Notes, q.Notes...), q.EndMin
}

// part reports whether only a part of an item lies along some stretches.
func (t *turns) part(item int, over []int) bool { return len(t.Items[item].Places) > len(over) }

// finish ages the edges: how long each mix has lain when the last bucket of the field that goes over it is rolled.
func (t *turns) finish(in *Input, mixes []Mix) *Plan {
	gone := map[int]Mix{}
	for _, m := range mixes {
		for _, x := range m.Parts {
			gone[x.stretch] = m
		}
	}
	for i := range t.plan.Mixes {
		e := &t.plan.Mixes[i]
		for _, n := range t.fields[i] {
			if f, ok := gone[n]; ok {
				e.OverMin = math.Max(e.OverMin, float64(f.Day-e.Day)*24*60+f.MixAtMin+f.LayingMin-e.MixAtMin)
			}
		}
	}
	edges := *in
	edges.Key, edges.Name = t.Key, t.Name
	t.plan.total(&edges)
	return t.plan
}
