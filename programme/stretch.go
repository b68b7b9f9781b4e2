package programme

// divisible: the work goes on in allowed quarters until enough are worked. What is done in stretches is begun neither at the end of one
// nor where it would leave less than one for another.
func (p *Prepared) divisible(i, v int) {
	d := &p.stages[i]
	c := p.class[d.class]
	if c.places == nil {
		c.places = make([][]int32, len(p.in.Members))
		for m := range p.in.Members {
			for q, mask := range c.ok {
				if mask>>m&1 != 0 {
					c.places[m] = append(c.places[m], int32(q))
				}
			}
		}
	}
	d.ok[v] = make([]uint64, p.n)
	d.finish[v] = make([][]int32, len(p.in.Members))
	k := int(d.quarters[v])
	for m, places := range c.places {
		row := make([]int32, p.n)
		for j, q := range places {
			if j+k-1 < len(places) && inOne(places[j:j+k], int(c.run)) {
				row[q] = places[j+k-1] + 1
				d.ok[v][q] |= 1 << m
			}
		}
		d.finish[v][m] = row
	}
}

// inOne reports whether work in some quarters begins with a stretch of so many, and leaves as many or none behind its first break; any
// does where the least is 0.
func inOne(at []int32, least int) bool {
	if least == 0 {
		return true
	}
	first := 1
	for first < len(at) && at[first] == at[first-1]+1 {
		first++
	}
	return first >= min(least, len(at)) && (first == len(at) || len(at)-first >= least)
}

// inStretches keeps of the quarters that are allowed in each member those that lie in a stretch of so many.
func inStretches(ok []uint64, least int) []uint64 {
	out := make([]uint64, len(ok))
	for q, all := range through(ok, least) {
		if all == 0 {
			continue
		}
		for k := range min(least, len(ok)-q) {
			out[q+k] |= all
		}
	}
	return out
}
