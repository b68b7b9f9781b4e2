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

// Runoff returns the design flow of a catchment, l/s: Q = r·A·C with C = 1, plus half
// the area of walls that rise above it and shed driven rain on to it.
func Runoff(name string, areaM2, wallM2 float64, rain *working.Figure) *working.Figure {
	return runoff(Catchment{Name: name, AreaM2: areaM2, WallM2: wallM2}, rain)
}

func runoff(c Catchment, rain *working.Figure) *working.Figure {
	effective := c.AreaM2 + c.WallM2/2
	falls := working.Source{Title: "outline and falls of the deck", Standing: working.Derived}
	wall := working.Calc("Aw", "wall above", c.WallM2, "m²", "Aw = Σ length·rise", falls)
	if c.WallWhy != "" {
		wall = working.AssumedFigure("Aw", "wall above", c.WallM2, "m²", c.WallWhy)
	}
	area := working.Calc("A", "area that drains, "+c.Name, effective, "m²", "A = plan + ½·wall", en("4.3"),
		working.Calc("Ap", "plan area", c.AreaM2, "m²", "Ap = Σ planes that lead there", falls), wall)
	return working.Calc("Q", "flow, "+c.Name, rain.Value*effective, "l/s", "Q = r·A·C, C = 1", working.Source{Title: "EN 12056-3:2000", Clause: "4.2", Standing: working.Published}, rain, area)
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

// mostHeadMM ends the search for a head.
const mostHeadMM = 1000.0

// HeadFor returns the head, mm, at which an outlet carries flow l/s.
func HeadFor(diameterMM, flow float64) float64 {
	low, high := 0.0, mostHeadMM
	for high-low > 1e-6 {
		mid := (low + high) / 2
		if Outlet(diameterMM, mid) < flow {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// Downpipe returns the capacity of a vertical rainwater pipe of inside diameter d mm
// filled to fraction f, l/s (Wyly–Eaton): Q = 2.5e−4·kb^(−1/6)·d^(8/3)·f^(5/3), kb 0.25 mm.
func Downpipe(diameterMM, filled float64) float64 {
	return 2.5e-4 * elementary.Pow(0.25, -1.0/6) * elementary.Pow(diameterMM, 8.0/3) * elementary.Pow(filled, 5.0/3)
}

// DownpipeFill is the filling EN 12056-3 allows a rainwater pipe.
const DownpipeFill = 0.33

// SlotHead returns the head, mm, at which a rectangular overflow of width mm through
// an edge carries flow l/s: a sharp-edged weir with Cd 0.6.
func SlotHead(widthMM, flow float64) (float64, error) {
	if !(widthMM > 0) {
		return 0, fmt.Errorf("overflow width %g mm must be above zero", widthMM)
	}
	// Q = (2/3)·Cd·b·√(2g)·h^1.5 in SI.
	q := flow / 1000
	b := widthMM / 1000
	return 1000 * elementary.Pow(q/(2.0/3*0.6*b*math.Sqrt(2*9.81)), 2.0/3), nil
}
