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

// RsiMould is the inner surface resistance at which mould is asked about, m²K/W: the air is
// stiller in a corner and behind a cupboard than the heat loss reckons with (EN ISO 13788, from memory).
const RsiMould = 0.25

// Room is what of the build-up may be changed, for remedies that can be built.
type Room struct {
	// StepMM is the step in which insulation is sold.
	StepMM float64
	// MostMM is the thickest that the insulation may be, 0 for no limit, and Why.
	MostMM float64
	Why    string
	// NeededPerM2 is how many screws through the insulation the uplift asks for on the mean; 0 is not known.
	NeededPerM2 float64
}

// Check compares the roof with its country's target and the temperature factor at
// the surface.
func Check(b Build, purpose Purpose, set country.Set, room Room) ([]check.Result, Answer, error) {
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
		return []check.Result{r, b.surface(a, set, room)}, a, nil
	}
	r.Utilisation = a.Corrected / target.Value
	r.Finding = fmt.Sprintf("U = %.2f W/m²K against %.2f (%s)", a.Corrected, target.Value, target.Source)
	if flag := target.Flag(); flag != "" {
		r.Flags = append(r.Flags, flag)
	}
	// Targets are given to two decimals and the U-value is reported so (ISO 6946 6.5).
	r.Verdict = check.Pass
	if math.Round(a.Corrected*100)/100 > target.Value {
		r.Verdict, r.Remedies = check.Fail, b.remedies(target.Value, room)
	}
	return []check.Result{r, b.surface(a, set, room)}, a, nil
}

// surface asks whether the ceiling under the plane roof grows mould.
func (b Build) surface(a Answer, set country.Set, room Room) check.Result {
	mould := working.Source{Title: "EN ISO 13788", Clause: "temperature factor, plane element", Standing: working.Remembered}
	least := set.TemperatureFactor
	factor := surfaceFactor.Figure("temperature factor of the plane roof", "", mould, a.Figure,
		working.Constant("Rsi", "inner surface resistance where mould is asked about", RsiMould, "m²K/W", mould)).Keyed("check.thermal.surface")
	f := factor.Value
	edge := check.Result{Key: "thermal.surface", Title: "Will the ceiling grow mould?", Clause: mould,
		Utilisation: (1 - f) / (1 - least.Value), Verdict: check.Pass,
		Finding: fmt.Sprintf("temperature factor %.2f in the field against %.2f (%s)", f, least.Value, least.Source),
		Working: []*working.Figure{factor, least.Figure("fRsi,min")},
		Flags: []string{
			"the edge at upstands and kerbs is colder than the field: carry insulation up the upstand and into the kerb, or have the edge computed"}}
	if f < least.Value {
		edge.Verdict, edge.Remedies = check.Fail, b.remedies((1-least.Value)/RsiMould, room)
	}
	return edge
}

// What is added below joists that have no room for more: boards of PIR, W/mK.
const (
	belowLambda = 0.022
	belowName   = "PIR"
)

// fewScrews is how much more than the uplift asks is worth saying.
const fewScrews = 1.1

// remedies are the ways to a U-value that can be built, the cheapest first: fewer or stainless
// screws before thicker insulation, and none thicker than there is room for.
func (b Build) remedies(target float64, room Room) []check.Remedy {
	thickness := func(c Build) (mm float64, ok bool) {
		mm, err := c.ThicknessFor(target)
		mm = room.StepMM * math.Ceil(mm/room.StepMM-1e-9)
		return mm, err == nil && (room.MostMM == 0 || mm <= room.MostMM)
	}
	as, possible := thickness(b)
	var out []check.Remedy
	for _, x := range b.otherScrews(room) {
		if mm, ok := thickness(x.build); ok && (!possible || mm < as) {
			out = append(out, check.Remedy{Text: fmt.Sprintf("%s: then %.0f mm of insulation do", x.words, math.Max(mm, b.mainMM()))})
		}
	}
	if possible {
		text := fmt.Sprintf("make the insulation %.0f mm thick", as)
		if len(out) > 0 {
			text += ", with the screws as they are"
		}
		return append(out, check.Remedy{Text: text, Field: "spec.insulation.thickness_mm", Value: fmt.Sprintf("%.0f", as)})
	}
	if len(out) > 0 {
		return out
	}
	if mm, ok := b.layerBelow(target, room); ok {
		return []check.Remedy{
			{Text: fmt.Sprintf("%s: fill them to %.0f mm and fix %.0f mm of %s (%g W/mK) below the joists, with the vapour control layer under it",
				room.Why, room.MostMM, mm, belowName, belowLambda)},
			{Text: "or make it a warm roof: insulation above the deck"}}
	}
	return []check.Remedy{{Text: fmt.Sprintf("no thickness that there is room for reaches %.2f W/m²K with this build-up: "+
		"take a better insulation", target)}}
}

// mainMM is the thickness of the main insulation.
func (b Build) mainMM() float64 {
	sum := 0.0
	for _, l := range b.Layers {
		if l.Main {
			sum += l.ThicknessMM
		}
	}
	return sum
}

// screwed is a build-up with other screws, and what they are in words.
type screwed struct {
	build Build
	words string
}

// stainlessLambda is the conductivity of stainless screws, W/mK (EN ISO 10456, from memory).
const stainlessLambda = 17

// otherScrews are the ways in which less heat passes by the screws.
func (b Build) otherScrews(room Room) []screwed {
	f := b.Fasteners
	if f.PerM2 <= 0 || f.LambdaWPerMK < 1 {
		return nil
	}
	var out []screwed
	if n := math.Ceil(room.NeededPerM2); n > 0 && f.PerM2 > fewScrews*n {
		c := b
		c.Fasteners.PerM2 = n
		out = append(out, screwed{c, fmt.Sprintf("set only the screws that the uplift asks for, about %.0f per m² on the mean (%.1f are set out)",
			n, f.PerM2)})
	}
	if f.LambdaWPerMK > stainlessLambda {
		c := b
		c.Fasteners.LambdaWPerMK = stainlessLambda
		out = append(out, screwed{c, "take stainless screws, which let a third as much heat through"})
	}
	return out
}

// layerBelow is the thickness, mm, of boards below the joists that reaches the target with the
// joists filled as far as they may be.
func (b Build) layerBelow(target float64, room Room) (float64, bool) {
	if room.MostMM <= 0 {
		return 0, false
	}
	c := b
	c.Layers = nil
	for _, l := range b.Layers {
		if l.Main {
			l.ThicknessMM, l.Main = room.MostMM, false
			c.Layers = append(c.Layers, Layer{Name: belowName + " below the joists", LambdaWPerMK: belowLambda, Main: true})
		}
		c.Layers = append(c.Layers, l)
	}
	mm, err := c.ThicknessFor(target)
	return room.StepMM * math.Ceil(mm/room.StepMM-1e-9), err == nil
}
