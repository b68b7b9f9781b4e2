package detailing

import (
	"fmt"
	"math"
	"strings"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/working"
)

// practice is the source of a habit of the trade.
func practice(what string) working.Source {
	return working.Source{Title: what, Standing: working.CommonPractice}
}

// Rules returns the checklist of a job, in the order in which a surveyor walks a roof.
func Rules(job roof.Job, set country.Set) []check.Result {
	var out []check.Result
	out = append(out, access(job), fire(job, set))
	if job.Use.Access == "balcony" {
		out = append(out, guard(set))
	}
	for d := range job.Decks {
		deck := &job.Decks[d]
		for i, e := range deck.Edges {
			where := fmt.Sprintf("deck %s, edge %d (%s)", deck.Name, i+1, e.Condition)
			field := fmt.Sprintf("%s.edges[%d]", job.DeckPath(d), i)
			// The riser between two decks of the same roof drips into the lower one: no rule of height.
			if e.Condition.HasUpstand() && e.Condition != roof.StepUp {
				out = append(out, upstand(job, e, where, field, set))
			}
			for k, th := range e.Thresholds {
				out = append(out, threshold(job, th, where, fmt.Sprintf("%s.thresholds[%d]", field, k), set))
			}
			if e.Condition == roof.Wall {
				out = append(out, tray(e, where, field))
			}
		}
		for k, o := range deck.Openings {
			out = append(out, kerb(job, o, deck.Name, deck.OpeningPath(job.DeckPath(d), k), set))
			if r, due := saddle(o, deck); due {
				out = append(out, r)
			}
		}
		out = append(out, clearances(deck)...)
	}
	return grouped(out)
}

// addedMM is what the new work adds above the present surface, from which a limit is
// measured: the boards, and the insulation where it lies above the deck.
func addedMM(job roof.Job) float64 {
	added := job.Spec.Board.ThicknessMM
	if job.Spec.Insulation != nil && (job.Spec.Build == "warm" || job.Spec.Build == "inverted") {
		added += job.Spec.Insulation.ThicknessMM
	}
	return added
}

var roomLeft = working.MustFormula("h = l − a")

func upstand(job roof.Job, e roof.Edge, where, field string, set country.Set) check.Result {
	least := set.LeastUpstand
	r := check.Result{Key: "detailing.upstand", Title: "Is the upstand high enough?", Where: where, Clause: least.Source}
	height := job.Origin(field).Given("h", "upstand above the finished roof", e.HeightMM, "mm", field+".height_mm")
	have, limited := e.HeightMM, false
	if e.LimitMM > 0 {
		left := roomLeft.Figure("room for the upstand above the finished roof", "mm", practice("survey"),
			job.Origin(field).Given("l", "what limits it, above the present surface", e.LimitMM, "mm", field+".limit_mm"),
			working.Measured("a", "added by the new work", addedMM(job), "mm", "specified boards, and insulation above the deck"))
		if left.Value < have || have <= 0 {
			have, limited, height = left.Value, true, left
		}
	}
	r.Working = []*working.Figure{height, least.Figure("hmin")}
	if have <= 0 && !limited {
		r.Verdict, r.Finding = check.Ask, "how high can the upstand be above the finished roof?"
		return r
	}
	if have > 0 {
		r.Utilisation = least.Value / have
	}
	r.Finding = fmt.Sprintf("%.0f mm against %.0f mm", have, least.Value)
	if limited {
		r.Finding = fmt.Sprintf("%.0f mm of room − %.0f mm of new work = %s", e.LimitMM, e.LimitMM-have, r.Finding)
	}
	if have+1e-9 >= least.Value {
		r.Verdict = check.Pass
		return r
	}
	r.Verdict = check.Fail
	raise := check.Remedy{Text: fmt.Sprintf("raise the flashing and the upstand to %.0f mm above the finished roof", least.Value),
		Field: field + ".height_mm", Value: fmt.Sprintf("%.0f", least.Value)}
	if limited {
		up := math.Ceil(least.Value + e.LimitMM - have)
		raise = check.Remedy{
			Text: fmt.Sprintf(
				"raise what limits it (sill, weep hole, tray) to %.0f mm above the present surface, or strip the old build-up to win the height",
				up), Field: field + ".limit_mm", Value: fmt.Sprintf("%.0f", up)}
	}
	r.Remedies = []check.Remedy{raise}
	if limited && e.HeightMM > 0 && e.HeightMM < least.Value {
		r.Remedies = append(r.Remedies, check.Remedy{Text: fmt.Sprintf("and carry the upstand itself up to %.0f mm", least.Value),
			Field: field + ".height_mm", Value: fmt.Sprintf("%.0f", least.Value)})
	}
	return r
}

func threshold(job roof.Job, th roof.Threshold, where, field string, set country.Set) check.Result {
	r := check.Result{Key: "detailing.threshold", Title: "Is the door sill high enough?", Where: where, Clause: set.LeastUpstand.Source}
	r.Working = []*working.Figure{job.Origin(field).Given("h", "sill above the finished roof", th.UpstandMM, "mm", field+".upstand_mm"),
		set.LeastUpstand.Figure("hmin"), set.LeastThreshold.Figure("hred")}
	r.Utilisation = set.LeastUpstand.Value / math.Max(th.UpstandMM, 1)
	r.Finding = fmt.Sprintf("sill %.0f mm above the roof, %.0f mm wanted", th.UpstandMM, set.LeastUpstand.Value)
	raise := check.Remedy{Text: fmt.Sprintf("raise the sill or lower the deck to leave %.0f mm", set.LeastUpstand.Value),
		Field: field + ".upstand_mm", Value: fmt.Sprintf("%.0f", set.LeastUpstand.Value)}
	switch {
	case th.UpstandMM+1e-9 >= set.LeastUpstand.Value:
		r.Verdict = check.Pass
	case th.UpstandMM+1e-9 >= set.LeastThreshold.Value:
		r.Verdict = check.Fail
		r.Finding += fmt.Sprintf("; the reduced route (%.0f mm) may be open with a drainage channel, a canopy or a level-access design",
			set.LeastThreshold.Value)
		r.Remedies = []check.Remedy{raise,
			{Text: "or agree the reduced threshold with building control and the warranty, and record their answer"}}
		if f := set.LeastThreshold.Flag(); f != "" {
			r.Flags = append(r.Flags, f)
		}
	default:
		r.Verdict = check.Fail
		r.Finding += "; too low even for the reduced route"
		r.Remedies = []check.Remedy{raise}
	}
	return r
}

func tray(e roof.Edge, where, field string) check.Result {
	r := check.Result{Key: "detailing.cavity-tray", Title: "Is there a cavity tray above the abutment?", Where: where,
		Clause: practice("cavity walls above a roof")}
	switch e.CavityTray {
	case "yes":
		r.Verdict, r.Finding = check.Pass, "there is one, above the flashing"
	case "no":
		r.Verdict, r.Utilisation, r.Finding = check.Fail, 1.01, "there is none: water in the cavity comes down behind the flashing"
		r.Remedies = []check.Remedy{{Text: "insert a cavity tray with weep holes above the flashing", Field: field + ".cavity_tray",
			Value: "yes"}}
	default:
		r.Verdict, r.Finding = check.Ask, "nobody has looked: solid wall, or cavity with a tray and weep holes?"
	}
	return r
}

func kerb(job roof.Job, o roof.Opening, deck, field string, set country.Set) check.Result {
	r := check.Result{Key: "detailing.kerb", Title: "Does the kerb stand high enough?", Where: "deck " + deck + ", " + o.Name,
		Clause: set.LeastUpstand.Source,
		Working: []*working.Figure{job.Origin(field).Given("h", "kerb above the finished roof", o.KerbMM, "mm", field+".kerb_mm"),
			set.LeastUpstand.Figure("hmin")}}
	r.Finding = fmt.Sprintf("%.0f mm against %.0f mm", o.KerbMM, set.LeastUpstand.Value)
	if o.KerbMM <= 0 {
		r.Verdict, r.Finding = check.Ask, "how high is the kerb above the finished roof?"
		return r
	}
	r.Utilisation = set.LeastUpstand.Value / o.KerbMM
	r.Verdict = check.Pass
	if o.KerbMM+1e-9 < set.LeastUpstand.Value {
		r.Verdict = check.Fail
		r.Remedies = []check.Remedy{{Text: fmt.Sprintf("raise the kerb to %.0f mm", set.LeastUpstand.Value),
			Field: "openings[" + o.Name + "].kerb_mm", Value: fmt.Sprintf("%.0f", set.LeastUpstand.Value)}}
	}
	return r
}

// saddleWidthM is the width across the flow above which practice asks for a saddle.
const saddleWidthM = 0.6

// NeedsSaddle reports whether practice asks for a saddle behind an opening: it is wide across the flow, and
// water comes down behind it.
func NeedsSaddle(o roof.Opening, deck *roof.Deck) bool {
	width, ok := acrossFlow(o, deck)
	return ok && width >= saddleWidthM-1e-9 && !deck.BackAtEdge(&o)
}

// acrossFlow is how wide an opening stands across the fall, m; false where the deck has none there.
func acrossFlow(o roof.Opening, deck *roof.Deck) (width float64, ok bool) {
	if len(deck.Falls.Planes) == 0 {
		return 0, false
	}
	low, high := o.Outline.Bounds()
	centre := low.Add(high).Scale(0.5)
	down := deck.Falls.Planes[0].Down
	switch deck.Falls.Kind {
	case plane.ToPoint:
		down = deck.Falls.Point.Sub(centre)
	case plane.Ridge, plane.Hip, plane.Valley:
		line := deck.Falls.Line
		if len(deck.Falls.Planes) > 1 && line[1].Sub(line[0]).Cross(centre.Sub(line[0])) < 0 {
			down = deck.Falls.Planes[1].Down
		}
	}
	if down.Length() == 0 {
		return 0, false
	}
	across := down.Unit().Left()
	least, most := math.Inf(1), math.Inf(-1)
	for _, p := range o.Outline.Chords(0.01) {
		s := p.Dot(across)
		least, most = math.Min(least, s), math.Max(most, s)
	}
	return most - least, true
}

// saddle asks for a back-gutter saddle above wide openings.
func saddle(o roof.Opening, deck *roof.Deck) (check.Result, bool) {
	width, ok := acrossFlow(o, deck)
	if !ok {
		return check.Result{}, false
	}
	r := check.Result{Key: "detailing.saddle", Title: "Does water get round it?", Where: "deck " + deck.Name + ", " + o.Name,
		Clause:  practice("back-gutter saddles above 600 mm across the flow; the US residential code says 30 in"),
		Working: []*working.Figure{working.Measured("b", "width across the flow", width, "m", "outline of the opening, across the fall")}}
	if deck.BackAtEdge(&o) {
		r.Verdict, r.Finding = check.Pass, "its high side stands against the edge of the deck: no water comes down behind it"
		return r, true
	}
	r.Utilisation = width / saddleWidthM
	r.Finding = fmt.Sprintf("%.2f m across the flow", width)
	if width < saddleWidthM-1e-9 {
		r.Verdict = check.Pass
		return r, true
	}
	r.Verdict = check.Caution
	r.Remedies = []check.Remedy{{Text: "build a small saddle of firrings behind it on the high side, so that the water parts"}}
	return r, true
}

func guard(set country.Set) check.Result {
	r := check.Result{Key: "detailing.guard", Title: "Is the balcony guarded?", Clause: set.GuardHeight.Source, Verdict: check.Ask,
		Finding: fmt.Sprintf(
			"a guard of %.0f mm is usual: who designs its posts, and how are they fixed without passing through the laminate?",
			set.GuardHeight.Value),
		CallFor: "a structural engineer for posts and their fixing; building control for height, and for combustibility on taller buildings",
		Working: []*working.Figure{set.GuardHeight.Figure("h")}}
	if f := set.GuardHeight.Flag(); f != "" {
		r.Flags = append(r.Flags, f)
	}
	return r
}

// Guard rails of edge protection, mm: height of the top one, gap between two.
const (
	guardRailMM = 950
	railGapMM   = 470
)

func access(job roof.Job) check.Result {
	r := check.Result{Key: "detailing.access", Title: "Can people work on it without falling off?",
		Clause: practice("work at height: edge protection, fragile rooflights covered"), Verdict: check.Ask}
	r.Finding = fmt.Sprintf("edge %.1f m above ground: guard rails at %d mm or more with gaps of %d mm at most, a safe ladder or tower, "+
		"nobody below",
		job.Site.EavesM, guardRailMM, railGapMM)
	fragile := []string{}
	for _, d := range job.Decks {
		for _, o := range d.Openings {
			if o.Fragile {
				fragile = append(fragile, o.Name)
			}
		}
	}
	if len(fragile) > 0 {
		r.Finding += "; cover and mark before anyone goes up: " + strings.Join(fragile, ", ")
	}
	r.CallFor = "whoever supplies scaffold or edge protection; wet resin is slippery"
	rails := practice("edge protection at work: top rail and gaps as British rules have them (from memory)")
	r.Working = []*working.Figure{
		job.Origin("site.").Given("H", "edge above ground", job.Site.EavesM, "m", "site.eaves_m"),
		working.Constant("h", "least height of a top guard rail", guardRailMM, "mm", rails).Keyed("safety.rail"),
		working.Constant("g", "widest gap between rails", railGapMM, "mm", rails).Keyed("safety.gap")}
	return r
}

func fire(job roof.Job, set country.Set) check.Result {
	r := check.Result{Key: "detailing.fire", Title: "What fire class does the whole roof need?", Verdict: check.Ask,
		Clause:  working.Source{Title: "EN 13501-5", Clause: "class of the complete build-up, BROOF(t1) to (t4)", Standing: working.Quoted},
		Finding: "have the supplier's class for this whole build-up (boards, insulation, laminate, top coat) in writing",
		CallFor: "building control"}
	if strings.HasPrefix(set.Code, "GB") {
		r.Finding += "; BROOF(t4) is asked for near a boundary"
		r.Flags = append(r.Flags, "boundary distances of the guidance are not held here")
	}
	return r
}

// Least clear distances for brush and roller, m.
const (
	tightM       = 0.15
	comfortableM = 0.30
)

// clearances checks that a brush and a roller get round every penetration.
func clearances(deck *roof.Deck) []check.Result {
	var out []check.Result
	for i, p := range deck.Penetrations {
		if p.Kind == "overflow" {
			continue
		}
		if nearest, what := nearestTo(deck, i); !math.IsInf(nearest, 1) {
			out = append(out, clearance(deck.Name, p, nearest, what))
		}
	}
	return out
}

// halfM is half the greatest width of a penetration, m.
func halfM(p roof.Penetration) float64 {
	return math.Max(p.DiameterMM, math.Max(p.WidthMM, p.DepthMM)) / 2000
}

// nearestTo is the clear distance from penetration i to the nearest upstand, opening or
// penetration, m, and what that is; infinite where there is none.
func nearestTo(deck *roof.Deck, i int) (nearest float64, what string) {
	p := deck.Penetrations[i]
	half := halfM(p)
	nearest = math.Inf(1)
	note := func(d float64, name string) {
		if d < nearest {
			nearest, what = d, name
		}
	}
	for e := range deck.Edges {
		if deck.Edges[e].Condition.HasUpstand() || deck.Edges[e].Condition == roof.Kerb {
			note(deck.Outline.Edge(e).Nearest(p.At).Distance(p.At)-half, fmt.Sprintf("edge %d", e+1))
		}
	}
	for _, o := range deck.Openings {
		_, _, d := o.Outline.Nearest(p.At)
		note(d-half, o.Name)
	}
	for k, q := range deck.Penetrations {
		if k != i && q.Kind != "overflow" {
			note(p.At.Distance(q.At)-half-halfM(q), q.Name)
		}
	}
	return nearest, what
}

// clearance is the verdict on one penetration.
func clearance(deck string, p roof.Penetration, nearest float64, what string) check.Result {
	r := check.Result{Key: "detailing.clearance", Title: "Do brush and roller get round it?", Where: "deck " + deck + ", " + p.Name,
		Clause:  practice("150 mm at least, 300 mm better, clear of walls and of each other"),
		Finding: fmt.Sprintf("%.0f mm to %s", nearest*1000, what), Utilisation: tightM / math.Max(nearest, 0.001),
		Working: []*working.Figure{working.Measured("d", "clear distance", nearest*1000, "mm",
			"plan of the deck: the nearest upstand, opening or penetration")}}
	switch {
	case nearest < tightM-1e-9 && p.Kind == "outlet":
		// An outlet sits where the water goes, often in a narrow gutter.
		r.Verdict = check.Caution
		r.Remedies = []check.Remedy{{Text: "laminate the outlet's flange on the bench before it goes in"}}
	case nearest < tightM-1e-9:
		r.Verdict = check.Fail
		r.Remedies = []check.Remedy{{Text: fmt.Sprintf("move %s or form one upstand round both: a brush needs 150 mm", p.Name)}}
	case nearest < comfortableM-1e-9:
		r.Verdict = check.Caution
	default:
		r.Verdict = check.Pass
	}
	if p.Kind == "post" {
		r.Finding += "; a post through the laminate is the first place to leak"
		if r.Verdict == check.Pass {
			r.Verdict = check.Caution
		}
		r.Remedies = append(r.Remedies,
			check.Remedy{Text: "fix the post to the fascia, or stand it on a plinth 150 mm high with two layers and a sleeve"})
	}
	return r
}
