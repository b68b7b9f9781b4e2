package work

import (
	"context"
	"fmt"
	"time"

	"gelwright/store"
	"gelwright/store/tables"
)

// Reminder is what somebody is to be told of a job.
type Reminder struct {
	Job   store.ID  `json:"job"`
	Title string    `json:"title"`
	Kind  string    `json:"kind"`
	Day   string    `json:"day"` // on which it was found, 2026-05-12
	Made  time.Time `json:"made"`
	Said  string    `json:"said"`
}

// weatherFell is the kind of a reminder that a job's chance has fallen under what is wanted.
const weatherFell = "weather"

// remindOf reminds of a job that was sure and is so no more, once a day, in the change that keeps what was found.
func remindOf(ctx context.Context, tx *tables.Tx, c *Chance) error {
	var was string
	var wasP float64
	if err := tx.QueryRowContext(ctx, "SELECT was_verdict, was_p FROM chance WHERE job = ?", c.Job).Scan(&was, &wasP); err != nil {
		return err
	}
	if was != Sure || c.Verdict == Sure {
		return nil
	}
	said := fmt.Sprintf("It held with %.0f %%; under the newest forecast it holds with %.0f %%, where %.0f %% are wanted.", 100*wasP, 100*c.P,
		100*c.Target)
	_, err := tx.ExecContext(ctx, "INSERT INTO reminder (job, kind, day, made_ms, said) VALUES (?, ?, ?, ?, ?) "+
		"ON CONFLICT (job, kind, day) DO NOTHING", c.Job, weatherFell, c.Made.Format(time.DateOnly), c.Made.UnixMilli(), said)
	return err
}

// Reminders lists what somebody is to be told of open jobs, the newest first.
func (q *Queue) Reminders(ctx context.Context) ([]Reminder, error) {
	var out []Reminder
	err := q.db.Look(ctx, func(tx *tables.Tx) error {
		out = []Reminder{}
		rows, err := tx.QueryContext(ctx, "SELECT r.job, j.title, r.kind, r.day, r.made_ms, r.said FROM reminder r JOIN job j ON j.id = r.job "+
			"WHERE "+tables.OpenJob("j")+" ORDER BY r.day DESC, r.job, r.kind LIMIT ?", MostListed)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var r Reminder
			var made int64
			if err := rows.Scan(&r.Job, &r.Title, &r.Kind, &r.Day, &made, &r.Said); err != nil {
				return err
			}
			r.Made = when(made)
			out = append(out, r)
		}
		return rows.Err()
	})
	return out, err
}
