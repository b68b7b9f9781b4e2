package working

import (
	"encoding/json"
	"strings"
	"testing"
)

func tree() *Figure {
	length := GivenFigure("L", "length", 5.6, "m", "garage.yaml, deck main")
	width := GivenFigure("B", "width", 3.2, "m", "garage.yaml, deck main")
	area := MustFormula("A = L·B").Figure("area", "m²", Source{Title: "plane geometry", Standing: Derived}, length, width).Keyed("deck.main.area")
	rate := Constant("q", "resin rate", 1.5, "kg/m²", Source{Title: "resin use on boards", Standing: CommonPractice})
	return MustFormula("M = q·A").Figure("resin", "kg", Source{Standing: Derived}, rate, area).Keyed("deck.main.resin")
}

func TestUnfoldReachesEveryInputAndItsStanding(t *testing.T) {
	var b strings.Builder
	if err := Unfold(&b, tree()); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"resin M = 26.88 kg", "by: M = q·A", "area A = 17.92 m²", "length L = 5.6 m", "garage.yaml, deck main (given)", "(common practice, no source)"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("unfolded working lacks %q:\n%s", want, b.String())
		}
	}
}

func TestLedgerKeepsKeysAndWritesEachFigureOnce(t *testing.T) {
	var l Ledger
	root := tree()
	l.Add(root)
	l.Add(root)
	if got := strings.Join(l.Keys(), " "); got != "deck.main.area deck.main.resin" {
		t.Fatalf("keys %q", got)
	}
	raw, err := json.Marshal(&l)
	if err != nil {
		t.Fatal(err)
	}
	var back []struct {
		ID     string
		Inputs []string
	}
	if err := json.Unmarshal(raw, &back); err != nil {
		t.Fatal(err)
	}
	ids := map[string]int{}
	for _, r := range back {
		ids[r.ID]++
	}
	if len(ids) != 5 {
		t.Fatalf("want 5 records, got %v", ids)
	}
	for id, n := range ids {
		if n != 1 {
			t.Errorf("%s written %d times", id, n)
		}
	}
	for _, r := range back {
		for _, in := range r.Inputs {
			if ids[in] == 0 {
				t.Errorf("%s points at %s, which is not written", r.ID, in)
			}
		}
	}
}

func TestNumberKeepsWhatAPersonNeeds(t *testing.T) {
	for v, want := range map[float64]string{0: "0", 17.92: "17.92", 1375.84: "1376", 0.00012: "0.00012", 2.0: "2", 0.0285: "0.0285", -3.14159: "-3.142"} {
		if got := Number(v); got != want {
			t.Errorf("Number(%g) = %q, want %q", v, got, want)
		}
	}
}

func TestNoChanceIsCertain(t *testing.T) {
	for p, want := range map[float64]string{1: "over 99", 0.9951: "over 99", 0.99: "99", 0.504: "50", 0.01: "1", 0.0099: "under 1", 0: "under 1"} {
		if got := Chance(p); got != want {
			t.Errorf("%g prints as %q, want %q", p, got, want)
		}
	}
}
