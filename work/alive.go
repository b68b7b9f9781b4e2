package work

import (
	"context"
	"errors"
	"slices"
	"time"

	"github.com/riverqueue/river/riverdriver"
	"github.com/riverqueue/river/rivertype"

	"gelwright/store"
	"gelwright/store/tables"
)

// errorsOf joins errors.
func errorsOf(all ...error) error { return errors.Join(all...) }

// beat says that the worker lives.
func (w *Worker) beat(ctx context.Context) error {
	now := w.q.Now().UnixMilli()
	return w.q.db.Change(ctx, func(tx *tables.Tx) error {
		_, err := tx.ExecContext(ctx, "INSERT INTO worker (id, name, since_ms, beat_ms) VALUES (?, ?, ?, ?) "+
			"ON CONFLICT (id) DO UPDATE SET beat_ms = excluded.beat_ms", w.id, w.name, now, now)
		return err
	})
}

// drop ends the tasks that are held here no more: somebody cancelled them, or gave them to another while this one slept.
func (w *Worker) drop(ctx context.Context) error {
	w.mu.Lock()
	var mine []*task
	for t := range w.tasks {
		mine = append(mine, t)
	}
	w.mu.Unlock()
	if len(mine) == 0 {
		return nil
	}
	held := map[store.ID]int{}
	err := w.q.db.Look(ctx, func(tx *tables.Tx) error {
		clear(held)
		rows, err := tx.QueryContext(ctx, "SELECT id, tries FROM work WHERE worker = ? AND ended_ms = 0", w.id)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var id store.ID
			var tries int
			if err := rows.Scan(&id, &tries); err != nil {
				return err
			}
			held[id] = tries
		}
		return rows.Err()
	})
	if err != nil {
		return err
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, t := range mine {
		if tries, ok := held[t.row.ID]; w.tasks[t] && (!ok || tries != t.row.Tries) {
			t.stop(errLost)
		}
	}
	return nil
}

// mostRescued is how many jobs are looked at for their workers at once.
const mostRescued = 1000

// giveBack gives back what is held by workers whose beats are missing, and forgets these. River knows a job as running until its
// worker says otherwise; one that was killed says nothing any more.
func (w *Worker) giveBack(ctx context.Context) error {
	now := w.q.Now()
	lives, err := w.living(ctx, now.Add(-w.how.Dead))
	if err != nil {
		return err
	}
	rows := w.q.engine.rows()
	running, err := rows.JobGetStuck(ctx, &riverdriver.JobGetStuckParams{Max: mostRescued, StuckHorizon: time.Now().Add(time.Minute)})
	if err != nil {
		return err
	}
	ask := &riverdriver.JobRescueManyParams{StuckHorizon: time.Now().Add(time.Minute)}
	for _, j := range running {
		if len(j.AttemptedBy) == 0 || slices.Contains(lives, j.AttemptedBy[len(j.AttemptedBy)-1]) {
			continue
		}
		ask.ID = append(ask.ID, j.ID)
		ask.Error = append(ask.Error, []byte(`{"error":"its worker died"}`))
		ask.ScheduledAt = append(ask.ScheduledAt, time.Now())
		state, ended := rivertype.JobStateAvailable, (*time.Time)(nil)
		if j.Attempt >= j.MaxAttempts {
			at := time.Now()
			state, ended = rivertype.JobStateDiscarded, &at
		}
		ask.State, ask.FinalizedAt = append(ask.State, string(state)), append(ask.FinalizedAt, ended)
	}
	if len(ask.ID) > 0 {
		if _, err := rows.JobRescueMany(ctx, ask); err != nil {
			return err
		}
	}
	return w.forget(ctx, now)
}

// living are the workers that have said since a time that they live.
func (w *Worker) living(ctx context.Context, since time.Time) ([]string, error) {
	var out []string
	err := w.q.db.Look(ctx, func(tx *tables.Tx) error {
		out = nil
		rows, err := tx.QueryContext(ctx, "SELECT id FROM worker WHERE beat_ms >= ?", since.UnixMilli())
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var id string
			if err := rows.Scan(&id); err != nil {
				return err
			}
			out = append(out, id)
		}
		return rows.Err()
	})
	return out, err
}

// forget takes the dead out of the list of workers, and tells of what they held: as waiting, or as failed where it has been begun so
// often that it is likelier what kills them.
func (w *Worker) forget(ctx context.Context, now time.Time) error {
	dead := now.Add(-w.how.Dead).UnixMilli()
	return w.q.db.Change(ctx, func(tx *tables.Tx) error {
		const theirs = "state = ? AND ended_ms = 0 AND worker NOT IN (SELECT id FROM worker WHERE beat_ms >= ?)"
		if _, err := tx.ExecContext(ctx, "UPDATE work SET state = ?, said = ?, ended_ms = ? WHERE tries >= ? AND "+theirs, Failed,
			"Its worker died each time that it was begun. Look at the log of the workers.", now.UnixMilli(), mostTries, Running, dead); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "UPDATE work SET state = ?, said = ? WHERE "+theirs, Waiting,
			"Its worker died; another begins it anew.", Running, dead); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, "DELETE FROM worker WHERE beat_ms < ?", dead)
		return err
	})
}
