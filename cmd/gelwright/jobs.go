package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"gelwright/store"
	"gelwright/store/tables"
)

// theJob is the job that an id, or the beginning of one, names.
func theJob(ctx context.Context, db store.Store, id string) (store.Job, error) {
	if full := store.ID(id); full.Valid() {
		return db.Get(ctx, full)
	}
	const least = 4
	jobs, err := allJobs(ctx, db, store.Ask{Text: id, Retired: true})
	var found []store.Job
	for _, j := range jobs {
		if strings.HasPrefix(string(j.ID), id) && len(id) >= least {
			found = append(found, j)
		}
	}
	if err == nil && len(found) != 1 {
		err = coded{exitUsage, fmt.Errorf("%s: give it as 'gelwright jobs' lists it", beginWith(len(found), id))}
	}
	if err != nil {
		return store.Job{}, err
	}
	return found[0], nil
}

// beginWith says how many jobs an id may be the beginning of, where it is not one.
func beginWith(n int, id string) string {
	if n == 0 {
		return fmt.Sprintf("no job has an id that begins with %q", id)
	}
	return fmt.Sprintf("%d jobs have an id that begins with %q", n, id)
}

// allJobs are the jobs of every page of a list.
func allJobs(ctx context.Context, db store.Store, ask store.Ask) ([]store.Job, error) {
	out := []store.Job{}
	for ask.Size = store.MostPage; ; ask.Page++ {
		page, err := db.List(ctx, ask)
		if err != nil {
			return nil, err
		}
		if out = append(out, page.Jobs...); len(page.Jobs) < ask.Size {
			return out, nil
		}
	}
}

func jobsCommand() *cobra.Command {
	var where keeping
	var ask store.Ask
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "jobs --data DIR",
		Short: "List the jobs that are kept, and find one",
		Long: `Lists the jobs that are kept in a folder, the one changed last first: the beginning of the id, when it was changed
last (UTC), how many states it has, title and site. --find takes words that must all stand in title or site.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return withJobs(cmd.Context(), &where, false, func(db *tables.DB) error {
				jobs, err := allJobs(cmd.Context(), db, ask)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(cmd.OutOrStdout(), jobs)
				}
				return printJobs(cmd.OutOrStdout(), jobs)
			})
		},
	}
	addKeeping(cmd, &where)
	cmd.Flags().StringVar(&ask.Text, "find", "", "words that stand in title or site, or the beginning of an id")
	cmd.Flags().BoolVar(&ask.Retired, "retired", false, "list retired jobs too")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	cmd.AddCommand(jobsExportCommand(), jobsImportCommand(), jobsHistoryCommand())
	return cmd
}

func jobsExportCommand() *cobra.Command {
	var where keeping
	var out string
	cmd := &cobra.Command{
		Use:   "export ID --data DIR --out FILE.zip",
		Short: "Write a job with its history and files as one file",
		Long: `Writes a job whole as one zip file: every state with its document, files and photos, and a manifest of hashes.
The beginning of an id is enough where no other job has it. A file that is there is never written over.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			if out == "" {
				return coded{exitUsage, errors.New("--out names the file to write: give it")}
			}
			return withJobs(cmd.Context(), &where, false, func(db *tables.DB) error {
				job, err := theJob(cmd.Context(), db, args[0])
				if err != nil {
					return err
				}
				if err := newFile(out, func(w io.Writer) error { return db.Export(cmd.Context(), job.ID, w) }); err != nil {
					return err
				}
				_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s is written: %s, %s\n", out, job.Title, count(job.Newest, "state"))
				return err
			})
		},
	}
	addKeeping(cmd, &where)
	cmd.Flags().StringVarP(&out, "out", "o", "", "file to write")
	return cmd
}

func jobsImportCommand() *cobra.Command {
	var where keeping
	cmd := &cobra.Command{
		Use:   "import FILE.zip --data DIR",
		Short: "Keep a job that was exported",
		Long: `Keeps a job that 'jobs export' wrote, here or elsewhere. A job that is kept here already stays as it is, and the
file becomes a job beside it. What the office keeps of it comes along: its sheet, its days, customer, site and crews. A customer,
site or crew that is here under its id, or says the same (name, telephone and mail; name and address; name and mark), stays as it is
here; a crew whose mark is another's here is put away. Of a job that is kept here already the days come in off the calendar. A
file that is damaged or not to be trusted is refused, and nothing of it is kept.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			f, err := os.Open(args[0])
			if err != nil {
				return opening("exported job", args[0], err)
			}
			defer f.Close()
			info, err := f.Stat()
			if err != nil || !info.Mode().IsRegular() {
				return coded{exitFaults, fmt.Errorf("%s is no file: give the one that 'jobs export' wrote", args[0])}
			}
			return withJobs(cmd.Context(), &where, true, func(db *tables.DB) error {
				job, err := db.Import(cmd.Context(), f, info.Size())
				if err != nil {
					return fmt.Errorf("%s: %w", filepath.Base(args[0]), err)
				}
				return printImported(cmd.OutOrStdout(), job)
			})
		},
	}
	addKeeping(cmd, &where)
	return cmd
}

func jobsHistoryCommand() *cobra.Command {
	var where keeping
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "history ID --data DIR",
		Short: "Tell what was changed in a job, when and by whom",
		Long: `Tells the states of a job, the newest first: number, when (UTC), by whom, and what was done. The beginning of an
id is enough where no other job has it.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return withJobs(cmd.Context(), &where, false, func(db *tables.DB) error {
				job, err := theJob(cmd.Context(), db, args[0])
				if err != nil {
					return err
				}
				entries, err := allStates(cmd.Context(), db, job)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(cmd.OutOrStdout(), entries)
				}
				return printHistory(cmd.OutOrStdout(), job, entries)
			})
		},
	}
	addKeeping(cmd, &where)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	return cmd
}

// allStates are the states of a job, the newest first.
func allStates(ctx context.Context, db store.Store, job store.Job) ([]store.Entry, error) {
	out := []store.Entry{}
	for before := job.Newest + 1; before > 1; {
		some, err := db.History(ctx, job.ID, before, store.MostHistory)
		if err != nil {
			return nil, err
		}
		if len(some) == 0 {
			break
		}
		out = append(out, some...)
		before = some[len(some)-1].Seq
	}
	return out, nil
}
