package survey

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gelwright/plane"
)

// Network is what was measured of one outline.
type Network struct {
	// Corners of the outline in order, anticlockwise or clockwise as they were walked.
	Corners []string
	// Turns at each corner: +1 where the outline turns left there, -1 right, 0 where it is not known. Empty: nothing is known.
	Turns []int
	// Measurements, in any order; points that are no corners (a nail, a peg) may stand in them.
	Measurements []Measurement
}

// NetworkOf is the network of a walk and of what was measured besides.
func NetworkOf(w Walk, more []Measurement, t Tolerance) Network {
	n := Network{Corners: w.Names(), Turns: make([]int, len(w)), Measurements: append(w.Measurements(t), more...)}
	for i, l := range w {
		n.Turns[(i+1)%len(w)] = cmp.Compare(l.TurnDeg, 0)
	}
	return n
}

// Fault is why a network gives no outline: which measurement (-1: none), what is wrong and how to mend it.
type Fault struct {
	Measurement     int
	Message, Remedy string
}

// Error says it in a sentence.
func (f *Fault) Error() string { return f.Message + ". " + f.Remedy }

// index gives every point of a network a number: the corners first.
func (n *Network) index() (names []string, of map[string]int, err *Fault) {
	if len(n.Corners) < 3 {
		return nil, nil, &Fault{-1, fmt.Sprintf("%d corners make no outline", len(n.Corners)), "Walk round three corners at least"}
	}
	of = map[string]int{}
	for _, c := range n.Corners {
		if _, twice := of[c]; twice {
			return nil, nil, &Fault{-1, fmt.Sprintf("two corners are called %s", c), "Give each corner a name of its own"}
		}
		of[c] = len(names)
		names = append(names, c)
	}
	for i := range n.Measurements {
		m := &n.Measurements[i]
		if f := m.fault(); f != "" {
			return nil, nil, &Fault{i, m.Name() + ": " + f, "Measure it again"}
		}
		for _, p := range []string{m.From, m.To, m.At} {
			if _, known := of[p]; !known && p != "" {
				of[p] = len(names)
				names = append(names, p)
			}
		}
	}
	return names, of, nil
}

// ends are the numbers of a measurement's points; at is -1 for a length.
type ends struct{ from, to, at int }

func (n *Network) ends(of map[string]int) []ends {
	out := make([]ends, len(n.Measurements))
	for i, m := range n.Measurements {
		out[i] = ends{of[m.From], of[m.To], -1}
		if m.Kind != Length {
			out[i].at = of[m.At]
		}
	}
	return out
}

// listed joins names: "B", "B and D", "B, D and E".
func listed(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// looseFault says which points nothing fixes, and what would.
func (n *Network) looseFault(names []string, placed []bool) *Fault {
	var loose []string
	for i, name := range names {
		if !placed[i] {
			loose = append(loose, name)
		}
	}
	first := slices.Index(placed, false)
	var want []string
	for i := range n.Corners {
		if placed[i] && !n.measured(names[first], names[i]) && len(want) < 2 {
			want = append(want, names[first]+"–"+names[i])
		}
	}
	verb := "lies"
	if len(loose) > 1 {
		verb = "lie"
	}
	return &Fault{-1, fmt.Sprintf("nothing says where %s %s", listed(loose), verb), "Measure " + strings.Join(want, " or ")}
}

// measured reports whether the length between two points was taken.
func (n *Network) measured(a, b string) bool {
	return slices.ContainsFunc(n.Measurements, func(m Measurement) bool {
		return m.Kind == Length && (m.From == a && m.To == b || m.From == b && m.To == a)
	})
}

// cross reports whether the lines a–b and p–q cross between their ends.
func cross(a, b, p, q plane.Point) bool {
	return turned(a, b, p)*turned(a, b, q) < 0 && turned(p, q, a)*turned(p, q, b) < 0
}

// turned reports on which side of the way from a over b the point c lies: +1 left.
func turned(a, b, c plane.Point) int { return cmp.Compare(b.Sub(a).Cross(c.Sub(b)), 0) }
