package programme

import "time"

// Span is a stretch of time without a break.
type Span struct{ From, To time.Time }

// Spans are the stretches in which a slot is worked on, in the course of the weather by which
// the slot is told: work that may be interrupted stops where its limits or the hours of work
// say so. The last ends with the slot.
func (p *Prepared) Spans(s Slot) []Span {
	st := &p.in.Stages[s.Stage]
	if s.done {
		return p.wasWorked(s)
	}
	if !st.Divisible {
		return []Span{{s.Start, s.End}}
	}
	v := 0
	if s.Again != "" {
		v = 1
	}
	d := &p.stages[s.Stage]
	ok := p.class[d.class].ok
	var out []Span
	for q, left := p.quarterOf(s.Start), int(d.quarters[v]); q < min(p.n, p.quarterOf(s.End)) && left > 0; q++ {
		if ok[q]>>s.course&1 == 0 {
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

// wasWorked are the hours of work between the beginning and the end of what is done; all of it where
// it was done outside them.
func (p *Prepared) wasWorked(s Slot) []Span {
	var out []Span
	for q := max(0, p.quarterOf(s.Start)); q < min(p.n, p.quarterOf(s.End)); q++ {
		t := p.TimeOf(q)
		switch n := len(out); {
		case !p.open[0][q]:
		case n > 0 && out[n-1].To.Equal(t):
			out[n-1].To = t.Add(Quarter)
		default:
			out = append(out, Span{t, t.Add(Quarter)})
		}
	}
	if len(out) == 0 {
		return []Span{{s.Start, s.End}}
	}
	return out
}
