package laying

import (
	"context"
	"errors"
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/cure"
	"gelwright/material"
	"gelwright/mixing"
	"gelwright/runoff"
	"gelwright/working"
)

// DoseCard gives dose and gel over temperature for both resins.
type DoseCard struct {
	Convention string `json:"convention"`
	HabitNote  string `json:"habit_note"`
	// Laminate and Coat are what its two halves hold for, each with its catalyst.
	Laminate string    `json:"laminate"`
	Coat     string    `json:"top_coat"`
	Rows     []DoseRow `json:"rows"`
}

// DoseRow is one temperature of the card.
type DoseRow struct {
	TempC    float64    `json:"temp_c"`
	Laminate DoseAnswer `json:"laminate"`
	Coat     DoseAnswer `json:"top_coat"`
}

// DoseAnswer is the dose for a kilogram, or why there is none.
type DoseAnswer struct {
	Pct     float64 `json:"pct_by_mass,omitempty"`
	MLPerL  float64 `json:"ml_per_litre,omitempty"`
	GPerKG  float64 `json:"g_per_kg,omitempty"`
	MLPerKG float64 `json:"ml_per_kg,omitempty"`
	LowMin  float64 `json:"gel_low_min,omitempty"`
	GelMin  float64 `json:"gel_likely_min,omitempty"`
	HighMin float64 `json:"gel_high_min,omitempty"`
	// PailC is the warmest that the resin may be in its pail for this dose on this deck, °C.
	PailC   float64 `json:"pail_up_to_c,omitempty"`
	Refused string  `json:"refused,omitempty"`
}

// DoseCardInput is both resins with the peroxide they are mixed with.
type DoseCardInput struct {
	Resin, Coat Liquid
	Catalyst    material.Catalyst
	// MarginMin is what the crew keeps between the last kilogram laid and gel.
	MarginMin float64
}

// DoseCards is the dose card with its figure.
type DoseCards struct {
	Card DoseCard
	check.Notes
}

var tenToTheKilogram = working.MustFormula("h = 10·ρ/1000·100")

// MakeDoseCard tabulates from the coldest to the warmest the resin works at.
func MakeDoseCard(_ context.Context, in DoseCardInput) (DoseCards, error) {
	var out DoseCards
	c, density := &out.Card, in.Catalyst.DensityGPerML
	c.Laminate, c.Coat = in.Resin.With(), in.Coat.With()
	c.Convention = "Catalyst is dosed in per cent by mass of resin. Millilitres follow from its density of " +
		working.Number(density) + " g/ml; both are printed."
	habit := out.Figure(tenToTheKilogram.Figure("what 10 ml to the kilogram really is", "% by mass", runoff.Derived,
		working.Constant("ρ", "density of the catalyst", density, "g/ml",
			in.Catalyst.Density()).Noting(in.Catalyst.Standing)).Keyed("dose.habit"))
	c.HabitNote = "The habit '10 ml per kg is 1 %' gives " + working.Number(habit.Value) + " % with this catalyst."
	for t := 5.0; t <= 35; t += 2.5 {
		row := DoseRow{TempC: t}
		var err error
		if row.Laminate, err = out.doseAt(in.Resin.Resin, t, in.MarginMin, CardKey("laminate", t)); err != nil {
			return out, err
		}
		if row.Coat, err = out.doseAt(in.Coat.Resin, t, in.MarginMin, CardKey("coat", t)); err != nil {
			return out, err
		}
		c.Rows = append(c.Rows, row)
	}
	return out, nil
}

// warmestPail is the warmest pail, in whole °C, out of which a deck gets the dose that follows
// from the deck; the deck's own temperature where there is none.
func warmestPail(law cure.Gel, deckC, marginMin float64) float64 {
	pct := -1.0
	out := deckC
	for c := math.Ceil(law.MinC); c <= law.MaxC; c++ {
		dose, can := mixing.Advised(&law, cure.Temps{ResinC: c, DeckC: deckC}, cure.Aim{}, marginMin)
		switch {
		case pct >= 0 && (!can || dose != pct):
			return out
		case can:
			pct, out = dose, c
		}
	}
	return out
}

// CardKey is the prefix of the figures of the card's dose for a resin, "laminate" or "coat", at a temperature.
func CardKey(resin string, tempC float64) string { return fmt.Sprintf("dose.card.%s.%g", resin, tempC) }

// doseAt is the dose for a kilogram at a temperature; its millilitres, and the gel they follow
// from, are noted under the key.
func (out *DoseCards) doseAt(r mixing.Resin, tempC, marginMin float64, key string) (DoseAnswer, error) {
	pailC := warmestPail(r.Law, tempC, marginMin)
	d, err := mixing.ChooseDose(r, cure.Aim{}, cure.Temps{ResinC: math.Min(tempC, pailC), DeckC: tempC}, marginMin)
	var refusal *cure.Refusal
	if errors.As(err, &refusal) {
		return DoseAnswer{Refused: refusal.Finding}, nil
	}
	if err != nil {
		return DoseAnswer{}, err
	}
	ch, err := mixing.ChargeOf(r, 1, d, key)
	if err != nil {
		return DoseAnswer{}, err
	}
	for _, f := range ch.Figures {
		if f.Key == key+".catalyst_ml" {
			out.Figure(f)
		}
	}
	return DoseAnswer{Pct: ch.DosePct, MLPerL: ch.DoseMLPerL, GPerKG: ch.CatalystG, MLPerKG: ch.CatalystML, PailC: pailC, LowMin: d.Gel.LowMin,
		GelMin: d.Gel.LikelyMin, HighMin: d.Gel.HighMin}, nil
}
