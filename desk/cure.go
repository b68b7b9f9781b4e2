package desk

import (
	"context"
	"strings"

	"gelwright/check"
	"gelwright/laying"
	"gelwright/plan"
)

// Hardening is how the wet work of a roof hardens.
type Hardening struct {
	Passes   []laying.WetPass `json:"passes"`
	Refusals []WetRefusal     `json:"refusals,omitempty"`
	Checks   []check.Result   `json:"checks,omitempty"`

	Plan *plan.Plan `json:"-"`
}

// WetRefusal is a pass for which there is no dose.
type WetRefusal struct {
	Deck     string   `json:"deck"`
	Kind     string   `json:"kind"`
	Layer    int      `json:"layer"`
	Why      string   `json:"why"`
	Remedies []string `json:"remedies,omitempty"`
}

// Hardens answers when each pass of a roof is hard.
func Hardens(ctx context.Context, g Given) (*Hardening, error) {
	p, err := g.Plan(ctx)
	if err != nil {
		return nil, err
	}
	a := &Hardening{Passes: p.Wet, Plan: p}
	for _, x := range p.Passes {
		if x.Refusal == "" || x.Pieces() {
			continue
		}
		r := WetRefusal{Deck: x.Deck, Kind: x.Kind, Layer: x.Layer, Why: x.Refusal}
		for _, m := range x.Remedies {
			r.Remedies = append(r.Remedies, m.Text)
		}
		a.Refusals = append(a.Refusals, r)
	}
	for _, c := range p.Checks {
		if strings.HasPrefix(c.Key, "cure.") {
			a.Checks = append(a.Checks, c)
		}
	}
	return a, nil
}

// Refused says no when nothing can be laid.
func (a *Hardening) Refused() error {
	if len(a.Passes) == 0 {
		return refuse("nothing can be laid on this day")
	}
	return nil
}
