package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"gelwright/store"
	"gelwright/work"
)

func weatherCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "weather",
		Short: "Keep forecasts and readings on site, and tell what they teach",
		Long: `Tells what is kept of the weather of a job's place. Jobs whose roofs are within about a kilometre share it: forecasts as
they were made, readings on site, and what is learnt of one by the other.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(weatherShowCommand(), weatherFetchCommand(), weatherReadingsCommand())
	return cmd
}

// withJob opens the queue of the jobs and finds the job that an id names.
func (f *workFlags) withJob(cmd *cobra.Command, id string, do func(q *work.Queue, job store.Job) error) error {
	return f.with(cmd, func(q *work.Queue) error {
		job, err := theJob(cmd.Context(), q.Jobs(), id)
		if err != nil {
			return err
		}
		return do(q, job)
	})
}

func weatherShowCommand() *cobra.Command {
	var f workFlags
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "show ID --data DIR",
		Short: "Tell what is kept of the weather of a job's place, and what was learnt",
		Long: `Tells what is kept of the weather of a job's place: how old the newest forecast is and whose, how many forecasts and files
of readings there are, and what the readings have shown of the forecasts.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return f.withJob(cmd, args[0], func(q *work.Queue, job store.Job) error {
				sky, err := q.Sky(cmd.Context(), job.ID)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(cmd.OutOrStdout(), sky)
				}
				return printSky(cmd.OutOrStdout(), &sky)
			})
		},
	}
	addKeeping(cmd, &f.where)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	return cmd
}

func weatherFetchCommand() *cobra.Command {
	var f workFlags
	cmd := &cobra.Command{
		Use:   "fetch ID --data DIR",
		Short: "Order the forecast of a job's place from the firm's weather service",
		Long: `Orders the forecast of a job's place from the weather service that the job's firm file names. A worker asks it, once for
all jobs there, no sooner than its last answer expires.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return f.withJob(cmd, args[0], func(q *work.Queue, job store.Job) error {
				w, err := q.Fetch(cmd.Context(), job.ID, thisComputer)
				if err != nil {
					return err
				}
				return printWork(cmd.OutOrStdout(), []work.Work{w})
			})
		},
	}
	addKeeping(cmd, &f.where)
	return cmd
}

// thisComputer is who does a thing on the command line.
const thisComputer = "this computer"

func weatherReadingsCommand() *cobra.Command {
	var f workFlags
	cmd := &cobra.Command{
		Use:   "add-readings ID FILE.csv --data DIR",
		Short: "Keep readings on site, and learn from them how forecasts err there",
		Long: `Keeps readings on site, a CSV of hours in the columns of an own forecast (time, air_c, rh_pct, wind_ms, rain_mm …), in the
job's own time zone unless the times say theirs. The forecasts that were kept of these hours are held against them; what they
were off by is taken off the next ones of the place, and the jobs there are planned again.`,
		Args: arguments(cobra.ExactArgs(2)),
		RunE: func(cmd *cobra.Command, args []string) error {
			name, text, err := readWhole("readings", args[1])
			if err != nil {
				return err
			}
			return f.withJob(cmd, args[0], func(q *work.Queue, job store.Job) error {
				said, err := q.AddReadings(cmd.Context(), job.ID, name, thisComputer, text)
				if err != nil {
					return err
				}
				_, err = fmt.Fprintln(cmd.OutOrStdout(), said)
				return err
			})
		},
	}
	addKeeping(cmd, &f.where)
	return cmd
}
