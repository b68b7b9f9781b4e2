package moisture

import (
	"fmt"
	"math"

	"gelwright/working"
)

// EquilibriumPct returns the moisture content that wood comes to in air of tempC and
// rhPct, per cent of dry mass: the Hailwood–Horrobin equation with the constants of
// the Wood Handbook (USDA FPL-GTR-190, eq. 4-5). −10 to 60 °C, 0 to 99 %.
func EquilibriumPct(tempC, rhPct float64) (float64, error) {
	if !(tempC >= -10 && tempC <= 60) || !(rhPct >= 0 && rhPct <= 99) {
		return 0, fmt.Errorf("wood moisture is held for −10 to 60 °C and 0 to 99 %%, not %g °C and %g %%", tempC, rhPct)
	}
	t, h := tempC, rhPct/100
	w := 349 + 1.29*t + 0.0135*t*t
	k := 0.805 + 0.000736*t - 0.00000273*t*t
	k1 := 6.27 - 0.00938*t - 0.000303*t*t
	k2 := 1.91 + 0.0407*t - 0.000293*t*t
	kh := k * h
	return 1800 / w * (kh/(1-kh) + (k1*kh+2*k1*k2*kh*kh)/(1+k1*kh+k1*k2*kh*kh)), nil
}

// LaminateLimitPct is the moisture above which a deck is not laminated.
const LaminateLimitPct = 18

// DryingDays returns how long a board of thicknessMM, wet to fromPct, takes to reach
// toPct in air of tempC and rhPct, drying from one face: the first term of the
// diffusion series, t = 4L²/(π²·D)·ln(8/π²·(M0 − Me)/(M − Me)), with D of wood panels
// across the thickness from 1e-10 (OSB) to 4e-10 m²/s, as a range. It returns an
// error when the air is too damp for the board ever to get there.
func DryingDays(thicknessMM, fromPct, toPct, tempC, rhPct float64) (*working.Figure, error) {
	emc, err := EquilibriumPct(tempC, rhPct)
	if err != nil {
		return nil, err
	}
	source := working.Source{Title: "Crank, The Mathematics of Diffusion, slab, first term; diffusivity of wood panels", Standing: working.Remembered}
	emcF := working.Calc("Me", "moisture the deck comes to in this air", emc, "%", "Hailwood–Horrobin", working.Source{Title: "USDA Wood Handbook FPL-GTR-190", Clause: "eq. 4-5", Standing: working.Published},
		working.GivenFigure("T", "air temperature", tempC, "°C", "weather"), working.GivenFigure("h", "relative humidity", rhPct, "%", "weather"))
	if emc >= toPct {
		return emcF, fmt.Errorf("in air of %.0f °C and %.0f %% the deck comes to %.0f %% and never reaches %.0f %%: cover it, warm it or wait for drier weather", tempC, rhPct, emc, toPct)
	}
	if fromPct <= toPct {
		return working.Calc("t", "drying time", 0, "days", "already dry enough", source, emcF), nil
	}
	days := func(d float64) float64 {
		l := thicknessMM / 1000
		return 4 * l * l / (math.Pi * math.Pi * d) * math.Max(0, math.Log(8/(math.Pi*math.Pi)*(fromPct-emc)/(toPct-emc))) / 86400
	}
	low, likely, high := days(4e-10), days(2e-10), days(1e-10)
	return working.Calc("t", "drying time", likely, "days", "t = 4L²/(π²·D)·ln(8/π²·(M0 − Me)/(M − Me)), one face open", source, emcF,
		working.GivenFigure("M0", "moisture now", fromPct, "%", "survey"), working.Constant("M", "moisture to laminate at", toPct, "%", working.Source{Title: "limit for laminating on timber", Standing: working.CommonPractice}),
		working.GivenFigure("L", "board thickness", thicknessMM, "mm", "specification")).Between(low, high), nil
}
