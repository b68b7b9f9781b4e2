package programme

import (
	"errors"
	"fmt"
	"time"
)

// Fixed is a start that stands in somebody's calendar: that of a stage, by its key.
type Fixed struct {
	Key   string    `json:"key"`
	Start time.Time `json:"start"`
	// Again tells that the stage is begun later than its join allows, with the work that costs.
	Again bool `json:"again,omitempty"`
}

// Fixed are the starts of a plan, to be held against other weather later.
func (p *Plan) Fixed() []Fixed {
	out := make([]Fixed, len(p.Slots))
	for k, s := range p.Slots {
		out[k] = Fixed{Key: s.Key, Start: s.Start, Again: s.Again != ""}
	}
	return out
}

// What keeps fixed starts from being judged.
var (
	// ErrOtherWork: the starts are not those of the stages: the roof or its crew has been changed since.
	ErrOtherWork = errors.New("the work has other stages now")
	// ErrBehind: the first start lies before the weather known.
	ErrBehind = errors.New("its first start lies before the weather known")
	// ErrBeyond: the weather known ends before the first of the work does.
	ErrBeyond = errors.New("the weather known does not reach it")
)

// Standing judges fixed starts of all stages, in their order, by the weather: it is the plan with these starts, with the chances,
// calls and reasons that a search tells of a plan with them, and nothing is searched for. A plan that no member holds is told too, its
// ends in the members in which each stage by itself can be done. Earliest and Latest are the starts themselves: what else would leave
// the rest as it is was not looked for.
//
// Where the weather known ends before the work does, the plan is of the first stages alone, those that end a day before the weather,
// and rest is how many are left out. ErrOtherWork, ErrBehind and ErrBeyond tell that there is nothing to judge.
func (p *Prepared) Standing(starts []Fixed) (plan *Plan, rest int, err error) {
	places, err := p.placesOf(starts)
	if err != nil {
		return nil, 0, err
	}
	known := p.within(places)
	if known == 0 {
		return nil, len(places), ErrBeyond
	}
	return p.only(known).standing(places[:known]), len(places) - known, nil
}

// placesOf are fixed starts as places; an error where they are not those of the stages, or not of the weather known.
func (p *Prepared) placesOf(starts []Fixed) ([]place, error) {
	if len(starts) != len(p.in.Stages) {
		return nil, fmt.Errorf("%w: %d, and %d starts are fixed", ErrOtherWork, len(p.in.Stages), len(starts))
	}
	places := make([]place, len(starts))
	for k, f := range starts {
		if f.Key != p.in.Stages[k].Key || f.Again && p.in.Stages[k].Again == nil {
			return nil, fmt.Errorf("%w: %s stands where %s was", ErrOtherWork, p.in.Stages[k].Key, f.Key)
		}
		places[k].q = int32(min(p.quarterOf(f.Start), p.n))
		if f.Again {
			places[k].v = 1
		}
	}
	if places[0].q < 0 || starts[0].Start.Before(p.start) {
		return nil, ErrBehind
	}
	return places, nil
}

// within is how many of the first of some places can be judged: all, where all of the work lies in the weather known, or else those
// that end a day before it does.
func (p *Prepared) within(places []place) int {
	for i, at := range places {
		if at.q >= 0 && int(p.lastOf(i, at)) <= p.n {
			continue
		}
		for i > 0 && int(p.lastOf(i-1, places[i-1])) > p.n-96 {
			i--
		}
		return i
	}
	return len(places)
}

// lastOf is where stage i at a place ends: in the members in which it can be done there at the latest, or else with nothing between
// its quarters.
func (p *Prepared) lastOf(i int, at place) int32 {
	end := at.q + p.stages[i].quarters[at.v]
	if int(at.q) >= p.n || p.stages[i].finish[at.v] == nil {
		return end
	}
	for m := range p.in.Members {
		if p.stages[i].ok[at.v][at.q]>>m&1 != 0 {
			end = max(end, p.endOf(i, at.v, m, at.q))
		}
	}
	return end
}

// standing is the plan of places that lie in the weather known.
func (p *Prepared) standing(places []place) *Plan {
	s := &search{p: p}
	set := p.full
	for k := range places {
		set &= s.holdsAt(places, k, p.full)
	}
	holds := set
	for _, dry := range s.dryIn(places, set) {
		holds &= dry
	}
	return s.planAt(places, set, holds, p.full)
}
