package typing

import (
	"bytes"
	"os"
	"testing"
)

// The page's types are those of the Go side.
func TestPageTypesAreWritten(t *testing.T) {
	want := Page()
	have, err := os.ReadFile("../../../../page/worker/answers.ts")
	if err != nil || !bytes.Equal(have, want) {
		t.Errorf("page/worker/answers.ts is not what package margin says (%v): go run ./internal/tools/pagetypes > page/worker/answers.ts", err)
	}
}
