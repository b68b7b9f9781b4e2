package main

import (
	"fmt"
	"io"
	"math"

	"gelwright/cure"
	"gelwright/desk"
	"gelwright/elementary"
)

// learnedAt are the temperatures at which the ranges are compared, °C.
var learnedAt = [...]float64{10, 15, 20, 25}

func printLearned(w io.Writer, a *desk.Learned) error {
	log, before, after, learned := a.Log, a.Before, a.Law.Gel, a.Law.Learned
	p := &printer{w: w}
	p.line("%s, %s of %s", count(learned.Gels, "gel"), count(learned.Drums, "drum"), after.Resin)
	pct := math.Max(after.MinPct, math.Min(after.MaxPct, 2))
	p.line("%-8s %-24s %s", "", fmt.Sprintf("before, at %g %%", pct), "with the log")
	for _, t := range learnedAt {
		a, err := before.Time(t, pct)
		if err != nil {
			continue // the resin is not laid then
		}
		b, err := after.Time(t, pct)
		if err != nil {
			continue
		}
		p.line("%3.0f °C   %-24s %s", t, span(a), span(b))
	}
	for _, d := range after.Drums {
		way, share := "later", elementary.Exp(d.Offset)-1
		if share < 0 {
			way = "sooner"
		}
		p.line("drum %s: gels %.0f %% %s than the resin's own (within %.0f %% in nine of ten), %s", d.Name, 100*math.Abs(share), way,
			100*(elementary.Exp(1.645*d.OffsetSD)-1), count(d.Gels, "gel"))
	}
	doubtful := 0
	for i, e := range learned.Entries {
		if !e.Doubtful {
			continue
		}
		doubtful++
		l := log.Gels[i]
		way := "later"
		if e.Miss < 0 {
			way = "sooner"
		}
		p.line("%s:%d: %g min at %g °C and %.2f %% is much %s than the other gels say (%.1f times the spread), so it counts for little: check "+
			"thermometer, jug and pen", log.Name, log.Lines[i], l.Min, l.TempC, l.CatalystPct, way, math.Abs(e.Miss))
	}
	if doubtful == 0 {
		p.line("no entry stands out")
	}
	return p.err
}

func span(r cure.Range) string {
	return fmt.Sprintf("%.0f–%.0f min, likely %.0f", r.LowMin, r.HighMin, r.LikelyMin)
}
