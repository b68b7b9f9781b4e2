package work

import (
	"context"
	"time"

	"gelwright/store"
	"gelwright/store/tables"
)

// Daily is what a worker has done once a day, without being told. However many workers have it, it is done once; what was missed while
// none of them was on is done when one begins.
type Daily struct {
	// AtMin is when, in minutes after midnight of the zone.
	AtMin int
	Zone  *time.Location
}

// lastDue is the day whose time came last.
func (d *Daily) lastDue(now time.Time) string {
	here := now.In(d.Zone)
	due := time.Date(here.Year(), here.Month(), here.Day(), d.AtMin/60, d.AtMin%60, 0, 0, d.Zone)
	if due.After(now) {
		due = due.AddDate(0, 0, -1)
	}
	return due.Format(time.DateOnly)
}

// What is done once a day.
const (
	theRound  = "round"
	theBackup = "backup"
)

// keepsTheClock is who orders what is done without being told.
const keepsTheClock = "the clock"

// daily orders what is due of a day, where nobody has yet.
func (w *Worker) daily(ctx context.Context) error {
	if w.how.Daily == nil {
		return nil
	}
	now := w.q.Now()
	day := w.how.Daily.lastDue(now)
	if day == w.dailyDone {
		return nil
	}
	err := w.q.db.Change(ctx, func(tx *tables.Tx) error {
		first, err := firstOf(ctx, tx, theRound, day, now)
		if err != nil {
			return err
		}
		if first {
			if _, err := w.q.morningIn(ctx, tx, day, keepsTheClock); err != nil {
				return err
			}
		}
		if w.how.Backups == nil {
			return nil
		}
		if first, err = firstOf(ctx, tx, theBackup, day, now); err != nil || !first {
			return err
		}
		_, err = w.q.backupIn(ctx, tx, day, keepsTheClock)
		return err
	})
	if err == nil {
		w.dailyDone = day
	}
	return err
}

// firstOf puts down that something is done of a day; false where it was before.
func firstOf(ctx context.Context, tx *tables.Tx, what, day string, now time.Time) (bool, error) {
	r, err := tx.ExecContext(ctx, "INSERT INTO daily (what, day, ordered_ms) VALUES (?, ?, ?) ON CONFLICT (what, day) DO NOTHING", what, day,
		store.Kept(now).UnixMilli())
	if err != nil {
		return false, err
	}
	n, err := r.RowsAffected()
	return n > 0, err
}
