package main

import (
	"os"
	"path/filepath"
	"testing"
)

// The committed pages of the files are what their tables say today; -update writes them.
func TestPagesOfTheFilesAreUpToDate(t *testing.T) {
	for name, file := range map[string]string{"roof": "roof-file.md", "firm": "firm-file.md"} {
		code, out, errs := call(t, "", "schema", "--page", name)
		if code != exitDone {
			t.Fatalf("%s: %d %s", name, code, errs)
		}
		path := filepath.Join("..", "..", "docs", file)
		if *update {
			if err := os.WriteFile(path, []byte(out), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if old, err := os.ReadFile(path); err != nil || string(old) != out {
			t.Errorf("docs/%s is not what 'gelwright schema --page %s' prints (%v): run go test ./cmd/gelwright -run Pages -update", file, name, err)
		}
	}
}
