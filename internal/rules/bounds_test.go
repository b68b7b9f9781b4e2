package rules

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestBoundsAreAsListed holds bounds.txt to the code: every constant listed as no quantity
// is there, has the value listed, and a reason is given.
func TestBoundsAreAsListed(t *testing.T) {
	text, err := os.ReadFile("bounds.txt")
	if err != nil {
		t.Fatal(err)
	}
	known := map[string]map[string]string{}
	seen := map[string]bool{}
	for n, line := range strings.Split(string(text), "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		f := strings.Fields(line)
		if len(f) < 5 {
			t.Errorf("bounds.txt:%d: give package, constant, value and a reason in words", n+1)
			continue
		}
		room, name, value := f[0], f[1], f[2]
		if known[room] == nil {
			known[room] = constantsOf(t, filepath.Join("..", "..", filepath.FromSlash(room)))
		}
		if have, ok := known[room][name]; !ok {
			t.Errorf("bounds.txt:%d: %s has no constant %s", n+1, room, name)
		} else if have != value {
			t.Errorf("bounds.txt:%d: %s of %s is %s, listed as %s", n+1, name, room, have, value)
		}
		if seen[room+" "+name] {
			t.Errorf("bounds.txt:%d: %s of %s is listed twice", n+1, name, room)
		}
		seen[room+" "+name] = true
	}
}

// constantsOf returns the constants of a folder, those within functions too, as written.
func constantsOf(t *testing.T, dir string) map[string]string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			d, ok := n.(*ast.GenDecl)
			if !ok || d.Tok != token.CONST {
				return true
			}
			for _, s := range d.Specs {
				v := s.(*ast.ValueSpec)
				for i, name := range v.Names {
					if i < len(v.Values) {
						out[name.Name] = strings.ReplaceAll(types.ExprString(v.Values[i]), " ", "")
					}
				}
			}
			return true
		})
	}
	return out
}
