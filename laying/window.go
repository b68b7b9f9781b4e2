package laying

import (
	"fmt"
	"gelwright/check"
	"gelwright/cure"
	"gelwright/working"
)

// Hardening that is too slow to plan with, min.
const (
	lateHard     = 12 * 60.0
	noHard       = 36 * 60.0
	lateFullCure = 14 * 24 * 60.0
)

// A deck is warm by day from warmDeckC on, °C; a night that takes nightDropK of it, K, before the pass is late
// stops its cure, not the day (common practice, no source).
const (
	warmDeckC  = 15
	nightDropK = 8
)

// hard is the milestone from which a pass counts as hard: a laminate when the next coat may go on it, which is after a
// shower no longer marks it; a top coat when it is safe from rain, since nothing needs to go over it.
func (w *WetPass) hard() cure.Milestone {
	if w.Kind == "mat" {
		return cure.OverCoatFrom
	}
	return cure.RainSafe
}

// window asks whether each pass hardens in useful time, and whether the next coat can
// follow without abrading.
func window(passes []*WetPass, byHours bool) check.Result {
	r := check.Result{Key: "cure.window", Title: "Does each pass harden in useful time?", Verdict: check.Pass,
		Clause: working.Source{Title: "conversions fitted to the trade's hardening times", Standing: working.CommonPractice}}
	var slow, close string
	var late *WetPass
	for _, w := range passes {
		for _, is := range []cure.Milestone{w.hard(), cure.FullCure} {
			for _, x := range w.Marks {
				if x.is == is {
					r.Working = append(r.Working, x.figure)
				}
			}
		}
		// The last that stays soft is named, else the first that is late.
		if v, words := w.slow(slow != ""); v != check.Pass {
			r.Verdict, slow, late = worse(r.Verdict, v), words, w
		}
		if from, until := w.At(cure.OverCoatFrom), w.At(cure.OverCoatUntil); w.Kind == "mat" && from.LikelyMin > until.LikelyMin {
			r.Verdict = worse(r.Verdict, check.Caution)
			close = fmt.Sprintf("%s %d is too old to coat before it is hard enough: abrade it first", w.Kind, w.Layer)
		}
	}
	if slow != "" {
		r.Finding, r.Remedies = slow, late.sooner()
	}
	if close != "" {
		if r.Finding != "" {
			r.Finding += "; "
		}
		r.Finding += close
		r.Remedies = append(r.Remedies, check.Remedy{Text: "abrade all over with 40 grit, wipe and dry before coating"})
	}
	if r.Finding == "" {
		last := passes[len(passes)-1]
		r.Finding = fmt.Sprintf("every pass; the last, %s %d, is %s %s after mixing", last.Kind, last.Layer, last.hard().Done(),
			LastingRange(last.At(last.hard())))
	}
	if !byHours {
		r.Flags = []string{"one temperature for the day: the night is not in it"}
	}
	return r
}

// sooner is what makes a late pass hard in time: of one that a warm day would have hardened, more of that day.
func (w *WetPass) sooner() []check.Remedy {
	if !w.stoppedByNight() {
		return []check.Remedy{{Text: "wait for a warmer day"}, {Text: "tent and warm the deck through the night, without a flame"},
			{Text: "use a winter grade"}}
	}
	return []check.Remedy{
		{Text: fmt.Sprintf("begin earlier: have its last bucket laid well before %s, while the deck stays warm", clockText(w.MixAtMin))},
		{Text: "more catalyst in its last buckets, within the resin's data sheet, and less resin in each: they gel sooner"},
		{Text: "cover it for the night clear of the surface, before the deck cools, without a flame"}}
}

// stoppedByNight reports whether a pass on a warm deck is late only since its first night cools it.
func (w *WetPass) stoppedByNight() bool {
	if w.DeckC < warmDeckC || w.At(w.hard()).HighMin <= lateHard {
		return false
	}
	for _, m := range w.Curve {
		if m.Min <= lateHard && m.TempC <= w.DeckC-nightDropK {
			return true
		}
	}
	return false
}

// worse keeps the graver of two verdicts.
func worse(is, v check.Verdict) check.Verdict {
	if is == check.Pass || v == check.Fail {
		return v
	}
	return is
}

// slow says of a pass that it hardens late, or not at all; known that another has been named
// already, before which only one that stays soft is named.
func (w *WetPass) slow(known bool) (check.Verdict, string) {
	name := fmt.Sprintf("%s %d", w.Kind, w.Layer)
	is, full := w.At(w.hard()), w.At(cure.FullCure)
	switch {
	case is.LikelyMin > noHard:
		return check.Fail, fmt.Sprintf("%s, mixed at %s on a deck of %.0f °C, is not %s within %s: the cold stops its cure short",
			name, clockText(w.MixAtMin), w.DeckC, w.hard().Done(), Lasting(noHard))
	case known:
	case is.HighMin > lateHard:
		return check.Caution, fmt.Sprintf("%s, mixed at %s on a deck of %.0f °C, may not be %s for %s",
			name, clockText(w.MixAtMin), w.DeckC, w.hard().Done(), Lasting(is.HighMin))
	case full.LikelyMin > lateFullCure:
		return check.Caution, fmt.Sprintf("%s is not fully cured within %s unless it gets warmer: the cold stops its cure short",
			name, Lasting(lateFullCure))
	}
	return check.Pass, ""
}
