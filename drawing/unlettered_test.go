package drawing

import (
	"strings"
	"testing"

	"gelwright/internal/examples"
	"gelwright/scene"
)

// Trims and buckets of a hall are found by their numbers on one sheet each, every one of which is lettered or
// told; and what is told stands within the frame where that has room.
func TestAHallsNumbersShareASheet(t *testing.T) {
	if testing.Short() {
		t.Skip("the hall is planned for it")
	}
	p := examples.Plan(t, "r12-hall")
	sheets, err := PlanSheets(p)
	if err != nil {
		t.Fatal(err)
	}
	whole := map[string]bool{}
	for _, s := range sheets {
		name := s.Scene.Title
		whole[name] = true
		for _, x := range s.Scene.Items {
			text, ok := x.(scene.Text)
			if ok && strings.Contains(text.Content, "and others") {
				t.Errorf("%s: %q does not say what is missing", name, text.Content)
			}
		}
		if strings.HasPrefix(name, "Set-out of trims") && len(s.Unplaced) > 0 {
			t.Errorf("%s: %v are not lettered", name, s.Unplaced)
		}
	}
	for _, want := range []string{"Set-out of trims, deck hall", "Buckets, mat layer 1; buckets, top coat 1, deck hall",
		"Set-out of boards, deck hall, part 1 of 2"} {
		if !whole[want] {
			t.Errorf("there is no sheet %q", want)
		}
	}
}

// The name of an opening lies over the tint of the piece that it stands on.
func TestNamesLieOverTints(t *testing.T) {
	p := examples.Plan(t, "r12-hall")
	k := deckDrawings{p: p, whole: true}
	k.buckets()
	s, err := k.list[0].make(TitleOf(&p.Job, "Buckets"))
	if err != nil {
		t.Fatal(err)
	}
	last, names := -1, 0
	for i, x := range s.Scene.Items {
		if g, ok := x.(scene.Group); ok && g.Class == "bucket" {
			last = i
		}
	}
	for i, x := range s.Scene.Items {
		if text, ok := x.(scene.Text); ok && text.Layer == "openings" {
			names++
			if i < last {
				t.Errorf("%s is drawn before the pieces", text.Content)
			}
		}
	}
	if names < 12 {
		t.Errorf("%d openings of 12 are named", names)
	}
}
