package tables

import (
	"context"
	"database/sql"
	"errors"
	"strings"
	"time"

	"gelwright/office"
	"gelwright/store"
)

const jobColumns = `id, title, site, created_ms, changed_ms, newest, survey_group, parent, parent_seq, retired_ms, retired_who`

// scanJob reads a row of jobColumns.
func scanJob(scan func(...any) error) (store.Job, error) {
	var j store.Job
	var created, changed int64
	var retired sql.NullInt64
	var who sql.NullString
	if err := scan(&j.ID, &j.Title, &j.Site, &created, &changed, &j.Newest, &j.Group, &j.Parent, &j.ParentSeq, &retired, &who); err != nil {
		return j, err
	}
	j.Created, j.Changed = when(created), when(changed)
	if retired.Valid {
		j.Retired = &store.Retirement{When: when(retired.Int64), Who: who.String}
	}
	return j, nil
}

func when(ms int64) time.Time { return time.UnixMilli(ms).UTC() }

// jobIn reads a job, and holds it where it is read for a change; Unknown where there is none.
func jobIn(ctx context.Context, tx *Tx, id store.ID) (store.Job, error) {
	if err := id.Check(); err != nil {
		return store.Job{}, err
	}
	j, err := scanJob(tx.QueryRowContext(ctx, "SELECT "+jobColumns+" FROM job WHERE id = ?"+tx.lockRow(), id).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		return j, unknown("job "+string(id), "there is no such job here")
	}
	return j, err
}

// Get gives a job as it stands.
func (d *DB) Get(ctx context.Context, id store.ID) (store.Job, error) {
	var out store.Job
	err := d.look(ctx, func(tx *Tx) (err error) {
		out, err = jobIn(ctx, tx, id)
		return err
	})
	return out, err
}

// jobsOf reads the jobs that the end of a query names.
func jobsOf(ctx context.Context, tx *Tx, end string, args ...any) ([]store.Job, error) {
	rows, err := tx.QueryContext(ctx, "SELECT "+jobColumns+" FROM job "+end, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []store.Job{}
	for rows.Next() {
		j, err := scanJob(rows.Scan)
		if err != nil {
			return nil, err
		}
		out = append(out, j)
	}
	return out, rows.Err()
}

// List gives jobs, the one changed last first.
func (d *DB) List(ctx context.Context, ask store.Ask) (store.Page, error) {
	var out store.Page
	if err := ask.Check(); err != nil {
		return out, err
	}
	size := ask.Size
	if size == 0 {
		size = store.UsualPage
	}
	where, args := filter(ask)
	if len(office.Words(ask.Text)) > 0 {
		if err := d.catchUp(ctx); err != nil {
			return out, err
		}
	}
	err := d.look(ctx, func(tx *Tx) (err error) {
		if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM job "+where, args...).Scan(&out.Total); err != nil {
			return err
		}
		out.Jobs, err = jobsOf(ctx, tx, where+" ORDER BY changed_ms DESC, id LIMIT ? OFFSET ?", append(args, size, ask.Page*size)...)
		return err
	})
	return out, err
}

// filter is the condition that a question puts to jobs.
func filter(ask store.Ask) (where string, args []any) {
	words, id := []string{}, strings.ToLower(strings.TrimSpace(ask.Text))
	for _, w := range strings.Fields(id) {
		one, more := titled(w)
		words, args = append(words, one), append(args, more...)
	}
	where = "WHERE 1 = 1"
	if len(words) > 0 {
		where = "WHERE (" + strings.Join(words, " AND ") + " OR substr(id, 1, ?) = ?)"
		args = append(args, len(id), id)
	}
	if !ask.Retired {
		where += " AND retired_ms IS NULL"
	}
	return where, args
}

// titled is the condition that what is looked for stands in a job's title or site: as it is written, or as the office finds words, with
// umlauts and marks folded.
func titled(word string) (where string, args []any) {
	where, args = "instr(find, ?) > 0", []any{word}
	var folded []string
	for _, w := range office.Words(word) {
		begins, more := wordRange(w)
		folded = append(folded, "id IN (SELECT t.job FROM office_word w JOIN office_text t ON t.id = w.text WHERE t.found_in = 'title' AND "+
			strings.ReplaceAll(begins, "word", "w.word")+")")
		args = append(args, more...)
	}
	if len(folded) > 0 {
		where += " OR " + strings.Join(folded, " AND ")
	}
	return "(" + where + ")", args
}

// found is what List looks for words in.
func found(title, site string) string { return strings.ToLower(title + "\n" + site) }

// addJob writes a job's row.
func addJob(ctx context.Context, tx *Tx, j *store.Job) error {
	var retired sql.NullInt64
	var who sql.NullString
	if j.Retired != nil {
		retired, who = sql.NullInt64{Int64: j.Retired.When.UnixMilli(), Valid: true}, sql.NullString{String: j.Retired.Who, Valid: true}
	}
	_, err := tx.ExecContext(ctx, "INSERT INTO job (find, "+jobColumns+") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
		found(j.Title, j.Site), j.ID, j.Title, j.Site, j.Created.UnixMilli(), j.Changed.UnixMilli(), j.Newest, j.Group, j.Parent, j.ParentSeq,
		retired, who)
	return err
}

// beginning is a job that is to begin, its id, group and parent given where it has them, with its first state.
type beginning struct {
	job   store.Job
	first *row
	// agrees reports whether a job that has the id already, and began with was, is the one that is asked for.
	agrees func(there *store.Job, was *row) bool
}

// begin writes a job with its first state, or answers with the one that is there; made tells the two apart.
func begin(ctx context.Context, tx *Tx, b beginning) (job store.Job, made bool, err error) {
	first := *b.first // a change may run again
	job = b.job
	if job.ID == "" {
		job.ID = store.NewID()
	} else if there, err := jobIn(ctx, tx, job.ID); err == nil {
		was, err := rowIn(ctx, tx, job.ID, 1)
		if err == nil && (was.ID != first.ID || !b.agrees(&there, was)) {
			err = clash("job "+string(job.ID), "Give the new job an id of its own", "a job with this id is here and began otherwise")
		}
		return there, false, err
	} else if store.KindOf(err) != store.Unknown {
		return job, false, err
	}
	first.Seq = 1
	job.Title, job.Site, job.Newest = first.Title, first.Site, 1
	job.Created, job.Changed = store.Kept(first.When), store.Kept(first.When)
	if job.Group == "" {
		job.Group = job.ID
	}
	if err := addJob(ctx, tx, &job); err != nil {
		return job, false, err
	}
	return job, true, addState(ctx, tx, job.ID, &first)
}

// Create begins a job with its first state.
func (d *DB) Create(ctx context.Context, job store.NewJob) (store.Job, error) {
	if err := job.Check(); err != nil {
		return store.Job{}, err
	}
	first, err := rowOf(&job.First)
	if err != nil {
		return store.Job{}, err
	}
	b := beginning{job: store.Job{ID: job.ID}, first: first, agrees: func(there *store.Job, was *row) bool {
		return there.Parent == "" && was.same(first)
	}}
	var out store.Job
	err = d.change(ctx, func(tx *Tx) (err error) {
		out, _, err = begin(ctx, tx, b)
		return err
	})
	return given(out, err)
}

// given is an answer, or nothing beside an error.
func given[T any](answer T, err error) (T, error) {
	if err != nil {
		var none T
		return none, err
	}
	return answer, nil
}

// Copy begins a job with the newest document of another and its files.
func (d *DB) Copy(ctx context.Context, from store.ID, order store.CopyOrder) (store.Job, error) {
	if err := order.Check(); err != nil {
		return store.Job{}, err
	}
	var out store.Job
	err := d.change(ctx, func(tx *Tx) error {
		source, err := jobIn(ctx, tx, from)
		if err != nil {
			return err
		}
		newest, err := rowIn(ctx, tx, from, source.Newest)
		if err != nil {
			return err
		}
		first := &row{Entry: store.Entry{Mark: order.Mark, Title: order.Title, Site: newest.Site}, document: newest.document}
		b := beginning{job: store.Job{ID: order.ID, Parent: from, ParentSeq: source.Newest}, first: first}
		if order.Alternative {
			b.job.Group = source.Group
		}
		b.agrees = func(there *store.Job, was *row) bool {
			// The source may have gone on since; what the copy began with stays.
			return there.Parent == from && (there.Group == source.Group) == order.Alternative && was.sameMark(first)
		}
		made := false
		if out, made, err = begin(ctx, tx, b); err != nil || !made {
			return err
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO file (job, name, media_type, when_ms, who, size, hash)
			SELECT ?, name, media_type, when_ms, who, size, hash FROM file WHERE job = ?`, out.ID, from)
		return err
	})
	return given(out, err)
}

// Alternatives gives the jobs of a job's group.
func (d *DB) Alternatives(ctx context.Context, id store.ID) ([]store.Job, error) {
	var out []store.Job
	err := d.look(ctx, func(tx *Tx) error {
		job, err := jobIn(ctx, tx, id)
		if err != nil {
			return err
		}
		out, err = jobsOf(ctx, tx, "WHERE survey_group = ? AND (retired_ms IS NULL OR id = ?) ORDER BY created_ms, id", job.Group, id)
		return err
	})
	return given(out, err)
}

// Retire takes a job out of the list, or brings it back.
func (d *DB) Retire(ctx context.Context, id store.ID, r store.Retirement) error {
	if err := r.Check(); err != nil {
		return err
	}
	return d.change(ctx, func(tx *Tx) error {
		if _, err := jobIn(ctx, tx, id); err != nil {
			return err
		}
		if r.Back {
			_, err := tx.ExecContext(ctx, "UPDATE job SET retired_ms = NULL, retired_who = NULL WHERE id = ?", id)
			return err
		}
		// Retired again it stays as it was.
		_, err := tx.ExecContext(ctx, "UPDATE job SET retired_ms = ?, retired_who = ? WHERE id = ? AND retired_ms IS NULL",
			r.When.UnixMilli(), r.Who, id)
		return err
	})
}
