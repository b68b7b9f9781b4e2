package detailing

import (
	"fmt"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/plane"
	"gelwright/roof"
)

func balcony() roof.Job {
	return roof.Job{Use: roof.Use{Access: "balcony"}, Site: roof.Site{EavesM: 5.6}, Decks: []roof.Deck{{Name: "balcony", Outline: plane.Rectangle(0, 0, 5.4, 2.1),
		Edges:        []roof.Edge{{Condition: roof.Drip}, {Condition: roof.Parapet, HeightMM: 300}, {Condition: roof.Wall, HeightMM: 150, Thresholds: []roof.Threshold{{FromM: 1.5, ToM: 3.9, UpstandMM: 95}}}, {Condition: roof.Kerb, HeightMM: 50}},
		Falls:        plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: -1}, Ratio: 60}}},
		Penetrations: []roof.Penetration{{Name: "P1", Kind: "post", At: plane.Point{X: 0.15, Y: 0.15}, WidthMM: 100, DepthMM: 100}}}}}
}

func find(results []check.Result, key string) []check.Result {
	var out []check.Result
	for _, r := range results {
		if r.Key == key {
			out = append(out, r)
		}
	}
	return out
}

func TestBalconyWithALowSill(t *testing.T) {
	england, _ := country.For("GB-ENG")
	results := Rules(balcony(), england)
	th := find(results, "detailing.threshold")
	if len(th) != 1 || th[0].Verdict != check.Fail || !strings.Contains(th[0].Finding, "reduced route") || th[0].Remedies[0].Value != "150" {
		t.Errorf("threshold: %+v", th)
	}
	if g := find(results, "detailing.guard"); len(g) != 1 || !strings.Contains(g[0].Finding, "1100") {
		t.Errorf("guard: %+v", g)
	}
	if c := find(results, "detailing.clearance"); len(c) != 1 || c[0].Verdict == check.Pass || len(c[0].Remedies) == 0 {
		t.Errorf("post: %+v", c)
	}
	job := balcony()
	job.Decks[0].Edges[2].Thresholds[0].UpstandMM = 150
	if th = find(Rules(job, england), "detailing.threshold"); th[0].Verdict != check.Pass {
		t.Errorf("after the remedy: %+v", th)
	}
}

func TestOverlayEatsTheUpstand(t *testing.T) {
	england, _ := country.For("GB-ENG")
	job := balcony()
	job.Work.Kind, job.Spec.Board.ThicknessMM = "overlay", 18
	job.Decks[0].Edges[2] = roof.Edge{Condition: roof.Wall, HeightMM: 150, LimitMM: 150}
	u := find(Rules(job, england), "detailing.upstand")
	if len(u) != 2 || u[1].Verdict != check.Fail || !strings.Contains(u[1].Finding, "132 mm") {
		t.Errorf("%+v", u)
	}
}

func TestSaddleBehindAWideChimney(t *testing.T) {
	england, _ := country.For("GB-ENG")
	job := balcony()
	job.Decks[0].Openings = []roof.Opening{{Name: "CH", Kind: "chimney", KerbMM: 150, Outline: plane.Rectangle(2, 0.8, 2.6, 1.5)}, {Name: "RL", Kind: "rooflight", KerbMM: 120, Outline: plane.Rectangle(4, 0.8, 4.5, 1.5)}}
	results := Rules(job, england)
	s := find(results, "detailing.saddle")
	if len(s) != 2 || s[0].Verdict != check.Caution || s[1].Verdict != check.Pass {
		t.Errorf("%+v", s)
	}
	if k := find(results, "detailing.kerb"); k[0].Verdict != check.Pass || k[1].Verdict != check.Fail {
		t.Errorf("%+v", k)
	}
}

// Nothing runs down behind what is built against the wall at the head of the fall: no saddle is asked for there, but is where the
// slope of a roof drains over that edge, where the chimney stands off it, or where only its flank touches.
func TestNoSaddleAtTheWall(t *testing.T) {
	england, _ := country.For("GB-ENG")
	for _, c := range []struct {
		outline plane.Ring
		edge    roof.Condition
		want    check.Verdict
	}{
		{plane.Rectangle(2, 1.4, 2.9, 2.1), roof.Wall, check.Pass},
		{plane.Rectangle(2, 1.4, 2.9, 2.1).Reversed(), roof.Parapet, check.Pass},
		{plane.Rectangle(2, 1.4, 2.9, 2.1), roof.Tuck, check.Caution},
		{plane.Rectangle(2, 1.4, 2.9, 2.1), roof.StepUp, check.Caution},
		{plane.Rectangle(2, 1.2, 2.9, 2.0), roof.Wall, check.Caution},
		{plane.Rectangle(0, 0.5, 0.9, 1.2), roof.Wall, check.Caution},
	} {
		job := balcony()
		job.Decks[0].Edges[2].Condition = c.edge
		job.Decks[0].Openings = []roof.Opening{{Name: "CH", Kind: "chimney", KerbMM: 150, Outline: c.outline}}
		s := find(Rules(job, england), "detailing.saddle")
		if len(s) != 1 || s[0].Verdict != c.want || (c.want == check.Pass) != strings.Contains(s[0].Finding, "no water comes down behind it") {
			t.Errorf("%v at a %s: %+v", c.outline, c.edge, s)
		}
		text := ""
		for _, f := range roof.Findings(job) {
			if f.Code == "chimney.upstands" {
				text = f.Text + "; " + f.Remedy
			}
		}
		if wall := c.want == check.Pass; strings.Contains(text, "its back is the wall") != wall || strings.Contains(text, "a saddle behind it") == wall {
			t.Errorf("%v at a %s: %q", c.outline, c.edge, text)
		}
	}
}

func TestEveryRuleHasASourceAndEveryFailureARemedy(t *testing.T) {
	for _, code := range []string{"GB-ENG", "GB-SCT", "GB-WLS", "GB-NIR", "IE", "DE", "FR", "US"} {
		set, _ := country.For(code)
		for _, r := range Rules(balcony(), set) {
			if r.Clause.Title == "" {
				t.Errorf("%s has no source", r.Key)
			}
			if r.Verdict == check.Fail && len(r.Remedies) == 0 {
				t.Errorf("%s fails without a remedy", r.Key)
			}
			if r.Verdict == check.Ask && r.Finding == "" {
				t.Errorf("%s asks nothing", r.Key)
			}
		}
	}
}

func TestAlikeOpeningsAreOneLine(t *testing.T) {
	var list []check.Result
	for i := 1; i <= 12; i++ {
		list = append(list, check.Result{Key: "detailing.saddle", Where: fmt.Sprintf("deck main, RL%02d", i), Verdict: check.Caution, Finding: "1.20 m across the flow", Utilisation: 2})
	}
	list = append(list, check.Result{Key: "detailing.saddle", Where: "deck main, H1", Verdict: check.Pass, Finding: "0.50 m across the flow"},
		check.Result{Key: "detailing.saddle", Where: "deck low, RL13", Verdict: check.Caution, Finding: "1.20 m across the flow"})
	got := grouped(list)
	if len(got) != 3 || got[0].Where != "deck main, RL01–RL12" || got[0].Finding != "12 openings alike: 1.20 m across the flow" || got[1].Where != "deck main, H1" || got[2].Where != "deck low, RL13" {
		t.Errorf("%+v", got)
	}
	if s := spread([]string{"RL1", "RL3", "RL4"}); s != "RL1, RL3, RL4" {
		t.Error(s)
	}
}
