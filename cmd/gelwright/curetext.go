package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"time"

	"gelwright/desk"
	"gelwright/document"
	"gelwright/drawing"
	"gelwright/laying"
	"gelwright/plan"
	"gelwright/scene"
	"gelwright/scene/pdf"
	"gelwright/scene/png"
	"gelwright/scene/svg"
	"gelwright/working"
)

// minuteClock prints minutes after midnight.
func minuteClock(min float64) string {
	n := int(math.Round(min))
	return fmt.Sprintf("%02d:%02d", n/60, n%60)
}

func printCure(w io.Writer, a *desk.Hardening, out string, explain bool) error {
	o := &printer{w: w}
	for _, x := range a.Passes {
		o.line("deck %s, %s %d: %.2f %% at %s on a deck of %.0f °C; times count from mixing bucket %d, the last", x.Deck, x.Kind, x.Layer, x.Pct,
			minuteClock(x.MixAtMin), x.DeckC, x.Bucket)
		for _, m := range x.Told(a.Plan.Job.Spec.TopCoat.Coats) {
			o.line("  %-16s %s", m.Milestone, laying.LastingRange(m.After))
		}
		o.line("  film             %.0f °C at its warmest (%.0f to %.0f)", x.PeakC, x.PeakLowC, x.PeakHighC)
		o.line("  bucket %-9d %.1f kg left standing gels in %.0f min and reaches %.0f °C (%.0f to %.0f, boiling left out) after %.0f min",
			x.Left.Bucket, x.Left.KG, x.Left.GelMin, x.Left.PeakC, x.Left.PeakLowC, x.Left.PeakHighC, x.Left.PeakMin)
	}
	for _, r := range a.Refusals {
		o.line("deck %s, %s %d: no: %s", r.Deck, r.Kind, r.Layer, r.Why)
		for _, m := range r.Remedies {
			o.line("  %s", m)
		}
	}
	for _, c := range a.Checks {
		if c.Where == "" {
			o.line("%s: %s", c.Verdict, c.Finding)
		} else {
			o.line("%s, %s: %s", c.Verdict, c.Where, c.Finding)
		}
		for _, m := range c.Remedies {
			o.line("  %s", m.Text)
		}
	}
	if out != "" && len(a.Passes) > 0 {
		o.line("written to %s", out)
	}
	if o.err != nil || !explain {
		return o.err
	}
	var figures []*working.Figure
	for _, x := range a.Passes {
		for _, m := range x.Marks {
			if f, ok := a.Plan.Workings.Find(m.Key); ok {
				figures = append(figures, f)
			}
		}
	}
	return working.Unfold(w, working.Choice("hardening", "as answered above",
		working.Source{Title: "figures of this answer", Standing: working.Derived}, figures...))
}

// writeCure writes the sheets: each as SVG and PNG, and all of them in one PDF and on one page of HTML.
func writeCure(ctx context.Context, p *plan.Plan, dir string) error {
	sheets, err := drawing.CureSheets(p)
	if err != nil || len(sheets) == 0 {
		return err
	}
	var scenes []*scene.Scene
	var files []document.File
	for i, s := range sheets {
		name := fmt.Sprintf("cure-%02d", i+1)
		raw, err := png.Bytes(s.Scene, 6)
		if err != nil {
			return err
		}
		files = append(files, document.File{Name: name + ".svg", Content: svg.Bytes(s.Scene, svg.Options{})},
			document.File{Name: name + ".png", Content: raw})
		scenes = append(scenes, s.Scene)
	}
	date, err := time.Parse(time.DateOnly, p.Job.Date)
	if err != nil {
		return fmt.Errorf("date %q: %w", p.Job.Date, err)
	}
	title := p.Job.Name + ", how it hardens"
	all, err := pdf.Bytes(date, title, p.Job.PreparedBy, scenes...)
	if err != nil {
		return err
	}
	return deliver(ctx, dir, cureManifest, append(files, document.File{Name: "cure.pdf", Content: all},
		document.File{Name: "cure.html", Content: document.SheetsPage(title, scenes...)}))
}
