package main

import (
	"fmt"
	"io"
	"strings"

	"gelwright/cutting"
	"gelwright/desk"
)

func printCut(w io.Writer, plan cutting.Plan) error {
	bars := 0
	for _, b := range plan.Bars {
		bars += b.Count
		var cuts []string
		for _, c := range b.Cuts {
			cuts = append(cuts, fmt.Sprintf("%d× %s %d", c.Count, c.Piece, c.LengthMM))
		}
		if _, err := fmt.Fprintf(w, "%4d × %d mm: %s; left %d mm\n", b.Count, b.LengthMM, strings.Join(cuts, ", "), b.OffcutMM); err != nil {
			return err
		}
	}
	proof := fmt.Sprintf("at most %.1f %% above the least (bound %g)", 100*plan.Gap, plan.LowerBound)
	if plan.Optimal {
		proof = "least for these pieces"
	}
	_, err := fmt.Fprintf(w, "%d lengths, cost %g, %s; %s\n", bars, plan.Cost, proof, plan.Note)
	return err
}

func printSheets(w io.Writer, plan cutting.SheetPlan) error {
	p := &printer{w: w}
	for _, s := range plan.Sheets {
		var lines []string
		for _, q := range s.Placed {
			turned := ""
			if q.Turned {
				turned = " turned"
			}
			lines = append(lines, fmt.Sprintf("%s %d × %d%s at %d, %d", q.Panel, q.LengthMM, q.WidthMM, turned, q.XMM, q.YMM))
		}
		for _, r := range s.Offcuts {
			lines = append(lines, fmt.Sprintf("left %d × %d at %d, %d", r.LengthMM, r.WidthMM, r.XMM, r.YMM))
		}
		p.line("%4d × sheet %d × %d mm\n        %s", s.Count, s.LengthMM, s.WidthMM, strings.Join(lines, "\n        "))
	}
	proof := fmt.Sprintf("at most %.1f %% above the least (bound %g)", 100*plan.Gap, plan.LowerBound)
	if plan.Optimal {
		proof = "least for these pieces"
	}
	sum := desk.SumsOf(plan)
	p.line("%d sheets, %.3f m², %.3f m² used, waste %.1f %%, cost %g, %s; %s",
		sum.Sheets, sum.BoughtM2, sum.UsedM2, sum.WastePct, plan.Cost, proof, plan.Note)
	return p.err
}
