package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"gelwright/authority"
	"gelwright/store/backup"
	"gelwright/store/postgres"
	"gelwright/store/sqlite"
	"gelwright/store/tables"
)

func backupCommand() *cobra.Command {
	var from keeping
	var out string
	cmd := &cobra.Command{
		Use:   "backup --data DIR --out FILE",
		Short: "Write all that is kept as one file, while the server runs",
		Long: `Writes all that is kept, every table, file and photo, as it is at one moment, as one file that 'restore' reads
into a folder or a database. It may be done while others work. The file is read again before it is given its name. It is not
encrypted: keep it where the jobs themselves may lie. A file that is there is never written over.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if out == "" {
				return coded{exitUsage, errors.New("--out names the file to write: give it")}
			}
			return withJobs(cmd.Context(), &from, false, func(db *tables.DB) error {
				var m *backup.Manifest
				err := keepFile(out, 0o600, func(f *os.File) (err error) {
					m, err = writeBackup(cmd.Context(), db, f)
					return err
				})
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s is written and read again: %s\n%s", out, countsOf(m), authorityApart(from.data))
				return err
			})
		},
	}
	addKeeping(cmd, &from)
	cmd.Flags().StringVarP(&out, "out", "o", "", "file to write")
	return cmd
}

// writeBackup writes a backup and reads it again.
func writeBackup(ctx context.Context, db *tables.DB, f *os.File) (*backup.Manifest, error) {
	if _, err := backup.Write(ctx, db, f); err != nil {
		return nil, err
	}
	r, err := readBackup(ctx, f)
	if err != nil {
		return nil, err
	}
	return &r.Manifest, nil
}

func readBackup(ctx context.Context, f *os.File) (*backup.Reader, error) {
	size, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return nil, err
	}
	return backup.Read(ctx, f, size)
}

// authorityApart says where a folder has a certificate authority, which no backup carries since its key
// is no job's: without it each phone has to be told anew to trust the server. Empty where there is none.
func authorityApart(data string) string {
	kept := authority.Kept(data)
	if _, err := os.Stat(kept); data == "" || err != nil {
		return ""
	}
	return fmt.Sprintf("the firm's own authority is not in it: copy %s too, with its modes, or each phone has to be told "+
		"anew to trust the server\n", filepath.Dir(kept))
}

// countsOf says what a backup has.
func countsOf(m *backup.Manifest) string {
	return fmt.Sprintf("%s, %s, %s of files", count(m.Rows("job"), "job"), count(m.Rows("state"), "state"), count(len(m.Files), "content"))
}

func restoreCommand() *cobra.Command {
	var to keeping
	var keepPasses bool
	cmd := &cobra.Command{
		Use:   "restore FILE --data DIR",
		Short: "Fill an empty folder or database from a backup",
		Long: `Fills an empty folder or database from a file that 'backup' wrote, from whichever kind of database. The file is read
and found whole first; what is there afterwards is held against it. Where something is kept already it is refused, and where it
fails nothing is left behind.

Sessions, tokens, invitations and links of customers are ended, so that none that was ended since the backup lives again: everyone signs in
anew, and customers are sent new links. --keep-passes leaves them. Accounts are as they were at the time of the backup: end again
those that were ended since.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			f, err := os.Open(args[0])
			if err != nil {
				return opening("backup", args[0], err)
			}
			defer f.Close()
			m, err := restore(cmd.Context(), f, &to)
			if err != nil {
				return fmt.Errorf("%s: %w", filepath.Base(args[0]), err)
			}
			fmt.Fprintf(cmd.OutOrStdout(), "restored, and equal to the backup: %s\n", countsOf(m))
			if keepPasses {
				return nil
			}
			return withJobs(cmd.Context(), &to, false, func(db *tables.DB) error {
				n, err := db.EndAllPasses(cmd.Context(), time.Now())
				if err == nil && n > 0 {
					fmt.Fprintf(cmd.OutOrStdout(), "%s ended: sign in anew\n", count(n, "session, token or link"))
				}
				return err
			})
		},
	}
	addKeeping(cmd, &to)
	cmd.Flags().BoolVar(&keepPasses, "keep-passes", false, "leave sessions, tokens and links as they were")
	return cmd
}

// restore fills an empty place from a backup and brings it up to this release. Where that fails nothing is left of it.
func restore(ctx context.Context, f *os.File, to *keeping) (*backup.Manifest, error) {
	if err := to.named(); err != nil {
		return nil, err
	}
	r, err := readBackup(ctx, f)
	if err != nil {
		return nil, err
	}
	address, err := to.address()
	if err != nil {
		return nil, err
	}
	if address != "" {
		err = restoreDatabase(ctx, r, to, address)
	} else {
		err = restoreFolder(ctx, r, to)
	}
	return &r.Manifest, err
}

// restoreInto fills a place and brings it up.
func restoreInto(ctx context.Context, r *backup.Reader, to *keeping) error {
	db, err := to.openAt(ctx, r.Version)
	if err != nil {
		return err
	}
	if err := errors.Join(r.Restore(ctx, db), db.Close()); err != nil {
		return err
	}
	now, err := to.open(ctx)
	if err != nil {
		return err
	}
	return now.Close()
}

// restoreDatabase takes out what it has made where it fails.
func restoreDatabase(ctx context.Context, r *backup.Reader, to *keeping, address string) error {
	empty, err := postgres.Empty(ctx, address)
	if err != nil {
		return fmt.Errorf("--database: %w", err)
	}
	if err = restoreInto(ctx, r, to); err == nil || !empty {
		return err
	}
	// What is taken out must be so though the context has ended.
	return errors.Join(err, postgres.TakeAway(context.WithoutCancel(ctx), address))
}

// restoring is the folder, in the one that is filled, in which that is made ready.
const restoring = ".restoring"

// restoreFolder makes the folder ready beside and gives it its names when it is whole: the database last, since it makes the folder one of
// jobs.
func restoreFolder(ctx context.Context, r *backup.Reader, to *keeping) error {
	dir := to.folder()
	if there, err := sqlite.Kept(dir); err != nil || there {
		if err != nil {
			return err
		}
		return restoreInto(ctx, r, to) // where it is empty; it refuses any other
	}
	_, err := os.Stat(dir)
	made := os.IsNotExist(err)
	ready := *to
	ready.data = filepath.Join(dir, restoring)
	err = errors.Join(os.RemoveAll(ready.data), os.MkdirAll(ready.data, 0o700))
	if err == nil {
		if err = restoreInto(ctx, r, &ready); err == nil {
			err = moveUp(ready.data, dir)
		}
	}
	err = errors.Join(err, os.RemoveAll(ready.data))
	if err != nil && made {
		err = errors.Join(err, os.RemoveAll(dir))
	}
	return err
}

// moveUp moves what is in a folder into the one around it, the database last.
func moveUp(from, to string) error {
	all, err := os.ReadDir(from)
	if err != nil {
		return err
	}
	slices.SortStableFunc(all, func(a, b os.DirEntry) int { return boolOrder(a.Name() == sqlite.Name, b.Name() == sqlite.Name) })
	for _, x := range all {
		if err := os.Rename(filepath.Join(from, x.Name()), filepath.Join(to, x.Name())); err != nil {
			return err
		}
	}
	return nil
}

// boolOrder puts what is not before what is.
func boolOrder(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

func moveCommand() *cobra.Command {
	var from, to, fromFiles, toFiles string
	cmd := &cobra.Command{
		Use:   "move --from DIR --to postgres://user@host/name",
		Short: "Move all that is kept from a folder to a database, or back",
		Long: `Moves all that is kept from one place to another, each a folder or a PostgreSQL database: a backup of the one, restored
into the other, which must be empty, and held against it. A password comes from the environment (PGPASSWORD) or a password file
(PGPASSFILE). The place that it is moved from stays as it is; nobody should change it meanwhile, nor use it afterwards.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			source, target := placeNamed(from, fromFiles), placeNamed(to, toFiles)
			if from == "" || to == "" {
				return coded{exitUsage, errors.New("--from and --to name the places: give both")}
			}
			m, err := move(cmd.Context(), source, target)
			if err != nil {
				return err
			}
			_, err = fmt.Fprintf(cmd.OutOrStdout(), "moved, and equal: %s\n%s stays as it is: use it no more\n%s", countsOf(m), from,
				authorityApart(source.data))
			return err
		},
	}
	cmd.Flags().StringVar(&from, "from", "", "folder or database to move from")
	cmd.Flags().StringVar(&to, "to", "", "empty folder or database to move to")
	cmd.Flags().StringVar(&fromFiles, "from-files", "", "where its files and photos lie (--files), where they are not beside")
	cmd.Flags().StringVar(&toFiles, "to-files", "", "where files and photos are to lie, where not beside")
	return cmd
}

// placeNamed is the place that one name means.
func placeNamed(name, files string) *keeping {
	if strings.Contains(name, "://") {
		return &keeping{database: name, files: files}
	}
	return &keeping{data: name, files: files}
}

// move moves by way of a backup, which is taken away afterwards.
func move(ctx context.Context, from, to *keeping) (m *backup.Manifest, err error) {
	f, err := os.CreateTemp("", "gelwright-move-*")
	if err != nil {
		return nil, err
	}
	defer os.Remove(f.Name())
	defer f.Close()
	err = withJobs(ctx, from, false, func(db *tables.DB) error {
		_, err := backup.Write(ctx, db, f)
		return err
	})
	if err != nil {
		return nil, err
	}
	return restore(ctx, f, to)
}
