package plan

import (
	"fmt"

	"gelwright/settingout"
)

// keepRollMM is the least left on a roll that is worth carrying home: half a metre of
// mat still makes patches (common practice, no source).
const keepRollMM = 500

// Kept is an offcut that is stock for the next job: no later deck of this one takes it.
type Kept struct {
	Deck     string
	Material string
	Kind     settingout.Kind
	// From is the number of the board or length, or "roll 3".
	From string
	// LengthMM by WidthMM; width 0 for lengths.
	LengthMM, WidthMM int
}

// Kept lists what is left of boards, lengths and rolls when the last deck is set out.
func (p *Plan) Kept() []Kept {
	type piece struct {
		material string
		l, w     int
		where    string
	}
	used := map[piece]int{}
	for _, d := range p.Decks {
		for _, m := range d.SetOut.Materials {
			for _, t := range m.Taken {
				if t.Bought {
					used[piece{m.Name, t.LengthMM, t.WidthMM, t.Where}] += t.Count
				}
			}
		}
	}
	taken := func(is piece) bool {
		if used[is] == 0 {
			return false
		}
		used[is]--
		return true
	}
	var out []Kept
	for _, d := range p.Decks {
		for _, m := range d.Materials() {
			for _, s := range m.Stock {
				for _, o := range s.Offcuts {
					if !taken(piece{m.Name, o.LengthMM, o.WidthMM, settingout.OffcutOf(d.Name)}) {
						out = append(out, Kept{d.Name, m.Name, m.Kind, fmt.Sprint(s.Number), o.LengthMM, o.WidthMM})
					}
				}
			}
			for _, r := range m.Rolls {
				where := r.Where
				if where == "" {
					where = settingout.BegunOn(d.Name)
				}
				if r.LeftMM >= keepRollMM && !taken(piece{m.Name, r.LeftMM, 0, where}) {
					out = append(out, Kept{d.Name, m.Name, m.Kind, fmt.Sprintf("roll %d", r.Number), r.LeftMM, r.WidthMM})
				}
			}
		}
	}
	return out
}
