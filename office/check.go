package office

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"gelwright/store"
)

// MostNote is how many letters a note may have, MostList how many lines a list.
const (
	MostNote = 4000
	MostList = 40
)

// refused is an error of what was given.
func refused(place, remedy, format string, args ...any) error {
	return &store.Error{Kind: store.Refused, Place: place, Found: fmt.Sprintf(format, args...), Remedy: remedy}
}

// line says what is wrong with a line of text.
func line(place, s string) error { return text(place, s, store.MostText, false) }

// note says what is wrong with a text of several lines.
func note(place, s string) error { return text(place, s, MostNote, true) }

func text(place, s string, most int, lines bool) error {
	if !utf8.ValidString(s) {
		return refused(place, "Send it as UTF-8", "its letters cannot be read")
	}
	if n := utf8.RuneCountInString(s); n > most {
		return &store.Error{Kind: store.TooLarge, Place: place, Found: fmt.Sprintf("it has %d letters", n),
			Remedy: fmt.Sprintf("Shorten it to %d", most)}
	}
	if strings.ContainsFunc(s, func(r rune) bool { return unicode.IsControl(r) && (!lines || r != '\n') }) {
		return refused(place, "Leave it out", "it holds a control letter, or a line break where one line is wanted")
	}
	return nil
}

// list says what is wrong with lines of text.
func list(place string, all []string) error {
	if len(all) > MostList {
		return refused(place, fmt.Sprintf("Give at most %d", MostList), "it has %d lines", len(all))
	}
	for i, s := range all {
		if err := line(fmt.Sprintf("%s, line %d", place, i+1), s); err != nil {
			return err
		}
	}
	return nil
}

// date says what is wrong with a date; an empty one is right where it may be left out.
func date(place, s string, may bool) error {
	if s == "" && may {
		return nil
	}
	if !IsDate(s) {
		return refused(place, fmt.Sprintf("Write it as 2026-06-03, from %d to %d", firstYear, lastYear), "%q is no date", shortened(s))
	}
	return nil
}

// firstYear and lastYear bound what a calendar of roofs holds: days are stepped through one by one, and dates compared as texts of
// four digits a year.
const firstYear, lastYear = 1970, 2199

// IsDate reports whether a text is a day of the calendar, "2026-06-03".
func IsDate(s string) bool {
	t, err := time.Parse(time.DateOnly, s)
	return err == nil && t.Year() >= firstYear && t.Year() <= lastYear
}

// id says what is wrong with the name of another sheet; an empty one names none.
func id(place string, x store.ID) error {
	if x == "" || x.Valid() {
		return nil
	}
	return refused(place, "Take the id from the list", "%q is no id: it has 32 digits 0-9 a-f", shortened(string(x)))
}

// named says what is wrong with a name that must be there.
func named(s string) error {
	if strings.TrimSpace(s) == "" {
		return refused("name", "Give a name", "there is none")
	}
	return line("name", s)
}

// first is the first error of several.
func first(all ...error) error {
	for _, err := range all {
		if err != nil {
			return err
		}
	}
	return nil
}

func shortened(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

// strictly reads one JSON value whose fields are all known.
func strictly(raw []byte, into any) error {
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return errors.New(strings.TrimPrefix(err.Error(), "json: "))
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return errors.New("more follows after its end")
	}
	return nil
}
