package work

import (
	"bytes"
	"compress/flate"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"gelwright/desk"
	"gelwright/firmfile"
	"gelwright/rooffile"
	"gelwright/store"
	"gelwright/store/tables"
	"gelwright/weather"
	"gelwright/weather/forecast"
)

// Place names where weather is the same: latitude and longitude to 0.01° (about a kilometre, finer than forecasts are) and height to
// 50 m. Jobs of one place share forecasts, readings and what is learnt of them, and their service is asked once.
type Place string

// PlaceOf is the place of a site.
func PlaceOf(s weather.Site) Place {
	const heightM = 50.0
	return Place(fmt.Sprintf("%.2f %.2f %.0f", s.LatDeg, s.LonDeg, math.Round(s.ElevM/heightM)*heightM))
}

// Site is the middle of the place; its zone is UTC, which what services answer does not depend on.
func (p Place) Site() (weather.Site, error) {
	var v [3]float64
	parts := strings.Fields(string(p))
	if len(parts) != len(v) {
		return weather.Site{}, fmt.Errorf("%q is no place: it has latitude, longitude and height", string(p))
	}
	for i, text := range parts {
		var err error
		if v[i], err = strconv.ParseFloat(text, 64); err != nil {
			return weather.Site{}, fmt.Errorf("%q is no place: %w", string(p), err)
		}
	}
	return weather.Site{LatDeg: v[0], LonDeg: v[1], ElevM: v[2], Zone: time.UTC}, nil
}

// whereabouts is where a job is and whom its firm asks for the weather there.
type whereabouts struct {
	place            Place
	service, contact string
}

// whereIs reads where a job is.
func whereIs(b *Basis) (whereabouts, error) {
	job, _, err := rooffile.Read(RoofName, b.Roof)
	if err != nil {
		return whereabouts{}, err
	}
	site, err := desk.SiteOf(&job)
	if err != nil {
		return whereabouts{}, err
	}
	x := whereabouts{place: PlaceOf(site)}
	if b.Firm != nil {
		firm, _, err := firmfile.Read(b.Firm.Name, b.Firm.Text)
		if err != nil {
			return whereabouts{}, err
		}
		x.service, x.contact = firm.Forecast.Address, firm.Forecast.Contact
	}
	return x, nil
}

// keepPlaces keeps where jobs are, of those that are elsewhere than was kept.
func keepPlaces(ctx context.Context, tx *tables.Tx, at map[store.ID]whereabouts) error {
	jobs := slices.Sorted(maps.Keys(at))
	if len(jobs) == 0 {
		return nil
	}
	was := map[store.ID]whereabouts{}
	rows, err := tx.QueryContext(ctx, "SELECT job, place, service, contact FROM weather_place WHERE job IN ("+marks(len(jobs))+")",
		anyOf(jobs)...)
	if err := each(rows, err, func(rows *sql.Rows) error {
		var id store.ID
		var x whereabouts
		err := rows.Scan(&id, &x.place, &x.service, &x.contact)
		was[id] = x
		return err
	}); err != nil {
		return err
	}
	for _, id := range jobs {
		if at[id] == was[id] {
			continue
		}
		if err := keepPlace(ctx, tx, id, at[id]); err != nil {
			return err
		}
	}
	return nil
}

// keepPlace keeps where a job is.
func keepPlace(ctx context.Context, tx *tables.Tx, job store.ID, x whereabouts) error {
	_, err := tx.ExecContext(ctx, "INSERT INTO weather_place (job, place, service, contact) VALUES (?, ?, ?, ?) "+
		"ON CONFLICT (job) DO UPDATE SET place = excluded.place, service = excluded.service, contact = excluded.contact",
		job, string(x.place), x.service, x.contact)
	return err
}

// placed are jobs in the order of their places, so far as these are known, and where each is.
func placed(ctx context.Context, tx *tables.Tx, jobs []store.ID) ([]store.ID, map[store.ID]string, error) {
	at := map[store.ID]string{}
	for some := range slices.Chunk(jobs, openAtOnce) {
		rows, err := tx.QueryContext(ctx, "SELECT job, place FROM weather_place WHERE job IN ("+marks(len(some))+")", anyOf(some)...)
		if err := each(rows, err, func(rows *sql.Rows) error {
			var id store.ID
			var place string
			err := rows.Scan(&id, &place)
			at[id] = place
			return err
		}); err != nil {
			return nil, nil, err
		}
	}
	out := slices.Clone(jobs)
	slices.SortStableFunc(out, func(a, b store.ID) int { return strings.Compare(at[a], at[b]) })
	return out, at, nil
}

// jobsAt are the jobs of a place that are not retired: whoever asks for its weather wants to see it in any of them.
func jobsAt(ctx context.Context, tx *tables.Tx, place Place) ([]store.ID, error) {
	return ids(tx.QueryContext(ctx, "SELECT p.job FROM weather_place p JOIN job j ON j.id = p.job WHERE p.place = ? AND j.retired_ms IS NULL "+
		"ORDER BY p.job", string(place)))
}

// openAt are the open jobs of a place.
func openAt(ctx context.Context, tx *tables.Tx, place Place) ([]store.ID, error) {
	return ids(tx.QueryContext(ctx, "SELECT p.job FROM weather_place p JOIN job j ON j.id = p.job WHERE p.place = ? AND "+tables.OpenJob("j")+
		" ORDER BY p.job", string(place)))
}

// compressed is a text as it is kept, and its SHA-256.
func compressed(text []byte) (raw []byte, hash string, err error) {
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.BestSpeed)
	if err != nil {
		return nil, "", err
	}
	if _, err := w.Write(text); err != nil {
		return nil, "", err
	}
	if err := w.Close(); err != nil {
		return nil, "", err
	}
	sum := sha256.Sum256(text)
	return b.Bytes(), hex.EncodeToString(sum[:]), nil
}

// uncompressed is a text that was kept.
func uncompressed(raw []byte) ([]byte, error) {
	text, err := io.ReadAll(io.LimitReader(flate.NewReader(bytes.NewReader(raw)), forecast.MaxBytes+1))
	if err != nil {
		return nil, &store.Error{Kind: store.Damaged, Place: "weather", Found: "a text that was kept cannot be read", Cause: err}
	}
	return text, nil
}
