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

// The types of the office's calls are those of the API's description: a change of the API that the page does not follow fails its
// build.
func TestOfficeTypesAreWritten(t *testing.T) {
	want, err := Office()
	if err != nil {
		t.Fatal(err)
	}
	have, err := os.ReadFile("../../../../page/office/api.ts")
	if err != nil || !bytes.Equal(have, want) {
		t.Errorf("page/office/api.ts is not what the API's description says (%v): go run ./internal/tools/pagetypes office > page/office/api.ts",
			err)
	}
	for _, part := range []string{"export interface ChartLine {\n  readonly crew: string;\n", "  readonly office_put_crew: {\n    readonly path: " +
		"{ readonly id: string };\n    readonly query: object;\n    readonly body: GivenSheetCrew;\n    readonly answer: RecordOfCrew;\n"} {
		if !bytes.Contains(want, []byte(part)) {
			t.Errorf("it does not say %q", part)
		}
	}
}
