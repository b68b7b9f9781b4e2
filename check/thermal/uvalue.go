package thermal

import (
	"fmt"
	"math"

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
	// Usual says that the thickness is the usual one and that nobody gave it.
	Usual bool
	// Main marks the insulation that fasteners pierce and tapers replace.
	Main bool
}

// Resistance returns the thermal resistance of the layer without its bridges, m²K/W.
func (l Layer) Resistance() float64 {
	if l.LambdaWPerMK > 0 {
		return l.ThicknessMM / 1000 / l.LambdaWPerMK
	}
	return l.ResistanceM2KPerW
}

func (l Layer) bridgeResistance() float64 { return l.ThicknessMM / 1000 / l.BridgeLambda }

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
	var a Answer
	// Sections: every combination of clear and bridged layers that share one bridge.
	// Joists run through all bridged layers, so there are two sections.
	fraction, clear, through, planes := 0.0, rsi+rse, rsi+rse, rsi+rse
	for _, l := range b.Layers {
		r := l.Resistance()
		clear += r
		if l.BridgeFraction > 0 {
			fraction = math.Max(fraction, l.BridgeFraction)
			rb := l.bridgeResistance()
			through += rb
			planes += 1 / ((1-l.BridgeFraction)/r + l.BridgeFraction/rb)
		} else {
			through += r
			planes += r
		}
	}
	a.UpperR = 1 / ((1-fraction)/clear + fraction/through)
	a.LowerR = planes
	a.R = (a.UpperR + a.LowerR) / 2
	a.ErrorPct = (a.UpperR - a.LowerR) / (2 * a.R) * 100
	if a.UpperR/a.LowerR > 1.5 {
		return a, fmt.Errorf("the bridges are too strong for the combined method (upper over lower limit %.2f, at most 1.5): a computed field is needed", a.UpperR/a.LowerR)
	}
	a.U = 1 / a.R
	r1, d0 := b.mainResistance()
	if f := b.Fasteners; f.PerM2 > 0 && f.LambdaWPerMK >= 1 && d0 > 0 {
		area := math.Pi * f.DiameterMM * f.DiameterMM / 4 / 1e6
		d1 := d0 - f.RecessMM/1000
		alpha := 0.8 * d1 / d0
		pierced := r1 * d1 / d0
		a.Fasteners = alpha * f.LambdaWPerMK * area * f.PerM2 / d0 * (pierced / a.R) * (pierced / a.R)
	}
	gap := []float64{0, 0.01, 0.04}
	if b.AirGapLevel < 0 || b.AirGapLevel > 2 {
		return a, fmt.Errorf("air gap level %d is not 0, 1 or 2", b.AirGapLevel)
	}
	a.Gaps = gap[b.AirGapLevel] * (r1 / a.R) * (r1 / a.R)
	a.Rain = b.RainMMPerDay * b.RainFactor * (r1 / a.R) * (r1 / a.R)
	sum := a.Fasteners + a.Gaps + a.Rain
	a.Corrected = a.U
	if sum >= 0.03*a.U {
		a.Corrected += sum
	}
	a.Figure = b.figure(a, rsi, rse)
	return a, nil
}

func (b Build) mainResistance() (r1, thicknessM float64) {
	for _, l := range b.Layers {
		if l.Main {
			r1 += l.Resistance()
			thicknessM += l.ThicknessMM / 1000
		}
	}
	return r1, thicknessM
}

func (b Build) figure(a Answer, rsi, rse float64) *working.Figure {
	inputs := []*working.Figure{working.Constant("Rsi", "inner surface resistance, heat flowing up", rsi, "m²K/W", iso("table 7"))}
	for _, l := range b.Layers {
		standing := l.Standing
		if standing == "" {
			standing = working.Remembered
		}
		note := ""
		if l.BridgeFraction > 0 {
			note = fmt.Sprintf("bridged over %.1f %% by a material of %.2f W/mK", 100*l.BridgeFraction, l.BridgeLambda)
		}
		in := []*working.Figure{}
		formula := ""
		if l.LambdaWPerMK > 0 {
			formula = "R = d/λ"
			d := working.GivenFigure("d", "thickness of "+l.Name, l.ThicknessMM, "mm", "specification")
			if l.Usual {
				d = working.AssumedFigure("d", "thickness of "+l.Name, l.ThicknessMM, "mm", "the usual build-up; the roof file does not say")
			}
			in = append(in, d,
				working.Constant("λ", "conductivity of "+l.Name, l.LambdaWPerMK, "W/mK", working.Source{Title: "EN ISO 10456 or the supplier's declared value", Standing: standing}))
		}
		inputs = append(inputs, working.Calc("R", "resistance of "+l.Name, l.Resistance(), "m²K/W", formula, iso("6.7"), in...).Noting(note))
	}
	inputs = append(inputs, working.Constant("Rse", "outer surface resistance", rse, "m²K/W", iso("table 7")))
	upper := working.Calc("R′T", "upper limit", a.UpperR, "m²K/W", "1/R′T = Σ fm/RTm", iso("6.7.2"), inputs...)
	lower := working.Calc("R″T", "lower limit", a.LowerR, "m²K/W", "R″T = Rsi + Σ 1/(Σ fm/Rmj) + Rse", iso("6.7.2"), inputs...)
	total := working.Calc("RT", "total resistance", a.R, "m²K/W", "RT = (R′T + R″T)/2", iso("6.7.2"), upper, lower).
		Noting(fmt.Sprintf("greatest relative error %.1f %%", a.ErrorPct))
	plain := working.Calc("U0", "U-value before corrections", a.U, "W/m²K", "U0 = 1/RT", iso("6.5"), total)
	corrections := []*working.Figure{plain}
	if a.Fasteners > 0 {
		corrections = append(corrections, working.Calc("ΔUf", "fasteners through the insulation", a.Fasteners, "W/m²K", "ΔUf = α·λf·Af·nf/d0·(R1/RT)²", iso("annex F.3"), total,
			working.Calc("nf", "fasteners", b.Fasteners.PerM2, "per m²", "screws set out over the area", working.Source{Title: "set-out", Standing: working.Derived})))
	}
	if a.Gaps > 0 {
		corrections = append(corrections, working.Calc("ΔUg", "air gaps", a.Gaps, "W/m²K", "ΔUg = ΔU″·(R1/RT)²", iso("annex F.2"), total))
	}
	if a.Rain > 0 {
		corrections = append(corrections, working.Calc("ΔUr", "rain under the inverted insulation", a.Rain, "W/m²K", "ΔUr = p·f·x·(R1/RT)²", iso("annex F.4"), total))
	}
	return working.Calc("U", "U-value", a.Corrected, "W/m²K", "U = U0 + ΔU, corrections below 3 % left out", iso("6.5, annex F"), corrections...).Keyed("check.thermal.u")
}

func orDefault(v, d float64) float64 {
	if v == 0 {
		return d
	}
	return v
}

// TaperRectangle returns the U-value of a rectangle whose insulation tapers one way
// (ISO 6946 annex E): r0 is everything else, r1 the extra at the thick end.
func TaperRectangle(r0, r1 float64) float64 {
	if r1 == 0 {
		return 1 / r0
	}
	return math.Log(1+r1/r0) / r1
}

// TaperTriangleThickApex is for a triangle thickest at its apex, the other corners at r0.
func TaperTriangleThickApex(r0, r1 float64) float64 {
	if r1 == 0 {
		return 1 / r0
	}
	return 2 / r1 * ((1+r0/r1)*math.Log(1+r1/r0) - 1)
}

// TaperTriangleThinApex is for a triangle thinnest at its apex, the other corners at r0 + r1.
func TaperTriangleThinApex(r0, r1 float64) float64 {
	if r1 == 0 {
		return 1 / r0
	}
	return 2 / r1 * (1 - r0/r1*math.Log(1+r1/r0))
}

// TaperTriangle is for corners at r0, r0 + r1 and r0 + r2, all different.
func TaperTriangle(r0, r1, r2 float64) float64 {
	return 2 * (r0*r1*math.Log(1+r2/r0) - r0*r2*math.Log(1+r1/r0) + r1*r2*math.Log((r0+r2)/(r0+r1))) / (r1 * r2 * (r2 - r1))
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
		return 0, fmt.Errorf("no thickness up to 600 mm reaches %.2f W/m²K with this build-up: use fewer or stainless fasteners, or a better insulation", target)
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
