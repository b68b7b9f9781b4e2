package programme

import (
	"fmt"
	"time"

	"gelwright/weather"
)

// Hour is one hour of a stage's weather: may its work go on?
type Hour struct {
	Time    time.Time       `json:"time"`
	Verdict weather.Verdict `json:"verdict"`
	// P is the share of the members in which all four quarters are within the limits
	// and the hours of work.
	P float64 `json:"p"`
	// Limit that says no in the most members, in a word, and its reason with figures;
	// empty when none does.
	Limit  string `json:"limit,omitempty"`
	Reason string `json:"reason,omitempty"`
	// Working is set within the hours of work.
	Working bool `json:"working"`
}

// outside is the reason outside the hours of work.
const outside = "outside working hours"

// Hours judges every whole hour for the work of a stage: go where P reaches the
// target, wait where a later hour of the day does, no-go otherwise.
func (p *Prepared) Hours(stage int) ([]Hour, error) {
	if stage < 0 || stage >= len(p.in.Stages) {
		return nil, fmt.Errorf("hours: there is no stage %d. Give 0 to %d", stage, len(p.in.Stages)-1)
	}
	k := p.stages[stage].class
	c := p.class[k]
	open := p.open[0]
	if c.smells {
		open = p.open[1]
	}
	var out []Hour
	first := p.quarterOf(p.start.Truncate(time.Hour))
	if first < 0 {
		first += 4
	}
	for q := first; q+4 <= p.n; q += 4 {
		h := Hour{Time: p.TimeOf(q), Verdict: weather.NoGo, Working: open[q]}
		set := p.full
		worst, n := weather.Reason{}, 0
		for x := q; x < q+4; x++ {
			set &= c.ok[x]
			if r, k := p.binding(k, x); k > n {
				worst, n = r, k
			}
		}
		h.P = p.chance(set)
		switch {
		case h.P >= p.in.Target-1e-9:
			h.Verdict = weather.Go
		case !open[q]:
			h.Limit = outside
		}
		if n > 0 {
			h.Limit, h.Reason = string(worst.Limit), worst.Text(p.zone())
		}
		out = append(out, h)
	}
	next, day := false, int32(-1)
	for i := len(out) - 1; i >= 0; i-- {
		if d := p.day[first+4*i]; d != day {
			day, next = d, false
		}
		switch {
		case out[i].Verdict == weather.Go:
			next = true
		case next:
			out[i].Verdict = weather.Wait
		}
	}
	return out, nil
}

// Ready lists the quarters at which a stage may start and run to its end by the forecast
// itself, taken by itself, with the chance that it holds.
func (p *Prepared) Ready(stage int) ([]time.Time, []float64) {
	var at []time.Time
	var share []float64
	if stage < 0 || stage >= len(p.in.Stages) {
		return nil, nil
	}
	for q, mask := range p.stages[stage].ok[0] {
		if mask&1 != 0 {
			at = append(at, p.TimeOf(q))
			share = append(share, p.chance(mask))
		}
	}
	return at, share
}
