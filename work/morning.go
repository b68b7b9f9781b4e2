package work

import (
	"context"
	"fmt"
	"time"

	"gelwright/store"
	"gelwright/store/tables"
)

// MorningArgs are the round of a morning: the weather of every open job's place is asked for, and each is planned again under what is
// new.
type MorningArgs struct {
	// Day is the day that it is the round of, 2026-05-12: there is one.
	Day string `json:"day"`
}

// Kind names it.
func (MorningArgs) Kind() string  { return "morning" }
func (MorningArgs) queue() string { return computing }
func (a MorningArgs) key() string { return a.Day }

// Morning orders the round of this morning.
func (q *Queue) Morning(ctx context.Context, who string) (Work, error) {
	day := q.Now().Format(time.DateOnly)
	return ordered(ctx, q, Order{Title: "Round of the morning, " + day, Who: who}, MorningArgs{day})
}

// openAtOnce is how many jobs are listed at once.
const openAtOnce = 500

// openJobs are the open jobs after an id.
func openJobs(ctx context.Context, tx *tables.Tx, after store.ID) ([]store.ID, error) {
	return ids(tx.QueryContext(ctx, "SELECT j.id FROM job j WHERE "+tables.OpenJob("j")+" AND j.id > ? ORDER BY j.id LIMIT ?", after,
		openAtOnce))
}

// morning finds out where the open jobs are, and orders weather and plans.
func (w *Worker) morning(ctx context.Context, t *task, a MorningArgs) error {
	services := map[whereabouts]bool{}
	jobs, faulty := 0, 0
	for after := store.ID(""); ; {
		var some []store.ID
		if err := w.q.db.Look(ctx, func(tx *tables.Tx) (err error) {
			some, err = openJobs(ctx, tx, after)
			return err
		}); err != nil {
			return err
		}
		if len(some) == 0 {
			break
		}
		after = some[len(some)-1]
		at, bad, err := w.whereAll(ctx, some)
		if err != nil {
			return err
		}
		jobs, faulty = jobs+len(some), faulty+bad
		err = w.q.db.Change(ctx, func(tx *tables.Tx) error {
			for id, x := range at {
				if err := keepPlace(ctx, tx, id, x); err != nil {
					return err
				}
			}
			_, err := w.q.replanIn(ctx, tx, some, t.row.Who, "morning "+a.Day)
			return err
		})
		if err != nil {
			return err
		}
		for _, x := range at {
			if x.service != "" {
				services[x] = true
			}
		}
		if err := t.progress(ctx, jobs, jobs, fmt.Sprintf("%d jobs are looked at.", jobs)); err != nil {
			return err
		}
	}
	said := fmt.Sprintf("%d open jobs are planned again; the weather of %d places is asked for.", jobs, len(services))
	if jobs == 0 {
		said = "No job is open: those are that the office has at order, on the roof or hand-over."
	}
	if faulty > 0 {
		said += fmt.Sprintf(" %d roofs have faults.", faulty)
	}
	return t.finish(ctx, said, "", func(tx *tables.Tx) error {
		for x := range services {
			if _, err := w.q.fetchIn(ctx, tx, x, t.row.Who, time.Time{}); err != nil {
				return err
			}
		}
		return nil
	})
}

// whereAll finds out where jobs are; faulty counts those that cannot be read.
func (w *Worker) whereAll(ctx context.Context, jobs []store.ID) (at map[store.ID]whereabouts, faulty int, err error) {
	at = map[store.ID]whereabouts{}
	for _, id := range jobs {
		b, err := BasisOf(ctx, w.q.db, id, 0)
		if err != nil {
			if !final(err) || store.KindOf(err) != 0 {
				return nil, 0, err
			}
			faulty++
			continue
		}
		x, err := whereIs(b)
		if err != nil {
			faulty++
			continue
		}
		at[id] = x
	}
	return at, faulty, nil
}
