package settingout

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gelwright/cutting"
	"gelwright/plane"
	"gelwright/roof"
)

// everything tries all layouts of a deck in rows a board wide, or parted at corners: rows from wherever they may begin in steps of
// 5 mm, every set of joints that keeps the rules, on either end of the play on a bearing, each list of pieces cut exactly.
type everything struct {
	t     *testing.T
	s     *boardSearch
	under int // boards: fewer are looked for
	known map[string]bool
	rows  []row
	at    [][2]int      // the runs, by row
	ways  [][][]float64 // the joints of each
	alone [][]int       // and of each way the pieces of which no two share a board
	least []int         // the fewest of those from a run on
	tried int
	open  int // lists of pieces that the cutter could not decide
}

// fewer reports whether a layout takes fewer than so many boards.
func (e *everything) fewer(under int) bool {
	e.under = under
	v := e.s.frames[0]
	for mm := 0; mm < int(1000*e.s.r.pitch); mm += 5 {
		b := e.s.boarding(v, float64(mm)/1000, false)
		if narrowRuns(b.rows) == 0 && e.inRows(b.rows) {
			return true
		}
	}
	for _, rows := range partedRows(v.local, e.s.r) {
		if narrowRuns(rows) == 0 && e.inRows(rows) {
			return true
		}
	}
	return false
}

func (e *everything) inRows(rows []row) bool {
	if boardsFor(rowBound(rows, e.s.r)) >= e.under {
		return false
	}
	e.rows, e.at, e.ways, e.alone = rows, e.at[:0], e.ways[:0], e.alone[:0]
	for i := range rows {
		for k := range rows[i].runs {
			e.at = append(e.at, [2]int{i, k})
			ways := e.jointsOf(&rows[i].runs[k])
			alone := make([]int, len(ways))
			for n, joints := range ways {
				one := rows[i].runs[k]
				one.joints = joints
				_, _, alone[n] = e.blanks([]row{{runs: []run{one}}})
			}
			e.ways, e.alone = append(e.ways, ways), append(e.alone, alone)
		}
	}
	e.least = make([]int, len(e.at)+1)
	for n := len(e.at) - 1; n >= 0; n-- {
		if len(e.ways[n]) == 0 {
			return false
		}
		e.least[n] = e.least[n+1] + slices.Min(e.alone[n])
	}
	return e.lay(0, 0)
}

// jointsOf lists the lawful sets of joints of a run.
func (e *everything) jointsOf(u *run) [][]float64 {
	g, r := e.s.frames[0].g, e.s.r
	var out [][]float64
	var walk func(x float64, joints []float64)
	walk = func(x float64, joints []float64) {
		if u.b-x <= r.length+1e-9 && (u.b-x >= r.least-1e-9 || len(joints) == 0) {
			out = append(out, slices.Clone(joints))
		}
		for _, c := range g.within(x, u.b) {
			for _, j := range []float64{c - g.play, c + g.play} {
				long := j - r.gap/2 - x
				if long >= r.least-1e-9 && long <= r.length+1e-9 && u.b-j-r.gap/2 >= r.least-1e-9 {
					walk(j+r.gap/2, append(joints, j))
				}
			}
		}
	}
	walk(u.a, nil)
	return out
}

// blanks are the pieces of rows, whether one is too narrow, and how many share no board with their like.
func (e *everything) blanks(rows []row) (list []blank, narrow bool, alone int) {
	full, wide := upMM(e.s.r.length), upMM(e.s.r.width)
	for i, s := range sheetsOf(rows, e.s.r) {
		k := blankOf(s, full, wide, i)
		if 2*k.length+e.s.r.kerf > full && 2*k.width+e.s.r.kerf > wide {
			alone++
		}
		narrow = narrow || s.narrow()
		list = append(list, k)
	}
	return list, narrow, alone
}

// lay tries every way to lay the runs from the nth on.
func (e *everything) lay(n, alone int) bool {
	if n == len(e.at) {
		return e.cut()
	}
	u := &e.rows[e.at[n][0]].runs[e.at[n][1]]
	for w, joints := range e.ways[n] {
		if alone+e.alone[n][w]+e.least[n+1] >= e.under || !e.apart(n, joints) {
			continue
		}
		u.joints = joints
		if e.lay(n+1, alone+e.alone[n][w]) {
			return true
		}
	}
	u.joints = nil
	return false
}

// apart reports whether joints keep the stagger from those of the rows before that touch.
func (e *everything) apart(n int, joints []float64) bool {
	w := &e.rows[e.at[n][0]]
	want := e.s.r.stagger - 2*e.s.frames[0].g.play
	for m := range n {
		o := &e.rows[e.at[m][0]]
		if e.at[m][0] == e.at[n][0] || o.v0 >= w.v1+touchM || w.v0 >= o.v1+touchM {
			continue
		}
		for _, x := range o.runs[e.at[m][1]].joints {
			for _, y := range joints {
				if math.Abs(x-y) < want-1e-9 {
					return false
				}
			}
		}
	}
	return true
}

// cut reports whether the pieces laid come from fewer boards.
func (e *everything) cut() bool {
	list, narrow, _ := e.blanks(e.rows)
	full, wide := upMM(e.s.r.length), upMM(e.s.r.width)
	area := 0
	for _, k := range list {
		area += k.length * k.width
	}
	if narrow || area > (e.under-1)*full*wide {
		return false
	}
	key := keyOf(list)
	if e.known[key] {
		return false
	}
	e.known[key] = true
	e.tried++
	p := cutting.SheetProblem{KerfMM: e.s.r.kerf, Effort: 1}
	p.Sheets = []cutting.Sheet{{LengthMM: full, WidthMM: wide, Cost: 1, Available: -1}}
	for _, k := range list {
		p.Panels = append(p.Panels, cutting.Panel{LengthMM: k.length, WidthMM: k.width, Count: 1})
	}
	plan, err := cutting.SolveSheets(context.Background(), p)
	if err != nil {
		e.t.Fatal(err)
	}
	if int(plan.Cost) >= e.under && int(plan.LowerBound) < e.under {
		e.open++
	}
	return int(plan.Cost) < e.under
}

// smallRoof draws a rectangle or an L on joists, of a few boards.
func smallRoof(r *rand.Rand, k int) roof.Deck {
	p := func(x, y float64) plane.Point { return plane.Point{X: x, Y: y} }
	mm := func(low, high float64) float64 { return math.Round((low+(high-low)*r.Float64())*100) / 100 }
	w, h := mm(1.5, 3.6), mm(1.4, 2.9)
	ring := plane.RingOf(p(0, 0), p(w, 0), p(w, h), p(0, h))
	if k%3 == 2 {
		a, b := mm(0.6, w-0.6), mm(0.6, h-0.6)
		ring = plane.RingOf(p(0, 0), p(w, 0), p(w, b), p(a, b), p(a, h), p(0, h))
	}
	d := roof.Deck{Name: "small", Outline: ring}
	for range ring {
		d.Edges = append(d.Edges, roof.Edge{Condition: roof.Kerb, HeightMM: 150})
	}
	d.Base = roof.Base{Kind: "joists", JoistSpacingMM: []float64{400, 450, 600}[r.IntN(3)], JoistWidthMM: 47,
		JoistBearingDeg: []float64{0, 90}[r.IntN(2)]}
	d.Falls = plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: 1}, Ratio: 60}}}
	return d
}

// On small roofs every layout is tried. No bound is above the fewest boards, and the search finds the fewest on nearly all: what
// lies between its layouts and the bounds is the bounds'.
func TestSmallRoofsAgainstTryingEverything(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	roofs := 20
	if testing.Short() {
		roofs = 15
	}
	more := []int{12, 14} // took a board more while runs were jointed in a few styles alone
	boards, fewest, byArea, bound, least, met := 0, 0, 0, 0, 0, 0
	for k := range roofs {
		d := smallRoof(r, k)
		if testing.Short() && !slices.Contains(more, k) {
			continue
		}
		w := boarded(t, d, usualSpec())
		b := &w.boards
		if b.broken.total() > 0 {
			continue
		}
		s, err := newBoardSearch(w.d, w.spec, w.net, w.z)
		if err != nil {
			t.Fatal(err)
		}
		e := everything{t: t, s: s, known: map[string]bool{}}
		n := b.count
		for n > 1 && e.fewer(n) {
			n--
			clear(e.known)
		}
		boards, fewest, byArea, bound = boards+b.count, fewest+n, byArea+b.leastByArea, bound+b.least
		if b.least > n || b.leastByArea > n {
			t.Errorf("roof %d: %d boards do, bounds %d and %d", k, n, b.leastByArea, b.least)
		}
		if b.count == n {
			least++
		} else {
			t.Logf("roof %d: %d boards, %d do", k, b.count, n)
		}
		if b.least == n {
			met++
		}
		if e.open > 0 {
			t.Errorf("roof %d: %d of %d lists of pieces are left open by the cutter", k, e.open, e.tried)
		}
	}
	t.Logf("%d boards, the fewest of all layouts %d, bounds %d by area and %d by lengths; the search meets the fewest on %d, the bound on %d",
		boards, fewest, byArea, bound, least, met)
	if 100*boards > 103*fewest {
		t.Errorf("%d boards where %d do", boards, fewest)
	}
}
