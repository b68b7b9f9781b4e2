package main

import (
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"gelwright/programme"
	"gelwright/weather"
)

func nowCommand() *cobra.Command {
	var w weatherFlags
	var asJSON bool
	var atText, pictures string
	var done []string
	cmd := &cobra.Command{
		Use:   "now ROOF.yaml --at TIME",
		Short: "What to do now, with what is done already",
		Long: `What now? From the forecast and what is done already: begin the next stage, wait, or not
today; why; and what would change it. --done names the stages that are finished, each
with its end when it was not just now: --done trims,details=11:20,laminate=14:05.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			if atText == "" {
				return coded{exitUsage, fmt.Errorf("--at is missing. Write --at 2026-05-31T10:30")}
			}
			// Read twice: in UTC to find the days, then in the roof's own time.
			rough, err := clockNear(atText, time.Time{}, time.UTC)
			if err != nil {
				return err
			}
			o, err := w.lookOut(cmd, args[0], rough)
			if err != nil {
				return err
			}
			zone := o.prepared.Zone()
			at, err := clockNear(atText, rough, zone)
			if err != nil {
				return err
			}
			finished, err := doneOf(done, at, zone)
			if err != nil {
				return err
			}
			a, err := o.prepared.Now(cmd.Context(), at, finished)
			if err != nil {
				return coded{exitUsage, err}
			}
			if pictures != "" && a.Plan != nil {
				if err := writePictures(o, a.Plan, at, pictures); err != nil {
					return err
				}
			}
			if asJSON {
				err = printJSON(cmd.OutOrStdout(), a)
			} else {
				err = tellNow(cmd.OutOrStdout(), o, a)
			}
			if err == nil && a.Verdict == weather.NoGo && a.Plan == nil {
				return coded{exitNo, fmt.Errorf("%s", a.Act)}
			}
			return err
		},
	}
	w.add(cmd)
	f := cmd.Flags()
	f.StringVar(&atText, "at", "", "what time it is, 2026-05-31T10:30, in the roof's time zone")
	f.StringSliceVar(&done, "done", nil, "stages finished, 'trims,details=11:20'")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	f.StringVar(&pictures, "out", "", "folder for the day sheets and the fortnight view")
	return cmd
}

// doneOf reads stages with the time at which each ended.
func doneOf(texts []string, at time.Time, zone *time.Location) ([]programme.Done, error) {
	var out []programme.Done
	for _, t := range texts {
		key, clock, timed := strings.Cut(strings.TrimSpace(t), "=")
		if key == "" {
			continue
		}
		d := programme.Done{Key: key}
		if timed {
			end, err := clockNear(clock, at, zone)
			if err != nil {
				return nil, err
			}
			d.End = end
		}
		out = append(out, d)
	}
	return out, nil
}

// tellNow says the act first, then the reason, then what would change it.
func tellNow(out io.Writer, o *outlook, a *programme.Advice) error {
	var b strings.Builder
	zone := o.prepared.Zone()
	fmt.Fprintln(&b, a.Act)
	if a.Reason != "" {
		fmt.Fprintf(&b, "  because: %s\n", a.Reason)
	}
	for _, c := range a.Changes {
		fmt.Fprintf(&b, "  what would change it: %s\n", c)
	}
	if a.Plan != nil {
		fmt.Fprintf(&b, "  all holds with %.0f %%; finished %s\n", 100*a.PBest, a.Plan.Finish.In(zone).Format("Mon 2 Jan 15:04"))
		for _, s := range a.Plan.Sessions() {
			fmt.Fprintf(&b, "    %-34s %s to %s  %3.0f %%\n", s.Name, s.Start.In(zone).Format("Mon 15:04"), s.End.In(zone).Format("Mon 15:04"), 100*s.P)
		}
	}
	if a.Result != nil {
		for _, x := range a.Result.Overrides {
			fmt.Fprintf(&b, "  overridden: %s, because: %s\n", x.Limit, x.Reason)
		}
	}
	if o.credit != "" {
		fmt.Fprintf(&b, "  weather: %s\n", o.credit)
	}
	_, err := io.WriteString(out, b.String())
	return err
}
