package web

import (
	"context"
	"errors"
	"strings"

	"gelwright/plan"
	"gelwright/store"
	"gelwright/work"
)

// basis is what a state of a job is planned on, and what the papers' zip is called.
type basis struct {
	*work.Basis
	folder string
}

// basisOf reads what a state is planned on; seq 0 is the newest. Under it is the weather of its place, where that is kept.
func (s *Server) basisOf(ctx context.Context, job store.ID, seq int) (*basis, error) {
	var b *work.Basis
	var err error
	if s.Work == nil {
		b, err = work.BasisOf(ctx, s.Jobs, job, seq)
	} else {
		b, err = s.Work.Basis(ctx, job, seq)
	}
	if errors.Is(err, work.ErrNoRoof) {
		return nil, asked("document", "document.roof", `Send {"roof": {…}} with the fields of a roof file`, "the document holds no roof")
	}
	if err != nil {
		return nil, err
	}
	return &basis{b, fileNameOf(b.Title)}, nil
}

// plan plans on a basis, or gives the plan that was made on it before.
func (s *Server) plan(ctx context.Context, b *basis) (*plan.Plan, error) {
	return s.plans.get(ctx, b.Key(), func(ctx context.Context) (*plan.Plan, error) {
		p, err := b.Plan(ctx, nil)
		return p, work.NoPlan(err)
	})
}

// fileNameOf is a title as the name of a file.
func fileNameOf(title string) string {
	name := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, title)
	for strings.Contains(name, "--") {
		name = strings.ReplaceAll(name, "--", "-")
	}
	if name = strings.Trim(name, "-"); name == "" {
		return "job"
	}
	return strings.ToLower(name)
}
