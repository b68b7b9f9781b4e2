package work

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"os"
	"runtime"
	"sync"
	"time"

	"github.com/riverqueue/river"

	"gelwright/store"
	"gelwright/store/tables"
)

// Worker takes work out of a queue and does it, until it is stopped.
type Worker struct {
	q    *Queue
	id   string
	name string
	log  *slog.Logger
	c    client
	how  Settings
	desk *planner

	waits sync.Map // when jobs that failed are tried again, by River's number

	mu    sync.Mutex
	tasks map[*task]bool

	dailyDone string // the day of which all was ordered, as far as this worker knows

	end    context.CancelFunc
	beaten chan struct{}
}

// Settings are how a worker works. The zero value is as usual.
type Settings struct {
	// Threads is how many pieces of work that compute are done at once; 0 is one for each processor.
	Threads int
	// Beat is how often the worker says that it lives, and Dead after how long without it one counts as dead; 0 are 3 s and 20 s.
	Beat, Dead time.Duration
	// Version is the program's: papers are kept by it.
	Version string
	// Daily is when the round of the morning is ordered, and the backup; nil leaves both to others. Backups is where backups are kept;
	// nil writes none.
	Daily   *Daily
	Backups *Backups
	// HTTP asks weather services, and Patience is how long an answer may take; nil and 0 are as usual.
	HTTP     *http.Client
	Patience time.Duration
}

const (
	usualBeat = 3 * time.Second
	usualDead = 20 * time.Second
	// graceful is how long what is under way may go on once the worker is told to end.
	graceful = 8 * time.Second
)

// Start begins to work; Stop ends it.
func (q *Queue) Start(ctx context.Context, how Settings) (*Worker, error) {
	if how.Threads <= 0 {
		how.Threads = runtime.GOMAXPROCS(0)
	}
	if how.Beat <= 0 {
		how.Beat, how.Dead = usualBeat, usualDead
	}
	host, err := os.Hostname()
	if err != nil {
		host = "this computer"
	}
	w := &Worker{q: q, id: string(store.NewID()), name: fmt.Sprintf("%.60s, process %d", host, os.Getpid()), log: q.log, how: how,
		tasks: map[*task]bool{}, beaten: make(chan struct{}), desk: newPlanner(how.Threads)}
	c := configOf(w.id, how, q.log, w.kinds())
	if w.c, err = q.engine.worker(c); err != nil {
		return nil, err
	}
	if err := w.beat(ctx); err != nil {
		return nil, err
	}
	if err := w.daily(ctx); err != nil {
		return nil, err
	}
	// River and the beats outlive ctx: what is under way ends first.
	life, end := context.WithCancel(context.WithoutCancel(ctx))
	w.end = end
	if err := w.c.Start(life); err != nil {
		end()
		return nil, err
	}
	go w.live(life)
	return w, nil
}

// kinds are what a worker can do.
func (w *Worker) kinds() *river.Workers {
	all := river.NewWorkers()
	add(all, w, w.papers)
	add(all, w, w.replan)
	add(all, w, w.fetch)
	add(all, w, w.morning)
	add(all, w, w.backup)
	return all
}

func add[A kinded](all *river.Workers, w *Worker, do func(ctx context.Context, t *task, args A) error) {
	river.AddWorker(all, &doer[A]{w: w, do: do})
}

// Stop lets what is under way end, or go back where it takes too long, and ends the worker.
func (w *Worker) Stop(ctx context.Context) error {
	err := w.c.Stop(ctx)
	w.end()
	<-w.beaten
	// Nobody need wait for this one's beats to miss.
	late, stop := context.WithTimeout(context.WithoutCancel(ctx), patience)
	defer stop()
	return errorsOf(err, w.q.db.Change(late, func(tx *tables.Tx) error {
		_, err := tx.ExecContext(late, "DELETE FROM worker WHERE id = ?", w.id)
		return err
	}))
}

// watch has a task ended when it is held here no more; leave ends that.
func (w *Worker) watch(t *task) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.tasks[t] = true
}

func (w *Worker) leave(t *task) {
	w.mu.Lock()
	defer w.mu.Unlock()
	delete(w.tasks, t)
}

// live says every few seconds that the worker lives, and looks after the work of those who do not.
func (w *Worker) live(ctx context.Context) {
	defer close(w.beaten)
	tick := time.NewTicker(w.how.Beat)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		for _, step := range []func(context.Context) error{w.beat, w.drop, w.giveBack, w.daily} {
			if err := step(ctx); err != nil && ctx.Err() == nil {
				w.log.Warn("looking after the work behind the page", "error", err)
			}
		}
	}
}
