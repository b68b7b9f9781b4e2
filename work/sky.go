package work

import (
	"context"
	"database/sql"
	"errors"
	"sort"
	"time"

	"gelwright/desk"
	"gelwright/store"
	"gelwright/store/tables"
	"gelwright/weather"
	"gelwright/weather/fetch"
	"gelwright/weather/forecast"
)

// keptText is a forecast, or a file of readings, as it was kept.
type keptText struct {
	name       string
	zone       string // of readings
	made, came time.Time
	text       []byte
}

// answers keeps a weather service's answers in the database of the jobs.
type answers struct {
	q       *Queue
	place   Place
	address string
	// failures is how often the service has not answered, one after another.
	failures int
}

// Load gives the answer of an address.
func (k *answers) Load(ctx context.Context, address string) (fetch.Answer, bool, error) {
	a := fetch.Answer{Address: address}
	var raw []byte
	var fetched, expires int64
	err := k.q.db.Look(ctx, func(tx *tables.Tx) error {
		return tx.QueryRowContext(ctx, "SELECT etag, last_modified, fetched_ms, expires_ms, packed FROM weather_answer "+
			"WHERE address = ? AND fetched_ms > 0", address).Scan(&a.ETag, &a.LastModified, &fetched, &expires, &raw)
	})
	if errors.Is(err, sql.ErrNoRows) || err == nil && len(raw) == 0 {
		return fetch.Answer{}, false, nil
	}
	if err != nil {
		return fetch.Answer{}, false, err
	}
	a.Fetched, a.Expires = when(fetched), when(expires)
	a.Body, err = uncompressed(raw)
	return a, err == nil, err
}

// Store keeps an answer, and with it that the service does answer.
func (k *answers) Store(ctx context.Context, a fetch.Answer) error {
	raw, _, err := compressed(a.Body)
	if err != nil {
		return err
	}
	return k.q.db.Change(ctx, func(tx *tables.Tx) error {
		_, err := tx.ExecContext(ctx, "INSERT INTO weather_answer (address, place, etag, last_modified, fetched_ms, expires_ms, packed, "+
			"failures, wait_ms) VALUES (?, ?, ?, ?, ?, ?, ?, 0, 0) ON CONFLICT (address) DO UPDATE SET etag = excluded.etag, "+
			"last_modified = excluded.last_modified, fetched_ms = excluded.fetched_ms, expires_ms = excluded.expires_ms, "+
			"packed = excluded.packed, failures = 0, wait_ms = 0", a.Address, string(k.place), a.ETag, a.LastModified,
			a.Fetched.UnixMilli(), a.Expires.UnixMilli(), raw)
		return err
	})
}

// refused keeps that a service did not answer, and until when nobody is to ask it.
func (k *answers) refused(ctx context.Context, tx *tables.Tx, until time.Time) error {
	_, err := tx.ExecContext(ctx, "INSERT INTO weather_answer (address, place, etag, last_modified, fetched_ms, expires_ms, packed, "+
		"failures, wait_ms) VALUES (?, ?, '', '', 0, 0, ?, 1, ?) ON CONFLICT (address) DO UPDATE SET failures = weather_answer.failures + 1, "+
		"wait_ms = excluded.wait_ms", k.address, string(k.place), []byte{}, until.UnixMilli())
	return err
}

// askable reads how often the service has not answered, and gives until when nobody is to ask it.
func (k *answers) askable(ctx context.Context) (until time.Time, err error) {
	var ms int64
	err = k.q.db.Look(ctx, func(tx *tables.Tx) error {
		err := tx.QueryRowContext(ctx, "SELECT failures, wait_ms FROM weather_answer WHERE address = ?", k.address).Scan(&k.failures, &ms)
		if errors.Is(err, sql.ErrNoRows) {
			return nil
		}
		return err
	})
	return when(ms), err
}

// keepForecast keeps a forecast as it was made, once; it reports whether it was not known.
func keepForecast(ctx context.Context, tx *tables.Tx, place Place, f *weather.Forecast, text []byte, now time.Time) (bool, error) {
	raw, hash, err := compressed(text)
	if err != nil {
		return false, err
	}
	made := f.Issued
	if made.IsZero() {
		made = now
	}
	r, err := tx.ExecContext(ctx, "INSERT INTO weather_forecast (place, hash, made_ms, fetched_ms, packed) VALUES (?, ?, ?, ?, ?) "+
		"ON CONFLICT (place, hash) DO NOTHING", string(place), hash, made.UnixMilli(), now.UnixMilli(), raw)
	if err != nil {
		return false, err
	}
	n, err := r.RowsAffected()
	return n > 0, err
}

// texts reads rows of a name, a zone, two times and a packed text.
func texts(rows *sql.Rows, err error) ([]keptText, error) {
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []keptText
	for rows.Next() {
		var x keptText
		var made, came int64
		var raw []byte
		if err := rows.Scan(&x.name, &x.zone, &made, &came, &raw); err != nil {
			return nil, err
		}
		x.made, x.came = when(made), when(came)
		if x.text, err = uncompressed(raw); err != nil {
			return nil, err
		}
		out = append(out, x)
	}
	return out, rows.Err()
}

// ids reads rows of an id.
func ids(rows *sql.Rows, err error) ([]store.ID, error) {
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []store.ID{}
	for rows.Next() {
		var id store.ID
		if err := rows.Scan(&id); err != nil {
			return nil, err
		}
		out = append(out, id)
	}
	return out, rows.Err()
}

// serviceName is the name that a fetched forecast bears in faults.
const serviceName = "weather service"

// newestSky is the forecast of a place that was fetched last; nil where there is none.
func newestSky(ctx context.Context, tx *tables.Tx, place Place) (*Named, error) {
	all, err := texts(tx.QueryContext(ctx, "SELECT hash, '', made_ms, fetched_ms, packed FROM weather_forecast WHERE place = ? "+
		"ORDER BY fetched_ms DESC, made_ms DESC LIMIT 1", string(place)))
	if err != nil || len(all) == 0 {
		return nil, err
	}
	return &Named{Name: serviceName, Text: all[0].text, when: all[0].came}, nil
}

// What is learnt of a place's forecasts follows from its readings and from the forecasts of the days that were read: those kept, at
// most so many days back, each held to the hours that it was the newest for, a day at most.
const learntDays = 90

// learnt is what readings on site have shown of a place's forecasts; nil where none were read.
func learnt(ctx context.Context, tx *tables.Tx, place Place, site weather.Site, now time.Time) (*weather.Record, error) {
	since := now.AddDate(0, 0, -learntDays).UnixMilli()
	readings, err := texts(tx.QueryContext(ctx, "SELECT name, zone, made_ms, made_ms, packed FROM weather_reading "+
		"WHERE place = ? AND made_ms >= ? ORDER BY made_ms, hash", string(place), since))
	if err != nil || len(readings) == 0 {
		return nil, err
	}
	said, err := texts(tx.QueryContext(ctx, "SELECT hash, '', made_ms, fetched_ms, packed FROM weather_forecast "+
		"WHERE place = ? AND made_ms >= ? ORDER BY made_ms, hash", string(place), since))
	if err != nil {
		return nil, err
	}
	return recordOf(said, readings, site)
}

// recordOf holds forecasts against readings. Of an hour that several files read the last file counts.
func recordOf(said, readings []keptText, site weather.Site) (*weather.Record, error) {
	came := map[time.Time]weather.Hour{}
	for _, r := range readings {
		zone, err := time.LoadLocation(r.zone)
		if err != nil {
			return nil, err
		}
		f, err := forecast.Read(r.text, forecast.Options{Name: r.name, Zone: zone})
		if err != nil {
			return nil, err
		}
		s := &f.Members[0]
		for i, h := range s.Hours {
			came[s.TimeOf(i)] = h
		}
	}
	out := &weather.Record{}
	for i, x := range said {
		f, err := forecast.Read(x.text, forecast.Options{Name: x.name, Zone: time.UTC})
		if err != nil {
			continue // an answer that this release cannot read any more teaches nothing
		}
		end := x.made.Add(24 * time.Hour)
		if i+1 < len(said) && said[i+1].made.Before(end) {
			end = said[i+1].made
		}
		part := f
		part.Members = []weather.Series{f.Members[0].Part(x.made.Truncate(time.Hour), end)}
		for _, s := range stretches(came, &part.Members[0]) {
			r, err := desk.RecordOf([]weather.Forecast{part}, weather.Forecast{Members: []weather.Series{s}}, site)
			if err != nil {
				continue // no hour in common
			}
			out.Add(*r)
		}
	}
	if out.Hours == 0 {
		return nil, nil
	}
	return out, nil
}

// stretches are the hours read that a course has too, as courses without gaps.
func stretches(came map[time.Time]weather.Hour, s *weather.Series) []weather.Series {
	var at []time.Time
	for i := range s.Hours {
		if t := s.TimeOf(i); came[t].Has != 0 {
			at = append(at, t)
		}
	}
	sort.Slice(at, func(i, j int) bool { return at[i].Before(at[j]) })
	var out []weather.Series
	for _, t := range at {
		if n := len(out); n > 0 && out[n-1].End().Equal(t) {
			out[n-1].Hours = append(out[n-1].Hours, came[t])
			continue
		}
		out = append(out, weather.Series{Start: t, Hours: []weather.Hour{came[t]}, Origin: "readings of " + t.Format(time.DateOnly)})
	}
	return out
}
