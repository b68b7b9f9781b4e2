package tables

import (
	"context"
	"time"

	"gelwright/people"
	"gelwright/store"
)

// addDeed keeps a deed with a change; one without a kind is none.
func addDeed(ctx context.Context, tx *Tx, d people.Deed) error {
	if d.Kind == "" {
		return nil
	}
	_, err := tx.ExecContext(ctx, `INSERT INTO deed (when_ms, kind, by_account, by_name, about, job, done_from, device)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?)`, ms(d.When), d.Kind, d.By, d.ByName, d.About, d.Job, d.From, d.Device)
	return err
}

// AddDeed keeps a deed.
func (d *DB) AddDeed(ctx context.Context, deed people.Deed, unless time.Duration) error {
	if unless > 0 {
		n := 0
		err := d.look(ctx, func(tx *Tx) error {
			return tx.QueryRowContext(ctx, `SELECT count(*) FROM deed WHERE job = ? AND when_ms > ? AND kind = ? AND by_account = ? AND by_name = ?
				AND done_from = ?`, deed.Job, ms(deed.When.Add(-unless)), deed.Kind, deed.By, deed.ByName, deed.From).Scan(&n)
		})
		if err != nil || n > 0 {
			return err
		}
	}
	return d.change(ctx, func(tx *Tx) error { return addDeed(ctx, tx, deed) })
}

// Deeds gives deeds, the newest first.
func (d *DB) Deeds(ctx context.Context, before int64, limit int) ([]people.Deed, error) {
	if limit < 1 || limit > people.MostDeeds || before < 0 {
		return nil, &store.Error{Kind: store.Refused, Place: "deeds", Found: "the number asked for is out of range", Remedy: "Ask for 1 to 1000"}
	}
	out := []people.Deed{}
	err := d.look(ctx, func(tx *Tx) error {
		rows, err := tx.QueryContext(ctx, `SELECT seq, when_ms, kind, by_account, by_name, about, job, done_from, device FROM deed
			WHERE ? = 0 OR seq < ? ORDER BY seq DESC LIMIT ?`, before, before, limit)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var x people.Deed
			var done int64
			if err := rows.Scan(&x.Seq, &done, &x.Kind, &x.By, &x.ByName, &x.About, &x.Job, &x.From, &x.Device); err != nil {
				return err
			}
			x.When = when(done)
			out = append(out, x)
		}
		return rows.Err()
	})
	return given(out, err)
}

// Try counts a try under a key.
func (d *DB) Try(ctx context.Context, key string, when time.Time, within time.Duration) (n int, began time.Time, err error) {
	var first int64
	err = d.change(ctx, func(tx *Tx) error {
		old := ms(when.Add(-within))
		// One statement, so that of two at once none is lost.
		if err := tx.QueryRowContext(ctx, `INSERT INTO tries (key, began_ms, count) VALUES (?, ?, 1)
			ON CONFLICT (key) DO UPDATE SET count = CASE WHEN tries.began_ms <= ? THEN 1 ELSE tries.count + 1 END,
			began_ms = CASE WHEN tries.began_ms <= ? THEN excluded.began_ms ELSE tries.began_ms END
			RETURNING count, began_ms`, key, ms(when), old, old).Scan(&n, &first); err != nil {
			return err
		}
		if n > 1 {
			return nil
		}
		_, err := tx.ExecContext(ctx, "DELETE FROM tries WHERE began_ms < ?", old)
		return err
	})
	return n, at(first), err
}

// Forget forgets the tries of a key.
func (d *DB) Forget(ctx context.Context, key string) error {
	return d.change(ctx, func(tx *Tx) error {
		_, err := tx.ExecContext(ctx, "DELETE FROM tries WHERE key = ?", key)
		return err
	})
}

// ShowFile says that the customer of a job may see one of its files, or no longer.
func (d *DB) ShowFile(ctx context.Context, job, name string, shown bool, deed people.Deed) error {
	return d.change(ctx, func(tx *Tx) error {
		n := 0
		if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM file WHERE job = ? AND name = ?", job, name).Scan(&n); err != nil {
			return err
		}
		if n == 0 {
			return people.Unknown("file")
		}
		ask := "DELETE FROM shown WHERE job = ? AND name = ?"
		if shown {
			ask = "INSERT INTO shown (job, name) VALUES (?, ?) ON CONFLICT DO NOTHING"
		}
		done, err := tx.ExecContext(ctx, ask, job, name)
		if n, err := changed(done, err); err != nil || n == 0 {
			return err
		}
		return addDeed(ctx, tx, deed)
	})
}

// Shown names the files of a job that its customer may see.
func (d *DB) Shown(ctx context.Context, job string) ([]string, error) {
	out := []string{}
	err := d.look(ctx, func(tx *Tx) error {
		rows, err := tx.QueryContext(ctx, "SELECT name FROM shown WHERE job = ? ORDER BY name", job)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var name string
			if err := rows.Scan(&name); err != nil {
				return err
			}
			out = append(out, name)
		}
		return rows.Err()
	})
	return given(out, err)
}
