package desk

import (
	"context"
	"strings"

	"gelwright/check"
	"gelwright/check/country"
)

// Checks are the design checks of a roof.
type Checks struct {
	Results []check.Result
	Failed  int
}

// CheckRoof runs the design checks whose keys begin with only; all when it is empty. By whose
// rules they ask stands before them where those are not the country's own.
func CheckRoof(ctx context.Context, g Given, only string) (*Checks, error) {
	p, err := g.Plan(ctx)
	if err != nil {
		return nil, err
	}
	a := &Checks{}
	asked := 0
	for _, r := range p.Checks {
		if r.Key != country.RulesKey && !strings.HasPrefix(r.Key, only) {
			continue
		}
		if strings.HasPrefix(r.Key, only) {
			asked++
		}
		if r.Verdict == check.Fail {
			a.Failed++
		}
		a.Results = append(a.Results, r)
	}
	if asked == 0 {
		return nil, wrong("", "", "no check begins with %q: wind, snow, deck, drainage, thermal, moisture, movement, exposure, detailing, "+
			"laminate", only)
	}
	return a, nil
}

// Refused says no when a check fails.
func (a *Checks) Refused() error {
	if a.Failed > 0 {
		return refuse("%d of %d checks fail", a.Failed, len(a.Results))
	}
	return nil
}
