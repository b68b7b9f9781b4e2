package tables

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"gelwright/people"
)

const passColumns = "id, hash, kind, account, job, role, name, note, made_from, made_ms, used_ms, ends_ms, ended_ms"

// scanPass reads a row of passColumns.
func scanPass(scan func(...any) error) (people.Pass, error) {
	var p people.Pass
	var made, used, ends, ended int64
	err := scan(&p.ID, &p.Hash, &p.Kind, &p.Account, &p.Job, &p.Role, &p.Name, &p.Note, &p.From, &made, &used, &ends, &ended)
	p.Made, p.Used, p.Ends, p.Ended = at(made), at(used), at(ends), at(ended)
	return p, err
}

// ceremoniesKept is how long passkeys under way are kept beyond their time.
const ceremoniesKept = 24 * time.Hour

// AddPass keeps a pass; ceremonies that are long past are swept out.
func (d *DB) AddPass(ctx context.Context, p people.Pass, deed people.Deed) error {
	return d.change(ctx, func(tx *Tx) error {
		if p.Kind == people.Ceremony {
			long := ms(p.Made.Add(-ceremoniesKept))
			if _, err := tx.ExecContext(ctx, "DELETE FROM pass WHERE kind = ? AND ends_ms < ?", people.Ceremony, long); err != nil {
				return err
			}
		}
		_, err := tx.ExecContext(ctx, "INSERT INTO pass ("+passColumns+") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
			p.ID, p.Hash, p.Kind, p.Account, p.Job, p.Role, p.Name, p.Note, p.From, ms(p.Made), ms(p.Used), ms(p.Ends), ms(p.Ended))
		if err != nil {
			return err
		}
		return addDeed(ctx, tx, deed)
	})
}

// PassOf gives a pass by the hash of its secret with its account.
func (d *DB) PassOf(ctx context.Context, hash string) (p people.Pass, a people.Account, err error) {
	err = d.look(ctx, func(tx *Tx) (err error) {
		p, err = scanPass(tx.QueryRowContext(ctx, "SELECT "+passColumns+" FROM pass WHERE hash = ?", hash).Scan)
		if errors.Is(err, sql.ErrNoRows) {
			return people.Unknown("pass")
		}
		if err == nil && p.Account != "" {
			a, err = accountWhere(ctx, tx, "id", p.Account)
		}
		return err
	})
	return p, a, err
}

// UsePass says that a pass was used.
func (d *DB) UsePass(ctx context.Context, id string, when time.Time, first people.Deed) error {
	return d.change(ctx, func(tx *Tx) error {
		done, err := tx.ExecContext(ctx, "UPDATE pass SET used_ms = ? WHERE id = ? AND used_ms = 0", ms(when), id)
		if n, err := changed(done, err); err != nil {
			return err
		} else if n == 1 {
			return addDeed(ctx, tx, first)
		}
		_, err = tx.ExecContext(ctx, "UPDATE pass SET used_ms = ? WHERE id = ? AND used_ms < ?", ms(when), id, ms(when))
		return err
	})
}

// TakePass ends a pass and gives it.
func (d *DB) TakePass(ctx context.Context, hash string, when time.Time) (people.Pass, error) {
	var out people.Pass
	err := d.change(ctx, func(tx *Tx) error {
		done, err := tx.ExecContext(ctx, "UPDATE pass SET ended_ms = ? WHERE hash = ? AND ended_ms = 0", ms(when), hash)
		if n, err := changed(done, err); err != nil {
			return err
		} else if n == 0 {
			return people.Unknown("pass")
		}
		out, err = scanPass(tx.QueryRowContext(ctx, "SELECT "+passColumns+" FROM pass WHERE hash = ?", hash).Scan)
		return err
	})
	return given(out, err)
}

// endedKept is how long sessions are kept after they have ended or run out: so long it may be asked from where somebody was in.
const endedKept = 30 * 24 * time.Hour

// SweepPasses takes sessions and passkeys under way out that ended or ran out long before now.
func SweepPasses(ctx context.Context, tx *Tx, now time.Time) error {
	long := ms(now.Add(-endedKept))
	_, err := tx.ExecContext(ctx, "DELETE FROM pass WHERE kind IN (?, ?) AND (ends_ms < ? OR ended_ms > 0 AND ended_ms < ?)", people.Session,
		people.Ceremony, long, long)
	return err
}

// EndAllPasses ends every pass that has not: what was ended after a backup must not be alive where it is restored.
func (d *DB) EndAllPasses(ctx context.Context, when time.Time) (int, error) {
	var n int64
	err := d.change(ctx, func(tx *Tx) error {
		done, err := tx.ExecContext(ctx, "UPDATE pass SET ended_ms = ? WHERE ended_ms = 0", ms(when))
		n, err = changed(done, err)
		return err
	})
	return given(int(n), err)
}

// passesWhere is the condition that some passes fulfil and have not been ended.
func passesWhere(of people.Passes) (where string, args []any, err error) {
	where = " WHERE ended_ms = 0"
	for _, x := range []struct{ column, value string }{{"id", of.ID}, {"account", of.Account}, {"job", of.Job}, {"kind", string(of.Kind)}} {
		if x.value != "" {
			where += " AND " + x.column + " = ?"
			args = append(args, x.value)
		}
	}
	if len(args) == 0 {
		return "", nil, people.Unknown("pass")
	}
	if of.But != "" {
		where += " AND id <> ?"
		args = append(args, of.But)
	}
	return where, args, nil
}

// EndPasses ends passes.
func (d *DB) EndPasses(ctx context.Context, of people.Passes, when time.Time, deed people.Deed) (int, error) {
	where, args, err := passesWhere(of)
	if err != nil {
		return 0, err
	}
	var n int64
	err = d.change(ctx, func(tx *Tx) error {
		done, err := tx.ExecContext(ctx, "UPDATE pass SET ended_ms = ?"+where, append([]any{ms(when)}, args...)...)
		if n, err = changed(done, err); err != nil || n == 0 {
			return err
		}
		return addDeed(ctx, tx, deed)
	})
	return given(int(n), err)
}

// Passes lists passes that have not been ended.
func (d *DB) Passes(ctx context.Context, of people.Passes) ([]people.Pass, error) {
	where, args, err := passesWhere(of)
	if err != nil {
		return nil, err
	}
	out := []people.Pass{}
	err = d.look(ctx, func(tx *Tx) error {
		rows, err := tx.QueryContext(ctx, "SELECT "+passColumns+" FROM pass"+where+" ORDER BY made_ms DESC, id", args...)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			p, err := scanPass(rows.Scan)
			if err != nil {
				return err
			}
			out = append(out, p)
		}
		return rows.Err()
	})
	return given(out, err)
}
