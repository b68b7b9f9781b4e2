package document

import (
	"bytes"
	"context"
	"fmt"

	"gelwright/drawing"
	"gelwright/plan"
	"gelwright/scene/svg"
)

// Care returns the care sheet of a plan alone, as PDF: what whoever owns the roof is to keep. It stands in the office book too.
func Care(ctx context.Context, p *plan.Plan) (File, error) {
	d, err := newPack(p, "care", "Care sheet", newRefs(p), nil)
	if err != nil {
		return File{}, err
	}
	if err := d.lay(ctx, []func(){d.care}); err != nil {
		return File{}, err
	}
	var b bytes.Buffer
	if err := d.f.Output(&b); err != nil {
		return File{}, fmt.Errorf("%s: %w", d.name, err)
	}
	return File{d.name + ".pdf", b.Bytes()}, nil
}

// Drawing returns the roof as it was surveyed, on one sheet, as SVG: what a customer knows his roof by.
func Drawing(p *plan.Plan) (File, error) {
	sheets, err := drawing.Survey(&p.Job)
	if err != nil {
		return File{}, err
	}
	drawing.Number(sheets)
	return File{"drawing.svg", svg.Bytes(sheets[0].Scene, svg.Options{})}, nil
}
