package web

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"gelwright/joining"
	"gelwright/store"
)

// difference is a thing that one of two changed, or both.
type difference struct {
	Key    string          `json:"key" doc:"Names it, to choose by"`
	Where  string          `json:"where" doc:"The part of the roof, as 'deck main, edge 4'; empty of the job itself"`
	Field  string          `json:"field" doc:"The field of it, in the words of the roof file; empty of the part itself"`
	Before json.RawMessage `json:"before,omitempty" doc:"What stood there; left out where nothing did"`
	Mine   json.RawMessage `json:"mine,omitempty" doc:"What the asker's document has there"`
	Theirs json.RawMessage `json:"theirs,omitempty" doc:"What the newest state has there"`
	Clash  bool            `json:"clash" doc:"Whether both changed it, each otherwise"`
	Taken  joining.Side    `json:"taken" enum:"mine,theirs" doc:"Whose change the joined document has"`
	Chosen bool            `json:"chosen" doc:"Whether that was chosen"`
}

func differencesOf(j *joining.Joined) []difference {
	out := make([]difference, 0, len(j.Differences))
	for _, d := range j.Differences {
		out = append(out, difference(d))
	}
	return out
}

// mineOf is a document that somebody wants to keep, and the state that it was made from.
type mineOf struct {
	basedOn  int
	document []byte
}

// join joins a document with the newest state of its job.
func (s *Server) join(ctx context.Context, job store.ID, m *mineOf, choices map[string]joining.Side) (joining.Joined, store.State, error) {
	theirs, err := s.Jobs.StateAt(ctx, job, 0)
	if err != nil {
		return joining.Joined{}, theirs, err
	}
	before, err := s.Jobs.StateAt(ctx, job, m.basedOn)
	if err != nil {
		return joining.Joined{}, theirs, err
	}
	j, err := joining.Join(before.Document, m.document, theirs.Document, choices)
	if err != nil {
		return j, theirs, asked("document", "document", `Send {"roof": {…}} with the fields of a roof file`, "it cannot be joined: %v", err)
	}
	return j, theirs, nil
}

// refusedChange is why a change is not kept; of a job that has moved on what its newest state is and what differs.
func (s *Server) refusedChange(ctx context.Context, job store.ID, head Changed, err error, m *mineOf) error {
	var e *store.Error
	if !errors.As(err, &e) || e.Kind != store.Conflict {
		return err
	}
	p := head.failed(s.movedOn(ctx, job, problemOfStore(e), e.Newest))
	if m == nil {
		return p
	}
	if j, _, err := s.join(ctx, job, m, nil); err == nil { // without, it is refused all the same
		p.Differences = differencesOf(&j)
	}
	return p
}

// movedOn tells with a refusal what the newest state of a job is.
func (s *Server) movedOn(ctx context.Context, job store.ID, p *problem, newest int) *problem {
	p.Newest = &StateLine{Seq: newest}
	if list, err := s.Jobs.History(ctx, job, newest+1, 1); err == nil && len(list) == 1 {
		line := stateLineOf(list[0])
		p.Newest = &line
	}
	return p
}

type joinAsked struct {
	JobAsked
	Keyed
	Body joinOrder
}

type joinOrder struct {
	BasedOn  int             `json:"based_on" minimum:"1" doc:"The number of the state that the document was made from"`
	Document Document        `json:"document" doc:"The asker's document"`
	Choices  map[string]side `json:"choices,omitempty" doc:"Of clashes by their keys whose change is taken: mine or theirs"`
	ID       string          `json:"id,omitempty" doc:"Of the new state: with it the document is kept where no clash is open"`
	Who      string          `json:"who,omitempty" doc:"By whom"`
	What     string          `json:"what,omitempty" default:"joined"`
}

// side is one of two who changed a document.
type side string

// Schema describes a side.
func (side) Schema(huma.Registry) *huma.Schema {
	s := &huma.Schema{Type: huma.TypeString, Enum: []any{string(joining.Mine), string(joining.Theirs)}}
	s.PrecomputeMessages()
	return s
}

type joinAnswer struct {
	Status int
	ETag   string `header:"ETag" doc:"Names the job as it stands, for If-Match"`
	Body   joinedDocument
}

type joinedDocument struct {
	Seq         int          `json:"seq" doc:"The number of the newest state, that of the joined document where it was kept"`
	Kept        bool         `json:"kept" doc:"Whether the joined document was kept"`
	Open        int          `json:"open" doc:"How many clashes nobody has chosen; of these the document has mine"`
	Document    Document     `json:"document"`
	Differences []difference `json:"differences"`
}

// joinState joins a document that was made from an earlier state with the newest one, and keeps what became of it where that is asked for
// and nothing is left to choose.
func (s *Server) joinState(ctx context.Context, in *joinAsked) (*joinAnswer, error) {
	q := &in.Body
	choices := map[string]joining.Side{}
	for key, taken := range q.Choices {
		choices[key] = joining.Side(taken)
	}
	j, theirs, err := s.join(ctx, in.JobAsked.ID, &mineOf{q.BasedOn, q.Document.RawMessage}, choices)
	if err != nil {
		return nil, err
	}
	out := &joinAnswer{Status: http.StatusOK, Body: joinedDocument{Seq: theirs.Seq, Open: j.Open(), Document: Document{j.Document},
		Differences: differencesOf(&j)}}
	if id := in.Keyed.id(ctx, "state", string(in.JobAsked.ID), q.ID); id != "" && out.Body.Open == 0 {
		state, err := s.newState(GivenState{ID: id, What: q.What, Document: out.Body.Document}, s.doneBy(ctx, q.Who), "", "")
		if err != nil {
			return nil, err
		}
		if s.namedAlike(ctx, in.JobAsked.ID, q.BasedOn, j.Document) {
			state.Title, state.Site = "", ""
		}
		if out.Body.Seq, err = s.Jobs.Append(ctx, in.JobAsked.ID, theirs.Seq, state); err != nil {
			return nil, s.refusedChange(ctx, in.JobAsked.ID, Changed{}, err, nil)
		}
		out.Status, out.Body.Kept = http.StatusCreated, true
	}
	out.ETag = tagOf(out.Body.Seq, false)
	return out, nil
}
