package desk

import (
	"fmt"
	"slices"

	"gelwright/elementary"
	"gelwright/programme"
	"gelwright/weather"
)

// doubt says no to a forecast whose numbers are hardly in their units, and to one that tells
// nothing of rain: what is not told is not dry.
func doubt(f *weather.Forecast, site weather.Site, look Look) error {
	for i := range f.Members {
		s := &f.Members[i]
		if s.Norms {
			continue
		}
		for _, d := range s.Doubts(site) {
			return faulty("forecast", d.Remedy, "%s: %s", d.Quantity, d.Found)
		}
		lifted := slices.ContainsFunc(look.Overrides, func(o programme.Override) bool { return o.Limit == weather.LimitRain })
		if !s.TellsRain() && !lifted {
			return faulty("forecast", "Give a column rain_mm or rain_prob_pct, or lift the limit on your word: --override 'rain: why'",
				"it tells nothing of rain, and what is not told is not dry")
		}
	}
	return nil
}

// correct takes what earlier forecasts were off by, as readings on site showed, off this one.
func (s *sky) correct(site weather.Site, look Look) {
	r := look.Record
	if r == nil || r.Hours == 0 || s.Members[0].Norms {
		return
	}
	members := make([]weather.Series, len(s.Members))
	for i := range members {
		members[i] = r.Correct(s.Members[i], site)
	}
	s.Members = members
	s.notes = append(s.notes, fmt.Sprintf("corrected by %d hours of earlier forecasts against readings on site: by day the air came "+
		"%+.1f K, its distance to the dew point %+.1f K, the wind × %.2f of what was said; "+
		"%d of %d hours said to be dry were wet", r.Hours,
		r.Air[1].Mean(), r.Gap[1].Mean(), elementary.Exp(r.Wind[1].Mean()), r.Wet, r.Dry))
}

// errors is how far a single forecast may be off: as the record shows, or as is assumed.
func (l *Look) errors() weather.ErrorModel {
	if l.Record == nil {
		return weather.AssumedErrors()
	}
	return l.Record.Errors(weather.AssumedErrors())
}

// RecordOf compares earlier forecasts with readings on site.
func RecordOf(earlier []weather.Forecast, readings weather.Forecast, site weather.Site) (*weather.Record, error) {
	came, err := readings.Fill(site)
	if err != nil {
		return nil, as(Faulty, err)
	}
	r := &weather.Record{}
	for _, f := range earlier {
		said, err := f.Fill(site)
		if err != nil {
			return nil, as(Faulty, err)
		}
		r.Add(weather.Compare(said.Members[0], came.Members[0], site))
	}
	if r.Hours == 0 {
		return nil, faulty("readings", "Give the forecasts as they were kept of the days that were read",
			"they have no hour in common with an earlier forecast")
	}
	return r, nil
}
