package drainage

import (
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/working"
)

// Catchment is a part of the roof with where its water goes.
type Catchment struct {
	Name   string
	AreaM2 float64
	// WallM2 of wall that sheds rain on it.
	WallM2 float64
	// Enclosed is true for a box gutter or a roof within upstands, false for an eaves gutter.
	Enclosed bool
	// GutterWidthMM and GutterDepthMM; depth 0 is half-round; width 0 is not given.
	GutterWidthMM, GutterDepthMM, GutterLengthM float64
	// Outlets in or under it: diameter mm. Guarded ones have a leaf guard.
	OutletsMM []float64
	Guarded   bool
	// PipeMM inside diameter of each downpipe, 0 not given; PipeWhy says on what it rests
	// where the file does not give it.
	PipeMM  float64
	PipeWhy string
	// OverflowMM is the width of overflows; OverflowSillMM their sill above the outlet.
	OverflowMM, OverflowSillMM float64
	// BrimMM is the height at which water gets over the lowest upstand or threshold, Brim the
	// same as a figure, nil where nothing lies behind it.
	BrimMM float64
	Brim   *working.Figure
	// LevelsMM are the outlets' heights and BrimMM and the sill's outlet, all above the
	// lowest point of the roof; nil is all outlets at the lowest point.
	LevelsMM []float64
	// SaddleMM is, outlet by outlet, what water must rise to with that outlet blocked before
	// it gets to another; nil is no saddle, infinity no way.
	SaddleMM []float64
	// StandsM2 of the roof reaches no drain, or only out of a pool too deep to leave.
	StandsM2 float64
	// WallWhy says on what WallM2 rests where it is not measured.
	WallWhy string
	// LowestFall n of 1:n anywhere on it, before and after deflection; valley included.
	Design, Finished float64
}

// rainFor returns the rainfall of a catchment or says that it is missing.
func rainFor(c Catchment, set country.Set) country.Value {
	if c.Enclosed {
		return set.RainEnclosed
	}
	return set.Rain
}

// headMM is the head over an outlet that a test of flat-roof outlets uses (EN 1253-2).
const headMM = 35

// rain is the rainfall to design for; where none is held EN 12056-3's own value stands in.
func (c Catchment) rain(set country.Set, r *check.Result) *working.Figure {
	rain := rainFor(c, set)
	if !rain.Known {
		// The Eurocode family gives no figure: 0.03 l/s·m² is EN 12056-3's own value where no statistics are held.
		r.Flags = append(r.Flags, rain.Missing(set.Name)+"; 0.03 l/s·m² is used meanwhile")
		return working.Constant("r", "rainfall where no statistics are held", 0.03, "l/s·m²", en("4.2, note"))
	}
	return rain.Figure("r")
}

// CheckCapacity returns the verdict on the flow and what carries it.
func CheckCapacity(c Catchment, set country.Set) check.Result {
	r := check.Result{Key: "drainage.capacity", Title: "Can the gutter, outlet and pipe carry the rain?", Where: c.Name, Clause: en("5, 6")}
	figure := c.rain(set, &r)
	if flag := rainFor(c, set).Flag(); rainFor(c, set).Known && flag != "" {
		r.Flags = append(r.Flags, flag)
	}
	q := runoff(c, figure).Keyed("check.drainage." + c.Name)
	r.Working = []*working.Figure{q}
	r.Finding = fmt.Sprintf("%.2f l/s from %.1f m²", q.Value, c.AreaM2)
	unknown := ""
	capacities := []*working.Figure{}
	consider := func(what string, capacity *working.Figure) {
		capacities = append(capacities, capacity)
		r.Finding += fmt.Sprintf("; %s carries %.2f", what, capacity.Value)
	}
	if c.GutterWidthMM > 0 {
		consider("gutter", c.gutterCapacity())
	} else if len(c.OutletsMM) == 0 {
		unknown = "gutter"
	}
	if len(c.OutletsMM) > 0 {
		what := fmt.Sprintf("outlet under %d mm of water", headMM)
		if c.Guarded {
			what = fmt.Sprintf("outlet with its leaf guard under %d mm of water", headMM)
		}
		consider(what, c.outletCapacity("capacity of the "+what))
	}
	if c.PipeMM > 0 {
		const what = "downpipe a third full"
		consider(what, c.pipeCapacity("capacity of the "+what))
	}
	if len(capacities) > 0 {
		use := capacityShare.Figure("use of what carries least, "+c.Name, "", en("5, 6"),
			append(capacities, q)...).Keyed("check.drainage.use." + c.Name)
		r.Working, r.Utilisation = append(r.Working, use), use.Value
	}
	switch {
	case r.Utilisation > 1:
		r.Verdict = check.Fail
		r.Remedies = c.remedies(q.Value)
	case unknown != "":
		r.Verdict = check.Ask
		r.Finding += fmt.Sprintf("; the %s is not given: %s", unknown, c.gutters(q.Value))
	default:
		r.Verdict = check.Pass
		if !rainFor(c, set).Known { // a pass on a rain that stands in
			r.Verdict = check.Caution
		}
	}
	return r
}

func (c Catchment) remedies(flow float64) []check.Remedy {
	var out []check.Remedy
	if n := len(c.OutletsMM); n > 0 {
		for _, d := range []float64{75, 100, 125, 150} {
			if float64(n)*c.carries(d, headMM) >= flow && d > c.OutletsMM[0] {
				out = append(out, check.Remedy{Text: fmt.Sprintf("make each outlet %.0f mm", d)})
				break
			}
		}
		need := int(math.Ceil(flow / c.carries(c.OutletsMM[0], headMM)))
		out = append(out, check.Remedy{Text: fmt.Sprintf("fit %d outlets of %.0f mm", need, c.OutletsMM[0])})
	}
	if c.GutterWidthMM > 0 {
		shape, capacity := "half-round", func(w float64) (q, depth float64) { return HalfRound(w), w / 2 }
		if c.GutterDepthMM > 0 {
			shape, capacity = "box", func(w float64) (q, depth float64) { return Rectangular(w, c.GutterDepthMM), c.GutterDepthMM }
		}
		if w, ok := gutterFor(flow, c.GutterLengthM, c.GutterWidthMM, capacity); ok {
			out = append(out, check.Remedy{Text: fmt.Sprintf("widen the %s gutter to %.0f mm", shape, w)})
		}
		if w, ok := gutterFor(flow/2, c.GutterLengthM/2, c.GutterWidthMM, capacity); ok {
			out = append(out, check.Remedy{Text: fmt.Sprintf("put its outlet midway, or one at each end: then %.0f mm does", w)})
		}
		if len(out) == 0 {
			out = append(out,
				check.Remedy{Text: fmt.Sprintf("more outlets: a run between outlets of this gutter carries %.2f l/s", flow/c.used(flow))})
		}
	}
	return out
}

// used is the gutter's flow over its capacity.
func (c Catchment) used(flow float64) float64 {
	capacity, depth := HalfRound(c.GutterWidthMM), c.GutterWidthMM/2
	if c.GutterDepthMM > 0 {
		capacity, depth = Rectangular(c.GutterWidthMM, c.GutterDepthMM), c.GutterDepthMM
	}
	return flow / (capacity * LengthFactor(1000*c.GutterLengthM/depth))
}

// widestMM ends the search for a gutter: nothing wider hangs on an eaves.
const widestMM = 300

// leastGutterMM is the least half-round gutter of the trade.
const leastGutterMM = 75

// mostOutlets ends the search for how many outlets a gutter needs.
const mostOutlets = 100

// gutterFor returns the least width, mm in steps of 5 from a least one, of a level gutter that carries
// flow l/s over a run of lengthM to its outlet, its length factor counted.
func gutterFor(flow, lengthM, leastMM float64, capacity func(widthMM float64) (q, depthMM float64)) (float64, bool) {
	for w := leastMM; w <= widestMM; w += 5 {
		if q, depth := capacity(w); q*LengthFactor(1000*lengthM/depth) >= flow {
			return w, true
		}
	}
	return 0, false
}

// gutters says which level half-round gutter carries a flow, by where its outlets are.
func (c Catchment) gutters(flow float64) string {
	half := func(w float64) (float64, float64) { return HalfRound(w), w / 2 }
	end, one := gutterFor(flow, c.GutterLengthM, leastGutterMM, half)
	mid, two := gutterFor(flow/2, c.GutterLengthM/2, leastGutterMM, half)
	run := ""
	if c.GutterLengthM > 0 {
		run = fmt.Sprintf(" over %.1f m", c.GutterLengthM)
	}
	switch {
	case one && end == mid:
		return fmt.Sprintf("a level half-round of %.0f mm or more carries it%s with an outlet at one end", end, run)
	case one:
		return fmt.Sprintf(
			"a level half-round of %.0f mm or more carries it%s with an outlet at one end, %.0f mm with an outlet midway or at both ends", end,
			run, mid)
	case two:
		return fmt.Sprintf("a level half-round of %.0f mm or more carries it%s with an outlet midway or at both ends", mid, run)
	}
	for n := 3; n <= mostOutlets; n++ {
		// An outlet serves a run on either side of it.
		if w, ok := gutterFor(flow/float64(2*n), c.GutterLengthM/float64(2*n), leastGutterMM, half); ok {
			return fmt.Sprintf("no half-round up to %d mm carries it with fewer than %d outlets: %.0f mm with %d, evenly spaced", widestMM, n, w, n)
		}
	}
	return "no half-round gutter carries it: have it designed"
}

// CheckFall returns the verdict on the least fall, before and after deflection.
// deflectionMM is the greatest final deflection of deck and joist together over
// spanM, the distance over which it acts.
func CheckFall(c Catchment, set country.Set, deflectionMM, spanM float64) check.Result {
	r := check.Result{Key: "drainage.fall", Title: "Does the water run, everywhere?", Where: c.Name, Clause: set.LeastFall.Source}
	if !(c.Design > 0) || math.IsInf(c.Design, 1) {
		r.Verdict, r.Utilisation, r.Finding = check.Fail, 2, "there is no fall"
		r.Remedies = []check.Remedy{{Text: fmt.Sprintf("make a fall of 1:%.0f with firrings", set.DesignFall.Value), Field: "fall.ratio",
			Value: fmt.Sprintf("%.0f", set.DesignFall.Value)}}
		return r
	}
	// A span that sags by δ as a parabola loses 4δ/L of slope at its ends.
	drawn := working.Measured("n", "least fall as drawn 1:n, valleys included", c.Design, "", "falls of the deck")
	f := drawnFall.Figure("least finished fall", "%", working.Source{Title: "falls as drawn", Standing: working.Derived}, drawn)
	if spanM > 0 {
		f = finishedFall.Figure("least finished fall", "%", working.Source{Title: "slope of a parabolic sag at its ends",
			Standing: working.Derived}, drawn,
			working.Measured("δ", "final deflection", deflectionMM, "mm", "checks of boards and joists"),
			working.Measured("L", "over", spanM, "m", "joists as set out"))
	}
	r.Working = []*working.Figure{f.Keyed("check.drainage.fall." + c.Name)}
	slope, finished, least := 1/c.Design, f.Value/100, 1/set.LeastFall.Value
	loss := slope - finished
	if finished > 0 {
		r.Utilisation = least / finished
		r.Finding = fmt.Sprintf("least fall 1:%.0f as drawn, 1:%.0f after the deck has bent; 1:%.0f is the least", c.Design, 1/finished,
			set.LeastFall.Value)
	} else {
		r.Utilisation = 2
		r.Finding = fmt.Sprintf("least fall 1:%.0f as drawn; the deck's sag of %.1f mm takes all of it away", c.Design, deflectionMM)
	}
	switch {
	case finished < least-1e-12:
		r.Verdict = check.Fail
		n := math.Floor(1 / (least + loss))
		r.Remedies = []check.Remedy{{Text: fmt.Sprintf("draw the least fall at 1:%.0f or steeper", n), Field: "fall.ratio",
			Value: fmt.Sprintf("%.0f", n)}}
	case c.Design > set.DesignFall.Value+1e-9 && 1/set.DesignFall.Value-slope > 1e-9:
		r.Verdict = check.Caution
		r.Finding += fmt.Sprintf("; flatter than the 1:%.0f to design for", set.DesignFall.Value)
	default:
		r.Verdict = check.Pass
	}
	return r
}
