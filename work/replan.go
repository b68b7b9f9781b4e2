package work

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
	"time"

	"gelwright/desk"
	"gelwright/plan"
	"gelwright/steps"
	"gelwright/store"
	"gelwright/store/tables"
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

// chunk is how many jobs are planned again in one piece of work: few enough that a chunk begun anew costs seconds, many enough that
// the queue itself costs nothing beside it.
const chunk = 25

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
	for from := 0; from < len(jobs); from += chunk {
		some := jobs[from:min(from+chunk, len(jobs))]
		o := Order{Title: fmt.Sprintf("%d jobs under their weather", len(some)), Who: who}
		if len(some) == 1 {
			o.Title, o.About = "One job under its weather", string(some[0])
		}
		w, err := order(ctx, q, tx, o, ReplanArgs{some, cause})
		if err != nil {
			return nil, err
		}
		out = append(out, w)
	}
	return out, nil
}

// planner plans one job after another and keeps what the steps of their plans gave.
type planner struct{ cache *steps.Cache }

// stepsOfJob is about how many outputs of steps a roof of a few decks has.
const stepsOfJob = 32

func newPlanner(threads int) *planner {
	return &planner{steps.NewCache(max(desk.KeptSteps, threads*chunk*stepsOfJob))}
}

// replan plans the jobs of a chunk again. What of them was kept meanwhile is not worked out again.
func (w *Worker) replan(ctx context.Context, t *task, a ReplanArgs) error {
	var all []Chance
	for i, id := range a.Jobs {
		if err := t.progress(ctx, i, len(a.Jobs), fmt.Sprintf("%d of %d jobs are planned again.", i, len(a.Jobs))); err != nil {
			return err
		}
		c, err := w.chanceOf(ctx, id)
		if err != nil {
			return err
		}
		if c != nil {
			all = append(all, *c)
		}
	}
	t.row.Whole = len(a.Jobs)
	said := fmt.Sprintf("%d jobs are planned under their weather; of %d nothing had changed.", len(all), len(a.Jobs)-len(all))
	return t.finish(ctx, said, "",
		func(tx *tables.Tx) error {
			for i := range all {
				if err := keepChance(ctx, tx, &all[i]); err != nil {
					return err
				}
			}
			return nil
		})
}

// chanceOf plans a job again; nil where it follows from what was planned on already.
func (w *Worker) chanceOf(ctx context.Context, id store.ID) (*Chance, error) {
	b, err := w.q.Basis(ctx, id, 0)
	if err != nil {
		if final(err) && store.KindOf(err) == 0 {
			return &Chance{Job: id, Made: w.q.Now(), Verdict: Faulty, Reason: sentence(err)}, nil
		}
		return nil, err
	}
	key := fmt.Sprintf("%s %d", b.Key(), plan.Engine)
	was, err := w.q.Chance(ctx, id)
	if err == nil && was.basis == key {
		return nil, nil
	} else if err != nil && store.KindOf(err) != store.Unknown {
		return nil, err
	}
	c := &Chance{Job: id, Made: w.q.Now(), basis: key}
	err = w.desk.look(ctx, b, c)
	switch {
	case ctx.Err() != nil:
		return nil, context.Cause(ctx)
	case err != nil:
		c.Verdict, c.Reason = Faulty, sentence(NoPlan(err))
	}
	return c, nil
}

// noForecast is said of a job without weather.
const noForecast = "There is no forecast for the place. Name a weather service in the firm file, or put one in."

// look lays a job out under its weather.
func (p *planner) look(ctx context.Context, b *Basis, c *Chance) error {
	look := desk.UsualLook()
	look.Record = b.Record
	c.Target = look.Target
	if b.Sky == nil {
		c.Verdict, c.Reason = NoWeather, noForecast
		return nil
	}
	g, err := b.Given(p.cache)
	if err != nil {
		return err
	}
	f, err := b.Forecast(&g)
	if err != nil {
		return err
	}
	c.Issued, c.Credit = f.Issued, f.Credit
	if b.Record != nil {
		c.Learnt = b.Record.Says()
	}
	if len(f.Members) > 0 {
		// Open jobs are asked about from the forecast's first day on: their own date is when they were drawn.
		if site, err := desk.SiteOf(&g.Job); err == nil {
			look.From = f.Members[0].Start.In(site.Zone).Format(time.DateOnly)
		}
	}
	o, err := desk.LookOut(ctx, g, f, look)
	if err != nil {
		return err
	}
	found, err := o.When(ctx)
	if err != nil {
		return err
	}
	best := found.Best()
	if best == nil {
		c.Verdict, c.Reason = NoTime, found.Blocked
		return nil
	}
	c.Verdict, c.P, c.Begin, c.Finish = NotSure, best.P, best.Begin, best.Finish
	c.Reason = strings.TrimSpace(found.NoBucket)
	if found.Order() {
		c.Verdict = Sure
	}
	return nil
}
