package work

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"gelwright/desk"
	"gelwright/store"
	"gelwright/store/tables"
	"gelwright/weather/fetch"
)

// FetchArgs are a place and the weather service that is asked for it, once however many jobs are there.
type FetchArgs struct {
	Place Place `json:"place"`
	// Service is the address of the firm file, with its holes; Contact is sent to services that ask who calls.
	Service string `json:"service"`
	Contact string `json:"contact"`
	// Round is the day whose round of the morning it is of; empty where it is asked for by itself. The open jobs of the place are planned
	// again when it ends, whatever the service answers.
	Round string `json:"round,omitempty"`
}

// Kind names it.
func (FetchArgs) Kind() string  { return "weather" }
func (FetchArgs) queue() string { return asking }
func (a FetchArgs) key() string {
	if a.Round != "" {
		return fmt.Sprintf("%s at %s, round of %s", a.Service, a.Place, a.Round)
	}
	return fmt.Sprintf("%s at %s", a.Service, a.Place)
}

// fetchIn orders the weather of a place within a change.
func (q *Queue) fetchIn(ctx context.Context, tx *tables.Tx, a FetchArgs, who string, at time.Time) (Work, error) {
	o := Order{About: string(a.Place), Title: "Weather at " + string(a.Place), Who: who, At: at}
	return order(ctx, q, tx, o, a)
}

// Fetch orders the weather of a job's place.
func (q *Queue) Fetch(ctx context.Context, job store.ID, who string) (Work, error) {
	b, err := BasisOf(ctx, q.db, job, 0)
	if err != nil {
		return Work{}, err
	}
	x, err := whereIs(b)
	if err != nil {
		return Work{}, err
	}
	if x.service == "" {
		return Work{}, &desk.Error{Kind: desk.Asked, Place: "firm file", Found: "it names no weather service",
			Remedy: "Write forecast: {address: …} into the firm file of the job, or put a forecast in"}
	}
	var w Work
	err = q.db.Change(ctx, func(tx *tables.Tx) error {
		if err := keepPlace(ctx, tx, job, x); err != nil {
			return err
		}
		var err error
		w, err = q.fetchIn(ctx, tx, FetchArgs{x.place, x.service, x.contact, ""}, who, time.Time{})
		return err
	})
	return w, err
}

// A service that does not answer is left alone, for longer each time; one that answers is not asked again before its answer expires.
const (
	leastAlone = 5 * time.Minute
	mostAlone  = 6 * time.Hour
)

// alone is how long a service is left alone after its nth failure.
func alone(failures int, err error) time.Duration {
	wait := jittered(min(leastAlone<<min(failures, 10), mostAlone))
	var r *fetch.Refusal
	if errors.As(err, &r) {
		wait = max(wait, r.Wait)
	}
	return wait
}

// fetch asks a weather service, keeps the forecast as it was made, and has the jobs of the place planned again under one that is new.
func (w *Worker) fetch(ctx context.Context, t *task, a FetchArgs) error {
	site, err := a.Place.Site()
	if err != nil {
		return &desk.Error{Kind: desk.Faulty, Place: "place", Cause: err}
	}
	from := fetch.Provider{Name: "the firm's weather service", Address: a.Service, Asker: a.Contact}
	address, err := from.URL(site)
	if err != nil {
		return &desk.Error{Kind: desk.Faulty, Place: "firm file, forecast", Cause: err}
	}
	keep := answers{q: w.q, place: a.Place, address: address}
	now := w.q.Now()
	until, err := keep.askable(ctx)
	if err != nil {
		return err
	}
	if now.Before(until) {
		said := fmt.Sprintf("Failed: the service did not answer before and is left alone until %s UTC. Ask again after that, or put a forecast "+
			"into the job.%s", clock(until), w.age(ctx, a.Place, now))
		return t.end(ctx, Failed, said, "", func(tx *tables.Tx) error { return w.afterFetch(ctx, tx, t, a, false) })
	}
	client := fetch.Client{HTTP: w.how.HTTP, Keep: &keep, Timeout: w.how.Patience, Now: w.q.Now}
	f, out, err := client.Forecast(ctx, from, site)
	switch {
	case ctx.Err() != nil:
		return context.Cause(ctx)
	case err != nil || out.Stale:
		return w.noAnswer(ctx, t, a, keep, cmp.Or(out.Why, err))
	}
	said := fmt.Sprintf("The forecast of %s UTC is kept. %s", clock(out.Fetched), f.Credit)
	if out.Kept {
		said = fmt.Sprintf("Nothing new: the forecast of %s UTC stands. %s", clock(out.Fetched), f.Credit)
	}
	return t.finish(ctx, said, "", func(tx *tables.Tx) error {
		fresh, err := keepForecast(ctx, tx, a.Place, &f, out.Body, now)
		if err != nil {
			return err
		}
		return w.afterFetch(ctx, tx, t, a, fresh)
	})
}

// afterFetch orders that the jobs of the place are planned again: all of them under a forecast that is new, or else the open ones where it
// is the round of a morning.
func (w *Worker) afterFetch(ctx context.Context, tx *tables.Tx, t *task, a FetchArgs, fresh bool) error {
	var jobs []store.ID
	var err error
	cause := "forecast of " + w.q.Now().Format(time.RFC3339Nano)
	switch {
	case fresh:
		jobs, err = jobsAt(ctx, tx, a.Place)
	case a.Round != "":
		cause = "morning " + a.Round
		jobs, err = openAt(ctx, tx, a.Place)
	}
	if err != nil || len(jobs) == 0 {
		return err
	}
	_, err = w.q.replanIn(ctx, tx, jobs, t.row.Who, cause)
	return err
}

// noAnswer puts down that a service did not answer: offline is normal, what is kept stands, and it is asked again later.
func (w *Worker) noAnswer(ctx context.Context, t *task, a FetchArgs, keep answers, why error) error {
	now := w.q.Now()
	until := now.Add(alone(keep.failures, why))
	again := fmt.Sprintf("It is asked again after %s UTC.", clock(until))
	last := keep.failures+1 >= mostTries
	if last {
		again = "It is asked again in the next round of the morning."
	}
	said := fmt.Sprintf("Failed: the weather service gives no answer: %s %s%s", plainly(why), again, w.age(ctx, a.Place, now))
	return t.end(ctx, Failed, said, "", func(tx *tables.Tx) error {
		if err := keep.refused(ctx, tx, until); err != nil {
			return err
		}
		if !last {
			later := a
			later.Round = ""
			if _, err := w.q.fetchIn(ctx, tx, later, t.row.Who, until); err != nil {
				return err
			}
		}
		return w.afterFetch(ctx, tx, t, a, false)
	})
}

// plainly is why a service gave no answer, ended as a sentence is.
func plainly(why error) string { return strings.TrimSuffix(why.Error(), ".") + "." }

// age says how old the forecast is that is kept of a place.
func (w *Worker) age(ctx context.Context, place Place, now time.Time) string {
	var sky *Named
	if err := w.q.db.Look(ctx, func(tx *tables.Tx) (err error) {
		sky, err = newestSky(ctx, tx, place)
		return err
	}); err != nil || sky == nil {
		return " No forecast is kept."
	}
	return fmt.Sprintf(" The one that is kept is %.0f h old.", now.Sub(sky.when).Hours())
}

// clock is a time as it is told.
func clock(t time.Time) string { return t.UTC().Format("2 January 15:04") }
