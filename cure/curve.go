package cure

import (
	"math"
	"sort"

	"gelwright/elementary"
)

// Curve is a table seen along temperature only, for one milestone, dose and film: what
// a search calls thousands of times. A programme may keep running sums of
// [Curve.PerMin] over a forecast; a milestone comes when a sum has grown by 1.
type Curve struct {
	inverse []float64 // 1/T of the grid, falling
	ln      []float64
	stretch float64 // E/R, K: beyond the grid
	// LatestMin bounds the milestone; 0 for none.
	LatestMin float64
	milestone Milestone
	table     *Table
	pct       float64
}

// Curve returns the table along temperature. The dose and the film must be within it.
func (t *Table) Curve(m Milestone, pct, resinKGPerM2 float64) (*Curve, error) {
	if _, err := t.Time(m, t.TempsC[0], pct, resinKGPerM2); err != nil {
		return nil, err
	}
	c := &Curve{stretch: t.Law.Mean[1] / gasKJ, LatestMin: t.LatestMin[m], milestone: m, table: t, pct: pct}
	for _, temp := range t.TempsC {
		c.inverse = append(c.inverse, inverseK(temp))
		c.ln = append(c.ln, t.ln(m, temp, pct, resinKGPerM2))
	}
	return c, nil
}

// PerMin is the share of the way to the milestone that one minute at a temperature
// takes: 1/t. Beyond the grid the edge's time is stretched by Arrhenius' law with the
// gel's E, so that a night below 5 °C stands nearly still.
func (c *Curve) PerMin(tempC float64) float64 {
	v := inverseK(tempC)
	last := len(c.inverse) - 1
	switch {
	case v >= c.inverse[0]:
		return elementary.Exp(-c.ln[0] - c.stretch*(v-c.inverse[0]))
	case v <= c.inverse[last]:
		return elementary.Exp(-c.ln[last] - c.stretch*(v-c.inverse[last]))
	}
	lo, hi := 0, last
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; v <= c.inverse[mid] {
			lo = mid
		} else {
			hi = mid
		}
	}
	u := (v - c.inverse[lo]) / (c.inverse[hi] - c.inverse[lo])
	return elementary.Exp(-c.ln[lo]*(1-u) - c.ln[hi]*u)
}

// Shares returns the shares of the way, below and above 1, at which the milestone is
// taken to come at the earliest and the latest in nine cases of ten.
func (c *Curve) Shares(tempC float64) (early, late float64) {
	half := c.table.half(c.milestone, tempC, c.pct)
	return elementary.Exp(-half), elementary.Exp(half)
}

// Under returns the milestone of a mix made at minute 0 while the deck's temperature
// follows a profile, straight between readings and level beyond them, by equivalent age.
func (c *Curve) Under(profile []Reading) (Range, error) {
	if err := checkProfile(profile); err != nil {
		return Range{}, err
	}
	if err := c.table.Law.Allowed(tempAt(profile, 0), c.pct); err != nil {
		return Range{}, err
	}
	early, late := c.Shares(tempAt(profile, 0))
	want := [3]float64{early, 1, late}
	var at [3]float64
	k := 0
	done, now, rate := 0.0, 0.0, c.PerMin(tempAt(profile, 0))
	next := sort.Search(len(profile), func(i int) bool { return profile[i].Min > 0 })
	temp := tempAt(profile, 0)
	for next < len(profile) && k < 3 {
		// Straight stretches of a quarter hour at most: the rate at both ends and the middle.
		n := math.Ceil((profile[next].Min - now) / stretchMin)
		dt, dT := (profile[next].Min-now)/n, (profile[next].TempC-temp)/n
		for range int(n) {
			mid, end := c.PerMin(temp+dT/2), c.PerMin(temp+dT)
			step := dt * (rate + 4*mid + end) / 6
			for k < 3 && done+step >= want[k] {
				at[k] = now + dt*within((want[k]-done)/dt, rate, mid, end)
				k++
			}
			done, now, temp, rate = done+step, now+dt, temp+dT, end
			if k == 3 {
				break
			}
		}
		next++
	}
	for ; k < 3; k++ {
		at[k] = now + (want[k]-done)/rate
	}
	return c.table.capped(c.milestone, Range{at[0], at[1], at[2]}), nil
}

// stretchMin bounds a stretch over which the rate is taken as a parabola.
const stretchMin = 15

// within finds u in 0–1 where the integral from 0 of the parabola through r0, rm, r1
// reaches share.
func within(share, r0, rm, r1 float64) float64 {
	b, c := 4*rm-3*r0-r1, 2*(r0+r1)-4*rm
	u := math.Min(1, share/rm)
	for range 4 {
		u -= (u*(r0+u*(b/2+u*c/3)) - share) / (r0 + u*(b+u*c))
		u = math.Max(0, math.Min(1, u))
	}
	return u
}

// Under returns a milestone while the deck's temperature follows a profile: see
// [Curve.Under].
func (t *Table) Under(m Milestone, profile []Reading, pct, resinKGPerM2 float64) (Range, error) {
	c, err := t.Curve(m, pct, resinKGPerM2)
	if err != nil {
		return Range{}, err
	}
	return c.Under(profile)
}
