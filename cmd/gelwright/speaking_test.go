package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gelwright/language"
	"gelwright/language/known"
)

// Columns stay where they are as long as there is room, and what no line has ended comes too.
func TestAnswersAreSaidByLine(t *testing.T) {
	var b bytes.Buffer
	s := &speaking{to: &b, in: language.NewSpeaker(known.Catalogue("de"))}
	for _, part := range []string{"  deck         3.5", " m²\nbucket  2.5 kg\n\n", "deck"} {
		if _, err := io.WriteString(s, part); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.last(); err != nil {
		t.Fatal(err)
	}
	if want := "  Fläche       3,5 m²\nAnsatz  2,5 kg\n\nFläche"; b.String() != want {
		t.Errorf("got %q, want %q", b.String(), want)
	}
}

// A faulty roof file is told in the language that was asked for, with its place; JSON and English stay as they are.
func TestAnswersInGerman(t *testing.T) {
	path := filepath.Join(t.TempDir(), "roof.yaml")
	if err := os.WriteFile(path, []byte("version: 1\nname: x\nroofs: 3\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	told := func(args ...string) string {
		var out, errs bytes.Buffer
		run(args, strings.NewReader(""), &out, &errs)
		return out.String() + errs.String()
	}
	german := told("check", "--language", "de", path)
	if !strings.Contains(german, "roof.yaml:3:1: Feld \"roofs\" ist nicht bekannt") {
		t.Errorf("the fault is told as %q", german)
	}
	english := told("check", path)
	if !strings.Contains(english, `field "roofs" is not known`) || english != told("check", "--language", "en", path) {
		t.Errorf("English is %q", english)
	}
	if got := told("check", "--language", "fr", path); !strings.Contains(got, "--language") {
		t.Errorf("another language is answered with %q", got)
	}
	garage := filepath.Join("..", "..", "examples", "r01-garage.yaml")
	if got := told("check", "--language", "de", garage); strings.Contains(got, "passed") || !strings.Contains(got, "Nachweis") {
		t.Errorf("the checks are told as %q", got)
	}
	if got := told("check", "--json", "--language", "de", garage); got != told("check", "--json", garage) {
		t.Error("JSON is not the same in every language")
	}
}
