package web

import (
	"context"
	"net/http"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"gelwright/people"
	"gelwright/store"
	"gelwright/work"
)

// WorkLine is a piece of the work behind the page.
type WorkLine struct {
	ID     store.ID   `json:"id"`
	Kind   string     `json:"kind" doc:"papers, weather, replan, morning or backup"`
	About  string     `json:"about,omitempty" doc:"The job or the place that it is for"`
	Title  string     `json:"title"`
	Who    string     `json:"who" doc:"Who ordered it"`
	State  string     `json:"state" enum:"waiting,running,done,failed,cancelled"`
	Done   int        `json:"done" doc:"Parts that are done"`
	Whole  int        `json:"whole" doc:"Parts of it; 0 where they are not counted"`
	Said   string     `json:"said" doc:"What it says of itself"`
	Result string     `json:"result,omitempty" doc:"The address, on this server, of what came of it"`
	Tries  int        `json:"tries" doc:"How often it was begun"`
	Made   time.Time  `json:"made"`
	Ended  *time.Time `json:"ended,omitempty"`
}

func workLineOf(w work.Work) WorkLine {
	l := WorkLine{ID: w.ID, Kind: w.Kind, About: w.About, Title: w.Title, Who: w.Who, State: string(w.State), Done: w.Done, Whole: w.Whole,
		Said: w.Said, Result: w.Result, Tries: w.Tries, Made: w.Made}
	if !w.Ended.IsZero() {
		l.Ended = &w.Ended
	}
	return l
}

// errNoWork is said where no work is done behind the page.
var errNoWork = &problem{status: http.StatusServiceUnavailable, Code: "no work", Place: "work", Message: "no work is done behind this page",
	Remedy: "Start the program as 'gelwright serve'"}

// behind is where work is ordered.
func (s *Server) behind() (*work.Queue, error) {
	if s.Work == nil {
		return nil, errNoWork
	}
	return s.Work, nil
}

// begunWork answers that work is ordered, and where its progress is told.
type begunWork struct {
	Location string `header:"Location" doc:"Where its progress is told"`
	Body     WorkLine
}

func begunWorkOf(w work.Work, err error) (*begunWork, error) {
	if err != nil {
		return nil, err
	}
	return &begunWork{"/api/tasks/" + string(w.ID), workLineOf(w)}, nil
}

// ordered says that what is asked is done later, which is answered with 202.
func ordered(o *huma.Operation) { o.DefaultStatus = http.StatusAccepted }

type workListAsked struct {
	Whole
	About string `query:"about" doc:"Of this job or place alone"`
	Open  bool   `query:"open" doc:"Only what is not ended"`
}

type workListAnswer struct {
	Body workList
}

type workList struct {
	Work []WorkLine `json:"work"`
	Paging
}

// listWork lists the work behind the page, the newest first.
func (s *Server) listWork(ctx context.Context, q *workListAsked) (*workListAnswer, error) {
	behind, err := s.behind()
	if err != nil {
		return nil, err
	}
	list, err := behind.List(ctx, work.Ask{About: q.About, Open: q.Open, Limit: work.MostListed})
	if err != nil {
		return nil, err
	}
	lines := []WorkLine{}
	for _, w := range list {
		lines = append(lines, workLineOf(w))
	}
	lines, pages := part(q.Whole, lines)
	return &workListAnswer{workList{lines, pages}}, nil
}

// WorkAsked names a piece of work.
type WorkAsked struct {
	Work store.ID `path:"task" doc:"The id of the work: 32 digits 0-9 a-f"`
}

type workAnswer struct {
	Body WorkLine
}

// workOf tells how far a piece of work is.
func (s *Server) workOf(ctx context.Context, q *WorkAsked) (*workAnswer, error) {
	behind, err := s.behind()
	if err != nil {
		return nil, err
	}
	w, err := behind.Get(ctx, q.Work)
	if err != nil {
		return nil, err
	}
	return &workAnswer{workLineOf(w)}, nil
}

// Named is the body of a question that says no more than who asks.
type Named struct {
	Who string `json:"who,omitempty" default:"this computer"`
}

type cancelAsked struct {
	WorkAsked
	Body Named
}

// cancelWork ends work that has not ended.
func (s *Server) cancelWork(ctx context.Context, q *cancelAsked) (*workAnswer, error) {
	behind, err := s.behind()
	if err != nil {
		return nil, err
	}
	w, err := behind.Cancel(ctx, q.Work, s.doneBy(ctx, q.Body.Who))
	if err != nil {
		return nil, err
	}
	return &workAnswer{workLineOf(w)}, nil
}

type orderAsked struct {
	StateAsked
	Body Named
}

// orderPapers has the papers of a state made and kept with the job as one file.
func (s *Server) orderPapers(ctx context.Context, q *orderAsked) (*begunWork, error) {
	behind, err := s.behind()
	if err != nil {
		return nil, err
	}
	return begunWorkOf(behind.Papers(ctx, q.ID, q.Seq, s.doneBy(ctx, q.Body.Who)))
}

type morningAsked struct {
	Body Named
}

// orderMorning has the weather of all open jobs asked for, and each planned again.
func (s *Server) orderMorning(ctx context.Context, q *morningAsked) (*begunWork, error) {
	behind, err := s.behind()
	if err != nil {
		return nil, err
	}
	return begunWorkOf(behind.Morning(ctx, s.doneBy(ctx, q.Body.Who)))
}

type fetchAsked struct {
	JobAsked
	Body Named
}

// orderWeather has the weather of a job's place asked for.
func (s *Server) orderWeather(ctx context.Context, q *fetchAsked) (*begunWork, error) {
	behind, err := s.behind()
	if err != nil {
		return nil, err
	}
	return begunWorkOf(behind.Fetch(ctx, q.ID, s.doneBy(ctx, q.Body.Who)))
}

type skyAnswer struct {
	Body work.Sky
}

// sky tells what is kept of the weather of a job's place, and what readings there have taught.
func (s *Server) sky(ctx context.Context, q *JobAsked) (*skyAnswer, error) {
	behind, err := s.behind()
	if err != nil {
		return nil, err
	}
	sky, err := behind.Sky(ctx, q.ID)
	return &skyAnswer{sky}, err
}

type readingsAsked struct {
	JobAsked
	Body struct {
		Name string `json:"name" maxLength:"200" doc:"What the file is called"`
		CSV  string `json:"csv" doc:"Hours with the columns of an own forecast: time, air_c, rh_pct, wind_ms, rain_mm"`
		Who  string `json:"who,omitempty" default:"this computer"`
	}
}

type saidAnswer struct {
	Body struct {
		Said string `json:"said" doc:"What was kept, and what is learnt from it"`
	}
}

// addReadings keeps readings on site of a job's place.
func (s *Server) addReadings(ctx context.Context, q *readingsAsked) (*saidAnswer, error) {
	behind, err := s.behind()
	if err != nil {
		return nil, err
	}
	var out saidAnswer
	out.Body.Said, err = behind.AddReadings(ctx, q.ID, q.Body.Name, s.doneBy(ctx, q.Body.Who), []byte(q.Body.CSV))
	return &out, err
}

type remindersAnswer struct {
	Body reminderList
}

type reminderList struct {
	Reminders []work.Reminder `json:"reminders"`
	Paging
}

// reminders lists what somebody is to be told of jobs.
func (s *Server) reminders(ctx context.Context, q *Whole) (*remindersAnswer, error) {
	behind, err := s.behind()
	if err != nil {
		return nil, err
	}
	list, err := behind.Reminders(ctx)
	if err != nil {
		return nil, err
	}
	some, pages := part(*q, list)
	return &remindersAnswer{reminderList{some, pages}}, nil
}

// ofPapers refuses the papers that are kept as one file to who may not see prices, which stand in them.
func ofPapers(ctx context.Context, name string) error {
	if !strings.HasPrefix(name, work.PapersPrefix) || actorOf(ctx).May(people.SeePrices) {
		return nil
	}
	return forbidden(name, people.SeePrices)
}

// workRoutes are what can be asked of the work behind the page.
func (s *Server) workRoutes() []route {
	return []route{
		{"GET", "/api/tasks", people.ReadJobs, false, 0, tell("listWork", "List the work behind the page, the newest first", s.listWork)},
		{"GET", "/api/tasks/{task}", people.ReadJobs, false, 0, tell("work", "Tell how far a piece of work is", s.workOf)},
		{"POST", "/api/tasks/{task}/cancel", people.ChangeJobs, true, mostWords, tell("cancelWork", "End work that has not ended", s.cancelWork)},
		{"POST", "/api/morning", people.ChangeJobs, true, mostWords,
			tell("orderMorning", "Have the weather of all open jobs asked for, and each planned again", s.orderMorning, ordered)},
		{"GET", "/api/reminders", people.ReadJobs, false, 0,
			tell("listReminders", "List what somebody is to be told of jobs, the newest first", s.reminders)},
		{"POST", "/api/jobs/{id}/papers", people.SeePrices, true, mostWords,
			tell("orderPapers", "Have the papers of a state made and kept as one file", s.orderPapers, ordered)},
		{"GET", "/api/jobs/{id}/weather", people.ReadJobs, false, 0, tell("weather", "Tell what is kept of the weather of a job's place", s.sky)},
		{"POST", "/api/jobs/{id}/weather", people.ChangeJobs, true, mostWords,
			tell("orderWeather", "Have the weather of a job's place asked for", s.orderWeather, ordered)},
		{"POST", "/api/jobs/{id}/readings", people.Record, true, mostQuestion,
			tell("addReadings", "Keep readings on site, and learn from them how forecasts err there", s.addReadings)},
	}
}
