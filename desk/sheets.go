package desk

import (
	"context"
	"fmt"

	"gelwright/laying"
	"gelwright/working"
)

// sheets adds to the reason of a schedule without an order what sheets over the bare boards would do, where it is much, and reports
// whether they will do: was is the chance without them.
func (o *Outlook) sheets(ctx context.Context, s *laying.Schedule, was, target float64) (bool, error) {
	p, err := o.prepared.UnderSheets(ctx)
	if err != nil || p == nil {
		return false, err
	}
	r, err := p.SearchAbove(ctx, min(was+muchMore, target))
	if err != nil {
		return false, err
	}
	best := r.Best()
	if best == nil || best.P < was+muchMore {
		return false, nil
	}
	const over = "sheets over the bare boards whenever nobody works on them (in the roof file work: {sheeted: true})"
	if r.Sure != nil {
		s.Reason += fmt.Sprintf(". What would do: %s: then it holds with %s %%", over, working.Chance(best.P))
		return true, nil
	}
	s.Reason += fmt.Sprintf(". It would hold with %s %% under %s", working.Chance(best.P), over)
	return false, nil
}
