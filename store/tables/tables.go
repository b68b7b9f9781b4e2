package tables

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"gelwright/store"
)

// Files keeps bytes under their SHA-256, 64 digits 0-9 a-f. Its methods may be called from many goroutines and processes.
type Files interface {
	// Put keeps bytes, whole or not at all, through to the disk; made is false where they lay there, whole, already.
	Put(ctx context.Context, hash string, raw []byte) (made bool, err error)
	// Get gives the bytes of a hash, held against it; what is missing or changed is Damaged.
	Get(ctx context.Context, hash string) ([]byte, error)
	// Drop takes away what Put made for a change that will not stand.
	Drop(ctx context.Context, hash string) error
}

// Dialect is what the databases have not in common.
type Dialect struct {
	// Place names the database to a person: a file, or an address without its password.
	Place string
	// Numbered asks for $1, $2 … in the place of each ?.
	Numbered bool
	// LockRow ends a SELECT of the row that a change holds until its end; empty where a change holds the whole database.
	LockRow string
	// LockFile has one change at a time put or drop the bytes of a hash; nil where a change holds the whole database.
	LockFile func(ctx context.Context, tx *Tx, hash string) error
	// Looking is how a look begins that must see one moment.
	Looking sql.TxOptions
	// Version asks for the number of the newest migration that was made, TableNames for the names of all tables.
	Version, TableNames string
	// Filled sets, after rows were put in with numbers that they brought, where the database goes on numbering; nil where it sees to that.
	Filled func(ctx context.Context, tx *Tx) error
	// Fault makes a *store.Error of what the database or the disk said; what is one already, and the end of a context, stay.
	Fault func(error) error
	// Beside opens one more connection for a library that keeps rows of its own in the database; what it is told is done may be lost
	// with the power, not with the process. Nil where Address is how others reach the database.
	Beside  func() (*sql.DB, error)
	Address string
	// Again reports whether a change failed by what another did meanwhile alone, and is to be tried again.
	Again func(error) bool
}

// DB is a database of jobs that is open.
type DB struct {
	write, read *sql.DB
	dialect     Dialect
	files       Files
}

var _ store.Store = (*DB)(nil)

// New gives the tables of a database, which has them already; changes go over write, looks over read, which may be the same.
func New(write, read *sql.DB, dialect Dialect, files Files) *DB {
	return &DB{write: write, read: read, dialect: dialect, files: files}
}

// Close ends the use of the database.
func (d *DB) Close() error {
	err := d.read.Close()
	if d.write != d.read {
		err = errors.Join(err, d.write.Close())
	}
	return d.dialect.Fault(err)
}

// Tx is a change, or a look at one moment. Its SQL has ? for what is given.
type Tx struct {
	tx      *sql.Tx
	dialect *Dialect
	changes bool
}

// ExecContext changes rows.
func (t *Tx) ExecContext(ctx context.Context, ask string, args ...any) (sql.Result, error) {
	return t.tx.ExecContext(ctx, t.dialect.bound(ask), args...)
}

// QueryContext asks for rows.
func (t *Tx) QueryContext(ctx context.Context, ask string, args ...any) (*sql.Rows, error) {
	return t.tx.QueryContext(ctx, t.dialect.bound(ask), args...)
}

// QueryRowContext asks for one row.
func (t *Tx) QueryRowContext(ctx context.Context, ask string, args ...any) *sql.Row {
	return t.tx.QueryRowContext(ctx, t.dialect.bound(ask), args...)
}

// lockRow ends a SELECT of a row that a change builds upon: nobody else changes it until the end of this one.
func (t *Tx) lockRow() string {
	if !t.changes {
		return ""
	}
	return t.dialect.LockRow
}

// bound writes a question as the database wants it: each ? outside quotes is a number where it wants numbers.
func (d *Dialect) bound(ask string) string {
	if !d.Numbered {
		return ask
	}
	var b strings.Builder
	quoted, n := false, 0
	for _, c := range []byte(ask) {
		if c == '\'' {
			quoted = !quoted
		}
		if c != '?' || quoted {
			b.WriteByte(c)
			continue
		}
		n++
		b.WriteString("$" + strconv.Itoa(n))
	}
	return b.String()
}

// mostTries is how often a change is begun that others come in the way of.
const mostTries = 20

// change runs f in a transaction and commits what it did. Where another change came in its way it is undone and f runs again:
// f begins anew each time, from what is kept and from what it was given.
func (d *DB) change(ctx context.Context, f func(tx *Tx) error) error {
	for try := 1; ; try++ {
		err := d.try(ctx, f)
		if err == nil || try == mostTries || d.dialect.Again == nil || !d.dialect.Again(err) || ctx.Err() != nil {
			return d.dialect.Fault(err)
		}
	}
}

func (d *DB) try(ctx context.Context, f func(tx *Tx) error) error {
	tx, err := d.write.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	if err := f(&Tx{tx: tx, dialect: &d.dialect, changes: true}); err != nil {
		return err
	}
	return tx.Commit()
}

// look runs f on the database as it is at one moment.
func (d *DB) look(ctx context.Context, f func(tx *Tx) error) error {
	tx, err := d.read.BeginTx(ctx, &d.dialect.Looking)
	if err != nil {
		return d.dialect.Fault(err)
	}
	defer tx.Rollback()
	return d.dialect.Fault(f(&Tx{tx: tx, dialect: &d.dialect}))
}

// unknown is an error of something that is not kept.
func unknown(place, format string, args ...any) error {
	return &store.Error{Kind: store.Unknown, Place: place, Found: fmt.Sprintf(format, args...)}
}

// clash is an error of an id or name that stands for something else.
func clash(place, remedy, format string, args ...any) error {
	return &store.Error{Kind: store.Clash, Place: place, Found: fmt.Sprintf(format, args...), Remedy: remedy}
}

// damaged is an error of something kept that is not as it was written.
func damaged(place, format string, args ...any) error {
	return &store.Error{Kind: store.Damaged, Place: place, Found: fmt.Sprintf(format, args...),
		Remedy: "Bring it back from a copy of the folder or from an exported job"}
}
