package web

import (
	"encoding/json"
	"errors"
	"net/http"
	"time"

	"gelwright/store"
)

// stateLine is a state as it is listed.
type stateLine struct {
	Seq  int       `json:"seq"`
	ID   string    `json:"id"`
	When time.Time `json:"when"`
	Who  string    `json:"who"`
	What string    `json:"what"`
	// Restored is the number of the state that was brought back; 0 of others.
	Restored int `json:"restored,omitempty"`
}

func stateLineOf(e store.Entry) stateLine {
	return stateLine{Seq: e.Seq, ID: e.ID, When: e.When, Who: e.Who, What: e.What, Restored: e.Restored}
}

// newStateOf adds a state to a job.
func (s *Server) newStateOf(w http.ResponseWriter, r *http.Request) error {
	var q struct {
		givenState
		BasedOn int    `json:"based_on"`
		Who     string `json:"who"`
		Title   string `json:"title"`
		Site    string `json:"site"`
	}
	if err := readJSON(r, &q); err != nil {
		return err
	}
	state, err := s.newState(q.givenState, s.doneBy(r.Context(), q.Who), q.Title, q.Site)
	if err != nil {
		return err
	}
	if q.Title == "" && q.Site == "" && s.namedAlike(r, q.BasedOn, q.Document) {
		state.Title, state.Site = "", ""
	}
	seq, err := s.Jobs.Append(r.Context(), jobID(r), q.BasedOn, state)
	if err != nil {
		return s.withNewest(r, err)
	}
	answerJSON(w, http.StatusCreated, map[string]any{"seq": seq})
	return nil
}

// namedAlike reports whether a document names job and site as the state does that it was made from: the job then keeps the
// title that it has, which may be another than the roof file's. It is the same whenever it is asked, so that a state can be sent
// again.
func (s *Server) namedAlike(r *http.Request, basedOn int, document []byte) bool {
	if basedOn < 1 {
		return false
	}
	before, err := s.Jobs.StateAt(r.Context(), jobID(r), basedOn)
	if err != nil {
		return false // it is told when the state is to be kept
	}
	title, site, err := namesIn(before.Document)
	title2, site2, err2 := namesIn(document)
	return err == nil && err2 == nil && title == title2 && site == site2
}

// withNewest tells of a job that has moved on what its newest state is.
func (s *Server) withNewest(r *http.Request, err error) error {
	var e *store.Error
	if !errors.As(err, &e) || e.Kind != store.Conflict {
		return err
	}
	p := problemOfStore(e)
	p.Newest = &stateLine{Seq: e.Newest}
	if list, err := s.Jobs.History(r.Context(), jobID(r), e.Newest+1, 1); err == nil && len(list) == 1 {
		line := stateLineOf(list[0])
		p.Newest = &line
	}
	return p
}

// history lists states, newest first.
func (s *Server) history(w http.ResponseWriter, r *http.Request) error {
	q := asksOf(r, "before", "limit")
	before, limit := q.number("before"), q.number("limit")
	if q.err != nil {
		return q.err
	}
	list, err := s.Jobs.History(r.Context(), jobID(r), before, limit)
	if err != nil {
		return err
	}
	lines := make([]stateLine, 0, len(list))
	for _, e := range list {
		lines = append(lines, stateLineOf(e))
	}
	answerJSON(w, http.StatusOK, map[string]any{"states": lines, "more": len(lines) > 0 && lines[len(lines)-1].Seq > 1})
	return nil
}

// state gives a state with its document.
func (s *Server) state(w http.ResponseWriter, r *http.Request) error {
	seq, err := seqOf(r)
	if err != nil {
		return err
	}
	at, err := s.Jobs.StateAt(r.Context(), jobID(r), seq)
	if err != nil {
		return err
	}
	answerJSON(w, http.StatusOK, struct {
		stateLine
		Title    string          `json:"title"`
		Site     string          `json:"site"`
		Document json.RawMessage `json:"document"`
		Change   json.RawMessage `json:"change,omitempty"`
	}{stateLineOf(at.Entry), at.Title, at.Site, at.Document, at.Change})
	return nil
}

// restore brings an earlier state back as a new one.
func (s *Server) restore(w http.ResponseWriter, r *http.Request) error {
	q := struct {
		Seq     int    `json:"seq"`
		BasedOn int    `json:"based_on"` // 0 is the newest, whatever it is
		ID      string `json:"id"`
		Who     string `json:"who"`
		What    string `json:"what"`
	}{What: "an earlier state brought back"}
	if err := readJSON(r, &q); err != nil {
		return err
	}
	if q.BasedOn == 0 {
		j, err := s.Jobs.Get(r.Context(), jobID(r))
		if err != nil {
			return err
		}
		q.BasedOn = j.Newest
	}
	mark := store.Mark{ID: q.ID, When: s.Now(), Who: s.doneBy(r.Context(), q.Who), What: q.What}
	seq, err := s.Jobs.Restore(r.Context(), jobID(r), q.Seq, q.BasedOn, mark)
	if err != nil {
		return s.withNewest(r, err)
	}
	answerJSON(w, http.StatusCreated, map[string]any{"seq": seq})
	return nil
}
