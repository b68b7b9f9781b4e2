package mixing

import (
	"errors"
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/working"
)

// GelRange is a gel time in minutes from mixing: one in twenty is sooner than
// LowMin, one in twenty later than HighMin.
type GelRange struct {
	LowMin    float64 `json:"low_min"`
	LikelyMin float64 `json:"likely_min"`
	HighMin   float64 `json:"high_min"`
}

// GelTime answers for resin held at tempC with catalystPct by mass.
type GelTime func(tempC, catalystPct float64) (GelRange, error)

// Resin is what is mixed, with the limits of its data sheet.
type Resin struct {
	Name string
	Gel  GelTime
	// GelWorking, when set, unfolds a gel time down to its law and its evidence.
	GelWorking     func(tempC, catalystPct float64) *working.Figure
	MinPct, MaxPct float64 // catalyst, % by mass
	MinC, MaxC     float64 // working temperature
	DensityKGPerL  float64
	// CatalystGPerML is the density of the peroxide.
	CatalystGPerML float64
	// Waxed marks a top coat, whose laid edge cannot be joined after it gels.
	Waxed bool
}

// Aim is how a dose is chosen within the limits; zero values take the defaults.
type Aim struct {
	// PreferredPct is tried first: 2 % by mass.
	PreferredPct float64
	// LongestMin: the dose is raised while the likely gel is later than this. 35.
	LongestMin float64
	// ShortestMin: it is lowered while the earliest likely gel is sooner than this. 15.
	ShortestMin float64
	// TooSlowMin: a likely gel later than this at the greatest dose is too cold. 90.
	TooSlowMin float64
	// LeastUsableMin must remain between mixing and the margin. 4.
	LeastUsableMin float64
}

func (a Aim) filled() Aim {
	set := func(v *float64, d float64) {
		if !(*v > 0) {
			*v = d
		}
	}
	set(&a.PreferredPct, 2)
	set(&a.LongestMin, 35)
	set(&a.ShortestMin, 15)
	set(&a.TooSlowMin, 90)
	set(&a.LeastUsableMin, 4)
	return a
}

// ErrTooCold and ErrTooHot are what a Refusal is about.
var (
	ErrTooCold = errors.New("too cold")
	ErrTooHot  = errors.New("too hot")
)

// Refusal says that no dose within the data sheet works, and what would help.
type Refusal struct {
	Reason   error // ErrTooCold or ErrTooHot
	Finding  string
	Remedies []check.Remedy
}

func (r *Refusal) Error() string {
	text := "mixing: " + r.Reason.Error() + ": " + r.Finding
	for i, m := range r.Remedies {
		if i == 0 {
			text += ": "
		} else {
			text += "; or "
		}
		text += m.Text
	}
	return text
}

func (r *Refusal) Unwrap() error { return r.Reason }

func tooCold(format string, args ...any) error {
	return &Refusal{Reason: ErrTooCold, Finding: fmt.Sprintf(format, args...), Remedies: []check.Remedy{
		{Text: "wait for a warmer hour"}, {Text: "warm resin and boards: store resin at 15 to 20 °C, tent and heat the deck, keep it from flame"}, {Text: "use a winter grade", Field: "spec.resin", Value: "resin.winter"},
	}}
}

func tooHot(format string, args ...any) error {
	return &Refusal{Reason: ErrTooHot, Finding: fmt.Sprintf(format, args...), Remedies: []check.Remedy{
		{Text: "start early or shade the deck"}, {Text: "keep the resin cool"}, {Text: "use a summer grade", Field: "spec.resin", Value: "resin.summer"},
	}}
}

func checkResin(r Resin) error {
	switch {
	case r.Gel == nil:
		return fmt.Errorf("mixing: resin %q has no gel time", r.Name)
	case !(r.MinPct > 0 && r.MaxPct >= r.MinPct && r.MaxPct < 10):
		return fmt.Errorf("mixing: resin %q allows %g to %g %% of catalyst: give the data sheet's limits by mass, such as 1 to 4", r.Name, r.MinPct, r.MaxPct)
	case !(r.DensityKGPerL > 0.5 && r.DensityKGPerL < 3):
		return fmt.Errorf("mixing: resin %q has density %g kg/l: give about 1.1", r.Name, r.DensityKGPerL)
	case !(r.CatalystGPerML > 0.5 && r.CatalystGPerML < 2):
		return fmt.Errorf("mixing: catalyst density %g g/ml: give the sheet's, 1.08 to 1.18", r.CatalystGPerML)
	case !(r.MaxC > r.MinC):
		return fmt.Errorf("mixing: resin %q works from %g to %g °C: give the data sheet's limits", r.Name, r.MinC, r.MaxC)
	}
	return nil
}

// Dose is a chosen share of catalyst and the gel time it gives.
type Dose struct {
	Pct   float64  `json:"pct"` // by mass of resin
	TempC float64  `json:"temp_c"`
	Gel   GelRange `json:"gel"`
}

// doseStep is what a marked dispenser can follow, % by mass.
const doseStep = 0.05

// ChooseDose returns the dose for a temperature, or a Refusal.
//
// It starts from the preferred dose, raises it while the gel would be late and lowers
// it while the gel would be early, within the data sheet, in steps of 0.05 %.
// marginMin is kept clear between the last of the bucket and gel.
func ChooseDose(r Resin, aim Aim, tempC, marginMin float64) (Dose, error) {
	if err := checkResin(r); err != nil {
		return Dose{}, err
	}
	aim = aim.filled()
	switch {
	case math.IsNaN(tempC):
		return Dose{}, fmt.Errorf("mixing: no temperature: measure resin and deck")
	case tempC < r.MinC:
		return Dose{}, tooCold("%s is not to be laid below %g °C and it is %.1f °C", r.Name, r.MinC, tempC)
	case tempC > r.MaxC:
		return Dose{}, tooHot("%s is not to be laid above %g °C and it is %.1f °C", r.Name, r.MaxC, tempC)
	}
	pct := math.Min(math.Max(aim.PreferredPct, r.MinPct), r.MaxPct)
	gel, err := r.gel(tempC, pct)
	if err != nil {
		return Dose{}, err
	}
	for gel.LikelyMin > aim.LongestMin && pct < r.MaxPct {
		next := math.Min(stepTo(pct, +1), r.MaxPct)
		g, err := r.gel(tempC, next)
		if err != nil {
			return Dose{}, err
		}
		if g.LowMin < aim.ShortestMin {
			break // a wide range: the early gel rules
		}
		pct, gel = next, g
	}
	for gel.LowMin < aim.ShortestMin && pct > r.MinPct {
		pct = math.Max(stepTo(pct, -1), r.MinPct)
		if gel, err = r.gel(tempC, pct); err != nil {
			return Dose{}, err
		}
	}
	if gel.LikelyMin > aim.TooSlowMin {
		return Dose{}, tooCold("at %.1f °C and %.2f %%, the most that helps, %s gels in about %.0f min", tempC, pct, r.Name, gel.LikelyMin)
	}
	if gel.LowMin-marginMin < aim.LeastUsableMin {
		return Dose{}, tooHot("at %.1f °C and %.2f %%, the least allowed, %s may gel in %.0f min; less the margin of %.0f min there is no time to lay it", tempC, pct, r.Name, gel.LowMin, marginMin)
	}
	return Dose{Pct: pct, TempC: tempC, Gel: gel}, nil
}

// stepTo moves a dose to the next multiple of doseStep up or down.
func stepTo(pct float64, direction int) float64 {
	n := math.Round(pct/doseStep) + float64(direction)
	return math.Round(n*doseStep*1e6) / 1e6
}

func (r Resin) gel(tempC, pct float64) (GelRange, error) {
	g, err := r.Gel(tempC, pct)
	if err != nil {
		return g, fmt.Errorf("mixing: gel time of %s at %.1f °C and %.2f %%: %w", r.Name, tempC, pct, err)
	}
	if !(g.LowMin > 0 && g.LowMin <= g.LikelyMin && g.LikelyMin <= g.HighMin) || math.IsInf(g.HighMin, 0) {
		return g, fmt.Errorf("mixing: gel time of %s at %.1f °C and %.2f %% is not a range: %g, %g, %g min", r.Name, tempC, pct, g.LowMin, g.LikelyMin, g.HighMin)
	}
	return g, nil
}

// gelFigure is the gel time that a dose gives, with what it rests on.
func (r Resin) gelFigure(d Dose) *working.Figure {
	if r.GelWorking != nil {
		if f := r.GelWorking(d.TempC, d.Pct); f != nil {
			return f
		}
	}
	return working.Constant("tg", "gel time at this dose", d.Gel.LikelyMin, "min", sheet).Between(d.Gel.LowMin, d.Gel.HighMin)
}

// Charge is what goes into one bucket.
type Charge struct {
	ResinKG    float64 `json:"resin_kg"`
	ResinL     float64 `json:"resin_l"`
	CatalystG  float64 `json:"catalyst_g"`
	CatalystML float64 `json:"catalyst_ml"`
	// DosePct by mass of resin; DoseVolPct the same by volume, as the jug sees it.
	DosePct    float64 `json:"dose_pct"`
	DoseVolPct float64 `json:"dose_vol_pct"`
	// Figures: resin in kg and litres, dose, catalyst in g and in ml.
	Figures []*working.Figure `json:"-"`
}

var (
	byMass    = working.Source{Title: "catalyst is dosed in per cent by mass of resin", Standing: working.Derived}
	sheet     = working.Source{Title: "data sheet", Standing: working.Supplier}
	plainMath = working.Source{Title: "mass, volume and density", Standing: working.Derived}
)

// ChargeOf returns grams and millilitres of catalyst for kg of resin. key is the
// lasting prefix of the figures, empty for none.
func ChargeOf(r Resin, kg float64, d Dose, key string) (Charge, error) {
	if err := checkResin(r); err != nil {
		return Charge{}, err
	}
	if !(kg > 0) || math.IsInf(kg, 0) {
		return Charge{}, fmt.Errorf("mixing: a bucket of %g kg: give a positive mass", kg)
	}
	name := func(k string) string {
		if key == "" {
			return ""
		}
		return key + "." + k
	}
	m := working.Calc("m", "resin in the bucket", kg, "kg", "m = Σ resin of its cells", plainMath).Keyed(name("resin"))
	pct := working.Calc("c", "dose by mass", d.Pct, "%", "nearest the usual dose of those that gel neither too soon nor too late, within the data sheet's limits", byMass, r.gelFigure(d),
		working.Constant("cmin", "least dose", r.MinPct, "%", sheet), working.Constant("cmax", "greatest dose", r.MaxPct, "%", sheet)).Keyed(name("dose"))
	ρr := working.Constant("ρr", "density of "+r.Name, r.DensityKGPerL, "kg/l", sheet)
	ρc := working.Constant("ρc", "density of catalyst", r.CatalystGPerML, "g/ml", sheet).Noting("sheets run from 1.08 to 1.18: read yours")
	litres := working.Calc("V", "resin in the bucket", kg/r.DensityKGPerL, "l", "V = m/ρr", plainMath, m, ρr).Keyed(name("litres"))
	g := working.Calc("g", "catalyst", 10*kg*d.Pct, "g", "g = 1000·m·c/100", byMass, m, pct).Keyed(name("catalyst_g"))
	ml := working.Calc("v", "catalyst", g.Value/r.CatalystGPerML, "ml", "v = g/ρc", plainMath, g, ρc).Keyed(name("catalyst_ml")).
		Noting("10 ml for each kg is often called 1 %; by mass it is about a tenth more")
	return Charge{ResinKG: kg, ResinL: litres.Value, CatalystG: g.Value, CatalystML: ml.Value, DosePct: d.Pct,
		DoseVolPct: d.Pct * r.DensityKGPerL / r.CatalystGPerML, Figures: []*working.Figure{m, litres, pct, g, ml}}, nil
}
