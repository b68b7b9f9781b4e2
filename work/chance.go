package work

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"gelwright/store"
	"gelwright/store/tables"
)

// Chance is what planning a job again under its weather gave.
type Chance struct {
	Job     store.ID  `json:"job"`
	Made    time.Time `json:"made"`
	Issued  time.Time `json:"issued,omitzero"` // of the forecast, where it says
	Verdict string    `json:"verdict"`         // sure, not sure, no time, no weather, faulty
	P       float64   `json:"p"`               // that every stage of the best programme holds
	Target  float64   `json:"target"`
	Begin   time.Time `json:"begin,omitzero"`
	Finish  time.Time `json:"finish,omitzero"`
	Reason  string    `json:"reason,omitempty"`
	// Learnt is what readings on site have shown of the forecasts; Credit names who made the forecast.
	Learnt string `json:"learnt,omitempty"`
	Credit string `json:"credit,omitempty"`
	// Was and WasP are those of the re-plan before; empty for the first.
	Was  string  `json:"was,omitempty"`
	WasP float64 `json:"was_p,omitempty"`
	// Runs is how often it was worked out.
	Runs int `json:"runs"`

	basis string
	// starts are those of the stages of the programme that stands, JSON.
	starts string
}

// The verdicts of a re-plan.
const (
	Sure      = "sure"
	NotSure   = "not sure"
	NoTime    = "no time"
	NoWeather = "no weather"
	Faulty    = "faulty"
)

const chanceColumns = "job, basis, made_ms, issued_ms, verdict, p, target, begin_ms, finish_ms, starts, reason, learnt, credit, " +
	"was_verdict, was_p, runs"

// keepChance keeps what a re-plan gave; the one before becomes what was.
func keepChance(ctx context.Context, tx *tables.Tx, c *Chance) error {
	_, err := tx.ExecContext(ctx, "INSERT INTO chance ("+chanceColumns+") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, '', 0, 1) "+
		"ON CONFLICT (job) DO UPDATE SET basis = excluded.basis, made_ms = excluded.made_ms, issued_ms = excluded.issued_ms, "+
		"verdict = excluded.verdict, p = excluded.p, target = excluded.target, begin_ms = excluded.begin_ms, "+
		"finish_ms = excluded.finish_ms, starts = excluded.starts, reason = excluded.reason, learnt = excluded.learnt, "+
		"credit = excluded.credit, was_verdict = chance.verdict, was_p = chance.p, runs = chance.runs + 1", c.Job, c.basis,
		c.Made.UnixMilli(), msOf(c.Issued), c.Verdict, c.P, c.Target, msOf(c.Begin), msOf(c.Finish), c.starts, c.Reason, c.Learnt, c.Credit)
	if err != nil {
		return err
	}
	return remindOf(ctx, tx, c)
}

// msOf is a time as it is kept; 0 is none.
func msOf(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMilli()
}

// Chance is what the last re-plan of a job gave; Unknown where there was none.
func (q *Queue) Chance(ctx context.Context, job store.ID) (Chance, error) {
	var c Chance
	err := q.db.Look(ctx, func(tx *tables.Tx) error {
		var made, issued, begin, finish int64
		err := tx.QueryRowContext(ctx, "SELECT "+chanceColumns+" FROM chance WHERE job = ?", job).Scan(&c.Job, &c.basis, &made, &issued,
			&c.Verdict, &c.P, &c.Target, &begin, &finish, &c.starts, &c.Reason, &c.Learnt, &c.Credit, &c.Was, &c.WasP, &c.Runs)
		c.Made, c.Issued, c.Begin, c.Finish = when(made), when(issued), when(begin), when(finish)
		if errors.Is(err, sql.ErrNoRows) {
			return &store.Error{Kind: store.Unknown, Place: "job " + string(job), Found: "it was not planned under its weather yet",
				Remedy: "POST /api/jobs/{id}/replan asks for it"}
		}
		return err
	})
	return c, err
}
