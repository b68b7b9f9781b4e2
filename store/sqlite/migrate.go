package sqlite

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"gelwright/store"
	"gelwright/store/folder"
)

//go:embed migrations/*.sql
var migrations embed.FS

// step brings a database from the version before to the version that is its place in the list, counted from 1.
type step struct{ name, text string }

// steps are the migrations in order.
func steps() []step {
	names, err := fs.Glob(migrations, "migrations/*.sql")
	if err != nil {
		panic(err) // the pattern is a constant
	}
	var out []step
	for _, name := range names { // in the order of their names
		text, err := migrations.ReadFile(name)
		if err != nil {
			panic(err) // it is part of the program
		}
		out = append(out, step{filepath.Base(name), string(text)})
	}
	return out
}

// ours marks a database as one of this program: the letters GELW.
const ours = 0x47454c57

// prepare takes a database to the newest version and clears what an interrupted run left.
func (d *DB) prepare(ctx context.Context, steps []step) error {
	if err := d.known(ctx, len(steps)); err != nil {
		return err
	}
	// Only now that the database is known as ours, or empty, may it be changed. The mode is kept in its file.
	var mode string
	if err := d.write.QueryRowContext(ctx, "PRAGMA journal_mode=WAL").Scan(&mode); err != nil {
		return err
	}
	if mode != "wal" {
		return fmt.Errorf("the database is in mode %s, where wal was asked for", mode)
	}
	tx, err := d.write.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	if err := d.bringUp(ctx, tx, steps); err != nil {
		return err
	}
	return tx.Commit()
}

// bringUp takes the steps that are not taken yet, under the write lock.
func (d *DB) bringUp(ctx context.Context, tx *sql.Tx, steps []step) error {
	var now int // another process may have brought it up meanwhile
	if err := tx.QueryRowContext(ctx, "PRAGMA user_version").Scan(&now); err != nil {
		return err
	}
	if now > 0 && now < len(steps) {
		if err := d.copyBefore(ctx, now+1); err != nil {
			return err
		}
	}
	for n := now; n < len(steps); n++ {
		if _, err := tx.ExecContext(ctx, steps[n].text); err != nil {
			return fmt.Errorf("bringing the database up (%s): %w", steps[n].name, err)
		}
	}
	if now < len(steps) {
		if _, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id=%d; PRAGMA user_version=%d", ours, len(steps))); err != nil {
			return err
		}
	}
	return d.sweep()
}

// known refuses a database that is not ours, or newer than newest.
func (d *DB) known(ctx context.Context, newest int) error {
	var id, version, tables int
	// One statement sees one state: another program may be making the database between two.
	const ask = "SELECT count(*), (SELECT application_id FROM pragma_application_id), (SELECT user_version FROM pragma_user_version) " +
		"FROM sqlite_schema"
	if err := d.write.QueryRowContext(ctx, ask).Scan(&tables, &id, &version); err != nil {
		return err
	}
	place := filepath.Join(d.dir, Name)
	switch {
	case id != ours && (id != 0 || version != 0 || tables != 0):
		return &store.Error{Kind: store.Damaged, Place: place, Found: "it is a database of another program",
			Remedy: "Give another folder; nothing of it was changed"}
	case version > newest:
		return &store.Error{Kind: store.Newer, Place: place,
			Found:  fmt.Sprintf("it was written by a newer gelwright (version %d; this program knows %d)", version, newest),
			Remedy: "Open it with that release or a newer one; nothing of it was changed"}
	}
	return nil
}

// copyBefore makes the copy that is the way back from step n, while the write lock is held: it has all that was ever answered
// as done.
func (d *DB) copyBefore(ctx context.Context, n int) error {
	to := filepath.Join(d.dir, fmt.Sprintf("gelwright-before-%d.db", n))
	temp := filepath.Join(d.dir, fmt.Sprintf("%scopy-%d.db", folder.Temp, n))
	if err := os.Remove(temp); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	from, err := pool(d.dir, "", 1)
	if err != nil {
		return err
	}
	_, err = from.ExecContext(ctx, "VACUUM INTO ?", temp)
	if err := errors.Join(err, from.Close()); err != nil {
		return fmt.Errorf("copying the database to %s: %w", filepath.Base(to), err)
	}
	f, err := os.OpenFile(temp, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return err
	}
	return errors.Join(os.Rename(temp, to), folder.Sync(d.dir))
}

// sweep takes away what a run that was killed had begun to write. It is called under the write lock, which every writer of files
// holds, so nobody is writing them now.
func (d *DB) sweep() error { return errors.Join(folder.Sweep(d.dir), d.files.Sweep()) }
