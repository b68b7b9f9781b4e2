package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"sort"
	"strings"

	"github.com/spf13/cobra"

	"gelwright/check"
	"gelwright/document"
	"gelwright/plan"
	"gelwright/working"
)

func planCommand() *cobra.Command {
	var out, firmPath, gelPath, explain string
	var temp float64
	var asJSON, quiet, strict, pictures bool
	w := weatherFlags{days: 14, courses: 31, target: 0.9}
	cmd := &cobra.Command{
		Use:   "plan ROOF.yaml",
		Short: "Plan a roof: job pack, drawings, lists and the whole plan as JSON",
		Long: `Plan a roof from its file. With --out the job pack (PDF), the drawings (SVG, PDF, DXF;
with --png as pictures too), the lists (CSV) and the whole plan (JSON) are written;
without it a summary is printed. --explain unfolds the working of one figure down to what was written in the
file; --explain list names them all.`,
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
				if w.forecast != "" {
					return coded{exitUsage, errors.New("give --temp or --forecast, not both: one temperature or the hours of a day")}
				}
				in.TempC = &temp
			}
			if w.forecast != "" {
				day, err := w.dayOn(cmd, &in.Job, firm)
				if err != nil {
					return err
				}
				if !quiet && !asJSON && explain == "" {
					fmt.Fprintf(cmd.ErrOrStderr(), "  buckets by the hours of %s …\n", day)
				}
			}
			progress := func(string) {}
			if !quiet && !asJSON && explain == "" {
				progress = func(step string) { fmt.Fprintf(cmd.ErrOrStderr(), "  %s …\n", step) }
			}
			in.Progress = progress
			p, err := plan.Make(cmd.Context(), in)
			if err != nil {
				return err
			}
			if explain != "" {
				return explainFigure(cmd.OutOrStdout(), p, explain, asJSON)
			}
			if out != "" {
				var more []document.More
				if w.forecast != "" {
					progress("wet days")
					if more, err = w.daySheets(cmd, job, firm); err != nil {
						return err
					}
				}
				if err := writePack(cmd, p, out, document.Options{Progress: progress, More: more, Pictures: pictures}); err != nil {
					return err
				}
			}
			if asJSON {
				raw, err := json.MarshalIndent(p, "", " ")
				if err != nil {
					return err
				}
				if _, err := fmt.Fprintln(cmd.OutOrStdout(), string(raw)); err != nil {
					return err
				}
			} else if err := summary(cmd.OutOrStdout(), p, out); err != nil {
				return err
			}
			return verdictOf(p, strict)
		},
	}
	f := cmd.Flags()
	f.StringVarP(&out, "out", "o", "", "folder to write the job pack, drawings and lists into")
	f.StringVar(&firmPath, "firm", "", "the firm's own file: prices, resin data, crew")
	f.StringVar(&gelPath, "gel", "", "a gel law that 'learn --json' has written")
	f.Float64Var(&temp, "temp", 0, "temperature of deck and resin, °C, in place of the file's")
	f.StringVar(&w.forecast, "forecast", "", "forecast file: the hours of the day, and the wet days in the pack")
	f.StringVar(&w.from, "from", "", "first day to look at, 2026-05-31; the file's date when the forecast holds it")
	f.StringVar(&explain, "explain", "", "unfold the working of a figure; 'list' names them")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	f.BoolVarP(&quiet, "quiet", "q", false, "no progress")
	f.BoolVar(&pictures, "png", false, "write every drawing as a PNG picture too")
	f.BoolVar(&strict, "strict", false, "exit 4 when a design check fails")
	_ = cmd.MarkFlagDirname("out")
	return cmd
}

// verdictOf turns a refused day, or a failed check under --strict, into its exit code.
func verdictOf(p *plan.Plan, strict bool) error {
	for _, x := range p.Passes {
		if x.Refusal != "" {
			return coded{exitNo, fmt.Errorf("no bucket can be mixed for %s, deck %s: %s", x.Kind, x.Deck, x.Refusal)}
		}
	}
	if !strict {
		return nil
	}
	var failed []string
	for _, r := range p.Checks {
		if r.Verdict == check.Fail {
			failed = append(failed, r.Key)
		}
	}
	if len(failed) > 0 {
		return coded{exitNo, fmt.Errorf("%d checks fail: %s", len(failed), strings.Join(failed, ", "))}
	}
	return nil
}

// explainFigure unfolds one figure, or names them all.
func explainFigure(w io.Writer, p *plan.Plan, key string, asJSON bool) error {
	if key == "list" && asJSON {
		raw, err := json.MarshalIndent(p.Workings, "", " ")
		if err != nil {
			return err
		}
		_, err = fmt.Fprintln(w, string(raw))
		return err
	}
	if key == "list" {
		for _, k := range p.Workings.Keys() {
			f, _ := p.Workings.Find(k)
			if _, err := fmt.Fprintf(w, "%-44s %s = %s\n", k, f.Name, f.Quantity()); err != nil {
				return err
			}
		}
		return nil
	}
	f, ok := p.Workings.Find(key)
	if !ok {
		return coded{exitUsage, fmt.Errorf("there is no figure %q; did you mean %s? (--explain list names all %d)", key, strings.Join(nearest(key, p.Workings.Keys()), ", "), len(p.Workings.Keys()))}
	}
	if asJSON {
		var l working.Ledger
		l.Add(f)
		raw, err := json.MarshalIndent(&l, "", " ")
		if err != nil {
			return err
		}
		_, err = fmt.Fprintln(w, string(raw))
		return err
	}
	return working.Unfold(w, f)
}

// nearest returns the three keys most like one that was mistyped.
func nearest(key string, keys []string) []string {
	type near struct {
		key string
		far int
	}
	var all []near
	for _, k := range keys {
		all = append(all, near{k, distance(key, k)})
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].far < all[j].far })
	var out []string
	for i := 0; i < len(all) && i < 3; i++ {
		out = append(out, all[i].key)
	}
	return out
}

// distance is the edit distance between two words (Levenshtein).
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		last := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			next := min(row[j]+1, row[j-1]+1, last+cost)
			last, row[j] = row[j], next
		}
	}
	return row[len(b)]
}

// writePack writes everything that a person takes from a plan.
func writePack(cmd *cobra.Command, p *plan.Plan, dir string, o document.Options) error {
	files, err := document.FilesWith(cmd.Context(), p, o)
	if err != nil {
		return err
	}
	for _, f := range files {
		if err := write(filepath.Join(dir, filepath.FromSlash(f.Name)), f.Content); err != nil {
			return err
		}
	}
	return nil
}
