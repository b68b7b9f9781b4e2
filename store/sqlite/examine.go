package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"

	"gelwright/store"
	"gelwright/store/tables"
)

// Examine looks at the database of a folder as it is: whether it is ours, of a version that this program knows, and whole, and what
// refers to what is there. It brings nothing up and changes nothing. What is wrong is a *store.Error.
func Examine(ctx context.Context, dir string) (gist tables.Gist, err error) {
	abs, err := filepath.Abs(dir)
	if err != nil {
		return gist, kind(dir, err)
	}
	there, err := Kept(abs)
	if err != nil {
		return gist, err
	}
	if !there {
		return gist, &store.Error{Kind: store.Unknown, Place: filepath.Join(abs, Name), Found: "no jobs are kept there",
			Remedy: "Check the name of the folder"}
	}
	pool, err := pool(abs, "_query_only=1&mode=rw", 1)
	if err != nil {
		return gist, kind(abs, err)
	}
	db := &DB{dir: abs, write: pool}
	if err = db.whole(ctx); err == nil {
		var accounts string
		if accounts, err = first(ctx, pool, "SELECT name FROM sqlite_schema WHERE name = 'account'"); err == nil {
			gist, err = tables.GistOf(ctx, accounts != "", pool)
		}
	}
	return gist, kind(abs, errors.Join(err, pool.Close()))
}

// whole holds the database to its own laws.
func (d *DB) whole(ctx context.Context) error {
	if err := d.known(ctx, len(steps())); err != nil {
		return err
	}
	// Each answers with the first fault that is found; one is enough to know.
	for _, ask := range []string{"PRAGMA integrity_check(1)",
		`SELECT 'table ' || "table" || ' refers to what is not in ' || parent FROM pragma_foreign_key_check LIMIT 1`} {
		found, err := first(ctx, d.write, ask)
		if err != nil {
			return err
		}
		if found != "" && found != "ok" {
			return damaged(filepath.Join(d.dir, Name), "it is damaged: %s", found)
		}
	}
	return nil
}

// first is the first row of an answer of one column; empty for none.
func first(ctx context.Context, db *sql.DB, ask string) (string, error) {
	var found string
	err := db.QueryRowContext(ctx, ask).Scan(&found)
	if errors.Is(err, sql.ErrNoRows) {
		return "", nil
	}
	return found, err
}

func damaged(place, format string, args ...any) error {
	return &store.Error{Kind: store.Damaged, Place: place, Found: fmt.Sprintf(format, args...),
		Remedy: "Bring it back from a copy of the folder or from a backup, and look at the disk"}
}
