package settingout

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"gelwright/roof"
)

const (
	// partedLines bounds the corner lines of a deck that rows are parted at, the longest first.
	partedLines = 8
	// partedApartM is how far such a line keeps off the deck's ends and off another, m.
	partedApartM = leastRipM
)

// partedRows lists ways to lay the rows that no one offset gives: with a line between rows on
// a corner of deck or opening, or on two, as one boards an L as two rectangles. Between such lines
// lie whole boards and what is left, at either side or on both. Only square-edged boards are laid
// so: a ripped one has lost its tongue; and only decks without folds.
func partedRows(bays []bay, r boardRules) [][]row {
	if r.glued || len(bays) != 1 {
		return nil
	}
	low, high := bays[0].region.Bounds()
	var out [][]row
	for _, at := range partings(bays[0], low.Y, high.Y) {
		edges := append(append([]float64{low.Y}, at...), high.Y)
		ways := [][][2]float64{nil}
		for i := 0; i+1 < len(edges); i++ {
			from, to := edges[i], edges[i+1]
			if i > 0 {
				from += r.gap / 2
			}
			if i+2 < len(edges) {
				to -= r.gap / 2
			}
			var next [][][2]float64
			for _, w := range ways {
				for _, o := range fillings(from, to, r) {
					next = append(next, append(slices.Clip(w), o...))
				}
			}
			ways = next
		}
		for _, w := range ways {
			var rows []row
			for _, s := range w {
				if x := rowAt(0, bays[0], s[0], s[1]); len(x.runs) > 0 {
					rows = append(rows, x)
				}
			}
			out = append(out, rows)
		}
	}
	return out
}

// partings are the heights at which a bay's rows may be parted: one corner line or two.
func partings(b bay, low, high float64) [][]float64 {
	lengths := map[int]float64{}
	for _, l := range b.region {
		for i, p := range l {
			q := l[(i+1)%len(l)]
			if math.Abs(p.Y-q.Y) < 0.001 && p.Y > low+partedApartM && p.Y < high-partedApartM {
				lengths[int(math.Round(p.Y*1000))] += math.Abs(p.X - q.X)
			}
		}
	}
	lines := make([]int, 0, len(lengths))
	for y := range lengths {
		lines = append(lines, y)
	}
	sort.Slice(lines, func(i, j int) bool {
		a, b := math.Round(lengths[lines[i]]*1000), math.Round(lengths[lines[j]]*1000)
		if a != b {
			return a > b
		}
		return lines[i] < lines[j]
	})
	lines = lines[:min(len(lines), partedLines)]
	slices.Sort(lines)
	var out [][]float64
	for i, y := range lines {
		out = append(out, []float64{float64(y) / 1000})
		for _, z := range lines[i+1:] {
			if float64(z-y)/1000 > partedApartM {
				out = append(out, []float64{float64(y) / 1000, float64(z) / 1000})
			}
		}
	}
	return out
}

// fillings are the ways to fill a height with rows: the ripped one first, last, or one at
// either end; turned upside down they are the same. Where what is left is too narrow to lay,
// two rows share it with a whole one.
func fillings(from, to float64, r boardRules) [][][2]float64 {
	whole := math.Floor((to - from + r.gap + 1e-6) / r.pitch)
	rest := to - from - whole*r.pitch
	up := func(first float64) [][2]float64 {
		var out [][2]float64
		at := from
		if first > 1e-6 {
			out = append(out, [2]float64{from, from + first})
			at += first + r.gap
		}
		for ; at < to-1e-6; at += r.pitch {
			out = append(out, [2]float64{at, min(at+r.width, to)})
		}
		return out
	}
	switch shared := rest + r.pitch - r.gap; {
	case rest <= 0.002:
		return [][][2]float64{up(0)}
	case rest < leastRipM && whole >= 1:
		return [][][2]float64{up(shared / 2), up(leastRipM), up(shared - leastRipM)}
	case rest < leastRipM:
		return nil
	case rest > 2*leastRipM+r.gap:
		return [][][2]float64{up(0), up(rest), up((rest - r.gap) / 2), up(leastRipM), up(rest - r.gap - leastRipM)}
	}
	return [][][2]float64{up(0), up(rest)}
}

// pinnedRows reports whether a person fixed where the rows lie.
func pinnedRows(p roof.Pins) bool { return p.BoardOffsetM != nil || len(p.BoardRowsM) > 0 }

// soundRows says what of fixed rows cannot be laid.
func soundRows(p roof.Pins, r boardRules) error {
	const at = "spec.set_out.board_rows_m"
	switch {
	case len(p.BoardRowsM) == 0:
		return nil
	case p.BoardOffsetM != nil:
		return fmt.Errorf("%s: board_offset_m says where the rows lie as well: leave one of them out", at)
	case r.glued:
		return fmt.Errorf(
			"%s: a ripped row of tongue and groove boards has lost its tongue: give board_offset_m, or square-edged boards", at)
	}
	for i, w := range p.BoardRowsM {
		if w > r.width+1e-6 {
			return fmt.Errorf("%s[%d]: a row of %g m is wider than a board, %g m: give the board's width or less", at, i, w, r.width)
		}
	}
	return nil
}

// givenRows lays rows of the given widths from the low side of each bay, and whole boards behind them.
func givenRows(bays []bay, widths []float64, r boardRules) []row {
	var out []row
	for i, b := range bays {
		low, high := b.region.Bounds()
		at := low.Y
		for n := 0; at < high.Y-1e-6; n++ {
			w := r.width
			if n < len(widths) {
				w = min(widths[n], r.width)
			}
			if x := rowAt(i, b, at, at+w); len(x.runs) > 0 {
				out = append(out, x)
			}
			at += w + r.gap
		}
	}
	return out
}
