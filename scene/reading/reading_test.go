package reading

import (
	"fmt"
	"strings"
	"testing"

	"gelwright/scene"
)

func TestAltTellsWhatIsShown(t *testing.T) {
	s := &scene.Scene{Title: "Set-out", Description: "Job. Set-out, scale 1:50."}
	for i := range 200 {
		s.Add(scene.Shape{Meta: scene.Meta{Title: fmt.Sprintf("Board %d, 2400 × 600 mm", i+1)}})
	}
	alt := (&Node{Kind: Figure, Picture: s}).Alt()
	if !strings.HasPrefix(alt, "Set-out. Job. Set-out, scale 1:50. It shows: Board 1, 2400 × 600 mm; Board 2") {
		t.Errorf("the figure says %q", alt)
	}
	if !strings.HasSuffix(alt, "more parts that are named.") || len(alt) > mostAlt+100 {
		t.Errorf("a figure of many parts says %d bytes, ending in %q", len(alt), alt[len(alt)-60:])
	}
	plain := &scene.Scene{Title: "Note"}
	plain.Add(scene.Text{Content: "Fall 1:40"})
	if got := (&Node{Kind: Figure, Picture: plain}).Alt(); got != "Note. It shows: Fall 1:40." {
		t.Errorf("a figure without named parts says %q", got)
	}
}
