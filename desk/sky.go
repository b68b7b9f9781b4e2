package desk

import (
	"context"
	"time"

	"gelwright/programme/works"
	"gelwright/roof"
	"gelwright/weather"
)

// SiteOf is the job's site with its time zone.
func SiteOf(j *roof.Job) (weather.Site, error) {
	zone, err := time.LoadLocation(j.Site.TimeZone)
	if err != nil {
		return weather.Site{}, faulty("site.time_zone", "Write a name such as Europe/London", "%q is not known", j.Site.TimeZone)
	}
	return works.SiteOf(j, zone), nil
}

// YearOf is the year on which a typical year of weather is laid: that of the moment asked
// about, or of the first day asked for, or of the job's date; 0 when none is known.
func YearOf(j *roof.Job, from string, at time.Time) int {
	year := 0
	for _, text := range []string{j.Date, from} {
		if d, err := time.Parse(time.DateOnly, text); err == nil {
			year = d.Year()
		}
	}
	if !at.IsZero() {
		year = at.Year()
	}
	return year
}

// mostNormDays is how far typical days are laid out: past it the sun has moved on and
// one month's norms no longer hold.
const mostNormDays = 60

// Norms are typical days of the site's latitude in place of a forecast, from the day before
// from (the job's date when empty) on.
func Norms(j *roof.Job, from string, days int) (weather.Forecast, error) {
	site, err := SiteOf(j)
	if err != nil {
		return weather.Forecast{}, err
	}
	day, err := time.Parse(time.DateOnly, j.Date)
	if from != "" {
		day, err = time.Parse(time.DateOnly, from)
	}
	if err != nil {
		return weather.Forecast{}, noDate(from)
	}
	s, err := weather.NormsOfLatitude(site.LatDeg).Days(day.AddDate(0, 0, -1), 24*(min(max(days, 1), mostNormDays)+2), site)
	return weather.Forecast{Members: []weather.Series{s}}, err
}

func noDate(text string) error { return wrong("from", "Write 2026-05-31", "%q is no date", text) }

// begin is the first moment to look at: the midnight before at; or from, or the job's date
// where the forecast holds it, or else the forecast's start.
func begin(j *roof.Job, f *weather.Forecast, zone *time.Location, from string, at time.Time) (time.Time, error) {
	start := f.Members[0].Start
	if !at.IsZero() {
		day := at.In(zone)
		midnight := time.Date(day.Year(), day.Month(), day.Day(), 0, 0, 0, 0, zone)
		if midnight.Before(start) {
			midnight = start
		}
		return midnight, nil
	}
	text := from
	if text == "" {
		text = j.Date
	}
	day, err := time.ParseInLocation(time.DateOnly, text, zone)
	if err != nil {
		return day, noDate(from)
	}
	switch {
	case from == "" && (day.Before(start) || !day.Before(f.Members[0].End())):
		return start, nil // the file's date is not in the forecast
	case day.Before(start):
		return start, nil
	}
	return day, nil
}

// OnDay returns the job with the hours of one day of the forecast written into it: air,
// deck as the sun, the wind and the sky warm it, humidity, wind and rain; and that day,
// "2026-05-31". The day is from, or the job's date where the forecast holds it, or else
// the forecast's first whole day.
func OnDay(ctx context.Context, job roof.Job, f weather.Forecast, from string) (roof.Job, string, error) {
	site, err := SiteOf(&job)
	if err != nil {
		return job, "", err
	}
	zone := site.Zone
	if f, err = f.Fill(site); err != nil {
		return job, "", as(Faulty, err)
	}
	first, err := begin(&job, &f, zone, from, time.Time{})
	if err != nil {
		return job, "", err
	}
	local := first.In(zone)
	midnight := time.Date(local.Year(), local.Month(), local.Day(), 0, 0, 0, 0, zone)
	if midnight.Before(f.Members[0].Start) {
		midnight = midnight.AddDate(0, 0, 1)
	}
	end := midnight.AddDate(0, 0, 1)
	if f.Members[0].End().Before(midnight.Add(12 * time.Hour)) {
		return job, "", faulty("", "", "the weather holds no whole day from %s on: give a longer forecast, or begin on another day",
			midnight.Format(time.DateOnly))
	}
	in, _ := works.SurfaceOf(&job, site)
	in.Weather, in.From, in.To, in.CentralOnly = f.Members[0], midnight, end, true
	surface, err := weather.SurfaceTemps(ctx, in)
	if err != nil {
		return job, "", err
	}
	job.Day.Hours = hoursOf(surface.Moments(f.Members[0]), midnight, end)
	if len(job.Day.Hours) == 0 {
		return job, "", faulty("", "", "the weather holds no hour of %s", midnight.Format(time.DateOnly))
	}
	// What is read off at a glance is the middle of the working day.
	noon := job.Day.Hours[len(job.Day.Hours)/2]
	job.Day.AirC, job.Day.DeckC, job.Day.ResinC, job.Day.RelativeHumidityPct = noon.AirC, noon.DeckC, noon.AirC, noon.RelativeHumidityPct
	return job, midnight.Format(time.DateOnly), nil
}

// hoursOf are the whole hours of a day, as a roof file gives them.
func hoursOf(moments []weather.Moment, midnight, end time.Time) []roof.Hour {
	var out []roof.Hour
	for _, m := range moments {
		at := m.Time.In(midnight.Location())
		if at.Minute() != 0 || at.Before(midnight) || !at.Before(end) {
			continue
		}
		out = append(out, roof.Hour{Time: roof.ClockAt(60*at.Hour() + at.Minute()), AirC: tenth(m.AirC), DeckC: tenth(m.SurfaceC),
			RelativeHumidityPct: tenth(m.RHPct), WindMS: tenth(m.WindMS), RainMM: tenth(m.RainMMPerH)})
	}
	return out
}

// tenth rounds to one decimal, halves away from zero.
func tenth(v float64) float64 {
	half := 0.5
	if v < 0 {
		half = -0.5
	}
	return float64(int64(v*10+half)) / 10
}
