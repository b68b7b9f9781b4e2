package office

import (
	"fmt"
	"regexp"
	"strconv"
	"time"
)

// Week is a week by ISO 8601: it begins on Monday, and week 1 has the year's first Thursday.
type Week struct {
	Year, Number int
}

var weekShape = regexp.MustCompile(`^(\d{4})-W(\d{2})$`)

// ReadWeek reads "2026-W23".
func ReadWeek(s string) (Week, error) {
	if m := weekShape.FindStringSubmatch(s); m != nil {
		year, _ := strconv.Atoi(m[1]) // four digits
		number, _ := strconv.Atoi(m[2])
		w := Week{year, number}
		if year >= 1970 && number >= 1 && weekOf(w.monday()) == w {
			return w, nil
		}
	}
	return Week{}, refused("week", "Write it as 2026-W23; a year has 52 or 53 weeks", "%q is no week", shortened(s))
}

// WeekOf is the week of a date, "2026-06-03".
func WeekOf(day string) (Week, error) {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return Week{}, date("date", day, false)
	}
	return weekOf(t), nil
}

func weekOf(t time.Time) Week {
	year, number := t.ISOWeek()
	return Week{year, number}
}

// String is the week as it is written, "2026-W23".
func (w Week) String() string { return fmt.Sprintf("%04d-W%02d", w.Year, w.Number) }

// monday is the first day of the week: 4 January is always in week 1.
func (w Week) monday() time.Time {
	fourth := time.Date(w.Year, time.January, 4, 0, 0, 0, 0, time.UTC)
	sinceMonday := (int(fourth.Weekday()) + 6) % 7
	return fourth.AddDate(0, 0, 7*(w.Number-1)-sinceMonday)
}

// Days are the dates of the week, Monday first.
func (w Week) Days() [7]string {
	var out [7]string
	for i := range out {
		out[i] = w.monday().AddDate(0, 0, i).Format(time.DateOnly)
	}
	return out
}
