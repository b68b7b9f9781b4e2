// Command unsaid lists what is still to translate: of roof files, what their papers say that has no form in a language, under a
// forecast and with a firm file where they are given; of packages, what their source says to a person.
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"sort"
	"strings"

	"gelwright/desk"
	"gelwright/document"
	"gelwright/firmfile"
	"gelwright/internal/spoken"
	"gelwright/language"
	"gelwright/language/known"
	"gelwright/plan"
	"gelwright/rooffile"
	"gelwright/weather/forecast"
)

func main() {
	sky := flag.String("forecast", "", "file of a forecast that the roofs are planned under")
	from := flag.String("from", "", "first day under the forecast, 2026-05-11")
	firm := flag.String("firm", "", "firm file that they are planned with")
	flag.Parse()
	if flag.NArg() < 2 {
		fmt.Fprintln(os.Stderr, "unsaid LANGUAGE ROOF.yaml … or PACKAGE …: give a language, and roof files or folders of source")
		os.Exit(2)
	}
	seen := map[string]bool{}
	for _, path := range flag.Args()[1:] {
		ask := papers{*sky, *from, *firm}.ask
		if !strings.HasSuffix(path, ".yaml") {
			ask = source
		}
		if err := ask(flag.Arg(0), path, seen); err != nil {
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

// papers are made under a forecast from a day on and with a firm's file; empty for none.
type papers struct{ sky, from, firm string }

// ask adds what the papers of a roof file say that has no form.
func (x papers) ask(code, path string, seen map[string]bool) error {
	raw, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	job, _, err := rooffile.Read(path, raw)
	if err != nil {
		return err
	}
	job.Site.Language = code
	g := desk.Given{Job: job}
	if x.firm != "" {
		if raw, err = os.ReadFile(x.firm); err != nil {
			return err
		}
		f, _, err := firmfile.Read(x.firm, raw)
		if err != nil {
			return err
		}
		g.Firm = &f
	}
	p, err := x.plan(context.Background(), g)
	if err != nil {
		return err
	}
	list, err := document.Unsaid(context.Background(), p)
	for _, text := range list {
		seen[text] = true
	}
	return err
}

// plan makes the plan, under the forecast where there is one.
func (x papers) plan(ctx context.Context, g desk.Given) (*plan.Plan, error) {
	if x.sky == "" {
		return g.Plan(ctx)
	}
	raw, err := os.ReadFile(x.sky)
	if err != nil {
		return nil, err
	}
	site, err := desk.SiteOf(&g.Job)
	if err != nil {
		return nil, err
	}
	f, err := forecast.Read(raw, forecast.Options{Name: x.sky, Zone: site.Zone})
	if err != nil {
		return nil, err
	}
	look := desk.UsualLook()
	look.From = x.from
	o, err := desk.LookOut(ctx, g, f, look)
	if err != nil {
		return nil, err
	}
	w, err := o.When(ctx)
	if err != nil {
		return nil, err
	}
	return o.PlanFor(ctx, w)
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
