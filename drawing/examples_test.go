package drawing_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gelwright/drawing"
	"gelwright/internal/examples"
	"gelwright/scene/png"
)

// Every sheet of every example roof: no lettering on a line, on other lettering
// or off the sheet; and all of them on A4, which is what a van's printer holds.
func TestEveryExampleIsLegible(t *testing.T) {
	for _, name := range examples.Names(t) {
		set, err := drawing.Books(examples.Plan(t, name))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for i, s := range set.All() {
			for _, c := range s.Scene.Clashes(0.05) {
				t.Errorf("%s, %s: %v", name, s.Scene.Title, c)
			}
			if len(s.Unplaced) > 0 {
				t.Logf("%s, %s: no room for %q", name, s.Scene.Title, s.Unplaced)
			}
			if dir := os.Getenv("GELWRIGHT_SHOW"); dir != "" {
				picture, err := png.Bytes(s.Scene, 5)
				if err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("%s-%02d.png", name, i+1)), picture, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
}

// The sheets of a hall are lettered: of some two thousand pieces a few dozen find no room, and these are named on
// the sheet.
func TestTheHallIsLettered(t *testing.T) {
	if testing.Short() {
		t.Skip("the hall is planned in the full set")
	}
	set, err := drawing.Books(examples.Plan(t, "r12-hall"))
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, s := range set.Site {
		drawings := 1 + strings.Count(s.Scene.Title, ";")
		if n += len(s.Unplaced); len(s.Unplaced) > 10*drawings {
			t.Errorf("%s: no room for %q", s.Scene.Title, s.Unplaced)
		}
	}
	if n > 40 {
		t.Errorf("%d pieces are not lettered", n)
	}
}
