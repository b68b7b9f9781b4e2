package plan_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"gelwright/firmfile"
	"gelwright/material"
	"gelwright/plan"
	"gelwright/quantity"
	"gelwright/quantity/takeoff"
	"gelwright/settingout"
	"gelwright/settingout/proof"
)

// bought is how much of a catalogue item the order holds.
func bought(p *plan.Plan, key string) float64 {
	for _, l := range p.Order.Schedule.Lines {
		if l.MaterialKey == key {
			return l.Ordered
		}
	}
	return 0
}

// What the firm has in hand is cut first, is not bought, and is named on the order.
// R01 by hand: 7 boards and 2 drip trims; with two whole boards and an offcut of
// 0.5 m of drip trim (3.2 m takes 3.0 + 0.3 m) 5 and 1 are bought.
func TestStockInHandIsNotOrdered(t *testing.T) {
	job := example(t, "r01-garage.yaml")
	b := job.Spec.Board
	board, err := material.Generic().Board(b.Material, b.ThicknessMM, b.LengthM, b.WidthM, b.TongueAndGroove)
	if err != nil {
		t.Fatal(err)
	}
	plain, err := plan.Make(context.Background(), plan.Input{Cache: shared, Job: job, Catalogue: material.Generic()})
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.Make(context.Background(), plan.Input{Cache: shared, Job: job, Catalogue: material.Generic(), Stock: takeoff.Stock{Offcuts: []takeoff.Offcut{
		{Item: board.Key, LengthM: b.LengthM, WidthM: b.WidthM, Count: 2, Where: "yard"},
		{Item: "trim.drip", LengthM: 0.5, Count: 1, Where: "rack 2"},
		{Item: "mat.450", LengthM: 12, Count: 1, Where: "van"},
		{Item: "vcl", LengthM: 3, Count: 1},
	}}})
	if err != nil {
		t.Fatal(err)
	}
	if was, is := bought(plain, board.Key), bought(p, board.Key); was != 7 || is != 5 {
		t.Errorf("%g boards ordered, %g with two in hand", was, is)
	}
	if was, is := bought(plain, "trim.drip"), bought(p, "trim.drip"); was != 2 || is != 1 {
		t.Errorf("%g drip trims ordered, %g with an offcut in hand", was, is)
	}
	if was, is := bought(plain, "mat.450"), bought(p, "mat.450"); !(is < was) {
		t.Errorf("%g m² of mat ordered, %g with 12 m in hand", was, is)
	}
	notes := strings.Join(p.Order.Schedule.Notes, "\n")
	for _, want := range []string{"2 × board", "(yard)", "1 × trim drip, 500 mm (rack 2)", "1 × mat 450", "(van)"} {
		if !strings.Contains(notes, want) {
			t.Errorf("the order does not say %q:\n%s", want, notes)
		}
	}
	for i, d := range p.Decks {
		for _, f := range proof.CheckFrom(p.Job.Decks[i], p.Job.Spec, d.Given, d.SetOut) {
			t.Error(f)
		}
	}
}

// Trims of another length than the catalogue's have a line of their own.
func TestTrimsOfTwoLengthsAreOrderedApart(t *testing.T) {
	job := example(t, "r01-garage.yaml")
	p, err := plan.Make(context.Background(),
		plan.Input{Cache: shared, Job: job, Catalogue: material.Generic(), Stock: takeoff.Stock{TrimLengthsM: []float64{3, 1}, KerfMM: 2, KeepOffcutM: 0.4}})
	if err != nil {
		t.Fatal(err)
	}
	if long, short := bought(p, "trim.drip"), bought(p, "trim.drip.1000"); long != 1 || short != 1 {
		t.Errorf("%g of 3 m and %g of 1 m drip trim, want one of each", long, short)
	}
}

// R01's drip by hand: 3.2 m is four 1.0 m lengths (3.35 m with laps) or one of 3.0 m
// and one of 1.0 m. With 30.00 for the long one and 4.00 for the short one the four at
// 16.00 are ordered, and the order counts their price. Where the kerb lacks a price
// for one length, metres decide and the long one is bought.
func TestFirmsPricesChooseTrimLengths(t *testing.T) {
	job := example(t, "r01-garage.yaml")
	firm := firmfile.Firm{Stock: firmfile.Stock{TrimLengthsM: []float64{1, 3}}}
	prices := quantity.Prices{{Material: "trim.drip", Quantity: 1}: 3000, {Material: "trim.drip.1000", Quantity: 1}: 400,
		{Material: "trim.raised-edge", Quantity: 1}: 3000, {Material: "trim.raised-edge.1000", Quantity: 1}: 400}
	in := plan.Input{Cache: shared, Job: job, Catalogue: firm.Over(material.Generic()), Prices: prices,
		Stock: takeoff.Stock{TrimLengthsM: firm.Stock.TrimLengthsM}}
	p, err := plan.Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if long, short := bought(p, "trim.drip"), bought(p, "trim.drip.1000"); long != 0 || short != 4 {
		t.Errorf("%g of 3 m and %g of 1 m drip trim, want 0 and 4", long, short)
	}
	if long := bought(p, "trim.raised-edge"); long != 0 {
		t.Errorf("%g long kerb trims at 10.00 a metre", long)
	}
	for _, l := range p.Order.Schedule.Lines {
		if l.MaterialKey == "trim.drip.1000" && (l.CostMinor != 1600 || l.Description != "Drip trim to gutter, 1.0 m") {
			t.Errorf("%s costs %d hundredths, want 1600", l.Description, l.CostMinor)
		}
	}
	for i, d := range p.Decks {
		for _, f := range proof.CheckFrom(p.Job.Decks[i], p.Job.Spec, d.Given, d.SetOut) {
			t.Error(f)
		}
	}
	delete(prices, quantity.PriceKey{Material: "trim.raised-edge.1000", Quantity: 1})
	if p, err = plan.Make(context.Background(), in); err != nil {
		t.Fatal(err)
	}
	if long, short := bought(p, "trim.drip"), bought(p, "trim.drip.1000"); long != 1 || short != 1 {
		t.Errorf("without a price %g of 3 m and %g of 1 m drip trim, want one of each", long, short)
	}
}

// R03's front is curved to 1.5 m: one flexible drip trim is ordered and no rigid one,
// and an offcut of flexible trim in hand serves it.
func TestCurvedEdgeOrdersFlexibleTrim(t *testing.T) {
	job := example(t, "r03-bay.yaml")
	for inHand, want := range map[int]float64{0: 1, 1: 0} {
		var s takeoff.Stock
		if inHand > 0 {
			s.Offcuts = []takeoff.Offcut{{Item: "trim.flexible-drip", LengthM: 2.9, Count: inHand, Where: "rack 1"}}
		}
		p, err := plan.Make(context.Background(), plan.Input{Cache: shared, Job: job, Catalogue: material.Generic(), Stock: s})
		if err != nil {
			t.Fatal(err)
		}
		if rigid, flexible := bought(p, "trim.drip"), bought(p, "trim.flexible-drip"); rigid != 0 || flexible != want {
			t.Errorf("with %d in hand %g rigid and %g flexible drip trims, want 0 and %g", inHand, rigid, flexible, want)
		}
	}
}

// The rolls of the order list are the rolls of the cut list, one by one, and hold what is
// cut with the allowance for waste: with prices too, and with a part roll in hand.
func TestRollsOrderedAreTheRollsCut(t *testing.T) {
	for _, name := range examples(t) {
		sameRolls(t, name, planned(t, name))
	}
	in := plan.Input{Job: example(t, "r04-l-shape.yaml"), Catalogue: material.Generic(), Prices: quantity.Prices{}}
	// 40.3 m² are needed: two part rolls of 25 m, unless these are dear.
	for q, cents := range map[float64]int64{10: 9000, 25: 12000, 55: 9900} {
		in.Prices[quantity.PriceKey{Material: "mat.600", Quantity: q}] = cents
	}
	make := func() *plan.Plan {
		p, err := plan.Make(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	p := make()
	sameRolls(t, "with prices", p)
	if got := rollsOrdered(p)["mat.600"]; !slices.Equal(got, []float64{55}) {
		t.Errorf("with prices rolls of %v m² are ordered, want one of 55", got)
	}
	in.Stock.Offcuts = []takeoff.Offcut{{Item: "mat.600", LengthM: 20, Count: 1}}
	in.Prices = nil
	p = make()
	sameRolls(t, "part roll in hand", p)
	if got := rollsOrdered(p)["mat.600"]; !slices.Equal(got, []float64{25}) {
		t.Errorf("with 20 m in hand rolls of %v m² are ordered, want one of 25", got)
	}
}

// rollsOrdered are the packs of mat and tissue ordered, by key, in ascending order.
func rollsOrdered(p *plan.Plan) map[string][]float64 {
	out := map[string][]float64{}
	for _, l := range p.Order.Schedule.Lines {
		if !strings.HasPrefix(l.MaterialKey, "mat.") && !strings.HasPrefix(l.MaterialKey, "tissue.") {
			continue
		}
		for _, c := range l.Order {
			for range c.Count {
				out[l.MaterialKey] = append(out[l.MaterialKey], c.Quantity)
			}
		}
		slices.Sort(out[l.MaterialKey])
	}
	return out
}

func sameRolls(t *testing.T, name string, p *plan.Plan) {
	t.Helper()
	cut, need, have := map[string][]float64{}, map[string]float64{}, map[string]float64{}
	for _, d := range p.Decks {
		for _, m := range d.SetOut.Materials {
			key := strings.TrimSuffix(strings.NewReplacer("mat ", "mat.", "tissue ", "tissue.").Replace(m.Name), " g/m²")
			if m.Kind != settingout.Mat {
				continue
			}
			need[key] += m.Bought
			for _, x := range m.Taken {
				if !x.Bought {
					have[key] += float64(x.LengthMM*x.Count) / 1000
				}
			}
			for _, r := range m.Rolls {
				if !r.InHand {
					cut[key] = append(cut[key], float64(r.LengthMM)*float64(r.WidthMM)/1e6)
					have[key] += float64(r.LengthMM) * float64(r.WidthMM) / 1e6
				}
			}
		}
	}
	ordered := rollsOrdered(p)
	for key, m2 := range need {
		slices.Sort(cut[key])
		if !slices.Equal(cut[key], ordered[key]) {
			t.Errorf("%s: %s is cut from rolls of %v m², %v are ordered", name, key, cut[key], ordered[key])
		}
		if m2*1.03 > have[key]+1e-6 {
			t.Errorf("%s: %s: %.2f m² are cut and 3 %% kept over, the rolls hold %.2f", name, key, m2, have[key])
		}
	}
}
