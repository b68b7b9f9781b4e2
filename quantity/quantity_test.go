package quantity

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"sort"
	"strings"
	"testing"

	"gelwright/material"
	"gelwright/working"

	"pgregory.net/rapid"
)

func packs(sizes ...float64) []PricedPack {
	var out []PricedPack
	for _, s := range sizes {
		out = append(out, PricedPack{Name: fmt.Sprint(s), Quantity: s})
	}
	return out
}

func text(c Covering) string {
	var parts []string
	for _, p := range c.Packs {
		parts = append(parts, fmt.Sprintf("%d×%g", p.Count, p.Quantity))
	}
	return strings.Join(parts, " ")
}

// Worked by hand.
func TestCoverByHand(t *testing.T) {
	for _, row := range []struct {
		name  string
		need  float64
		packs []PricedPack
		want  string
		cost  int64
	}{
		{"no prices: fewest with no more than a quarter over", 33.6, packs(5, 10, 20), "2×20", 0},
		{"a quarter over and no more", 16.1, packs(5, 10, 20), "1×20", 0},
		{"more than a quarter: least surplus", 7, packs(6, 20), "2×6", 0},
		{"nothing within a quarter", 250, packs(200, 1000), "2×200", 0},
		{"exact need", 30, packs(5, 10, 20), "1×20 1×10", 0},
		{"nothing", 0, packs(5), "", 0},
		{"a bigger pack is cheaper", 16, []PricedPack{{"5", 5, 2500, true}, {"20", 20, 7000, true}}, "1×20", 7000},
		// 22 kg: 20 + 5 costs 9500, five of 5 cost 12 500, two of 20 cost 14 000.
		{"mixture is cheapest", 22, []PricedPack{{"5", 5, 2500, true}, {"20", 20, 7000, true}}, "1×20 1×5", 9500},
		{"one price missing: by size", 16, []PricedPack{{"5", 5, 0, false}, {"20", 20, 1, true}}, "1×20", 0},
		{"grams", 0.67, packs(0.1, 0.25, 0.5, 1), "1×0.5 1×0.25", 0},
		{"greedy fails: 6 = 3+3, not 4+…", 6, packs(3, 4), "2×3", 0},
	} {
		c, err := Cover(row.need, row.packs)
		if err != nil {
			t.Fatal(err)
		}
		if text(c) != row.want || c.CostMinor != row.cost || !c.Proven {
			t.Errorf("%s: got %q for %d (proven %v), want %q for %d", row.name, text(c), c.CostMinor, c.Proven, row.want, row.cost)
		}
	}
}

// Exact choice against trying every combination.
func TestCoverAgainstEveryCombination(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		need := float64(rapid.IntRange(0, 60).Draw(t, "need")) / 2
		priced := rapid.Bool().Draw(t, "priced")
		var ps []PricedPack
		for _, s := range rapid.SliceOfNDistinct(rapid.IntRange(2, 30), 1, 3, rapid.ID[int]).Draw(t, "half sizes") {
			ps = append(ps, PricedPack{fmt.Sprint(s), float64(s) / 2, int64(rapid.IntRange(1, 40).Draw(t, "price")), priced})
		}
		c, err := Cover(need, ps)
		if err != nil {
			t.Fatal(err)
		}
		if c.Total < need-1e-9 || !c.Proven {
			t.Fatalf("%g ordered of %g, proven %v", c.Total, need, c.Proven)
		}
		type outcome struct {
			cost    int64
			surplus float64
			count   int
		}
		best := outcome{math.MaxInt64, math.Inf(1), math.MaxInt}
		var try func(i int, total float64, o outcome)
		try = func(i int, total float64, o outcome) {
			if total >= need-1e-9 {
				o.surplus = total - need
				// Without prices a surplus within a quarter counts for less than a pack.
				if within := o.surplus <= need/4+1e-9; !priced && within != (best.surplus <= need/4+1e-9) {
					if within {
						best = o
					}
					return
				} else if !priced && within {
					if o.count < best.count || o.count == best.count && o.surplus < best.surplus-1e-9 {
						best = o
					}
					return
				}
				if o.cost < best.cost || (o.cost == best.cost &&
					(o.surplus < best.surplus-1e-9 || (o.surplus < best.surplus+1e-9 && o.count < best.count))) {
					best = o
				}
				return
			}
			for k := i; k < len(ps); k++ {
				next := o
				next.count++
				if priced {
					next.cost += ps[k].CostMinor
				}
				try(k, total+ps[k].Quantity, next)
			}
		}
		try(0, 0, outcome{})
		got := outcome{c.CostMinor, c.Surplus, 0}
		for _, p := range c.Packs {
			got.count += p.Count
		}
		if got.cost != best.cost || math.Abs(got.surplus-best.surplus) > 1e-6 || got.count != best.count {
			t.Fatalf("got %+v, best is %+v", got, best)
		}
	})
}

func TestCoverOfHugeNeedStaysQuickAndCovers(t *testing.T) {
	for _, need := range []float64{5000.0009, 123456.789, 1e9} {
		c, err := Cover(need, packs(0.007, 1.003, 20, 1e6))
		if err != nil {
			t.Fatal(err)
		}
		if c.Total < need-1e-6*need || c.Total > need*1.01+1e6 {
			t.Errorf("%g ordered of %g", c.Total, need)
		}
		if c.Proven {
			t.Errorf("claims proof for %g", need)
		}
	}
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, err := Cover(bad, packs(1)); err == nil {
			t.Errorf("%g is taken", bad)
		}
	}
	for _, ps := range [][]PricedPack{nil, packs(0), packs(math.NaN()), {{"x", 1, -5, true}}} {
		if _, err := Cover(1, ps); err == nil {
			t.Errorf("%v is taken", ps)
		}
	}
}

// 100 kg resin (91 l at 1.10) + 20 kg top coat (16 l at 1.25) + 5 l acetone × 3 + 2 kg
// catalyst × 3 = 91 + 16 + 15 + 6 = 128 points; factors of ADR 1.1.3.6 from memory.
func TestCarriageExample128Points(t *testing.T) {
	s, err := Make(Input{Items: material.Generic().Items(), Uses: []PieceUse{
		{"M1", "resin.all-season", 100, "kg"}, {"M2", "topcoat.waxed", 20, "kg"}, {"M3", "acetone", 5, "l"}, {"M4", "catalyst.mekp", 2, "kg"},
	}})
	if err != nil {
		t.Fatal(err)
	}
	if math.Round(s.Load.Points) != 128 || !s.Load.Small || s.Load.Deliveries != 1 || s.Load.Figure.Source.Standing != working.Remembered {
		t.Errorf("load %+v", s.Load)
	}
	if !strings.Contains(s.Load.Finding, "from memory") {
		t.Errorf("a remembered rule is shown as regulation: %s", s.Load.Finding)
	}
	big, err := Make(Input{Items: material.Generic().Items(), Uses: []PieceUse{{"M1", "resin.all-season", 1350, "kg"}}})
	if err != nil {
		t.Fatal(err)
	}
	if big.Load.Small || big.Load.Deliveries != 2 {
		t.Errorf("1350 kg of resin: %+v", big.Load)
	}
}

func TestLineFromPieces(t *testing.T) {
	in := Input{Items: material.Generic().Items(),
		Uses: []PieceUse{{"B10", "resin.all-season", 3.5, "kg"}, {"B2", "resin.all-season", 4, "kg"},
			{"B2", "resin.all-season", 0.5, "kg"}, {"T1", "trim.drip", 1, "piece"}},
		WasteOfKind: map[material.Kind]Waste{material.KindResin: {Pct: 10}}, WasteOf: map[string]Waste{"trim.drip": {Pct: 0}},
		Prices: Prices{{"resin.all-season", 5}: 2500, {"resin.all-season", 10}: 4500, {"resin.all-season", 20}: 8000,
			{"resin.all-season", 225}: 80000},
	}
	s, err := Make(in)
	if err != nil {
		t.Fatal(err)
	}
	trim, resin := s.Lines[0], s.Lines[1]
	if trim.MaterialKey != "trim.drip" || resin.MaterialKey != "resin.all-season" {
		t.Fatalf("order of lines: %s, %s", trim.MaterialKey, resin.MaterialKey)
	}
	if resin.Net != 8 || math.Abs(resin.Gross-8.8) > 1e-12 || strings.Join(resin.Pieces, " ") != "B2 B10" {
		t.Errorf("%+v", resin)
	}
	// 8.8 kg: 10 kg at 4500 beats two of 5 at 5000.
	if resin.OrderText() != "1 × 10 kg pail" || resin.CostMinor != 4500 || !resin.Priced || math.Abs(resin.Surplus-1.2) > 1e-9 ||
		resin.SurplusCostMinor != 540 {
		t.Errorf("%s, %d, surplus %g (%d)", resin.OrderText(), resin.CostMinor, resin.Surplus, resin.SurplusCostMinor)
	}
	if trim.Priced || len(s.Unpriced) != 1 || s.CostMinor != 4500 {
		t.Errorf("unpriced %v, cost %d", s.Unpriced, s.CostMinor)
	}
	if resin.Figure.Key != "quantity.resin.all-season" || len(resin.Figure.Inputs) != 2 {
		t.Errorf("figure %+v", resin.Figure)
	}
	in.InHand = map[string]float64{"resin.all-season": 100}
	if s, err = Make(in); err != nil {
		t.Fatal(err)
	}
	if s.Lines[1].OrderText() != "none" || s.Lines[1].Net != 8 {
		t.Errorf("with 100 kg in hand: %+v", s.Lines[1])
	}
}

func TestOrderInWords(t *testing.T) {
	s, err := Make(Input{Items: material.Generic().Items(),
		Uses: []PieceUse{{"B1", "board.osb3.18.2400x1200", 7, "piece"}, {"F1", "timber.firring", 21.5, "m"}, {"T1", "tool.scale", 1, "piece"},
			{"T2", "tool.stirrer", 0, "piece"}}})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"7 pieces", "22 m", "1 piece", "none"} {
		if got := s.Lines[i].OrderText(); got != want {
			t.Errorf("%s: %q, want %q", s.Lines[i].MaterialKey, got, want)
		}
	}
	if from := s.Lines[0].Figure.Inputs[0].Source.Title; from != "one piece" {
		t.Errorf("the net of one piece is from %q", from)
	}
}

func TestSpareIsKept(t *testing.T) {
	in := Input{Items: material.Generic().Items(), Uses: []PieceUse{{"B1", "resin.all-season", 20, "kg"}},
		KeepSpare: []string{"resin.all-season"}}
	s, err := Make(in)
	if err != nil {
		t.Fatal(err)
	}
	if l := s.Lines[0]; l.Ordered < 22 || l.Surplus != l.Ordered-20 || !strings.Contains(l.Note, "contingency") {
		t.Errorf("%+v", l)
	}
}

// Rules of thumb of the trade, common practice with no citable source: for 20 m²
// of one layer and one coat by two people in a day: acetone 5 l (20 × 0.2 = 4, but
// never under 5), 2 sleeves, 1 top coat sleeve, 2 brushes, 8 pairs of gloves; 40 kg
// at 3 % is 1.2 kg of catalyst, of which 0.8 is in the buckets.
func TestConsumables(t *testing.T) {
	uses, err := Consumables(Work{LaminateM2: 20, TopCoatM2: 20, ResinKG: 30, TopCoatKG: 10, CatalystKG: 0.8, Mixes: 9, People: 2, Days: 1})
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{"acetone": 5, "tool.roller-sleeve": 2, "tool.topcoat-sleeve": 1, "tool.brush": 2, "protection.gloves": 8,
		"catalyst.mekp": 0.4, "protection.eyewash": 2, "tool.bucket": 3}
	c := material.Generic()
	for _, u := range uses {
		item, err := c.Item(u.MaterialKey)
		if err != nil {
			t.Error(err)
			continue
		}
		if item.Unit != u.Unit {
			t.Errorf("%s in %s, sold in %s", u.MaterialKey, u.Unit, item.Unit)
		}
		if s := u.Figure.Source.Standing; s != working.CommonPractice && s != working.Assumed {
			t.Errorf("%s claims to be %s", u.MaterialKey, s)
		}
		if v, asked := want[u.MaterialKey]; asked {
			if math.Abs(u.Figure.Value-v) > 1e-9 {
				t.Errorf("%s: %g, want %g", u.MaterialKey, u.Figure.Value, v)
			}
			delete(want, u.MaterialKey)
		}
	}
	if len(want) > 0 {
		t.Errorf("no rule for %v", want)
	}
	s, err := Make(Input{Items: c.Items(), Rules: uses})
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Lines) != len(uses) {
		t.Errorf("%d lines of %d rules", len(s.Lines), len(uses))
	}
	if _, err := Consumables(Work{}); err == nil {
		t.Error("nobody works and it is taken")
	}
}

// A warm day buys the buckets' own and a fifth, no less than a bottle of 100 g.
func TestCatalystReserveByTheDay(t *testing.T) {
	for _, c := range []struct {
		warm       bool
		mixes      int
		used, want float64
	}{{false, 9, 0.8, 0.4}, {true, 9, 0.8, 0.16}, {true, 9, 0.3, 0.1}, {true, 0, 0.8, 0.4}} {
		w := Work{ResinKG: 30, TopCoatKG: 10, CatalystKG: c.used, Mixes: c.mixes, People: 2, Days: 1, Warm: c.warm}
		if got := catalystReserve(w, CatalystUse{"catalyst.mekp", c.used, 30, 10}).Figure.Value; math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%+v: %g kg in reserve, want %g", c, got, c.want)
		}
	}
}

func TestNothingOrderedIsLessThanUsed(t *testing.T) {
	items := material.Generic().Items()
	rapid.Check(t, func(t *rapid.T) {
		in := Input{Items: items, WasteOfKind: map[material.Kind]Waste{}, Prices: Prices{}}
		used := map[string]float64{}
		for i := range rapid.IntRange(0, 30).Draw(t, "pieces") {
			item := rapid.SampledFrom(items).Draw(t, "item")
			q := rapid.Float64Range(0, 400).Draw(t, "quantity")
			if item.Unit == "piece" {
				q = math.Ceil(q / 20)
			}
			in.Uses = append(in.Uses, PieceUse{fmt.Sprintf("P%d", i+1), item.Key, q, item.Unit})
			used[item.Key] += q
			in.WasteOfKind[item.Kind] = Waste{Pct: rapid.Float64Range(0, 20).Draw(t, "waste")}
			for _, p := range item.Packs {
				if rapid.Bool().Draw(t, "priced") {
					in.Prices[PriceKey{item.Key, p.Quantity}] = int64(rapid.IntRange(1, 100000).Draw(t, "price"))
				}
			}
		}
		s, err := Make(in)
		if err != nil {
			t.Fatal(err)
		}
		if len(s.Lines) != len(used) {
			t.Fatalf("%d lines for %d materials", len(s.Lines), len(used))
		}
		for _, l := range s.Lines {
			sum := 0.0
			for _, p := range l.Order {
				sum += float64(p.Count) * p.Quantity
			}
			if l.Gross < l.Net || l.Ordered < l.Gross-1e-5 || math.Abs(sum-l.Ordered) > 1e-9*(1+sum) ||
				math.Abs(l.Net-used[l.MaterialKey]) > 1e-9*(1+l.Net) {
				t.Fatalf("%+v", l)
			}
			if l.Net > 0 && len(l.Pieces) == 0 {
				t.Fatalf("%s points at no piece", l.MaterialKey)
			}
		}
		// The order in which pieces are given changes nothing but the last bits of a sum.
		rev := in
		rev.Uses = nil
		for i := len(in.Uses) - 1; i >= 0; i-- {
			rev.Uses = append(rev.Uses, in.Uses[i])
		}
		r, err := Make(rev)
		if err != nil {
			t.Fatal(err)
		}
		for i := range s.Lines {
			if !reflect.DeepEqual(s.Lines[i].Pieces, r.Lines[i].Pieces) || math.Abs(s.Lines[i].Net-r.Lines[i].Net) > 1e-9*(1+s.Lines[i].Net) {
				t.Fatalf("order of pieces matters: %+v, %+v", s.Lines[i], r.Lines[i])
			}
		}
	})
}

func TestAllFaultsAtOnce(t *testing.T) {
	_, err := Make(Input{Items: material.Generic().Items(),
		Uses:   []PieceUse{{"A1", "unobtainium", 1, "kg"}, {"A2", "acetone", 1, "kg"}, {"A3", "acetone", -1, "l"}},
		InHand: map[string]float64{"vcl": math.NaN()}})
	if err == nil {
		t.Fatal("taken")
	}
	for _, want := range []string{"A1", "unobtainium", "A2", `measured in "l"`, "A3", "vcl"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q lacks %s", err, want)
		}
	}
}

func TestRowsAndJSON(t *testing.T) {
	s, err := Make(Input{Items: material.Generic().Items(), Uses: []PieceUse{{"B1", "acetone", 5, "l"}, {"B1", "vcl", 12.3456, "m²"}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range s.Rows() {
		if len(r) != len(Header()) {
			t.Errorf("row of %d cells under a header of %d", len(r), len(Header()))
		}
	}
	if got := s.Rows()[0][4]; got != "12.346" {
		t.Errorf("net of the first row is %q", got)
	}
	raw, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	var back Schedule
	if err := json.Unmarshal(raw, &back); err != nil {
		t.Fatal(err)
	}
	if back.Lines[1].OrderText() != "1 × 5 l can" || back.Load.Points != 15 {
		t.Errorf("read back %+v", back)
	}
}

func TestNumbersAreOrderedAsPeopleDo(t *testing.T) {
	got := []string{"B10", "B2", "S4.10", "S4.2", "B1", "B02", "B"}
	sort.Slice(got, func(i, j int) bool { return numberLess(got[i], got[j]) })
	if want := "B B1 B2 B02 B10 S4.2 S4.10"; strings.Join(got, " ") != want {
		t.Errorf("%v, want %s", got, want)
	}
}

// Gangs that mix at the same time cannot share one scale, dispenser or paddle.
func TestEachGangHasItsMixingTools(t *testing.T) {
	for gangs, want := range map[int]float64{0: 1, 1: 1, 3: 3} {
		uses, err := Consumables(Work{LaminateM2: 20, Mixes: 9, People: 6, Days: 1, Gangs: gangs})
		if err != nil {
			t.Fatal(err)
		}
		seen := 0
		for _, u := range uses {
			switch u.MaterialKey {
			case "tool.scale", "tool.catalyst-dispenser", "tool.stirrer":
				seen++
				if u.Figure.Value != want {
					t.Errorf("%d gangs: %g of %s, want %g", gangs, u.Figure.Value, u.MaterialKey, want)
				}
			}
		}
		if seen != 3 {
			t.Errorf("%d mixing tools", seen)
		}
	}
}

// What the plan asks for is on the list: meters always, pots and a brush for each man and coat where edges are cut in, a syringe where
// a dose is smaller than a dispenser measures (common practice, no source). By hand: 9 of 20 mixes are pots, a quarter of them 3; two
// people and two coats take four brushes; the other 11 mixes take 3 buckets.
func TestToolsThatThePlanAsksFor(t *testing.T) {
	for name, c := range map[string]struct {
		work Work
		want map[string]float64
		none []string
	}{
		"cut in": {Work{LaminateM2: 20, Mixes: 20, Pots: 9, Coats: 2, LeastML: 12, People: 2, Days: 1},
			map[string]float64{"tool.pot": 3, "tool.brush.cutting-in": 4, "tool.bucket": 3, "tool.syringe": 1, "tool.thermometer": 1,
				"tool.hygrometer": 1, "tool.moisture-meter": 1}, nil},
		"not cut in": {Work{LaminateM2: 20, Mixes: 9, LeastML: 20, People: 2, Days: 1},
			map[string]float64{"tool.bucket": 3, "tool.moisture-meter": 1}, []string{"tool.pot", "tool.brush.cutting-in", "tool.syringe"}},
	} {
		uses, err := Consumables(c.work)
		if err != nil {
			t.Fatal(err)
		}
		got := map[string]float64{}
		for _, u := range uses {
			got[u.MaterialKey] = u.Figure.Value
		}
		for key, want := range c.want {
			if got[key] != want {
				t.Errorf("%s: %g of %s, want %g", name, got[key], key, want)
			}
		}
		for _, key := range c.none {
			if _, there := got[key]; there {
				t.Errorf("%s: %s is on the list", name, key)
			}
		}
	}
}
