package tables

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"strings"
	"unicode/utf8"

	"gelwright/office"
	"gelwright/store"
)

// hit is a text that is to be found, with its sheet.
type hit struct {
	in    office.Where
	kind  office.Kind
	sheet store.ID
	job   store.ID
	place string
	text  string
}

// mostShown is how many letters of a text a search keeps to show.
const mostShown = 400

// id names a text by what it is: the same text put in again is the same row.
func (h *hit) id() int64 {
	sum := sha256.Sum256([]byte(strings.Join([]string{string(h.in), string(h.kind), string(h.sheet), h.place, h.text}, "\x00")))
	return int64(binary.BigEndian.Uint64(sum[:8]) >> 1)
}

// addHits puts texts into the search; those without a word are left out.
func addHits(ctx context.Context, tx *Tx, hits []hit) error {
	for i := range hits {
		h := &hits[i]
		words := office.Words(h.text)
		if len(words) == 0 {
			continue
		}
		shown := h.text
		if utf8.RuneCountInString(shown) > mostShown {
			shown = string([]rune(shown)[:mostShown]) + "…"
		}
		id := h.id()
		done, err := tx.ExecContext(ctx, `INSERT INTO office_text (id, found_in, kind, sheet, job, place, shown) VALUES (?, ?, ?, ?, ?, ?, ?)
			ON CONFLICT (id) DO NOTHING`, id, string(h.in), string(h.kind), string(h.sheet), string(h.job), h.place, shown)
		if err != nil {
			return err
		}
		if n, err := done.RowsAffected(); err != nil || n == 0 {
			if err != nil {
				return err
			}
			continue
		}
		for _, w := range words {
			if _, err := tx.ExecContext(ctx, "INSERT INTO office_word (word, text) VALUES (?, ?) ON CONFLICT (word, text) DO NOTHING",
				w, id); err != nil {
				return err
			}
		}
	}
	return nil
}

// dropHits takes the texts of a sheet out of the search, but for its history.
func dropHits(ctx context.Context, tx *Tx, kind office.Kind, sheet store.ID, where ...office.Where) error {
	marks, args := "", []any{string(sheet), string(kind)}
	for _, w := range where {
		marks += ", ?"
		args = append(args, string(w))
	}
	which := " WHERE sheet = ? AND kind = ? AND found_in IN (" + strings.TrimPrefix(marks, ", ") + ")"
	if _, err := tx.ExecContext(ctx, "DELETE FROM office_word WHERE text IN (SELECT id FROM office_text"+which+")", args...); err != nil {
		return err
	}
	_, err := tx.ExecContext(ctx, "DELETE FROM office_text"+which, args...)
	return err
}

// searchSheet puts a new version of a sheet into the search in place of the one before.
func searchSheet(ctx context.Context, tx *Tx, r *office.Record) error {
	if r.Version > 1 {
		if err := dropHits(ctx, tx, r.Kind, r.ID, office.InNote, office.InCustomer, office.InPlace, office.InCrew); err != nil {
			return err
		}
	}
	job := r.Sheet.Keys().Job
	if r.Kind == office.KindJob {
		job = r.ID
	}
	hits := []hit{{office.InHistory, r.Kind, r.ID, job, "version", r.What}}
	for _, t := range r.Sheet.Texts() {
		hits = append(hits, hit{t.In, r.Kind, r.ID, job, t.Place, t.Text})
	}
	return addHits(ctx, tx, hits)
}

// atOnce is how many jobs are put into the search in one change, so that writers wait no longer than for that.
const atOnce = 100

// behind names jobs whose newest states or files are not in the search yet.
const behind = `SELECT j.id, j.newest, coalesce(s.newest, 0), (SELECT count(*) FROM file f WHERE f.job = j.id) FROM job j
	LEFT JOIN office_searched s ON s.job = j.id
	WHERE s.job IS NULL OR s.newest <> j.newest OR s.files <> (SELECT count(*) FROM file f WHERE f.job = j.id) LIMIT ?`

// late is a job that is not in the search as it stands; seen is the newest state that is.
type late struct {
	job                 store.ID
	newest, seen, files int
}

// catchUp brings the search up to what is kept of jobs. States and files are written without a thought of it: it is made up for
// when somebody looks, which also serves a folder of a release that had no search.
func (d *DB) catchUp(ctx context.Context) error {
	for {
		var jobs []late
		err := d.look(ctx, func(tx *Tx) (err error) {
			jobs, err = lateJobs(ctx, tx)
			return err
		})
		if err != nil || len(jobs) == 0 {
			return err
		}
		err = d.change(ctx, func(tx *Tx) error {
			jobs, err := lateJobs(ctx, tx) // another process may have done it meanwhile
			for i := 0; err == nil && i < len(jobs); i++ {
				err = searchJob(ctx, tx, &jobs[i])
			}
			return err
		})
		if err != nil {
			return err
		}
	}
}

func lateJobs(ctx context.Context, tx *Tx) ([]late, error) {
	rows, err := tx.QueryContext(ctx, behind, atOnce)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []late
	for rows.Next() {
		var l late
		if err := rows.Scan(&l.job, &l.newest, &l.seen, &l.files); err != nil {
			return nil, err
		}
		out = append(out, l)
	}
	return out, rows.Err()
}

// searchJob puts a job as it stands into the search.
func searchJob(ctx context.Context, tx *Tx, l *late) error {
	job, err := jobIn(ctx, tx, l.job)
	if err != nil {
		return err
	}
	about := func(in office.Where, place, text string) hit {
		return hit{in, office.KindJob, job.ID, job.ID, place, text}
	}
	var hits []hit
	if l.newest != l.seen {
		if err := dropHits(ctx, tx, office.KindJob, l.job, office.InTitle, office.InRoof); err != nil {
			return err
		}
		hits = append(hits, about(office.InTitle, "title", job.Title), about(office.InTitle, "site", job.Site))
		newest, err := rowIn(ctx, tx, l.job, job.Newest)
		if err != nil {
			return err
		}
		document, err := textOf(ctx, tx, newest.document)
		if err != nil {
			return err
		}
		for _, t := range office.RoofTexts(document) {
			hits = append(hits, about(t.In, t.Place, t.Text))
		}
		words, err := histories(ctx, tx, l)
		if err != nil {
			return err
		}
		for _, w := range words {
			hits = append(hits, about(office.InHistory, "state", w))
		}
	}
	names, err := column(ctx, tx, "SELECT name FROM file WHERE job = ?", string(l.job))
	if err != nil {
		return err
	}
	for _, name := range names {
		hits = append(hits, about(office.InFile, name, name))
	}
	if err := addHits(ctx, tx, hits); err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO office_searched (job, newest, files) VALUES (?, ?, ?)
		ON CONFLICT (job) DO UPDATE SET newest = excluded.newest, files = excluded.files`, string(l.job), l.newest, l.files)
	return err
}

// histories are the different words of the states that are not in the search yet.
func histories(ctx context.Context, tx *Tx, l *late) ([]string, error) {
	return column(ctx, tx, "SELECT DISTINCT what FROM state WHERE job = ? AND seq > ?", string(l.job), l.seen)
}

// column reads a query's one column of texts.
func column(ctx context.Context, tx *Tx, query string, args ...any) ([]string, error) {
	rows, err := tx.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []string
	for rows.Next() {
		var s string
		if err := rows.Scan(&s); err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, rows.Err()
}

// wordRange is the condition that a word begins with what is looked for; a single letter is looked for as it stands.
func wordRange(word string) (where string, args []any) {
	if utf8.RuneCountInString(word) == 1 {
		return "word = ?", []any{word}
	}
	return "word >= ? AND word < ?", []any{word, word + string(utf8.MaxRune)}
}

// Search answers a question with what was found of each kind.
func (d *DB) Search(ctx context.Context, q office.Question) ([]office.Found, error) {
	if err := q.Check(); err != nil {
		return nil, err
	}
	out, words := []office.Found{}, office.Words(q.Text)
	if len(words) == 0 {
		return out, nil
	}
	if err := d.catchUp(ctx); err != nil {
		return nil, err
	}
	most := q.Most
	if most == 0 {
		most = office.MostAnswers
	}
	var texts []string
	var args []any
	for _, w := range words {
		where, more := wordRange(w)
		texts = append(texts, "SELECT text FROM office_word WHERE "+where)
		args = append(args, more...)
	}
	// Titles are looked up for what is shown alone: a word that every job has is found ten thousand times.
	query := `SELECT found_in, total, kind, sheet, job, coalesce(j.title, ''), place, shown FROM (
		SELECT t.found_in, t.kind, t.sheet, t.job, t.place, t.shown, count(*) OVER (PARTITION BY t.found_in) AS total,
			row_number() OVER (PARTITION BY t.found_in ORDER BY t.shown, t.job, t.sheet, t.place) AS n
		FROM office_text t WHERE t.id IN (` + strings.Join(texts, " INTERSECT ") + `)) found
		LEFT JOIN job j ON j.id = found.job WHERE n <= ? ORDER BY found_in, n`
	err := d.look(ctx, func(tx *Tx) error {
		rows, err := tx.QueryContext(ctx, query, append(args, most)...)
		if err != nil {
			return err
		}
		defer rows.Close()
		of := map[office.Where]*office.Found{}
		for rows.Next() {
			var in office.Where
			var total int
			var h office.Hit
			if err := rows.Scan(&in, &total, &h.Kind, &h.ID, &h.Job, &h.Title, &h.Place, &h.Text); err != nil {
				return err
			}
			if of[in] == nil {
				of[in] = &office.Found{In: in, Total: total}
			}
			of[in].Hits = append(of[in].Hits, h)
		}
		for _, in := range office.Wheres() {
			if of[in] != nil {
				out = append(out, *of[in])
			}
		}
		return rows.Err()
	})
	return given(out, err)
}
