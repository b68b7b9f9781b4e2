package main

import (
	"os"
	"path/filepath"
	"testing"
)

// The committed pages of the files, and the API's description, are what their tables say today; -update writes them.
func TestPagesOfTheFilesAreUpToDate(t *testing.T) {
	for file, args := range map[string][]string{"roof-file.md": {"--page", "roof"}, "firm-file.md": {"--page", "firm"}, "openapi.json": {"api"}} {
		code, out, errs := call(t, "", append([]string{"schema"}, args...)...)
		if code != exitDone {
			t.Fatalf("%s: %d %s", file, code, errs)
		}
		path := filepath.Join("..", "..", "docs", file)
		if *update {
			if err := os.WriteFile(path, []byte(out), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if old, err := os.ReadFile(path); err != nil || string(old) != out {
			t.Errorf("docs/%s is not what 'gelwright schema %v' prints (%v): run go test ./cmd/gelwright -run Pages -update", file, args, err)
		}
	}
}
