package document

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"gelwright/drawing"
	"gelwright/plan"
	"gelwright/scene/reading"
)

// inGerman is the garage's plan with its papers in German.
func inGerman(t *testing.T) *plan.Plan {
	t.Helper()
	p, _ := planned(t, "r01-garage")
	german := *p
	german.Job.Site.Language = "de"
	return printed(&german)
}

// What the site book of the garage says in German, and what of both books has no form yet (regression only; read when it changes, by
// nobody whose mother tongue it is).
func TestGoldenGerman(t *testing.T) {
	p := inGerman(t)
	set, err := drawing.Books(p)
	if err != nil {
		t.Fatal(err)
	}
	books, err := newBooks(context.Background(), p, set, nil)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	told(&b, books.site.f.Says)
	b.WriteString("\n=== in English still\n" + strings.Join(books.site.in.Missing(), "\n") + "\n")
	path := filepath.Join("testdata", "r01-site-de.txt")
	if *update {
		if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v: run with -update to write it", err)
	}
	if got := b.String(); got != string(want) {
		t.Errorf("the German site book says other things than %s; read it, then run with -update. First difference:\n%s", path,
			firstDifference(got, string(want)))
	}
}

// told writes what is read, a line each, drawings left out.
func told(b *strings.Builder, n *reading.Node) {
	if n.Text != "" && n.Kind != reading.Figure {
		b.WriteString(strings.ReplaceAll(n.Text, "\n", " / ") + "\n")
	}
	for _, x := range n.Of {
		told(b, x)
	}
}

// Papers name their language to readers of the screen, carry the plan as it was made, and are the same bytes twice.
func TestGermanPapers(t *testing.T) {
	p := inGerman(t)
	first, err := Files(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	again, err := Files(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range first {
		if !bytes.Equal(f.Content, again[i].Content) {
			t.Errorf("%s is not the same twice", f.Name)
		}
		switch f.Name {
		case "site.html":
			for _, want := range []string{`lang="de-DE"`, "Zum Text", "Nasses Harz ist rutschig", "kein Muttersprachler"} {
				if !bytes.Contains(f.Content, []byte(want)) {
					t.Errorf("site.html does not say %q", want)
				}
			}
		case "workings.html":
			if !bytes.Contains(f.Content, []byte(`lang="en-GB"`)) {
				t.Error("the workings are English and do not say so")
			}
		case "lists/pieces.csv":
			// A spreadsheet of a country with a decimal comma parts fields at semicolons.
			if want := regexp.MustCompile("^\ufeffFläche;Nummer;Art;.*\nmain;B1;Platte;.*;[0-9]+,[0-9]{4};"); !want.Match(f.Content) {
				t.Errorf("lists/pieces.csv begins with %.300s", f.Content)
			}
		case "labels.pdf":
			if !bytes.Contains(f.Content, []byte("de-DE")) {
				t.Error("labels.pdf does not name its language")
			}
		case "site.pdf":
			if !bytes.Contains(f.Content, []byte("de-DE")) {
				t.Error("site.pdf does not name its language")
			}
		}
	}
}

// In English nothing is asked of a catalogue.
func TestEnglishHasNoSpeaker(t *testing.T) {
	p, _ := planned(t, "r01-garage")
	if speakerOf(p) != nil || printed(p) != p {
		t.Error("an English plan has a speaker or another locale")
	}
}
