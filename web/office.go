package web

import (
	"context"
	"time"

	"gelwright/office"
	"gelwright/store"
)

// today is the day on the server's clock, in its time zone.
func (s *Server) today() string { return s.Now().Format(time.DateOnly) }

// zone says in which time zone it is today: by its name, or for a clock that has none by its hours from UTC.
func (s *Server) zone() string {
	now := s.Now()
	if name := now.Location().String(); name != "Local" && name != "" {
		return name
	}
	return "UTC" + now.Format("-07:00")
}

type chartAsked struct {
	Paged
	Stage string `query:"stage" doc:"Jobs at this stage alone: enquiry, survey, design, order, on the roof, hand-over, aftercare or not taken"`
	Open  bool   `query:"open" doc:"Open jobs alone: those at order, on the roof or hand-over"`
	Find  string `query:"find" doc:"Words, each of which begins a word of title, place, notes or customer"`
}

type chartAnswer struct {
	Body chartPage
}

// chartPage is a page of the chart of all jobs.
type chartPage struct {
	Today  string                  `json:"today" doc:"The day from which the next day on the roof counts"`
	Zone   string                  `json:"zone" doc:"The time zone in which it is that day: the server's, or the firm's that was set"`
	Stages []stageCount            `json:"stages" doc:"The stages in their order, each with the number of jobs that stand at it"`
	Lines  []ChartLine             `json:"lines"`
	Crews  []recordOf[office.Crew] `json:"crews" doc:"The crews, for the marks of the next days"`
	Paging
}

type stageCount struct {
	Stage string `json:"stage"`
	Jobs  int    `json:"jobs"`
}

// ChartLine is a job on the chart.
type ChartLine struct {
	ID       store.ID      `json:"id" doc:"The job's id"`
	Title    string        `json:"title"`
	Place    string        `json:"place" doc:"The name of its site's sheet, or its site as the roof names it"`
	Customer string        `json:"customer" doc:"The name of its customer; empty where none is named"`
	Stage    string        `json:"stage"`
	Why      string        `json:"why" doc:"Why it was not taken"`
	Version  int           `json:"version" doc:"The version of the office's sheet of it; 0 where there is none"`
	Steps    []office.Step `json:"steps" doc:"The trade's way, ticked as far as the job has come"`
	Waits    []office.Wait `json:"waits" doc:"What it waits for, without what rests on its roof"`
	Next     string        `json:"next" doc:"The next day on the roof; empty where there is none"`
	Crew     store.ID      `json:"crew" doc:"Who stands on it then; empty where nobody is named"`
}

// chart gives the jobs by where they stand.
func (s *Server) chart(ctx context.Context, q *chartAsked) (*chartAnswer, error) {
	today := s.today()
	c, err := s.Office.Chart(ctx, office.ChartAsk{Stage: office.Stage(q.Stage), Open: q.Open, Text: q.Find, Today: today,
		Page: q.Page, Size: q.Size})
	if err != nil {
		return nil, err
	}
	crews, err := s.Office.Sheets(ctx, office.Ask{Kind: office.KindCrew, Away: true})
	if err != nil {
		return nil, err
	}
	page := chartPage{Today: today, Zone: s.zone(), Lines: []ChartLine{}, Stages: []stageCount{}, Crews: recordsOf[office.Crew](crews),
		Paging: Paging{Total: c.Total, More: (q.Page+1)*q.Size < c.Total}}
	for _, stage := range append(office.Way(), office.NotTaken) {
		page.Stages = append(page.Stages, stageCount{string(stage), c.Counts[stage]})
	}
	for i := range c.Lines {
		l := &c.Lines[i]
		var days []office.Booked
		if l.Next != "" {
			days = []office.Booked{{Day: office.Day{Date: l.Next}}}
		}
		page.Lines = append(page.Lines, ChartLine{ID: l.Job.ID, Title: l.Job.Title, Place: l.PlaceName, Customer: l.CustomerName,
			Stage: string(l.Sheet.At()), Why: l.Sheet.Why, Version: l.Version, Steps: l.Sheet.Steps(),
			Waits: l.Sheet.Waits(nil, days, today), Next: l.Next, Crew: l.Crew})
	}
	return &chartAnswer{page}, nil
}

type findAsked struct {
	Find string `query:"find" doc:"Words; each must begin a word of what is found"`
	Most int    `query:"most" minimum:"1" maximum:"200" default:"20" doc:"Answers of each kind"`
}

type findAnswer struct {
	Body foundList
}

type foundList struct {
	Found []office.Found `json:"found" doc:"What was found, by kind"`
}

// find looks for words in everything that was typed.
func (s *Server) find(ctx context.Context, q *findAsked) (*findAnswer, error) {
	found, err := s.Office.Search(ctx, office.Question{Text: q.Find, Most: q.Most})
	return &findAnswer{foundList{found}}, err
}

type calendarAsked struct {
	Week  string `query:"week" doc:"The first week, as 2026-W23; this one where it is left out"`
	Weeks int    `query:"weeks" minimum:"1" maximum:"26" default:"1" doc:"How many weeks"`
}

type calendarAnswer struct {
	Body calendarOf
}

// calendarOf is the calendar of some weeks.
type calendarOf struct {
	Today string `json:"today"`
	Zone  string `json:"zone" doc:"The time zone in which it is that day"`
	office.Calendar
}

// calendar gives which crew stands on which roof.
func (s *Server) calendar(ctx context.Context, q *calendarAsked) (*calendarAnswer, error) {
	c, err := s.weeksOf(ctx, q.Week, q.Weeks)
	if err != nil {
		return nil, err
	}
	return &calendarAnswer{calendarOf{s.today(), s.zone(), c}}, nil
}

// weeksOf is the calendar of some weeks with the names of the roofs.
func (s *Server) weeksOf(ctx context.Context, text string, weeks int) (office.Calendar, error) {
	week, err := office.WeekOf(s.today())
	if text != "" {
		week, err = office.ReadWeek(text)
	}
	if err != nil {
		return office.Calendar{}, err
	}
	c, err := office.CalendarKept(ctx, s.Office, week, weeks)
	if err != nil {
		return c, err
	}
	for r := range c.Rows {
		for _, day := range c.Rows[r].Days {
			for i := range day {
				job, err := s.Jobs.Get(ctx, day[i].Job)
				if err != nil {
					return c, err
				}
				day[i].Title, day[i].Site = job.Title, job.Site
			}
		}
	}
	return c, nil
}
