package office

import (
	"context"

	"gelwright/store"
)

// Keeper keeps the office's sheets beside the jobs of a store. Its methods may be called from many goroutines and processes. A
// method gives back an *store.Error or an *Overtaken for what it refuses, and has then changed nothing.
type Keeper interface {
	// Put keeps a sheet in place of the version that it was made from and returns it as it is kept. Where there is a newer version
	// it is an *Overtaken. The same change asked for again is answered with what was kept. What the sheet points at must be there:
	// a job, a customer, a site, a crew; the mark of a crew that is not put away is no other's; no crew stands twice on one roof on one
	// day.
	Put(ctx context.Context, change Change) (Record, error)

	// PutAll keeps several sheets as one change, or none of them: what the laws ask is held of all of them together, so that the days of
	// a roof can be moved over one another. The first that was overtaken is the error.
	PutAll(ctx context.Context, changes []Change) ([]Record, error)

	// Sheet gives a sheet in its newest version. A job that has none yet has the zero Job in version 0; other sheets that were
	// never written are Unknown.
	Sheet(ctx context.Context, kind Kind, id store.ID) (Record, error)

	// Sheets gives those of a kind in their newest versions, by day, then by id.
	Sheets(ctx context.Context, ask Ask) ([]Record, error)

	// Versions gives the versions of a sheet, newest first, at most limit (1 to store.MostHistory).
	Versions(ctx context.Context, kind Kind, id store.ID, limit int) ([]Record, error)

	// Chart gives the jobs with where they stand: in the order of the way, those with a day on the roof first by that day, then the
	// one changed last, then by id.
	Chart(ctx context.Context, ask ChartAsk) (Chart, error)

	// Search answers a question with what was found of each kind, in the order of Wheres; kinds with nothing are left out. A
	// question without a word finds nothing. Jobs that are retired are found too: what was once written is looked for in them.
	Search(ctx context.Context, q Question) ([]Found, error)
}

// Ask is a question for sheets of one kind.
type Ask struct {
	Kind Kind
	// Job, Crew: of these alone, where they are given. From and To are dates, both in it; empty is no end.
	Job, Crew store.ID
	From, To  string
	// Away: those that are put away too.
	Away bool
}

// Check says what of a question cannot be answered.
func (a *Ask) Check() error {
	known := false
	for _, k := range Kinds() {
		known = known || k == a.Kind
	}
	if !known {
		return refused("kind", "The kinds are job, customer, site, crew and day", "%q is no kind of sheet", shortened(string(a.Kind)))
	}
	return first(id("job", a.Job), id("crew", a.Crew), date("from", a.From, true), date("to", a.To, true))
}

// ChartAsk is a question for jobs by where they stand.
type ChartAsk struct {
	// Stage alone, where it is given. Text is words, each of which must begin a word of title, place, notes or customer.
	Stage Stage
	Text  string
	// Open: those at one of OpenStages alone.
	Open bool
	// Today is the day from which the next day on the roof counts.
	Today string
	// Page counts from 0; Size is jobs a page, 1 to store.MostPage, 0 is store.UsualPage.
	Page, Size int
}

// Check says what of a question cannot be answered.
func (a *ChartAsk) Check() error {
	if a.Stage != "" && a.Stage.Place() < 0 && a.Stage != NotTaken {
		return refused("stage", "The stages are "+joined(Way())+", and "+string(NotTaken), "%q is no stage", shortened(string(a.Stage)))
	}
	if a.Page < 0 || a.Size < 0 || a.Size > store.MostPage {
		return refused("page", "", "page %d of %d jobs: pages count from 0 and hold 1 to %d", a.Page, a.Size, store.MostPage)
	}
	return first(date("today", a.Today, false), line("find", a.Text))
}

// Chart is a page of jobs by where they stand.
type Chart struct {
	Lines []Line `json:"lines"`
	// Total counts the jobs of all pages, Counts those at each stage, whatever stage was asked for.
	Total  int           `json:"total"`
	Counts map[Stage]int `json:"counts"`
}

// Line is a job on the chart.
type Line struct {
	Job store.Job `json:"job"`
	// Version and Sheet are the office's sheet of it, 0 and an enquiry where there is none.
	Version int `json:"version"`
	Sheet   Job `json:"sheet"`
	// CustomerName is the name of its customer, PlaceName of its site's sheet, or its site as the roof names it.
	CustomerName string `json:"customer_name"`
	PlaceName    string `json:"place_name"`
	// Next is the next day on the roof and Crew who stands on it; empty where there is none.
	Next string   `json:"next"`
	Crew store.ID `json:"crew"`
}

// Filled is a sheet with empty lists where it has none, and with the stage and the part of the day that it means.
func Filled(s Sheet) Sheet {
	switch x := s.(type) {
	case Job:
		x.Stage = x.At()
		x.Reached, x.Awaits = some(x.Reached), some(x.Awaits)
		return x
	case Customer:
		x.Address = some(x.Address)
		return x
	case Site:
		x.Address = some(x.Address)
		return x
	case Crew:
		x.People, x.Works = some(x.People), some(x.Works)
		return x
	case Day:
		if x.Part == "" {
			x.Part = Whole
		}
		return x
	}
	return s
}

func some[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
