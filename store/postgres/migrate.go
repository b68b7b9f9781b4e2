package postgres

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"
	"path"

	"gelwright/store"
	"gelwright/store/tables"
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
		out = append(out, step{path.Base(name), string(text)})
	}
	return out
}

// prepare takes a database to the newest version and clears what an interrupted run left.
func prepare(ctx context.Context, db *sql.DB, place string, files tables.Files, steps []step) error {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	// Until the end of this transaction nobody else brings it up.
	if _, err := tx.ExecContext(ctx, "SELECT pg_advisory_xact_lock($1)", int64(ours)); err != nil {
		return err
	}
	now, err := version(ctx, tx, place, len(steps))
	if err != nil {
		return err
	}
	for n := now; n < len(steps); n++ {
		if _, err := tx.ExecContext(ctx, steps[n].text); err != nil {
			return fmt.Errorf("bringing the database up (%s): %w", steps[n].name, err)
		}
		if _, err := tx.ExecContext(ctx, "INSERT INTO gelwright_version (number, name) VALUES ($1, $2)", n+1, steps[n].name); err != nil {
			return err
		}
	}
	if err := sweep(ctx, tx, files); err != nil {
		return err
	}
	return tx.Commit()
}

// version reads the database's version, 0 of an empty one, in which it makes the table of versions; it refuses what is not ours or
// newer than newest.
func version(ctx context.Context, tx *sql.Tx, place string, newest int) (int, error) {
	var encoding string
	var versions, others int
	if err := tx.QueryRowContext(ctx, `SELECT current_setting('server_encoding'),
		count(*) FILTER (WHERE relname = 'gelwright_version'), count(*) FILTER (WHERE relname <> 'gelwright_version')
		FROM pg_class WHERE relnamespace = current_schema()::regnamespace`).Scan(&encoding, &versions, &others); err != nil {
		return 0, err
	}
	switch {
	case versions == 0 && others > 0:
		return 0, &store.Error{Kind: store.Damaged, Place: place, Found: "it is a database of another program",
			Remedy: "Give another database; nothing of it was changed"}
	case encoding != "UTF8":
		return 0, &store.Error{Kind: store.Refused, Place: place, Found: "its letters are kept as " + encoding + ", not as UTF8",
			Remedy: "Make another: createdb --template=template0 --encoding=UTF8 NAME"}
	case versions == 0:
		_, err := tx.ExecContext(ctx, "CREATE TABLE gelwright_version (number BIGINT PRIMARY KEY, name TEXT NOT NULL)")
		return 0, err
	}
	var now int
	if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM gelwright_version").Scan(&now); err != nil {
		return 0, err
	}
	if now > newest {
		return 0, &store.Error{Kind: store.Newer, Place: place,
			Found:  fmt.Sprintf("it was written by a newer gelwright (version %d; this program knows %d)", now, newest),
			Remedy: "Open it with that release or a newer one; nothing of it was changed"}
	}
	return now, nil
}

// sweep takes away what a killed run had begun to write of files, where nobody writes any now.
func sweep(ctx context.Context, tx *sql.Tx, files tables.Files) error {
	sweeper, can := files.(interface{ Sweep() error })
	if !can {
		return nil
	}
	alone := false
	if err := tx.QueryRowContext(ctx, "SELECT pg_try_advisory_xact_lock($1)", int64(sweeping)).Scan(&alone); err != nil || !alone {
		return err
	}
	return sweeper.Sweep()
}
