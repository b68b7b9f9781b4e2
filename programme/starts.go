package programme

import (
	"slices"
	"time"
)

// Start is a quarter hour at which the work may begin, with the greatest chance that any plan with fixed starts has from it, a
// sure one before any other: that of all its stages, boards that dry among them.
type Start struct {
	Begin time.Time `json:"begin"`
	P     float64   `json:"p"`
	// Sure: as many members as wanted hold, and the forecast itself among them.
	Sure bool `json:"sure"`
	// Finish of the likeliest plan that begins then.
	Finish time.Time `json:"finish"`
}

// Starts are all beginnings that hold in some member, in order of time; for whoever drags the day along its clock. Where the
// search was not proven a start may have a better plan than was kept.
func (r *Result) Starts() []Start {
	if r.search == nil {
		return nil
	}
	p := r.search.p
	best := map[int32]Start{}
	r.search.each(nil, func(c *choice) {
		holds := r.search.dry(c)
		if holds == 0 {
			return
		}
		s := Start{Begin: p.TimeOf(int(c.q)), P: p.chance(holds), Sure: p.sure(holds), Finish: p.TimeOf(int(c.end))}
		was, known := best[c.q]
		if !known || s.Sure && !was.Sure || s.Sure == was.Sure && (s.P > was.P || s.P == was.P && s.Finish.Before(was.Finish)) {
			best[c.q] = s
		}
	})
	var out []Start
	for _, s := range best {
		if s.P > 0 {
			out = append(out, s)
		}
	}
	slices.SortFunc(out, func(a, b Start) int { return a.Begin.Compare(b.Begin) })
	return out
}
