package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"github.com/spf13/cobra"

	"gelwright/store/tables"
	"gelwright/work"
)

// workFlags are how a worker is told what to do.
type workFlags struct {
	where   keeping
	threads int
	daily   dailyFlags
}

// dailyFlags are what is done once a day without being told.
type dailyFlags struct {
	at, backups string
	keep        int
}

func (d *dailyFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&d.at, "daily", "05:00", "when the round of the morning is done each day, by this computer's clock, or off; one "+
		"that was missed is done at the start")
	cmd.Flags().StringVar(&d.backups, "backups", "", "folder in which a backup is kept each day, with the round (without: none is made)")
	cmd.Flags().IntVar(&d.keep, "keep-backups", 14, "how many of them stay")
}

// into puts them into how a worker works.
func (d *dailyFlags) into(how *work.Settings) error {
	if d.keep < 1 {
		return coded{exitUsage, fmt.Errorf("--keep-backups %d: give 1 or more", d.keep)}
	}
	if d.backups != "" {
		how.Backups = &work.Backups{Dir: d.backups, Keep: d.keep}
	}
	if d.at == "off" {
		return nil
	}
	at, err := time.Parse("15:04", d.at)
	if err != nil {
		return coded{exitUsage, fmt.Errorf("--daily %s: give a time such as 05:00, or off", d.at)}
	}
	how.Daily = &work.Daily{AtMin: 60*at.Hour() + at.Minute(), Zone: time.Local}
	return nil
}

func workCommand() *cobra.Command {
	var f workFlags
	cmd := &cobra.Command{
		Use:   "work --data DIR",
		Short: "Do the work behind the page: papers, weather, plans of the morning",
		Long: `Does the work that waits in the database of the jobs, until it is ended with Ctrl-C: sets of papers, forecasts, jobs
planned again under them. 'serve' does it by itself; a worker of its own takes it off the page, and any number may work side
by side. What is under way when it ends goes on for a few seconds, or back; what a worker held that was killed is given to
another.

Once a day, at --daily, it orders the round of the morning by itself: weather, plans, reminders; with --backups a backup too,
which is read again and of which the newest stay. However many workers there are, each is done once.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return f.with(cmd, func(q *work.Queue) error {
				w, err := f.start(cmd.Context(), q)
				if err != nil {
					return err
				}
				fmt.Fprintln(cmd.OutOrStdout(), "working")
				<-cmd.Context().Done()
				return w.Stop(context.WithoutCancel(cmd.Context()))
			})
		},
	}
	f.add(cmd)
	f.daily.add(cmd)
	cmd.AddCommand(workListCommand(), workRunCommand(), workPapersCommand(), workMorningCommand(), workBackupCommand(),
		workRemindersCommand())
	return cmd
}

func (f *workFlags) add(cmd *cobra.Command) {
	addKeeping(cmd, &f.where)
	cmd.Flags().IntVar(&f.threads, "threads", 0, "pieces of work that are computed at once (without: one for each processor)")
}

// with opens the queue of the jobs for what follows.
func (f *workFlags) with(cmd *cobra.Command, do func(q *work.Queue) error) error {
	if f.threads < 0 {
		return coded{exitUsage, fmt.Errorf("--threads %d: give a number from 1 on, or leave it out", f.threads)}
	}
	return withJobs(cmd.Context(), &f.where, false, func(jobs *tables.DB) error {
		q, err := work.Open(cmd.Context(), jobs, logOf(cmd))
		if err != nil {
			return err
		}
		return errors.Join(do(q), q.Close())
	})
}

// logOf tells on standard error what went wrong.
func logOf(cmd *cobra.Command) *slog.Logger {
	return slog.New(slog.NewTextHandler(cmd.ErrOrStderr(), &slog.HandlerOptions{Level: slog.LevelWarn}))
}

func (f *workFlags) start(ctx context.Context, q *work.Queue) (*work.Worker, error) {
	how := work.Settings{Threads: f.threads, Version: versionText()}
	if f.daily.at != "" {
		if err := f.daily.into(&how); err != nil {
			return nil, err
		}
	}
	return q.Start(ctx, how)
}

// whileWorking does the work behind the page while f runs, unless it is left to others.
func whileWorking(ctx context.Context, q *work.Queue, left bool, daily dailyFlags, f func() error) error {
	if left {
		return f()
	}
	w, err := (&workFlags{daily: daily}).start(ctx, q)
	if err != nil {
		return err
	}
	return errors.Join(f(), w.Stop(context.WithoutCancel(ctx)))
}

func workListCommand() *cobra.Command {
	var f workFlags
	var ask work.Ask
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "list --data DIR",
		Short: "List the work behind the page, the newest first",
		Long: `Lists the work behind the page, the newest first: when it was ordered (UTC), where it stands, how much of it is
done, what it is, and what it says of itself.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return f.with(cmd, func(q *work.Queue) error {
				list, err := q.List(cmd.Context(), ask)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(cmd.OutOrStdout(), list)
				}
				return printWork(cmd.OutOrStdout(), list)
			})
		},
	}
	addKeeping(cmd, &f.where)
	cmd.Flags().BoolVar(&ask.Open, "open", false, "only what is not ended")
	cmd.Flags().IntVar(&ask.Limit, "most", work.UsualListed, "how many are listed")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	return cmd
}

func workRunCommand() *cobra.Command {
	var f workFlags
	cmd := &cobra.Command{
		Use:   "run --data DIR",
		Short: "Do the work that waits, and end",
		Long: `Does the work that waits and ends when there is none left, for machines that are told at a fixed time to work. What
has failed and is tried again later is waited for.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return f.with(cmd, func(q *work.Queue) error {
				w, err := f.start(cmd.Context(), q)
				if err != nil {
					return err
				}
				err = untilDone(cmd.Context(), q)
				if err = errors.Join(err, w.Stop(context.WithoutCancel(cmd.Context()))); err == nil {
					fmt.Fprintln(cmd.OutOrStdout(), "no work is left")
				}
				return err
			})
		},
	}
	f.add(cmd)
	return cmd
}

// lookEvery is how often it is looked whether all is done.
const lookEvery = 100 * time.Millisecond

// untilDone waits until no work is left.
func untilDone(ctx context.Context, q *work.Queue) error {
	for {
		open, err := q.List(ctx, work.Ask{Open: true, Limit: 1})
		if err != nil || len(open) == 0 {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(lookEvery):
		}
	}
}

func workPapersCommand() *cobra.Command {
	var f workFlags
	cmd := &cobra.Command{
		Use:   "papers ID --data DIR",
		Short: "Order the papers of a job, to be kept with it as one file",
		Long: `Orders the papers of a job's newest state. A worker makes them and keeps them as one zip file of the job; papers that
were made before are there at once. The beginning of an id is enough where no other job has it.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return f.with(cmd, func(q *work.Queue) error {
				job, err := theJob(cmd.Context(), q.Jobs(), args[0])
				if err != nil {
					return err
				}
				w, err := q.Papers(cmd.Context(), job.ID, 0, thisComputer)
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
