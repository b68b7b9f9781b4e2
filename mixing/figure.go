package mixing

import (
	"gelwright/working"
)

// figures are the workings of a bucket: when it gels, until when it is laid, its limit and its area.
func (p *pour) figures(key string, m Mix) []*working.Figure {
	name := keyed(key)
	c := p.in.Crew
	of := func(symbol, name string, tempC float64) *working.Figure {
		return working.Measured(symbol, name, tempC, "°C", "the day's temperatures")
	}
	gel := gelOfBucket.Run("gel that the bucket is timed by", m.Gel.LikelyMin, "min",
		working.Source{Title: "gel law of the resin", Standing: working.Derived}, of("Tr", "resin in its pail", m.ResinC),
		of("Td", "deck", m.TempC), m.Figures[2]).
		Between(m.Gel.LowMin, m.Gel.HighMin).Keyed(name("gel"))
	layBy := laidBy.Figure("laid by, from mixing", "min", plainMath,
		earliestGel.Run("earliest likely gel", m.Gel.LowMin, "min", plainMath, gel),
		working.From(c.From, "tm", "margin kept before gel", c.MarginMin, "min", "crew.margin_min")).Keyed(name("lay_by"))
	pace := livePace.Figure("pace while a bucket is open", "m²/min",
		working.Source{Title: "two people spread 0.35 to 0.5 m²/min", Standing: working.CommonPractice},
		working.From(c.From, "n", "people", float64(c.People), "", "crew.people"),
		working.From(c.From, "r", "laid in a man-hour", c.LayM2PerManHour, "m²", "crew.lay_m2_per_man_hour"),
		working.AssumedFigure("b", "burst over the average", c.Burst, "", "half of the hours go on cutting and rolling out"))
	limit := largestBucket.Run("largest bucket", m.LimitKG, "kg", working.Source{Title: "bucket sizes", Standing: working.CommonPractice},
		layBy, pace,
		working.Measured("mexp", "experience allows", c.CapKG, "kg", "experience of the crew"),
		m.Figures[0]).Noting("here set by " + m.LimitedBy).Keyed(name("limit"))
	if p.detail {
		return []*working.Figure{gel, layBy, limit}
	}
	cells := make([]*working.Figure, len(m.Parts))
	for i, x := range m.Parts {
		cells[i] = working.Measured("a", "area of "+x.Name, x.AreaM2, "m²", "cells of "+p.in.Name)
	}
	area := areaOfCells.Figure("area it covers", "m²", plainMath, cells...).Keyed(name("area"))
	return []*working.Figure{gel, layBy, limit, area}
}

// resinOf is the resin that the parts of a bucket take together.
func (p *pour) resinOf(parts []Part) *working.Figure {
	cells := make([]*working.Figure, len(parts))
	for i, x := range parts {
		cells[i] = working.Measured("k", "resin of "+x.Name, x.KG, "kg", "cells of "+p.in.Name)
		if len(p.in.Rates) > 0 {
			cells[i] = resinOfCell.Run("resin of "+x.Name, x.KG, "kg", working.Source{Title: "cells of " + p.in.Name, Standing: working.Derived},
				p.in.Rates...)
		}
	}
	return resinOfCells.Figure("resin in the bucket", "kg", plainMath, cells...)
}
