package plan_test

import (
	"math"
	"strings"
	"testing"

	"gelwright/working"
)

// Each total rests on its own waste and on no other: with 7 % of resin and 13 % of top coat
// left in the buckets, every cell under the resin's figure takes 7 %, every cell under the
// top coat's takes 13 %.
func TestTotalsNameTheirOwnWaste(t *testing.T) {
	job := example(t, "r01-garage.yaml")
	job.Spec.WastePct.Resin, job.Spec.WastePct.TopCoat = 7, 13
	p := planOf(t, job)
	for _, total := range []struct {
		key, field string
		pct        float64
	}{{"roof.resin", "waste_pct.resin", 7}, {"roof.topcoat", "waste_pct.top_coat", 13}} {
		f, ok := p.Workings.Find(total.key)
		if !ok {
			t.Fatalf("no figure %s", total.key)
		}
		met := 0
		var walk func(f *working.Figure)
		walk = func(f *working.Figure) {
			if source := f.Source.Title + f.Source.Clause; strings.Contains(source, "waste_pct.") {
				met++
				if f.Value != total.pct || !strings.Contains(source, total.field) {
					t.Errorf("%s rests on %s, %g %%", total.key, source, f.Value)
				}
			}
			for _, in := range f.Inputs {
				walk(in)
			}
		}
		walk(f)
		if met == 0 {
			t.Errorf("%s names no waste", total.key)
		}
	}
	job.Spec.WastePct.TopCoat = 0
	if bare := planOf(t, job).Totals.CoatKG; math.Abs(p.Totals.CoatKG-1.13*bare) > 1e-6*bare {
		t.Errorf("top coat %.4f kg with 13 %%, %.4f kg without: not 1.13 times", p.Totals.CoatKG, bare)
	}
}
