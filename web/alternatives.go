package web

import (
	"context"
	"net/http"

	"gelwright/check"
	"gelwright/plan"
	"gelwright/store"
)

// alternative is one of several roofs of one survey, in the figures by which they are held against each other.
type alternative struct {
	ID    store.ID `json:"id"`
	Title string   `json:"title"`
	Seq   int      `json:"seq"`
	// Refusal says why there is no plan; the figures are then 0.
	Refusal *problem `json:"refusal,omitempty"`
	AreaM2  float64  `json:"area_m2"`
	Boards  int      `json:"boards"`
	ResinKG float64  `json:"resin_kg"`
	Buckets int      `json:"buckets"`
	WetDays int      `json:"wet_days"`
	// Failed are the checks that fail, Open the questions that nobody has answered yet.
	Failed []string `json:"failed"`
	Open   []string `json:"open"`
}

// alternatives holds the alternatives of one survey side by side.
func (s *Server) alternatives(w http.ResponseWriter, r *http.Request) error {
	jobs, err := s.Jobs.Alternatives(r.Context(), jobID(r))
	if err != nil {
		return err
	}
	out := make([]alternative, 0, len(jobs))
	for _, j := range jobs {
		a, err := s.weighed(r.Context(), j)
		if err != nil {
			return err
		}
		out = append(out, a)
	}
	answerJSON(w, http.StatusOK, map[string]any{"alternatives": out})
	return nil
}

// weighed plans a job and gives its figures, or why it has none.
func (s *Server) weighed(ctx context.Context, j store.Job) (alternative, error) {
	a := alternative{ID: j.ID, Title: j.Title, Seq: j.Newest, Failed: []string{}, Open: []string{}}
	b, err := s.basisOf(ctx, j.ID, j.Newest)
	var p *plan.Plan
	if err == nil {
		p, err = s.plan(ctx, b)
	}
	if err != nil {
		if a.Refusal = problemOf(err); a.Refusal.status == http.StatusUnprocessableEntity {
			return a, nil
		}
		return a, err
	}
	t := &p.Totals
	a.AreaM2, a.Boards, a.ResinKG, a.Buckets, a.WetDays = t.NetM2, t.Boards, t.ResinKG, t.Buckets, p.WetDays()
	for i := range p.Checks {
		title := p.Checks[i].Title
		if where := p.Checks[i].Where; where != "" {
			title += ", " + where
		}
		switch p.Checks[i].Verdict {
		case check.Fail:
			a.Failed = append(a.Failed, title)
		case check.Ask:
			a.Open = append(a.Open, title)
		}
	}
	return a, nil
}
