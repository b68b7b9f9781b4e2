package drainage

import (
	"fmt"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/working"
)

// OverflowKey is the key of the depth at which water stands with the outlet blocked.
func OverflowKey(name string) string { return "check.drainage.overflow." + name }

var (
	waterWeight = working.MustFormula("p = 9.81·d/1000")
	wideEnough  = working.Method("b",
		"the least width from 100 mm in steps of 25 mm, 2 m at most, over which the sharp-edged weir carries Q under no more than 50 mm of head")
)

// weighs is what standing water weighs at the lowest point.
func (c Catchment) weighs(depth *working.Figure) *working.Figure {
	return waterWeight.Figure("weight of the water at the lowest point of "+c.Name, "kN/m²",
		working.Source{Title: "water, 9.81 kN/m³", Standing: working.Derived}, depth.As("d")).Keyed("check.drainage.weight." + c.Name)
}

// brim is the height of the lowest brim.
func (c Catchment) brim() *working.Figure {
	if c.Brim != nil {
		return c.Brim
	}
	return working.Measured("zb", "lowest brim above the lowest point of "+c.Name, c.BrimMM, "mm", "upstands, sills and kerbs of the deck")
}

// CheckOverflow returns the verdict on what happens when the outlet blocks.
func CheckOverflow(c Catchment, set country.Set) check.Result {
	r := check.Result{Key: "drainage.overflow", Title: "Where does the water go when the outlet blocks?", Where: c.Name,
		Clause: set.SecondWay.Source}
	if !c.Enclosed && c.StandsM2 > 0 {
		r.Verdict, r.Utilisation = check.Fail, 2
		r.Finding = fmt.Sprintf("the rain of %.1f m² does not reach the open edge: it stands on the roof every day, outlet or none", c.StandsM2)
		r.Remedies = []check.Remedy{{Text: "let the water run to an open edge or an outlet first"}}
		return r
	}
	if !c.Enclosed {
		r.Verdict, r.Finding = check.NotApplicable, "water spills over the gutter's edge"
		return r
	}
	comes := runoff(c, c.rain(set, &r))
	switch {
	case c.OverflowMM > 0:
		c.byOverflow(comes, &r)
	case len(c.OutletsMM) >= 2:
		c.byOthers(comes, &r)
	default:
		c.byNothing(comes, &r)
	}
	return r
}

// byOverflow answers for a roof with an overflow.
func (c Catchment) byOverflow(comes *working.Figure, r *check.Result) {
	flow := comes.Value
	head, err := SlotHead(c.OverflowMM, flow)
	if err != nil {
		r.Verdict, r.Finding = check.Ask, err.Error()
		return
	}
	lowest := c.lowestOutlet()
	f := standing.Figure("water over the lowest point with every outlet blocked", "mm",
		working.Source{Title: "sharp-edged weir, hydraulics", Standing: working.Derived},
		working.Measured("h", "outlet above the lowest point", lowest, "mm", "surface of the deck"),
		working.AssumedFigure("s", "overflow sill above the outlet", c.OverflowSillMM, "mm",
			"20 to 30 mm above the finished roof at the outlet is usual; the roof file does not say: set it so, or measure it"),
		comes, working.Constant("Cd", "discharge coefficient of a sharp edge", weirCd, "",
			working.Source{Title: "sharp-edged weir, hydraulics", Standing: working.CommonPractice}),
		working.Measured("b", "overflow width", c.OverflowMM, "mm", "overflows of the deck")).Keyed(OverflowKey(c.Name))
	weight := c.weighs(f)
	r.Working = []*working.Figure{f, weight}
	depth := f.Value
	r.Finding = fmt.Sprintf(
		"with the outlet blocked %.2f l/s stands %.0f mm deep over it and leaves by the overflow; that weighs %.2f kN/m² there", flow, depth,
		weight.Value)
	r.Verdict = check.Pass
	if c.BrimMM <= 0 {
		return
	}
	r.Utilisation = depth / c.BrimMM
	r.Working = append(r.Working, c.brim())
	if r.Utilisation <= 1 {
		return
	}
	r.Verdict = check.Fail
	need := c.OverflowMM
	for h := head; lowest+c.OverflowSillMM+h > c.BrimMM && need < 3000; need += 25 {
		h, _ = SlotHead(need, flow)
	}
	r.Remedies = []check.Remedy{{Text: fmt.Sprintf("widen the overflow to %.0f mm or lower its sill", need)}}
	if need >= 3000 {
		r.Remedies = []check.Remedy{{Text: "lower the overflow's sill, or raise the lowest upstand or sill: no width is enough"}}
	}
}

// byNothing answers for a roof with no second way out.
func (c Catchment) byNothing(comes *working.Figure, r *check.Result) {
	r.Verdict, r.Utilisation = check.Fail, 2
	r.Finding = "one outlet and no overflow: when it blocks the roof fills to the brim"
	if len(c.OutletsMM) == 0 {
		r.Finding = "no outlet, no open edge and no overflow: the roof fills to the brim"
	}
	if c.BrimMM > 0 {
		weight := c.weighs(c.brim())
		r.Working = []*working.Figure{c.brim(), weight}
		r.Finding += fmt.Sprintf(", %.0f mm, %.2f kN/m² at the lowest point", c.BrimMM, weight.Value)
	}
	width := wideEnough.Of("width of an overflow for "+c.Name, "mm", working.Source{Title: "sharp-edged weir, hydraulics",
		Standing: working.Derived}, func(in []float64) float64 {
		width := 100.0
		for h := 1000.0; h > 50 && width < 2000; width += 25 {
			h, _ = SlotHead(width, in[0])
		}
		return width
	}, comes).Keyed("check.drainage.overflow_width." + c.Name)
	r.Working = append(r.Working, width)
	r.Remedies = []check.Remedy{
		{Text: fmt.Sprintf(
			"cut an overflow about %.0f mm wide through the lowest upstand, sill 20 to 30 mm above the finished roof at the outlet, or fit a "+
				"second outlet", width.Value)}}
	if len(c.OutletsMM) == 0 {
		r.Remedies = []check.Remedy{
			{Text: fmt.Sprintf(
				"open the low edge to a gutter, or put an outlet at the lowest point and an overflow about %.0f mm wide beside it", width.Value)}}
	}
}
