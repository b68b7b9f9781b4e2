package thermal

import (
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/working"
)

// Purpose says which target applies.
type Purpose string

const (
	NewBuilding Purpose = "new"
	Extension   Purpose = "extension"
	Renovation  Purpose = "renovation"
	Unheated    Purpose = "unheated"
)

var surfaceFactor = working.MustFormula("fRsi = 1 − U·Rsi")

// Check compares the roof with its country's target and the temperature factor at
// the surface; stepMM is the step in which insulation is sold.
func Check(b Build, purpose Purpose, set country.Set, stepMM float64) ([]check.Result, Answer, error) {
	r := check.Result{Key: "thermal.u", Title: "Does it keep the heat in?", Clause: iso("6.7.2, annex F")}
	if purpose == Unheated {
		r.Verdict, r.Finding = check.NotApplicable, "the space below is not heated"
		return []check.Result{r}, Answer{}, nil
	}
	a, err := b.Solve()
	if err != nil {
		return nil, a, err
	}
	target := set.URefurbish
	switch purpose {
	case NewBuilding:
		target = set.UNew
	case Extension:
		target = set.UExtension
	}
	r.Working = []*working.Figure{a.Figure}
	if !target.Known {
		r.Verdict, r.Finding = check.Ask, fmt.Sprintf("U = %.3f W/m²K; %s", a.Corrected, target.Missing(set.Name))
	} else {
		r.Utilisation = a.Corrected / target.Value
		r.Finding = fmt.Sprintf("U = %.2f W/m²K against %.2f (%s)", a.Corrected, target.Value, target.Source)
		if flag := target.Flag(); flag != "" {
			r.Flags = append(r.Flags, flag)
		}
		// Targets are given to two decimals and the U-value is reported so (ISO 6946 6.5).
		if math.Round(a.Corrected*100)/100 <= target.Value {
			r.Verdict = check.Pass
		} else {
			r.Verdict = check.Fail
			if mm, err := b.ThicknessFor(target.Value); err == nil {
				need := stepMM * math.Ceil(mm/stepMM)
				r.Remedies = append(r.Remedies, check.Remedy{Text: fmt.Sprintf("make the insulation %.0f mm thick", need),
					Field: "spec.insulation.thickness_mm", Value: fmt.Sprintf("%.0f", need)})
			} else {
				r.Remedies = append(r.Remedies, check.Remedy{Text: err.Error()})
			}
		}
	}
	factor := surfaceFactor.Figure("temperature factor of the plane roof", "",
		working.Source{Title: "ISO 13788", Clause: "plane element", Standing: working.Remembered}, a.Figure,
		working.Constant("Rsi", "inner surface resistance", orDefault(b.Rsi, RsiUp), "m²K/W", iso("table 7"))).Keyed("check.thermal.surface")
	f := factor.Value
	edge := check.Result{Key: "thermal.surface", Title: "Will the ceiling grow mould?",
		Clause:      working.Source{Title: "ISO 13788", Clause: "temperature factor, plane element", Standing: working.Remembered},
		Utilisation: set.TemperatureFactor.Value / f, Verdict: check.Pass,
		Finding: fmt.Sprintf("temperature factor %.2f in the field against %.2f", f, set.TemperatureFactor.Value),
		Working: []*working.Figure{factor},
		Flags: []string{
			"the edge at upstands and kerbs is colder than the field: carry insulation up the upstand and into the kerb, or have the edge computed"}}
	if f < set.TemperatureFactor.Value {
		edge.Verdict = check.Fail
		edge.Remedies = []check.Remedy{{Text: "add insulation until the U-value passes; the surface then does too"}}
	}
	return []check.Result{r, edge}, a, nil
}
