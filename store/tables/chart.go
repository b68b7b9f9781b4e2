package tables

import (
	"context"
	"fmt"
	"strings"

	"gelwright/office"
	"gelwright/store"
)

// stageNow is where a job stands; one without a sheet is an enquiry.
const stageNow = "coalesce(o.stage, 'enquiry')"

// OpenJob is the condition that a job, of a table that is called so, is open: not retired, and at one of office.OpenStages.
func OpenJob(table string) string {
	var stages []string
	for _, s := range office.OpenStages() {
		stages = append(stages, "'"+string(s)+"'")
	}
	return table + ".retired_ms IS NULL AND EXISTS (SELECT 1 FROM office_sheet open WHERE open.kind = 'job' AND open.id = " + table +
		".id AND open.stage IN (" + strings.Join(stages, ", ") + "))"
}

// stageOrder is the place of a stage on the way, what was not taken at its end.
func stageOrder() string {
	var b strings.Builder
	b.WriteString("CASE " + stageNow)
	for n, s := range office.Way() {
		fmt.Fprintf(&b, " WHEN '%s' THEN %d", s, n)
	}
	fmt.Fprintf(&b, " ELSE %d END", len(office.Way()))
	return b.String()
}

// chartFrom are the jobs that are asked for, with their sheets and the first day on the roof from today.
func chartFrom(ask *office.ChartAsk) (from string, args []any) {
	from = ` FROM job j LEFT JOIN office_sheet o ON o.kind = 'job' AND o.id = j.id WHERE j.retired_ms IS NULL`
	for _, w := range office.Words(ask.Text) {
		where, more := wordRange(w)
		found := "SELECT t.%s FROM office_word w JOIN office_text t ON t.id = w.text WHERE " + strings.ReplaceAll(where, "word", "w.word") +
			" AND t.found_in IN (%s)"
		from += " AND (j.id IN (" + fmt.Sprintf(found, "job", "'title', 'note'") + ") OR o.customer IN (" +
			fmt.Sprintf(found, "sheet", "'customer'") + ") OR o.site IN (" + fmt.Sprintf(found, "sheet", "'place'") + "))"
		args = append(args, more...)
		args = append(args, more...)
		args = append(args, more...)
	}
	return from, args
}

// Chart gives the jobs with where they stand.
func (d *DB) Chart(ctx context.Context, ask office.ChartAsk) (office.Chart, error) {
	out := office.Chart{Lines: []office.Line{}, Counts: map[office.Stage]int{}}
	if err := ask.Check(); err != nil {
		return office.Chart{}, err
	}
	if len(office.Words(ask.Text)) > 0 {
		if err := d.catchUp(ctx); err != nil {
			return office.Chart{}, err
		}
	}
	size := ask.Size
	if size == 0 {
		size = store.UsualPage
	}
	from, args := chartFrom(&ask)
	err := d.look(ctx, func(tx *Tx) error {
		if err := countStages(ctx, tx, "SELECT "+stageNow+", count(*)"+from+" GROUP BY "+stageNow, args, out.Counts); err != nil {
			return err
		}
		for s, n := range out.Counts {
			if (ask.Stage == "" || s == ask.Stage) && (!ask.Open || s.Open()) {
				out.Total += n
			}
		}
		if ask.Open {
			from += " AND " + OpenJob("j")
		}
		if ask.Stage != "" {
			from += " AND " + stageNow + " = ?"
			args = append(args, string(ask.Stage))
		}
		const next = "(SELECT min(d.day) FROM office_sheet d WHERE d.kind = 'day' AND d.job = j.id AND d.away = 0 AND d.day >= ?)"
		query := "SELECT " + jobColumnsOf("j") + ", coalesce(o.version, 0), coalesce(o.sheet, '{}'), coalesce(" + next + ", '')" + from +
			" ORDER BY " + stageOrder() + ", coalesce(" + next + ", '9'), j.changed_ms DESC, j.id LIMIT ? OFFSET ?"
		all := append([]any{ask.Today}, args...)
		var err error
		out.Lines, err = chartLines(ctx, tx, query, append(all, ask.Today, size, ask.Page*size))
		if err != nil {
			return err
		}
		return nameLines(ctx, tx, out.Lines)
	})
	return given(out, err)
}

// jobColumnsOf are jobColumns of a table that is called so.
func jobColumnsOf(table string) string {
	return table + "." + strings.ReplaceAll(jobColumns, ", ", ", "+table+".")
}

func countStages(ctx context.Context, tx *Tx, query string, args []any, into map[office.Stage]int) error {
	rows, err := tx.QueryContext(ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var s office.Stage
		var n int
		if err := rows.Scan(&s, &n); err != nil {
			return err
		}
		into[s] = n
	}
	return rows.Err()
}

func chartLines(ctx context.Context, tx *Tx, query string, args []any) ([]office.Line, error) {
	rows, err := tx.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []office.Line{}
	for rows.Next() {
		var l office.Line
		var raw []byte
		l.Job, err = scanJob(func(into ...any) error { return rows.Scan(append(into, &l.Version, &raw, &l.Next)...) })
		if err != nil {
			return nil, err
		}
		sheet, err := office.Read(office.KindJob, raw)
		if err != nil {
			return nil, damaged(tx.dialect.Place, "the sheet of job %s is not as it was written (%v)", l.Job.ID, err)
		}
		l.Sheet, _ = sheet.(office.Job)
		out = append(out, l)
	}
	return out, rows.Err()
}

// nameLines puts the names of customers and places on lines, and the crew of the next day.
func nameLines(ctx context.Context, tx *Tx, lines []office.Line) error {
	for i := range lines {
		l := &lines[i]
		l.PlaceName = l.Job.Site
		for _, x := range []struct {
			kind office.Kind
			id   store.ID
			into *string
		}{{office.KindCustomer, l.Sheet.Customer, &l.CustomerName}, {office.KindSite, l.Sheet.Site, &l.PlaceName}} {
			if x.id == "" {
				continue
			}
			if err := tx.QueryRowContext(ctx, "SELECT name FROM office_sheet WHERE kind = ? AND id = ?", string(x.kind), string(x.id)).
				Scan(x.into); err != nil {
				return err
			}
		}
		if l.Next == "" {
			continue
		}
		if err := tx.QueryRowContext(ctx, `SELECT crew FROM office_sheet WHERE kind = 'day' AND job = ? AND day = ? AND away = 0
			ORDER BY id LIMIT 1`, string(l.Job.ID), l.Next).Scan(&l.Crew); err != nil {
			return err
		}
	}
	return nil
}
