package document

import (
	"testing"

	"gelwright/cure"
	"gelwright/laying"
	"gelwright/plan"
)

// The owner is told when to walk on the last coat as the plan says it, and no sooner than after a day.
func TestTheOwnerWalksOnItWhenThePlanSaysSo(t *testing.T) {
	pass := func(kind string, layer int, high float64) laying.WetPass {
		return laying.WetPass{Kind: kind, Layer: layer, Marks: []laying.WetMark{{Milestone: cure.Walk.String(),
			After: cure.Range{LowMin: high / 4, LikelyMin: high / 2, HighMin: high}}}}
	}
	long := "after a day at the earliest: it bears a careful foot 1.5–6 days after it is laid, the longer the colder it is"
	for _, x := range []struct {
		wet  []laying.WetPass
		want string
	}{
		{nil, "after a day"},
		{[]laying.WetPass{pass("top coat", 1, 144*60), pass("top coat", 2, 20*60), pass("laminate", 2, 144*60)}, "after a day"},
		{[]laying.WetPass{pass("top coat", 2, 20*60), pass("top coat", 2, 144*60)}, long},
	} {
		d := &pack{p: &plan.Plan{Wet: x.wet}}
		d.p.Job.Spec.TopCoat.Coats = 2
		if got := d.careFoot(); got != x.want {
			t.Errorf("%q, want %q", got, x.want)
		}
	}
}
