package main

import (
	"context"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"gelwright/office"
	"gelwright/store"
	"gelwright/web"
)

func officeWeekCommand() *cobra.Command {
	var where keeping
	var week, out string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "week --data DIR",
		Short: "Tell which crew stands on which roof in a week",
		Long: `Tells the days of a week: which crew stands on which roof, and which day on that roof it is. A crew that stands twice is
named. With --out the week is written as one sheet of A4 (PDF): crews and days with the work that is planned, how sure it is, what
is fetched, and lines to write on. A file that is there is never written over.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return withOffice(cmd.Context(), &where, func(jobs store.Store, desk office.Keeper) error {
				if out != "" {
					return writeWeek(cmd.Context(), cmd.OutOrStdout(), jobs, week, out)
				}
				calendar, err := theWeek(cmd.Context(), desk, week)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(cmd.OutOrStdout(), calendar)
				}
				return printWeek(cmd.Context(), cmd.OutOrStdout(), jobs, &calendar)
			})
		},
	}
	addKeeping(cmd, &where)
	cmd.Flags().StringVar(&week, "week", "", "week, as 2026-W23 (without: this one)")
	cmd.Flags().StringVarP(&out, "out", "o", "", "sheet to write, as week.pdf")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	return cmd
}

// writeWeek writes a week on one sheet.
func writeWeek(ctx context.Context, w io.Writer, jobs store.Store, week, out string) error {
	server, err := web.New(web.Server{Jobs: jobs})
	if err != nil {
		return err
	}
	if week != "" {
		if _, err := office.ReadWeek(week); err != nil {
			return err
		}
	}
	raw, name, err := server.WeekSheet(ctx, week)
	if err != nil {
		return err
	}
	if err := newFile(out, func(w io.Writer) error { _, err := w.Write(raw); return err }); err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "%s is written: week %s on one sheet\n", out, name)
	return err
}

// theWeek is the calendar of a week, of this one where none is named.
func theWeek(ctx context.Context, desk office.Keeper, text string) (office.Calendar, error) {
	week, err := office.WeekOf(today())
	if text != "" {
		week, err = office.ReadWeek(text)
	}
	if err != nil {
		return office.Calendar{}, err
	}
	return office.CalendarKept(ctx, desk, week, 1)
}

func printWeek(ctx context.Context, w io.Writer, jobs store.Store, c *office.Calendar) error {
	o := &printer{w: w}
	o.line("%s", c.Week)
	for i, date := range c.Dates {
		day, err := time.Parse(time.DateOnly, date)
		if err != nil {
			return err
		}
		for _, r := range c.Rows {
			for _, s := range r.Days[i] {
				job, err := jobs.Get(ctx, s.Job)
				if err != nil {
					return err
				}
				name := "nobody"
				if r.Crew != "" {
					name = r.Mark + " " + r.Name
				}
				o.line("%s  %-9s  %s: %s", day.Format("Mon 2006-01-02"), s.Part, name,
					strings.Join(filledIn(job.Title, job.Site, fmt.Sprintf("day %d on this roof", s.Nth), s.Note), ", "))
			}
		}
	}
	for _, t := range c.Twice {
		for _, r := range c.Rows {
			if r.Crew == t.Crew {
				o.line("%s %s stands twice on %s", r.Mark, r.Name, t.Date)
			}
		}
	}
	return o.err
}
