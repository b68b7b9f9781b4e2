package form

import (
	"strings"
	"testing"
)

func TestFaultPrintsOnOneLine(t *testing.T) {
	for _, c := range []struct {
		fault Fault
		want  string
	}{
		{Fault{File: "a.yaml", Line: 14, Column: 9, Where: `deck "main"`, Message: "the fall is zero", Remedy: "Add ratio: 40"}, `a.yaml:14:9: deck "main": the fall is zero. Add ratio: 40.`},
		{Fault{File: "a.yaml", Message: "the file is empty"}, "a.yaml: the file is empty."},
		{Fault{Message: "field \"nam\" is not known", Remedy: `Did you mean "name"?`}, `field "nam" is not known. Did you mean "name"?`},
		{Fault{File: "a.yaml", Line: 1, Column: 2, Message: "turned", Warning: true}, "a.yaml:1:2: warning: turned."},
	} {
		if got := c.fault.String(); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

func TestParentPath(t *testing.T) {
	path := "decks[a.b].edges[2].height_mm"
	for _, want := range []string{"decks[a.b].edges[2]", "decks[a.b].edges", "decks[a.b]", "decks", ""} {
		if path = parent(path); path != want {
			t.Fatalf("parent is %q, want %q", path, want)
		}
	}
}

func TestTooManyFaultsEnd(t *testing.T) {
	rd := Open("x", []byte("a: 1"))
	for range 1000 {
		rd.Root().Fault("x", "wrong", "mend")
		rd.Add(Fault{Message: strings.Repeat("x", len(rd.faults))})
	}
	if n := len(rd.Faults()); n > maxFault+1 {
		t.Errorf("%d faults", n)
	}
}
