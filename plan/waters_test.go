package plan_test

import (
	"math"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/plan"
	"gelwright/plane"
	"gelwright/roof"
)

// shed is the garage with another outline, edges, fall and outlets.
func shed(t *testing.T, outline plane.Ring, edges []roof.Edge, falls plane.Falls, penetrations ...roof.Penetration) *plan.Plan {
	t.Helper()
	job := clone(example(t, "r01-garage.yaml"))
	d := &job.Decks[0]
	d.Outline, d.Edges, d.Falls, d.Penetrations, d.Openings, d.MovementJoints = outline, edges, falls, penetrations, nil, nil
	d.AntiSlip, d.Moisture, d.SoftAreas = nil, nil, nil
	return planOf(t, job)
}

func verdictOf(t *testing.T, p *plan.Plan, key string) check.Result {
	t.Helper()
	for _, r := range p.Checks {
		if r.Key == key {
			return r
		}
	}
	return check.Result{}
}

func southAt(ratio float64) plane.Falls {
	return plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: -1}, Ratio: ratio}}}
}

func outlet(name string, x, y, mm float64) roof.Penetration {
	return roof.Penetration{Name: name, Kind: "outlet", At: plane.Point{X: x, Y: y}, DiameterMM: mm}
}

var fourByThree = plane.RingOf(plane.Point{}, plane.Point{X: 4}, plane.Point{X: 4, Y: 3}, plane.Point{Y: 3})

// A lean-to that falls 1:40 to the house wall over 3 m: water rises 75 mm before it
// gets over the drip on the high side (3 m / 40).
func TestFallTowardsTheWallFails(t *testing.T) {
	p := shed(t, fourByThree, []roof.Edge{{Condition: roof.Wall, HeightMM: 150}, {Condition: roof.Verge, HeightMM: 50},
		{Condition: roof.Drip}, {Condition: roof.Verge, HeightMM: 50}}, southAt(40))
	r := verdictOf(t, p, "drainage.standing")
	if r.Verdict != check.Fail || len(r.Remedies) == 0 || !strings.Contains(r.Finding, "75 mm") {
		t.Errorf("%+v", r)
	}
	if r := verdictOf(t, p, "drainage.overflow"); r.Verdict != check.Fail || strings.Contains(r.Finding, "spills over") {
		t.Errorf("%+v", r)
	}
	for _, d := range p.Decks[0].Drains {
		if !strings.Contains(d.To, "stands 75 mm first") {
			t.Errorf("the drawing says %q", d.To)
		}
	}
}

func TestKerbOnTheLowSideHasNoWayOut(t *testing.T) {
	kerb := roof.Edge{Condition: roof.Kerb, HeightMM: 50}
	p := shed(t, fourByThree, []roof.Edge{kerb, kerb, {Condition: roof.Wall, HeightMM: 150}, kerb}, southAt(40))
	if r := verdictOf(t, p, "drainage.standing"); r.Verdict != check.Fail || !strings.Contains(r.Finding, "no way out") {
		t.Errorf("%+v", r)
	}
	if r := verdictOf(t, p, "drainage.overflow"); r.Verdict != check.Fail || strings.Contains(r.Finding, "one outlet") {
		t.Errorf("%+v", r)
	}
	if r := verdictOf(t, p, "drainage.capacity"); r.Verdict != "" {
		t.Errorf("a gutter for water that reaches none: %+v", r)
	}
}

// An outlet 400 mm up a fall of 1:40 stands 10 mm over the low kerb, one 180 mm up 4.5 mm.
func TestPoolBelowAnOutlet(t *testing.T) {
	kerb := roof.Edge{Condition: roof.Kerb, HeightMM: 50}
	for _, c := range []struct {
		y    float64
		want check.Verdict
		mm   float64
	}{{0.4, check.Fail, 10}, {0.18, check.Caution, 4.5}} {
		p := shed(t, fourByThree, []roof.Edge{kerb, kerb, kerb, kerb}, southAt(40), outlet("O1", 2, c.y, 100))
		r := verdictOf(t, p, "drainage.standing")
		if r.Verdict != c.want {
			t.Errorf("outlet at %g m: %+v", c.y, r)
		}
		for _, pool := range p.Decks[0].Pools {
			if math.Abs(pool.DepthMM-c.mm) > 1e-6 {
				t.Errorf("outlet at %g m: %g mm, want %g", c.y, pool.DepthMM, c.mm)
			}
		}
	}
}

// What the drawing parts and what the checks sum is the same water, on a T with two outlets.
func TestDrawingAndFlowsAgree(t *testing.T) {
	kerb := roof.Edge{Condition: roof.Kerb, HeightMM: 50}
	ring := plane.RingOf(plane.Point{}, plane.Point{X: 9}, plane.Point{X: 9, Y: 3}, plane.Point{X: 6, Y: 3}, plane.Point{X: 6, Y: 7},
		plane.Point{X: 3, Y: 7}, plane.Point{X: 3, Y: 3}, plane.Point{Y: 3})
	edges := make([]roof.Edge, len(ring))
	for i := range edges {
		edges[i] = kerb
	}
	p := shed(t, ring, edges, southAt(60), outlet("O1", 4.5, 0.5, 100), outlet("O2", 8.5, 0.5, 75))
	d := p.Decks[0]
	sum := map[string]float64{}
	for _, x := range d.Drains {
		name, _, _ := strings.Cut(x.To, ",")
		sum["main, "+name] += x.AreaM2
	}
	if len(d.Waters) == 0 {
		t.Fatal("no waters")
	}
	total := 0.0
	for _, w := range d.Waters {
		total += w.AreaM2
		name := "main, " + w.Name[strings.Index(w.Name, ", ")+2:]
		if math.Abs(sum[name]-w.AreaM2) > 1e-6 {
			t.Errorf("%s: %g m² in the checks, %g on the drawing", w.Name, w.AreaM2, sum[name])
		}
	}
	if math.Abs(total-39) > 1e-6 {
		t.Errorf("%g m² of 39 leave", total)
	}
	for _, r := range p.Checks {
		// A 100 mm outlet under 35 mm carries 2.76 l/s, a 75 mm one 2.07 (regression only):
		// each catchment has its own alone.
		if r.Key == "drainage.capacity" && strings.Contains(r.Finding, "carries 4.8") {
			t.Errorf("both outlets are given to %s: %s", r.Where, r.Finding)
		}
	}
}

// Two outlets on a fall of 1:40, the small one 1 m up: with the large one blocked the
// water rises 25 mm to the small one and then its head.
func TestOtherOutletAtItsHeight(t *testing.T) {
	kerb := roof.Edge{Condition: roof.Kerb, HeightMM: 50}
	p := shed(t, fourByThree, []roof.Edge{kerb, kerb, kerb, kerb}, southAt(40), outlet("O1", 2, 0, 110), outlet("O2", 2, 1, 75))
	r := verdictOf(t, p, "drainage.overflow")
	if len(r.Working) == 0 || !strings.Contains(r.Finding, "110 mm outlet blocked") {
		t.Fatalf("%+v", r)
	}
	level := r.Working[0].Value
	if level <= 25 || level > 60 || p.Decks[0].Blocked == nil || math.Abs(p.Decks[0].Blocked.DepthMM-level) > 1e-9 {
		t.Errorf("level %g mm, pond %+v", level, p.Decks[0].Blocked)
	}
	if (r.Verdict == check.Fail) != (level > 50) {
		t.Errorf("%s at %g mm under a brim of 50 mm", r.Verdict, level)
	}
}
