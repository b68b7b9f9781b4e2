package mixing

import (
	"fmt"

	"gelwright/check"
	"gelwright/working"
)

// leastChance below which a bucket is called risky.
const leastChance = 0.95

// Checks answers the three questions of a bucket plan: can everybody get off, do
// the edges stay wet, is each bucket laid before it gels. where names the deck.
func (p *Plan) Checks(where string) []check.Result {
	return []check.Result{p.checkWayOut(where), p.checkEdges(where), p.checkChance(where)}
}

var reasoned = working.Source{Title: "bucket plan", Standing: working.Derived}

func (p *Plan) checkWayOut(where string) check.Result {
	r := check.Result{Key: "mixing.way_out", Title: "Can everybody get off without stepping on wet resin?", Where: where, Clause: reasoned,
		Verdict: check.Pass,
		Finding: fmt.Sprintf("%s: proven after each of %d steps", p.Name, p.WayOut.Steps)}
	switch {
	case !p.WayOut.Holds:
		r.Verdict = check.Fail
		r.Finding = fmt.Sprintf("%s: after %s, %s is cut off", p.Name, p.WayOut.BrokenAfter, p.WayOut.Trapped)
		r.Remedies = []check.Remedy{{Text: "give another way off the roof, or lay the piece that is cut off on another day"}}
	case len(p.WayOut.OwnWayOff) > 0:
		r.Verdict = check.Caution
		r.Finding += fmt.Sprintf("; %d pieces are joined to no exit, the first %s", len(p.WayOut.OwnWayOff), p.WayOut.OwnWayOff[0])
		r.Remedies = []check.Remedy{{Text: "set a ladder or board there"}}
	}
	return r
}

func (p *Plan) checkEdges(where string) check.Result {
	r := check.Result{Key: "mixing.wet_edge", Title: "Does each piece meet an edge that is still wet?", Where: where, Clause: reasoned,
		Verdict: check.Pass,
		Finding: fmt.Sprintf("%s: %.1f m of joint between buckets met wet, %.1f m tacky, %.1f m as day joints (%s, %s)", p.Name, p.WetM,
			p.TackyM, p.PlannedM, p.How, p.Claim)}
	if p.PlannedM > 0 {
		r.Verdict = check.Caution
		r.Remedies = []check.Remedy{{Text: "more hands, shorter runs or a slower dose keep more edges wet; where a joint must stand " +
			"overnight feather it, then abrade before going on"}}
	}
	return r
}

func (p *Plan) checkChance(where string) check.Result {
	r := check.Result{Key: "mixing.laid_in_time", Title: "Will each bucket be laid before it gels?", Where: where, Verdict: check.Pass,
		Clause: working.Source{Title: "spread of pace and of gel time", Standing: working.Assumed}}
	worst := -1
	for i, m := range p.Mixes {
		if worst < 0 || m.ChanceLaid < p.Mixes[worst].ChanceLaid {
			worst = i
		}
	}
	if worst < 0 {
		r.Verdict, r.Finding = check.NotApplicable, p.Name+": nothing is mixed"
		return r
	}
	m := p.Mixes[worst]
	r.Finding = fmt.Sprintf("%s: every bucket in time with a chance of %.0f %%; the tightest, bucket %d, %.1f %%", p.Name, 100*p.ChanceDay,
		m.Number, 100*m.ChanceLaid)
	r.Working = m.Working
	if m.ChanceLaid < leastChance {
		r.Verdict = check.Caution
		r.Remedies = []check.Remedy{{Text: "mix smaller buckets", Field: "crew.max_bucket_kg", Value: fmt.Sprintf("%.1f", 0.8*m.ResinKG)},
			{Text: "keep a longer margin before gel", Field: "crew.margin_min"}}
	}
	return r
}
