package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"gelwright/desk"
	"gelwright/document"
	"gelwright/plan"
	"gelwright/steps"
)

// planFlags are what is asked of a plan.
type planFlags struct {
	lookFlags
	out, explain, language          string
	asJSON, quiet, strict, pictures bool
}

func planCommand() *cobra.Command {
	f := planFlags{lookFlags: lookFlags{look: desk.UsualLook()}}
	cmd := &cobra.Command{
		Use:   "plan ROOF.yaml",
		Short: "Plan a roof: job pack, drawings, lists and the whole plan as JSON",
		Long: `Plan a roof from its file. With --out the books (site, office and workings, PDF), the drawings (SVG, PDF, DXF;
with --png as pictures too), the lists (CSV) and the whole plan (JSON) are written;
without it a summary is printed. --explain unfolds the working of one figure down to what was written in the
file; --explain list names them all.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			g, err := f.read(cmd, args[0])
			if err != nil {
				return err
			}
			if err := speak(&g.Job, f.language); err != nil {
				return err
			}
			g.Progress = f.progress(cmd)
			p, err := f.plan(cmd, g)
			if err != nil {
				return err
			}
			if f.explain != "" {
				return explainFigure(cmd.OutOrStdout(), p, f.explain, f.asJSON)
			}
			if f.out != "" {
				if err := writePack(cmd.Context(), p, f.out, document.Options{Progress: g.Progress, Pictures: f.pictures}); err != nil {
					return err
				}
			}
			if f.asJSON {
				err = printJSON(cmd.OutOrStdout(), p)
			} else {
				err = summary(cmd.OutOrStdout(), p, f.out)
			}
			if err != nil {
				return err
			}
			return desk.Stands(p, f.strict)
		},
	}
	f.add(cmd)
	return cmd
}

func (f *planFlags) add(cmd *cobra.Command) {
	g := cmd.Flags()
	g.StringVarP(&f.out, "out", "o", "", "folder to write the job pack, drawings and lists into")
	f.addFirm(cmd, ": prices, resin data, crew")
	f.addDay(cmd)
	g.StringVar(&f.forecast, "forecast", "", "forecast file: it settles the days and hours of the wet work")
	g.StringVar(&f.look.From, "from", "", "any day from this one on, 2026-05-31, whatever the date of the file")
	addLanguage(g, &f.language)
	g.StringVar(&f.explain, "explain", "", "unfold the working of a figure; 'list' names them")
	g.BoolVar(&f.asJSON, "json", false, "print JSON")
	g.BoolVarP(&f.quiet, "quiet", "q", false, "no progress")
	g.BoolVar(&f.pictures, "png", false, "write every drawing as a PNG picture too")
	g.BoolVar(&f.strict, "strict", false, "exit 4 when a design check fails")
	_ = cmd.MarkFlagDirname("out")
}

// progress tells each step on the error stream, unless that is not wanted.
func (f *planFlags) progress(cmd *cobra.Command) func(step string) {
	if f.quiet || f.asJSON || f.explain != "" {
		return func(string) {}
	}
	return func(step string) { fmt.Fprintf(cmd.ErrOrStderr(), "  %s …\n", step) }
}

// plan plans the roof: under a forecast its days and hours are settled first.
func (f *planFlags) plan(cmd *cobra.Command, g desk.Given) (*plan.Plan, error) {
	switch {
	case f.forecast == "" && f.look.From != "":
		return nil, coded{exitUsage, errors.New("--from takes a day of a forecast: give --forecast too, " +
			"or write the job's date into the roof file")}
	case f.forecast == "":
		return g.Plan(cmd.Context())
	}
	if g.TempC != nil {
		return nil, coded{exitUsage, errors.New("give --temp or --forecast, not both: one temperature or the hours of a day")}
	}
	sky, err := f.weather(cmd, &g.Job, g.Firm)
	if err != nil {
		return nil, err
	}
	// The buckets are made once for the stages and once for their hours: boards are not cut again.
	g.Steps = steps.NewCache(desk.KeptSteps)
	return desk.PlanUnder(cmd.Context(), g, sky, f.look)
}

// writePack writes the papers of a plan into a folder.
func writePack(ctx context.Context, p *plan.Plan, dir string, o document.Options) error {
	files, err := document.FilesWith(ctx, p, o)
	if err != nil {
		return err
	}
	return deliver(ctx, dir, packManifest, files)
}
