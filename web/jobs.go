package web

import (
	"context"
	"encoding/json"
	"net/http"
	"time"

	"gelwright/store"
)

// somebody is who did a thing where nobody is named.
const somebody = "this computer"

// JobLine is a job as it is listed.
type JobLine struct {
	ID      store.ID  `json:"id" doc:"The job's id: 32 digits 0-9 a-f"`
	Title   string    `json:"title"`
	Site    string    `json:"site" doc:"Where the roof is; may be empty"`
	Created time.Time `json:"created"`
	Changed time.Time `json:"changed"`
	States  int       `json:"states" doc:"How many states it has, which is the number of the newest"`
	Group   store.ID  `json:"group" doc:"Shared by the alternatives of one survey"`
	Parent  store.ID  `json:"parent,omitempty" doc:"The job that it was copied from"`
	Retired bool      `json:"retired,omitempty" doc:"Whether it was taken out of the list"`
}

func lineOf(j store.Job) JobLine {
	return JobLine{ID: j.ID, Title: j.Title, Site: j.Site, Created: j.Created, Changed: j.Changed, States: j.Newest, Group: j.Group,
		Parent: j.Parent, Retired: j.Retired != nil}
}

// begunAnswer is a job that was made.
type begunAnswer struct {
	Body begunJob
}

type begunJob struct {
	ID  store.ID `json:"id" doc:"The job's id"`
	Seq int      `json:"seq" doc:"The number of the state that it was begun with"`
}

func begun(j store.Job, seq int) *begunAnswer { return &begunAnswer{begunJob{j.ID, seq}} }

type jobsAsked struct {
	Paged
	Find    string `query:"find" doc:"Words that all stand in title or site, or the beginning of an id"`
	Retired bool   `query:"retired" doc:"List retired jobs too"`
}

type jobsAnswer struct {
	Body jobList
}

type jobList struct {
	Jobs []JobLine `json:"jobs"`
	Paging
}

// listJobs lists jobs, the one changed last first.
func (s *Server) listJobs(ctx context.Context, q *jobsAsked) (*jobsAnswer, error) {
	page, err := s.Jobs.List(ctx, store.Ask{Text: q.Find, Page: q.Page, Size: q.Size, Retired: q.Retired})
	if err != nil {
		return nil, err
	}
	lines := make([]JobLine, 0, len(page.Jobs))
	for _, j := range page.Jobs {
		lines = append(lines, lineOf(j))
	}
	return &jobsAnswer{jobList{lines, Paging{Total: page.Total, More: (q.Page+1)*q.Size < page.Total}}}, nil
}

// GivenState is a state as it is sent.
type GivenState struct {
	ID       string          `json:"id,omitempty" doc:"Made by the sender; with an Idempotency-Key it may be left out"`
	What     string          `json:"what,omitempty" doc:"What was done, in a few words"`
	Document Document        `json:"document"`
	Change   json.RawMessage `json:"change,omitempty" doc:"What led to it"`
}

// newState is a state to be kept. Title and site are the roof file's where none is given.
func (s *Server) newState(g GivenState, who, title, site string) (store.NewState, error) {
	name, place, err := namesIn(g.Document.RawMessage)
	if err != nil {
		return store.NewState{}, err
	}
	if title == "" && site == "" {
		title, site = name, place
	}
	if title == "" {
		site = ""
	}
	return store.NewState{Mark: store.Mark{ID: g.ID, When: s.Now(), Who: who, What: g.What}, Title: title, Site: site,
		Document: g.Document.RawMessage, Change: g.Change}, nil
}

type newJobAsked struct {
	Keyed
	Body newJob
}

type newJob struct {
	ID    store.ID   `json:"id,omitempty" doc:"Made by the sender, so that it can be sent again: 32 digits 0-9 a-f"`
	Title string     `json:"title,omitempty" doc:"The name of the roof in the document where it is left out"`
	Site  string     `json:"site,omitempty"`
	Who   string     `json:"who,omitempty" doc:"By whom"`
	State GivenState `json:"state"`
}

// newJob begins a job.
func (s *Server) newJob(ctx context.Context, in *newJobAsked) (*begunAnswer, error) {
	q := &in.Body
	q.ID = store.ID(in.id(ctx, "job", "", string(q.ID)))
	q.State.ID = in.id(ctx, "state", "", q.State.ID)
	first, err := s.newState(q.State, s.doneBy(ctx, q.Who), q.Title, q.Site)
	if err != nil {
		return nil, err
	}
	j, err := s.Jobs.Create(ctx, store.NewJob{ID: q.ID, First: first})
	if err != nil {
		return nil, err
	}
	return begun(j, 1), nil
}

type jobAnswer struct {
	Status int
	ETag   string `header:"ETag" doc:"Names the job as it stands, for If-Match and If-None-Match"`
	Body   openJob
}

type oneJobAsked struct {
	JobAsked
	Seen
}

// openJob is a job with its newest document.
type openJob struct {
	JobLine
	Seq      int      `json:"seq" doc:"The number of its newest state"`
	Who      string   `json:"who"`
	What     string   `json:"what"`
	Document Document `json:"document"`
}

// job gives a job with its newest document.
func (s *Server) job(ctx context.Context, q *oneJobAsked) (*jobAnswer, error) {
	j, err := s.Jobs.Get(ctx, q.ID)
	if err != nil {
		return nil, err
	}
	tag := tagOf(j.Newest, j.Retired != nil)
	if matches(q.IfNoneMatch, tag) {
		return &jobAnswer{Status: http.StatusNotModified, ETag: tag}, nil
	}
	newest, err := s.Jobs.StateAt(ctx, j.ID, j.Newest)
	if err != nil {
		return nil, err
	}
	return &jobAnswer{http.StatusOK, tag, openJob{lineOf(j), j.Newest, newest.Who, newest.What, Document{newest.Document}}}, nil
}

type copyAsked struct {
	JobAsked
	Keyed
	Body copyOrder
}

type copyOrder struct {
	ID          store.ID `json:"id,omitempty" doc:"Of the new job, made by the sender, so that it can be sent again"`
	State       string   `json:"state,omitempty" doc:"The id of its first state"`
	Title       string   `json:"title,omitempty"`
	Who         string   `json:"who,omitempty" default:"this computer"`
	Alternative bool     `json:"alternative,omitempty" doc:"Whether it is another roof for the same survey"`
}

// copyJob begins a job with what another holds, as an alternative of it where that is said.
func (s *Server) copyJob(ctx context.Context, in *copyAsked) (*begunAnswer, error) {
	q := &in.Body
	q.ID = store.ID(in.Keyed.id(ctx, "job", string(in.ID), string(q.ID)))
	q.State = in.Keyed.id(ctx, "state", string(in.ID), q.State)
	if q.State == "" {
		q.State = string(store.NewID())
	}
	what := "copied"
	if q.Alternative {
		what = "begun as an alternative"
	}
	j, err := s.Jobs.Copy(ctx, in.ID, store.CopyOrder{ID: q.ID, Title: q.Title, Alternative: q.Alternative,
		Mark: store.Mark{ID: q.State, When: s.Now(), Who: s.doneBy(ctx, q.Who), What: what}})
	if err != nil {
		return nil, err
	}
	return begun(j, 1), nil
}

type retireAsked struct {
	JobAsked
	Changed
	Body struct {
		Who  string `json:"who,omitempty" default:"this computer"`
		Back bool   `json:"back,omitempty" doc:"Bring it back into the list"`
	}
}

type retireAnswer struct {
	Body struct {
		Retired bool `json:"retired"`
	}
}

// retire takes a job out of the list, or brings it back.
func (s *Server) retire(ctx context.Context, q *retireAsked) (*retireAnswer, error) {
	if seq, err := q.basedOn(0); err != nil {
		return nil, err
	} else if j, err := s.Jobs.Get(ctx, q.ID); err != nil {
		return nil, err
	} else if seq != 0 && seq != j.Newest {
		return nil, q.failed(s.movedOn(ctx, q.ID, problemOfStore(&store.Error{Kind: store.Conflict, Place: "If-Match", Newest: j.Newest,
			Found: "the job has moved on", Remedy: "Look at it as it is now, then ask again"}), j.Newest))
	}
	order := store.Retirement{When: s.Now(), Who: s.doneBy(ctx, q.Body.Who), Back: q.Body.Back}
	if err := s.Jobs.Retire(ctx, q.ID, order); err != nil {
		return nil, err
	}
	var out retireAnswer
	out.Body.Retired = !q.Body.Back
	return &out, nil
}
