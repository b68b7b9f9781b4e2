package programme

import "math/bits"

// Outcome is what becomes of a plan when a crew carries it out with open eyes: shares
// of the members, which sum to 1.
type Outcome struct {
	// Finished: every stage done on its planned day, or later within it.
	Finished float64 `json:"finished"`
	// Stopped: not begun or left at a sound joint, nothing spoiled; it goes on another day.
	Stopped float64 `json:"stopped"`
	// Spoiled: resin was down when rain, dew or cold came.
	Spoiled float64 `json:"spoiled"`
	// At which stage it most often stops or spoils; -1 for none.
	Weakest int `json:"weakest"`
}

// rehearse carries a plan out in every member. At each stage the crew begin at the
// planned time or, if the sky does not allow it, as soon as it does the same day; they
// stop work that can be stopped when a limit breaks, and what is down then has to
// come through.
func (p *Prepared) rehearse(plan *Plan) Outcome {
	out := Outcome{Weakest: -1}
	fails := make([]int, len(plan.Slots))
	var done, stopped, spoiled int
	for m := range p.in.Members {
		at, what := p.carryOut(plan, m)
		switch what {
		case finished:
			done++
			continue
		case leftSafe:
			stopped++
		default:
			spoiled++
		}
		fails[at]++
	}
	n := float64(len(p.in.Members))
	out.Finished, out.Stopped, out.Spoiled = float64(done)/n, float64(stopped)/n, float64(spoiled)/n
	for k, f := range fails {
		if f > 0 && (out.Weakest < 0 || f > fails[out.Weakest]) {
			out.Weakest = k
		}
	}
	return out
}

type fate int

const (
	finished fate = iota
	leftSafe
	ruined
)

// carryOut runs a plan in one member and tells at which slot it ended, and how.
func (p *Prepared) carryOut(plan *Plan, m int) (int, fate) {
	bit := uint64(1) << m
	var begun, ended int32
	for k := range plan.Slots {
		slot := &plan.Slots[k]
		i, v := slot.Stage, 0
		if slot.Again != "" {
			v = 1
		}
		q := int32(p.quarterOf(slot.Start))
		day := p.day[q]
		last := int32(never)
		if k > 0 {
			w := p.windowAfter(i, m, begun, ended)
			ready := w.a0
			if v == 1 {
				ready = w.b0
			} else {
				last = w.a1
			}
			q = max(q, ready)
		}
		d := &p.stages[i]
		ok := p.class[d.class].ok
		if lead := p.in.Stages[i].Lead + v*p.in.Stages[i].AgainQuarters; lead > 0 && d.lead >= 0 {
			ok = p.class[d.lead].ok
		}
		for int(q) < p.n && p.day[q] == day && q <= last && ok[q]&bit == 0 {
			q++
		}
		if int(q) >= p.n || p.day[q] != day || q > last {
			return k, leftSafe
		}
		begun = q
		if d.finish[v] != nil {
			if d.ok[v][q]&bit == 0 {
				return k, leftSafe
			}
			ended = p.endOf(i, v, m, q)
			continue
		}
		ended = begun + d.quarters[v]
		guard := p.guardOf(i)
		if stop, cut := p.runs(i, v, m, begun, ended); cut {
			if stop == begun || p.in.Stages[i].Kind != Laminate && p.in.Stages[i].Kind.Wet() {
				if stop > begun {
					return k, ruined
				}
				return k, leftSafe
			}
			if guard.keeps(bit, int(stop)) == 0 {
				return k, ruined
			}
			return k, leftSafe
		}
		if guard.keeps(bit, int(ended)) == 0 {
			return k, ruined
		}
	}
	return -1, finished
}

// runs finds the first quarter at which a member breaks off a stage.
func (p *Prepared) runs(i, v, m int, begun, ended int32) (int32, bool) {
	d := &p.stages[i]
	lead := begun + int32(p.in.Stages[i].Lead+v*p.in.Stages[i].AgainQuarters)
	for q := begun; q < ended; q++ {
		c := d.class
		if q < lead && d.lead >= 0 {
			c = d.lead
		}
		if int(q) >= p.n || bits.Len64(p.class[c].ok[q]&(1<<m)) == 0 {
			return q, true
		}
	}
	return 0, false
}
