package survey

import (
	"math"

	"gelwright/plane"
)

// doubted is the network where the points lie as given, with no corner believed to be square; nil where the tape alone does not
// hold it.
func (a *adjusted) doubted(at []plane.Point) *adjusted {
	n := &Network{a.n.Corners, a.n.Turns, make([]Measurement, len(a.n.Measurements))}
	for i, m := range a.n.Measurements {
		if m.Assumed {
			m.SD = unsquareDeg
		}
		n.Measurements[i] = m
	}
	d := &adjusted{n: n, e: a.e, at: at}
	d.obs = d.rows(d.at)
	q, _, ok := d.solve(d.at, d.obs)
	if !ok {
		return nil
	}
	d.q = q
	return d
}

// check tells what checks each measurement: the tape, when it is checked with the square corners disbelieved; the square corners, when it
// is checked only with them. A corner that looks square is checked when the lengths alone hold it better than its look does.
func (d *adjusted) check(judged []Judged) {
	for i := range judged {
		j := &judged[i]
		switch {
		case !j.Assumed && d.redundancy(i) >= slight:
			j.Checked = ByTape
		case j.Assumed && d.variance(&d.obs[i]) < square(j.SD*math.Pi/180):
			j.Checked = ByTape
		case !j.Assumed && j.Redundancy >= slight:
			j.Checked = BySquare
		}
	}
}

func square(x float64) float64 { return x * x }

// wanted proposes the lengths that would bring most measurements under the check of the tape, one after another, until all are or
// nothing helps.
func (d *adjusted) wanted(judged []Judged, tolerance Tolerance) []Wanted {
	const most = 8
	var out []Wanted
	open := map[int]bool{}
	for i := range judged {
		if judged[i].Checked != ByTape {
			open[i] = true
		}
	}
	corners := len(d.n.Corners)
	for len(open) > 0 && len(out) < most {
		var best *row
		var settled []int
		var choice Wanted
		gain := 0.0
		for i := range corners {
			for k := i + 1; k < corners; k++ {
				if d.n.measured(d.n.Corners[i], d.n.Corners[k]) || proposed(out, d.n.Corners[i], d.n.Corners[k]) || !d.seen(i, k) {
					continue
				}
				r := d.between(i, k, tolerance)
				now, worth := d.settles(&r, open, judged)
				if worth > gain+1e-9 {
					best, settled, gain = &r, now, worth
					choice = Wanted{d.n.Corners[i], d.n.Corners[k], d.at[i].Distance(d.at[k]), len(now)}
				}
			}
		}
		if best == nil || len(settled) == 0 && gain < 0.05 {
			break
		}
		for _, i := range settled {
			delete(open, i)
		}
		d.add(best)
		out = append(out, choice)
	}
	return out
}

func proposed(list []Wanted, a, b string) bool {
	for _, w := range list {
		if w.From == a && w.To == b || w.From == b && w.To == a {
			return true
		}
	}
	return false
}

// between is a length that nobody has measured yet.
func (d *adjusted) between(i, k int, tolerance Tolerance) row {
	m := Measurement{Kind: Length, From: "a", To: "b"}
	length, derivatives := m.observed(d.at[i], d.at[k], plane.Point{})
	return row{points: [3]int{i, k, -1}, d: derivatives, sd: tolerance.Of(length)}
}

// settles returns the open measurements that a new length brings under check, and its worth: their number and what it adds to the
// redundancy of all that are open.
func (d *adjusted) settles(r *row, open map[int]bool, judged []Judged) (list []int, worth float64) {
	own := d.variance(r) + r.sd*r.sd
	for i := range d.obs {
		if !open[i] {
			continue
		}
		o := &d.obs[i]
		gained := square(d.covariance(o, r)) / own
		if judged[i].Assumed {
			if d.variance(o)-gained < square(judged[i].SD*math.Pi/180) {
				list = append(list, i)
			}
			worth += 0.1 * gained / (d.variance(o) + 1e-30)
			continue
		}
		if d.redundancy(i)+gained/(o.sd*o.sd) >= slight {
			list = append(list, i)
		}
		worth += 0.1 * min(1, gained/(o.sd*o.sd))
	}
	return list, worth + float64(len(list))
}

// add takes a length into the cofactors as if it had been measured.
func (d *adjusted) add(r *row) {
	size := d.q.n
	v := make([]float64, size)
	for i := range size {
		for k, p := range r.points {
			if p >= 0 {
				v[i] += *d.q.at(i, 2*p)*r.d[k].X + *d.q.at(i, 2*p+1)*r.d[k].Y
			}
		}
	}
	own := d.variance(r) + r.sd*r.sd
	for i := range size {
		for k := range size {
			*d.q.at(i, k) -= v[i] * v[k] / own
		}
	}
}

// seen reports whether a tape can lie straight between two corners without leaving the roof.
func (d *adjusted) seen(i, k int) bool {
	n := len(d.n.Corners)
	if k == i+1 || i == 0 && k == n-1 {
		return true
	}
	a, b := d.at[i], d.at[k]
	for s := range n {
		e := (s + 1) % n
		if s == i || s == k || e == i || e == k {
			continue
		}
		p, q := d.at[s], d.at[e]
		if cross(a, b, p, q) {
			return false
		}
	}
	return plane.Loop(d.at[:n]).Contains(a.Add(b).Scale(0.5))
}
