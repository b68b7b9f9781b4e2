package tables

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"gelwright/store"
)

// row is a state as it is kept; document and change may be known by their hashes alone.
type row struct {
	store.Entry
	document, change packed
}

// rowOf makes a row of a state that is to be kept.
func rowOf(s *store.NewState) (*row, error) {
	r := &row{Entry: store.Entry{Mark: s.Mark, Title: s.Title, Site: s.Site, DocumentBytes: len(s.Document)}}
	var err error
	if r.document, err = pack(s.Document); err != nil {
		return nil, err
	}
	r.change, err = pack(s.Change)
	return r, err
}

// same reports whether a kept state has the content of one that is asked for again.
func (r *row) same(again *row) bool {
	return r.sameMark(again) && r.Restored == again.Restored && r.Site == again.Site && r.document.hash == again.document.hash &&
		r.change.hash == again.change.hash
}

// sameMark reports whether who, what and title are the same.
func (r *row) sameMark(again *row) bool {
	return r.Who == again.Who && r.What == again.What && r.Title == again.Title
}

const rowColumns = `s.seq, s.id, s.when_ms, s.who, s.what, s.title, s.site, s.restored, d.size, d.hash, c.size, c.hash
	FROM state s JOIN text d ON d.id = s.document LEFT JOIN text c ON c.id = s.change `

// scanRow reads a row of rowColumns.
func scanRow(scan func(...any) error) (*row, error) {
	var r row
	var ms int64
	var changeSize sql.NullInt64
	var document, change []byte
	if err := scan(&r.Seq, &r.ID, &ms, &r.Who, &r.What, &r.Title, &r.Site, &r.Restored, &r.document.size, &document, &changeSize,
		&change); err != nil {
		return nil, err
	}
	r.When, r.DocumentBytes, r.change.size = when(ms), r.document.size, int(changeSize.Int64)
	copy(r.document.hash[:], document)
	copy(r.change.hash[:], change)
	return &r, nil
}

// rowIn reads a state; Unknown where the job has none of this number.
func rowIn(ctx context.Context, tx *Tx, job store.ID, seq int) (*row, error) {
	r, err := scanRow(tx.QueryRowContext(ctx, "SELECT "+rowColumns+" WHERE s.job = ? AND s.seq = ?", job, seq).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, unknown(fmt.Sprintf("state %d", seq), "the job has no such state")
	}
	return r, err
}

// rowsOf reads the states of a job that the end of a query names.
func rowsOf(ctx context.Context, tx *Tx, job store.ID, end string, args ...any) ([]*row, error) {
	rows, err := tx.QueryContext(ctx, "SELECT "+rowColumns+" WHERE s.job = ? "+end, append([]any{job}, args...)...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []*row
	for rows.Next() {
		r, err := scanRow(rows.Scan)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, rows.Err()
}

// addState writes a state's row and its texts.
func addState(ctx context.Context, tx *Tx, job store.ID, r *row) error {
	document, err := keep(ctx, tx, r.document)
	if err != nil {
		return err
	}
	change, err := keep(ctx, tx, r.change)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO state (job, seq, id, when_ms, who, what, title, site, document, change, restored)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		job, r.Seq, r.ID, r.When.UnixMilli(), r.Who, r.What, r.Title, r.Site, document, change, r.Restored)
	return err
}

// next writes a state behind the newest, which must be basedOn, or finds that it is there already; it gives its number.
func next(ctx context.Context, tx *Tx, id store.ID, basedOn int, asked *row) (int, error) {
	state := *asked // a change may run again
	r := &state
	job, err := jobIn(ctx, tx, id)
	if err != nil {
		return 0, err
	}
	was, err := rowsOf(ctx, tx, id, "AND s.id = ?", r.ID)
	if err != nil {
		return 0, err
	}
	if len(was) > 0 {
		if r.Title == "" {
			r.Title, r.Site = was[0].Title, was[0].Site
		}
		if !was[0].same(r) {
			return 0, clash("state "+r.ID, "Give each state an id of its own", "state %d has this id and other content", was[0].Seq)
		}
		return was[0].Seq, nil
	}
	if basedOn != job.Newest {
		return 0, &store.Error{Kind: store.Conflict, Place: "job " + string(id), Newest: job.Newest,
			Found:  fmt.Sprintf("its newest state is %d, and this one was made from %d", job.Newest, basedOn),
			Remedy: "Look at what differs and join both, or make the change again on top of the newest state"}
	}
	if r.Title == "" {
		r.Title, r.Site = job.Title, job.Site
	}
	r.Seq = job.Newest + 1
	if err := addState(ctx, tx, id, r); err != nil {
		return 0, err
	}
	_, err = tx.ExecContext(ctx, "UPDATE job SET title = ?, site = ?, find = ?, changed_ms = ?, newest = ? WHERE id = ?",
		r.Title, r.Site, found(r.Title, r.Site), r.When.UnixMilli(), r.Seq, id)
	return r.Seq, err
}

// Append adds a state to a job.
func (d *DB) Append(ctx context.Context, job store.ID, basedOn int, state store.NewState) (int, error) {
	if err := state.Check(); err != nil {
		return 0, err
	}
	r, err := rowOf(&state)
	if err != nil {
		return 0, err
	}
	var seq int
	err = d.change(ctx, func(tx *Tx) (err error) {
		seq, err = next(ctx, tx, job, basedOn, r)
		return err
	})
	return given(seq, err)
}

// Restore appends a state that has the document of an earlier one.
func (d *DB) Restore(ctx context.Context, job store.ID, seq, basedOn int, mark store.Mark) (int, error) {
	if err := mark.Check(); err != nil {
		return 0, err
	}
	var out int
	err := d.change(ctx, func(tx *Tx) error {
		if _, err := jobIn(ctx, tx, job); err != nil {
			return err
		}
		old, err := rowIn(ctx, tx, job, seq)
		if err != nil {
			return err
		}
		r := &row{Entry: store.Entry{Mark: mark, Title: old.Title, Site: old.Site, Restored: seq}, document: old.document}
		out, err = next(ctx, tx, job, basedOn, r)
		return err
	})
	return given(out, err)
}

// StateAt gives a state with its document.
func (d *DB) StateAt(ctx context.Context, id store.ID, seq int) (store.State, error) {
	var out store.State
	err := d.look(ctx, func(tx *Tx) error {
		job, err := jobIn(ctx, tx, id)
		if err != nil {
			return err
		}
		if seq == 0 {
			seq = job.Newest
		}
		r, err := rowIn(ctx, tx, id, seq)
		if err != nil {
			return err
		}
		out.Entry = r.Entry
		if out.Document, err = textOf(ctx, tx, r.document); err != nil {
			return err
		}
		out.Change, err = textOf(ctx, tx, r.change)
		return err
	})
	return given(out, err)
}

// History gives states without their documents, newest first.
func (d *DB) History(ctx context.Context, id store.ID, before, limit int) ([]store.Entry, error) {
	if limit == 0 {
		limit = store.UsualPage
	}
	if before < 0 || limit < 0 || limit > store.MostHistory {
		return nil, &store.Error{Kind: store.Refused, Place: "history",
			Found: fmt.Sprintf("%d states before state %d: 1 to %d may be asked for", limit, before, store.MostHistory)}
	}
	out := []store.Entry{}
	err := d.look(ctx, func(tx *Tx) error {
		if _, err := jobIn(ctx, tx, id); err != nil {
			return err
		}
		rows, err := rowsOf(ctx, tx, id, "AND (? = 0 OR s.seq < ?) ORDER BY s.seq DESC LIMIT ?", before, before, limit)
		for _, r := range rows {
			out = append(out, r.Entry)
		}
		return err
	})
	return given(out, err)
}
