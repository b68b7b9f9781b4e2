package plan

import (
	"fmt"

	"gelwright/plane"
	"gelwright/settingout"
)

// mostPieces of one deck and mostBuckets of one pass are believed of a stored plan.
const (
	mostPieces  = 200_000
	mostBuckets = 100_000
)

// sound looks whether what a view relies on holds in a plan that was read: that the survey
// can be, and that names and numbers in one part are those of another.
func (p *Plan) sound() error {
	for _, f := range p.Job.Validate() {
		if !f.Warning {
			return fmt.Errorf("%s: %s", f.Path, f.Message)
		}
	}
	if len(p.Decks) != len(p.Job.Decks) {
		return fmt.Errorf("%d decks are surveyed and %d planned", len(p.Job.Decks), len(p.Decks))
	}
	if p.Order.Schedule == nil {
		return fmt.Errorf("it has no schedule of quantities")
	}
	names := map[string]bool{}
	for i := range p.Decks {
		d := &p.Decks[i]
		names[d.Name] = true
		if d.Name != p.Job.Decks[i].Name {
			return fmt.Errorf("deck %d is surveyed as %q and planned as %q", i+1, p.Job.Decks[i].Name, d.Name)
		}
		if err := p.deckSound(i); err != nil {
			return fmt.Errorf("deck %q: %w", d.Name, err)
		}
	}
	return p.wetSound(names)
}

// wetSound looks at the wet work, on decks of these names.
func (p *Plan) wetSound(decks map[string]bool) error {
	if err := p.Schedule.Sound(); err != nil {
		return err
	}
	layers := len(p.Job.Spec.Layers)
	laid := func(kind string, layer int) error {
		if kind == "mat" && (layer < 1 || layer > layers) {
			return fmt.Errorf("mat layer %d is laid of %d", layer, layers)
		}
		return nil
	}
	for i := range p.Passes {
		x := &p.Passes[i]
		if !decks[x.Deck] {
			return fmt.Errorf("%s is laid on deck %q, which there is not", x.Kind, x.Deck)
		}
		if err := laid(x.Kind, x.Layer); err != nil {
			return err
		}
		if x.Plan != nil && len(x.Plan.Mixes) > mostBuckets {
			return fmt.Errorf("%s has %d buckets", x.Kind, len(x.Plan.Mixes))
		}
	}
	for i := range p.Wet {
		w := &p.Wet[i]
		if err := laid(w.Kind, w.Layer); err != nil {
			return err
		}
		if w.Doses != nil && (len(w.Doses.Frontier) < 4 || len(w.Doses.Frontier)%2 != 0) {
			return fmt.Errorf("%s: %d doses are weighed", w.Key, len(w.Doses.Frontier))
		}
	}
	return nil
}

// deckSound looks at one deck.
func (p *Plan) deckSound(i int) error {
	d, edges := &p.Decks[i], len(p.Job.Decks[i].Outline)
	if plane.TotalArea(d.Net) <= 0 {
		return fmt.Errorf("it has no area")
	}
	if d.HeightStepM != 0 && d.HeightStepM < 0.5 {
		return fmt.Errorf("heights every %g m", d.HeightStepM)
	}
	outs := []*settingout.SetOut{&d.SetOut}
	if d.Structural != nil {
		outs = append(outs, d.Structural)
	}
	for _, out := range outs {
		if len(out.Pieces) > mostPieces {
			return fmt.Errorf("%d pieces", len(out.Pieces))
		}
		for _, x := range out.Pieces {
			if x.Edge < -1 || x.Edge >= edges {
				return fmt.Errorf("piece %s lies along edge %d of %d", x.Number, x.Edge+1, edges)
			}
			if x.Layer < 0 || x.Layer > len(p.Job.Spec.Layers)+1 {
				return fmt.Errorf("piece %s is of layer %d", x.Number, x.Layer)
			}
		}
	}
	return nil
}
