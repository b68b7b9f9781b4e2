package document

import (
	"fmt"
	"strings"
	"testing"

	"gelwright/scene/reading"
)

// Figures that are worked alike have one full working and rows: every number has one place in the
// book, and its value stands there.
func TestEveryNumberHasItsPlace(t *testing.T) {
	names := []string{"r01-garage", "r03-bay", "r12-hall"}
	if testing.Short() {
		names = names[:1]
	}
	for _, name := range names {
		d := written(t, name).workings
		said := map[string][]string{}
		rows := 0
		readAll(d.f.Says, func(n *reading.Node) {
			text := n.Text
			for _, c := range n.Of {
				text += " " + c.Text
			}
			for _, place := range strings.Fields(n.Name) {
				said[place] = append(said[place], text)
				if !n.Strong {
					rows++
				}
			}
		})
		for i, f := range d.refs.order {
			at := said[fmt.Sprintf("w%d", i+1)]
			if len(at) != 1 {
				t.Errorf("%s [%d] %s stands in %d places", name, i+1, f.Name, len(at))
				continue
			}
			value := d.value(f.Value)
			if f.Text != "" {
				value = d.local(f.Text)
			}
			if !strings.Contains(at[0], value) {
				t.Errorf("%s [%d] %s = %s is told as %q", name, i+1, f.Name, value, at[0])
			}
		}
		if rows < len(d.refs.order)/4 {
			t.Errorf("%s: %d of %d figures are rows", name, rows, len(d.refs.order))
		}
	}
}

// What differs from the full working stands in the row: a bucket's kilograms and its dose, each
// with the number of its own working.
func TestARowTellsWhatDiffers(t *testing.T) {
	d := written(t, "r01-garage").workings
	order := d.refs.order
	first, _ := d.like.kins(order)
	seen := false
	for i, k := range first {
		f := order[i]
		if !strings.HasSuffix(f.Key, ".catalyst_ml") || !strings.HasPrefix(f.Key, "mix.") || strings.Contains(f.Key, "cutin") {
			continue
		}
		seen = true
		table := d.like.table(order, k)
		var heads []string
		for _, c := range table.columns {
			heads = append(heads, c.label)
		}
		if got := strings.Join(heads, " "); got != "v g m c" {
			t.Errorf("the rows of %s tell %s", f.Key, got)
		}
		for _, r := range table.rows {
			for c := 2; c < 4; c++ {
				if !strings.Contains(r.items[c].words(table.columns[c]), " [") {
					t.Errorf("%v: %s of no number", r.of, table.columns[c].label)
				}
			}
		}
	}
	if !seen {
		t.Error("no doses are worked alike")
	}
}

// Cautions that differ in one figure are told in one sentence.
func TestCautionsAlikeAreToldOnce(t *testing.T) {
	got := inOne([]string{"even at 27 m/s it uses 22 % of its fixings", "it is from memory", "even at 27 m/s it uses 17 % of its fixings",
		"even at 27 m/s it uses 11 % of its fixings", "even at 30 m/s it uses 9 % of its fixings"})
	want := "even at 27 m/s it uses 22, 17, 11 % of its fixings|it is from memory|even at 30 m/s it uses 9 % of its fixings"
	if strings.Join(got, "|") != want {
		t.Errorf("%q", got)
	}
}
