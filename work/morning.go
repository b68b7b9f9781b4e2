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
	var w Work
	err := q.db.Change(ctx, func(tx *tables.Tx) (err error) {
		w, err = q.morningIn(ctx, tx, q.today(), who)
		return err
	})
	return w, err
}

func (q *Queue) morningIn(ctx context.Context, tx *tables.Tx, day, who string) (Work, error) {
	return order(ctx, q, tx, Order{Title: "Round of the morning, " + day, Who: who}, MorningArgs{day})
}

// today is the day by the queue's clock.
func (q *Queue) today() string { return q.Now().Format(time.DateOnly) }

// openAtOnce is how many jobs are looked at at once.
const openAtOnce = 500

// openJobs are the open jobs after an id.
func openJobs(ctx context.Context, tx *tables.Tx, after store.ID) ([]store.ID, error) {
	return ids(tx.QueryContext(ctx, "SELECT j.id FROM job j WHERE "+tables.OpenJob("j")+" AND j.id > ? ORDER BY j.id LIMIT ?", after,
		openAtOnce))
}

// morning finds out where the open jobs are, and orders weather and plans.
func (w *Worker) morning(ctx context.Context, t *task, a MorningArgs) error {
	services := map[whereabouts]bool{}
	firms := firmsRead{}
	var bare []store.ID // jobs for whose weather nobody is asked
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
		at, bad, err := w.whereAll(ctx, some, firms)
		if err != nil {
			return err
		}
		jobs, faulty = jobs+len(some), faulty+bad
		if err := w.q.db.Change(ctx, func(tx *tables.Tx) error { return keepPlaces(ctx, tx, at) }); err != nil {
			return err
		}
		for _, id := range some {
			if x := at[id]; x.service != "" {
				services[x] = true
			} else {
				bare = append(bare, id)
			}
		}
		if err := t.progress(ctx, jobs, jobs, fmt.Sprintf("%s looked at.", countOf(jobs, "job is", "jobs are"))); err != nil {
			return err
		}
	}
	said := fmt.Sprintf("%s planned again; the weather of %s is asked for.", countOf(jobs, "open job is", "open jobs are"),
		countOf(len(services), "place", "places"))
	if jobs == 0 {
		said = "No job is open: those are that the office has at order, on the roof or hand-over."
	}
	if faulty > 0 {
		said += fmt.Sprintf(" %s faults.", countOf(faulty, "roof has", "roofs have"))
	}
	return t.finish(ctx, said, "", func(tx *tables.Tx) error {
		for x := range services {
			if _, err := w.q.fetchIn(ctx, tx, FetchArgs{x.place, x.service, x.contact, a.Day}, t.row.Who, time.Time{}); err != nil {
				return err
			}
		}
		if err := remind(ctx, tx, a.Day, w.q.Now()); err != nil {
			return err
		}
		if err := tables.SweepPasses(ctx, tx, w.q.Now()); err != nil {
			return err
		}
		_, err := w.q.replanIn(ctx, tx, bare, t.row.Who, "morning "+a.Day)
		return err
	})
}

// firmsRead are whom firms ask for the weather, by the hashes of their files: many jobs have one.
type firmsRead map[string]whereabouts

// whereAll finds out where jobs are; faulty counts those that cannot be read.
func (w *Worker) whereAll(ctx context.Context, jobs []store.ID, firms firmsRead) (at map[store.ID]whereabouts, faulty int, err error) {
	var all []*standing
	if err := w.q.db.Look(ctx, func(tx *tables.Tx) (err error) {
		all, err = standings(ctx, tx, jobs)
		return err
	}); err != nil {
		return nil, 0, err
	}
	at = map[store.ID]whereabouts{}
	for _, s := range all {
		x, err := s.where(ctx, w.q, firms)
		switch {
		case err != nil && !isAnswer(err):
			return nil, 0, err
		case err != nil:
			faulty++
		default:
			at[s.id] = x
		}
	}
	return at, faulty, nil
}

// where is where a job is: as its kept work says, or else its roof.
func (x *standing) where(ctx context.Context, q *Queue, firms firmsRead) (whereabouts, error) {
	firm := ""
	if x.firm != nil {
		firm = x.firm.SHA256
	}
	asks, known := firms[firm]
	if x.kept == x.roof && known {
		asks.place = Place(x.place)
		return asks, nil
	}
	b, err := x.basis(ctx, q)
	if err != nil {
		return whereabouts{}, err
	}
	at, err := whereIs(b)
	if err == nil {
		firms[firm] = whereabouts{service: at.service, contact: at.contact}
	}
	return at, err
}
