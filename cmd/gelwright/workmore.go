package main

import (
	"github.com/spf13/cobra"

	"gelwright/work"
)

func workMorningCommand() *cobra.Command {
	var f workFlags
	cmd := &cobra.Command{
		Use:   "morning --data DIR",
		Short: "Order the round of the morning: weather of all open jobs, then plans",
		Long: `Orders the round of the morning: the weather of every open job's place is asked for, and each job is planned again under
what is new. Open are jobs that the office has at order, on the roof or hand-over. Workers do it; ordered twice on one day while it
goes on, it is one round.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return f.with(cmd, func(q *work.Queue) error {
				w, err := q.Morning(cmd.Context(), thisComputer)
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

func workBackupCommand() *cobra.Command {
	var f workFlags
	cmd := &cobra.Command{
		Use:   "backup --data DIR",
		Short: "Order a backup, written by a worker that has a folder for them",
		Long: `Orders the backup of today. A worker that was begun with --backups writes it there, reads it again and takes away those
that are too old. 'gelwright backup' writes one at once, to any file.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return f.with(cmd, func(q *work.Queue) error {
				w, err := q.Backup(cmd.Context(), thisComputer)
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

func workRemindersCommand() *cobra.Command {
	var f workFlags
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "reminders --data DIR",
		Short: "List what somebody is to be told of jobs, the newest first",
		Long: `Lists what somebody is to be told of jobs, the newest first: those that were sure and are so no more under the newest forecast
of their place, those for which a crew is put in tomorrow though that is not sure, whose goods are to be ordered, which have stood
long where they are, and for which something has not come by its day. The round of the morning finds them, each once a day.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return f.with(cmd, func(q *work.Queue) error {
				list, err := q.Reminders(cmd.Context())
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(cmd.OutOrStdout(), list)
				}
				return printReminders(cmd.OutOrStdout(), list)
			})
		},
	}
	addKeeping(cmd, &f.where)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	return cmd
}
