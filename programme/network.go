package programme

import (
	"fmt"
	"math"
	"strings"

	"gelwright/elementary"
)

// Network is a temporal constraint network: events, and demands that one comes at
// least, or at most, so many minutes after another.
type Network struct {
	Events  []string
	demands []demand
}

type demand struct {
	from, to int
	// t(to) − t(from) ≤ most.
	most float64
	why  string
}

// Event adds an event and returns its number.
func (n *Network) Event(name string) int {
	n.Events = append(n.Events, name)
	return len(n.Events) - 1
}

// AtLeast demands that b comes at least min after a.
func (n *Network) AtLeast(a, b int, min float64, why string) {
	n.demands = append(n.demands, demand{b, a, -min, fmt.Sprintf("%s: at least %s after %s (%s)", n.Events[b], minutes(min), n.Events[a],
		why)})
}

// AtMost demands that b comes at most min after a.
func (n *Network) AtMost(a, b int, min float64, why string) {
	n.demands = append(n.demands, demand{a, b, min, fmt.Sprintf("%s: at most %s after %s (%s)", n.Events[b], minutes(min), n.Events[a], why)})
}

func minutes(m float64) string {
	if m >= 120 {
		return fmt.Sprintf("%.4g h", m/60)
	}
	return fmt.Sprintf("%.4g min", m)
}

// Contradiction is a ring of demands that cannot all be met.
type Contradiction struct {
	Demands []string `json:"demands"`
	// ByMin is how many minutes are missing.
	ByMin float64 `json:"by_min"`
}

// Error names who contradicts whom.
func (c *Contradiction) Error() string {
	return fmt.Sprintf("these demands contradict each other by %s: %s. Ease one of them", minutes(c.ByMin), strings.Join(c.Demands, "; "))
}

// Earliest gives the earliest minute of every event after the first, or the
// contradiction: a negative cycle of the distance graph (Bellman and Ford).
func (n *Network) Earliest() ([]float64, *Contradiction) {
	k := len(n.Events)
	// Longest path from event 0 over least lags is the shortest over the graph turned
	// round; all distances start at 0, so that unreached events count too.
	dist := make([]float64, k)
	by := make([]int, k)
	for i := range by {
		by[i] = -1
	}
	const hair = 1e-9
	last := -1
	for range k + 1 {
		last = -1
		for d, e := range n.demands {
			// dist is −earliest: t(to) ≤ t(from) + most becomes −t(from) ≤ −t(to) + most.
			if v := dist[e.to] + e.most; v < dist[e.from]-hair {
				dist[e.from], by[e.from] = v, d
				last = e.from
			}
		}
		if last < 0 {
			break
		}
	}
	if last < 0 {
		out := make([]float64, k)
		for i := range out {
			out[i] = -dist[i]
		}
		return out, nil
	}
	// Walk back until on the cycle, then collect it.
	at := last
	for range k {
		at = n.demands[by[at]].to
	}
	c := &Contradiction{}
	sum := 0.0
	for x := at; ; {
		d := n.demands[by[x]]
		c.Demands = append(c.Demands, d.why)
		sum += d.most
		if x = d.to; x == at {
			break
		}
	}
	c.ByMin = math.Round(-sum*1000) / 1000
	return nil, c
}

// NetworkOf states the demands of the stages in the kindest weather: shortest lags
// from below, longest from above; a plan that contradicts itself even then can be
// carried out on no day. Work that may go on overnight, or begin again after
// abrading, demands nothing from above.
func NetworkOf(stages []Stage, hours Hours) *Network {
	n := &Network{}
	n.Event("the start")
	before := -1
	for i := range stages {
		s := &stages[i]
		start, end := n.Event("start of "+s.Name), n.Event("end of "+s.Name)
		work := float64(s.Quarters) * 15
		n.AtLeast(start, end, work, "the work itself")
		if !s.Divisible {
			n.AtMost(start, end, work, "it cannot be interrupted")
			n.AtMost(start, end, hours.EndMin-hours.StartMin, "the working day")
		}
		if before >= 0 {
			p := &stages[i-1]
			least := s.Join.LeastMin + kindest(p.Film, s.Join.Least, math.Min) - float64(s.Lead)*15
			n.AtLeast(before, start, math.Max(0, least), why(s.Join, s.Join.Least))
			if s.Join.bounded() && s.Again == nil {
				from, most := before, s.Join.MostMin
				if s.Join.Most != None {
					from, most = before-1, most+kindest(p.Film, s.Join.Most, math.Max)
				}
				n.AtMost(from, start, most-float64(s.Lead)*15, why(s.Join, s.Join.Most))
			}
		} else {
			n.AtLeast(0, start, 0, "it begins")
		}
		before = end
	}
	return n
}

func why(l Lag, m Mark) string {
	if l.Why != "" {
		return l.Why
	}
	return m.String()
}

// kindest is the least or greatest time to a mark over all temperatures.
func kindest(f *Film, m Mark, pick func(a, b float64) float64) float64 {
	if f == nil || m == None {
		return 0
	}
	v := f.Min[m][0]
	for i, t := range f.Min[m] {
		v = pick(v, t*elementary.Pow(f.RefPct/f.DosePct[i], f.DoseExponent[m]))
	}
	if c := f.MostMin[m]; c > 0 {
		v = math.Min(v, c)
	}
	return v
}
