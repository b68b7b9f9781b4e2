package tables

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"

	"gelwright/office"
	"gelwright/store"
)

var _ office.Keeper = (*DB)(nil)

// Put keeps a sheet in place of the version that it was made from.
func (d *DB) Put(ctx context.Context, change office.Change) (office.Record, error) {
	out, err := d.PutAll(ctx, []office.Change{change})
	if err != nil {
		return office.Record{}, err
	}
	return out[0], nil
}

// PutAll keeps several sheets as one change, or none of them.
func (d *DB) PutAll(ctx context.Context, changes []office.Change) ([]office.Record, error) {
	changes = slices.Clone(changes)
	for i := range changes {
		changes[i].Sheet = office.Filled(changes[i].Sheet)
		if err := changes[i].Check(); err != nil {
			return nil, err
		}
	}
	var out []office.Record
	err := d.change(ctx, func(tx *Tx) error {
		out = []office.Record{}
		var fresh []*office.Change
		for i := range changes {
			r, again, err := putSheet(ctx, tx, &changes[i])
			if err != nil {
				return err
			}
			if out = append(out, r); !again {
				fresh = append(fresh, &changes[i])
			}
		}
		// What stood in the way of one may have been moved by another: all are written first.
		for _, c := range fresh {
			if err := standsOnce(ctx, tx, c); err != nil {
				return err
			}
		}
		return nil
	})
	return given(out, err)
}

// putSheet writes a change, and says whether it was kept before.
func putSheet(ctx context.Context, tx *Tx, c *office.Change) (kept office.Record, again bool, err error) {
	kind, none := c.Sheet.Kind(), office.Record{}
	now, err := sheetIn(ctx, tx, kind, c.ID)
	if err != nil && (store.KindOf(err) != store.Unknown || kind == office.KindJob) {
		return none, false, err
	}
	if now.Version != c.BasedOn {
		if before, err := versionIn(ctx, tx, kind, c.ID, c.BasedOn+1); err == nil && c.Same(&before) {
			return before, true, nil
		}
		return none, false, overtaken(ctx, tx, c, now)
	}
	if err := pointsAt(ctx, tx, c); err != nil {
		return none, false, err
	}
	next := office.Record{Kind: kind, ID: c.ID, Version: c.BasedOn + 1, When: store.Kept(c.When), Who: c.Who, What: c.What, Sheet: c.Sheet}
	return next, false, addVersion(ctx, tx, &next)
}

// standsOnce refuses a crew that stands twice on one roof on one day.
func standsOnce(ctx context.Context, tx *Tx, c *office.Change) error {
	day, is := c.Sheet.(office.Day)
	if !is || day.Off || day.Crew == "" {
		return nil
	}
	n := 0
	if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM office_sheet WHERE kind = ? AND job = ? AND day = ? AND crew = ? AND away = 0",
		string(office.KindDay), string(day.Job), day.Date, string(day.Crew)).Scan(&n); err != nil || n < 2 {
		return err
	}
	crew, err := sheetIn(ctx, tx, office.KindCrew, day.Crew)
	if err != nil {
		return err
	}
	who, _ := crew.Sheet.(office.Crew)
	return clash("day "+string(c.ID), "Change the day that it has there (a whole day, say), or name another crew",
		"%s %s stands on this roof on %s already", who.Mark, who.Name, day.Date)
}

// overtaken is the answer to a change whose sheet has another version than the one that it was made from.
func overtaken(ctx context.Context, tx *Tx, c *office.Change, now office.Record) error {
	if now.Version < c.BasedOn {
		return unknown(fmt.Sprintf("%s %s", c.Sheet.Kind(), c.ID), "it has no version %d", c.BasedOn)
	}
	var was office.Sheet
	if c.BasedOn > 0 {
		before, err := versionIn(ctx, tx, c.Sheet.Kind(), c.ID, c.BasedOn)
		if err != nil {
			return err
		}
		was = before.Sheet
	} else if c.Sheet.Kind() == office.KindJob {
		was = office.Job{}
	}
	return &office.Overtaken{Now: now, Join: office.Join(was, c.Sheet, now.Sheet)}
}

// pointsAt refuses a sheet that names what is not there, and a crew with another's mark.
func pointsAt(ctx context.Context, tx *Tx, c *office.Change) error {
	k := c.Sheet.Keys()
	if k.Job != "" {
		if _, err := jobIn(ctx, tx, k.Job); err != nil {
			return err
		}
	}
	for kind, id := range map[office.Kind]store.ID{office.KindCustomer: k.Customer, office.KindSite: k.Site, office.KindCrew: k.Crew} {
		if id == "" {
			continue
		}
		if _, err := sheetIn(ctx, tx, kind, id); err != nil {
			return err
		}
	}
	crew, is := c.Sheet.(office.Crew)
	if !is || crew.Away {
		return nil
	}
	var other string
	err := tx.QueryRowContext(ctx, "SELECT name FROM office_sheet WHERE kind = ? AND mark = ? AND away = 0 AND id <> ?",
		string(office.KindCrew), office.Fold(crew.Mark), string(c.ID)).Scan(&other)
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	if err != nil {
		return err
	}
	return clash("mark", "Give this crew another mark", "%s has the mark %s", other, crew.Mark)
}

// addVersion writes a version of a sheet, in place of the one before, and its words.
func addVersion(ctx context.Context, tx *Tx, r *office.Record) error {
	raw := string(office.Written(r.Sheet))
	if _, err := tx.ExecContext(ctx, "INSERT INTO office_version (kind, id, version, when_ms, who, what, sheet) VALUES (?, ?, ?, ?, ?, ?, ?)",
		string(r.Kind), string(r.ID), r.Version, r.When.UnixMilli(), r.Who, r.What, raw); err != nil {
		return err
	}
	k, name, mark := r.Sheet.Keys(), "", ""
	switch s := r.Sheet.(type) {
	case office.Customer:
		name = s.Name
	case office.Site:
		name = s.Name
	case office.Crew:
		name, mark = s.Name, office.Fold(s.Mark)
	}
	away := 0
	if k.Away {
		away = 1
	}
	if _, err := tx.ExecContext(ctx, `INSERT INTO office_sheet (kind, id, version, sheet, job, customer, site, crew, day, stage,
		name, mark, away)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (kind, id) DO UPDATE SET version = excluded.version,
		sheet = excluded.sheet, job = excluded.job, customer = excluded.customer, site = excluded.site, crew = excluded.crew,
		day = excluded.day, stage = excluded.stage, name = excluded.name, mark = excluded.mark, away = excluded.away`,
		string(r.Kind), string(r.ID), r.Version, raw, string(k.Job), string(k.Customer), string(k.Site), string(k.Crew), k.Day,
		string(k.Stage), name, mark, away); err != nil {
		return err
	}
	return searchSheet(ctx, tx, r)
}

const versionColumns = "v.kind, v.id, v.version, v.when_ms, v.who, v.what, v.sheet"

// scanRecord reads a row of versionColumns.
func scanRecord(place string, scan func(...any) error) (office.Record, error) {
	var r office.Record
	var ms int64
	var raw []byte
	if err := scan(&r.Kind, &r.ID, &r.Version, &ms, &r.Who, &r.What, &raw); err != nil {
		return r, err
	}
	r.When = when(ms)
	var err error
	if r.Sheet, err = office.Read(r.Kind, raw); err != nil {
		return r, damaged(place, "the %s %s, version %d, is not as it was written (%v)", r.Kind, r.ID, r.Version, err)
	}
	return r, nil
}

// sheetIn reads a sheet in its newest version. A job without one has the zero Job in version 0.
func sheetIn(ctx context.Context, tx *Tx, kind office.Kind, id store.ID) (office.Record, error) {
	if err := id.Check(); err != nil {
		return office.Record{}, err
	}
	// The row is held first, then read: what a change waited for is what it goes on from.
	var version int
	err := tx.QueryRowContext(ctx, "SELECT version FROM office_sheet WHERE kind = ? AND id = ?"+tx.lockRow(), string(kind), string(id)).
		Scan(&version)
	if err == nil {
		return versionIn(ctx, tx, kind, id, version)
	}
	if !errors.Is(err, sql.ErrNoRows) {
		return office.Record{}, err
	}
	if kind != office.KindJob {
		return office.Record{}, unknown(string(kind)+" "+string(id), "there is no such sheet here")
	}
	j, err := jobIn(ctx, tx, id)
	return office.Record{Kind: kind, ID: id, When: j.Created, Sheet: office.Filled(office.Job{})}, err
}

// versionIn reads a version of a sheet.
func versionIn(ctx context.Context, tx *Tx, kind office.Kind, id store.ID, version int) (office.Record, error) {
	r, err := scanRecord(tx.dialect.Place, tx.QueryRowContext(ctx, "SELECT "+versionColumns+
		" FROM office_version v WHERE v.kind = ? AND v.id = ? AND v.version = ?", string(kind), string(id), version).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		return r, unknown(string(kind)+" "+string(id), "it has no version %d", version)
	}
	return r, err
}

// records reads all rows of versionColumns that a query gives.
func records(ctx context.Context, tx *Tx, query string, args ...any) ([]office.Record, error) {
	rows, err := tx.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []office.Record{}
	for rows.Next() {
		r, err := scanRecord(tx.dialect.Place, rows.Scan)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, rows.Err()
}

// Sheet gives a sheet in its newest version.
func (d *DB) Sheet(ctx context.Context, kind office.Kind, id store.ID) (office.Record, error) {
	var out office.Record
	if err := (&office.Ask{Kind: kind}).Check(); err != nil {
		return out, err
	}
	err := d.look(ctx, func(tx *Tx) (err error) {
		out, err = sheetIn(ctx, tx, kind, id)
		return err
	})
	return given(out, err)
}

// Sheets gives those of a kind in their newest versions.
func (d *DB) Sheets(ctx context.Context, ask office.Ask) ([]office.Record, error) {
	if err := ask.Check(); err != nil {
		return nil, err
	}
	query := "SELECT " + versionColumns + ` FROM office_sheet s JOIN office_version v
		ON v.kind = s.kind AND v.id = s.id AND v.version = s.version WHERE s.kind = ?`
	args := []any{string(ask.Kind)}
	for _, c := range []struct{ sql, value string }{{"s.job = ?", string(ask.Job)}, {"s.crew = ?", string(ask.Crew)}, {"s.day >= ?", ask.From},
		{"s.day <= ?", ask.To}} {
		if c.value != "" {
			query += " AND " + c.sql
			args = append(args, c.value)
		}
	}
	if !ask.Away {
		query += " AND s.away = 0"
	}
	var out []office.Record
	err := d.look(ctx, func(tx *Tx) (err error) {
		out, err = records(ctx, tx, query+" ORDER BY s.day, s.id", args...)
		return err
	})
	return given(out, err)
}

// Versions gives the versions of a sheet, newest first.
func (d *DB) Versions(ctx context.Context, kind office.Kind, id store.ID, limit int) ([]office.Record, error) {
	if err := (&office.Ask{Kind: kind}).Check(); err != nil {
		return nil, err
	}
	if limit == 0 {
		limit = store.UsualPage
	}
	if limit < 0 || limit > store.MostHistory {
		return nil, &store.Error{Kind: store.Refused, Place: "versions",
			Found: fmt.Sprintf("%d versions: 1 to %d may be asked for", limit, store.MostHistory)}
	}
	var out []office.Record
	err := d.look(ctx, func(tx *Tx) error {
		if _, err := sheetIn(ctx, tx, kind, id); err != nil {
			return err
		}
		var err error
		out, err = records(ctx, tx, "SELECT "+versionColumns+` FROM office_version v WHERE v.kind = ? AND v.id = ?
			ORDER BY v.version DESC LIMIT ?`, string(kind), string(id), limit)
		return err
	})
	return given(out, err)
}
