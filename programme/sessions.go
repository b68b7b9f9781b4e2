package programme

import (
	"fmt"
	"strings"
)

// Sessions are the slots with parts of one piece of work that follow each other
// without a break joined into one: "laminate, parts 1 to 4 of 9".
func (p *Plan) Sessions() []Slot {
	var out []Slot
	for i := 0; i < len(p.Slots); {
		s := p.Slots[i]
		name, part, parts := strings.Cut(s.Name, ", part ")
		first, of, _ := strings.Cut(part, " of ")
		last := first
		j := i + 1
		for ; parts && j < len(p.Slots); j++ {
			next := p.Slots[j]
			n, x, ok := strings.Cut(next.Name, ", part ")
			if !ok || n != name || next.Again != "" || next.First != "" || !next.Start.Equal(s.End) {
				break
			}
			last, _, _ = strings.Cut(x, " of ")
			s.End, s.SafeBy, s.SafeByLate = next.End, next.SafeBy, next.SafeByLate
			s.P, s.Call.P = min(s.P, next.P), min(s.Call.P, next.Call.P)
		}
		if last != first {
			s.Name = fmt.Sprintf("%s, parts %s to %s of %s", name, first, last, of)
			if first == "1" && last == of {
				s.Name = name
			}
		}
		out = append(out, s)
		i = j
	}
	return out
}
