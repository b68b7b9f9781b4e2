package rules

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestArguedMutantsAreInTheCode holds mutants.txt to the code: each line argued stands in its file as written, once in the list for
// each kind of change, with a reason.
func TestArguedMutantsAreInTheCode(t *testing.T) {
	text, err := os.ReadFile("mutants.txt")
	if err != nil {
		t.Fatal(err)
	}
	lines := map[string]map[string]bool{}
	seen := map[string]bool{}
	for n, line := range strings.Split(string(text), "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		f := strings.Split(line, " | ")
		if len(f) != 4 || len(strings.Fields(f[3])) < 2 {
			t.Errorf("mutants.txt:%d: give file | kind | source line | a reason in words", n+1)
			continue
		}
		if lines[f[0]] == nil {
			lines[f[0]] = linesOf(t, f[0])
		}
		if !lines[f[0]][f[2]] {
			t.Errorf("mutants.txt:%d: %s has no line %q", n+1, f[0], f[2])
		}
		if key := strings.Join(f[:3], " | "); seen[key] {
			t.Errorf("mutants.txt:%d is there twice", n+1)
		} else {
			seen[key] = true
		}
	}
}

// linesOf are the lines of a file of the repository without their indents.
func linesOf(t *testing.T, name string) map[string]bool {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", filepath.FromSlash(name)))
	if err != nil {
		t.Error(err)
	}
	out := map[string]bool{}
	for _, l := range strings.Split(string(text), "\n") {
		out[strings.TrimSpace(l)] = true
	}
	return out
}
