package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"gelwright/office"
	"gelwright/store"
	"gelwright/store/tables"
)

// withOffice opens the place of jobs with the office's sheets for f.
func withOffice(ctx context.Context, where *keeping, f func(jobs store.Store, desk office.Keeper) error) error {
	return withJobs(ctx, where, false, func(db *tables.DB) error { return f(db, db) })
}

// today is the date on the clock of this computer, in its time zone or the one that TZ names.
func today() string { return time.Now().Format(time.DateOnly) }

func officeCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "office",
		Short: "See where the jobs stand, and plan crews and days",
		Long: `Keeps the office's sheets beside the jobs in a folder: where a job stands on its way from enquiry to aftercare, what
it waits for, customers, sites, crews, and days on the roof. 'gelwright serve' shows the same on the page /office.html.`,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
		Args: arguments(cobra.NoArgs),
	}
	cmd.AddCommand(officeListCommand(), officeStageCommand(), officeFindCommand(), officeHistoryCommand(),
		officeWeekCommand(), officeRunCommand(), officeMoveCommand(),
		sheetCommand("job", "Show the office's sheet of a job, or write on it", jobFields()),
		sheetCommand("customer", "List customers, show one, begin or change one", customerFields()),
		sheetCommand("site", "List sites, show one, begin or change one", siteFields()),
		sheetCommand("crew", "List crews, show one, begin or change one", crewFields()),
		sheetCommand("day", "List days on the roof, show one, plan or move one", dayFields()))
	return cmd
}

func officeListCommand() *cobra.Command {
	var where keeping
	var asJSON bool
	ask := office.ChartAsk{Size: store.MostPage}
	cmd := &cobra.Command{
		Use:   "list --data DIR",
		Short: "List the jobs by where they stand",
		Long: `Lists the jobs in the order of the way: the beginning of the id, stage, next day on the roof, title, place and
customer, and what somebody wrote that it waits for.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			ask.Today = today()
			return withOffice(cmd.Context(), &where, func(_ store.Store, desk office.Keeper) error {
				chart := office.Chart{Lines: []office.Line{}}
				for ask.Page = 0; ; ask.Page++ {
					page, err := desk.Chart(cmd.Context(), ask)
					if err != nil {
						return err
					}
					chart.Total, chart.Counts = page.Total, page.Counts
					if chart.Lines = append(chart.Lines, page.Lines...); len(page.Lines) < ask.Size {
						break
					}
				}
				if asJSON {
					return printJSON(cmd.OutOrStdout(), chart)
				}
				return printChart(cmd.OutOrStdout(), &chart, ask.Today)
			})
		},
	}
	addKeeping(cmd, &where)
	cmd.Flags().StringVar((*string)(&ask.Stage), "stage", "", "jobs at this stage alone, as survey or \"on the roof\"")
	cmd.Flags().BoolVar(&ask.Open, "open", false, "open jobs alone: those at order, on the roof or hand-over")
	cmd.Flags().StringVar(&ask.Text, "find", "", "words, each of which begins one of title, place, notes or customer")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	return cmd
}

func officeStageCommand() *cobra.Command {
	var where keeping
	var on, why, who string
	cmd := &cobra.Command{
		Use:   "stage ID STAGE --data DIR",
		Short: "Move a job along the trade's way",
		Long: `Moves a job to enquiry, survey, design, order, "on the roof", hand-over or aftercare, on a day that is not to
come; or to "not taken", with --why. Stages may be passed over where --why says why. The beginning of an id is
enough where no other job has it.`,
		Args: arguments(cobra.ExactArgs(2)),
		RunE: func(cmd *cobra.Command, args []string) error {
			if on == "" {
				on = today()
			}
			return withOffice(cmd.Context(), &where, func(jobs store.Store, desk office.Keeper) error {
				job, err := theJob(cmd.Context(), jobs, args[0])
				if err != nil {
					return err
				}
				now, err := desk.Sheet(cmd.Context(), office.KindJob, job.ID)
				if err != nil {
					return err
				}
				sheet, _ := now.Sheet.(office.Job)
				what := sheet.MovedWords(office.Stage(args[1]), why)
				if sheet, err = sheet.Move(office.Stage(args[1]), on, today(), why); err != nil {
					return err
				}
				_, err = desk.Put(cmd.Context(), office.Change{ID: job.ID, BasedOn: now.Version, When: time.Now(), Who: who, What: what,
					Sheet: sheet})
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s stands at %s\n", job.Title, sheet.Stage)
				return err
			})
		},
	}
	addKeeping(cmd, &where)
	addWho(cmd, &who)
	cmd.Flags().StringVar(&on, "on", "", "day on which it began, as 2026-06-03 (without: today)")
	cmd.Flags().StringVar(&why, "why", "", "why it is not taken, or why stages are passed over")
	return cmd
}

// addWho adds --who, whose name stands beside what is done.
func addWho(cmd *cobra.Command, who *string) {
	cmd.Flags().StringVar(who, "who", "this computer", "whose name stands beside what is done")
}

func officeFindCommand() *cobra.Command {
	var where keeping
	var asJSON bool
	var most int
	cmd := &cobra.Command{
		Use:   "find WORDS --data DIR",
		Short: "Find words in everything that was typed",
		Long: `Finds words in titles, sites, customers, crews, notes, names of files, roofs and histories. A word finds what begins
with it; capitals and marks make no difference. Answers stand by kind, each with its place.`,
		Args: arguments(cobra.MinimumNArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return withOffice(cmd.Context(), &where, func(_ store.Store, desk office.Keeper) error {
				found, err := desk.Search(cmd.Context(), office.Question{Text: strings.Join(args, " "), Most: most})
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(cmd.OutOrStdout(), found)
				}
				return printFound(cmd.OutOrStdout(), found)
			})
		},
	}
	addKeeping(cmd, &where)
	cmd.Flags().IntVar(&most, "most", 0, "answers of each kind, 1 to 200 (0: 20)")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	return cmd
}

func officeHistoryCommand() *cobra.Command {
	var where keeping
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "history KIND ID --data DIR",
		Short: "Tell who changed a sheet of the office, and when",
		Long:  `Tells the versions of a sheet, the newest first. KIND is job, customer, site, crew or day.`,
		Args:  arguments(cobra.ExactArgs(2)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return withOffice(cmd.Context(), &where, func(jobs store.Store, desk office.Keeper) error {
				id, err := theSheet(cmd.Context(), jobs, desk, office.Kind(args[0]), args[1])
				if err != nil {
					return err
				}
				list, err := desk.Versions(cmd.Context(), office.Kind(args[0]), id, store.MostHistory)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(cmd.OutOrStdout(), list)
				}
				return printVersions(cmd.OutOrStdout(), list)
			})
		},
	}
	addKeeping(cmd, &where)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	return cmd
}

// calledBy is what a person calls a sheet: its name, and the mark of a crew.
func calledBy(s office.Sheet) []string {
	switch x := s.(type) {
	case office.Customer:
		return []string{x.Name}
	case office.Site:
		return []string{x.Name}
	case office.Crew:
		return []string{x.Name, x.Mark}
	}
	return nil
}

// theSheet is the id of the sheet that an id, the beginning of one, a name or the mark of a crew names.
func theSheet(ctx context.Context, jobs store.Store, desk office.Keeper, kind office.Kind, text string) (store.ID, error) {
	if kind == office.KindJob {
		job, err := theJob(ctx, jobs, text)
		return job.ID, err
	}
	if id := store.ID(text); id.Valid() {
		return id, nil
	}
	list, err := desk.Sheets(ctx, office.Ask{Kind: kind, Away: true})
	if err != nil {
		return "", err
	}
	const least = 4
	var found []store.ID
	for _, r := range list {
		if len(text) >= least && strings.HasPrefix(string(r.ID), text) || !r.Sheet.Keys().Away && slices.Contains(calledBy(r.Sheet), text) {
			found = append(found, r.ID)
		}
	}
	if len(found) != 1 {
		meant := fmt.Sprintf("%d sheets of the kind %s are meant by %q", len(found), kind, text)
		if len(found) == 0 {
			meant = fmt.Sprintf("no %s is meant by %q", kind, text)
		}
		return "", coded{exitUsage, fmt.Errorf("%s: give the id as 'gelwright office %s' lists it", meant, kind)}
	}
	return found[0], nil
}

// errNoFields is the answer to a job that is not named.
var errNoFields = errors.New("a job's sheet is there already: give its ID")
