package tables

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"strings"

	"gelwright/store"
)

// Carried is a table that goes with a backup, all its columns and rows.
type Carried struct {
	Name string
	// Key orders its rows: the columns of its primary key.
	Key string
	// Hash is the column that names bytes of files; empty where none does.
	Hash string
}

// carried are the tables that go with a backup, each behind those that its rows point at. A migration puts no rows into them.
var carried = []Carried{
	{Name: "text", Key: "id"},
	{Name: "job", Key: "id"},
	{Name: "state", Key: "job, seq"},
	{Name: "file", Key: "job, name", Hash: "hash"},
	{Name: "office_sheet", Key: "kind, id"},
	{Name: "office_version", Key: "kind, id, version"},
	{Name: "office_text", Key: "id"},
	{Name: "office_word", Key: "word, text"},
	{Name: "office_searched", Key: "job"},
	{Name: "account", Key: "id"},
	{Name: "pass", Key: "id"},
	{Name: "passkey", Key: "id"},
	{Name: "shown", Key: "job, name"},
	{Name: "deed", Key: "seq"},
	{Name: "weather_answer", Key: "address"},
	{Name: "weather_forecast", Key: "place, hash"},
	{Name: "weather_reading", Key: "place, hash"},
	{Name: "weather_place", Key: "job"},
	{Name: "chance", Key: "job"},
	{Name: "reminder", Key: "job, kind, day"},
}

// leftOut are the tables that stay behind, and why; a name that ends with * stands for all that begin so.
var leftOut = map[string]string{
	"gelwright_version": "each database has its own",
	"sqlite_*":          "SQLite's own",
	"tries":             "of the last quarter of an hour",
	"work":              "what waits is ordered anew; what was made is kept with the jobs",
	"worker":            "who works at the moment",
	"daily":             "what was done of a day here; elsewhere it is done anew",
	"kept_*":            "work of roofs as stages, made again from state and firm file",
	"river_*":           "the queue's own, of what waits at the moment",
}

// Kinds of columns, the same whatever the database calls them.
const (
	Integer = "integer"
	Real    = "real"
	Text    = "text"
	Bytes   = "bytes"
)

// kinds are the kinds of what databases call a column's type.
var kinds = map[string]string{"INTEGER": Integer, "BIGINT": Integer, "INT8": Integer, "INT4": Integer, "REAL": Real, "FLOAT8": Real,
	"DOUBLE PRECISION": Real, "TEXT": Text, "BLOB": Bytes, "BYTEA": Bytes}

// Column is a column of a table.
type Column struct {
	Name string `json:"name"`
	Kind string `json:"kind"`
}

// Snapshot is all that is kept, as it was at one moment.
type Snapshot struct {
	tx    *Tx
	files Files
	// Version is the number of the newest migration that was made, Tables those of its tables that are carried.
	Version int
	Tables  []Carried
}

// Snapshot gives f all that is kept as it is at one moment, while others may go on.
func (d *DB) Snapshot(ctx context.Context, f func(s *Snapshot) error) error {
	return d.look(ctx, func(tx *Tx) error {
		s := &Snapshot{tx: tx, files: d.files}
		var err error
		if s.Version, s.Tables, err = tx.carries(ctx); err != nil {
			return err
		}
		return f(s)
	})
}

// carries are the database's version and those of its tables that are carried, in order.
func (t *Tx) carries(ctx context.Context) (version int, out []Carried, err error) {
	if err := t.QueryRowContext(ctx, t.dialect.Version).Scan(&version); err != nil {
		return 0, nil, err
	}
	names, err := t.texts(ctx, t.dialect.TableNames)
	if err != nil {
		return 0, nil, err
	}
	there := map[string]bool{}
	for _, name := range names {
		there[name] = true
	}
	for _, c := range carried {
		if there[c.Name] {
			out = append(out, c)
		}
		delete(there, c.Name)
	}
	for name := range there {
		if !staysBehind(name) {
			// A backup that leaves something behind without a word is none.
			return 0, nil, fmt.Errorf("table %s is not known to backups: add it to those that are carried or left out", name)
		}
	}
	return version, out, nil
}

// texts are the answers to a question for one column of text.
func (t *Tx) texts(ctx context.Context, ask string) ([]string, error) {
	rows, err := t.QueryContext(ctx, ask)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []string
	for rows.Next() {
		var text string
		if err := rows.Scan(&text); err != nil {
			return nil, err
		}
		out = append(out, text)
	}
	return out, rows.Err()
}

// staysBehind reports whether a table is left out on purpose.
func staysBehind(name string) bool {
	for left := range leftOut {
		if begin, all := strings.CutSuffix(left, "*"); name == left || all && strings.HasPrefix(name, begin) {
			return true
		}
	}
	return false
}

// Columns are the columns of a table.
func (s *Snapshot) Columns(ctx context.Context, table Carried) ([]Column, error) {
	return s.tx.columns(ctx, table.Name)
}

func (t *Tx) columns(ctx context.Context, table string) ([]Column, error) {
	rows, err := t.QueryContext(ctx, "SELECT * FROM "+table+" LIMIT 0")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	types, err := rows.ColumnTypes()
	if err != nil {
		return nil, err
	}
	var out []Column
	for _, c := range types {
		kind, known := kinds[c.DatabaseTypeName()]
		if !known {
			return nil, fmt.Errorf("column %s of table %s is %s, which a backup does not carry", c.Name(), table, c.DatabaseTypeName())
		}
		out = append(out, Column{c.Name(), kind})
	}
	return out, rows.Err()
}

// Rows gives each row of a table in the order of its key: nil, int64, float64, string or []byte in the order of columns.
func (s *Snapshot) Rows(ctx context.Context, table Carried, columns []Column, each func(row []any) error) error {
	// A driver may give no bytes for bytes of no length: whether they are there is asked apart.
	asked, missing := namesOf(columns), []any{}
	for _, c := range columns {
		if c.Kind == Bytes {
			asked, missing = asked+", "+c.Name+" IS NULL", append(missing, new(bool))
		}
	}
	rows, err := s.tx.QueryContext(ctx, "SELECT "+asked+" FROM "+table.Name+" ORDER BY "+table.Key)
	if err != nil {
		return err
	}
	defer rows.Close()
	cells := make([]any, len(columns))
	for i, c := range columns {
		switch c.Kind {
		case Integer:
			cells[i] = new(sql.NullInt64)
		case Real:
			cells[i] = new(sql.NullFloat64)
		case Text:
			cells[i] = new(sql.NullString)
		case Bytes:
			cells[i] = new([]byte)
		}
	}
	for rows.Next() {
		if err := rows.Scan(append(cells[:len(cells):len(cells)], missing...)...); err != nil {
			return err
		}
		if err := each(values(cells, missing)); err != nil {
			return err
		}
	}
	return rows.Err()
}

// values are the values of scanned cells; missing says of those that hold bytes, in their order, whether there are none.
func values(cells, missing []any) []any {
	out := make([]any, len(cells))
	for i, c := range cells {
		switch c := c.(type) {
		case *sql.NullInt64:
			if c.Valid {
				out[i] = c.Int64
			}
		case *sql.NullFloat64:
			if c.Valid {
				out[i] = c.Float64
			}
		case *sql.NullString:
			if c.Valid {
				out[i] = c.String
			}
		case *[]byte:
			if gone := missing[0].(*bool); !*gone {
				out[i] = append([]byte{}, *c...)
			}
			missing = missing[1:]
		}
	}
	return out
}

func namesOf(columns []Column) string {
	var out []string
	for _, c := range columns {
		out = append(out, `"`+c.Name+`"`)
	}
	return strings.Join(out, ", ")
}

// Hashes are the hashes of all bytes that rows name, in order, each once.
func (s *Snapshot) Hashes(ctx context.Context) ([]string, error) {
	var out []string
	for _, c := range s.Tables {
		if c.Hash == "" {
			continue
		}
		some, err := s.tx.texts(ctx, "SELECT DISTINCT "+c.Hash+" FROM "+c.Name+" WHERE "+c.Hash+" IS NOT NULL")
		if err != nil {
			return nil, err
		}
		out = append(out, some...)
	}
	slices.Sort(out)
	return slices.Compact(out), nil
}

// File gives the bytes of a hash.
func (s *Snapshot) File(ctx context.Context, hash string) ([]byte, error) {
	return s.files.Get(ctx, hash)
}

// KeepFile keeps bytes that rows are going to name. Whoever fills an empty database is alone with it.
func (d *DB) KeepFile(ctx context.Context, hash string, raw []byte) error {
	_, err := d.files.Put(ctx, hash, raw)
	return d.dialect.Fault(err)
}

// Filling is an empty database that is filled with the rows of another.
type Filling struct{ tx *Tx }

// Fill gives f the database to put rows into, all of them or none; one that has rows already is refused.
func (d *DB) Fill(ctx context.Context, f func(in *Filling) error) error {
	return d.change(ctx, func(tx *Tx) error {
		_, tables, err := tx.carries(ctx)
		if err != nil {
			return err
		}
		for _, c := range tables {
			var some bool
			if err := tx.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM "+c.Name+")").Scan(&some); err != nil {
				return err
			}
			if some {
				return &store.Error{Kind: store.Clash, Place: d.dialect.Place, Found: "something is kept there already",
					Remedy: "Give an empty folder or database; nothing of this one was changed"}
			}
		}
		if err := f(&Filling{tx}); err != nil || d.dialect.Filled == nil {
			return err
		}
		return d.dialect.Filled(ctx, tx)
	})
}

// Rows puts rows into a table until next gives none. The columns must be those that the table has.
func (f *Filling) Rows(ctx context.Context, table string, columns []Column, next func() ([]any, error)) error {
	if !slices.ContainsFunc(carried, func(c Carried) bool { return c.Name == table }) {
		return fmt.Errorf("there is no table %q to fill", table)
	}
	has, err := f.tx.columns(ctx, table)
	if err != nil {
		return err
	}
	if !slices.Equal(has, columns) {
		return fmt.Errorf("table %s has the columns %v, not %v", table, has, columns)
	}
	put, err := f.tx.tx.PrepareContext(ctx, f.tx.dialect.bound("INSERT INTO "+table+" ("+namesOf(columns)+") VALUES (?"+
		strings.Repeat(", ?", len(columns)-1)+")"))
	if err != nil {
		return err
	}
	defer put.Close()
	for {
		row, err := next()
		if err != nil || row == nil {
			return err
		}
		if _, err := put.ExecContext(ctx, row...); err != nil {
			return err
		}
	}
}
