package main

import (
	"strings"
	"time"

	"github.com/spf13/cobra"

	"gelwright/desk"
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
today; why; and what would change it. It says begin only where the work begun holds with
the probability of --target, and the forecast itself breaks no limit. --done names the
stages that are finished, each with its end when it was not just now, with its day when
that was not today: --done trims,details=2026-05-30T16:20,laminate=14:05.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			o, at, err := l.outAt(cmd, args[0], atText, done)
			if err != nil {
				return err
			}
			finished, err := o.Done(strings.Join(done, ","), at)
			if err != nil {
				return err
			}
			a, err := o.Now(cmd.Context(), at, finished)
			if err != nil {
				return err
			}
			if pictures != "" && a.Plan != nil {
				if err := writePictures(cmd.Context(), o, a.Plan, at, pictures); err != nil {
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
			if no := desk.Stops(a); no != nil && !asJSON {
				return said{no}
			}
			return desk.Stops(a)
		},
	}
	l.add(cmd)
	f := cmd.Flags()
	f.StringVar(&atText, "at", "", "what time it is, 2026-05-31T10:30, in the roof's time zone")
	f.StringArrayVar(&done, "done", nil, "stages finished, 'trims,details=11:20'")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	f.StringVar(&pictures, "out", "", "folder for the day sheets and the fortnight view")
	return cmd
}

// outAt lays roof and weather out for a moment, given in the roof's own time zone, and for
// the work that was done before it.
func (l *lookFlags) outAt(cmd *cobra.Command, path, text string, done []string) (*desk.Outlook, time.Time, error) {
	if text == "" {
		return nil, time.Time{}, &desk.Error{Kind: desk.Asked, Place: "at", Found: "it is missing", Remedy: "Write --at 2026-05-31T10:30"}
	}
	g, err := l.read(cmd, path)
	if err != nil {
		return nil, time.Time{}, err
	}
	site, err := desk.SiteOf(&g.Job)
	if err != nil {
		return nil, time.Time{}, err
	}
	at, err := desk.Clock(text, time.Time{}, site.Zone)
	if err != nil {
		return nil, at, err
	}
	l.look.At, l.look.Since = at, desk.Since(done, at, site.Zone)
	o, err := l.outOf(cmd, g)
	return o, at, err
}
