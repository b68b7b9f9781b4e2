package work

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"gelwright/store"
	"gelwright/store/tables"
)

// State is where a piece of work stands, in the word that a person reads.
type State string

// The states. Waiting and Running are not ended.
const (
	Waiting   State = "waiting"
	Running   State = "running"
	Done      State = "done"
	Failed    State = "failed"
	Cancelled State = "cancelled"
)

// Work is a piece of work as it is seen.
type Work struct {
	ID   store.ID `json:"id"`
	Kind string   `json:"kind"`
	// About is the job or the place that it is for; empty where it is for all.
	About string `json:"about,omitempty"`
	Title string `json:"title"`
	Who   string `json:"who"`
	State State  `json:"state"`
	// Done of Whole parts are done; Whole is 0 where the parts are not counted.
	Done  int `json:"done"`
	Whole int `json:"whole"`
	// Said is what the work says of itself, a plain sentence.
	Said string `json:"said,omitempty"`
	// Result is the address, on this server, of what came of it.
	Result string `json:"result,omitempty"`
	// Tries counts how often it was begun.
	Tries int       `json:"tries"`
	Made  time.Time `json:"made"`
	Begun time.Time `json:"begun,omitzero"`
	Ended time.Time `json:"ended,omitzero"`

	key, worker string
	args        json.RawMessage
}

// Ask is a question for work.
type Ask struct {
	About string // work about this alone; empty for all
	Open  bool   // only what is not ended
	Limit int    // 1 to MostListed, 0 is UsualListed
}

// How many pieces of work are listed.
const (
	MostListed  = 500
	UsualListed = 50
)

const workColumns = "id, kind, work_key, about, title, args, who, state, done, whole, said, result, worker, tries, made_ms, begun_ms, " +
	"ended_ms"

func scanWork(scan func(...any) error) (Work, error) {
	var w Work
	var args string
	var made, begun, ended int64
	err := scan(&w.ID, &w.Kind, &w.key, &w.About, &w.Title, &args, &w.Who, &w.State, &w.Done, &w.Whole, &w.Said, &w.Result, &w.worker,
		&w.Tries, &made, &begun, &ended)
	w.args, w.Made, w.Begun, w.Ended = json.RawMessage(args), when(made), when(begun), when(ended)
	return w, err
}

// when is a time as it is kept; 0 is none.
func when(ms int64) time.Time {
	if ms == 0 {
		return time.Time{}
	}
	return time.UnixMilli(ms).UTC()
}

// addWork writes a row, or finds the one of its key that is not ended; fresh says which.
func addWork(ctx context.Context, tx *tables.Tx, w *Work) (fresh bool, err error) {
	r, err := tx.ExecContext(ctx, "INSERT INTO work ("+workColumns+") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) "+
		"ON CONFLICT (work_key) WHERE ended_ms = 0 DO NOTHING", w.ID, w.Kind, w.key, w.About, w.Title, string(w.args), w.Who, w.State,
		w.Done, w.Whole, w.Said, w.Result, w.worker, w.Tries, w.Made.UnixMilli(), 0, 0)
	if err != nil {
		return false, err
	}
	if n, err := r.RowsAffected(); err != nil || n > 0 {
		return n > 0, err
	}
	*w, err = scanWork(tx.QueryRowContext(ctx, "SELECT "+workColumns+" FROM work WHERE work_key = ? AND ended_ms = 0", w.key).Scan)
	return false, err
}

// workIn reads a row.
func workIn(ctx context.Context, tx *tables.Tx, id store.ID) (Work, error) {
	w, err := scanWork(tx.QueryRowContext(ctx, "SELECT "+workColumns+" FROM work WHERE id = ?", id).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		return w, &store.Error{Kind: store.Unknown, Place: "work " + string(id), Found: "there is no such work",
			Remedy: "GET /api/tasks lists what there is"}
	}
	return w, err
}

// listWork lists work, the newest first.
func listWork(ctx context.Context, tx *tables.Tx, a Ask) ([]Work, error) {
	ask, args := "SELECT "+workColumns+" FROM work WHERE 1 = 1", []any{}
	if a.About != "" {
		ask, args = ask+" AND about = ?", append(args, a.About)
	}
	if a.Open {
		ask += " AND ended_ms = 0"
	}
	rows, err := tx.QueryContext(ctx, ask+" ORDER BY made_ms DESC, id LIMIT ?", append(args, a.Limit)...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []Work{}
	for rows.Next() {
		w, err := scanWork(rows.Scan)
		if err != nil {
			return nil, err
		}
		out = append(out, w)
	}
	return out, rows.Err()
}

// hold gives a row to a worker, once more begun; false where it has ended.
func hold(ctx context.Context, tx *tables.Tx, id store.ID, worker string, now time.Time) (Work, bool, error) {
	r, err := tx.ExecContext(ctx, "UPDATE work SET state = ?, worker = ?, tries = tries + 1, done = 0, "+
		"begun_ms = CASE begun_ms WHEN 0 THEN ? ELSE begun_ms END WHERE id = ? AND ended_ms = 0", Running, worker, now.UnixMilli(), id)
	if err != nil {
		return Work{}, false, err
	}
	if n, err := r.RowsAffected(); err != nil || n == 0 {
		return Work{}, false, err
	}
	w, err := workIn(ctx, tx, id)
	return w, true, err
}

// put writes how a row stands, where it is still held as w says; lost where it is not.
func put(ctx context.Context, tx *tables.Tx, w *Work) error {
	ended := int64(0)
	if !w.Ended.IsZero() {
		ended = w.Ended.UnixMilli()
	}
	r, err := tx.ExecContext(ctx, "UPDATE work SET state = ?, done = ?, whole = ?, said = ?, result = ?, ended_ms = ? "+
		"WHERE id = ? AND worker = ? AND tries = ? AND state = ?", w.State, w.Done, w.Whole, w.Said, w.Result, ended, w.ID, w.worker, w.Tries,
		Running)
	if err != nil {
		return err
	}
	if n, err := r.RowsAffected(); err != nil || n == 0 {
		return errors.Join(err, errLost)
	}
	return nil
}

// errLost is told to who holds a piece of work no more: it was cancelled, or given to another.
var errLost = errors.New("the work is held by nobody here any more")

// cancel ends a row that has not ended; false where it had.
func cancel(ctx context.Context, tx *tables.Tx, id store.ID, who string, now time.Time) (bool, error) {
	r, err := tx.ExecContext(ctx, "UPDATE work SET state = ?, said = ?, ended_ms = ? WHERE id = ? AND ended_ms = 0", Cancelled,
		fmt.Sprintf("Cancelled by %s.", who), now.UnixMilli(), id)
	if err != nil {
		return false, err
	}
	n, err := r.RowsAffected()
	return n > 0, err
}
