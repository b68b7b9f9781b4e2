package works

import (
	"context"
	"fmt"
	"math"
	"time"

	"gelwright/conduction"
	"gelwright/cure"
	"gelwright/roof"
	"gelwright/weather"
	"gelwright/working"
)

// SiteOf is the job's site for the weather; the zone is the caller's to load.
func SiteOf(j *roof.Job, zone *time.Location) weather.Site {
	return weather.Site{LatDeg: j.Site.LatDeg, LonDeg: j.Site.LonDeg, ElevM: j.Site.AltitudeM, Zone: zone}
}

// bareAbsorptance of the sun by boards, and by laminate over them, which lets the
// sun through to the board.
const bareAbsorptance = 0.65

// SurfaceOf is what the temperature of the job's deck depends on while it is worked:
// boards over the insulation, level, in the open.
func SurfaceOf(j *roof.Job, site weather.Site) (weather.SurfaceInput, []*working.Figure) {
	layers := []conduction.Layer{cure.Board(math.Max(6, j.Spec.Board.ThicknessMM))}
	in := weather.SurfaceInput{Absorptance: bareAbsorptance, Site: site, CentralOnly: true}
	if i := j.Spec.Insulation; i != nil && i.ThicknessMM > 0 && j.Spec.Build == "warm" {
		layers = append(layers, cure.Insulant(i.ThicknessMM))
	}
	in.Layers = layers
	switch j.Use.Below {
	case "heated", "wet room":
		in.Room = weather.Room{TempC: 20, ResistanceM2KPerW: 0.10}
	default:
		in.Room = weather.Room{Outdoor: true, ResistanceM2KPerW: 0.10}
	}
	return in, []*working.Figure{
		working.AssumedFigure("α", "sun absorbed by bare boards and fresh laminate", bareAbsorptance, "", "light brown board under clear resin"),
		working.AssumedFigure("", "temperature under the roof", 20, "°C", "a heated room; else the outdoor air's"),
	}
}

// Courses lays every member of a forecast, filled, on the roof: moments by the
// quarter hour from one time to another.
func Courses(ctx context.Context, f weather.Forecast, in weather.SurfaceInput, from, to time.Time) ([][]weather.Moment, error) {
	if err := f.Check(); err != nil {
		return nil, err
	}
	out := make([][]weather.Moment, len(f.Members))
	if len(f.Members) > 1 && to.After(from) {
		in.Suns = weather.NewSuns(in.Site, from, to)
	}
	in.Store = &weather.Store{}
	for m := range f.Members {
		in.Weather = f.Members[m]
		in.From, in.To = from, to
		s, err := weather.SurfaceTemps(ctx, in)
		if err != nil {
			return nil, fmt.Errorf("course %d of the weather: %w", m+1, err)
		}
		out[m] = s.Moments(f.Members[m])
		if n := len(out[m]); n > 1 {
			out[m] = out[m][:n-1] // the last instant is the end of the last quarter
		}
	}
	return out, nil
}

// DayAsWritten are the hours of the roof file's day by the quarter hour, on the job's
// date in a zone; nil when the file gives none.
func DayAsWritten(j *roof.Job, zone *time.Location) ([]weather.Moment, error) {
	if len(j.Day.Hours) == 0 {
		return nil, nil
	}
	day, err := time.ParseInLocation("2006-01-02", j.Date, zone)
	if err != nil {
		return nil, fmt.Errorf("date: %q is no date. Write 2026-05-31", j.Date)
	}
	var out []weather.Moment
	for _, h := range j.Day.Hours {
		at := time.Date(day.Year(), day.Month(), day.Day(), 0, int(h.Time.Min()), 0, 0, zone)
		m := weather.Measured(at, h.AirC, h.DeckC, h.RelativeHumidityPct, h.WindMS)
		m.RainMMPerH = h.RainMM
		out = append(out, m)
	}
	return weather.QuarterHours(out), nil
}
