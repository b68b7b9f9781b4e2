package postgres

import (
	"context"
	"strings"
)

// ourTables are all tables of the schema that new ones are made in.
const ourTables = "SELECT relname FROM pg_class WHERE relkind IN ('r', 'p') AND relnamespace = current_schema()::regnamespace " +
	"ORDER BY relname"

// Empty reports whether the database at an address holds no table.
func Empty(ctx context.Context, address string) (bool, error) {
	db, place, err := connect(address)
	if err != nil {
		return false, err
	}
	defer db.Close()
	var some bool
	err = db.QueryRowContext(ctx, "SELECT EXISTS ("+ourTables+")").Scan(&some)
	return !some, fault(place, err)
}

// TakeAway takes out of a database all that Open made there, whole or not at all. It is for one that was Empty before.
func TakeAway(ctx context.Context, address string) error {
	db, place, err := connect(address)
	if err != nil {
		return err
	}
	defer db.Close()
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return fault(place, err)
	}
	defer tx.Rollback()
	rows, err := tx.QueryContext(ctx, ourTables)
	if err != nil {
		return fault(place, err)
	}
	var names []string
	for rows.Next() {
		var name string
		if err := rows.Scan(&name); err != nil {
			rows.Close()
			return fault(place, err)
		}
		names = append(names, `"`+strings.ReplaceAll(name, `"`, `""`)+`"`)
	}
	if err := rows.Close(); err != nil {
		return fault(place, err)
	}
	if len(names) > 0 {
		if _, err := tx.ExecContext(ctx, "DROP TABLE "+strings.Join(names, ", ")+" CASCADE"); err != nil {
			return fault(place, err)
		}
	}
	for _, function := range []string{"kept_as_it_was()", "instr(text, text)"} {
		if _, err := tx.ExecContext(ctx, "DROP FUNCTION IF EXISTS "+function+" CASCADE"); err != nil {
			return fault(place, err)
		}
	}
	return fault(place, tx.Commit())
}
