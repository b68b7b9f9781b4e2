package desk

import "time"

// DayChance is how sure a roof is, all of it, when it is begun on a day.
type DayChance struct {
	Day time.Time // local midnight
	// Begin is the best beginning on it, Finish when all is done, P how sure it is, 0 to 1; zero where there is none.
	Begin, Finish time.Time
	P             float64
	// Sure: that is as much as is wanted, the forecast itself allows it, and its buckets can be mixed. Why says why it is not begun.
	Sure bool
	Why  string
}

// Chances are those of the days that an answer looked at, in order: of each day its best beginning, a sure one before others.
func (o *Outlook) Chances(w *When) []DayChance {
	var out []DayChance
	starts := w.Starts()
	for _, d := range w.Days {
		c := DayChance{Day: d.Day, Why: d.Why}
		for _, s := range starts {
			if !sameDay(s.Begin.In(o.zone), d.Day) {
				continue
			}
			if c.Begin.IsZero() || s.Sure && !c.Sure || s.Sure == c.Sure && s.P > c.P {
				c.Begin, c.Finish, c.P, c.Sure, c.Why = s.Begin, s.Finish, s.P, s.Sure, ""
			}
		}
		if best := w.Best(); best != nil && w.NoBucket != "" && sameDay(best.Begin.In(o.zone), d.Day) {
			c.Sure, c.Why = false, w.NoBucket
		}
		out = append(out, c)
	}
	return out
}

func sameDay(a, b time.Time) bool {
	return a.Year() == b.Year() && a.YearDay() == b.YearDay()
}
