package settingout

import (
	"math"
	"sort"
)

// firsts lists where the first joint of a run may be, farthest first.
func firsts(u *run, g grid, r boardRules) []float64 {
	reach := u.a + r.length + r.gap/2
	var out []float64
	if g.free {
		l, rest := r.length, math.Mod(u.b-u.a, r.length+r.gap)
		for _, x := range []float64{l, rest, l / 2, l / 3, 2 * l / 3, (rest + l) / 2, l / 4, 3 * l / 4, l / 2 * 0.98, r.least} {
			if x >= r.least-1e-9 && x <= r.length+1e-9 {
				out = append(out, u.a+x+r.gap/2)
			}
		}
	} else {
		if full := g.below(reach); full-r.gap/2-u.a >= r.least-1e-9 {
			out = append(out, full)
		}
		centres := g.within(u.a, reach+g.play)
		for i := len(centres) - 1; i >= 0; i-- {
			x := centres[i] - g.play
			if x > reach || x-r.gap/2-u.a < r.least-1e-9 {
				continue
			}
			if len(out) == 0 || math.Abs(out[0]-x) > 2*g.play+1e-6 {
				out = append(out, x)
			}
		}
	}
	sort.Sort(sort.Reverse(sort.Float64Slice(out)))
	return out
}

// phases is how many first joints a style counts through before it turns to
// shorter boards: style s starts from first joint s mod phases and lays boards
// s/phases bearings shorter than the stock.
const phases = 8

// shorts is how many such shortenings are tried.
const shorts = 4

// clearOf reports whether a joint at x keeps the stagger to all taken joints.
func clearOf(x float64, taken []float64, stagger float64) bool {
	i := sort.SearchFloat64s(taken, x)
	if i < len(taken) && taken[i]-x < stagger {
		return false
	}
	return i == 0 || x-taken[i-1] >= stagger
}

// joiner finds the joints of one run.
type joiner struct {
	g   grid
	r   boardRules
	run *run
	// taken are the joints of the rows beside it, ascending; stagger is kept to them.
	taken   []float64
	stagger float64
	// reach is the length boards are laid at, m, shorter than the stock where shorter
	// pieces cut to less waste.
	reach  float64
	joints []float64
}

// best lays the run. It tries first joints (see firsts) in turn from the style's own
// one; when none is lawful it gives up stagger a quarter at a time, then the least piece.
func (j *joiner) best(starts []float64, style int, tally *broken) {
	r := j.r
	want := max(r.stagger-2*j.g.play, 0)
	j.reach = r.length
	if short := style / phases; short > 0 {
		if j.g.free {
			j.reach = r.length * (1 - 0.15*float64(short))
		} else {
			j.reach = max(r.length-float64(short)*j.g.spacing, r.length/2)
		}
	}
	for _, share := range []float64{1, 0.75, 0.5, 0.25} {
		j.stagger = want * share
		for i := range starts {
			if j.from(starts[(style%phases+i)%len(starts)]) {
				if share < 1 {
					tally.stagger++
				}
				return
			}
		}
	}
	j.r.least = 0.1
	defer func() { j.r = r }()
	tally.short++
	j.reach = r.length
	for _, j.stagger = range []float64{want, 0.05, 0} {
		for _, x := range firsts(j.run, j.g, j.r) {
			if j.from(x) {
				return
			}
		}
	}
	// Nothing lies on a bearing: joints at equal lengths, noggins under them.
	tally.unsupported++
	u := j.run
	n := math.Ceil((u.b - u.a + r.gap) / (r.length + r.gap))
	j.joints = j.joints[:0]
	for k := 1.0; k < n; k++ {
		j.joints = append(j.joints, u.a+(u.b-u.a)*k/n)
	}
}

// from lays boards along the run with the first joint given, each as long as the stock
// and the rules allow. It reports false where no lawful laying follows.
func (j *joiner) from(first float64) bool {
	if first < j.run.b && !clearOf(first, j.taken, j.stagger) {
		return false
	}
	u, r, g := j.run, &j.r, &j.g
	j.joints = j.joints[:0]
	if first >= u.b {
		return true
	}
	j.joints = append(j.joints, first)
	for x := first; u.b-x-r.gap/2 > r.length+1e-9; {
		next := j.back(g.below(x+j.reach+r.gap), x)
		if next-x-r.gap < r.least-1e-9 {
			return false
		}
		j.joints = append(j.joints, next)
		x = next
	}
	// A last piece under the least length takes from the one before it.
	n := len(j.joints)
	for u.b-j.joints[n-1]-r.gap/2 < r.least-1e-9 {
		before := u.a
		if n > 1 {
			before = j.joints[n-2] + r.gap/2
		}
		next := j.back(g.below(g.step(j.joints[n-1])), before)
		if next-r.gap/2-before < r.least-1e-9 || u.b-next-r.gap/2 > r.length+1e-9 {
			return false
		}
		j.joints[n-1] = next
	}
	if n > 1 && !g.free {
		j.moveOut(n - 1)
	}
	return true
}

// back steps from a joint's place back towards another until it is clear of the joints
// beside, or too near the other.
func (j *joiner) back(x, other float64) float64 {
	for x-other > j.r.least && !clearOf(x, j.taken, j.stagger) {
		x = j.g.below(j.g.step(x))
	}
	return x
}

// moveOut moves the last joint out on its bearing as far as its board reaches.
func (j *joiner) moveOut(last int) {
	g := &j.g
	c := g.first + math.Round((j.joints[last]-g.first)/g.spacing)*g.spacing
	next := min(c+g.play, j.joints[last-1]+j.r.gap+j.r.length)
	if next > j.joints[last] && clearOf(next, j.taken, j.stagger) && j.run.b-next-j.r.gap/2 >= j.r.least {
		j.joints[last] = next
	}
}
