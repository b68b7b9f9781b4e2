package programme

import (
	"go/parser"
	"go/token"
	"path/filepath"
	"strings"
	"testing"
)

// The engine is pure: it opens nothing, asks no clock and draws no lot; and it knows
// neither the planned roof (package works joins the two) nor how it is drawn.
func TestImports(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil || len(files) == 0 {
		t.Fatal("no files", err)
	}
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), f, nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range parsed.Imports {
			path := strings.Trim(i.Path.Value, `"`)
			for _, bad := range []string{"os", "net", "log", "math/rand", "gelwright/plan", "gelwright/roof", "gelwright/drawing", "gelwright/weather/fetch", "gelwright/weather/forecast", "gelwright/cmd"} {
				if path == bad || strings.HasPrefix(path, bad+"/") {
					t.Errorf("%s imports %s", f, path)
				}
			}
		}
	}
}
