package moisture

import (
	"fmt"

	"gelwright/working"
)

// The Hailwood–Horrobin equation; T in °C, φ in per cent.
var (
	woodW           = working.MustFormula("W = 349 + 1.29·T + 0.0135·T²")
	woodK           = working.MustFormula("K = 0.805 + 0.000736·T − 0.00000273·T²")
	woodK1          = working.MustFormula("K1 = 6.27 − 0.00938·T − 0.000303·T²")
	woodK2          = working.MustFormula("K2 = 1.91 + 0.0407·T − 0.000293·T²")
	woodKh          = working.MustFormula("x = K·φ/100")
	woodEquilibrium = working.MustFormula("Me = 1800/W·(x/(1 − x) + (K1·x + 2·K1·K2·x²)/(1 + K1·x + K1·K2·x²))")
	drying          = working.MustFormula("t = 0 where M0 ≤ M, else 4·(L/1000)²/(π²·D)·max(0, ln(8/π²·(M0 − Me)/(M − Me)))/86400")
)

// equilibrium is the moisture content that wood comes to in air of tempC and rhPct, per cent of
// dry mass, with the constants of the Wood Handbook (USDA FPL-GTR-190, eq. 4-5). −10 to 60 °C, 0 to 99 %.
func equilibrium(name string, tempC, rhPct float64, from working.Giver) (*working.Figure, error) {
	if !(tempC >= -10 && tempC <= 60) || !(rhPct >= 0 && rhPct <= 99) {
		return nil, fmt.Errorf("wood moisture is held for −10 to 60 °C and 0 to 99 %%, not %g °C and %g %%", tempC, rhPct)
	}
	source := working.Source{Title: "USDA Wood Handbook FPL-GTR-190", Clause: "eq. 4-5", Standing: working.Remembered}
	t := working.From(from, "T", "air temperature", tempC, "°C", "day.air_c")
	x := woodKh.Figure("sorption at this humidity", "", source, woodK.Figure("constant of sorption", "", source, t),
		working.From(from, "φ", "relative humidity", rhPct, "%", "day.relative_humidity_pct"))
	return woodEquilibrium.Figure(name, "%", source, woodW.Figure("mass of wood to one site of sorption", "", source, t), x,
		woodK1.Figure("first constant of hydration", "", source, t), woodK2.Figure("second constant of hydration", "", source, t)), nil
}

// LaminateLimitPct is the moisture above which a deck is not laminated.
const LaminateLimitPct = 18

// DryingDays returns how long a board of thicknessMM, wet to fromPct, takes to reach
// toPct in air of tempC and rhPct, drying from one face: the first term of the
// diffusion series, t = 4L²/(π²·D)·ln(8/π²·(M0 − Me)/(M − Me)), with D of wood panels
// across the thickness from 1e-10 (OSB) to 4e-10 m²/s, as a range. It returns an
// error when the air is too damp for the board ever to get there.
func DryingDays(thicknessMM, fromPct, toPct, tempC, rhPct float64, from working.Giver) (*working.Figure, error) {
	emcF, err := equilibrium("moisture the deck comes to in this air", tempC, rhPct, from)
	if err != nil {
		return nil, err
	}
	emc := emcF.Value
	source := working.Source{Title: "Crank, The Mathematics of Diffusion, slab with one face open, first term; diffusivity of wood panels",
		Standing: working.Remembered}
	if emc >= toPct {
		return emcF,
			fmt.Errorf("in air of %.0f °C and %.0f %% the deck comes to %.0f %% and never reaches %.0f %%: cover it, warm it or wait for drier "+
				"weather", tempC, rhPct, emc, toPct)
	}
	at := func(diffusivity float64) *working.Figure {
		return drying.Figure("drying time", "days", source, emcF,
			working.Measured("M0", "moisture now", fromPct, "%", "readings of the deck"),
			working.Constant("M", "moisture to laminate at", toPct, "%",
				working.Source{Title: "limit for laminating on timber", Standing: working.CommonPractice}),
			working.From(from, "L", "board thickness", thicknessMM, "mm", "spec.board.thickness_mm"),
			working.Constant("D", "diffusivity across the board, from half of it to twice as much", diffusivity, "m²/s", source))
	}
	return at(2e-10).Between(at(4e-10).Value, at(1e-10).Value), nil
}
