package settingout

import (
	"math"
	"slices"
)

// strip is a stretch of a row with what is to be covered across it, m.
type strip struct{ length, across float64 }

// stripsOf takes rows apart at every corner: between two of them each stretch across
// the row changes evenly, and the lesser of its ends is counted.
func stripsOf(rows []row) []strip {
	var out []strip
	for i := range rows {
		for k := range rows[i].runs {
			u := &rows[i].runs[k]
			if u.plain {
				out = append(out, strip{u.b - u.a, u.high - u.low})
				continue
			}
			var xs []float64
			for _, l := range u.shape {
				for _, p := range l {
					xs = append(xs, p.X)
				}
			}
			slices.Sort(xs)
			for n := 0; n+1 < len(xs); n++ {
				if xs[n+1]-xs[n] < 1e-5 {
					continue
				}
				const in = 1e-7
				from, to := chordsAt(u.shape, xs[n]+in), chordsAt(u.shape, xs[n+1]-in)
				for c := range min(len(from), len(to)) {
					out = append(out, strip{xs[n+1] - xs[n], min(from[c][1]-from[c][0], to[c][1]-to[c][0])})
				}
			}
		}
	}
	return out
}

// rowBound is a number of boards below which rows cannot be laid, wherever their joints
// come and however their pieces are cut. It weighs a piece by a function of its width
// that is dual feasible: pieces that lie side by side on a board weigh 1 at most
// (Fekete and Schepers 2001, the functions U and their kin; Boschetti and Mingozzi 2003
// use them in two dimensions, both from memory). As many stretches of a board's length
// as weigh 1 across are then as long as the board at most. A saw cut goes with each
// piece both ways, as in leastByArea.
func rowBound(rows []row, r boardRules) float64 { return stripBound(stripsOf(rows), r) }

// stripBound is rowBound of rows taken apart.
func stripBound(strips []strip, r boardRules) float64 {
	kerf := float64(r.kerf) / 1000
	whole := r.width + kerf
	least := []float64{0}
	for _, s := range strips {
		if w := s.across + kerf; w <= whole/2 {
			least = append(least, w)
		} else if w < whole {
			least = append(least, whole-w+1e-9)
		}
	}
	slices.Sort(least)
	best := 0.0
	for _, e := range slices.Compact(least) {
		if e > whole/2+1e-9 {
			break
		}
		sum := 0.0
		for _, s := range strips {
			switch w := s.across + kerf; {
			case w > whole-e:
				sum += s.length
			case w >= e:
				sum += s.length * w / whole
			}
		}
		best = math.Max(best, sum)
	}
	return best / r.gain() / (r.length + kerf)
}
