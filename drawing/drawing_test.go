package drawing

import (
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"testing"

	"gelwright/scene"
	"gelwright/scene/png"
)

// show writes pictures for the eye when the folder is named.
func show(t *testing.T, name string, s *scene.Scene) {
	t.Helper()
	dir := os.Getenv("GELWRIGHT_SHOW")
	if dir == "" {
		return
	}
	raw, err := png.Bytes(s, 6)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), raw, 0o644); err != nil {
		t.Fatal(err)
	}
}

func names[T any](m map[string]T) []string {
	var out []string
	for n := range m {
		out = append(out, n)
	}
	sort.Strings(out)
	return out
}

func TestPlansAreLegible(t *testing.T) {
	for _, n := range names(jobs()) {
		s, err := RoofPlan(jobs()[n])
		if err != nil {
			t.Errorf("%s: %v", n, err)
			continue
		}
		t.Logf("%s: %s at 1:%g", n, s.Format.Name, s.Scale)
		for _, c := range s.Scene.Clashes(0.05) {
			t.Errorf("%s: %v", n, c)
		}
		show(t, "plan-"+n, s.Scene)
	}
}

func TestSectionsAreLegible(t *testing.T) {
	for _, n := range names(jobs()) {
		sheets, err := Sections(jobs()[n])
		if err != nil {
			t.Errorf("%s: %v", n, err)
			continue
		}
		for i, s := range sheets {
			for _, c := range s.Scene.Clashes(0.05) {
				t.Errorf("%s, sheet %d: %v", n, i+1, c)
			}
			show(t, fmt.Sprintf("sections-%s-%d", n, i+1), s.Scene)
		}
	}
}
