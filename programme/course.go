package programme

import (
	"context"
	"math"
	"time"

	"gelwright/elementary"
	"gelwright/weather"
)

// Prepared is a programme's weather worked out: for every stage the quarters at which
// it may start, in which members. It is not changed by searching.
type Prepared struct {
	in     Input
	n      int
	start  time.Time
	full   uint64
	open   [2][]bool // working hours; and within the neighbours' hours too
	day    []int32   // local day of each quarter, counted from the first
	spell  []int32   // the first quarter of the same day's hours of work, or of the night beside them
	class  []*class
	judged []*class // of other hours of work, whose weather need not be judged again
	stages []prepared
	films  []*filmCourse
	// common is what other programmes under the same weather may have worked out; nexts are, by member, the
	// next quarter, from each, with rain that counts, with the surface nearer to the dew point than the margin, or with frost.
	common *Common
	nexts  map[nextKey][][]int32
	// damp is by member what keeps bare boards from being worked on; nil where nothing does.
	damp []weather.Damp
	// past is what was done before the first stage that is left.
	past []past
	// bareFrom is the quarter from which the boards have lain bare where they are laid
	// already; −1 where they are still to be laid.
	bareFrom int32
}

// class is a set of limits with the hours it is held to.
type class struct {
	classKey
	// fit are the members whose weather is within the limits, whatever the hours and the
	// boards; ok those in which the work may go on; wet those in which the boards under it are
	// too wet, nil where that cannot be.
	fit, ok, wet []uint64
	// sky tells what the weather breaks; nil where nothing limits.
	sky    *sky
	places [][]int32 // the allowed quarters by member; made on demand
}

// classKey is what a class is judged by.
type classKey struct {
	limits *weather.StageLimits
	smells bool
	// film that is laid, for the frost it must be spared; nil for none.
	film *Film
	// bare is how many quarters boards have lain bare when the work begins; 0 for work that
	// does not lie on bare boards.
	bare int32
	// run is the least stretch of quarters in which the work is done; 0 for any.
	run int32
}

type tally struct {
	limit weather.Limit
	// n members, in alone of which it is the only one broken.
	n, alone int
	worst    weather.Reason
	// said is what the forecast itself says, where it breaks this limit.
	said *weather.Reason
}

// filmCourse is a film's marks for every quarter of laying and every member.
type filmCourse struct {
	film  *Film
	reach [marks][][]int32
	// first is the earliest of all members, where it was worked out.
	first [marks][]int32
}

// prepared is one stage: by variant (0 joins as planned, 1 again) the members in
// which it may start at each quarter and run to its end.
type prepared struct {
	class, lead int // indices of classes; lead is -1 for none
	film        *filmCourse
	ok          [2][]uint64
	finish      [2][][]int32 // by member, for divisible stages
	quarters    [2]int32
	variants    int
}

// Prepare works the weather out for a search.
func Prepare(ctx context.Context, in Input) (*Prepared, error) {
	if in.Target == 0 {
		in.Target = 0.9
	}
	if err := in.check(); err != nil {
		return nil, err
	}
	p := &Prepared{in: in, n: len(in.Members[0]), start: in.Members[0][0].Time, common: in.Common, bareFrom: -1}
	p.nexts = map[nextKey][][]int32{}
	if p.common == nil {
		p.common = &Common{}
	}
	p.full = ^uint64(0) >> (64 - len(in.Members))
	p.calendar()
	if err := p.films0(ctx); err != nil {
		return nil, err
	}
	p.wetBoards()
	if err := p.placeAll(ctx); err != nil {
		return nil, err
	}
	return p, nil
}

// Under is the programme with other hours of work; its weather is not worked out again.
func (p *Prepared) Under(ctx context.Context, h Hours) (*Prepared, error) {
	out := *p
	out.in.Hours = h
	if err := out.in.check(); err != nil {
		return nil, err
	}
	out.calendar()
	out.judged, out.class = p.class, nil
	if err := out.placeAll(ctx); err != nil {
		return nil, err
	}
	return &out, nil
}

// placeAll finds the limits of all stages and where they may start.
func (p *Prepared) placeAll(ctx context.Context) error {
	p.stages = make([]prepared, len(p.in.Stages))
	for i := range p.in.Stages {
		if err := p.stage(ctx, i); err != nil {
			return err
		}
	}
	return nil
}

// TimeOf is the start of quarter q.
func (p *Prepared) TimeOf(q int) time.Time { return p.start.Add(time.Duration(q) * Quarter) }

// quarterOf is the first quarter that begins at t or later.
func (p *Prepared) quarterOf(t time.Time) int {
	d := t.Sub(p.start)
	return int(math.Ceil(float64(d) / float64(Quarter)))
}

func (p *Prepared) zone() *time.Location {
	if p.in.Site.Zone == nil {
		return time.UTC
	}
	return p.in.Site.Zone
}

// calendar finds the local day and the hours of work of every quarter.
func (p *Prepared) calendar() {
	h := p.in.Hours
	p.open[0], p.open[1] = make([]bool, p.n), make([]bool, p.n)
	p.day, p.spell = make([]int32, p.n), make([]int32, p.n)
	last, day := -1, int32(-1)
	for q := range p.n {
		t := p.TimeOf(q).In(p.zone())
		if d := t.Year()*1000 + t.YearDay(); d != last {
			last = d
			day++
		}
		p.day[q] = day
		min := float64(t.Hour()*60 + t.Minute())
		late := !p.in.FinishBy.IsZero() && t.Add(Quarter).After(p.in.FinishBy)
		p.open[0][q] = min >= h.StartMin && min+15 <= h.EndMin && !h.Off[t.Weekday()] && !late && !t.Before(p.in.EarliestStart)
		p.open[1][q] = p.open[0][q] && (h.SmellFromMin == 0 && h.SmellUntilMin == 0 || min >= h.SmellFromMin && min+15 <= h.SmellUntilMin)
		if p.spell[q] = int32(q); q > 0 && p.day[q-1] == day && p.open[0][q-1] == p.open[0][q] {
			p.spell[q] = p.spell[q-1]
		}
	}
}

// marksNeeded lists the films that the stages leave, each with the marks that are waited for.
func (p *Prepared) marksNeeded() map[*Film]map[Mark]bool {
	need := map[*Film]map[Mark]bool{}
	add := func(f *Film, m Mark) {
		if f == nil || m == None {
			return
		}
		if need[f] == nil {
			need[f] = map[Mark]bool{}
			p.films = append(p.films, &filmCourse{film: f})
		}
		need[f][m] = true
	}
	for i := range p.in.Stages {
		s := &p.in.Stages[i]
		add(s.Film, s.SafeAt)
		if s.Limits != nil && s.Limits.FrostFreeH > 0 {
			add(s.Film, RainSafe)
			add(s.Film, OverCoatFrom)
		}
		if i+1 < len(p.in.Stages) {
			next := &p.in.Stages[i+1]
			add(s.Film, next.Join.Begin)
			add(s.Film, next.Join.Least)
			add(s.Film, next.Join.Most)
			if s.Kind == TopCoat && next.Kind == TopCoat {
				add(s.Film, OverCoatUntil) // whether the first is too old for the next is told
			}
			if next.Again != nil {
				add(s.Film, next.Again.Begin)
				add(s.Film, next.Again.Least)
			}
		}
	}
	return need
}

// films0 follows every film that the stages leave, from every quarter in every member.
func (p *Prepared) films0(ctx context.Context) error {
	need := p.marksNeeded()
	for _, fc := range p.films {
		if err := p.common.follow(ctx, p, fc, need[fc.film]); err != nil {
			return err
		}
	}
	return nil
}

// follow follows a film to a mark through the warmth of all members.
func (f *filmCourse) follow(mark Mark, on []warmth) {
	reach := make([][]int32, len(on))
	way := f.film.to(mark)
	for m := range on {
		reach[m] = way.reach(&on[m], elementary.Exp(f.film.SD*luck(m, len(on))), mark == OverCoatUntil)
	}
	f.reach[mark] = reach
	if mark == OverCoatUntil {
		f.first[mark] = earliest(reach)
	}
}

// luck gives member m of n its place in a standard normal distribution: the first the
// middle, the others spread evenly in an order that has nothing to do with their own.
func luck(m, n int) float64 {
	if m == 0 || n < 2 {
		return 0
	}
	k := n - 1
	// A step near the golden section, made free of common factors.
	step := max(1, int(math.Round(0.618*float64(k))))
	for gcd(step, k) != 1 {
		step++
	}
	u := (float64((m-1)*step%k) + 0.5) / float64(k)
	return math.Sqrt2 * math.Erfinv(2*u-1)
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// stage works out where stage i may start.
func (p *Prepared) stage(ctx context.Context, i int) error {
	s := &p.in.Stages[i]
	d := &p.stages[i]
	var err error
	for _, f := range p.films {
		if f.film == s.Film && s.Film != nil {
			d.film = f
		}
	}
	key := classKey{limits: s.Limits, smells: s.Smells, bare: p.bareFor(i), run: int32(min(s.LeastQuarters, s.Quarters))}
	if s.Limits != nil && s.Limits.FrostFreeH > 0 {
		key.film = s.Film
	}
	if d.class, err = p.classOf(ctx, key); err != nil {
		return err
	}
	d.lead = -1
	if s.Lead > 0 || s.AgainQuarters > 0 {
		limits := s.LeadLimits
		if limits == nil {
			limits = s.Limits
		}
		if d.lead, err = p.classOf(ctx, classKey{limits: limits}); err != nil {
			return err
		}
	}
	d.variants = 1
	if s.Again != nil {
		d.variants = 2
	}
	for v := range d.variants {
		d.quarters[v] = int32(s.Quarters + v*s.AgainQuarters)
	}
	p.place(i)
	return nil
}

// place finds the quarters at which stage i may start and run to its end.
func (p *Prepared) place(i int) {
	for v := range p.stages[i].variants {
		if p.in.Stages[i].Divisible {
			p.divisible(i, v)
		} else {
			p.whole(i, v)
		}
	}
}

// whole: every quarter must be allowed, and the film must come through.
func (p *Prepared) whole(i, v int) {
	s, d := &p.in.Stages[i], &p.stages[i]
	lead := s.Lead + v*s.AgainQuarters
	ok := through(p.class[d.class].ok, int(d.quarters[v])-lead)
	if lead > 0 {
		before := through(p.class[d.lead].ok, lead)
		for q := range ok {
			if q+lead < len(ok) {
				ok[q] = before[q] & ok[q+lead]
			} else {
				ok[q] = 0
			}
		}
	}
	guard := p.guardOf(i)
	for q, mask := range ok {
		if mask == 0 {
			continue
		}
		end := q + int(d.quarters[v])
		if end > p.n || p.day[q] != p.day[end-1] {
			ok[q] = 0
			continue
		}
		ok[q] = guard.keeps(mask, end)
	}
	d.ok[v] = ok
}

func rainNow(m *weather.Moment, limit float64) bool { return m.RainMMPerH >= limit }
func dewNow(m *weather.Moment, limit float64) bool  { return !(m.DewMarginK() >= limit) }

// next finds, by member, the first quarter from each on at which something is so.
func (p *Prepared) next(what event, limit float64, so func(*weather.Moment, float64) bool) [][]int32 {
	key := nextKey{what, limit}
	out, ok := p.nexts[key]
	if !ok {
		out = p.common.next(p, key, so)
		p.nexts[key] = out
	}
	return out
}

// through is the AND of k sets in a row from each place.
func through(ok []uint64, k int) []uint64 {
	out := append([]uint64(nil), ok...)
	// have quarters are joined; doubled until k.
	for have := 1; have < k; {
		step := min(have, k-have)
		for q := range out {
			if q+step < len(out) {
				out[q] &= out[q+step]
			} else {
				out[q] = 0
			}
		}
		have += step
	}
	return out
}

// endOf is where stage i, begun at q, ends in member m.
func (p *Prepared) endOf(i, v, m int, q int32) int32 {
	d := &p.stages[i]
	if d.finish[v] != nil {
		return d.finish[v][m][q]
	}
	return q + d.quarters[v]
}

// window is when the next stage may start: from a0 to a1 as planned, from b0 on again.
type window struct{ a0, a1, b0 int32 }

// windowAfter is the window of stage i in member m when the stage before it ran from
// begun to ended.
func (p *Prepared) windowAfter(i, m int, begun, ended int32) window {
	s := &p.in.Stages[i]
	var f *filmCourse
	if i > 0 {
		f = p.stages[i-1].film
	}
	least := func(l *Lag, lead int) int32 {
		at := ended + int32(math.Ceil(l.LeastMin/15))
		if f != nil && l.Least != None {
			r := f.reach[l.Least][m][min(int(ended), p.n)]
			if r == never {
				return never
			}
			at = r + int32(math.Ceil(l.LeastMin/15))
		}
		at = max(ended, at-int32(lead))
		if f != nil && l.Begin != None {
			at = max(at, f.reach[l.Begin][m][min(int(ended), p.n)])
		}
		return at
	}
	w := window{a0: least(&s.Join, s.Lead), a1: never, b0: never}
	switch {
	case s.Join.Most != None && f != nil:
		if r := f.reach[s.Join.Most][m][begun]; r != never {
			w.a1 = r + int32(s.Join.MostMin/15) - int32(s.Lead)
		}
	case s.Join.MostMin > 0:
		w.a1 = ended + int32(s.Join.MostMin/15) - int32(s.Lead)
	}
	if s.Again != nil {
		w.b0 = max(least(s.Again, s.Lead+s.AgainQuarters), p.closes(s, f, begun, ended))
	}
	return w
}

// closes is the quarter from which making good is called for, since the planned join is
// closed in some member; at once where it has no end, never where it closes in none.
func (p *Prepared) closes(s *Stage, f *filmCourse, begun, ended int32) int32 {
	switch {
	case s.Join.Most != None && f != nil:
		at := f.closing(s.Join.Most, begun)
		if at == never {
			return never
		}
		return at + int32(s.Join.MostMin/15) - int32(s.Lead) + 1
	case s.Join.MostMin > 0:
		return ended + int32(s.Join.MostMin/15) - int32(s.Lead) + 1
	}
	return 0
}

// closing is when a mark is first reached in any member by a film laid at a quarter.
func (f *filmCourse) closing(m Mark, begun int32) int32 {
	if f.first[m] != nil {
		return f.first[m][begun]
	}
	first := int32(never)
	for _, row := range f.reach[m] {
		first = min(first, row[begun])
	}
	return first
}
