package drainage

import (
	"fmt"
	"math"

	"gelwright/elementary"
	"gelwright/working"
)

func en(clause string) working.Source {
	return working.Source{Title: "EN 12056-3:2000", Clause: clause, Standing: working.Remembered}
}

// runoff is the design flow of a catchment, l/s: Q = r·A·C with C = 1, plus half the area of
// walls that rise above it and shed driven rain on to it.
func runoff(c Catchment, rain *working.Figure) *working.Figure {
	const falls = "outline and falls of the deck"
	wall := working.Measured("Aw", "wall above", c.WallM2, "m²", falls)
	if c.WallWhy != "" {
		wall = working.AssumedFigure("Aw", "wall above", c.WallM2, "m²", c.WallWhy)
	}
	area := drainedArea.Figure("area that drains, "+c.Name, "m²", en("4.3"), working.Measured("Ap", "plan area", c.AreaM2, "m²", falls), wall)
	published := working.Source{Title: "EN 12056-3:2000", Clause: "4.2", Standing: working.Quoted}
	return runoffFlow.Figure("flow, "+c.Name, "l/s", published, rain, area,
		working.Constant("C", "run-off coefficient of a roof", 1, "", published))
}

// The formulas of EN 12056-3 for what comes and what is carried away, mm and l/s.
var (
	drainedArea      = working.MustFormula("A = Ap + ½·Aw")
	runoffFlow       = working.MustFormula("Q = r·A·C")
	halfCircle       = working.MustFormula("AE = π·w²/8")
	boxSection       = working.MustFormula("AE = w·d")
	halfRound        = working.MustFormula("QL = 0.9·2.78·10⁻⁵·AE^1.25")
	boxGutter        = working.MustFormula("QL = 0.9·3.48·10⁻⁵·AE^1.25")
	longGutter       = working.MustFormula("Qc = QL·fL")
	gutterLength     = working.Method("fL", "between the lines of table 6 at length over depth: 50 1, 100 0.93, 150 0.86, 200 0.80")
	outlets          = working.MustFormula("Qc = Σ (D·h^1.5/7500 where h ≤ D/2, else D²·√h/15000)")
	outletsAsOrdered = working.MustFormula("Qc = kg·(Σ (D·h^1.5/7500 where h ≤ D/2, else D²·√h/15000))")
	downpipes        = working.MustFormula("Qc = 2.5·10⁻⁴·kb^(−1/6)·d^(8/3)·f^(5/3)·max(1, n)")
	standing         = working.MustFormula("d = h + s + 1000·(Q/1000/(⅔·Cd·b/1000·√(2·9.81)))^⅔")
	othersLevel      = working.Method("d",
		"the level at which the other outlets, each under its own head, carry Q, and no lower than the saddle on the way to them")
	capacityShare = working.MustFormula("u = Q/min(Qc)")
	finishedFall  = working.MustFormula("s = 100·(1/n − 4·δ/1000/L)")
	drawnFall     = working.MustFormula("s = 100/n")
)

// gutterCapacity is that of the catchment's level gutter, and its length factor in it.
func (c Catchment) gutterCapacity() *working.Figure {
	w := working.Measured("w", "width of the gutter", c.GutterWidthMM, "mm", "roof file")
	depth, flow := w.As("d"), (*working.Figure)(nil)
	if c.GutterDepthMM > 0 {
		depth = working.Measured("d", "depth of the gutter", c.GutterDepthMM, "mm", "roof file")
		flow = boxGutter.Figure("capacity of a short gutter", "l/s", en("5.1.3"),
			boxSection.Figure("section of the gutter", "mm²", en("5.1.3"), w, depth))
	} else {
		flow = halfRound.Figure("capacity of a short gutter", "l/s", en("5.1.2"),
			halfCircle.Figure("section of the gutter", "mm²", en("5.1.2"), w))
	}
	long := gutterLength.Of("length factor of the gutter", "", en("5.1.6, table 6"), func(in []float64) float64 {
		if c.GutterDepthMM > 0 {
			return LengthFactor(1000 * in[0] / in[1])
		}
		return LengthFactor(1000 * in[0] / (in[1] / 2)) // a half-round is half as deep as wide
	}, working.Measured("L", "length of the gutter", c.GutterLengthM, "m", "roof file"), depth)
	return longGutter.Figure("capacity of the gutter", "l/s", en("5.1"), flow, long)
}

// outletCapacity is that of all outlets under one head.
func (c Catchment) outletCapacity(name string) *working.Figure {
	in := []*working.Figure{working.Constant("h", "head over an outlet in its test", headMM, "mm",
		working.Source{Title: "EN 1253-2", Clause: "test of flat-roof outlets", Standing: working.Remembered})}
	for i, d := range c.OutletsMM {
		in = append(in, working.Measured("D", fmt.Sprintf("diameter of outlet %d", i+1), d, "mm", "outlets of the deck"))
	}
	if c.Guarded {
		return outletsAsOrdered.Figure(name, "l/s", en("5.4, 5.5"), append(in, guard())...)
	}
	return outlets.Figure(name, "l/s", en("5.4, 5.5"), in...)
}

// guardFactor is what a leaf guard leaves of an outlet's capacity (EN 12056-3, from memory).
const guardFactor = 0.5

func guard() *working.Figure {
	return working.Constant("kg", "what a leaf guard leaves of an outlet's capacity", guardFactor, "", en("outlets with strainers"))
}

// carries is what one outlet of the catchment carries under a head, l/s.
func (c Catchment) carries(diameterMM, headMM float64) float64 {
	if c.Guarded {
		return guardFactor * Outlet(diameterMM, headMM)
	}
	return Outlet(diameterMM, headMM)
}

// pipeCapacity is that of all downpipes at the filling that the standard allows.
func (c Catchment) pipeCapacity(name string) *working.Figure {
	pipe := working.Measured("d", "inside diameter of a pipe", c.PipeMM, "mm", "roof file")
	if c.PipeWhy != "" {
		pipe = working.AssumedFigure("d", "inside diameter of a pipe", c.PipeMM, "mm", c.PipeWhy)
	}
	return downpipes.Figure(name, "l/s", en("6, Wyly–Eaton"), pipe,
		working.Constant("kb", "roughness of the pipe", pipeRoughMM, "mm", en("6")),
		working.Constant("f", "filling of a pipe", DownpipeFill, "", en("6")),
		working.Measured("n", "outlets, each with its pipe", float64(len(c.OutletsMM)), "", "roof file"))
}

// HalfRound returns the capacity of a level half-round eaves gutter, l/s:
// QL = 0.9·2.78e−5·A^1.25 with A the full half circle, mm².
func HalfRound(widthMM float64) float64 {
	a := math.Pi * widthMM * widthMM / 8
	return 0.9 * 2.78e-5 * elementary.Pow(a, 1.25)
}

// Rectangular returns the capacity of a level rectangular or box gutter, l/s, before
// depth and shape factors: QL = 0.9·3.48e−5·A^1.25.
func Rectangular(widthMM, depthMM float64) float64 {
	return 0.9 * 3.48e-5 * elementary.Pow(widthMM*depthMM, 1.25)
}

// LengthFactor reduces the capacity of a long gutter, length over depth above 50.
func LengthFactor(lengthOverDepth float64) float64 {
	x := []float64{50, 100, 150, 200}
	y := []float64{1, 0.93, 0.86, 0.80}
	if lengthOverDepth <= 50 {
		return 1
	}
	for i := 1; i < len(x); i++ {
		if lengthOverDepth <= x[i] {
			return y[i-1] + (y[i]-y[i-1])*(lengthOverDepth-x[i-1])/(x[i]-x[i-1])
		}
	}
	return y[len(y)-1]
}

// Outlet returns the capacity of a flat-roof outlet of diameter d mm under a head of
// h mm, l/s: as a weir while h ≤ D/2, as an orifice above.
func Outlet(diameterMM, headMM float64) float64 {
	if headMM <= diameterMM/2 {
		return diameterMM * elementary.Pow(headMM, 1.5) / 7500
	}
	return diameterMM * diameterMM * math.Sqrt(headMM) / 15000
}

// pipeRoughMM is the roughness kb of a rainwater pipe, mm.
const pipeRoughMM = 0.25

// DownpipeFill is the filling EN 12056-3 allows a rainwater pipe.
const DownpipeFill = 0.33

// weirCd is the discharge coefficient of a sharp-edged weir.
const weirCd = 0.6

// SlotHead returns the head, mm, at which a rectangular overflow of width mm through
// an edge carries flow l/s: a sharp-edged weir with Cd 0.6.
func SlotHead(widthMM, flow float64) (float64, error) {
	if !(widthMM > 0) {
		return 0, fmt.Errorf("overflow width %g mm must be above zero", widthMM)
	}
	// Q = (2/3)·Cd·b·√(2g)·h^1.5 in SI.
	q := flow / 1000
	b := widthMM / 1000
	return 1000 * elementary.Pow(q/(2.0/3*weirCd*b*math.Sqrt(2*9.81)), 2.0/3), nil
}
