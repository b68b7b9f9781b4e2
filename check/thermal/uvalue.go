package thermal

import (
	"fmt"
	"slices"

	"gelwright/working"
)

// Surface resistances for heat flowing up, and outside (ISO 6946 table 7).
const (
	RsiUp = 0.10
	Rse   = 0.04
)

func iso(clause string) working.Source {
	return working.Source{Title: "ISO 6946", Clause: clause, Standing: working.Remembered}
}

// Layer is one layer of the roof, inside first.
type Layer struct {
	Name        string
	ThicknessMM float64
	// LambdaWPerMK of the layer; 0 when ResistanceM2KPerW is given (an air space).
	LambdaWPerMK      float64
	ResistanceM2KPerW float64
	// Bridge is what interrupts the layer (joists), over BridgeFraction of the area.
	BridgeLambda   float64
	BridgeFraction float64
	Standing       working.Standing
	// LambdaFrom is where the conductivity was written; empty for a value of the standard.
	LambdaFrom working.Source
	// Usual says that the thickness is the usual one and that nobody gave it; Worked is the
	// thickness where it was worked out of something else.
	Usual  bool
	Worked *working.Figure
	// Field of the roof file that holds the thickness, empty for none; From knows whether
	// somebody wrote it there.
	Field string
	From  working.Giver
	// Main marks the insulation that fasteners pierce and tapers replace.
	Main bool
}

// Resistance returns the thermal resistance of the layer without its bridges, m²K/W, and
// Thickness its thickness, mm, as figures.
func (l Layer) Resistance() *working.Figure { return l.resistance() }

// Thickness is the layer's thickness, mm.
func (l Layer) Thickness() *working.Figure { return l.thickness() }

// UnventilatedAir returns the resistance of a still air layer under upward heat
// flow, m²K/W, by its depth in mm (ISO 6946 table 8, both faces dull; from 15 to 300 mm
// it is the same).
func UnventilatedAir(depthMM float64) float64 {
	depth := []float64{0, 5, 7, 10, 15}
	value := []float64{0, 0.11, 0.13, 0.15, 0.16}
	for i := 1; i < len(depth); i++ {
		if depthMM <= depth[i] {
			t := (depthMM - depth[i-1]) / (depth[i] - depth[i-1])
			return value[i-1] + t*(value[i]-value[i-1])
		}
	}
	return 0.16
}

// Fasteners pierce the main insulation.
type Fasteners struct {
	PerM2        float64
	DiameterMM   float64
	LambdaWPerMK float64 // 50 steel, 17 stainless
	// RecessMM is how far the head is sunk below the top of the insulation.
	RecessMM float64
}

// Build is everything that decides the U-value.
type Build struct {
	Layers []Layer
	// Rsi and Rse; zero takes upward flow and the outside value.
	Rsi, Rse  float64
	Fasteners Fasteners
	// AirGapLevel 0, 1 or 2 of ISO 6946 annex F.
	AirGapLevel int
	// RainMMPerDay, RainFactor fx for an inverted roof; 0 otherwise.
	RainMMPerDay, RainFactor float64
}

// Answer is the U-value with its parts.
type Answer struct {
	UpperR, LowerR, R float64
	ErrorPct          float64
	U                 float64 // before corrections
	Fasteners, Gaps   float64
	Rain              float64
	Corrected         float64
	Figure            *working.Figure
}

// Solve returns the U-value by the combined method of ISO 6946: the mean of the
// upper limit (sections side by side) and the lower limit (planes at one
// temperature), plus corrections for air gaps, fasteners and, on an inverted roof,
// rain. Corrections below 3 % together are left out.
func (b Build) Solve() (Answer, error) {
	if len(b.Layers) == 0 {
		return Answer{}, fmt.Errorf("the roof has no layers")
	}
	rsi, rse := orDefault(b.Rsi, RsiUp), orDefault(b.Rse, Rse)
	for _, l := range b.Layers {
		switch {
		case l.LambdaWPerMK < 0 || l.ThicknessMM < 0 || (l.LambdaWPerMK == 0 && l.ResistanceM2KPerW <= 0):
			return Answer{}, fmt.Errorf("layer %q needs a conductivity above zero, or a resistance", l.Name)
		case l.BridgeFraction < 0 || l.BridgeFraction >= 1:
			return Answer{}, fmt.Errorf("layer %q: bridged fraction %g is outside 0 to 1", l.Name, l.BridgeFraction)
		case l.BridgeFraction > 0 && !(l.BridgeLambda > 0):
			return Answer{}, fmt.Errorf("layer %q is bridged by something without a conductivity", l.Name)
		}
	}
	if b.AirGapLevel < 0 || b.AirGapLevel > 2 {
		return Answer{}, fmt.Errorf("air gap level %d is not 0, 1 or 2", b.AirGapLevel)
	}
	a := Answer{}
	total := b.total(&a, rsi, rse)
	if a.UpperR/a.LowerR > 1.5 {
		return a, fmt.Errorf(
			"the bridges are too strong for the combined method (upper over lower limit %.2f, at most 1.5): a computed field is needed",
			a.UpperR/a.LowerR)
	}
	a.Figure = b.corrected(&a, total)
	return a, nil
}

// The formulas of ISO 6946: layers, the combined method for a roof with joists, and the
// corrections of annex F. Joists run through all bridged layers, so there are two
// sections side by side.
var (
	layerR         = working.MustFormula("R = d/1000/λ")
	wholeR         = working.MustFormula("RT = Rsi + Rse + Σ R")
	clearSection   = working.MustFormula("Ra = Rsi + Rse + Σ R")
	throughSection = working.MustFormula("Rb = Rsi + Rse + Σ R")
	upperLimit     = working.MustFormula("R′T = 1/((1 − max(f))/Ra + max(f)/Rb)")
	planeR         = working.MustFormula("R = 1/((1 − f)/Rc + f/Rj)")
	lowerLimit     = working.MustFormula("R″T = Rsi + Rse + Σ R")
	meanR          = working.MustFormula("RT = (R′T + R″T)/2")
	plainU         = working.MustFormula("U0 = 1/RT")
	mainR          = working.MustFormula("R1 = Σ R")
	mainThickness  = working.MustFormula("d0 = Σ d/1000")
	screwedDepth   = working.MustFormula("d1 = d0 − r/1000")
	screwAlpha     = working.MustFormula("α = 0.8·d1/d0")
	screwedR       = working.MustFormula("Rp = R1·d1/d0")
	screwArea      = working.MustFormula("Af = π·df²/4/10⁶")
	screwLoss      = working.MustFormula("ΔUf = α·λf·Af·nf/d0·(Rp/RT)²")
	gapLoss        = working.MustFormula("ΔUg = ΔU″·(R1/RT)²")
	rainLoss       = working.MustFormula("ΔUr = p·fx·(R1/RT)²")
	sumOfLosses    = working.MustFormula("ΔU = Σ ΔUi")
	correctedU     = working.MustFormula("U = U0 + ΔU where ΔU ≥ 0.03·U0, else U0")
	uncorrectedU   = working.MustFormula("U = U0")
)

// resistance is that of a layer without its bridges, down to thickness and conductivity.
func (l Layer) resistance() *working.Figure {
	standing := l.Standing
	if standing == "" {
		standing = working.Remembered
	}
	if !(l.LambdaWPerMK > 0) {
		return working.Constant("R", "resistance of "+l.Name, l.ResistanceM2KPerW, "m²K/W",
			working.Source{Title: "ISO 6946", Clause: "6.7, table 8", Standing: standing})
	}
	from := l.LambdaFrom
	if from == (working.Source{}) {
		from = working.Source{Title: "EN ISO 10456", Standing: standing}
	}
	return layerR.Figure("resistance of "+l.Name, "m²K/W", iso("6.7"), l.thickness(),
		working.Constant("λ", "conductivity of "+l.Name, l.LambdaWPerMK, "W/mK", from))
}

func (l Layer) thickness() *working.Figure {
	if l.Worked != nil && l.Worked.Value == l.ThicknessMM {
		return l.Worked.As("d")
	}
	if l.Usual {
		return working.AssumedFigure("d", "thickness of "+l.Name, l.ThicknessMM, "mm", "the usual build-up; the roof file does not say")
	}
	if l.Field == "" {
		return working.Measured("d", "thickness of "+l.Name, l.ThicknessMM, "mm", "build-up of the deck")
	}
	return working.From(l.From, "d", "thickness of "+l.Name, l.ThicknessMM, "mm", l.Field)
}

// total is the resistance of the roof from air to air; it fills the limits into a.
func (b Build) total(a *Answer, rsi, rse float64) *working.Figure {
	surfaces := []*working.Figure{working.Constant("Rsi", "inner surface resistance, heat flowing up", rsi, "m²K/W", iso("table 7")),
		working.Constant("Rse", "outer surface resistance", rse, "m²K/W", iso("table 7"))}
	clear, through, planes := slices.Clone(surfaces), slices.Clone(surfaces), slices.Clone(surfaces)
	var fractions []*working.Figure
	for _, l := range b.Layers {
		r := l.resistance()
		clear = append(clear, r)
		if l.BridgeFraction == 0 {
			through, planes = append(through, r), append(planes, r)
			continue
		}
		f := working.Measured("f", "part of "+l.Name+" that is bridged", l.BridgeFraction, "", "set-out of the joists")
		rb := layerR.Figure("resistance of what bridges "+l.Name, "m²K/W", iso("6.7"), l.thickness(),
			working.Constant("λ", "conductivity of what bridges "+l.Name, l.BridgeLambda, "W/mK",
				working.Source{Title: "EN ISO 10456", Standing: working.Remembered}))
		fractions, through = append(fractions, f), append(through, rb)
		planes = append(planes, planeR.Figure("resistance of "+l.Name+" with its bridges", "m²K/W", iso("6.7.2.4"), f, r.As("Rc"), rb.As("Rj")))
	}
	if len(fractions) == 0 {
		r := wholeR.Figure("total resistance", "m²K/W", iso("6.7.1"), clear...)
		a.UpperR, a.LowerR, a.R = r.Value, r.Value, r.Value
		return r
	}
	upper := upperLimit.Figure("upper limit", "m²K/W", iso("6.7.2.3"),
		append(fractions, clearSection.Figure("resistance between the joists", "m²K/W", iso("6.7.2.3"), clear...),
			throughSection.Figure("resistance through a joist", "m²K/W", iso("6.7.2.3"), through...))...)
	lower := lowerLimit.Figure("lower limit", "m²K/W", iso("6.7.2.4"), planes...)
	r := meanR.Figure("total resistance", "m²K/W", iso("6.7.2"), upper, lower)
	a.UpperR, a.LowerR, a.R = upper.Value, lower.Value, r.Value
	a.ErrorPct = (a.UpperR - a.LowerR) / (2 * a.R) * 100
	return r.Noting(fmt.Sprintf("greatest relative error %.1f %%", a.ErrorPct))
}

// corrected is the U-value with what screws, gaps and rain add; it fills them into a.
func (b Build) corrected(a *Answer, total *working.Figure) *working.Figure {
	plain := plainU.Figure("U-value before corrections", "W/m²K", iso("6.5"), total)
	a.U = plain.Value
	var main, depths, losses []*working.Figure
	for _, l := range b.Layers {
		if l.Main {
			main, depths = append(main, l.resistance()), append(depths, l.thickness())
		}
	}
	r1 := mainR.Figure("resistance of the insulation", "m²K/W", iso("annex F"), main...)
	if f := b.Fasteners; f.PerM2 > 0 && f.LambdaWPerMK >= 1 && len(main) > 0 {
		if d0 := mainThickness.Figure("thickness of the insulation", "m", iso("annex F.3"), depths...); d0.Value > 0 {
			loss := f.loss(total, r1, d0)
			a.Fasteners, losses = loss.Value, append(losses, loss)
		}
	}
	if gap := []float64{0, 0.01, 0.04}[b.AirGapLevel]; gap > 0 && len(main) > 0 {
		loss := gapLoss.Figure("air gaps", "W/m²K", iso("annex F.2"), total, r1,
			working.Constant("ΔU″", "loss by gaps of this kind", gap, "W/m²K", iso("table F.1")))
		a.Gaps, losses = loss.Value, append(losses, loss)
	}
	if b.RainMMPerDay*b.RainFactor > 0 && len(main) > 0 {
		loss := rainLoss.Figure("rain under the inverted insulation", "W/m²K", iso("annex F.4"), total, r1,
			working.Constant("p", "rain of the heating season", b.RainMMPerDay, "mm/day", iso("annex F.4")),
			working.Constant("fx", "part that runs under the insulation, with its cooling", b.RainFactor, "W·day/(m²K·mm)", iso("annex F.4")))
		a.Rain, losses = loss.Value, append(losses, loss)
	}
	u := uncorrectedU.Figure("U-value", "W/m²K", iso("6.5"), plain)
	if len(losses) > 0 {
		for i, l := range losses {
			losses[i] = l.As("ΔUi")
		}
		u = correctedU.Figure("U-value", "W/m²K", iso("6.5, annex F"), plain,
			sumOfLosses.Figure("corrections together", "W/m²K", iso("annex F"), losses...)).
			Noting("corrections below 3 % are left out")
	}
	a.Corrected = u.Value
	return u.Keyed("check.thermal.u")
}

// loss is what fasteners through insulation of resistance r1 and thickness d0 let through.
func (f Fasteners) loss(total, r1, d0 *working.Figure) *working.Figure {
	source := iso("annex F.3")
	d1 := screwedDepth.Figure("length of a fastener in the insulation", "m", source, d0,
		working.Constant("r", "head below the top of the insulation", f.RecessMM, "mm",
			working.Source{Title: "fastener as specified", Standing: working.Derived}))
	return screwLoss.Figure("fasteners through the insulation", "W/m²K", source, total,
		screwAlpha.Figure("coefficient of fasteners", "", source, d1, d0),
		working.Constant("λf", "conductivity of a fastener", f.LambdaWPerMK, "W/mK",
			working.Source{Title: "EN ISO 10456", Standing: working.Remembered}),
		screwArea.Figure("section of a fastener", "m²", source, working.Constant("df", "diameter of a fastener", f.DiameterMM, "mm",
			working.Source{Title: "fastener as specified", Standing: working.Derived})),
		working.Measured("nf", "fasteners", f.PerM2, "per m²", "screws set out over the area"), d0,
		screwedR.Figure("resistance that is pierced", "m²K/W", source, r1, d1, d0))
}

func orDefault(v, d float64) float64 {
	if v == 0 {
		return d
	}
	return v
}

// The search for a thickness, mm: up to the most, until no more than the tolerance is open.
const (
	mostThicknessMM      = 600.0
	thicknessToleranceMM = 0.01
)

// ThicknessFor returns the thickness, mm, that the main layer needs so that the
// corrected U-value meets target, by bisection; it returns an error when none up to
// 600 mm does.
func (b Build) ThicknessFor(target float64) (float64, error) {
	at := func(mm float64) (float64, error) {
		c := b
		c.Layers = append([]Layer(nil), b.Layers...)
		for i := range c.Layers {
			if c.Layers[i].Main {
				c.Layers[i].ThicknessMM = mm
			}
		}
		a, err := c.Solve()
		return a.Corrected, err
	}
	low, high := 1.0, mostThicknessMM
	u, err := at(high)
	if err != nil {
		return 0, err
	}
	if u > target {
		return 0, fmt.Errorf(
			"no thickness up to 600 mm reaches %.2f W/m²K with this build-up: a better insulation, or another layer of it, is needed", target)
	}
	for high-low > thicknessToleranceMM {
		mid := (low + high) / 2
		u, err := at(mid)
		if err != nil {
			return 0, err
		}
		if u <= target {
			high = mid
		} else {
			low = mid
		}
	}
	return high, nil
}
