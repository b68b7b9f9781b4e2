package web

import (
	"context"
	"encoding/json"
	"net/http"
	"time"

	"gelwright/store"
)

// StateLine is a state as it is listed.
type StateLine struct {
	Seq      int       `json:"seq" doc:"Its number: 1, 2, 3 …"`
	ID       string    `json:"id" doc:"Made by whoever sent it"`
	When     time.Time `json:"when"`
	Who      string    `json:"who"`
	What     string    `json:"what"`
	Restored int       `json:"restored,omitempty" doc:"The number of the state that was brought back"`
}

func stateLineOf(e store.Entry) StateLine {
	return StateLine{Seq: e.Seq, ID: e.ID, When: e.When, Who: e.Who, What: e.What, Restored: e.Restored}
}

type newStateAsked struct {
	JobAsked
	Changed
	Keyed
	Body struct {
		GivenState
		BasedOn int    `json:"based_on,omitempty" doc:"The number of the state that it was made from, where If-Match does not say it"`
		Who     string `json:"who,omitempty" doc:"By whom"`
		Title   string `json:"title,omitempty" doc:"Of the job from now on; the name of the roof where it is left out"`
		Site    string `json:"site,omitempty"`
	}
}

type seqAnswer struct {
	ETag string `header:"ETag" doc:"Names the job as of this state, for If-Match"`
	Body struct {
		Seq int `json:"seq" doc:"The number of the new state"`
	}
}

func numbered(seq int) *seqAnswer {
	var a seqAnswer
	a.ETag, a.Body.Seq = tagOf(seq, false), seq
	return &a
}

// newStateOf adds a state to a job.
func (s *Server) newStateOf(ctx context.Context, in *newStateAsked) (*seqAnswer, error) {
	q := &in.Body
	var err error
	if q.BasedOn, err = in.basedOn(q.BasedOn); err != nil {
		return nil, err
	}
	if q.BasedOn == 0 {
		return nil, &problem{status: http.StatusPreconditionRequired, Code: "based_on", Place: "based_on",
			Message: "it is not said which state this was made from", Remedy: "Send its number, or the job's ETag as If-Match"}
	}
	q.GivenState.ID = in.Keyed.id(ctx, "state", string(in.ID), q.GivenState.ID)
	state, err := s.newState(q.GivenState, s.doneBy(ctx, q.Who), q.Title, q.Site)
	if err != nil {
		return nil, err
	}
	if q.Title == "" && q.Site == "" && s.namedAlike(ctx, in.ID, q.BasedOn, q.Document.RawMessage) {
		state.Title, state.Site = "", ""
	}
	seq, err := s.Jobs.Append(ctx, in.ID, q.BasedOn, state)
	if err != nil {
		return nil, s.refusedChange(ctx, in.ID, in.Changed, err, &mineOf{basedOn: q.BasedOn, document: q.Document.RawMessage})
	}
	return numbered(seq), nil
}

// namedAlike reports whether a document names job and site as the state does that it was made from: the job then keeps the
// title that it has, which may be another than the roof file's. It is the same whenever it is asked, so that a state can be sent
// again.
func (s *Server) namedAlike(ctx context.Context, job store.ID, basedOn int, document []byte) bool {
	if basedOn < 1 {
		return false
	}
	before, err := s.Jobs.StateAt(ctx, job, basedOn)
	if err != nil {
		return false // it is told when the state is to be kept
	}
	title, site, err := namesIn(before.Document)
	title2, site2, err2 := namesIn(document)
	return err == nil && err2 == nil && title == title2 && site == site2
}

type historyAsked struct {
	JobAsked
	Before int `query:"before" minimum:"0" maximum:"2147483647" doc:"Give those below this number, that of the last line of the page before"`
	Size   int `query:"size" minimum:"1" maximum:"1000" default:"50" doc:"Lines a page"`
}

type historyAnswer struct {
	Body stateList
}

type stateList struct {
	States []StateLine `json:"states"`
	Paging
}

// history lists states, newest first.
func (s *Server) history(ctx context.Context, q *historyAsked) (*historyAnswer, error) {
	j, err := s.Jobs.Get(ctx, q.ID)
	if err != nil {
		return nil, err
	}
	list, err := s.Jobs.History(ctx, q.ID, q.Before, q.Size)
	if err != nil {
		return nil, err
	}
	lines := make([]StateLine, 0, len(list))
	for _, e := range list {
		lines = append(lines, stateLineOf(e))
	}
	more := len(lines) > 0 && lines[len(lines)-1].Seq > 1
	return &historyAnswer{stateList{lines, Paging{Total: j.Newest, More: more}}}, nil
}

// SeqAsked is a question about one state.
type SeqAsked struct {
	JobAsked
	Seq int `path:"seq" minimum:"1" maximum:"2147483647" doc:"The number of the state; they count from 1"`
}

type stateAnswer struct {
	Status int
	ETag   string `header:"ETag"`
	Body   openState
}

type oneStateAsked struct {
	SeqAsked
	Seen
}

// openState is a state with its document.
type openState struct {
	StateLine
	Title    string          `json:"title"`
	Site     string          `json:"site"`
	Document Document        `json:"document"`
	Change   json.RawMessage `json:"change,omitempty"`
}

// state gives a state with its document.
func (s *Server) state(ctx context.Context, q *oneStateAsked) (*stateAnswer, error) {
	tag := tagOf(q.Seq, false)
	at, err := s.Jobs.StateAt(ctx, q.ID, q.Seq)
	if err != nil {
		return nil, err
	}
	if matches(q.IfNoneMatch, tag) { // a state never changes
		return &stateAnswer{Status: http.StatusNotModified, ETag: tag}, nil
	}
	return &stateAnswer{http.StatusOK, tag, openState{stateLineOf(at.Entry), at.Title, at.Site, Document{at.Document}, at.Change}}, nil
}

type restoreAsked struct {
	JobAsked
	Changed
	Keyed
	Body struct {
		Seq     int    `json:"seq" doc:"The number of the state that is brought back"`
		BasedOn int    `json:"based_on,omitempty" doc:"The number of the newest state that the asker knows; 0 is the newest, whatever it is"`
		ID      string `json:"id,omitempty" doc:"Of the new state, made by the sender; with an Idempotency-Key it may be left out"`
		Who     string `json:"who,omitempty" doc:"By whom"`
		What    string `json:"what,omitempty" default:"an earlier state brought back"`
	}
}

// restore brings an earlier state back as a new one.
func (s *Server) restore(ctx context.Context, in *restoreAsked) (*seqAnswer, error) {
	q := &in.Body
	var err error
	if q.BasedOn, err = in.basedOn(q.BasedOn); err != nil {
		return nil, err
	}
	q.ID = in.Keyed.id(ctx, "state", string(in.JobAsked.ID), q.ID)
	if q.BasedOn == 0 {
		j, err := s.Jobs.Get(ctx, in.ID)
		if err != nil {
			return nil, err
		}
		q.BasedOn = j.Newest
	}
	mark := store.Mark{ID: q.ID, When: s.Now(), Who: s.doneBy(ctx, q.Who), What: q.What}
	seq, err := s.Jobs.Restore(ctx, in.ID, q.Seq, q.BasedOn, mark)
	if err != nil {
		return nil, s.refusedChange(ctx, in.ID, in.Changed, err, nil)
	}
	return numbered(seq), nil
}
