package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"gelwright/check"
	"gelwright/drawing"
	"gelwright/plan"
	"gelwright/scene"
	"gelwright/scene/pdf"
	"gelwright/scene/png"
	"gelwright/scene/svg"
	"gelwright/working"
)

// cureAnswer is the cure command's answer as JSON.
type cureAnswer struct {
	Passes   []plan.WetPass `json:"passes"`
	Refusals []wetRefusal   `json:"refusals,omitempty"`
	Checks   []check.Result `json:"checks,omitempty"`
}

// wetRefusal is a pass for which there is no dose.
type wetRefusal struct {
	Deck     string   `json:"deck"`
	Kind     string   `json:"kind"`
	Layer    int      `json:"layer"`
	Why      string   `json:"why"`
	Remedies []string `json:"remedies,omitempty"`
}

func cureCommand() *cobra.Command {
	var out, firmPath, gelPath string
	var temp float64
	var asJSON, explain bool
	cmd := &cobra.Command{
		Use:   "cure ROOF.yaml",
		Short: "When each pass is hard: to walk on, to sand, to coat, safe from rain",
		Long: `How the laminate and the top coat of a roof harden at the day's temperatures: for each
pass the range of every milestone, counted from the mixing of its last bucket, the film's
own warmth, and what its largest bucket does when it is left standing. With --out the
curves and the weighing of doses are written as SVG, PNG and PDF.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			job, err := readRoof(args[0], cmd.InOrStdin(), cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			firm, err := readFirm(firmPath, cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			in := inputOf(job, firm)
			if err := withGel(&in, gelPath); err != nil {
				return err
			}
			if cmd.Flags().Changed("temp") {
				in.TempC = &temp
			}
			p, err := plan.Make(cmd.Context(), in)
			if err != nil {
				return err
			}
			a := cureOf(p)
			if out != "" {
				if err := writeCure(p, out); err != nil {
					return err
				}
			}
			w := cmd.OutOrStdout()
			if asJSON {
				raw, err := json.MarshalIndent(a, "", " ")
				if err != nil {
					return err
				}
				if _, err := fmt.Fprintln(w, string(raw)); err != nil {
					return err
				}
			} else if err := printCure(w, p, a, out, explain); err != nil {
				return err
			}
			if len(a.Passes) == 0 {
				return coded{exitNo, fmt.Errorf("nothing can be laid on this day")}
			}
			return nil
		},
	}
	f := cmd.Flags()
	f.StringVarP(&out, "out", "o", "", "folder to write the drawings into")
	f.StringVar(&firmPath, "firm", "", "the firm's own file: resin data, crew")
	f.StringVar(&gelPath, "gel", "", "a gel law that 'learn --json' has written")
	f.Float64Var(&temp, "temp", 0, "temperature of deck and resin, °C, in place of the file's")
	f.BoolVar(&explain, "explain", false, "unfold the workings")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}

func cureOf(p *plan.Plan) cureAnswer {
	a := cureAnswer{Passes: p.Wet}
	for _, x := range p.Passes {
		if x.Refusal == "" || x.Kind == "details" {
			continue
		}
		r := wetRefusal{Deck: x.Deck, Kind: x.Kind, Layer: x.Layer, Why: x.Refusal}
		for _, m := range x.Remedies {
			r.Remedies = append(r.Remedies, m.Text)
		}
		a.Refusals = append(a.Refusals, r)
	}
	for _, c := range p.Checks {
		if strings.HasPrefix(c.Key, "cure.") {
			a.Checks = append(a.Checks, c)
		}
	}
	return a
}

// minuteClock prints minutes after midnight.
func minuteClock(min float64) string {
	n := int(math.Round(min))
	return fmt.Sprintf("%02d:%02d", n/60, n%60)
}

func printCure(w io.Writer, p *plan.Plan, a cureAnswer, out string, explain bool) error {
	o := &printer{w: w}
	for _, x := range a.Passes {
		o.line("deck %s, %s %d: %.2f %% at %s on a deck of %.0f °C; times count from mixing bucket %d, the last", x.Deck, x.Kind, x.Layer, x.Pct, minuteClock(x.MixAtMin), x.DeckC, x.Bucket)
		for _, m := range x.Marks {
			o.line("  %-16s %s", m.Milestone, plan.LastingRange(m.After))
		}
		o.line("  film             %.0f °C at its warmest (%.0f to %.0f)", x.PeakC, x.PeakLowC, x.PeakHighC)
		o.line("  bucket %-9d %.1f kg left standing gels in %.0f min and reaches about %.0f °C after %.0f min", x.Left.Bucket, x.Left.KG, x.Left.GelMin, x.Left.PeakC, x.Left.PeakMin)
	}
	for _, r := range a.Refusals {
		o.line("deck %s, %s %d: no: %s", r.Deck, r.Kind, r.Layer, r.Why)
		for _, m := range r.Remedies {
			o.line("  %s", m)
		}
	}
	for _, c := range a.Checks {
		o.line("%s, %s: %s", c.Verdict, c.Where, c.Finding)
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
			if f, ok := p.Workings.Find(m.Key); ok {
				figures = append(figures, f)
			}
		}
	}
	return working.Unfold(w, working.Choice("hardening", "as answered above", working.Source{Title: "figures of this answer", Standing: working.Derived}, figures...))
}

// writeCure writes the sheets: each as SVG and PNG, and all of them in one PDF.
func writeCure(p *plan.Plan, dir string) error {
	sheets, err := drawing.CureSheets(p, 1, drawing.CureSheetCount(p))
	if err != nil || len(sheets) == 0 {
		return err
	}
	var scenes []*scene.Scene
	for i, s := range sheets {
		name := fmt.Sprintf("cure-%02d", i+1)
		if err := write(filepath.Join(dir, name+".svg"), svg.Bytes(s.Scene, svg.Options{})); err != nil {
			return err
		}
		raw, err := png.Bytes(s.Scene, 6)
		if err != nil {
			return err
		}
		if err := write(filepath.Join(dir, name+".png"), raw); err != nil {
			return err
		}
		scenes = append(scenes, s.Scene)
	}
	date, err := time.Parse(time.DateOnly, p.Job.Date)
	if err != nil {
		return fmt.Errorf("date %q: %w", p.Job.Date, err)
	}
	all, err := pdf.Bytes(date, p.Job.Name+", how it hardens", scenes...)
	if err != nil {
		return err
	}
	return write(filepath.Join(dir, "cure.pdf"), all)
}
