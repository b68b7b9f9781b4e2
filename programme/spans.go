package programme

import (
	"math/bits"
	"time"
)

// Span is a stretch of time without a break.
type Span struct{ From, To time.Time }

// Spans are the stretches in which a slot is worked on, in the likely course of the weather
// where the slot holds in it, else in one where it does: work that may be interrupted stops
// where its limits or the hours of work say so.
func (p *Prepared) Spans(s Slot) []Span {
	st := &p.in.Stages[s.Stage]
	if !st.Divisible {
		return []Span{{s.Start, s.End}}
	}
	v := 0
	if s.Again != "" {
		v = 1
	}
	d := &p.stages[s.Stage]
	from := p.quarterOf(s.Start)
	holds := d.ok[v][from]
	m := 0
	if holds&1 == 0 && holds != 0 {
		m = bits.TrailingZeros64(holds)
	}
	ok := p.class[d.class].ok
	var out []Span
	for q, left := from, int(d.quarters[v]); q < min(p.n, p.quarterOf(s.End)) && left > 0; q++ {
		if ok[q]>>m&1 == 0 {
			continue
		}
		left--
		t := p.TimeOf(q)
		if n := len(out); n > 0 && out[n-1].To.Equal(t) {
			out[n-1].To = t.Add(Quarter)
			continue
		}
		out = append(out, Span{t, t.Add(Quarter)})
	}
	return out
}
