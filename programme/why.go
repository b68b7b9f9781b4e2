package programme

import (
	"fmt"

	"gelwright/weather"
)

// blocked names the first stage that finds no time in any member, and why.
func (p *Prepared) blocked(from, lo int) string {
	for i := from; i < len(p.in.Stages); i++ {
		found := uint64(0)
		for v := range p.stages[i].variants {
			for _, m := range p.stages[i].ok[v][min(lo, p.n):] {
				found |= m
			}
		}
		if found == 0 {
			return fmt.Sprintf("%s finds no time: %s", p.in.Stages[i].Name, p.commonest(p.stages[i].class, lo, p.n))
		}
	}
	return "each stage finds a time by itself, but not one after the other within the weather known: give a longer forecast, more people, " +
		"or split the work"
}

// whyNot tells why no beginning on a day leads to a finish.
func (p *Prepared) whyNot(from int, day int32, lo int) string {
	a, b := -1, -1
	for q := lo; q < p.n; q++ {
		if p.day[q] == day {
			if a < 0 {
				a = q
			}
			b = q + 1
		}
	}
	any := false
	for q := a; q < b; q++ {
		any = any || p.stages[from].ok[0][q] != 0
	}
	if !any {
		open := false
		for q := a; q < b; q++ {
			open = open || p.open[0][q]
		}
		if !open {
			return "no working hours"
		}
		return p.in.Stages[from].Name + ": " + p.commonest(p.stages[from].class, a, b)
	}
	for i := from; i < len(p.in.Stages); i++ {
		if p.in.Stages[i].Kind.Wet() {
			later := uint64(0)
			for v := range p.stages[i].variants {
				for q := a; q < p.n; q++ {
					later |= p.stages[i].ok[v][q]
				}
			}
			if later == 0 {
				return p.in.Stages[i].Name + ": " + p.commonest(p.stages[i].class, a, p.n)
			}
		}
	}
	return "a later stage finds no time before the weather ends"
}

// commonest is the limit that says no most often in working hours between two quarters.
func (p *Prepared) commonest(class, a, b int) string {
	c := p.class[class]
	hours := p.open[0]
	if c.smells {
		hours = p.open[1]
	}
	var sum []tally
	for q := a; q < b; q++ {
		if !hours[q] {
			continue
		}
		for _, t := range p.brokenAt(c, q) {
			sum = gather(sum, t)
		}
	}
	if len(sum) == 0 {
		return "the hours left within the limits are too short for it"
	}
	return p.told(top(sum)[0]).Text(p.zone())
}

// binding is the reason of the most members at a quarter; empty when all say go.
func (p *Prepared) binding(class, q int) (weather.Reason, int) {
	broken := p.brokenAt(p.class[class], q)
	if len(broken) == 0 {
		return weather.Reason{}, 0
	}
	t := top(broken)[0]
	return p.told(t), t.n
}
