package programme

import (
	"context"
	"math/bits"
)

// wetFirst says why plans that would hold do not.
const wetFirst = "the bare boards get wet before they are covered"

// held is in how many members a plan holds, its boards too; 0 for none.
func (p *Plan) held() int {
	if p == nil {
		return 0
	}
	return bits.OnesCount64(p.holds)
}

// none reports whether no choice is so.
func (s *search) none(ready []window, so func(*choice) bool) bool {
	found := false
	s.each(ready, func(c *choice) { found = found || so(c) })
	return !found
}

// sureDay is the day on which the sure plan is done; never for none.
func (r *Result) sureDay(p *Prepared) int32 {
	if r.Sure == nil {
		return never
	}
	return p.dayOf(int32(p.quarterOf(r.Sure.Finish)))
}

// beats tells of a choice whether it, were its boards dry, would be likelier than the likeliest plan or, sure, done on an earlier day
// than the sure one. While one does, a plan may do so that was left out for it: what is kept of two that end alike holds in more
// members with dry boards, not with wet ones.
func (r *Result) beats(p *Prepared) func(*choice) bool {
	most, day := r.Likeliest.held(), r.sureDay(p)
	return func(c *choice) bool {
		return bits.OnesCount64(c.mask) > most || p.sure(c.mask) && p.dayOf(c.end) < day
	}
}

// prove runs again for nothing but a plan that is likelier than the likeliest, and
// for a sure one that is done on an earlier day than the sure one. It puts what it finds in their
// place and reports whether that is now beyond doubt.
func (p *Prepared) prove(ctx context.Context, r *Result, s *search, ready []window) (bool, error) {
	// Where every plan that was kept gets its boards wet, one that was not kept may not.
	proven := r.Likeliest != nil || s.none(ready, r.beats(p))
	n := float64(len(p.in.Members))
	for r.Likeliest != nil && float64(r.Likeliest.held()) < r.Bound*n-1e-9 {
		better := &search{p: p, from: s.from, lo: s.lo, least: r.Likeliest.held() + 1, before: never, most: keptProof}
		if err := better.run(ctx); err != nil {
			return false, err
		}
		found := &Result{Target: r.Target}
		p.rank(found, better, ready, 0)
		if found.Likeliest == nil {
			proven = better.proven && better.none(ready, r.beats(p))
			break
		}
		r.likelier(found.Likeliest)
	}
	sooner := &search{p: p, from: s.from, lo: s.lo, least: p.needed(), before: never, most: keptProof}
	if r.Sure != nil {
		sooner.before = p.dayBegins(int32(p.quarterOf(r.Sure.Finish)))
	}
	if r.Bound < p.in.Target-1e-9 {
		return proven, nil
	}
	if err := sooner.run(ctx); err != nil {
		return false, err
	}
	found := &Result{Target: r.Target}
	p.rank(found, sooner, ready, 0)
	if found.Sure != nil {
		r.Sure = found.Sure
	}
	return proven && sooner.proven && sooner.none(ready, r.beats(p)), nil
}

// likelier puts a plan that is likelier than all in its place: none of the frontier ends later.
func (r *Result) likelier(plan *Plan) {
	r.Likeliest = plan
	k := len(r.Frontier)
	for k > 0 && !r.Frontier[k-1].Finish.Before(plan.Finish) {
		k--
	}
	r.Frontier = append(r.Frontier[:k], *plan)
}
