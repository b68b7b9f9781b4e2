package mixing

import (
	"fmt"
	"math"
)

// Session is a stretch of the work of a pass that has one beginning: its buckets are made
// for its own day and hours.
type Session struct {
	// Day counted through the job, from 1, and the minute of it at which the first bucket is
	// mixed.
	Day      int
	BeginMin float64
	// UntilMin is the minute after which nothing is mixed any more when the crew has had to
	// wait for warmth or shade; 0 for the end of the day.
	UntilMin float64
	// Share of the work of the pass, 0–1, nearest to which a strip ends; those of all sessions
	// make up the pass.
	Share float64
	// Temps and Resin of this day, as in Day.
	Temps, Resin []TempAt
}

func (in *Input) sessionsSound() error {
	before := -1.0
	for i, s := range in.Sessions {
		d := Day{StartMin: 0, EndMin: 24 * 60, Temps: s.Temps, Resin: s.Resin}
		if err := d.check(); err != nil {
			return err
		}
		at := float64(s.Day)*24*60 + s.BeginMin
		if s.Day < 1 || !(s.BeginMin >= 0 && s.BeginMin < 24*60) || !(s.Share > 0) || at <= before {
			return fmt.Errorf("mixing: %s: session %d is of day %d, minute %g, with %g of the work: give days from 1, one after another",
				in.Name, i+1, s.Day, s.BeginMin, s.Share)
		}
		before = at
	}
	return nil
}

// parted parts the queue between the sessions: each ends where a strip of its own ends, the
// one nearest to its share of the work. A session for which no strip is left has none.
func (p *pour) parted() [][]stretch {
	k := len(p.in.Sessions)
	if k < 2 {
		return [][]stretch{p.queue}
	}
	all, shares := 0.0, 0.0
	for _, s := range p.queue {
		all += s.m2
	}
	for _, s := range p.in.Sessions {
		shares += s.Share
	}
	out := make([][]stretch, k)
	from, done, want := 0, 0.0, 0.0
	for i, s := range p.in.Sessions {
		want += s.Share / shares * all
		to, sum := from, done
		best, at, upTo := math.Inf(1), from, done
		for to < len(p.queue) {
			sum += p.queue[to].m2
			to++
			off := math.Abs(sum - want)
			if to < len(p.queue) && !p.sound(to) {
				off += all // only where no strip ends at all
			}
			if off < best-1e-9 {
				best, at, upTo = off, to, sum
			}
		}
		if i == k-1 {
			at = len(p.queue)
		}
		out[i] = p.queue[from:at:at]
		from, done = at, upTo
	}
	return out
}

// sound reports whether a strip, or an item of details, ends before queue[i].
func (p *pour) sound(i int) bool {
	a, b := p.queue[i-1].cell, p.queue[i].cell
	if p.detail {
		return a != b
	}
	return p.pieces[a].Strip != p.pieces[b].Strip
}

// enter begins a session.
func (p *pour) enter(i int) {
	s := p.in.Sessions[i]
	p.session, p.day, p.clock, p.waited = i, s.Day, s.BeginMin, 0
	if p.turns != nil {
		p.turns.restM2 = 0
	}
}

// today are the hours and temperatures of the day at hand: with sessions the work of each is
// done where it is begun, and the end of the day bounds only how long is waited.
func (p *pour) today() Day {
	if len(p.in.Sessions) == 0 {
		return p.in.Day
	}
	s := p.in.Sessions[p.session]
	d := Day{StartMin: s.BeginMin, EndMin: p.in.Day.EndMin, Temps: s.Temps, Resin: s.Resin}
	if s.UntilMin > 0 {
		d.EndMin = s.UntilMin
	}
	return d
}

func (p *pour) nextDay(why string) {
	after := ""
	if k := len(p.mixes); k > 0 {
		parts := p.mixes[k-1].Parts
		last := parts[len(parts)-1]
		after = ", at the end of " + last.Name
		if len(p.queue) > 0 && p.queue[0].cell == last.piece {
			after = ", part-way along " + last.Name + ", where the mat is torn and the rest lapped over it"
			if p.in.Resin.Waxed {
				after = ", part-way along " + last.Name + ", at a taped line"
			}
		}
	}
	p.notes = append(p.notes, fmt.Sprintf("day %d ends at %s%s: %s", p.day, clockText(p.clock), after, why))
	p.day++
	p.clock, p.waited = p.in.Day.StartMin, 0
}
