package drainage

import (
	"fmt"
	"math"
	"slices"

	"gelwright/check"
	"gelwright/working"
)

// levelOf returns the height of outlet k above the lowest point of the roof, mm.
func (c Catchment) levelOf(k int) float64 {
	if k < len(c.LevelsMM) {
		return c.LevelsMM[k]
	}
	return 0
}

func (c Catchment) lowestOutlet() float64 {
	if len(c.LevelsMM) == 0 {
		return 0
	}
	return slices.Min(c.LevelsMM)
}

// mostLevelMM ends the search for a level: outlets that do not carry the flow under it have no way to.
const mostLevelMM = 1e5

// LevelWithout returns the level above the lowest point of the roof, mm, at which the
// other outlets carry flow l/s with outlet k blocked: their own heights and the head
// over each, and no lower than the saddle on the way to them.
func (c Catchment) LevelWithout(k int, flow float64) float64 {
	carried := func(level float64) float64 {
		sum := 0.0
		for j, d := range c.OutletsMM {
			if head := level - c.levelOf(j); j != k && head > 0 {
				sum += c.carries(d, head)
			}
		}
		return sum
	}
	low, high := 0.0, mostLevelMM
	if carried(high) < flow {
		return math.Inf(1)
	}
	for high-low > 1e-6 {
		if mid := (low + high) / 2; carried(mid) < flow {
			low = mid
		} else {
			high = mid
		}
	}
	if k < len(c.SaddleMM) {
		high = math.Max(high, c.SaddleMM[k])
	}
	return high
}

// byOthers answers for a roof whose outlets are each other's overflow: the blocked one
// is that which leaves the water highest, the largest among equals.
func (c Catchment) byOthers(comes *working.Figure, r *check.Result) {
	flow := comes.Value
	worst, level := 0, -1.0
	for k, d := range c.OutletsMM {
		l := c.LevelWithout(k, flow)
		if l > level+1e-6 || math.Abs(l-level) <= 1e-6 && d > c.OutletsMM[worst] {
			worst, level = k, l
		}
	}
	cut := check.Remedy{Text: "cut an overflow through the lowest upstand, sill 20 to 30 mm above the finished roof at the lowest outlet"}
	if math.IsInf(level, 1) {
		r.Verdict, r.Utilisation, r.Remedies = check.Fail, 2, []check.Remedy{cut}
		r.Finding = fmt.Sprintf("with the %.0f mm outlet blocked its water gets to no other outlet and fills to the brim", c.OutletsMM[worst])
		return
	}
	source := working.Source{Title: "EN 12056-3:2000, outlets under their own heads, at the heights of the falls",
		Standing: working.Remembered}
	inputs := []*working.Figure{comes}
	for j, d := range c.OutletsMM {
		if j != worst {
			inputs = append(inputs, working.Measured("D", fmt.Sprintf("diameter of outlet %d", j+1), d, "mm", "outlets of the deck"),
				working.Measured("h", fmt.Sprintf("outlet %d above the lowest point", j+1), c.levelOf(j), "mm", "surface of the deck"))
		}
	}
	if worst < len(c.SaddleMM) && !math.IsInf(c.SaddleMM[worst], 1) {
		inputs = append(inputs, working.Measured("hs", "saddle on the way to another outlet", c.SaddleMM[worst], "mm", "surface of the deck"))
	}
	if c.Guarded {
		inputs = append(inputs, guard())
	}
	stands := othersLevel.Run("water over the lowest point with the outlet blocked", level, "mm", source, inputs...).Keyed(OverflowKey(c.Name))
	r.Working = []*working.Figure{stands, c.weighs(stands)}
	r.Finding = fmt.Sprintf(
		"with the %.0f mm outlet blocked %.2f l/s rises to %.0f mm over the lowest point before the others carry it; that weighs %.2f "+
			"kN/m² there", c.OutletsMM[worst], flow, level, level*9.81/1000)
	r.Verdict = check.Pass
	if c.BrimMM > 0 {
		r.Utilisation = level / c.BrimMM
		r.Working = append(r.Working, c.brim())
		r.Finding += fmt.Sprintf("; the brim is at %.0f mm", c.BrimMM)
	}
	if r.Utilisation > 1 {
		r.Verdict, r.Remedies = check.Fail, []check.Remedy{cut}
	}
}
