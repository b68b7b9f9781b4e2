package laying

import (
	"fmt"
	"strings"

	"gelwright/check"
	"gelwright/cure"
	"gelwright/mixing"
	"gelwright/working"
)

// CupKey is the check that asks for a test cup of the day.
const CupKey = "cure.cup"

// cupKG is a test cup's resin: the mass that data sheets time.
const cupKG = 0.1

// cups asks for a test cup of the resins whose brand nobody has named, before anything else
// is mixed, and says what it would narrow at the first bucket of each.
func (out *Hardening) cups(g *Ground, passes []Pass) error {
	asked := map[string]bool{}
	var findings, options []string
	var figures []*working.Figure
	var first mixing.Mix
	var density float64
	for i := range passes {
		x := &passes[i]
		if x.Plan == nil || len(x.Plan.Mixes) == 0 {
			continue
		}
		r, _, _ := g.lawAndMarks(x)
		if !r.Law.Brand || asked[r.Key] {
			continue
		}
		asked[r.Key] = true
		mix := x.Plan.Mixes[0]
		before, after, err := cupped(r.Law, mix.TempC, mix.DosePct)
		if err != nil {
			return err
		}
		gel, err := r.Law.Working(mix.TempC, mix.DosePct, "the first bucket")
		if err != nil {
			return err
		}
		figures = append(figures, gel.Keyed("cup."+r.Key))
		if len(findings) == 0 {
			findings = append(findings, fmt.Sprintf(
				"brand not known: a cup gels in %.0f to %.0f min at %.0f °C, once timed in about %.0f to %.0f",
				before.LowMin, before.HighMin, mix.TempC, after.LowMin, after.HighMin))
		} else {
			findings = append(findings, fmt.Sprintf("one of top coat in %.0f to %.0f", before.LowMin, before.HighMin))
		}
		if len(options) == 0 {
			first, density = mix, r.CatalystGPerML
		}
		if r.Waxed {
			options = append(options, "day.coat_cup")
		} else {
			options = append(options, "day.cup")
		}
	}
	if len(findings) == 0 {
		return nil
	}
	grams := 1000 * cupKG * first.DosePct / 100
	out.Answer(check.Result{Key: CupKey, Title: "How fast is the resin in the van?", Verdict: check.Ask,
		Finding: strings.Join(findings, "; "), Working: figures,
		Clause: working.Source{Title: "spread between brands", Standing: working.Assumed},
		Remedies: []check.Remedy{
			{Text: fmt.Sprintf("time a cup of %.0f g with %.1f g (%.1f ml) of catalyst in the shade and plan again with %s", 1000*cupKG,
				grams, grams/density, strings.Join(options, " and "))},
		}}, "")
	return nil
}

// cupped is the range of a gel before and after a test cup that gels when it is expected to.
func cupped(law cure.Gel, tempC, pct float64) (before, after cure.Range, err error) {
	if before, err = law.Time(tempC, pct); err != nil {
		return before, after, err
	}
	cup, err := law.WithCup(tempC, pct, before.LikelyMin)
	if err != nil {
		return before, after, err
	}
	after, err = cup.Time(tempC, pct)
	return before, after, err
}
