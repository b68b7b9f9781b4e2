package plane

import (
	"cmp"
	"slices"
)

// HalfPlane keeps the part of the region where n·p ≥ c, n a unit vector. Loops that
// lie wholly on the kept side are shared with the region.
//
// Each loop is walked and the chains on the kept side are joined along the
// cutting line. A corner exactly on the line counts as kept, so that every
// crossing is an entry or an exit and the two alternate along the line.
func (r Region) HalfPlane(n Point, c float64) Region {
	// A loop of few corners that is cut once costs one allocation, and the region one.
	var few [48]float64
	var one [1]Loop
	var out Region
	off, chains := few[:0], one[:0]
	for i, l := range r {
		inside, crossings := 0, 0
		off, inside, crossings = offsets(off[:0], l, n, c)
		switch {
		case inside == len(l):
			if out == nil {
				out = make(Region, 0, len(r)-i)
			}
			out = append(out, l)
		case inside > 0:
			chains = appendChains(chains, l, off, inside+crossings)
		}
	}
	switch len(chains) {
	case 0:
		return out
	case 1:
		return appendTidy(out, chains[0])
	}
	return appendJoined(out, chains, Point{X: n.Y, Y: -n.X})
}

// offsets appends how far the loop's corners lie on the kept side, m, and counts how
// many do and how often the loop crosses the line.
func offsets(off []float64, l Loop, n Point, c float64) (_ []float64, inside, crossings int) {
	for i, p := range l {
		d := n.Dot(p) - c
		if d >= 0 {
			inside++
		}
		if i > 0 && (off[i-1] >= 0) != (d >= 0) {
			crossings++
		}
		off = append(off, d)
	}
	if i := len(l); i > 0 && (off[i-1] >= 0) != (off[0] >= 0) {
		crossings++
	}
	return off, inside, crossings
}

// appendChains appends the stretches of a loop on the kept side, from entry to exit,
// of size points in all. It begins where the loop first enters.
func appendChains(chains []Loop, l Loop, off []float64, size int) []Loop {
	at := 0
	for i := range l {
		if off[i] < 0 && off[(i+1)%len(l)] >= 0 {
			at = i
			break
		}
	}
	points := make(Loop, 0, size)
	from := 0
	for range l {
		next := at + 1
		if next == len(l) {
			next = 0
		}
		a, b := off[at], off[next]
		switch {
		case a < 0 && b >= 0:
			from = len(points)
			points = append(points, l[at].Add(l[next].Sub(l[at]).Scale(a/(a-b))), l[next])
		case a >= 0 && b >= 0:
			points = append(points, l[next])
		case a >= 0:
			points = append(points, l[at].Add(l[next].Sub(l[at]).Scale(a/(a-b))))
			chains = append(chains, points[from:len(points):len(points)])
		}
		at = next
	}
	return chains
}

// appendTidy appends a loop of which something is left when it is tidied, in place.
func appendTidy(r Region, l Loop) Region {
	if l = l.tidy(); len(l) >= 3 {
		r = append(r, l)
	}
	return r
}

// appendJoined appends the loops that chains make when they are closed on the
// cutting line, which runs along with the kept side on its left.
func appendJoined(r Region, chains []Loop, along Point) Region {
	next := follow(chains, along)
	used := make([]bool, len(chains))
	for i := range chains {
		if used[i] {
			continue
		}
		var l Loop
		for j := i; !used[j]; j = next[j] {
			used[j] = true
			l = append(l, chains[j]...)
		}
		r = appendTidy(r, l)
	}
	return r
}

// crossing is where a chain begins (entry) or ends (exit), at t along the line.
type crossing struct {
	t     float64
	exit  bool
	chain int
}

// follow returns which chain comes after which: an exit is joined to the entry next
// along the line.
func follow(chains []Loop, along Point) []int {
	marks := make([]crossing, 0, 2*len(chains))
	next := make([]int, len(chains))
	for i, l := range chains {
		marks = append(marks, crossing{along.Dot(l[0]), false, i}, crossing{along.Dot(l[len(l)-1]), true, i})
		next[i] = i
	}
	slices.SortStableFunc(marks, func(a, b crossing) int { return cmp.Compare(a.t, b.t) })
	// Where crossings coincide, take them so that exits and entries alternate.
	const tie = 1e-9
	for i := range marks {
		wantExit := i%2 == 0
		if marks[i].exit == wantExit {
			continue
		}
		for j := i + 1; j < len(marks) && marks[j].t-marks[i].t < tie; j++ {
			if marks[j].exit == wantExit {
				marks[i], marks[j] = marks[j], marks[i]
				break
			}
		}
	}
	for i := 0; i+1 < len(marks); i += 2 {
		if a, b := marks[i], marks[i+1]; a.exit && !b.exit {
			next[a.chain] = b.chain
		}
	}
	return next
}
