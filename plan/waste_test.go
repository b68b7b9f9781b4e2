package plan_test

import (
	"math"
	"strings"
	"testing"

	"gelwright/working"
)

// Each total names the waste that is in it: with 7 % of resin and 13 % of top coat left in
// the buckets, the resin's figure is its zones and 7 %, the top coat's its areas and 13 %.
func TestTotalsNameTheirOwnWaste(t *testing.T) {
	job := example(t, "r01-garage.yaml")
	job.Spec.WastePct.Resin, job.Spec.WastePct.TopCoat = 7, 13
	p := planOf(t, job)
	resin, ok := p.Workings.Find("roof.resin")
	if !ok {
		t.Fatal("no figure of the resin")
	}
	zones, waste := 0.0, []*working.Figure{}
	for _, in := range resin.Inputs {
		switch in.Unit {
		case "kg":
			zones += in.Value
		case "%":
			waste = append(waste, in)
		}
	}
	if len(waste) != 1 || waste[0].Value != 7 || !strings.Contains(waste[0].Source.Title+waste[0].Source.Clause, "waste_pct.resin") {
		t.Errorf("the waste of the resin: %+v", waste)
	}
	// The strips' own laps are counted a little otherwise than the zones'.
	if want := zones * 1.07; math.Abs(resin.Value-want) > 0.005*want {
		t.Errorf("resin %.3f kg; its zones and its waste make %.3f", resin.Value, want)
	}
	coat, ok := p.Workings.Find("roof.topcoat")
	if !ok {
		t.Fatal("no figure of the top coat")
	}
	area, rate, coats, left := 0.0, 0.0, 0.0, 0.0
	for _, in := range coat.Inputs {
		switch in.Unit {
		case "m²":
			area += in.Value
		case "kg/m²":
			rate = in.Value
		case "%":
			left = in.Value
		default:
			coats = in.Value
		}
	}
	if want := area * rate * coats * 1.13; left != 13 || math.Abs(coat.Value-want) > 1e-6*want {
		t.Errorf("top coat %.4f kg with %g %%; its inputs make %.4f", coat.Value, left, want)
	}
}
