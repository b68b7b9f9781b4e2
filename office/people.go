package office

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Customer is somebody who asked for a roof.
type Customer struct {
	Name      string   `json:"name"`
	Address   []string `json:"address"` // lines as on a letter
	Telephone string   `json:"telephone"`
	Mail      string   `json:"mail"`
	Note      string   `json:"note"`
	Away      bool     `json:"away"`
}

// Kind is KindCustomer.
func (Customer) Kind() Kind { return KindCustomer }

// Keys say whether it is put away.
func (c Customer) Keys() Keys { return Keys{Away: c.Away} }

// Check says what of a customer's sheet cannot be kept.
func (c Customer) Check() error {
	if at := strings.IndexByte(c.Mail, '@'); c.Mail != "" && (at < 1 || at == len(c.Mail)-1 || strings.ContainsAny(c.Mail, " ,;<>")) {
		return refused("mail", "Write it as name@example.org, one alone", "%q is no address for mail", shortened(c.Mail))
	}
	return first(named(c.Name), list("address", c.Address), line("telephone", c.Telephone), line("mail", c.Mail), note("note", c.Note))
}

// Site is where a roof is.
type Site struct {
	Name    string   `json:"name"` // "12 Mill Lane, garage"
	Address []string `json:"address"`
	// Access is how one gets on the roof and past the door: ladder, key, dog, parking.
	Access string `json:"access"`
	// Place is latitude and longitude in degrees, north and east positive, "51.5010, -0.1416"; empty where nobody has looked.
	Place string `json:"place"`
	Note  string `json:"note"`
	Away  bool   `json:"away"`
}

// Kind is KindSite.
func (Site) Kind() Kind { return KindSite }

// Keys say whether it is put away.
func (s Site) Keys() Keys { return Keys{Away: s.Away} }

// Check says what of a site's sheet cannot be kept.
func (s Site) Check() error {
	if s.Place != "" && !isPlace(s.Place) {
		return refused("place", `Write latitude and longitude in degrees, as "51.5010, -0.1416"`, "%q is no place", shortened(s.Place))
	}
	return first(named(s.Name), list("address", s.Address), note("access", s.Access), note("note", s.Note))
}

// isPlace reports whether a text is a latitude and a longitude.
func isPlace(s string) bool {
	north, east, two := strings.Cut(s, ",")
	lat, err := strconv.ParseFloat(strings.TrimSpace(north), 64)
	lon, err2 := strconv.ParseFloat(strings.TrimSpace(east), 64)
	return two && err == nil && err2 == nil && lat >= -90 && lat <= 90 && lon >= -180 && lon <= 180
}

// Crew is who goes to a roof together.
type Crew struct {
	Name   string   `json:"name"`
	People []string `json:"people"` // names; how many there are is how many hands the engine counts with
	// Mark stands for the crew where there is no room for its name, 1 to 3 letters or digits: it is told from others without colour.
	Mark string `json:"mark"`
	// Works are the days of the week on which it works, "Mon"; none are Monday to Friday. A run of days skips the others.
	Works []string `json:"works" required:"false"`
	Note  string   `json:"note"`
	Away  bool     `json:"away"`
}

// Kind is KindCrew.
func (Crew) Kind() Kind { return KindCrew }

// Keys say whether it is put away.
func (c Crew) Keys() Keys { return Keys{Away: c.Away} }

// Check says what of a crew's sheet cannot be kept.
func (c Crew) Check() error {
	n := utf8.RuneCountInString(c.Mark)
	if n < 1 || n > 3 || strings.ContainsFunc(c.Mark, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		return refused("mark", "Give 1 to 3 letters or digits, as N or 2", "%q is no mark", shortened(c.Mark))
	}
	return first(named(c.Name), list("people", c.People), checkWorks(c.Works), note("note", c.Note))
}
