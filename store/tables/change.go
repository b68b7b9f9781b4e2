package tables

import (
	"context"
	"database/sql"
)

// Change runs f in a transaction of its own and commits what it did; with an error of f nothing of it is kept. Where another change
// came in its way f runs again, from the beginning.
func (d *DB) Change(ctx context.Context, f func(tx *Tx) error) error { return d.change(ctx, f) }

// Look runs f on the database as it is at one moment.
func (d *DB) Look(ctx context.Context, f func(tx *Tx) error) error { return d.look(ctx, f) }

// Beside opens one more connection for a library that keeps rows of its own in the database; nil where Address is the way.
func (d *DB) Beside() (*sql.DB, error) {
	if d.dialect.Beside == nil {
		return nil, nil
	}
	return d.dialect.Beside()
}

// Address is how others reach the database; empty of a folder. It may hold a password.
func (d *DB) Address() string { return d.dialect.Address }

// Under is the transaction underneath, for what is to be kept in it by another library.
func (t *Tx) Under() *sql.Tx { return t.tx }
