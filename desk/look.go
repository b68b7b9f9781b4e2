package desk

import (
	"strings"
	"time"

	"gelwright/programme"
	"gelwright/weather"
)

// Look is how far and how closely the days are looked at.
type Look struct {
	// From is the first day, "2026-05-31"; empty is the job's date.
	From string
	// At is the moment asked about; zero when the question is of days.
	At time.Time
	// Since is when the first work that is done was done, where that is known: the weather
	// is followed from its day on; zero when At is all that is asked about.
	Since time.Time
	// Days to look at.
	Days int
	// People on the roof in place of the job's crew; 0 takes the job's.
	People int
	// Courses of the weather are made round a single forecast; 1 takes it as it is.
	Courses int
	// Rest are the days of the week without work.
	Rest [7]bool
	// Target is the probability that counts as sure, 0 to 1.
	Target float64
	// Sheeted boards take no rain while nobody works on them.
	Sheeted bool
	// Record of earlier forecasts against readings on site corrects the forecast and says how
	// far it may be off; nil for none.
	Record *weather.Record
	// Overrides lift limits of the weather on somebody's word.
	Overrides []programme.Override
}

// UsualLook is a fortnight in 31 courses of the weather, sure at nine of ten.
func UsualLook() Look { return Look{Days: 14, Courses: 31, Target: 0.9} }

// Rest reads days of the week by their beginnings, "Sat", "sunday".
func Rest(words []string) ([7]bool, error) {
	var off [7]bool
	for _, w := range words {
		found := false
		for d := time.Sunday; d <= time.Saturday; d++ {
			if len(w) >= 2 && strings.HasPrefix(strings.ToLower(d.String()), strings.ToLower(w)) {
				off[d], found = true, true
			}
		}
		if !found {
			return off, wrong("rest", "Write Sat,Sun", "%q is no day of the week", w)
		}
	}
	return off, nil
}

// limitNames are the limits that may be lifted, by their words.
var limitNames = []weather.Limit{weather.LimitAirMin, weather.LimitAirMax, weather.LimitDeckMin, weather.LimitDeckMax,
	weather.LimitRH, weather.LimitDew, weather.LimitRain, weather.LimitRainProb, weather.LimitWind, weather.LimitGust,
	weather.LimitFrost, weather.LimitLight, weather.LimitMoisture}

// Lift is a limit of the weather lifted for a reason.
func Lift(limit, reason string) (programme.Override, error) {
	limit, reason = strings.TrimSpace(limit), strings.TrimSpace(reason)
	var known []string
	for _, l := range limitNames {
		known = append(known, string(l))
		if !strings.EqualFold(limit, string(l)) {
			continue
		}
		if reason == "" {
			return programme.Override{}, wrong("override", "Write '"+string(l)+": why'", "%q has no reason", limit)
		}
		return programme.Override{Limit: l, Reason: reason}, nil
	}
	return programme.Override{}, wrong("override", "The limits are "+strings.Join(known, ", "), "there is no limit %q", limit)
}

// Clock reads a time given in full, or as 15:04 on the day of another, in a zone.
func Clock(text string, near time.Time, zone *time.Location) (time.Time, error) {
	for _, form := range []string{time.RFC3339, "2006-01-02T15:04Z07:00", "2006-01-02 15:04Z07:00", "2006-01-02T15:04", "2006-01-02 15:04"} {
		if t, err := time.ParseInLocation(form, text, zone); err == nil {
			return t, nil
		}
	}
	t, err := time.Parse("15:04", text)
	switch {
	case err == nil && near.IsZero():
		return time.Time{}, wrong("", "Write its day too, 2026-05-31T10:30", "%q has no day", text)
	case err != nil:
		return time.Time{}, wrong("", "Write 2026-05-31T10:30, or 10:30 for the same day", "%q is no time", text)
	}
	d := near.In(zone)
	return time.Date(d.Year(), d.Month(), d.Day(), t.Hour(), t.Minute(), 0, 0, zone), nil
}
