package web

import (
	"encoding/json"
	"net/http"
	"strings"
	"time"
	"unicode"

	"gelwright/store"
)

// somebody is who did a thing where nobody is named.
const somebody = "this computer"

// jobLine is a job as it is listed.
type jobLine struct {
	ID      store.ID  `json:"id"`
	Title   string    `json:"title"`
	Site    string    `json:"site"`
	Created time.Time `json:"created"`
	Changed time.Time `json:"changed"`
	States  int       `json:"states"`
	// Group is shared by alternatives; Parent is the job that it was copied from.
	Group   store.ID `json:"group"`
	Parent  store.ID `json:"parent,omitempty"`
	Retired bool     `json:"retired,omitempty"`
}

func lineOf(j store.Job) jobLine {
	return jobLine{ID: j.ID, Title: j.Title, Site: j.Site, Created: j.Created, Changed: j.Changed, States: j.Newest, Group: j.Group,
		Parent: j.Parent, Retired: j.Retired != nil}
}

// begun answers with a job that was made.
func begun(w http.ResponseWriter, j store.Job) {
	answerJSON(w, http.StatusCreated, map[string]any{"id": j.ID, "seq": j.Newest})
}

// listJobs lists jobs, the one changed last first.
func (s *Server) listJobs(w http.ResponseWriter, r *http.Request) error {
	q := asksOf(r, "find", "page", "retired")
	ask := store.Ask{Text: q.text("find"), Page: q.number("page"), Retired: q.yes("retired"), Size: store.UsualPage}
	if q.err != nil {
		return q.err
	}
	page, err := s.Jobs.List(r.Context(), ask)
	if err != nil {
		return err
	}
	lines := make([]jobLine, 0, len(page.Jobs))
	for _, j := range page.Jobs {
		lines = append(lines, lineOf(j))
	}
	answerJSON(w, http.StatusOK, map[string]any{"jobs": lines, "more": (ask.Page+1)*ask.Size < page.Total, "total": page.Total})
	return nil
}

// givenState is a state as it is sent. ID is the sender's own, so that it can be sent again.
type givenState struct {
	ID       string          `json:"id"`
	What     string          `json:"what"`
	Document json.RawMessage `json:"document"`
	Change   json.RawMessage `json:"change"`
}

// newState is a state to be kept. Title and site are the roof file's where none is given.
func (s *Server) newState(g givenState, who, title, site string) (store.NewState, error) {
	name, place, err := namesIn(g.Document)
	if err != nil {
		return store.NewState{}, err
	}
	if title == "" && site == "" {
		title, site = name, place
	}
	if title == "" {
		site = ""
	}
	return store.NewState{Mark: store.Mark{ID: g.ID, When: s.Now(), Who: who, What: g.What}, Title: title, Site: site, Document: g.Document,
		Change: g.Change}, nil
}

// namesIn are the names of job and site in a document's roof, as far as they are kept.
func namesIn(document []byte) (title, site string, err error) {
	roof, err := roofIn(document)
	if err != nil {
		return "", "", err
	}
	var names struct {
		Name any `json:"name"`
		Site any `json:"site"`
	}
	if json.Unmarshal(roof, &names) != nil {
		return "", "", nil
	}
	if fields, ok := names.Site.(map[string]any); ok {
		names.Site = fields["name"]
	}
	return lineIn(names.Name), lineIn(names.Site), nil
}

// lineIn is a text as a line that can be kept; empty of anything else.
func lineIn(x any) string {
	text, _ := x.(string)
	line := []rune(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, text))
	return strings.TrimSpace(string(line[:min(len(line), store.MostText)]))
}

// roofIn is the roof file in a document.
func roofIn(document []byte) (json.RawMessage, error) {
	var d struct {
		Roof json.RawMessage `json:"roof"`
	}
	if err := json.Unmarshal(document, &d); err != nil || len(d.Roof) == 0 || d.Roof[0] != '{' {
		return nil, asked("document", "document.roof", `Send {"roof": {…}} with the fields of a roof file`, "the document holds no roof")
	}
	return d.Roof, nil
}

// newJob begins a job.
func (s *Server) newJob(w http.ResponseWriter, r *http.Request) error {
	var q struct {
		ID    store.ID   `json:"id"`
		Title string     `json:"title"`
		Site  string     `json:"site"`
		Who   string     `json:"who"`
		State givenState `json:"state"`
	}
	if err := readJSON(r, &q); err != nil {
		return err
	}
	first, err := s.newState(q.State, s.doneBy(r.Context(), q.Who), q.Title, q.Site)
	if err != nil {
		return err
	}
	j, err := s.Jobs.Create(r.Context(), store.NewJob{ID: q.ID, First: first})
	if err != nil {
		return err
	}
	begun(w, j)
	return nil
}

// job gives a job with its newest document.
func (s *Server) job(w http.ResponseWriter, r *http.Request) error {
	j, err := s.Jobs.Get(r.Context(), jobID(r))
	if err != nil {
		return err
	}
	newest, err := s.Jobs.StateAt(r.Context(), j.ID, j.Newest)
	if err != nil {
		return err
	}
	answerJSON(w, http.StatusOK, struct {
		jobLine
		Seq      int             `json:"seq"`
		Who      string          `json:"who"`
		What     string          `json:"what"`
		Document json.RawMessage `json:"document"`
	}{lineOf(j), j.Newest, newest.Who, newest.What, newest.Document})
	return nil
}

// copyJob begins a job with what another holds, as an alternative of it where that is said.
func (s *Server) copyJob(w http.ResponseWriter, r *http.Request) error {
	q := struct {
		ID          store.ID `json:"id"`
		State       string   `json:"state"` // the id of its first state
		Title       string   `json:"title"`
		Who         string   `json:"who"`
		Alternative bool     `json:"alternative"`
	}{Who: somebody}
	if err := readJSON(r, &q); err != nil {
		return err
	}
	if q.State == "" {
		q.State = string(store.NewID())
	}
	what := "copied"
	if q.Alternative {
		what = "begun as an alternative"
	}
	j, err := s.Jobs.Copy(r.Context(), jobID(r), store.CopyOrder{ID: q.ID, Title: q.Title, Alternative: q.Alternative,
		Mark: store.Mark{ID: q.State, When: s.Now(), Who: s.doneBy(r.Context(), q.Who), What: what}})
	if err != nil {
		return err
	}
	begun(w, j)
	return nil
}

// retire takes a job out of the list, or brings it back.
func (s *Server) retire(w http.ResponseWriter, r *http.Request) error {
	q := struct {
		Who  string `json:"who"`
		Back bool   `json:"back"`
	}{Who: somebody}
	if err := readJSON(r, &q); err != nil {
		return err
	}
	order := store.Retirement{When: s.Now(), Who: s.doneBy(r.Context(), q.Who), Back: q.Back}
	if err := s.Jobs.Retire(r.Context(), jobID(r), order); err != nil {
		return err
	}
	answerJSON(w, http.StatusOK, map[string]any{"retired": !q.Back})
	return nil
}
