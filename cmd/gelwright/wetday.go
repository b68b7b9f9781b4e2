package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"gelwright/document"
	"gelwright/drawing"
	"gelwright/firmfile"
	"gelwright/programme/works"
	"gelwright/roof"
	"gelwright/weather"
)

// dayOn writes the hours of one day of the forecast into the job: air, deck as the sun,
// the wind and the sky warm it, humidity, wind and rain. The day is --from, or the
// job's date where the forecast holds it, or else the forecast's first whole day.
func (w *weatherFlags) dayOn(cmd *cobra.Command, job *roof.Job, firm *firmfile.Firm) (string, error) {
	zone, err := time.LoadLocation(job.Site.TimeZone)
	if err != nil {
		return "", coded{exitFaults, fmt.Errorf("site.time_zone: %q is not known. Write a name such as Europe/London", job.Site.TimeZone)}
	}
	site := works.SiteOf(job, zone)
	f, err := w.weather(cmd, job, firm, site, time.Time{})
	if err != nil {
		return "", err
	}
	if f, err = f.Fill(site); err != nil {
		return "", coded{exitFaults, err}
	}
	from, err := w.begin(job, f, zone, time.Time{})
	if err != nil {
		return "", err
	}
	local := from.In(zone)
	midnight := time.Date(local.Year(), local.Month(), local.Day(), 0, 0, 0, 0, zone)
	if midnight.Before(f.Members[0].Start) {
		midnight = midnight.AddDate(0, 0, 1)
	}
	end := midnight.AddDate(0, 0, 1)
	if f.Members[0].End().Before(midnight.Add(12 * time.Hour)) {
		return "", coded{exitFaults, fmt.Errorf("the weather holds no whole day from %s on: give a longer forecast, or another --from", midnight.Format(time.DateOnly))}
	}
	in, _ := works.SurfaceOf(job, site)
	in.Weather, in.From, in.To, in.CentralOnly = f.Members[0], midnight, end, true
	surface, err := weather.SurfaceTemps(cmd.Context(), in)
	if err != nil {
		return "", err
	}
	job.Day.Hours = nil
	for _, m := range surface.Moments(f.Members[0]) {
		at := m.Time.In(zone)
		if at.Minute() != 0 || at.Before(midnight) || !at.Before(end) {
			continue
		}
		job.Day.Hours = append(job.Day.Hours, roof.Hour{Time: at.Format("15:04"), AirC: round1(m.AirC), DeckC: round1(m.SurfaceC), RelativeHumidityPct: round1(m.RHPct), WindMS: round1(m.WindMS), RainMM: round1(m.RainMMPerH)})
	}
	if len(job.Day.Hours) == 0 {
		return "", coded{exitFaults, fmt.Errorf("the weather holds no hour of %s", midnight.Format(time.DateOnly))}
	}
	// What is read off at a glance is the middle of the working day.
	noon := job.Day.Hours[len(job.Day.Hours)/2]
	job.Day.AirC, job.Day.DeckC, job.Day.ResinC, job.Day.RelativeHumidityPct = noon.AirC, noon.DeckC, noon.AirC, noon.RelativeHumidityPct
	return midnight.Format(time.DateOnly), nil
}

func round1(v float64) float64 {
	r := float64(int64(v*10+0.5*sign(v))) / 10
	return r
}

func sign(v float64) float64 {
	if v < 0 {
		return -1
	}
	return 1
}

// daySheets lays the forecast on the job and gives the sheets of its wet days and the
// fortnight to the job pack. Where no day will do there is the fortnight alone.
func (w *weatherFlags) daySheets(cmd *cobra.Command, job roof.Job, firm *firmfile.Firm) ([]document.More, error) {
	o, err := w.lay(cmd, job, firm, time.Time{})
	if err != nil {
		return nil, err
	}
	r, err := o.prepared.Search(cmd.Context())
	if err != nil {
		return nil, err
	}
	best := r.Sure
	if best == nil {
		best = r.Likeliest
	}
	if best == nil {
		return []document.More{{Count: 1, Make: func(first, of int) ([]*drawing.Sheet, error) {
			s, err := fortnightOf(o, first, of)
			return []*drawing.Sheet{s}, err
		}}}, nil
	}
	count := len(wetDays(o, best)) + 1
	return []document.More{{Count: count, Make: func(first, of int) ([]*drawing.Sheet, error) {
		sheets, _, err := picturesOf(o, best, time.Time{}, first, of)
		return sheets, err
	}}}, nil
}
