package desk

import (
	"fmt"
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

// begin is the first moment to look at: the midnight before at, or before work that was done
// on an earlier day; or from; or the job's date, which must be in the forecast: other days are
// planned on nobody's wish but the asker's.
func begin(j *roof.Job, f *weather.Forecast, zone *time.Location, look Look) (time.Time, error) {
	start := f.Members[0].Start
	if !look.At.IsZero() {
		first := look.At
		if !look.Since.IsZero() && look.Since.Before(first) {
			first = look.Since
		}
		day := first.In(zone)
		midnight := time.Date(day.Year(), day.Month(), day.Day(), 0, 0, 0, 0, zone)
		if midnight.Before(start) {
			midnight = start
		}
		return midnight, nil
	}
	text := look.From
	if text == "" {
		text = j.Date
	}
	day, err := time.ParseInLocation(time.DateOnly, text, zone)
	if err != nil {
		return day, noDate(look.From)
	}
	first, end := midnight(start.In(zone)), f.Members[0].End()
	if look.From == "" && (day.Before(first) || !day.Before(end)) {
		show := func(t time.Time) string { return t.In(zone).Format("2 January 2006") }
		return start, faulty("date", fmt.Sprintf("Give a forecast that holds it, write the right date, or ask for any day from one on, whatever "+
			"the date: --from %s", first.Format(time.DateOnly)),
			"the job is dated %s and the forecast holds %s to %s", show(day), show(start), show(end.Add(-time.Minute)))
	}
	if day.Before(start) {
		return start, nil
	}
	return day, nil
}

// mostBackDays is how far before the forecast work that is done may lie; what is older is as
// old, since every window of the trade has closed by then.
const mostBackDays = 4

// backTo carries a forecast back to the day of work that was done before it begins: its first
// day's hours stand in for the days that are not known, and the forecast says so.
func backTo(f weather.Forecast, since time.Time) weather.Forecast {
	start := f.Members[0].Start
	if since.IsZero() || !since.Before(start) || len(f.Members[0].Hours) < 24 {
		return f
	}
	days := min(mostBackDays, int(start.Sub(since).Hours()/24)+1)
	out := f
	out.Members = make([]weather.Series, len(f.Members))
	for m, s := range f.Members {
		hours := make([]weather.Hour, 0, 24*days+len(s.Hours))
		for range days {
			hours = append(hours, s.Hours[:24]...)
		}
		s.Hours, s.Start = append(hours, s.Hours...), start.AddDate(0, 0, -days)
		out.Members[m] = s
	}
	out.Notes = append(append([]string(nil), f.Notes...),
		"the forecast begins after work that is done: its first day stands for the days before it, while that work hardened")
	return out
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
