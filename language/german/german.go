// Package german is German: the forms of its sentences in text files, by what they are about, and how it writes a day. The terms,
// where they come from and what a native must read before it is used stand in docs/glossary-de.md.
package german

import (
	"embed"
	"fmt"
	"sync"

	"gelwright/language"
)

//go:embed *.txt
var texts embed.FS

// Catalogue returns the forms of German, read once.
func Catalogue() *language.Catalogue { return read() }

// read is made of what is compiled in alone; a test holds that it can be read.
var read = sync.OnceValue(func() *language.Catalogue {
	c, _ := readAll()
	return c
})

// readAll reads every file; what cannot be read is left out and told.
func readAll() (*language.Catalogue, error) {
	c := &language.Catalogue{Code: "de", Locale: "de-DE", Dates: language.Dates{
		Months: [12]string{"Januar", "Februar", "März", "April", "Mai", "Juni", "Juli", "August", "September", "Oktober", "November",
			"Dezember"},
		Days: [12]string{"So.", "Mo.", "Di.", "Mi.", "Do.", "Fr.", "Sa."}, Day: day, Numbers: numbers}}
	files, err := texts.ReadDir(".")
	if err != nil {
		return c, err
	}
	for _, f := range files {
		text, err := texts.ReadFile(f.Name())
		if err != nil {
			return c, err
		}
		if err := c.Add(f.Name(), string(text)); err != nil {
			return c, err
		}
	}
	return c, nil
}

// day writes "Mi. 20. Mai 2026".
func day(weekday string, day int, month string, year int) string {
	text := fmt.Sprintf("%d. %s", day, month)
	if weekday != "" {
		text = weekday + " " + text
	}
	if year > 0 {
		text += fmt.Sprintf(" %d", year)
	}
	return text
}

// numbers writes "20.05.2026".
func numbers(year, month, day int) string { return fmt.Sprintf("%02d.%02d.%04d", day, month, year) }
