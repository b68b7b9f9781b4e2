package main

import (
	"strings"
	"time"

	"github.com/spf13/cobra"

	"gelwright/desk"
	"gelwright/programme"
)

func nowCommand() *cobra.Command {
	var l lookFlags
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
			o, at, err := l.outAt(cmd, args[0], atText)
			if err != nil {
				return err
			}
			finished, err := doneOf(done, at, o.Zone())
			if err != nil {
				return err
			}
			a, err := o.Now(cmd.Context(), at, finished)
			if err != nil {
				return err
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
			if err != nil {
				return err
			}
			return desk.Stops(a)
		},
	}
	l.add(cmd)
	f := cmd.Flags()
	f.StringVar(&atText, "at", "", "what time it is, 2026-05-31T10:30, in the roof's time zone")
	f.StringSliceVar(&done, "done", nil, "stages finished, 'trims,details=11:20'")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	f.StringVar(&pictures, "out", "", "folder for the day sheets and the fortnight view")
	return cmd
}

// outAt lays roof and weather out for a moment, given in the roof's own time zone.
func (l *lookFlags) outAt(cmd *cobra.Command, path, text string) (*desk.Outlook, time.Time, error) {
	if text == "" {
		return nil, time.Time{}, &desk.Error{Kind: desk.Asked, Place: "at", Found: "it is missing", Remedy: "Write --at 2026-05-31T10:30"}
	}
	// Read twice: in UTC to find the days, then in the roof's own time.
	rough, err := desk.Clock(text, time.Time{}, time.UTC)
	if err != nil {
		return nil, rough, err
	}
	l.look.At = rough
	o, err := l.out(cmd, path)
	if err != nil {
		return nil, rough, err
	}
	at, err := desk.Clock(text, rough, o.Zone())
	return o, at, err
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
			end, err := desk.Clock(clock, at, zone)
			if err != nil {
				return nil, err
			}
			d.End = end
		}
		out = append(out, d)
	}
	return out, nil
}
