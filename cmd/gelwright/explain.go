package main

import (
	"fmt"
	"io"

	"gelwright/desk"
	"gelwright/plan"
	"gelwright/working"
)

// explainFigure unfolds one figure, or names them all.
func explainFigure(w io.Writer, p *plan.Plan, key string, asJSON bool) error {
	switch {
	case key == "list" && asJSON:
		return printJSON(w, p.Workings)
	case key == "list":
		out := &printer{w: w}
		for _, k := range p.Workings.Keys() {
			f, _ := p.Workings.Find(k)
			out.line("%-44s %s = %s", k, f.Name, f.Quantity())
		}
		return out.err
	}
	f, err := desk.Figure(p, key)
	if err != nil {
		return coded{exitUsage, fmt.Errorf("%w (--explain list names all)", err)}
	}
	if !asJSON {
		return working.Unfold(w, f)
	}
	var l working.Ledger
	l.Add(f)
	return printJSON(w, &l)
}
