package checking

import (
	"math"
	"slices"
	"strings"

	"gelwright/check"
	"gelwright/check/deck"
	"gelwright/roof"
)

// joistsKey names the check of the joists.
const joistsKey = "deck.joists"

// ofJoists are the fields that decide what joists carry. Where the first joist lies, which way
// they run and what bears the boards' edges say nothing of their strength.
var ofJoists = []string{"base.joist_spacing_mm", "base.joist_width_mm", "base.joist_depth_mm", "base.joist_span_m", "base.timber_class"}

// rests lists the fields of the roof file whose default bears on the verdict of a check: with one
// of them a pass becomes a caution and, where fails is true, a failure a question. A failure that
// stays one however kindly the guess turns out is no question.
type rests struct {
	check  string
	fields []string
	fails  bool
}

// resting is every check that a plan asks and the defaults it may rest on: no other default
// changes its verdict. What a person decides for the new work (thickness, screws, falls) is no
// guess: a failure on it is a failure. A check whose own input is a stand-in (the wind and snow
// maps, the rain, a wall's height) says so itself and is softened in its own package.
var resting = []rests{
	{"deck.boards", []string{"base.joist_spacing_mm"}, true},
	{joistsKey, ofJoists, true},
	{"snow.load", ofJoists, true},
	// The joists' sag takes of the fall; what is drawn too flat fails whatever they are.
	{"drainage.fall", ofJoists, true},
	{"thermal.u", []string{"spec.insulation.lambda_w_per_mk"}, false},
	{"drainage.capacity", nil, false}, {"drainage.overflow", nil, false}, {"drainage.standing", nil, false},
	{"wind.trim", nil, false}, {"wind.uplift", nil, false},
	{"movement.joints", nil, false}, {"movement.board-joints", nil, false},
	{"moisture.condensation", nil, false}, {"moisture.ventilation", nil, false}, {"moisture.deck", nil, false},
	{"thermal.surface", nil, false},
	{"exposure.styrene", nil, false}, {"exposure.neighbours", nil, false}, {"exposure.carriage", nil, false},
	{"detailing.", nil, false}, {"proof.", nil, false}, {"plan.", nil, false}, {"country.", nil, false},
	{"laminate.", nil, false}, {"mixing.", nil, false}, {"cure.", nil, false},
}

// restsOn is what a check may rest on; ok is false for a check that is not listed.
func restsOn(key string) (rests, bool) {
	for _, r := range resting {
		if strings.HasPrefix(key, r.check) {
			return r, true
		}
	}
	return rests{}, false
}

// GuessesOf are the values of deck i, and of the specification, that were taken because the
// file is silent, as far as a check may rest on them.
func GuessesOf(job *roof.Job, i int) []roof.Default {
	path := job.DeckPath(i) + "."
	var out []roof.Default
	for _, g := range job.Defaults {
		field, ofDeck := strings.CutPrefix(g.Field, path)
		if ofDeck || strings.HasPrefix(field, "spec.") {
			if slices.ContainsFunc(resting, func(r rests) bool { return slices.Contains(r.fields, field) }) {
				out = append(out, g)
			}
		}
	}
	return out
}

// guessed are the guesses that bear on a check.
func (in *DeckChecksInput) guessed(key string) []roof.Default { return bearOn(in.Guesses, key) }

func bearOn(guesses []roof.Default, key string) []roof.Default {
	on, _ := restsOn(key)
	var out []roof.Default
	for _, g := range guesses {
		if slices.ContainsFunc(on.fields, func(f string) bool { return g.Field == f || strings.HasSuffix(g.Field, "."+f) }) {
			out = append(out, g)
		}
	}
	return out
}

// guessedInputs are the joists' guesses by the symbols of their working.
func (in *DeckChecksInput) guessedInputs() map[string]string {
	symbols := map[string]string{"joist_spacing_mm": "s", "joist_width_mm": "b", "joist_depth_mm": "h", "joist_span_m": "lc"}
	out := map[string]string{}
	for _, g := range in.guessed(joistsKey) {
		if s, ok := symbols[g.Field[strings.LastIndexByte(g.Field, '.')+1:]]; ok {
			out[s] = g.Why
		}
	}
	return out
}

// soften says what of a result is a guess. passes tells whether it would pass at the kindest
// that the guesses may turn out.
func (in *DeckChecksInput) soften(r *check.Result, passes func() bool) { soften(r, in.Guesses, passes) }

func soften(r *check.Result, all []roof.Default, passes func() bool) {
	guesses := bearOn(all, r.Key)
	if len(guesses) == 0 {
		return
	}
	on, _ := restsOn(r.Key)
	for _, g := range guesses {
		find := "measure it"
		if strings.HasPrefix(g.Field, "spec.") {
			find = "take the supplier's declared value"
		}
		r.Flags = append(r.Flags, g.Field+" = "+g.Value+" is a guess: "+find)
	}
	switch {
	case r.Verdict == check.Pass:
		r.Verdict = check.Caution
	case r.Verdict == check.Fail && on.fails && passes():
		r.Verdict, r.CallFor = check.Ask, "whoever can see the joists; then a structural engineer"
		r.Finding += " - but " + wordsOf(guesses) + " of the joists is a guess"
	case r.Verdict == check.Fail && on.fails:
		r.Finding += "; " + wordsOf(guesses) + " of the joists is a guess, but it fails however that turns out"
	}
}

// wordsOf names the guessed measures of joists: "the depth and the span".
func wordsOf(guesses []roof.Default) string {
	words := map[string]string{"joist_spacing_mm": "the spacing", "joist_width_mm": "the width", "joist_depth_mm": "the depth",
		"joist_span_m": "the span", "timber_class": "the class"}
	var out []string
	for _, g := range guesses {
		out = append(out, words[g.Field[strings.LastIndexByte(g.Field, '.')+1:]])
	}
	if n := len(out) - 1; n > 0 {
		return strings.Join(out[:n], ", ") + " and " + out[n]
	}
	return strings.Join(out, "")
}

// The kindest that a guess of a joist may turn out on an ordinary house roof (common practice).
const (
	kindSpacingMM = 300
	kindWidthMM   = 75
	kindDepthMM   = 225
	kindClass     = "C24"
)

// kindJoist is a joist as kind as those of its values that are guesses may turn out: a wall
// midway may halve a span that nobody has measured.
func kindJoist(j deck.Joist, guesses []roof.Default) deck.Joist {
	for _, g := range guesses {
		switch g.Field[strings.LastIndexByte(g.Field, '.')+1:] {
		case "joist_spacing_mm":
			j.SpacingMM = math.Min(j.SpacingMM, kindSpacingMM)
		case "joist_width_mm":
			j.WidthMM = math.Max(j.WidthMM, kindWidthMM)
		case "joist_depth_mm":
			j.DepthMM = math.Max(j.DepthMM, kindDepthMM)
		case "joist_span_m":
			j.ClearMM /= 2
		case "timber_class":
			j.Class = kindClass
		}
	}
	return j
}
