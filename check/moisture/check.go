package moisture

import (
	"context"
	"fmt"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/working"
)

// greatest peak that a non-absorbent interface may hold, kg/m².
const peakLimitKG = 0.2

func iso(clause string) working.Source {
	return working.Source{Title: "ISO 13788", Clause: clause, Standing: working.Remembered}
}

// CheckCondensation returns the verdict on water between the layers.
func CheckCondensation(ctx context.Context, roof Roof, months []Month, climate string, coldVented bool) (check.Result, Year, error) {
	r := check.Result{Key: "moisture.condensation", Title: "Will damp gather between the layers?", Clause: iso("6")}
	y, err := roof.Solve(ctx, months)
	if err != nil {
		return r, y, err
	}
	peak := roof.working(y, months, climate)
	r.Working = []*working.Figure{peak}
	r.Utilisation = y.PeakKG / peakLimitKG
	r.Flags = append(r.Flags,
		"diffusion only: air leaking through gaps carries far more vapour, so the control layer must be continuous and sealed at every edge")
	switch {
	case y.Never:
		r.Verdict, r.Finding = check.Pass, "no condensation in any month"
	case y.EndKG > 1e-6:
		r.Verdict = check.Fail
		r.Utilisation = max(r.Utilisation, 1.01)
		r.Finding = fmt.Sprintf("%.2f kg/m² gathers by the worst month and %.2f is left after a year (%s): the roof gets wetter every winter",
			y.PeakKG, y.EndKG, join(y.Interfaces))
	case y.PeakKG > peakLimitKG:
		r.Verdict = check.Fail
		r.Finding = fmt.Sprintf("%.2f kg/m² gathers in winter (limit %.1f) and dries in summer (%s)", y.PeakKG, peakLimitKG, join(y.Interfaces))
	default:
		r.Verdict = check.Pass
		r.Finding = fmt.Sprintf("at most %.3f kg/m² gathers and it dries again within the year (%s)", y.PeakKG, join(y.Interfaces))
	}
	if r.Verdict == check.Fail {
		if coldVented {
			r.Verdict = check.Caution
			r.Finding += "; this is with the void sealed: its ventilation is what keeps the roof dry"
		} else {
			r.Remedies = append(r.Remedies, remedyFor(ctx, roof, months)...)
		}
	}
	return r, y, nil
}

var (
	waterOfMonth = working.Method("Ma",
		"vapour along the tangents of sd: Σ δ0·(Δp/Δsd in − Δp/Δsd out)·t at every wet interface, dried ones let go within the month")
	allR      = working.MustFormula("RT = Rsi + Rse + Σ R")
	allSd     = working.MustFormula("sT = Σ sd")
	peakWater = working.MustFormula("Mmax = max(Ma)")
)

// working shows the greatest condensate down to the layers and both airs. Inputs are the
// same for every month but the months' own.
func (roof Roof) working(y Year, months []Month, climate string) *working.Figure {
	always := []*working.Figure{working.Constant("δ0", "vapour permeability of still air", diffusion, "kg/(m·s·Pa)", iso("4.3"))}
	rsi, rse := roof.surfaces()
	warm := []*working.Figure{working.Constant("Rsi", "inner surface resistance", rsi, "m²K/W", iso("4.3.3")),
		working.Constant("Rse", "outer surface resistance", rse, "m²K/W", iso("4.3.3"))}
	var tight []*working.Figure
	for _, l := range roof.Layers {
		for _, f := range l.figures() {
			if f.Symbol == "sd" {
				tight = append(tight, f)
			} else {
				warm = append(warm, f)
			}
		}
	}
	// The layers are the same in every month: two figures that stand once.
	always = append(always, allR.Figure("resistance of the layers from inside to out, with both surfaces", "m²K/W", iso("6.3"), warm...),
		allSd.Figure("air layer equal to the layers from inside to out", "m", iso("6.3"), tight...))
	steps := []*working.Figure{}
	for k, w := range y.Water {
		m := months[(y.Start+k)%12]
		in := []*working.Figure{
			working.Constant("θe", "outdoor temperature in "+m.Name, m.OutdoorC, "°C", working.Source{Title: climate, Standing: working.Assumed}),
			working.Constant("φe", "outdoor humidity in "+m.Name, m.RHPct, "%", working.Source{Title: climate, Standing: working.Assumed}),
			working.Constant("θi", "indoor temperature in "+m.Name, m.IndoorC, "°C", iso("5.3, use of the rooms below")),
		}
		if m.IndoorPa > 0 {
			in = append(in, working.Measured("pi", "vapour pressure indoors in "+m.Name, m.IndoorPa, "Pa", "air below the roof"))
		} else {
			in = append(in, working.Constant("Δp", "vapour pressure indoors above that outdoors", roof.Class.excessPa(m.OutdoorC), "Pa",
				iso(fmt.Sprintf("annex A, humidity class %d", roof.Class))))
		}
		steps = append(steps, waterOfMonth.Run("water at the end of "+m.Name, w, "kg/m²", iso("6.4, 6.5"), append(in, always...)...))
	}
	return peakWater.Figure("greatest condensate in the year", "kg/m²", iso("6.6"), steps...).
		Noting("the greatest of twelve months; it must dry to nothing within the year").Keyed("check.moisture.peak")
}

// remedyFor tries a vapour control layer under the greatest resistance, then the
// insulation moved above the deck, and offers what passes.
func remedyFor(ctx context.Context, roof Roof, months []Month) []check.Remedy {
	best := 0
	for i, l := range roof.Layers {
		if l.ResistanceM2KPerW > roof.Layers[best].ResistanceM2KPerW {
			best = i
		}
	}
	try := func(layers []Layer) bool {
		y, err := Roof{Layers: layers, Rsi: roof.Rsi, Rse: roof.Rse, Class: roof.Class}.Solve(ctx, months)
		return err == nil && y.EndKG <= 1e-6 && y.PeakKG <= peakLimitKG
	}
	// The first is what the roof file's own layer is taken as; a tighter one is a
	// matter of buying, which the file cannot say.
	for _, sd := range []float64{50, 100, 1500} {
		with := append([]Layer(nil), roof.Layers[:best]...)
		with = append(with, Layer{Name: "vapour control layer", SdM: sd})
		with = append(with, roof.Layers[best:]...)
		if try(with) {
			m := check.Remedy{
				Text: fmt.Sprintf("lay a continuous vapour control layer of sd %g m or more under the insulation, sealed at every edge", sd)}
			if sd <= 50 {
				m.Field, m.Value = "spec.vapour_control_layer", "true"
			}
			return []check.Remedy{m}
		}
	}
	return []check.Remedy{{Text: "make it a warm roof: insulation above the deck over a continuous vapour control layer, nothing below",
		Field: "spec.build_up", Value: "warm"}}
}

func join(names []string) string {
	text := ""
	for i, n := range names {
		if i > 0 {
			text += ", "
		}
		text += n
	}
	return text
}

// Void is the ventilated space of a cold roof.
type Void struct {
	ClearMM     float64 // 0 when nobody has measured it
	PathM       float64 // from eaves to eaves along the joists
	BothEnds    string  // "yes", "no", "" when nobody has looked
	OpeningMM   float64 // continuous slot along each of two opposite sides, 0 unknown
	NoColdRoofs bool    // the country or the warranty does not accept cold decks
}

// VoidFor is the clear void over the insulation of a cold roof and the slot along each of two
// opposite sides, mm, for an air path of so many metres.
func VoidFor(pathM float64) (voidMM, slotMM float64) {
	if pathM > longPathM {
		return 60, 30
	}
	return 50, 25
}

// longPathM is the air path from which void and slots are wider, m.
const longPathM = 5

// CheckVentilation returns the verdict on a cold roof's ventilation.
func CheckVentilation(v Void, set country.Set) check.Result {
	source := set.ColdVoid.Source
	r := check.Result{Key: "moisture.ventilation", Title: "Is the cold roof ventilated?", Clause: source}
	need, slot := VoidFor(v.PathM)
	if v.PathM > longPathM {
		r.Flags = append(r.Flags, "60 mm void and 30 mm slots for paths of 5 to 10 m: from memory, to be confirmed")
	}
	r.Working = []*working.Figure{working.Constant("v", "clear void over the insulation", need, "mm", source).Keyed("check.moisture.void")}
	warm := check.Remedy{Text: "make it a warm roof: insulation above the deck", Field: "spec.build_up", Value: "warm"}
	switch {
	case v.PathM > 10:
		r.Verdict, r.Finding = check.Fail, fmt.Sprintf("the air path is %.1f m; above 10 m a cold roof cannot be ventilated", v.PathM)
		r.Remedies = []check.Remedy{warm}
	case v.BothEnds == "no":
		r.Verdict, r.Finding = check.Fail, "the joist bays are not open at both ends"
		r.Remedies = []check.Remedy{{Text: "open both ends of every bay, or cross-batten 50 mm"}, warm}
	case v.ClearMM > 0 && v.ClearMM < need:
		r.Verdict, r.Utilisation = check.Fail, need/v.ClearMM
		r.Finding = fmt.Sprintf("%.0f mm clear over the insulation, %.0f mm needed", v.ClearMM, need)
		r.Remedies = []check.Remedy{{Text: fmt.Sprintf("make the clear void %.0f mm: thinner insulation or cross-battens", need)}, warm}
	case v.ClearMM == 0 || v.BothEnds == "":
		r.Verdict = check.Ask
		r.Finding = fmt.Sprintf(
			"how deep is the clear void over the insulation (%.0f mm needed), and is every bay open at both ends with %.0f mm slots?", need, slot)
	default:
		r.Verdict, r.Utilisation = check.Pass, need/v.ClearMM
		r.Finding = fmt.Sprintf("%.0f mm clear, both ends open", v.ClearMM)
	}
	if v.NoColdRoofs {
		r.Flags = append(r.Flags, "cold decks are discouraged or not accepted here: ask before you build one")
	}
	return r
}

// CheckDeck returns the verdict on the deck's moisture before laminating.
func CheckDeck(readingsPct []float64, thicknessMM, airC, rhPct float64, from working.Giver) check.Result {
	source := working.Source{Title: "moisture limit for laminating on timber", Clause: "18 % of dry mass", Standing: working.CommonPractice}
	r := check.Result{Key: "moisture.deck", Title: "Is the deck dry enough to laminate?", Clause: source}
	if len(readingsPct) == 0 {
		r.Verdict, r.Finding = check.Ask, "no moisture readings: take one to every 4 m², at least five, on the day"
		if f, err := equilibrium("moisture that boards come to in this air", airC, rhPct, from); err == nil {
			r.Finding += fmt.Sprintf(" (boards in this air come to %.0f %%)", f.Value)
			r.Working = []*working.Figure{f.Keyed("check.moisture.equilibrium")}
		}
		return r
	}
	wet, worst := 0, 0.0
	for _, v := range readingsPct {
		worst = max(worst, v)
		if v > LaminateLimitPct {
			wet++
		}
	}
	r.Utilisation = worst / LaminateLimitPct
	worstF := working.Measured("M", "wettest reading", worst, "%", "readings of the deck").Keyed("check.moisture.wettest")
	r.Working = []*working.Figure{worstF}
	if wet == 0 {
		r.Verdict, r.Finding = check.Pass, fmt.Sprintf("wettest of %d readings %.0f %%", len(readingsPct), worst)
		return r
	}
	r.Verdict = check.Fail
	r.Finding = fmt.Sprintf("%d of %d readings are above %d %%, the wettest %.0f %%", wet, len(readingsPct), LaminateLimitPct, worst)
	days, err := DryingDays(thicknessMM, worst, LaminateLimitPct, airC, rhPct, from)
	if err != nil {
		r.Remedies = append(r.Remedies, check.Remedy{Text: "replace the wet boards, or dry them: " + err.Error()})
	} else {
		r.Remedies = append(r.Remedies,
			check.Remedy{Text: fmt.Sprintf("replace the wet boards, or cover and dry the deck %.0f to %.0f days and read it again", days.Low,
				days.High)})
	}
	if days != nil {
		r.Working = append(r.Working, days)
	}
	return r
}
