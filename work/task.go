package work

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"time"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/rivertype"

	"gelwright/desk"
	"gelwright/rooffile"
	"gelwright/store"
	"gelwright/store/tables"
)

// task is a piece of work that is held here and under way.
type task struct {
	q    *Queue
	row  Work
	stop context.CancelCauseFunc
	told time.Time
}

// sayEvery is how often a task tells how far it is: each time is a change on the disk.
const sayEvery = 400 * time.Millisecond

// progress tells how far it is. Whoever holds it no more is stopped.
func (t *task) progress(ctx context.Context, done, whole int, said string) error {
	t.row.Done, t.row.Whole, t.row.Said = done, whole, said
	now := t.q.Now()
	if now.Sub(t.told) < sayEvery && now.After(t.told) {
		return nil
	}
	t.told = now
	err := t.q.db.Change(ctx, func(tx *tables.Tx) error { return put(ctx, tx, &t.row) })
	if errors.Is(err, errLost) {
		t.stop(errLost)
	}
	return err
}

// finish ends it: what it keeps and its end are one change, which only its holder can make.
func (t *task) finish(ctx context.Context, said, result string, keep func(tx *tables.Tx) error) error {
	return t.end(ctx, Done, said, result, keep)
}

// end is finish in a state: work whose failure is an answer, of which more follows, has Failed.
func (t *task) end(ctx context.Context, state State, said, result string, keep func(tx *tables.Tx) error) error {
	return t.q.db.Change(ctx, func(tx *tables.Tx) error {
		w := t.row
		w.State, w.Said, w.Result, w.Ended, w.Done = state, said, result, store.Kept(t.q.Now()), w.Whole
		if err := put(ctx, tx, &w); err != nil {
			return err
		}
		if keep == nil {
			return nil
		}
		return keep(tx)
	})
}

// doer does one kind of work.
type doer[A kinded] struct {
	river.WorkerDefaults[ref[A]]
	w  *Worker
	do func(ctx context.Context, t *task, args A) error
}

// Work is called by River for a job of the queue.
func (d *doer[A]) Work(ctx context.Context, job *river.Job[ref[A]]) error {
	t := &task{q: d.w.q}
	var held bool
	err := t.q.db.Change(ctx, func(tx *tables.Tx) (err error) {
		t.row, held, err = hold(ctx, tx, job.Args.Work, d.w.id, t.q.Now())
		return err
	})
	if err != nil || !held {
		return err // what has ended is not done again
	}
	ctx, t.stop = context.WithCancelCause(ctx)
	defer t.stop(nil)
	d.w.watch(t)
	defer d.w.leave(t)
	var args A
	if err = json.Unmarshal(t.row.args, &args); err == nil {
		err = d.do(ctx, t, args)
	}
	if err == nil || errors.Is(err, errLost) || errors.Is(context.Cause(ctx), errLost) {
		return nil
	}
	return d.failed(ctx, t, job.JobRow, err)
}

// failed puts down why work was not done, and says to River what becomes of it.
func (d *doer[A]) failed(ctx context.Context, t *task, job *rivertype.JobRow, err error) error {
	w, now, told := t.row, t.q.Now(), err
	wait := time.Duration(0)
	switch {
	case ctx.Err() != nil: // the worker ends: it goes back as it was
		w.State, w.Said, told = Waiting, "The worker was ended; another goes on with it.", river.JobSnooze(0)
	case final(err) || job.Attempt >= job.MaxAttempts:
		w.State, w.Said, w.Ended, told = Failed, sentence(err), store.Kept(now), river.JobCancel(err)
	default:
		wait = waitOf(job.Attempt)
		w.State = Waiting
		w.Said = fmt.Sprintf("%s It is tried again in %s (%d of %d).", sentence(err), inWords(wait), job.Attempt+1, job.MaxAttempts)
	}
	// What is put down must be so though the context has ended.
	late, stop := context.WithTimeout(context.WithoutCancel(ctx), patience)
	defer stop()
	if err := t.q.db.Change(late, func(tx *tables.Tx) error { return put(late, tx, &w) }); err != nil {
		return errors.Join(told, err)
	}
	if wait > 0 {
		d.w.waits.Store(job.ID, time.Now().Add(wait)) // River goes by the computer's own clock
	}
	return told
}

// NextRetry is when a job is tried again: as its task has said.
func (d *doer[A]) NextRetry(job *river.Job[ref[A]]) time.Time {
	if at, ok := d.w.waits.LoadAndDelete(job.ID); ok {
		return at.(time.Time)
	}
	return time.Time{} // backOff decides
}

// patience is how long what ends a task may take.
const patience = 20 * time.Second

// final reports whether an error stays what it is however often the work is tried: it is the answer.
func final(err error) bool {
	var roof rooffile.Faults
	var said *desk.Error
	switch kind := store.KindOf(err); {
	case errors.As(err, &roof), errors.As(err, &said):
		return true
	case kind == 0:
		return false
	default:
		return kind != store.Failed && kind != store.Full
	}
}

// The first wait after a failure and the longest; it doubles in between.
const (
	firstWait = 5 * time.Second
	mostWait  = time.Hour
)

// waitOf is how long work waits after its nth try has failed: longer each time, and not all at the same moment.
func waitOf(try int) time.Duration {
	return jittered(min(firstWait<<min(max(try-1, 0), 12), mostWait))
}

// jittered is a wait, a quarter more or less.
func jittered(d time.Duration) time.Duration {
	return time.Duration(float64(d) * (0.75 + 0.5*rand.Float64()))
}

// backOff is how long River waits itself where a task did not get as far as to say.
type backOff struct{}

// NextRetry is when a job is tried again.
func (backOff) NextRetry(job *rivertype.JobRow) time.Time {
	return time.Now().Add(waitOf(job.Attempt))
}

// sentence is an error as a sentence.
func sentence(err error) string {
	text := strings.TrimSpace(strings.ReplaceAll(err.Error(), "\n", "; "))
	if r := []rune(text); len(r) > mostSaid {
		text = string(r[:mostSaid]) + "…"
	}
	if text == "" {
		text = "it failed"
	}
	first := []rune(text)
	text = strings.ToUpper(string(first[:1])) + string(first[1:])
	return strings.TrimSuffix(text, ".") + "."
}

// mostSaid is how many letters of a failure are told.
const mostSaid = 600

// inWords is a time to wait, rounded.
func inWords(d time.Duration) string {
	if d < 90*time.Second {
		return fmt.Sprintf("%.0f s", d.Seconds())
	}
	return fmt.Sprintf("%.0f min", d.Minutes())
}
