package plan

import (
	"errors"

	"gelwright/cure"
	"gelwright/mixing"
	"gelwright/working"
)

// DoseCard gives dose and gel over temperature for both resins.
type DoseCard struct {
	Convention string    `json:"convention"`
	HabitNote  string    `json:"habit_note"`
	Rows       []DoseRow `json:"rows"`
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
	VolPct  float64 `json:"pct_by_volume,omitempty"`
	GPerKG  float64 `json:"g_per_kg,omitempty"`
	MLPerKG float64 `json:"ml_per_kg,omitempty"`
	LowMin  float64 `json:"gel_low_min,omitempty"`
	GelMin  float64 `json:"gel_likely_min,omitempty"`
	HighMin float64 `json:"gel_high_min,omitempty"`
	Refused string  `json:"refused,omitempty"`
}

// doseCard tabulates from the coldest to the warmest the resin works at.
func (m *maker) doseCard() error {
	c := &m.plan.DoseCard
	c.Convention = "Catalyst is dosed in per cent by mass of resin. Millilitres follow from its density of " +
		working.Number(m.catalyst.DensityGPerML) + " g/ml; both are printed."
	perKG := 10 * m.catalyst.DensityGPerML / 10
	habit := working.Calc("h", "what 10 ml to the kilogram really is", perKG, "% by mass", "h = 10 ml × ρ/1 kg", derived,
		working.Constant("ρ", "density of the catalyst", m.catalyst.DensityGPerML, "g/ml", working.Source{Title: m.catalyst.Name, Standing: working.Supplier}).Noting(m.catalyst.Standing)).Keyed("dose.habit")
	m.figure(habit)
	c.HabitNote = "The habit '10 ml per kg is 1 %' gives " + working.Number(perKG) + " % with this catalyst."
	resin, err := m.mixOf(m.resin)
	if err != nil {
		return err
	}
	coat, err := m.mixOf(m.coat)
	if err != nil {
		return err
	}
	for t := 5.0; t <= 35; t += 2.5 {
		row := DoseRow{TempC: t}
		if row.Laminate, err = m.doseAt(resin, t); err != nil {
			return err
		}
		if row.Coat, err = m.doseAt(coat, t); err != nil {
			return err
		}
		c.Rows = append(c.Rows, row)
	}
	return nil
}

func (m *maker) doseAt(r mixing.Resin, tempC float64) (DoseAnswer, error) {
	d, err := mixing.ChooseDose(r, cure.Aim{}, tempC, m.job.Crew.MarginMin)
	var refusal *cure.Refusal
	if errors.As(err, &refusal) {
		return DoseAnswer{Refused: refusal.Finding}, nil
	}
	if err != nil {
		return DoseAnswer{}, err
	}
	ch, err := mixing.ChargeOf(r, 1, d, "")
	if err != nil {
		return DoseAnswer{}, err
	}
	return DoseAnswer{Pct: ch.DosePct, VolPct: ch.DoseVolPct, GPerKG: ch.CatalystG, MLPerKG: ch.CatalystML, LowMin: d.Gel.LowMin, GelMin: d.Gel.LikelyMin, HighMin: d.Gel.HighMin}, nil
}
