package web

import (
	"context"

	"gelwright/office"
	"gelwright/store"
)

type standingAsked struct {
	JobAsked
	Crew   store.ID `query:"crew" doc:"The crew for whose hands and days of work the chance is asked"`
	People int      `query:"people" minimum:"0" maximum:"40" doc:"Hands on the roof in place of the crew's; without either: those of its file"`
}

type standingAnswer struct {
	Body Standing
}

// Standing is where a job stands with what its roof says.
type Standing struct {
	ID    store.ID               `json:"id" doc:"The job's id"`
	Stage string                 `json:"stage"`
	Steps []office.Step          `json:"steps"`
	Waits []office.Wait          `json:"waits"`
	Days  []recordOf[office.Day] `json:"days" doc:"Its days on the roof, in order"`
	Next  string                 `json:"next" doc:"The next of them; empty where there is none"`
	Roof  office.Roof            `json:"roof"`
}

// standing gives where a job stands.
func (s *Server) standing(ctx context.Context, q *standingAsked) (*standingAnswer, error) {
	look, err := s.lookOf(ctx, q.Crew)
	if err != nil {
		return nil, err
	}
	if q.People > 0 {
		look.people = q.People
	}
	out, err := s.standingOf(ctx, q.ID, look)
	if err != nil {
		return nil, err
	}
	return &standingAnswer{*out}, nil
}

type standingsAsked struct {
	Jobs []store.ID `query:"jobs" required:"true" minItems:"1" maxItems:"200" doc:"The jobs' ids, with commas between"`
}

type standingsAnswer struct {
	Body standingList
}

type standingList struct {
	Standings []Standing `json:"standings" doc:"In the order in which they were asked for"`
}

// standings gives where several jobs stand: those of a screen are one question.
func (s *Server) standings(ctx context.Context, q *standingsAsked) (*standingsAnswer, error) {
	out := []Standing{}
	for _, id := range q.Jobs {
		one, err := s.standingOf(ctx, id, look{today: s.today()})
		if err != nil {
			return nil, err
		}
		out = append(out, *one)
	}
	return &standingsAnswer{standingList{out}}, nil
}

// standingOf gives where a job stands.
func (s *Server) standingOf(ctx context.Context, id store.ID, look look) (*Standing, error) {
	record, err := s.Office.Sheet(ctx, office.KindJob, id)
	if err != nil {
		return nil, err
	}
	days, err := s.Office.Sheets(ctx, office.Ask{Kind: office.KindDay, Job: id})
	if err != nil {
		return nil, err
	}
	roof, err := s.RoofOf(ctx, id, look)
	if err != nil {
		return nil, err
	}
	job, _ := record.Sheet.(office.Job)
	booked := office.BookedOf(days)
	return &Standing{ID: id, Stage: string(job.At()), Steps: job.Steps(), Waits: job.Waits(roof, booked, look.today),
		Days: recordsOf[office.Day](days), Next: office.Next(booked, look.today), Roof: *roof}, nil
}

type stageAsked struct {
	JobAsked
	Body stageMove
}

// stageMove is a job moved along the trade's way.
type stageMove struct {
	BasedOn int    `json:"based_on" minimum:"0" doc:"The version of the sheet that it was seen in; 0 where there was none"`
	Stage   string `json:"stage" doc:"Where it goes: enquiry, survey, design, order, on the roof, hand-over, aftercare or not taken"`
	On      string `json:"on,omitempty" doc:"The day on which the stage began, as 2026-06-03, none to come; today where it is left out"`
	Why     string `json:"why,omitempty" doc:"Why it was not taken, or why stages are passed over"`
	Who     string `json:"who,omitempty" doc:"By whom"`
}

// moveStage moves a job. What it was seen in decides: of two who move it at once the second is told.
func (s *Server) moveStage(ctx context.Context, q *stageAsked) (*sheetAnswer[office.Job], error) {
	record, err := s.Office.Sheet(ctx, office.KindJob, q.ID)
	if err != nil {
		return nil, err
	}
	on := q.Body.On
	if on == "" {
		on = s.today()
	}
	job, _ := record.Sheet.(office.Job)
	to := office.Stage(q.Body.Stage)
	what := job.MovedWords(to, q.Body.Why)
	// Of a job that somebody else has moved meanwhile that is told, whatever else is wrong.
	if job, err = job.Move(to, on, s.today(), q.Body.Why); err != nil && record.Version == q.Body.BasedOn {
		return nil, err
	}
	kept, err := s.putSheet(ctx, q.ID, q.Body.BasedOn, q.Body.Who, what, job)
	return &sheetAnswer[office.Job]{aRecord[office.Job](kept)}, err
}
