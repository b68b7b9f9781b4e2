package work

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"time"

	"gelwright/desk"
	"gelwright/steps"
	"gelwright/store"
	"gelwright/store/tables"
	"gelwright/weather"
	"gelwright/weather/forecast"
)

// ReplanArgs are jobs that are planned again under their weather, a chunk at once.
type ReplanArgs struct {
	Jobs []store.ID `json:"jobs"`
	// Cause names what is new since they were planned: a re-plan that is under way may not have seen it, so another is ordered.
	Cause string `json:"cause,omitempty"`
}

// Kind names it.
func (ReplanArgs) Kind() string  { return "replan" }
func (ReplanArgs) queue() string { return computing }

func (a ReplanArgs) key() string {
	h := sha256.New()
	fmt.Fprintf(h, "%q\n", a.Cause)
	for _, id := range a.Jobs {
		h.Write([]byte(id))
	}
	return hex.EncodeToString(h.Sum(nil)[:16])
}

// How many jobs are planned again in one piece of work: few enough that one begun anew costs seconds, many enough that the queue
// costs nothing beside it. Jobs of one place stay together, up to mostChunk: they have their weather in common.
const (
	chunk     = 25
	mostChunk = 60
)

// chunks parts jobs, those of one place one after another, into what is planned again at once.
func chunks(jobs []store.ID, placeOf map[store.ID]string) [][]store.ID {
	var out [][]store.ID
	from := 0
	for i := range jobs {
		n := i + 1 - from
		last := i+1 == len(jobs)
		if last || n == mostChunk || n >= chunk && (placeOf[jobs[i]] == "" || placeOf[jobs[i]] != placeOf[jobs[i+1]]) {
			out = append(out, jobs[from:i+1])
			from = i + 1
		}
	}
	return out
}

// Replan orders that jobs are planned again under the weather of their places, in chunks.
func (q *Queue) Replan(ctx context.Context, jobs []store.ID, who string) ([]Work, error) {
	var out []Work
	err := q.db.Change(ctx, func(tx *tables.Tx) (err error) {
		out, err = q.replanIn(ctx, tx, jobs, who, "")
		return err
	})
	return out, err
}

// replanIn is Replan within a change.
func (q *Queue) replanIn(ctx context.Context, tx *tables.Tx, jobs []store.ID, who, cause string) ([]Work, error) {
	out := []Work{}
	jobs, at, err := placed(ctx, tx, jobs)
	if err != nil {
		return nil, err
	}
	for _, some := range chunks(jobs, at) {
		o := Order{Title: countOf(len(some), "job under its weather", "jobs under their weather"), Who: who}
		if len(some) == 1 {
			o.Title, o.About = "1 job under its weather", string(some[0])
		}
		w, err := order(ctx, q, tx, o, ReplanArgs{some, cause})
		if err != nil {
			return nil, err
		}
		out = append(out, w)
	}
	return out, nil
}

// planner is what a worker has in hand while it plans one job after another: what the steps of plans gave, and parts of kept work.
type planner struct {
	cache *steps.Cache
	parts *parts
}

// stepsOfJob is about how many outputs of steps a roof of a few decks has.
const stepsOfJob = 32

func newPlanner(threads int) *planner {
	return &planner{steps.NewCache(max(desk.KeptSteps, threads*chunk*stepsOfJob)), newParts()}
}

// round is a chunk of jobs that are planned again.
type round struct {
	w     *Worker
	t     *task
	jobs  []*standing
	found []Chance
	// done of them are, of which some stood; the others were looked for anew.
	done, stood, sought, anew int
}

// replan plans the jobs of a chunk again: what stands is judged, and only what falls is looked for anew. What follows from what it was
// planned on last is left as it is.
func (w *Worker) replan(ctx context.Context, t *task, a ReplanArgs) error {
	r := &round{w: w, t: t}
	t.row.Whole = len(a.Jobs)
	if err := w.q.db.Look(ctx, func(tx *tables.Tx) (err error) {
		if r.jobs, err = standings(ctx, tx, a.Jobs); err != nil {
			return err
		}
		return w.q.underSky(ctx, tx, r.jobs, w.q.Now())
	}); err != nil {
		return err
	}
	open := len(r.jobs)
	if err := r.worked(ctx); err != nil {
		return err
	}
	for _, group := range r.bySky() {
		if err := r.plan(ctx, group); err != nil {
			return err
		}
	}
	said := fmt.Sprintf("%s planned under their weather (%d stand, %d looked for anew, %d worked out); of %d nothing had changed.",
		countOf(len(r.found), "job is", "jobs are"), r.stood, r.sought, r.anew, open-len(r.found))
	return t.finish(ctx, said, "", func(tx *tables.Tx) error {
		if err := keepWork(ctx, tx, r.jobs); err != nil {
			return err
		}
		for i := range r.found {
			if err := keepChance(ctx, tx, &r.found[i]); err != nil {
				return err
			}
		}
		return remindDays(ctx, tx, a.Jobs, w.q.Now())
	})
}

// countOf is a count with its noun.
func countOf(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// worked has the work of each job in hand; of jobs that stand already on what they follow from none is needed, and they are left out.
func (r *round) worked(ctx context.Context) error {
	q := r.w.q
	var known []*standing
	for _, x := range r.jobs {
		if x.kept != x.roof || x.key != x.was.basis {
			known = append(known, x)
		}
	}
	r.jobs = nil
	if err := q.db.Look(ctx, func(tx *tables.Tx) error { return r.w.desk.parts.withWork(ctx, tx, known) }); err != nil {
		return err
	}
	var anew []*standing
	for _, x := range known {
		if x.worked == nil {
			x.kept = "" // none, or what cannot be read
			if err := r.say(ctx, "worked out"); err != nil {
				return err
			}
			err := x.work(ctx, r.w)
			switch {
			case ctx.Err() != nil:
				return context.Cause(ctx)
			case err != nil && !isAnswer(err):
				return err
			case err != nil:
				r.faulty(x, err)
				continue
			}
			anew = append(anew, x)
			r.anew++
		}
		r.jobs = append(r.jobs, x)
	}
	if len(anew) == 0 {
		return nil
	}
	// Only now is known where they are.
	if err := q.db.Look(ctx, func(tx *tables.Tx) error { return q.underSky(ctx, tx, anew, q.Now()) }); err != nil {
		return err
	}
	r.jobs = slices.DeleteFunc(r.jobs, func(x *standing) bool { return !x.fresh && x.key == x.was.basis })
	return nil
}

// isAnswer reports whether an error says something of the roof, and not of the database or the program.
func isAnswer(err error) bool { return final(err) && store.KindOf(err) == 0 }

// faulty puts down that there is no plan of a job, and why.
func (r *round) faulty(x *standing, err error) {
	if x.key == "" {
		x.key = chanceKey(x)
	}
	if x.key == x.was.basis {
		return // it has been said
	}
	r.found = append(r.found, Chance{Job: x.id, Made: r.w.q.Now(), Verdict: Faulty, Reason: sentence(err), basis: x.key,
		Target: desk.UsualLook().Target})
}

// say tells how far it is.
func (r *round) say(ctx context.Context, what string) error {
	return r.t.progress(ctx, min(r.done, r.t.row.Whole), r.t.row.Whole, fmt.Sprintf("%d of %d jobs are %s.", r.done, r.t.row.Whole, what))
}

// bySky are the jobs by the forecast that they stand under.
func (r *round) bySky() [][]*standing {
	var out [][]*standing
	at := map[string]int{}
	for _, x := range r.jobs {
		key := ""
		if x.sky != nil {
			if x.sky.name == ForecastName {
				x.sky.year = desk.YearOf(&x.worked.Job, "", time.Time{})
			}
			key = fmt.Sprintf("%s %d", x.sky.hash, x.sky.year)
		}
		i, known := at[key]
		if !known {
			i = len(out)
			at[key], out = i, append(out, nil)
		}
		out[i] = append(out[i], x)
	}
	return out
}

// noForecast is said of a job without weather.
const noForecast = "There is no forecast for the place. Name a weather service in the firm file, or put one in."

// plan plans jobs that stand under one forecast again.
func (r *round) plan(ctx context.Context, jobs []*standing) error {
	if jobs[0].sky == nil {
		for _, x := range jobs {
			r.found = append(r.found, Chance{Job: x.id, Made: r.w.q.Now(), Verdict: NoWeather, Reason: noForecast, basis: x.key,
				Target: desk.UsualLook().Target})
			r.done++
		}
		return nil
	}
	sky, err := jobs[0].sky.read(ctx)
	if err != nil {
		if !isAnswer(err) || ctx.Err() != nil {
			return err
		}
		for _, x := range jobs {
			r.faulty(x, err)
			r.done++
		}
		return nil
	}
	look := desk.UsualLook()
	look.Record = jobs[0].sky.record
	m := desk.NewMorning(sky, look, nil)
	slices.SortStableFunc(jobs, func(a, b *standing) int { return desk.Beside(&a.worked.Job, &b.worked.Job) })
	for _, x := range jobs {
		if err := r.say(ctx, "planned again"); err != nil {
			return err
		}
		c, err := r.again(ctx, m, x)
		switch {
		case ctx.Err() != nil:
			return context.Cause(ctx)
		case err != nil && !isAnswer(err):
			return err
		case err != nil:
			r.faulty(x, err)
		default:
			c.Issued, c.Credit = sky.Issued, sky.Credit
			if look.Record != nil {
				c.Learnt = look.Record.Says()
			}
			r.found = append(r.found, *c)
		}
		r.done++
		x.worked, x.given = kept(x), desk.Given{}
	}
	return nil
}

// kept is the work that is still to be kept; of other jobs it is needed no more.
func kept(x *standing) *desk.Worked {
	if x.fresh {
		return x.worked
	}
	return nil
}

// read reads the forecast.
func (s *skyOfPlace) read(ctx context.Context) (weather.Forecast, error) {
	text, err := s.load(ctx)
	if err != nil {
		return weather.Forecast{}, err
	}
	zone, err := time.LoadLocation(s.zone)
	if err != nil {
		return weather.Forecast{}, err
	}
	f, err := forecast.Read(text, forecast.Options{Name: s.name, Zone: zone, Year: s.year})
	if err != nil {
		return f, &desk.Error{Kind: desk.Faulty, Place: s.name, Cause: err, Remedy: "Put the forecast in again under another name"}
	}
	return f, nil
}

// again judges what stands of a job, and looks for a sure programme in the place of what falls. Where there is none, what stood
// stays; where nothing stood, the best is looked for.
func (r *round) again(ctx context.Context, m *desk.Morning, x *standing) (*Chance, error) {
	p := desk.Planned{Worked: x.worked, Starts: x.was.fixed(), Was: x.was.P, Seek: desk.SeekNothing}
	c := &Chance{Job: x.id, Made: r.w.q.Now(), basis: x.key, Target: desk.UsualLook().Target}
	var judged *desk.Replanned
	if len(p.Starts) > 0 {
		var err error
		if judged, err = m.Replan(ctx, p); err != nil {
			return nil, NoPlan(err)
		}
		if c.stands(judged, &x.was); c.Verdict == Sure || judged.Stands == desk.Beyond {
			r.stood++
			return c, c.fix(p.Starts)
		}
	}
	if err := x.give(ctx, r.w); err != nil {
		return nil, err
	}
	r.sought++
	p.Given, p.Seek = x.given, desk.SeekSure
	falls := judged != nil && judged.Stands == desk.Falls
	if !falls {
		p.Starts = nil
	}
	found, err := m.Replan(ctx, p)
	if err == nil && found.Best.Best() == nil {
		if falls { // what stood is as likely as it is
			return c, c.fix(p.Starts)
		}
		p.Seek = desk.SeekBest
		found, err = m.Replan(ctx, p)
	}
	if err != nil {
		return nil, NoPlan(err)
	}
	best := found.Best.Best()
	if best == nil {
		c.Verdict, c.Reason = NoTime, found.Best.Blocked
		return c, nil
	}
	c.Verdict, c.P, c.Begin, c.Finish = NotSure, best.P, best.Begin, best.Finish
	c.Reason = strings.TrimSpace(found.Best.NoBucket)
	if found.Best.Order() {
		c.Verdict = Sure
	}
	return c, c.fix(found.Starts())
}

// stands puts into a chance what has become of starts that stood.
func (c *Chance) stands(r *desk.Replanned, was *Chance) {
	c.Verdict, c.P, c.Begin, c.Finish, c.Reason = NotSure, r.P, was.Begin, was.Finish, r.Against
	switch r.Stands {
	case desk.Holds, desk.HoldsSoFar:
		c.Verdict = Sure
		if was.Verdict != Sure && was.Reason != "" { // no bucket could be mixed: it is looked for anew
			c.Verdict = NotSure
		}
	case desk.Beyond:
		c.Verdict, c.P, c.Reason = was.Verdict, was.P, "The forecast does not reach its days."
	}
	if r.Planned != nil && r.Left == 0 {
		c.Begin, c.Finish = r.Planned.Begin, r.Planned.Finish
	}
}
