package office

import (
	"encoding/json"
	"fmt"
	"time"

	"gelwright/store"
)

// Kind is a kind of sheet that the office keeps.
type Kind string

// The kinds of sheets.
const (
	KindJob      Kind = "job"      // where a job stands; its id is the job's
	KindCustomer Kind = "customer" // who ordered
	KindSite     Kind = "site"     // where the roof is
	KindCrew     Kind = "crew"     // who lays it
	KindDay      Kind = "day"      // a crew on a roof on a day
)

// Kinds are all kinds of sheets.
func Kinds() []Kind { return []Kind{KindJob, KindCustomer, KindSite, KindCrew, KindDay} }

// Sheet is what somebody wrote of one thing.
type Sheet interface {
	// Kind is the kind of the sheet.
	Kind() Kind
	// Check says what of it cannot be kept, as an *store.Error.
	Check() error
	// Keys are what it is found by and what it points at.
	Keys() Keys
	// Texts are its words for a search.
	Texts() []Text
}

// Keys are what a sheet is listed by. Job, Customer, Site and Crew name what must be there; empty ones name nothing.
type Keys struct {
	Job, Customer, Site, Crew store.ID
	// Day is the date of a day on the roof; Stage where a job stands.
	Day   string
	Stage Stage
	// Away says that the sheet is put away: it is kept, and no longer offered.
	Away bool
}

// Record is a sheet as it is kept, in one of its versions.
type Record struct {
	Kind Kind     `json:"kind"`
	ID   store.ID `json:"id"`
	// Version counts from 1; 0 is a sheet that was never written.
	Version int `json:"version"`
	// When and by whom this version was written, and what was done, in a few words.
	When  time.Time `json:"when"`
	Who   string    `json:"who"`
	What  string    `json:"what"`
	Sheet Sheet     `json:"sheet"`
}

// Change is a sheet that is to be kept in place of the version that it was made from; BasedOn 0 begins one.
type Change struct {
	ID      store.ID
	BasedOn int
	When    time.Time
	Who     string
	What    string
	Sheet   Sheet
}

// Check says what of a change cannot be kept.
func (c *Change) Check() error {
	if c.Sheet == nil {
		return refused("sheet", "Send the sheet whole, as it is to be", "there is none")
	}
	if err := c.ID.Check(); err != nil {
		return err
	}
	if c.BasedOn < 0 {
		return refused("based_on", "Give the version that the change was made from, 0 for a new sheet", "%d is no version", c.BasedOn)
	}
	if c.Who == "" {
		return refused("who", `Name the person, or "this computer"`, "nobody is named")
	}
	if y := c.When.UTC().Year(); y < 1970 || y > 9999 {
		return refused("when", "Set the clock of the device", "the year %d is not kept: 1970 to 9999 are", y)
	}
	if err := line("who", c.Who); err != nil {
		return err
	}
	if err := line("what", c.What); err != nil {
		return err
	}
	if j, is := c.Sheet.(Job); is {
		if err := j.notAhead(c.When); err != nil {
			return err
		}
	}
	return c.Sheet.Check()
}

// Same reports whether a version that is kept is what a change asks for: then it was asked for again.
func (c *Change) Same(kept *Record) bool {
	return kept.Version == c.BasedOn+1 && kept.Who == c.Who && kept.What == c.What && string(Written(kept.Sheet)) == string(Written(c.Sheet))
}

// Written is a sheet as JSON, always the same for the same sheet.
func Written(s Sheet) []byte {
	raw, err := json.Marshal(Filled(s))
	if err != nil {
		panic(err) // sheets are this package's own types: texts, numbers and lists of them
	}
	return raw
}

// Read makes a sheet of its JSON; fields that are not known are refused, those left out are empty.
func Read(kind Kind, raw []byte) (Sheet, error) {
	switch kind {
	case KindJob:
		return read[Job](raw)
	case KindCustomer:
		return read[Customer](raw)
	case KindSite:
		return read[Site](raw)
	case KindCrew:
		return read[Crew](raw)
	case KindDay:
		return read[Day](raw)
	}
	return nil, refused("kind", "The kinds are job, customer, site, crew and day", "%q is no kind of sheet", string(kind))
}

func read[S Sheet](raw []byte) (Sheet, error) {
	var s S
	if err := strictly(raw, &s); err != nil {
		return nil, refused("sheet", "Send one JSON object with the fields of this kind of sheet", "it cannot be read: %v", err)
	}
	return Filled(s), nil
}

// Overtaken is the answer to a change whose sheet has a newer version: what is there now, what it was made from, and what differs.
type Overtaken struct {
	Now  Record
	Join Joined
}

// Error says who was faster.
func (o *Overtaken) Error() string { return o.Unwrap().Error() }

// Unwrap is the same as a store's Conflict.
func (o *Overtaken) Unwrap() error {
	return &store.Error{Kind: store.Conflict, Place: string(o.Now.Kind) + " " + string(o.Now.ID), Newest: o.Now.Version,
		Found: fmt.Sprintf("%s changed it meanwhile (version %d: %s); nothing was written over", o.Now.Who, o.Now.Version,
			o.Now.What),
		Remedy: "Look at what differs: take what is there, join both, or put yours on top of it"}
}
