package programme

import (
	"context"
	"math/bits"
	"time"
)

// wetBoards follows bare boards through the weather of every member, where any work lies
// on them and nothing keeps the rain off.
func (p *Prepared) wetBoards() {
	var limit *float64
	for i := range p.in.Stages {
		s := &p.in.Stages[i]
		if !s.Bare || s.Limits == nil {
			continue
		}
		if l := p.lifted(*s.Limits).MoistureMax; l != nil {
			limit = &l.Value
		}
	}
	if limit == nil || p.in.Sheeted {
		return
	}
	p.damp = p.common.damp(p, *limit)
}

// UnderSheets is the same programme with bare boards that lie under sheets whenever nobody works on them; nil where the rain keeps
// nobody off them as it is.
func (p *Prepared) UnderSheets(ctx context.Context) (*Prepared, error) {
	if p.damp == nil {
		return nil, nil
	}
	out := *p
	out.in.Sheeted, out.damp = true, nil
	out.judged, out.class = p.class, nil
	if err := out.placeAll(ctx); err != nil {
		return nil, err
	}
	return &out, nil
}

// bareFor is how long boards have lain bare when stage i begins, in quarters, with the work
// since they were begun done one after the other; 0 for work that does not lie on them.
func (p *Prepared) bareFor(i int) int32 {
	if !p.in.Stages[i].Bare || p.damp == nil {
		return 0
	}
	work := 0
	for k := i - 1; k >= 0; k-- {
		s := &p.in.Stages[k]
		work += s.Quarters
		if s.Kind == Boards && (s.Deck == p.in.Stages[i].Deck || s.Deck == "") {
			break
		}
	}
	day := max(1, int(p.in.Hours.EndMin-p.in.Hours.StartMin)/15)
	return int32(max(1, work/day*96+work%day))
}

// wetAt is, by quarter, the members in which the boards under a class are too wet; nil where
// that cannot be.
func (p *Prepared) wetAt(c *class) []uint64 {
	if c.bare == 0 || p.damp == nil {
		return nil
	}
	out := make([]uint64, p.n)
	for m := range p.damp {
		for q, r := range p.damp[m].Since {
			from := p.bareFrom
			if from < 0 {
				from = int32(q) - c.bare
			}
			if r >= 0 && r >= from {
				out[q] |= 1 << m
			}
		}
	}
	return out
}

// again is the programme with its classes held anew and its stages placed anew.
func (p *Prepared) again() *Prepared {
	out := *p
	out.class = make([]*class, len(p.class))
	for i, c := range p.class {
		out.class[i] = out.held(c)
	}
	out.stages = append([]prepared(nil), p.stages...)
	for i := range out.stages {
		out.place(i)
	}
	return &out
}

// since is the programme when boards have lain bare from a time on; as it is where nothing
// wets them.
func (p *Prepared) since(laid time.Time) *Prepared {
	if p.damp == nil {
		return p
	}
	out := *p
	out.bareFrom = max(0, int32(p.quarterOf(laid)))
	return out.again()
}

// laid is when the boards under the next stage were begun, and whether they are laid at all.
// Where that is not told, they have been bare in all the weather known.
func (p *Prepared) laid(from int, marked []*Done) (time.Time, bool) {
	if from >= len(p.in.Stages) || !p.in.Stages[from].Bare {
		return time.Time{}, false
	}
	for k := from - 1; k >= 0; k-- {
		s := &p.in.Stages[k]
		if s.Kind != Boards || s.Deck != p.in.Stages[from].Deck {
			continue
		}
		d := marked[k]
		switch {
		case d == nil || d.Start.IsZero() && d.End.IsZero():
			return p.start, true
		case !d.Start.IsZero():
			return d.Start, true
		}
		return d.End.Add(-time.Duration(s.Quarters) * Quarter), true
	}
	return p.start, true
}

// dryIn is the members of a set in which the boards under every bare stage of a plan, laid
// when the plan lays them, are dry enough when it begins.
func (s *search) dryIn(places []place, set uint64) []uint64 {
	p := s.p
	out := make([]uint64, len(places))
	begun := map[string]int32{}
	for k, at := range places {
		st := &p.in.Stages[s.from+k]
		out[k] = set
		if st.Kind == Boards {
			begun[st.Deck] = at.q
		}
		from, known := begun[st.Deck]
		if !known || !st.Bare || p.damp == nil || p.bareFrom >= 0 {
			continue
		}
		for left := set; left != 0; left &= left - 1 {
			if m := bits.TrailingZeros64(left); p.damp[m].Since[at.q] >= from {
				out[k] &^= 1 << m
			}
		}
	}
	return out
}

// dry is the members in which a choice holds with its boards dry.
func (s *search) dry(c *choice) uint64 {
	p, set := s.p, c.mask
	if p.damp == nil || p.bareFrom >= 0 {
		return set
	}
	var room [8]boardsBegun // on the stack: a result may be asked by several at once
	begun := room[:0]
	v, cand, of := int(c.variant), c.cand, c.of
	for i := s.from; set != 0; i++ {
		t := s.tables[i][v]
		l, st := &t.labels[cand][of], &p.in.Stages[i]
		if st.Kind == Boards {
			begun = append(begun, boardsBegun{st.Deck, t.at[cand]})
		}
		if st.Bare {
			set = p.stillDry(begun, st.Deck, t.at[cand], set)
		}
		if l.next < 0 {
			break
		}
		v, cand, of = int(l.variant), l.next, l.of
	}
	return set
}

// boardsBegun is when the boards of a deck are begun in a plan.
type boardsBegun struct {
	deck string
	at   int32
}

// stillDry is the members of a set in which the boards of a deck are dry at a quarter; all where they were not begun.
func (p *Prepared) stillDry(begun []boardsBegun, deck string, q int32, set uint64) uint64 {
	for k := len(begun) - 1; k >= 0; k-- {
		if begun[k].deck != deck {
			continue
		}
		for left := set; left != 0; left &= left - 1 {
			if m := bits.TrailingZeros64(left); p.damp[m].Since[q] >= begun[k].at {
				set &^= 1 << m
			}
		}
		break
	}
	return set
}
