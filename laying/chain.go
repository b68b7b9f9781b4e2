package laying

import (
	"context"
	"errors"
	"fmt"
	"math"

	"gelwright/cure"
	"gelwright/mixing"
)

// chain follows one crew through the wet work of the job: what it is free for, and when
// what it laid bears the next pass. There is no forecast in it: every day is taken to be
// like the one given.
type chain struct {
	ctx    context.Context
	ground *Ground
	films  Films
	day    mixing.Day
	// at is the day of the job and the minute of it at which the crew is free.
	at moment
	// prev is the pass before on the same deck, nil for the first of a deck; any whether
	// anything was laid at all.
	prev *Pass
	any  bool
	// shown is the last day on which laminating resin, and top coat, was mixed: its first mix
	// has shown the pace of that day.
	shown [2]int
}

// OvernightMin is how long a coat is left, once it is free of tack, before somebody kneels on it to abrade it
// for the next, min: it bears a light foot after about a day (common practice, no source).
const OvernightMin = 12 * 60

// moment is a day counted through the job, from 1, and a minute of it.
type moment struct {
	day int
	min float64
}

// begin is when a pass can begin, and why not at once.
type begin struct {
	moment
	why string
}

// deck tells the chain that the next deck begins: after the one above is signed off, and
// it is stripped and boarded, where decks are opened one after another.
func (c *chain) deck(opened bool) begin {
	c.prev = nil
	if opened && c.any {
		c.at = moment{c.at.day + 1, c.day.StartMin}
		return begin{c.at, "on the next day of wet work: the deck above is signed off first, and this one stripped and boarded; those days " +
			"are not counted"}
	}
	return begin{c.at, ""}
}

// next is when the pass after prev may begin: details bear mat as soon as they are rolled
// out; mat bears the next when it is hard enough to over-coat at the slow end of the plan's own
// cure, that day or the next morning. A coat bears the next once it can be abraded, which is a
// night after it is free of tack: when it has gelled at the slow end its wax may have surfaced at
// the early one, so that no hour can be told at which it takes a coat as it is.
func (c *chain) next() (begin, error) {
	if c.prev == nil {
		return begin{c.at, ""}, nil
	}
	switch c.prev.Kind {
	case "details":
		return begin{c.at, "when bandage and details are rolled out, by the same crew"}, nil
	}
	h, err := c.ground.filmed(c.ctx, c.films, c.prev)
	if err != nil {
		return begin{}, err
	}
	last := c.prev.Plan.Mixes[len(c.prev.Plan.Mixes)-1]
	after, fit := within(h.ranges.Hardening[cure.OverCoatFrom]).HighMin, "hard enough to coat"
	if c.prev.Coat() {
		after, fit = within(h.ranges.Hardening[cure.RainSafe]).HighMin+OvernightMin, "free of tack and a night old"
	}
	name := passOf(c.prev)
	ready := last.MixAtMin + after
	if math.IsInf(after, 1) {
		return begin{moment{last.Day + 1, c.day.StartMin},
			fmt.Sprintf("the next morning, and only once %s is %s: in this cold the plan cannot say when", name, fit)}, nil
	}
	b := begin{moment{last.Day, math.Max(ready, c.at.min)},
		fmt.Sprintf("when %s is %s, %s after its last bucket at the slow end", name, fit, Lasting(after))}
	if c.at.day > last.Day {
		b.moment = c.at
	}
	if ready >= c.day.EndMin {
		const dayMin = 24 * 60
		on := moment{last.Day + int(ready/dayMin), math.Mod(ready, dayMin)}
		if on.min >= c.day.EndMin {
			on = moment{on.day + 1, 0}
		}
		on.min = math.Max(on.min, c.day.StartMin)
		b = begin{on, fmt.Sprintf("on day %d: %s is %s %s after its last bucket at the slow end, after the end of its day",
			on.day, name, fit, Lasting(after))}
	}
	return b, nil
}

func passOf(x *Pass) string {
	if x.Kind == "details" {
		return "the details"
	}
	if x.Kind == CuttingIn {
		return "the cutting in"
	}
	return fmt.Sprintf("%s %d", map[string]string{"mat": "mat layer", "top coat": "top coat"}[x.Kind], x.Layer)
}

// plan plans a pass from when it can begin. What the rest of the day does not hold begins
// the next morning instead, so that no edge is left overnight that a morning's start would
// not leave; so does what the rest of the day is too hot or too cold for.
func (c *chain) plan(b begin, in mixing.Input, items []mixing.Detail) (*mixing.Plan, begin, error) {
	make := func(at moment) (*mixing.Plan, error) {
		in.FirstDay, in.BeginMin = at.day, at.min
		if items != nil {
			return mixing.Details(c.ctx, in, items)
		}
		return mixing.Make(c.ctx, in)
	}
	if len(in.Sessions) > 0 {
		p, err := make(b.moment)
		return p, b, err
	}
	late := b.min > c.day.StartMin+1e-9
	morning := begin{moment{b.day + 1, c.day.StartMin},
		fmt.Sprintf("on the morning of day %d: what is left of day %d does not hold it all", b.day+1, b.day)}
	if late && b.min >= c.day.EndMin {
		b, late = morning, false
	}
	p, err := make(b.moment)
	var refusal *cure.Refusal
	switch {
	case !late, err != nil && !errors.As(err, &refusal):
		return p, b, err
	case err != nil:
		morning.why = fmt.Sprintf("on the morning of day %d: no dose works in what is left of day %d", b.day+1, b.day)
	case p.Days == 1 && p.EndMin <= c.day.EndMin+1e-9:
		return p, b, nil
	}
	p, err = make(morning.moment)
	return p, morning, err
}

// done moves the crew on.
func (c *chain) done(x *Pass) {
	c.prev, c.any = x, true
	c.at = moment{x.Plan.LastDay(), x.Plan.EndMin}
	c.shown[x.coat()] = c.at.day
}
