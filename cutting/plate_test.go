package cutting

import (
	"context"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

type plate struct {
	name    string
	order   sheetOrder
	values  []int64
	optimum int64
	free    int64 // optimum with unlimited copies
	limited bool
}

// plates reads testdata/knapsack; turning is not allowed there.
func plates(t testing.TB) []plate {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", "knapsack", "OPTIMA.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var all []plate
	for _, row := range rows[1:] {
		n := numbers(t, filepath.Join("testdata", "knapsack", row[0]+".txt"))
		p := plate{name: row[0], limited: row[1] == "constrained"}
		p.optimum, _ = strconv.ParseInt(row[2], 10, 64)
		p.free, _ = strconv.ParseInt(row[4], 10, 64)
		p.order.sheets = []sheetType{{l: n[1], w: n[2], avail: 1, cost: 1}}
		for i := 0; i < n[0]; i++ {
			l, w, d, v := n[3+4*i], n[4+4*i], n[5+4*i], n[6+4*i]
			if d < 0 {
				d = (n[1] / l) * (n[2] / w)
			}
			p.order.items = append(p.order.items, panelType{l: l, w: w, d: d, area: int64(l) * int64(w)})
			p.values = append(p.values, int64(v))
		}
		all = append(all, p)
	}
	return all
}

// The optima with unlimited copies in OPTIMA.csv were computed by an independent
// dynamic programme; see testdata/README.md.
func TestPlatesWithUnlimitedCopies(t *testing.T) {
	for _, p := range plates(t) {
		s := p.order.sheets[0]
		free := p.order
		free.items = append([]panelType(nil), free.items...)
		for i := range free.items {
			free.items[i].d = (s.l / free.items[i].l) * (s.w / free.items[i].w)
		}
		g := newGrid(&free, s.l, s.w)
		g.solve(&free, p.values)
		if g.top() != p.free {
			t.Errorf("%s: %d, want %d", p.name, g.top(), p.free)
		}
		left := make([]int, len(free.items))
		for i := range left {
			left[i] = 1 << 20
		}
		n := make([]int, len(free.items))
		g.cutting(&free, left).count(n)
		var sum int64
		for i, c := range n {
			sum += int64(c) * p.values[i]
		}
		if sum != p.free {
			t.Errorf("%s: the cutting holds %d, want %d", p.name, sum, p.free)
		}

	}
}

// The optima with limited copies are those of OPTIMA.csv, computed there by
// enumeration and equal to the published values.
func TestPlatesWithLimitedCopies(t *testing.T) {
	for _, p := range plates(t) {
		if !p.limited {
			continue
		}
		s := p.order.sheets[0]
		g := newGrid(&p.order, s.l, s.w)
		budget := 200000000
		root, value, proven := p.order.bestPlate(context.Background(), g, p.values, p.order.demand(), 0, &budget)
		if value != p.optimum || !proven {
			t.Errorf("%s: %d (proven %v), want %d", p.name, value, proven, p.optimum)
		}
		n := make([]int, len(p.values))
		root.count(n)
		var sum int64
		for i, c := range n {
			sum += int64(c) * p.values[i]
			if c > p.order.items[i].d {
				t.Errorf("%s: item %d is cut %d times", p.name, i, c)
			}
		}
		if sum != value {
			t.Errorf("%s: the cutting holds %d, not %d", p.name, sum, value)
		}
	}
}
