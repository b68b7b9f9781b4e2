package main

import (
	"fmt"
	"io"
	"strings"

	"gelwright/cutting"
	"gelwright/desk"
)

func (c *cutFlags) printCut(w io.Writer, plan cutting.Plan) error {
	bars := 0
	for _, b := range plan.Bars {
		bars += b.Count
		var cuts []string
		for _, x := range b.Cuts {
			cuts = append(cuts, fmt.Sprintf("%d× %s %d", x.Count, x.Piece, x.LengthMM))
		}
		if _, err := fmt.Fprintf(w, "%4d × %d mm: %s; %s %d mm\n", b.Count, b.LengthMM, strings.Join(cuts, ", "), c.rest(b.OffcutMM),
			b.OffcutMM); err != nil {
			return err
		}
	}
	proof := fmt.Sprintf("at most %.1f %% above the least (bound %g)", 100*plan.Gap, plan.LowerBound)
	if plan.Optimal {
		proof = "least for these pieces"
	}
	p := &printer{w: w}
	p.line("%d lengths, cost %g, %s; %s", bars, plan.Cost, proof, plan.Note)
	c.saw(p)
	return p.err
}

// rest is what the rest of a length is called: what nobody keeps is waste.
func (c *cutFlags) rest(mm int) string {
	least := c.keep
	if least == 0 {
		least = desk.LeastKeepMM
	}
	if mm < least {
		return "waste"
	}
	return "left"
}

// saw says what was reckoned with for the saw, above all where that is nothing.
func (c *cutFlags) saw(p *printer) {
	switch {
	case c.noKerf:
		p.line("No saw cut is reckoned with: give its width in mm, --kerf 3, unless the pieces are cut with shears or a knife.")
	case c.kerf > 0:
		p.line("With a saw cut of %d mm.", c.kerf)
	}
}

func (c *cutFlags) printSheets(w io.Writer, plan cutting.SheetPlan) error {
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
	c.saw(p)
	return p.err
}
