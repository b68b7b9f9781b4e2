package settingout

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// plainRows lays whole boards row after row from one corner, each run begun with the longest offcut
// that will do, joints on the last joist that a board reaches and clear of the row before: what is laid
// without a plan. It returns the boards taken, and false where a rule is broken.
func plainRows(v framed, r boardRules) (int, bool) {
	rows := rowsOf(v.local, []float64{lowOf(v.local)}, r)
	boards, kerf := 0, float64(r.kerf)/1000
	type offcut struct{ length, width float64 }
	var pool []offcut
	var before []float64
	for _, w := range rows {
		var joints []float64
		for _, u := range w.runs {
			wide := u.high - u.low
			if wide < leastRipM-1e-6 {
				return 0, false
			}
			for x := u.a; x < u.b-1e-6; {
				slices.SortFunc(pool, func(a, b offcut) int { return int(1e6 * (b.length - a.length)) })
				taken := slices.IndexFunc(pool, func(o offcut) bool {
					_, ok := endOf(v.g, r, x, o.length, u, before)
					return o.width >= wide && ok
				})
				from := offcut{r.length, r.width}
				if taken >= 0 {
					from = pool[taken]
					pool = slices.Delete(pool, taken, taken+1)
				} else {
					boards++
				}
				end, ok := endOf(v.g, r, x, from.length, u, before)
				if !ok {
					return 0, false
				}
				if left := from.length - (end - x) - kerf; left >= r.least {
					pool = append(pool, offcut{left, from.width})
				}
				if left := from.width - wide - kerf; left >= leastRipM {
					pool = append(pool, offcut{end - x, left})
				}
				if x = end; end < u.b-1e-6 {
					joints = append(joints, end+r.gap/2)
					x += r.gap
				}
			}
		}
		slices.Sort(joints)
		before = joints
	}
	return boards, true
}

// endOf is where a piece of a board ends that is laid from x on.
func endOf(g grid, r boardRules, x, length float64, u run, before []float64) (float64, bool) {
	if u.b-x <= length+1e-9 {
		return u.b, true
	}
	want := max(r.stagger-2*g.play, 0)
	for j := g.below(x + length + r.gap/2); j-r.gap/2-x >= r.least; j = g.below(g.step(j)) {
		if u.b-j-r.gap/2 >= r.least && clearOf(j, before, want) {
			return j - r.gap/2, true
		}
	}
	return 0, false
}

func lowOf(bays []bay) float64 {
	low, _ := boundsOf(bays)
	return low.Y
}

// The search takes no more boards than plain rows with offcuts, from whichever corner.
func TestNeverWorseThanPlainRows(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	roofs := 100
	if testing.Short() {
		roofs = 8
	}
	lawful, fewer := 0, 0
	for k := range roofs {
		d := randomRoof(r, k)
		w := boarded(t, d, usualSpec())
		s, err := newBoardSearch(w.d, w.spec, w.net, w.z)
		if err != nil {
			t.Fatal(err)
		}
		least := 0
		for _, v := range s.frames {
			if n, ok := plainRows(v, s.r); ok && (least == 0 || n < least) {
				least = n
			}
		}
		if least == 0 {
			continue
		}
		lawful++
		if w.boards.count < least {
			fewer++
		}
		if w.boards.count > least && w.boards.broken.total() == 0 {
			t.Errorf("roof %d: %d boards, plain rows take %d", k, w.boards.count, least)
		}
	}
	t.Logf("plain rows keep the rules on %d of %d roofs; the search takes fewer boards on %d", lawful, roofs, fewer)
	if lawful < roofs/4 {
		t.Errorf("plain rows keep the rules on %d roofs only", lawful)
	}
}
