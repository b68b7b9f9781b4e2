package plan_test

import (
	"strings"
	"testing"

	"gelwright/settingout"
)

// Three decks are boarded from one delivery: what is left of one is cut for the next,
// nothing is taken twice, and what was taken is not kept for the next job.
func TestOffcutsServeTheNextDeck(t *testing.T) {
	p := planned(t, "r11-three-levels.yaml")
	type size struct {
		material, where string
		l, w            int
	}
	left, taken := map[size]int{}, map[size]int{}
	reused := 0
	for _, d := range p.Decks {
		for _, m := range d.SetOut.Materials {
			for _, x := range m.Taken {
				if x.Bought && strings.HasPrefix(x.Where, "offcut of deck") {
					is := size{m.Name, x.Where, x.LengthMM, x.WidthMM}
					taken[is] += x.Count
					reused += x.Count
					if taken[is] > left[is] {
						t.Errorf("deck %s takes %d of %v, %d are left of decks before", d.Name, taken[is], is, left[is])
					}
				}
			}
		}
		for _, m := range d.SetOut.Materials {
			for _, s := range m.Stock {
				if m.Kind == settingout.Mat {
					break
				}
				for _, o := range s.Offcuts {
					left[size{m.Name, settingout.OffcutOf(d.Name), o.LengthMM, o.WidthMM}]++
				}
			}
		}
	}
	if reused == 0 {
		t.Fatal("nothing left of one deck serves another")
	}
	kept := map[size]int{}
	for _, k := range p.Kept() {
		if k.Kind == settingout.Board || k.Kind == settingout.Trim {
			kept[size{k.Material, settingout.OffcutOf(k.Deck), k.LengthMM, k.WidthMM}]++
		}
	}
	for is, n := range left {
		if kept[is] != n-taken[is] {
			t.Errorf("%v: %d left, %d taken, %d kept", is, n, taken[is], kept[is])
		}
	}
	rolls := 0
	for _, k := range p.Kept() {
		if k.Kind == settingout.Mat && strings.HasPrefix(k.From, "roll") {
			rolls++
		}
	}
	begun := map[string]bool{}
	for _, d := range p.Decks {
		for _, m := range d.SetOut.Materials {
			for _, r := range m.Rolls {
				if !r.InHand {
					begun[d.Name] = true
				}
			}
		}
	}
	if rolls > len(begun)+1 {
		t.Errorf("%d part rolls are kept for the next job, %d decks began one", rolls, len(begun))
	}
}
