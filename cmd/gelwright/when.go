package main

import (
	"context"
	"time"

	"github.com/spf13/cobra"

	"gelwright/desk"
	"gelwright/document"
	"gelwright/programme"
)

func whenCommand() *cobra.Command {
	var l lookFlags
	var asJSON bool
	var calendar, pictures string
	cmd := &cobra.Command{
		Use:   "when ROOF.yaml",
		Short: "When can this roof be done, and how sure is that",
		Long: `When can this roof be done? The stages of the work are laid under the weather of the
coming days: for each day the best start, when the roof is then finished, how likely it
is that every stage holds, and what stands in the way. A single forecast is taken with
an assumed error; an ensemble as it is. Without a forecast, --norms plans from typical
days; with none of these, the hours that the roof file gives for its day are judged.
Limits are the trade's and the data sheet's; --override lifts one on your word.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			if l.none() {
				return l.dayWritten(cmd, args[0], asJSON)
			}
			o, err := l.out(cmd, args[0])
			if err != nil {
				return err
			}
			a, err := o.When(cmd.Context())
			if err != nil {
				return err
			}
			if a.Best() != nil {
				if err := keepWhen(cmd.Context(), o, a, calendar, pictures); err != nil {
					return err
				}
			}
			if asJSON {
				return printJSON(cmd.OutOrStdout(), a)
			}
			if err := tellWhen(cmd.OutOrStdout(), o, a); err != nil {
				return err
			}
			return a.Found(&o.Job)
		},
	}
	l.add(cmd)
	f := cmd.Flags()
	f.StringVar(&l.look.From, "from", "", "any day from this one on, 2026-05-31, whatever the date of the file")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	f.StringVar(&calendar, "ics", "", "write the best plan as a calendar file")
	f.StringVar(&pictures, "out", "", "folder for the day sheets and the fortnight view")
	return cmd
}

// dayWritten judges the hours of the roof file's own day.
func (l *lookFlags) dayWritten(cmd *cobra.Command, path string, asJSON bool) error {
	g, err := l.read(cmd, path)
	if err != nil {
		return err
	}
	if len(g.Job.Day.Hours) == 0 {
		return errNoWeather
	}
	if err := l.words(); err != nil {
		return err
	}
	d, err := desk.DayWritten(cmd.Context(), g, l.look)
	if err != nil {
		return err
	}
	if asJSON {
		return printJSON(cmd.OutOrStdout(), d.Day)
	}
	return tellWritten(cmd.OutOrStdout(), d)
}

// keepWhen writes the calendar and the pictures of a plan that were asked for.
func keepWhen(ctx context.Context, o *desk.Outlook, a *desk.When, calendar, pictures string) error {
	if calendar != "" {
		if err := deliverFile(calendar, document.Calendar(o, a), "BEGIN:VCALENDAR"); err != nil {
			return err
		}
	}
	if pictures == "" {
		return nil
	}
	return writePictures(ctx, o, a.Best(), time.Time{}, pictures)
}

// writePictures draws the days of a plan and the fortnight into a folder.
func writePictures(ctx context.Context, o *desk.Outlook, p *programme.Plan, now time.Time, dir string) error {
	files, err := document.WetDayFiles(o, p, now)
	if err != nil {
		return err
	}
	return deliver(ctx, dir, daysManifest, files)
}
