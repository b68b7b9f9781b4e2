package plan_test

import (
	"math"
	"strings"
	"testing"

	"gelwright/plane"
	"gelwright/settingout"
)

// The hall has five joints of 20 m and one of 30 m along the ridge, which the five cross:
// 130 m in all, and battens on both sides of 130 m less 86 mm of both joints at each crossing.
func TestMovementJointsAreOrdered(t *testing.T) {
	p := planned(t, "r12-hall.yaml")
	built := 130 - 10*0.086
	want := map[string]float64{"timber.batten.50x38": 2 * built, "trim.joint-cap": built / 3}
	for _, l := range p.Order.Schedule.Lines {
		if w, ok := want[l.MaterialKey]; ok {
			delete(want, l.MaterialKey)
			if l.Ordered < w-1e-9 || l.Ordered > 1.1*w+5 {
				t.Errorf("%s: %.2f ordered, %.2f are built", l.MaterialKey, l.Ordered, w)
			}
		}
	}
	for k := range want {
		t.Errorf("%s is not ordered", k)
	}
	sum := 0.0
	for _, j := range p.Decks[0].SetOut.MovementJoints {
		sum += j.LengthM()
		if !j.Raised {
			t.Errorf("%s lies along the fall or on the ridge and is not raised", j.Name)
		}
	}
	if math.Abs(sum-130) > 1e-6 {
		t.Errorf("%.3f m of joint, want 130", sum)
	}
}

// No bucket covers ground on both sides of a joint in one part, and the field's area is
// the deck's less the strips along the joints: by hand 130·0.086 − 5·0.086² on plan.
func TestNoBucketLiesAcrossAMovementJoint(t *testing.T) {
	p := planned(t, "r12-hall.yaml")
	d := p.Decks[0]
	strips := 130*0.086 - 5*0.086*0.086
	if got := d.SlopeM2 - d.FieldM2; math.Abs(got-strips*d.SlopeM2/d.NetM2) > 1e-6 {
		t.Errorf("the fields are %.4f m² less than the deck, want %.4f", got, strips)
	}
	seen := 0
	for _, x := range p.Passes {
		if x.Pieces() {
			continue
		}
		for _, m := range x.Plan.Mixes {
			for _, part := range m.Parts {
				seen++
				for _, j := range d.SetOut.MovementJoints {
					n := j.To.Sub(j.From).Unit().Left()
					low, high := math.Inf(1), math.Inf(-1)
					for _, q := range part.Shape {
						off := n.Dot(q.Sub(j.From))
						low, high = math.Min(low, off), math.Max(high, off)
					}
					if low < -0.001 && high > 0.001 {
						t.Errorf("%s bucket %d, %s reaches from %.3f to %.3f m across %s", x.Kind, m.Number, part.Name, low, high, j.Name)
					}
				}
			}
		}
	}
	if seen < 200 {
		t.Fatalf("only %d parts looked at", seen)
	}
}

// Where two strips lap across the fall the lower is begun first, or the plan says that it
// is tucked under: found from the pieces' rectangles and the buckets' parts alone.
func TestBucketsLayTheLowerStripFirst(t *testing.T) {
	laps := 0
	for _, name := range examples(t) {
		p := planned(t, name)
		for _, x := range p.Passes {
			if x.Kind != "mat" || x.Plan == nil {
				continue
			}
			begun, tucked := map[string]int{}, map[string]bool{}
			n := 0
			strip := func(s string) string { return strings.TrimRight(s, "abcdefghijklmnopqrstuvwxyz") }
			for _, m := range x.Plan.Mixes {
				for _, part := range m.Parts {
					if _, ok := begun[strip(part.Name)]; !ok {
						begun[strip(part.Name)] = n
					}
					n++
				}
			}
			for _, k := range x.Plan.Tucked {
				tucked[strip(k.UpperName)+">"+strip(k.LowerName)] = true
			}
			for i := range p.Decks {
				d := &p.Decks[i]
				f := p.Job.Decks[i].Falls
				if d.Name != x.Deck || f.Kind != plane.OneWay {
					continue
				}
				down := f.Planes[0].Down.Unit()
				for _, a := range d.SetOut.Of(settingout.Mat) {
					for _, b := range d.SetOut.Of(settingout.Mat) {
						if a.Number == b.Number || a.Layer != x.Layer || b.Layer != x.Layer || a.Upright || b.Upright || !lapsBelow(a, b, down) {
							continue
						}
						laps++
						if begun[a.Number] > begun[b.Number] && !tucked[b.Number+">"+a.Number] {
							t.Errorf("%s, deck %s: %s lies below %s and is laid after it", name, d.Name, a.Number, b.Number)
						}
					}
				}
			}
		}
	}
	if laps == 0 {
		t.Fatal("no example has a lap across the fall")
	}
}

// lapsBelow reports whether a's upper edge lies under b's lower edge, the lap across the fall.
func lapsBelow(a, b settingout.Piece, down plane.Point) bool {
	side := down.Left()
	reach := func(p settingout.Piece, u plane.Point) (low, high float64) {
		low, high = math.Inf(1), math.Inf(-1)
		for _, q := range p.Shape {
			low, high = math.Min(low, u.Dot(q)), math.Max(high, u.Dot(q))
		}
		return low, high
	}
	al, ah := reach(a, side)
	bl, bh := reach(b, side)
	at, ab := reach(a, down)
	bt, bb := reach(b, down)
	wide := math.Min(ah, bh) - math.Max(al, bl)
	deep := math.Min(ab, bb) - math.Max(at, bt)
	return wide > 0.3 && deep > 0.01 && deep < 0.5*wide && ab > bb+0.1 && at > bt+0.1
}
