package settingout_test

import (
	"math"
	"testing"

	"gelwright/settingout"
)

// R12: the ridge at y = 10 crosses joists at 400 mm: 75 bays of 30 m take one timber
// of 353 mm each (400 − 47). Movement joints at 5, 15 and 25 m lie 200 mm off a joist and take
// timbers along them; those at 10 and 20 m lie on one.
func TestFoldsAreCarried(t *testing.T) {
	for _, l := range acceptanceSetOuts() {
		if l.roof.id != "R12" {
			continue
		}
		ridge, along := 0, map[int]float64{}
		for _, p := range l.plan.Of(settingout.Noggin) {
			if p.Role != "fold" && p.Role != "movement joint" {
				continue
			}
			if math.Abs(p.Along.Y) < 0.01 {
				ridge++
				if p.LengthMM != 353 {
					t.Errorf("%s is %d mm long", p.Number, p.LengthMM)
				}
				continue
			}
			low, high := p.Bounds()
			along[int(math.Round((low.X+high.X)/2))] += float64(p.LengthMM) / 1000
		}
		if ridge != 75 {
			t.Errorf("%d timbers under the ridge, want 75", ridge)
		}
		for _, x := range []int{5, 15, 25} {
			if along[x] < 19 {
				t.Errorf("%.2f m of timber under the joint at %d m", along[x], x)
			}
		}
		if along[10]+along[20] > 0 {
			t.Errorf("timbers under joints that lie on joists: %v", along)
		}
	}
}

// R02 is 3.6 m wide on joists at 400 mm from its west edge: both side edges lie on
// joists. With the first joist at 100 mm the last stands 100 mm short of the east edge:
// its face is 76.5 mm off on both sides.
func TestEdgesBesideJoists(t *testing.T) {
	d, spec := acceptanceRoofs()[1].decks[0], usual([]float64{450})
	count := func() (findings, timbers, stubs int) {
		s := setOutFrom(t, d, spec, settingout.Supply{})
		for _, f := range s.Findings {
			if f.Code == "edge.bearing" {
				findings++
			}
		}
		for _, p := range s.Of(settingout.Noggin) {
			switch p.Role {
			case "deck edge":
				timbers++
			case "deck edge stub":
				stubs++
			}
		}
		return
	}
	if f, n, s := count(); f+n+s != 0 {
		t.Errorf("edges on joists: %d findings, %d timbers, %d stubs", f, n, s)
	}
	d.Base.JoistOffsetMM = 100
	if f, n, _ := count(); f != 2 || n != 0 {
		t.Errorf("edges beside joists on a plate: %d findings, %d timbers", f, n)
	}
	d.Base.JoistOffsetMM, d.Base.EdgeBearing = 200, "none"
	// 176.5 mm clear: a timber of 47 mm along each edge, stubs at 0.6 m over 2.2 m are 5.
	if f, n, s := count(); f != 0 || n != 2 || s != 10 {
		t.Errorf("edges beside joists on nothing: %d findings, %d timbers, %d stubs", f, n, s)
	}
}

func TestAlikeCountsEveryPieceOnce(t *testing.T) {
	for _, l := range acceptanceSetOuts() {
		seen := map[string]bool{}
		lines := l.plan.Alike(settingout.Noggin)
		for i, a := range lines {
			if a.Count != len(a.Numbers) || i > 0 && a.LengthMM > lines[i-1].LengthMM {
				t.Errorf("%s: %+v", l.roof.id, a)
			}
			for _, n := range a.Numbers {
				seen[n] = true
			}
		}
		if len(seen) != len(l.plan.Of(settingout.Noggin)) {
			t.Errorf("%s: %d noggins listed of %d", l.roof.id, len(seen), len(l.plan.Of(settingout.Noggin)))
		}
		if l.roof.id == "R12" && len(lines) > 12 {
			t.Errorf("the hall's noggins take %d lines", len(lines))
		}
	}
}
