package language

import (
	"regexp"
	"strconv"
	"strings"
)

// Dates are the words of a day: months from January, days of the week from Sunday, as they stand within a date.
type Dates struct {
	Months, Days [12]string
	// Day writes weekday (empty for none), day, month and year (0 for none); Numbers a date in figures alone.
	Day     func(weekday string, day int, month string, year int) string
	Numbers func(year, month, day int) string
}

var (
	englishMonths = [...]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}
	englishDays   = [...]string{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"}
)

// inWords is a date as English papers write it: "Sun 17 May 2026", "17 May", "12 May 2026".
var inWords = regexp.MustCompile(`\b(?:(Sun|Mon|Tue|Wed|Thu|Fri|Sat)[a-z]* )?([0-3]?[0-9]) ` +
	`(Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)[a-z]*(?: ([12][0-9]{3}))?\b`)

// weekdayed is a day of the week before a date that is in figures already, or alone.
var weekdayed = regexp.MustCompile(`\b(Sun|Mon|Tue|Wed|Thu|Fri|Sat) `)

// cutsDate reports whether a text ends in the beginning of a date whose month went elsewhere: "Sun", "on Sun 17".
func cutsDate(text string) bool {
	if k := strings.LastIndexByte(text, ' '); k >= 0 && len(text)-k <= 3 && strings.Trim(text[k+1:], "0123456789") == "" {
		text = text[:k]
	}
	return placeOf(englishDays[:], text[strings.LastIndexByte(text, ' ')+1:]) >= 0
}

// inFigures is a date of ISO 8601.
var inFigures = regexp.MustCompile(`\b([12][0-9]{3})-([01][0-9])-([0-3][0-9])\b`)

// dated writes the dates of a text as the language writes them.
func (c *Catalogue) dated(text string) string {
	if c.Dates.Day == nil {
		return text
	}
	text = inWords.ReplaceAllStringFunc(text, func(found string) string {
		m := inWords.FindStringSubmatch(found)
		day, _ := strconv.Atoi(m[2])
		year, _ := strconv.Atoi(m[4])
		weekday := ""
		if k := placeOf(englishDays[:], m[1]); k >= 0 {
			weekday = c.Dates.Days[k]
		}
		return c.Dates.Day(weekday, day, c.Dates.Months[placeOf(englishMonths[:], m[3])], year)
	})
	text = weekdayed.ReplaceAllStringFunc(text, func(found string) string {
		return c.Dates.Days[placeOf(englishDays[:], found[:3])] + " "
	})
	return inFigures.ReplaceAllStringFunc(text, func(found string) string {
		p := strings.Split(found, "-")
		y, _ := strconv.Atoi(p[0])
		m, _ := strconv.Atoi(p[1])
		d, _ := strconv.Atoi(p[2])
		return c.Dates.Numbers(y, m, d)
	})
}

func placeOf(list []string, word string) int {
	for i, w := range list {
		if w == word {
			return i
		}
	}
	return -1
}
