package programme

import (
	"encoding/json"
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
	for i, d := range a.Days {
		if d == nil {
			return fmt.Errorf("day %d is empty", i+1)
		}
		d.Zone = zone
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
