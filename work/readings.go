package work

import (
	"context"
	"fmt"
	"time"

	"gelwright/desk"
	"gelwright/store"
	"gelwright/store/tables"
	"gelwright/weather"
	"gelwright/weather/forecast"
)

// AddReadings keeps readings on site of a job's place, a CSV of hours in the job's own time zone, and has the jobs there planned again;
// it says what is learnt.
func (q *Queue) AddReadings(ctx context.Context, job store.ID, name, who string, text []byte) (string, error) {
	b, err := BasisOf(ctx, q.db, job, 0)
	if err != nil {
		return "", err
	}
	g, err := b.Given(nil)
	if err != nil {
		return "", err
	}
	site, err := desk.SiteOf(&g.Job)
	if err != nil {
		return "", err
	}
	x, err := whereIs(b)
	if err != nil {
		return "", err
	}
	f, err := forecast.Read(text, forecast.Options{Name: name, Zone: site.Zone})
	if err != nil {
		return "", &desk.Error{Kind: desk.Faulty, Place: "readings", Cause: err}
	}
	raw, hash, err := compressed(text)
	if err != nil {
		return "", err
	}
	var known *weather.Record
	err = q.db.Change(ctx, func(tx *tables.Tx) error {
		if err := keepPlace(ctx, tx, job, x); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "INSERT INTO weather_reading (place, hash, name, zone, who, made_ms, packed) "+
			"VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT (place, hash) DO NOTHING", string(x.place), hash, name, site.Zone.String(),
			who, q.Now().UnixMilli(), raw); err != nil {
			return err
		}
		jobs, err := jobsAt(ctx, tx, x.place)
		if err != nil {
			return err
		}
		if _, err = q.replanIn(ctx, tx, jobs, who, "readings "+hash); err != nil {
			return err
		}
		known, err = learnt(ctx, tx, x.place, site, q.Now())
		return err
	})
	if err != nil {
		return "", err
	}
	said := fmt.Sprintf("%d hours are kept for %s. ", len(f.Members[0].Hours), x.place)
	if known == nil {
		return said + "No forecast of these hours is kept yet, so nothing is learnt from them.", nil
	}
	return said + known.Says(), nil
}

// Sky is what is kept of the weather of a job's place.
type Sky struct {
	Place Place `json:"place"`
	// Fetched is when the newest forecast came; zero where there is none. Forecasts counts those that are kept.
	Fetched   time.Time `json:"fetched,omitzero"`
	Forecasts int       `json:"forecasts"`
	Readings  int       `json:"readings"` // files
	// Learnt says what readings have shown of the forecasts; empty where nothing.
	Learnt string `json:"learnt,omitempty"`
	// Credit names who made the newest forecast, as its licence asks.
	Credit string `json:"credit,omitempty"`
}

// Sky tells what is kept of the weather of a job's place.
func (q *Queue) Sky(ctx context.Context, job store.ID) (Sky, error) {
	b, err := BasisOf(ctx, q.db, job, 0)
	if err != nil {
		return Sky{}, err
	}
	x, err := whereIs(b)
	if err != nil {
		return Sky{}, err
	}
	site, err := x.place.Site()
	if err != nil {
		return Sky{}, err
	}
	out := Sky{Place: x.place}
	err = q.db.Look(ctx, func(tx *tables.Tx) error {
		if err := tx.QueryRowContext(ctx, "SELECT (SELECT count(*) FROM weather_forecast WHERE place = ?), "+
			"(SELECT count(*) FROM weather_reading WHERE place = ?)", string(x.place), string(x.place)).
			Scan(&out.Forecasts, &out.Readings); err != nil {
			return err
		}
		sky, err := newestSky(ctx, tx, x.place)
		if err != nil || sky == nil {
			return err
		}
		out.Fetched = sky.when
		if f, err := forecast.Read(sky.Text, forecast.Options{Name: sky.Name, Zone: time.UTC}); err == nil {
			out.Credit = f.Credit
		}
		known, err := learnt(ctx, tx, x.place, site, q.Now())
		if known != nil {
			out.Learnt = known.Says()
		}
		return err
	})
	return out, err
}
