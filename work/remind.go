package work

import (
	"context"
	"database/sql"
	"fmt"
	"time"

	"gelwright/office"
	"gelwright/store"
	"gelwright/store/tables"
)

// Reminder is what somebody is to be told of a job.
type Reminder struct {
	Job   store.ID  `json:"job"`
	Title string    `json:"title"`
	Kind  string    `json:"kind" doc:"weather, day, order, stage or promise"`
	Day   string    `json:"day"` // on which it was found, 2026-05-12
	Made  time.Time `json:"made"`
	Said  string    `json:"said"`
}

// The kinds of reminders.
const (
	weatherFell = "weather" // it was sure, and is so no more
	dayComes    = "day"     // a crew is put in for tomorrow, and that is not sure
	orderNow    = "order"   // its first day on the roof comes, and the goods are not ordered
	stageStands = "stage"   // it has stood long where it is
	promiseGone = "promise" // the day is over by which something was to come
)

// orderAheadDays is how many days before the first on the roof goods are to be ordered (common practice, no source: merchants deliver
// within the week).
const orderAheadDays = 7

// standsLongDays is after how many days a stage is reminded of (assumed; what is ordered waits for its days, which other reminders
// look after).
var standsLongDays = map[office.Stage]int{office.Enquiry: 14, office.Survey: 14, office.Design: 21, office.OnTheRoof: 21,
	office.HandOver: 14}

// put keeps a reminder, one of a kind and job a day.
func (r *Reminder) put(ctx context.Context, tx *tables.Tx) error {
	_, err := tx.ExecContext(ctx, "INSERT INTO reminder (job, kind, day, made_ms, said) VALUES (?, ?, ?, ?, ?) "+
		"ON CONFLICT (job, kind, day) DO NOTHING", r.Job, r.Kind, r.Day, r.Made.UnixMilli(), r.Said)
	return err
}

// remindOf reminds of a job that was sure and is so no more, in the change that keeps what was found.
func remindOf(ctx context.Context, tx *tables.Tx, c *Chance) error {
	var was string
	var wasP float64
	if err := tx.QueryRowContext(ctx, "SELECT was_verdict, was_p FROM chance WHERE job = ?", c.Job).Scan(&was, &wasP); err != nil {
		return err
	}
	if was != Sure || c.Verdict == Sure {
		return nil
	}
	r := Reminder{Job: c.Job, Kind: weatherFell, Day: c.Made.Format(time.DateOnly), Made: c.Made,
		Said: fmt.Sprintf("It held with %.0f %%; under the newest forecast it holds with %.0f %%, where %.0f %% are wanted.", 100*wasP, 100*c.P,
			100*c.Target)}
	return r.put(ctx, tx)
}

// onBooks is a job as the office has it.
type onBooks struct {
	id    store.ID
	sheet office.Job
	// first is the first day on the roof from today, empty for none.
	first string
}

// books reads the jobs that are not retired and not at their end.
func books(ctx context.Context, tx *tables.Tx, today string) ([]onBooks, error) {
	var out []onBooks
	rows, err := tx.QueryContext(ctx, "SELECT j.id, o.sheet, "+
		"coalesce((SELECT min(d.day) FROM office_sheet d WHERE d.kind = 'day' AND d.job = j.id AND d.away = 0 AND d.day >= ?), '') FROM job j "+
		"JOIN office_sheet o ON o.kind = 'job' AND o.id = j.id WHERE j.retired_ms IS NULL ORDER BY j.id", today)
	err = each(rows, err, func(rows *sql.Rows) error {
		var b onBooks
		var raw []byte
		if err := rows.Scan(&b.id, &raw, &b.first); err != nil {
			return err
		}
		sheet, err := office.Read(office.KindJob, raw)
		if err != nil {
			return err
		}
		var is bool
		if b.sheet, is = sheet.(office.Job); is {
			out = append(out, b)
		}
		return nil
	})
	return out, err
}

// remind looks through the office's books for what somebody is to be told of a day.
func remind(ctx context.Context, tx *tables.Tx, day string, now time.Time) error {
	date, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return err
	}
	all, err := books(ctx, tx, day)
	if err != nil {
		return err
	}
	for i := range all {
		for kind, said := range all[i].reminders(date) {
			r := Reminder{Job: all[i].id, Kind: kind, Day: day, Made: now, Said: said}
			if err := r.put(ctx, tx); err != nil {
				return err
			}
		}
	}
	return nil
}

// reminders are what is to be told of a job on a day, by kind.
func (b *onBooks) reminders(today time.Time) map[string]string {
	out := map[string]string{}
	at := b.sheet.At()
	if at == office.Order && b.sheet.Ordered == "" && b.first != "" {
		if n := daysTo(today, b.first); n <= orderAheadDays {
			out[orderNow] = fmt.Sprintf("Its first day on the roof is %s, in %s, and the goods are not ordered. Order them, or put the day off.",
				b.first, countOf(n, "day", "days"))
		}
	}
	for _, r := range b.sheet.Reached {
		most, looked := standsLongDays[at]
		if n := -daysTo(today, r.Date); looked && r.Stage == at && r.Date != "" && n > most {
			out[stageStands] = fmt.Sprintf("It has stood at %s for %d days, since %s. Move it along, or note what it waits for.", at, n, r.Date)
		}
	}
	for _, w := range b.sheet.Awaits {
		if n := -daysTo(today, w.By); w.By != "" && n > 0 {
			out[promiseGone] = fmt.Sprintf("%s was to come by %s, %s ago. Ask after it.", w.What, w.By, countOf(n, "day", "days"))
		}
	}
	return out
}

// remindDays reminds of jobs for which a crew is put in tomorrow though that is not sure, by what their newest plan says.
func remindDays(ctx context.Context, tx *tables.Tx, jobs []store.ID, now time.Time) error {
	if len(jobs) == 0 {
		return nil
	}
	tomorrow := now.AddDate(0, 0, 1).Format(time.DateOnly)
	var out []Reminder
	rows, err := tx.QueryContext(ctx, "SELECT DISTINCT j.id, coalesce(c.verdict, ''), coalesce(c.p, 0.0), coalesce(c.target, 0.0), "+
		"coalesce(c.begin_ms, 0), coalesce(c.finish_ms, 0), coalesce(k.zone, 'UTC') FROM office_sheet d JOIN job j ON j.id = d.job "+
		"LEFT JOIN chance c ON c.job = j.id LEFT JOIN kept_work k ON k.job = j.id "+
		"WHERE d.kind = 'day' AND d.away = 0 AND d.day = ? AND "+tables.OpenJob("j")+" AND j.id IN ("+marks(len(jobs))+")",
		append([]any{tomorrow}, anyOf(jobs)...)...)
	err = each(rows, err, func(rows *sql.Rows) error {
		r := Reminder{Kind: dayComes, Day: now.Format(time.DateOnly), Made: now}
		var c Chance
		var begin, finish int64
		var zone string
		if err := rows.Scan(&r.Job, &c.Verdict, &c.P, &c.Target, &begin, &finish, &zone); err != nil {
			return err
		}
		at, err := time.LoadLocation(zone)
		if err != nil {
			return err
		}
		c.Begin, c.Finish = when(begin).In(at), when(finish).In(at)
		if r.Said = c.doubts(tomorrow); r.Said != "" {
			out = append(out, r)
		}
		return nil
	})
	if err != nil {
		return err
	}
	for i := range out {
		if err := out[i].put(ctx, tx); err != nil {
			return err
		}
	}
	return nil
}

// doubts says why a day for which a crew is put in is not sure; empty where it is.
func (c *Chance) doubts(day string) string {
	const put, remedy = "A crew is put in for tomorrow, ", " Look at the day, and tell crew and customer."
	begin, finish := c.Begin.Format(time.DateOnly), c.Finish.Format(time.DateOnly)
	switch {
	case c.Verdict == "" || c.Verdict == NoWeather || c.Verdict == Faulty:
		return put + "and nothing is known of its weather." + remedy
	case c.Verdict != Sure:
		return fmt.Sprintf("%sand the roof is sure to %.0f %%, where %.0f %% are wanted.%s", put, 100*c.P, 100*c.Target, remedy)
	case day < begin || day > finish:
		return fmt.Sprintf("%sand what is sure is %s to %s.%s", put, begin, finish, remedy)
	}
	return ""
}

// daysTo is how many days it is from one to a date; 0 where that cannot be read.
func daysTo(from time.Time, date string) int {
	to, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return 0
	}
	return int(to.Sub(from).Hours() / 24)
}

// Reminders lists what somebody is to be told of jobs, the newest first: of weather, days and goods while the job is open.
func (q *Queue) Reminders(ctx context.Context) ([]Reminder, error) {
	var out []Reminder
	err := q.db.Look(ctx, func(tx *tables.Tx) error {
		out = []Reminder{}
		rows, err := tx.QueryContext(ctx, "SELECT r.job, j.title, r.kind, r.day, r.made_ms, r.said FROM reminder r JOIN job j ON j.id = r.job "+
			"WHERE (r.kind IN (?, ?) AND j.retired_ms IS NULL OR "+tables.OpenJob("j")+") ORDER BY r.day DESC, r.job, r.kind LIMIT ?",
			stageStands, promiseGone, MostListed)
		return each(rows, err, func(rows *sql.Rows) error {
			var r Reminder
			var made int64
			if err := rows.Scan(&r.Job, &r.Title, &r.Kind, &r.Day, &made, &r.Said); err != nil {
				return err
			}
			r.Made = when(made)
			out = append(out, r)
			return nil
		})
	})
	return out, err
}
