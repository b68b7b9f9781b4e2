package web

import (
	"context"
	"encoding/json"
	"errors"
	"time"

	"gelwright/office"
	"gelwright/people"
	"gelwright/store"
)

// recordOf is a sheet of a kind as it is kept.
type recordOf[S office.Sheet] struct {
	ID      store.ID  `json:"id" doc:"The sheet's id: 32 digits 0-9 a-f"`
	Version int       `json:"version" doc:"Counts from 1; 0 is a sheet that was never written"`
	When    time.Time `json:"when" doc:"When this version was written"`
	Who     string    `json:"who" doc:"By whom"`
	What    string    `json:"what" doc:"What was done, in a few words"`
	Sheet   S         `json:"sheet"`
}

func aRecord[S office.Sheet](r office.Record) recordOf[S] {
	sheet, _ := r.Sheet.(S)
	return recordOf[S]{r.ID, r.Version, r.When, r.Who, r.What, sheet}
}

func recordsOf[S office.Sheet](list []office.Record) []recordOf[S] {
	out := make([]recordOf[S], 0, len(list))
	for _, r := range list {
		out = append(out, aRecord[S](r))
	}
	return out
}

// SheetAsked is a question about one sheet of the office.
type SheetAsked struct {
	ID store.ID `path:"id" doc:"The sheet's id: 32 digits 0-9 a-f"`
}

type sheetAnswer[S office.Sheet] struct {
	Body recordOf[S]
}

type sheetsAsked struct {
	Away bool   `query:"away" doc:"List those that are put away too"`
	From string `query:"from" doc:"Days from this date on, as 2026-06-03"`
	To   string `query:"to" doc:"Days up to this date"`
}

type sheetsAnswer[S office.Sheet] struct {
	Body sheetList[S]
}

type sheetList[S office.Sheet] struct {
	Sheets []recordOf[S] `json:"sheets"`
}

type versionsAsked struct {
	SheetAsked
	Size int `query:"size" minimum:"1" maximum:"1000" default:"50" doc:"Versions, newest first"`
}

type putSheetAsked[S office.Sheet] struct {
	SheetAsked
	Body givenSheet[S]
}

// givenSheet is a sheet as it is sent.
type givenSheet[S office.Sheet] struct {
	BasedOn int    `json:"based_on" minimum:"0" doc:"The version that it was made from; 0 begins a sheet"`
	Who     string `json:"who,omitempty" doc:"By whom"`
	What    string `json:"what,omitempty" doc:"What was done, in a few words"`
	Sheet   S      `json:"sheet" doc:"The sheet whole, as it is to be"`
}

// sheetRows are the rows of a kind of sheet: its list, one, its versions, and one put.
func sheetRows[S office.Sheet](s *Server, kind office.Kind, many string, may people.Right) []route {
	path := "/api/office/" + many
	name := string(kind)
	rows := []route{
		{"GET", path + "/{id}", people.ReadJobs, false, 0, tell("office_"+name, "Give the office's sheet of a "+name,
			func(ctx context.Context, q *SheetAsked) (*sheetAnswer[S], error) {
				r, err := s.Office.Sheet(ctx, kind, q.ID)
				return &sheetAnswer[S]{aRecord[S](r)}, err
			})},
		{"GET", path + "/{id}/versions", people.ReadJobs, false, 0,
			tell("office_"+name+"_versions", "List the versions of the office's sheet of a "+name,
				func(ctx context.Context, q *versionsAsked) (*sheetsAnswer[S], error) {
					list, err := s.Office.Versions(ctx, kind, q.ID, q.Size)
					return &sheetsAnswer[S]{sheetList[S]{recordsOf[S](list)}}, err
				})},
		{"PUT", path + "/{id}", may, true, mostWords, tell("office_put_"+name, "Write on the office's sheet of a "+name,
			func(ctx context.Context, q *putSheetAsked[S]) (*sheetAnswer[S], error) {
				r, err := s.putSheet(ctx, q.ID, q.Body.BasedOn, q.Body.Who, q.Body.What, q.Body.Sheet)
				return &sheetAnswer[S]{aRecord[S](r)}, err
			})},
	}
	if kind == office.KindJob {
		return rows
	}
	return append(rows, route{"GET", path, people.ReadJobs, false, 0, tell("office_"+many, "List the office's sheets of "+many,
		func(ctx context.Context, q *sheetsAsked) (*sheetsAnswer[S], error) {
			list, err := s.Office.Sheets(ctx, office.Ask{Kind: kind, Away: q.Away, From: q.From, To: q.To})
			return &sheetsAnswer[S]{sheetList[S]{recordsOf[S](list)}}, err
		})})
}

// putSheet keeps a sheet; of one that was overtaken it tells what is there now.
func (s *Server) putSheet(ctx context.Context, id store.ID, basedOn int, who, what string, sheet office.Sheet) (office.Record, error) {
	if who == "" {
		who = somebody
	}
	r, err := s.Office.Put(ctx, office.Change{ID: id, BasedOn: basedOn, When: s.Now(), Who: s.doneBy(ctx, who), What: what, Sheet: sheet})
	return r, overtakenOf(err)
}

// overtakenOf is an error with what is there now, where a sheet was overtaken.
func overtakenOf(err error) error {
	var late *office.Overtaken
	if !errors.As(err, &late) {
		return err
	}
	var kept *store.Error
	errors.As(err, &kept)
	p := problemOfStore(kept)
	p.Overtaken = &Overtaken{ID: late.Now.ID, Version: late.Now.Version, When: late.Now.When, Who: late.Now.Who, What: late.Now.What,
		Sheet: office.Written(late.Now.Sheet), Differs: late.Join.Differs, Joined: late.Join.Sheet}
	return p
}

// Overtaken is what is there now in place of what a change was made from.
type Overtaken struct {
	ID      store.ID                 `json:"id" doc:"The sheet that was overtaken, of several"`
	Version int                      `json:"version"`
	When    time.Time                `json:"when"`
	Who     string                   `json:"who"`
	What    string                   `json:"what"`
	Sheet   json.RawMessage          `json:"sheet" doc:"The sheet as it is now"`
	Differs []office.FieldDifference `json:"differs" doc:"The fields in which the change that was sent differs from it"`
	Joined  json.RawMessage          `json:"joined" doc:"The sheet with what either alone changed, and theirs of what both did"`
}

// officeRows are everything that the office can be asked.
func (s *Server) officeRows() []route {
	rows := []route{
		{"GET", "/api/office/chart", people.ReadJobs, false, 0, tell("office_chart", "List the jobs by where they stand", s.chart)},
		{"GET", "/api/office/find", people.ReadJobs, false, 0, tell("office_find", "Find words in everything that was typed", s.find)},
		{"GET", "/api/office/calendar", people.ReadJobs, false, 0, tell("office_calendar", "Give which crew stands on which roof", s.calendar)},
		{"GET", "/api/office/week.pdf", people.ReadJobs, false, 0,
			tell("office_week", "Give a week on one sheet", s.weekSheet, gives("application/pdf"), unchanged)},
		{"GET", "/api/office/jobs/{id}/standing", people.ReadJobs, false, 0,
			tell("office_standing", "Give where a job stands, what it waits for, and how sure its days are", s.standing)},
		{"GET", "/api/office/standings", people.ReadJobs, false, 0,
			tell("office_standings", "Give where several jobs stand, as one answer", s.standings)},
		{"GET", "/api/office/jobs/{id}/run", people.ReadJobs, false, 0,
			tell("office_run", "Tell what a move would make of the days of a roof, and how sure it then is", s.run)},
		{"PUT", "/api/office/days", people.PlanDays, true, mostDays,
			tell("office_put_days", "Keep several days on the roof as one change", s.putDays)},
		{"POST", "/api/office/jobs/{id}/stage", people.ChangeJobs, true, mostWords,
			tell("office_stage", "Move a job along the trade's way", s.moveStage)},
	}
	rows = append(rows, sheetRows[office.Job](s, office.KindJob, "jobs", people.ChangeJobs)...)
	rows = append(rows, sheetRows[office.Customer](s, office.KindCustomer, "customers", people.ChangeJobs)...)
	rows = append(rows, sheetRows[office.Site](s, office.KindSite, "sites", people.ChangeJobs)...)
	rows = append(rows, sheetRows[office.Crew](s, office.KindCrew, "crews", people.PlanDays)...)
	return append(rows, sheetRows[office.Day](s, office.KindDay, "days", people.PlanDays)...)
}
