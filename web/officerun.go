package web

import (
	"context"
	"slices"

	"gelwright/office"
	"gelwright/store"
)

// RunAsk is a question for the days of a roof as they would be.
type RunAsk struct {
	JobAsked
	Day   store.ID `query:"day" doc:"The day that is carried; without one the whole roof is planned, which has none yet"`
	To    string   `query:"to" required:"true" doc:"The date that it is carried to, or on which the roof begins, as 2026-06-03"`
	Crew  store.ID `query:"crew" doc:"Who is to stand there; left out is nobody"`
	Alone bool     `query:"alone" doc:"Carry that day by itself, not the run that it belongs to"`
	Days  int      `query:"days" minimum:"0" maximum:"40" doc:"How many days a roof is planned with; left out as many as its plan has"`
}

type runAnswer struct {
	Body Run
}

// Run is what a move would make of the days of a roof. Nothing is kept by asking.
type Run struct {
	Days    []recordOf[office.Day] `json:"days" doc:"The days that change, as they would be, with their version of now; 0 of new ones"`
	Was     []recordOf[office.Day] `json:"was" doc:"The same days as they are now, without new ones"`
	From    string                 `json:"from" doc:"The day on which the run then begins"`
	Outlook office.Outlook         `json:"outlook" doc:"How sure the whole roof is from each day, with the crew's hands on its days of work"`
	Twice   []office.Twice         `json:"twice" doc:"Crews that would stand twice at one time"`
}

// run tells what a move would make of the days of a roof.
func (s *Server) run(ctx context.Context, q *RunAsk) (*runAnswer, error) {
	r, err := s.RunOf(ctx, q)
	if err != nil {
		return nil, err
	}
	return &runAnswer{*r}, nil
}

// RunOf tells what a move would make of the days of a roof, and how sure the roof then is.
func (s *Server) RunOf(ctx context.Context, q *RunAsk) (*Run, error) {
	look, err := s.lookOf(ctx, q.Crew)
	if err != nil {
		return nil, err
	}
	list, err := s.Office.Sheets(ctx, office.Ask{Kind: office.KindDay, Job: q.ID})
	if err != nil {
		return nil, err
	}
	roof, err := s.RoofOf(ctx, q.ID, look)
	if err != nil {
		return nil, err
	}
	booked := office.BookedOf(list)
	out := &Run{Days: []recordOf[office.Day]{}, Was: []recordOf[office.Day]{}, Outlook: roof.Outlook}
	var changed []office.Booked
	if q.Day == "" {
		changed, err = s.planned(q, roof, look.week, booked)
	} else {
		m := office.Moving{Day: q.Day, To: q.To, Crew: q.Crew, Week: look.week, Alone: q.Alone, Today: look.today}
		changed, err = m.Moved(booked)
	}
	if err != nil {
		return nil, err
	}
	for _, d := range changed {
		r := recordOf[office.Day]{ID: d.ID, Sheet: d.Day}
		if at := slices.IndexFunc(list, func(r office.Record) bool { return r.ID == d.ID }); at >= 0 {
			r = aRecord[office.Day](list[at])
			out.Was = append(out.Was, r)
			r.Sheet, booked[at] = d.Day, d
		} else {
			booked = append(booked, d)
		}
		out.Days = append(out.Days, r)
	}
	of := q.Day
	if of == "" {
		of = changed[0].ID
	}
	out.From = office.Run(booked, of, look.today)[0].Date
	out.Twice, err = s.twiceOf(ctx, changed)
	return out, err
}

// planned are the days of a roof that is put into the calendar whole.
func (s *Server) planned(q *RunAsk, roof *office.Roof, week office.WorkWeek, booked []office.Booked) ([]office.Booked, error) {
	n := q.Days
	if n == 0 {
		n = len(roof.Work)
	}
	if n == 0 {
		return nil, asked("refused", "days", "Say how many days, or mend the roof first",
			"the roof has no plan that tells how many days it takes")
	}
	days, err := office.PlannedRun(q.ID, q.Crew, week, q.To, n, booked)
	var out []office.Booked
	for _, d := range days {
		out = append(out, office.Booked{ID: store.NewID(), Day: d})
	}
	return out, err
}

// twiceOf are the crews that stand twice where some days are changed.
func (s *Server) twiceOf(ctx context.Context, changed []office.Booked) ([]office.Twice, error) {
	out := []office.Twice{}
	if len(changed) == 0 {
		return out, nil
	}
	dates := []string{}
	for _, d := range changed {
		dates = append(dates, d.Date)
	}
	list, err := s.Office.Sheets(ctx, office.Ask{Kind: office.KindDay, From: slices.Min(dates), To: slices.Max(dates)})
	if err != nil {
		return nil, err
	}
	mine := func(id store.ID) bool {
		return slices.ContainsFunc(changed, func(d office.Booked) bool { return d.ID == id })
	}
	all := slices.DeleteFunc(office.BookedOf(list), func(d office.Booked) bool { return mine(d.ID) })
	for _, t := range office.Clashes(append(all, changed...)) {
		if mine(t.Days[0]) || mine(t.Days[1]) {
			out = append(out, t)
		}
	}
	return out, nil
}

type putDaysAsked struct {
	Body givenDays
}

// givenDays are days that are kept as one change.
type givenDays struct {
	Who  string     `json:"who,omitempty" doc:"By whom"`
	What string     `json:"what,omitempty" doc:"What was done, in a few words"`
	Days []givenDay `json:"days" minItems:"1" maxItems:"400" doc:"The days; all of them are kept, or none"`
}

type givenDay struct {
	ID      store.ID   `json:"id" doc:"The sheet's id: 32 digits 0-9 a-f"`
	BasedOn int        `json:"based_on" minimum:"0" doc:"The version that it was made from; 0 begins a sheet"`
	Sheet   office.Day `json:"sheet" doc:"The sheet whole, as it is to be"`
}

// putDays keeps several days as one change.
func (s *Server) putDays(ctx context.Context, q *putDaysAsked) (*sheetsAnswer[office.Day], error) {
	var all []office.Change
	who, now := q.Body.Who, s.Now()
	if who == "" {
		who = somebody
	}
	for _, d := range q.Body.Days {
		all = append(all, office.Change{ID: d.ID, BasedOn: d.BasedOn, When: now, Who: s.doneBy(ctx, who), What: q.Body.What, Sheet: d.Sheet})
	}
	list, err := s.Office.PutAll(ctx, all)
	return &sheetsAnswer[office.Day]{sheetList[office.Day]{recordsOf[office.Day](list)}}, overtakenOf(err)
}
