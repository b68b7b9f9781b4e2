package document

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"gelwright/plane"
	"gelwright/roof"
)

// However many rows stand before it, the head of a group has its first rows on its page, and
// the last page of a table four rows at least.
func TestRowsKeepTogether(t *testing.T) {
	for before := range 90 {
		var rows [][]string
		for i := range before {
			rows = append(rows, []string{fmt.Sprintf("row %d.", i)})
		}
		rows = append(rows, []string{acrossRow + "Waste"}, []string{"bags."}, []string{"bin."}, []string{"skip."})
		for _, end := range []int{0, 3} {
			all := rows
			for i := range end {
				all = append(all, []string{fmt.Sprintf("more %d.", i)})
			}
			p := newPages(time.Date(2026, 5, 11, 0, 0, 0, 0, time.UTC), "", "", "")
			page := map[string]int{}
			p.record = func(x placed) { page[strings.TrimSpace(x.text)] = x.page }
			p.page()
			table{columns: []column{{head: "what", share: 1}}}.draw(p, all)
			for _, r := range []string{"bags.", "bin.", "skip."} {
				if page[r] != page["Waste"] {
					t.Errorf("%d rows before, %d after: head on page %d, %q on page %d", before, end, page["Waste"], r, page[r])
				}
			}
			last, on := page[all[len(all)-1][0]], 0
			for _, r := range all {
				if page[strings.TrimPrefix(r[0], acrossRow)] == last {
					on++
				}
			}
			if last > page[strings.TrimPrefix(all[0][0], acrossRow)] && on < 4 {
				t.Errorf("%d rows before, %d after: %d rows alone on page %d", before, end, on, last)
			}
		}
	}
}

// The first page says of the way out what the roof file tells, and no ladder that it does not.
func TestExitWords(t *testing.T) {
	deck := func(x, y float64) *roof.Deck {
		k := &roof.Deck{Outline: plane.RingOf(plane.Point{}, plane.Point{X: 6}, plane.Point{X: 6, Y: 4}, plane.Point{Y: 4}),
			Edges: []roof.Edge{{Condition: roof.Drip}, {Condition: roof.Verge},
				{Condition: roof.Wall, Thresholds: []roof.Threshold{{FromM: 1, ToM: 2, UpstandMM: 150}}}, {Condition: roof.Joins}},
			Exit: plane.Point{X: x, Y: y}}
		k.Openings = []roof.Opening{{Name: "H1", Kind: "hatch", Outline: plane.RingOf(plane.Point{X: 2.5, Y: 1.5}, plane.Point{X: 3.5, Y: 1.5},
			plane.Point{X: 3.5, Y: 2.5}, plane.Point{X: 2.5, Y: 2.5})}}
		return k
	}
	d := &pack{}
	for _, c := range []struct {
		x, y float64
		want string
	}{{2, 0, "over edge 1 (drip)"}, {4.5, 4, "by the door on edge 3"}, {1, 4, "at edge 3 (wall)"}, {0, 2, "at edge 4 (joins)"},
		{3, 2, "through hatch H1"}} {
		if got := d.exitWords(deck(c.x, c.y)); got != c.want {
			t.Errorf("exit at %g / %g: %q, want %q", c.x, c.y, got, c.want)
		}
	}
}
