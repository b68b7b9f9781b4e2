package words

import (
	"slices"
	"testing"
)

// Distances counted by hand: one letter dropped, added, changed, or two swapped.
func TestEdits(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kerb", "kerb", 0}, {"krb", "kerb", 1}, {"kerrb", "kerb", 1}, {"karb", "kerb", 1}, {"nmae", "name", 1}, {"drip", "wall", 4}, {"", "ab", 2}} {
		if got := edits(c.a, c.b, 9); got != c.want {
			t.Errorf("edits(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
	}
	if got := Closest("parapit", []string{"drip", "parapet", "wall"}); got != "parapet" {
		t.Errorf("nearest %q", got)
	}
	if got := Closest("xyz", []string{"drip", "wall"}); got != "" {
		t.Errorf("nearest %q to something quite different", got)
	}
}

func TestNearest(t *testing.T) {
	list := []string{"roof.area", "roof.resin", "roof.buckets", "day.air"}
	if got := Nearest("roof.rezin", list, 2); !slices.Equal(got, []string{"roof.resin", "roof.area"}) {
		t.Errorf("nearest %q", got)
	}
	if got := Nearest("x", list, 9); len(got) != 4 || list[0] != "roof.area" {
		t.Errorf("%d of a list of four, which is now %q", len(got), list)
	}
}
