package programme

import (
	"encoding/json"
	"errors"
	"fmt"
	"time"
)

// Ahead is what a forecast says of a job's days to come, as its sheets show it.
type Ahead struct {
	// Zone is the site's; its clocks are kept for the days that are told here.
	Zone *time.Location
	// Days have wet work; none where no day will do.
	Days []*Day
	// Fortnight is the hours of laminating and of top coating.
	Fortnight []WorkHours
}

// WorkHours is the hours of one kind of work.
type WorkHours struct {
	Work  string `json:"work"`
	Hours []Hour `json:"hours"`
}

// aheadRecord is Ahead as it is written.
type aheadRecord struct {
	Zone      clocks      `json:"time_zone"`
	Days      []*Day      `json:"days,omitempty"`
	Fortnight []WorkHours `json:"fortnight"`
}

// StoredAhead is the form in which the days ahead are written, for a schema.
func StoredAhead() any { return aheadRecord{} }

// MarshalJSON writes the days, and what the zone's clocks show on them: a rule of summer
// time that is changed later changes no stored plan.
func (a *Ahead) MarshalJSON() ([]byte, error) {
	from, to := a.span()
	return json.Marshal(aheadRecord{clocksOf(a.Zone, from, to), a.Days, a.Fortnight})
}

// UnmarshalJSON reads what MarshalJSON writes.
func (a *Ahead) UnmarshalJSON(raw []byte) error {
	var r aheadRecord
	if err := json.Unmarshal(raw, &r); err != nil {
		return err
	}
	zone, err := r.Zone.location()
	if err != nil {
		return err
	}
	*a = Ahead{Zone: zone, Days: r.Days, Fortnight: r.Fortnight}
	return a.sound()
}

// mostHours of a fortnight are told; a day is no longer than two of the clock.
const mostHours = 24 * 62

// sound looks whether what was read can be drawn, and gives the days their zone.
func (a *Ahead) sound() error {
	if len(a.Fortnight) == 0 {
		return errors.New("days ahead without their hours")
	}
	for i, d := range a.Days {
		switch {
		case d == nil:
			return fmt.Errorf("day %d is empty", i+1)
		case len(d.Instants) < 2 || len(d.Instants) > mostHours || !d.To.After(d.From) || d.To.Sub(d.From) > 48*time.Hour:
			return fmt.Errorf("day %d, from %s to %s with %d moments, is no day", i+1, d.From, d.To, len(d.Instants))
		}
		d.Zone = a.Zone
	}
	for _, w := range a.Fortnight {
		if len(w.Hours) == 0 || len(w.Hours) > mostHours {
			return fmt.Errorf("%s has %d hours", w.Work, len(w.Hours))
		}
	}
	return nil
}

// span bounds all times that are told.
func (a *Ahead) span() (from, to time.Time) {
	take := func(t time.Time) {
		if t.IsZero() {
			return
		}
		if from.IsZero() || t.Before(from) {
			from = t
		}
		if to.IsZero() || t.After(to) {
			to = t
		}
	}
	for _, d := range a.Days {
		for _, t := range []time.Time{d.From, d.To, d.Now, d.Light.Rise, d.Light.Set} {
			take(t)
		}
		for _, b := range d.Bars {
			for _, t := range []time.Time{b.Start, b.End, b.Earliest, b.Latest, b.SafeBy, b.SafeByLate} {
				take(t)
			}
		}
	}
	for _, w := range a.Fortnight {
		for _, h := range w.Hours {
			take(h.Time)
		}
	}
	// A drawing may ask for the midnights around them.
	if !from.IsZero() {
		from, to = from.Add(-24*time.Hour), to.Add(24*time.Hour)
	}
	return from, to
}
