package work

import (
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"time"

	"github.com/riverqueue/river"

	"gelwright/store"
	"gelwright/store/tables"
)

// Queue is where work is ordered and seen. Its methods may be called from many goroutines and processes.
type Queue struct {
	db     *tables.DB
	engine engine
	log    *slog.Logger
	// Now is the clock; it is set before the first use and not changed.
	Now func() time.Time
}

// Open opens the queue that lies in the database of the jobs, and brings River's tables there up. River tells log what it does.
func Open(ctx context.Context, jobs *tables.DB, log *slog.Logger) (*Queue, error) {
	e, err := engineOf(ctx, jobs, log)
	if err != nil {
		return nil, err
	}
	q := &Queue{db: jobs, engine: e, log: log, Now: time.Now}
	if err := e.migrate(ctx, jobs); err != nil {
		e.close()
		return nil, fmt.Errorf("the tables of the work behind the page: %w", err)
	}
	return q, nil
}

// Jobs are the jobs beside which the queue is.
func (q *Queue) Jobs() store.Store { return q.db }

// Close ends the use of the queue; the jobs stay open.
func (q *Queue) Close() error { return q.engine.close() }

// kinded are the arguments of a kind of work.
type kinded interface {
	// Kind names it; queue is where it waits, key makes it one of its kind while it is not ended.
	Kind() string
	queue() string
	key() string
}

// ref is what River keeps of a piece of work: where its row is.
type ref[A kinded] struct {
	Work store.ID `json:"work"`
}

// Kind is that of the arguments.
func (r ref[A]) Kind() string {
	var a A
	return a.Kind()
}

// Order is a piece of work as it is asked for.
type Order struct {
	About string // a job's id or a place; empty for all
	Title string // what it is, for a person: "Papers of Garage"
	Who   string
	// Urgent work goes before other: somebody waits for it.
	Urgent bool
	// At is the earliest time; zero is at once.
	At time.Time
}

// order orders work within a change, or finds what was ordered under the same key and has not ended.
func order[A kinded](ctx context.Context, q *Queue, tx *tables.Tx, o Order, args A) (Work, error) {
	raw, err := json.Marshal(args)
	if err != nil {
		return Work{}, err
	}
	w := Work{ID: store.NewID(), Kind: args.Kind(), About: o.About, Title: o.Title, Who: o.Who, State: Waiting, Made: store.Kept(q.Now()),
		key: args.Kind() + " " + args.key(), args: raw}
	fresh, err := addWork(ctx, tx, &w)
	if err != nil || !fresh {
		return w, err
	}
	opts := &river.InsertOpts{Queue: args.queue(), MaxAttempts: mostTries, Priority: 3}
	if !o.At.IsZero() {
		opts.ScheduledAt = time.Now().Add(o.At.Sub(q.Now())) // River goes by the computer's own clock
	}
	if o.Urgent {
		opts.Priority = 1
	}
	return w, q.engine.insert(ctx, tx.Under(), ref[A]{w.ID}, opts)
}

// ordered is order in a change of its own.
func ordered[A kinded](ctx context.Context, q *Queue, o Order, args A) (Work, error) {
	var w Work
	err := q.db.Change(ctx, func(tx *tables.Tx) (err error) {
		w, err = order(ctx, q, tx, o, args)
		return err
	})
	return w, err
}

// Get gives a piece of work.
func (q *Queue) Get(ctx context.Context, id store.ID) (Work, error) {
	var w Work
	err := q.db.Look(ctx, func(tx *tables.Tx) (err error) {
		w, err = workIn(ctx, tx, id)
		return err
	})
	return w, err
}

// List lists work, the newest first.
func (q *Queue) List(ctx context.Context, a Ask) ([]Work, error) {
	if a.Limit == 0 {
		a.Limit = UsualListed
	}
	if a.Limit < 0 || a.Limit > MostListed {
		return nil, &store.Error{Kind: store.Refused, Place: "limit", Found: fmt.Sprintf("%d pieces of work are not listed at once", a.Limit),
			Remedy: fmt.Sprintf("Ask for 1 to %d", MostListed)}
	}
	var out []Work
	err := q.db.Look(ctx, func(tx *tables.Tx) (err error) {
		out, err = listWork(ctx, tx, a)
		return err
	})
	return out, err
}

// Cancel ends work that has not ended; what has stays as it is. Who does it learns of it within a few seconds.
func (q *Queue) Cancel(ctx context.Context, id store.ID, who string) (Work, error) {
	var w Work
	err := q.db.Change(ctx, func(tx *tables.Tx) error {
		if _, err := cancel(ctx, tx, id, who, q.Now()); err != nil {
			return err
		}
		var err error
		w, err = workIn(ctx, tx, id)
		return err
	})
	return w, err
}

// Basis reads what a state of a job is planned on; seq 0 is the newest. Of the forecast that was put into the job and the one that the
// place's weather service gave the newer counts; what readings on site have shown goes with it.
func (q *Queue) Basis(ctx context.Context, job store.ID, seq int) (*Basis, error) {
	b, err := BasisOf(ctx, q.db, job, seq)
	if err != nil {
		return nil, err
	}
	x, err := whereIs(b)
	if err != nil {
		return b, nil // what is wrong with roof or firm is said by who plans it
	}
	site, err := x.place.Site()
	if err != nil {
		return nil, err
	}
	err = q.db.Look(ctx, func(tx *tables.Tx) error {
		sky, err := newestSky(ctx, tx, x.place)
		if err != nil {
			return err
		}
		if sky != nil && (b.Sky == nil || sky.when.After(b.Sky.when)) {
			b.Sky = sky
		}
		b.Record, err = learnt(ctx, tx, x.place, site, q.Now())
		return err
	})
	return b, err
}
