// Command unsaid lists what is still to translate: of roof files, what their papers say that has no form in a language; of
// packages, what their source says to a person.
package main

import (
	"context"
	"fmt"
	"os"
	"sort"
	"strings"

	"gelwright/desk"
	"gelwright/document"
	"gelwright/internal/spoken"
	"gelwright/language"
	"gelwright/language/known"
	"gelwright/rooffile"
)

func main() {
	if len(os.Args) < 3 {
		fmt.Fprintln(os.Stderr, "unsaid LANGUAGE ROOF.yaml … or PACKAGE …: give a language, and roof files or folders of source")
		os.Exit(2)
	}
	seen := map[string]bool{}
	for _, path := range os.Args[2:] {
		ask := papers
		if !strings.HasSuffix(path, ".yaml") {
			ask = source
		}
		if err := ask(os.Args[1], path, seen); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
	list := make([]string, 0, len(seen))
	for text := range seen {
		list = append(list, text)
	}
	sort.Strings(list)
	for _, text := range list {
		fmt.Printf("%q\n", text)
	}
}

// papers adds what the papers of a roof file say that has no form.
func papers(code, path string, seen map[string]bool) error {
	raw, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	job, _, err := rooffile.Read(path, raw)
	if err != nil {
		return err
	}
	job.Site.Language = code
	p, err := (&desk.Given{Job: job}).Plan(context.Background())
	if err != nil {
		return err
	}
	list, err := document.Unsaid(context.Background(), p)
	for _, text := range list {
		seen[text] = true
	}
	return err
}

// source adds what a package says that has no form, and tells how much of it has one.
func source(code, dir string, seen map[string]bool) error {
	forms, err := spoken.Forms(dir)
	if err != nil {
		return err
	}
	said := 0
	for _, f := range forms {
		if language.NewSpeaker(known.Catalogue(code)).Knows(f.Text) {
			said++
		} else {
			seen[f.Text] = true
		}
	}
	fmt.Fprintf(os.Stderr, "%s: %d of %d\n", dir, said, len(forms))
	return nil
}
