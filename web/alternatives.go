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
	ID      store.ID `json:"id"`
	Title   string   `json:"title"`
	Seq     int      `json:"seq" doc:"The number of its newest state"`
	Refusal *problem `json:"refusal,omitempty" doc:"Why there is no plan; the figures are then 0"`
	AreaM2  float64  `json:"area_m2"`
	Boards  int      `json:"boards"`
	ResinKG float64  `json:"resin_kg"`
	Buckets int      `json:"buckets"`
	WetDays int      `json:"wet_days"`
	Failed  []string `json:"failed" doc:"The checks that fail"`
	Open    []string `json:"open" doc:"The questions that nobody has answered yet"`
}

type alternativesAnswer struct {
	Body alternativeList
}

type alternativeList struct {
	Alternatives []alternative `json:"alternatives"`
	Paging
}

// alternatives holds the alternatives of one survey side by side.
func (s *Server) alternatives(ctx context.Context, q *listAsked) (*alternativesAnswer, error) {
	jobs, err := s.Jobs.Alternatives(ctx, q.ID)
	if err != nil {
		return nil, err
	}
	jobs, pages := part(q.Whole, jobs)
	out := make([]alternative, 0, len(jobs))
	for _, j := range jobs {
		a, err := s.weighed(ctx, j)
		if err != nil {
			return nil, err
		}
		out = append(out, a)
	}
	return &alternativesAnswer{alternativeList{out, pages}}, nil
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
