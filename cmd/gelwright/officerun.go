package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"time"

	"github.com/spf13/cobra"

	"gelwright/office"
	"gelwright/store"
	"gelwright/web"
)

// runOrder is how the days of a roof are planned or moved.
type runOrder struct {
	keeping
	ask          web.RunAsk
	crew, who    string
	look, asJSON bool
}

// flags adds what both have in common.
func (r *runOrder) flags(cmd *cobra.Command) {
	addKeeping(cmd, &r.keeping)
	addWho(cmd, &r.who)
	cmd.Flags().StringVar(&r.crew, "crew", "", "mark, name or id of the crew")
	cmd.Flags().BoolVar(&r.look, "look", false, "tell what would be, and how sure, and keep nothing")
	cmd.Flags().BoolVar(&r.asJSON, "json", false, "print as JSON")
}

func officeRunCommand() *cobra.Command {
	var r runOrder
	cmd := &cobra.Command{
		Use:   "run JOB --from DATE --data DIR",
		Short: "Put a roof into the calendar, with as many days as its plan has",
		Long: `Puts a whole roof into the calendar at once: as many days as its plan has, or --days, from a date on. Days on which the
crew does not work are skipped (its sheet says which; without one Monday to Friday are worked). How sure the whole roof is from its
first day is told beside; with --look nothing is kept.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return withOffice(cmd.Context(), &r.keeping, func(jobs store.Store, desk office.Keeper) error {
				job, err := theJob(cmd.Context(), jobs, args[0])
				if err != nil {
					return err
				}
				r.ask.ID = job.ID
				return r.do(cmd, jobs, desk, job.Title+" planned")
			})
		},
	}
	r.flags(cmd)
	cmd.Flags().StringVar(&r.ask.To, "from", "", "first day, as 2026-06-03")
	cmd.Flags().IntVar(&r.ask.Days, "days", 0, "how many days (0: as many as the plan has)")
	return cmd
}

func officeMoveCommand() *cobra.Command {
	var r runOrder
	cmd := &cobra.Command{
		Use:   "move DAY --to DATE --data DIR",
		Short: "Move a roof's run of days to other dates or to another crew",
		Long: `Moves the run of days that a day on the roof belongs to: the days of its job with at most a week from one to the next, those
that are past left out. The day comes to the date, the others keep their distance in days of work, so that days on which the crew
does not work are skipped. --alone moves that day by itself. DAY is its id, as 'gelwright office day' lists it. How sure the whole
roof is from its first day is told beside; with --look nothing is kept.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return withOffice(cmd.Context(), &r.keeping, func(jobs store.Store, desk office.Keeper) error {
				id, err := theSheet(cmd.Context(), jobs, desk, office.KindDay, args[0])
				if err != nil {
					return err
				}
				now, err := desk.Sheet(cmd.Context(), office.KindDay, id)
				if err != nil {
					return err
				}
				day, _ := now.Sheet.(office.Day)
				r.ask.ID, r.ask.Day, r.ask.Crew = day.Job, id, day.Crew
				job, err := jobs.Get(cmd.Context(), day.Job)
				if err != nil {
					return err
				}
				return r.do(cmd, jobs, desk, job.Title+" moved")
			})
		},
	}
	r.flags(cmd)
	cmd.Flags().StringVar(&r.ask.To, "to", "", "date that the day comes to, as 2026-06-03")
	cmd.Flags().BoolVar(&r.ask.Alone, "alone", false, "move that day by itself")
	return cmd
}

// do tells what would be, and keeps it.
func (r *runOrder) do(cmd *cobra.Command, jobs store.Store, desk office.Keeper, what string) error {
	ctx := cmd.Context()
	if r.crew != "" {
		id, err := theSheet(ctx, jobs, desk, office.KindCrew, r.crew)
		if err != nil {
			return err
		}
		r.ask.Crew = id
	}
	server, err := web.New(web.Server{Jobs: jobs})
	if err != nil {
		return err
	}
	run, err := server.RunOf(ctx, &r.ask)
	if err != nil {
		return err
	}
	if !r.look && len(run.Days) > 0 {
		var all []office.Change
		for _, d := range run.Days {
			all = append(all, office.Change{ID: d.ID, BasedOn: d.Version, When: time.Now(), Who: r.who, What: what, Sheet: d.Sheet})
		}
		if _, err := desk.PutAll(ctx, all); err != nil {
			return err
		}
	}
	if r.asJSON {
		return printJSON(cmd.OutOrStdout(), run)
	}
	return printRun(ctx, cmd.OutOrStdout(), desk, run)
}

// printRun prints the days of a run and how sure it is.
func printRun(ctx context.Context, w io.Writer, desk office.Keeper, run *web.Run) error {
	o := &printer{w: w}
	if len(run.Days) == 0 {
		o.line("nothing changes")
	}
	names := map[store.ID]string{"": "nobody named"}
	name := func(crew store.ID) (string, error) {
		if _, known := names[crew]; !known {
			r, err := desk.Sheet(ctx, office.KindCrew, crew)
			if err != nil {
				return "", err
			}
			c, _ := r.Sheet.(office.Crew)
			names[crew] = c.Mark + " " + c.Name
		}
		return names[crew], nil
	}
	for _, d := range run.Days {
		who, err := name(d.Sheet.Crew)
		if err != nil {
			return err
		}
		o.line("%s  %s  %s", shortID(d.ID), dayOf(d.Sheet.Date), who)
	}
	for _, t := range run.Twice {
		who, err := name(t.Crew)
		if err != nil {
			return err
		}
		o.line("%s stands twice on %s", who, dayOf(t.Date))
	}
	o.line("%s", runChance(run))
	return o.err
}

// dayOf is a date with its day of the week.
func dayOf(date string) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return t.Format("Mon 2006-01-02")
}

// runChance says how sure a roof is from the first day of its run.
func runChance(run *web.Run) string {
	day := dayOf(run.From)
	c, known := run.Outlook.On(run.From)
	switch {
	case len(run.Outlook.Days) == 0 && run.Outlook.None != "":
		return day + ": not known, " + run.Outlook.None
	case len(run.Outlook.Days) == 0:
		return day + ": not known, this roof has no forecast"
	case !known:
		return day + ": not known, the forecast of this roof does not reach it"
	case c.At == "":
		return day + ": the roof cannot be begun, " + c.Why
	case !c.Sure:
		return fmt.Sprintf("%s: %.0f in 100 that the whole roof holds, begun %s. Not sure enough to begin", day, math.Round(100*c.P), c.At)
	}
	return fmt.Sprintf("%s: %.0f in 100 that the whole roof holds, begun %s", day, math.Round(100*c.P), c.At)
}
