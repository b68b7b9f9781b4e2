package work

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"gelwright/desk"
	"gelwright/plan"
	"gelwright/programme"
	"gelwright/store"
	"gelwright/store/tables"
	"gelwright/weather"
)

// standing is a job as it is planned again: what it follows from by hashes, what was found last, and its work where that was kept.
type standing struct {
	id store.ID
	// roof is the hash of what its work follows from: state, firm file and engine. kept is that of the work that was kept, with its place
	// and the zone of its times.
	roof, kept, place, zone string
	firm, upload            *store.File
	was                     Chance

	worked *desk.Worked
	given  desk.Given // empty while nothing needs it
	fresh  bool       // the work was made anew and is to be kept
	sky    *skyOfPlace
	key    string
}

// skyOfPlace is a forecast that jobs stand under, and what readings have shown of those before it; nil text for none.
type skyOfPlace struct {
	hash   string // of the text and all that it is read by
	name   string
	zone   string
	year   int
	load   func(ctx context.Context) ([]byte, error)
	record *weather.Record
}

// marks are so many holes of a list in SQL.
func marks(n int) string { return strings.TrimSuffix(strings.Repeat("?, ", n), ", ") }

func anyOf[T any](list []T) []any {
	out := make([]any, len(list))
	for i := range list {
		out[i] = list[i]
	}
	return out
}

// standings reads how jobs stand, in the order in which they are named; a job that is no more open is left out.
func standings(ctx context.Context, tx *tables.Tx, jobs []store.ID) ([]*standing, error) {
	if len(jobs) == 0 {
		return nil, nil
	}
	in := " IN (" + marks(len(jobs)) + ")"
	all := map[store.ID]*standing{}
	documents := map[store.ID][]byte{}
	rows, err := tx.QueryContext(ctx, "SELECT j.id, t.hash, coalesce(k.basis, ''), coalesce(k.place, ''), coalesce(k.zone, ''), "+
		"coalesce(c.basis, ''), coalesce(c.verdict, ''), coalesce(c.p, 0.0), coalesce(c.target, 0.0), coalesce(c.begin_ms, 0), "+
		"coalesce(c.finish_ms, 0), coalesce(c.starts, ''), coalesce(c.reason, '') FROM job j "+
		"JOIN state s ON s.job = j.id AND s.seq = j.newest JOIN text t ON t.id = s.document LEFT JOIN kept_work k ON k.job = j.id "+
		"LEFT JOIN chance c ON c.job = j.id WHERE j.retired_ms IS NULL AND j.id"+in, anyOf(jobs)...)
	err = each(rows, err, func(rows *sql.Rows) error {
		x := &standing{}
		var hash []byte
		var begin, finish int64
		if err := rows.Scan(&x.id, &hash, &x.kept, &x.place, &x.zone, &x.was.basis, &x.was.Verdict, &x.was.P, &x.was.Target, &begin, &finish,
			&x.was.starts, &x.was.Reason); err != nil {
			return err
		}
		x.was.Begin, x.was.Finish = when(begin), when(finish)
		all[x.id], documents[x.id] = x, hash
		return nil
	})
	if err != nil {
		return nil, err
	}
	files := map[store.ID][]store.File{}
	rows, err = tx.QueryContext(ctx, "SELECT job, name, media_type, when_ms, who, size, hash FROM file WHERE (name LIKE 'firm%' OR "+
		"name LIKE 'forecast%') AND job"+in, anyOf(jobs)...)
	err = each(rows, err, func(rows *sql.Rows) error {
		var job store.ID
		var f store.File
		var ms int64
		if err := rows.Scan(&job, &f.Name, &f.MediaType, &ms, &f.Who, &f.Size, &f.SHA256); err != nil {
			return err
		}
		f.When = when(ms)
		files[job] = append(files[job], f)
		return nil
	})
	if err != nil {
		return nil, err
	}
	var out []*standing
	for _, id := range jobs {
		x := all[id]
		if x == nil {
			continue
		}
		x.firm, x.upload = filled(NewestOf(files[id], FirmName)), filled(NewestOf(files[id], ForecastName))
		x.roof = roofKey(documents[id], x.firm)
		out = append(out, x)
	}
	return out, nil
}

// each reads rows one after another.
func each(rows *sql.Rows, err error, read func(rows *sql.Rows) error) error {
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := read(rows); err != nil {
			return err
		}
	}
	return rows.Err()
}

// filled is a file that says something; an empty one took the one before away.
func filled(f *store.File) *store.File {
	if f == nil || f.Size == 0 {
		return nil
	}
	return f
}

// roofKey names what the work of a roof follows from.
func roofKey(document []byte, firm *store.File) string {
	h := sha256.New()
	fmt.Fprintf(h, "work of engine %d\n%x\n", plan.Engine, document)
	if firm != nil {
		h.Write([]byte(firm.SHA256))
	}
	return hex.EncodeToString(h.Sum(nil))
}

// withWork reads the kept work of those that were kept, with the parts that are not in hand.
func (p *parts) withWork(ctx context.Context, tx *tables.Tx, some []*standing) error {
	at := map[store.ID]*standing{}
	var ask []any
	for _, x := range some {
		if x.kept == x.roof {
			at[x.id], ask = x, append(ask, x.id)
		}
	}
	if len(ask) == 0 {
		return nil
	}
	roofs := map[store.ID]*keptRoof{}
	lack := map[string]bool{}
	rows, err := tx.QueryContext(ctx, "SELECT job, packed FROM kept_work WHERE job IN ("+marks(len(ask))+")", ask...)
	err = each(rows, err, func(rows *sql.Rows) error {
		var id store.ID
		var packed []byte
		if err := rows.Scan(&id, &packed); err != nil {
			return err
		}
		k, err := unpackRoof(packed)
		if err == nil {
			roofs[id] = k
			p.missing(k, lack)
		}
		return nil // what cannot be read is made anew
	})
	if err != nil {
		return err
	}
	read := map[string][]byte{}
	if len(lack) > 0 {
		var names []any
		for name := range lack {
			names = append(names, name)
		}
		rows, err := tx.QueryContext(ctx, "SELECT hash, packed FROM kept_part WHERE hash IN ("+marks(len(names))+")", names...)
		if err = each(rows, err, func(rows *sql.Rows) error {
			var name string
			var raw []byte
			err := rows.Scan(&name, &raw)
			read[name] = raw
			return err
		}); err != nil {
			return err
		}
	}
	for id, k := range roofs {
		if w, err := p.worked(k, read); err == nil {
			at[id].worked = w
		}
	}
	return nil
}

// keepWork keeps the work of roofs that was made anew.
func keepWork(ctx context.Context, tx *tables.Tx, some []*standing) error {
	parts := map[string][]byte{}
	for _, x := range some {
		if !x.fresh || x.worked == nil || x.worked.Fault != nil {
			continue
		}
		packed, err := packWork(x.worked, parts)
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "INSERT INTO kept_work (job, basis, place, zone, packed) VALUES (?, ?, ?, ?, ?) ON CONFLICT (job) "+
			"DO UPDATE SET basis = excluded.basis, place = excluded.place, zone = excluded.zone, packed = excluded.packed", x.id, x.roof,
			x.place, x.zone, packed); err != nil {
			return err
		}
	}
	names := make([]string, 0, len(parts))
	for name := range parts {
		names = append(names, name)
	}
	slices.Sort(names) // always in one order: two that keep at once do not wait for each other in a ring
	for _, name := range names {
		if _, err := tx.ExecContext(ctx, "INSERT INTO kept_part (hash, packed) VALUES (?, ?) ON CONFLICT (hash) DO NOTHING", name,
			parts[name]); err != nil {
			return err
		}
	}
	return nil
}

// basis reads texts of a job: that of its roof and its firm.
func (x *standing) basis(ctx context.Context, q *Queue) (*Basis, error) {
	at, err := q.db.StateAt(ctx, x.id, 0)
	if err != nil {
		return nil, err
	}
	b := &Basis{Job: x.id, Seq: at.Seq, Title: at.Title}
	if b.Roof, err = roofOf(at.Document); err != nil {
		return nil, err
	}
	if x.firm != nil {
		_, text, err := q.db.ReadFile(ctx, x.id, x.firm.Name)
		if err != nil {
			return nil, err
		}
		b.Firm = &Named{FirmName, text, x.firm.When}
	}
	return b, nil
}

// give reads roof and firm, where that was not done.
func (x *standing) give(ctx context.Context, w *Worker) error {
	if x.given.Steps != nil {
		return nil
	}
	b, err := x.basis(ctx, w.q)
	if err != nil {
		return err
	}
	x.given, err = b.Given(w.desk.cache)
	return err
}

// work has the work of the roof made where it was not kept.
func (x *standing) work(ctx context.Context, w *Worker) error {
	if x.kept == x.roof {
		return nil
	}
	if err := x.give(ctx, w); err != nil {
		return err
	}
	site, err := desk.SiteOf(&x.given.Job)
	if err != nil {
		return err
	}
	if x.worked, err = desk.WorkOf(ctx, x.given, 0); err != nil {
		return NoPlan(err)
	}
	x.fresh, x.place, x.zone = true, string(PlaceOf(site)), site.Zone.String()
	return nil
}

// fixed are the starts that stand; none where none were found or they cannot be read.
func (c *Chance) fixed() []programme.Fixed {
	var out []programme.Fixed
	if c.starts == "" || json.Unmarshal([]byte(c.starts), &out) != nil {
		return nil
	}
	return out
}

// fix keeps the starts that stand.
func (c *Chance) fix(starts []programme.Fixed) error {
	if len(starts) == 0 {
		c.starts = ""
		return nil
	}
	raw, err := json.Marshal(starts)
	c.starts = string(raw)
	return err
}

// underSky finds the forecast that jobs stand under: of the one that was put into the job and the one of the place the newer counts.
func (q *Queue) underSky(ctx context.Context, tx *tables.Tx, some []*standing, now time.Time) error {
	places := map[string]*skyOfPlace{}
	records := map[string]*weather.Record{}
	came := map[string]time.Time{}
	for _, x := range some {
		if x.place == "" {
			continue
		}
		if _, known := records[x.place]; !known {
			site, err := Place(x.place).Site()
			if err != nil {
				return err
			}
			if records[x.place], err = learnt(ctx, tx, Place(x.place), site, now); err != nil {
				return err
			}
			if places[x.place], came[x.place], err = q.skyHere(ctx, tx, Place(x.place)); err != nil {
				return err
			}
			if s := places[x.place]; s != nil {
				s.record = records[x.place]
			}
		}
		x.sky = places[x.place]
		if x.upload != nil && (x.sky == nil || !came[x.place].After(x.upload.When)) {
			x.sky = q.uploaded(x, records[x.place])
		}
		x.key = chanceKey(x)
	}
	return nil
}

// chanceKey names what a re-plan follows from.
func chanceKey(x *standing) string {
	h := sha256.New()
	fmt.Fprintf(h, "%s\n", x.roof)
	if x.sky != nil {
		fmt.Fprintf(h, "%s\n", x.sky.hash)
		if x.sky.record != nil {
			fmt.Fprintf(h, "record %v\n", *x.sky.record)
		}
	}
	return hex.EncodeToString(h.Sum(nil))
}

// skyHere is the forecast of a place that was fetched last and when it came; nil where there is none.
func (q *Queue) skyHere(ctx context.Context, tx *tables.Tx, place Place) (*skyOfPlace, time.Time, error) {
	var hash string
	var ms int64
	err := tx.QueryRowContext(ctx, "SELECT hash, fetched_ms FROM weather_forecast WHERE place = ? "+
		"ORDER BY fetched_ms DESC, made_ms DESC LIMIT 1", string(place)).Scan(&hash, &ms)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, time.Time{}, nil
	}
	if err != nil {
		return nil, time.Time{}, err
	}
	load := func(ctx context.Context) ([]byte, error) {
		var raw []byte
		if err := q.db.Look(ctx, func(tx *tables.Tx) error {
			return tx.QueryRowContext(ctx, "SELECT packed FROM weather_forecast WHERE place = ? AND hash = ?", string(place), hash).Scan(&raw)
		}); err != nil {
			return nil, err
		}
		return uncompressed(raw)
	}
	return &skyOfPlace{hash: string(place) + " " + hash, name: serviceName, zone: "UTC", load: load}, when(ms), nil
}

// uploaded is the forecast that was put into a job: its hours may be in the roof's own time, its days without a year.
func (q *Queue) uploaded(x *standing, record *weather.Record) *skyOfPlace {
	id, name := x.id, x.upload.Name
	return &skyOfPlace{hash: fmt.Sprintf("upload %s %s %s", x.upload.SHA256, x.zone, x.place), name: ForecastName, zone: x.zone,
		record: record, load: func(ctx context.Context) ([]byte, error) {
			_, text, err := q.db.ReadFile(ctx, id, name)
			return text, err
		}}
}
