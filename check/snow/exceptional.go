package snow

import (
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/working"
)

var exceptionalFall = working.MustFormula("sA = Cesl·s")

// AnnexB and NoDrifts are the answers to whether exceptional drifts are counted at a place.
const (
	AnnexB   = "annex B"
	NoDrifts = "none"
)

// loadCase is one load case of snow on the roof.
type loadCase struct {
	load *working.Figure
	what string
	// lengthM is how far a drift runs out; nil for what lies flat.
	length *working.Figure
	// accidental is a case without partial factors; unsure one of which nobody knows whether the
	// country asks for it: it is held to, as the worst, and a failure in it is a question.
	accidental, unsure bool
	// ofFall is a case of an exceptional fall; its drifts are as long as those of every winter.
	ofFall    bool
	situation string
}

func (l loadCase) words() string {
	text := fmt.Sprintf("%s %.2f", l.what, l.load.Value)
	if l.length != nil {
		return text + fmt.Sprintf(" over %.1f m (%s)", l.length.Value, l.situation)
	}
	text += " kN/m²"
	if l.accidental {
		text += " (" + l.situation + ")"
	}
	return text
}

// annexB is whether exceptional drifts are counted, and whether that is known.
func (in Input) annexB() (counted, known bool) {
	if in.Drifts != "" {
		return in.Drifts == AnnexB, true
	}
	return in.Set.ExceptionalDrifts.Yes || !in.Set.ExceptionalDrifts.Known, in.Set.ExceptionalDrifts.Known
}

// factor is C_esl; nil where no exceptional falls are counted. unsure is true where nobody knows
// whether they are.
func (in Input) factor() (cesl *working.Figure, unsure bool) {
	const symbol, name = "Cesl", "factor of exceptional snow falls"
	switch falls := in.Set.ExceptionalFalls; {
	case in.ExceptionalFactor == 1:
		return nil, false
	case in.ExceptionalFactor > 0:
		return working.From(in.From, symbol, name, in.ExceptionalFactor, "", "site.exceptional_snow_factor"), false
	case falls.Known && !falls.Yes:
		return nil, false
	case falls.Known:
		return in.Set.ExceptionalFactor.Figure(symbol), false
	}
	return in.Set.ExceptionalFactor.Figure(symbol), true
}

// cases are the loads on the roof by the design situations of EN 1991-1-3 table A.1: what lies
// flat first, then the drifts of every winter, exceptional falls and exceptional drifts. Where the
// country counts annex B, the shapes of that annex have no other drift.
func (in Input) cases(sk *working.Figure, r *check.Result) ([]loadCase, error) {
	flat := Flat(sk)
	out := []loadCase{{load: flat, what: "flat load", situation: "persistent, 5.2"}}
	counted, known := in.annexB()
	var upper, height *working.Figure
	if in.WallHeightM > 0 {
		upper, height = in.wall(r)
	}
	if !counted || !known {
		d, err := in.persistent(sk, upper, height, flat.Value)
		if err != nil {
			return nil, err
		}
		out = append(out, d...)
	}
	if cesl, unsure := in.factor(); cesl != nil {
		for _, c := range out {
			c.load = exceptionalFall.Figure(c.load.Name+" of an exceptional fall", "kN/m²", en("4.3, eq. 4.1; annex A"), cesl, c.load)
			c.accidental, c.ofFall, c.unsure, c.what = true, true, unsure, c.what+" of an exceptional fall"
			c.situation = "accidental, 4.3"
			out = append(out, c)
		}
	}
	if counted {
		if upper != nil {
			r.Flags = append(r.Flags, "the coefficient of the exceptional drift at a wall (annex B.3) is from memory, to be confirmed")
		}
		d, err := in.exceptional(sk, upper, height, flat.Value, !known)
		if err != nil {
			return nil, err
		}
		out = append(out, d...)
	}
	return out, nil
}

// persistent are the drifts of every winter; a heap under what lies flat is none.
func (in Input) persistent(sk, upper, height *working.Figure, flatKPa float64) ([]loadCase, error) {
	var out heaps
	if upper != nil {
		out.add("drift at the wall", flatKPa)(againstTaller(sk, upper, in.WidthM, height, 0))
	}
	if in.ParapetM > 0 {
		out.add("drift behind the parapet", flatKPa)(atProjection(sk, in.ParapetM, "behind the parapet"))
	}
	if in.KerbM > 0 {
		out.add("drift at the kerb of an opening", flatKPa)(atProjection(sk, in.KerbM, "at an obstruction"))
	}
	return out.lie, out.err
}

// exceptional are the drifts of annex B.
func (in Input) exceptional(sk, upper, height *working.Figure, flatKPa float64, unsure bool) ([]loadCase, error) {
	var out heaps
	if upper != nil {
		out.add("drift at the wall", flatKPa)(belowTaller(sk, upper, in.WidthM, height))
	}
	if in.ParapetM > 0 {
		out.add("drift behind the parapet", flatKPa)(BehindParapet(sk, in.WidthM, in.LongM, in.ParapetM))
	}
	if in.KerbM > 0 {
		out.add("drift at the kerb of an opening", flatKPa)(AtObstruction(sk, in.KerbM))
	}
	for i := range out.lie {
		out.lie[i].unsure = unsure
	}
	return out.lie, out.err
}

// heaps gathers drifts that are more than what lies flat.
type heaps struct {
	lie []loadCase
	err error
}

func (h *heaps) add(what string, flatKPa float64) func(Drift, error) {
	return func(d Drift, err error) {
		if h.err != nil || err != nil {
			if h.err == nil {
				h.err = err
			}
			return
		}
		if d.LoadKPa > flatKPa { // a low heap drowns in what lies flat
			h.lie = append(h.lie, loadCase{load: d.Figure, what: what, length: d.Length, accidental: d.Accidental, situation: d.way()})
		}
	}
}

// use is what a kind of case uses of what the joists carry in its situation; nil where there is
// no such case. The worst of them comes with it.
func use(cases []loadCase, accidental, unsure bool, kPa float64) (*working.Figure, *loadCase) {
	var loads []*working.Figure
	var worst *loadCase
	for i := range cases {
		if c := &cases[i]; c.accidental == accidental && c.unsure == unsure {
			loads = append(loads, c.load)
			if worst == nil || c.load.Value > worst.load.Value {
				worst = c
			}
		}
	}
	if worst == nil || kPa < nothingKPa {
		return nil, worst
	}
	source := working.Source{Title: "greatest load over capacity", Standing: working.Derived}
	if accidental {
		return exceptionalUsed.Figure("use of what the joists carry under exceptional snow", "", source,
			append(loads, working.Measured("cA", "variable load at which the joists are just used up, without partial factors", kPa,
				"kN/m²", "check of the joists, solved for the load"))...), worst
	}
	return capacityUsed.Figure("use of what the joists carry", "", source,
		append(loads, working.Measured("c", "variable load at which the joists are just used up", kPa, "kN/m²",
			"check of the joists, solved for the load"))...), worst
}

// judge holds the loads against what bears the roof, each in its own design situation.
func (in Input) judge(r *check.Result, cases []loadCase) {
	c := in.Carries
	nothing := c.Known && math.Min(c.KPa, c.ExceptionalKPa) < nothingKPa
	perhaps, doubtful := use(cases, true, true, c.ExceptionalKPa)
	worst := in.uses(r, cases, perhaps != nil)
	if perhaps != nil {
		r.Working = append(r.Working, perhaps.Keyed("check.snow.perhaps"))
	}
	list(r, cases, worst)
	switch {
	case !c.Known:
		r.Verdict, r.CallFor = check.Ask, "whoever can see what bears the roof: "+c.Why
	case nothing || r.Utilisation > 1:
		in.fails(r, worst, nothing)
	case perhaps != nil && perhaps.Value > 1:
		in.asks(r, doubtful, perhaps.Value)
	case len(r.Flags) > 0:
		r.Verdict = check.Caution
	default:
		r.Verdict = check.Pass
	}
}

// uses says how much of what the joists carry the cases use that are known to count, and returns
// the one that decides; where no capacity is known, the heaviest.
func (in Input) uses(r *check.Result, cases []loadCase, more bool) *loadCase {
	c := in.Carries
	every, worst := use(cases, false, false, c.KPa)
	once, rare := use(cases, true, false, c.ExceptionalKPa)
	if every == nil {
		if rare != nil && rare.load.Value > worst.load.Value {
			return rare
		}
		return worst
	}
	r.Utilisation = every.Value
	r.Working = append(r.Working, every.Keyed("check.snow.use"))
	r.Finding += fmt.Sprintf("; the joists carry %.2f kN/m²", c.KPa)
	if once != nil || more {
		r.Finding += fmt.Sprintf(", %.2f in an accidental situation", c.ExceptionalKPa)
	}
	if once == nil {
		return worst
	}
	r.Working = append(r.Working, once.Keyed("check.snow.exceptional"))
	if once.Value > every.Value {
		r.Utilisation = once.Value
		return rare
	}
	return worst
}

// list puts the loads, the worst first, and the lengths of the drifts among the workings.
func list(r *check.Result, cases []loadCase, worst *loadCase) {
	worst.load.Key = "check.snow"
	r.Working = append([]*working.Figure{worst.load}, r.Working...)
	for _, s := range cases {
		if s.load != worst.load {
			r.Working = append(r.Working, s.load)
		}
	}
	for _, s := range cases {
		if s.length != nil && !s.ofFall {
			r.Working = append(r.Working, s.length)
		}
	}
}

func (in Input) fails(r *check.Result, worst *loadCase, nothing bool) {
	r.Verdict, r.CallFor = check.Fail, "a structural engineer"
	if nothing {
		r.Utilisation = 2
		r.Finding += "; the joists are used up by the roof's own weight and carry no snow"
	}
	text := fmt.Sprintf("stiffen the joists for %.2f kN/m²", worst.load.Value)
	if worst.length != nil {
		text += " where the drift lies"
	}
	if worst.accidental {
		text += ", without partial factors"
	}
	r.Remedies = []check.Remedy{{Text: text}}
}

// asks says what is to be asked of building control where only a case fails of which nobody
// knows whether it counts.
func (in Input) asks(r *check.Result, doubtful *loadCase, use float64) {
	r.Verdict = check.Ask
	r.Finding += fmt.Sprintf("; if the place counts it, the %s uses %.0f %% of them", doubtful.what, 100*use)
	field, question := "site.exceptional_drifts", "are exceptional snow drifts (EN 1991-1-3 annex B) counted there?"
	if doubtful.ofFall {
		field, question = "site.exceptional_snow_factor", "which factor of exceptional snow falls (EN 1991-1-3 4.3) holds there? 1 for none"
	}
	r.CallFor = "building control: " + question + " Write it as " + field
}
