package settingout_test

import (
	"context"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/settingout/proof"
)

// onEdge lists the lengths of the trims of an edge in the order they lie.
func onEdge(s settingout.SetOut, edge int) []int {
	var out []int
	for _, p := range s.Of(settingout.Trim) {
		if p.Edge == edge {
			out = append(out, p.LengthMM)
		}
	}
	return out
}

// Every edge of the acceptance roofs that takes two trims or more can be divided
// into pieces of 0.5 m and more (common practice), and is.
func TestClosingPiecesAreHalfAMetre(t *testing.T) {
	divided := 0
	for _, l := range acceptanceSetOuts() {
		for i := range l.deck.Outline {
			lengths := onEdge(l.plan, i)
			if len(lengths) < 2 {
				continue
			}
			divided++
			if slices.Min(lengths) < 500 {
				t.Errorf("%s %s, edge %d: %v", l.roof.id, l.deck.Name, i+1, lengths)
			}
		}
		for _, f := range l.plan.Findings {
			if f.Code == "trim.short" {
				t.Errorf("%s: %s", l.roof.id, f.Text)
			}
		}
	}
	if divided < 20 {
		t.Errorf("only %d edges are divided", divided)
	}
}

// R01 by hand: kerbs of 3.2, 5.6 and 5.6 m are 14.55 m with a lap on each, five
// lengths of 3.0 m. In two pieces each (2.65 m or more on the long edges) no length
// has room for a second piece of 0.5 m, so six would be bought; with a third piece
// on one long edge five are enough.
func TestLongerClosingPiecesCostNoStock(t *testing.T) {
	d, spec := acceptanceRoofs()[0].decks[0], usual([]float64{450})
	s := setOutFrom(t, d, spec, settingout.Supply{})
	if m := material(t, s, "trim kerb"); m.Items != 5 || !m.Optimal {
		t.Errorf("%d kerb trims bought, want 5", m.Items)
	}
	pieces := 0
	for _, e := range []int{0, 1, 3} {
		pieces += len(onEdge(s, e))
	}
	if pieces != 7 {
		t.Errorf("%d pieces on the kerbs, want 7", pieces)
	}
}

// twoDrips is a deck with drips of 3.2 m and of depth, and nothing on its other sides.
func twoDrips(depthM float64) roof.Deck {
	d := roof.Deck{Name: "small", Outline: plane.RingOf(plane.Point{}, plane.Point{X: 3.2}, plane.Point{X: 3.2, Y: depthM}, plane.Point{Y: depthM}),
		Edges: edgesOf(roof.Drip, roof.Drip, roof.Joins, roof.Joins), Base: roof.Base{Kind: "sound deck"}}
	d.Falls = plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: -1}, Ratio: 40}}}
	return d
}

// By hand: beside 2.697 m a 3.0 m length has room for a stub of 0.3 m after a cut of
// 3 mm. Two pieces of 0.5 m and more for 3.2 m (3.25 m with the lap) have none, and in
// pieces the two edges together need 3.25 + 2.747 m and two cuts, 6.003 m: three
// lengths, which the choice tells. Beside 2.65 m it is 3.25 + 2.70 + 0.006 m = 5.956 m:
// two lengths are enough.
func TestStockThatLongerPiecesCostIsTold(t *testing.T) {
	for _, c := range []struct {
		depthM float64
		want   int
		told   string
	}{{2.697, 3, "9.00 m bought; with pieces down to 300 mm it would be 6.00"}, {2.65, 2, ""}} {
		s := setOutFrom(t, twoDrips(c.depthM), usual([]float64{450}), settingout.Supply{})
		if m := material(t, s, "trim drip"); m.Items != c.want {
			t.Errorf("beside %g m: %d bought, want %d", c.depthM, m.Items, c.want)
		}
		told := ""
		for _, x := range s.Choices {
			if x.About == "closing pieces of trims" {
				told = x.Text
			}
		}
		if !strings.HasSuffix(told, c.told) || (told == "") != (c.told == "") {
			t.Errorf("beside %g m it is told %q", c.depthM, told)
		}
	}
}

// Of lengths of 0.8 m an edge of 0.85 m takes two pieces, 0.9 m with the lap: not
// both can have 0.5 m. They are as long as can be, and it is said.
func TestShortPiecesThatCannotBeHelped(t *testing.T) {
	s := setOutFrom(t, twoDrips(0.85), usual([]float64{450}), settingout.Supply{TrimLengthsM: []float64{0.8}})
	if got := onEdge(s, 1); !slices.Equal(got, []int{450, 450}) {
		t.Errorf("divided %v", got)
	}
	found := 0
	for _, f := range s.Findings {
		if f.Code == "trim.short" {
			found++
		}
	}
	if found != 1 {
		t.Errorf("%d findings of short pieces, want 1", found)
	}
}

// The checker faults a stub where the edge could do without, whatever is found.
func TestCheckerFaultsStubs(t *testing.T) {
	d, spec := acceptanceRoofs()[1].decks[0], usual([]float64{450})
	s := setOutFrom(t, d, spec, settingout.Supply{})
	if got := onEdge(s, 0); !slices.Equal(got, []int{3000, 650}) && !slices.Equal(got, []int{650, 3000}) {
		t.Fatalf("R02's drip of 3.6 m is divided %v", got)
	}
	// The same edge, its closing piece 0.35 m and a piece more: laps and cover hold.
	lengths, at := []int{3000, 350, 400}, 0.0
	var kept []settingout.Piece
	var first settingout.Piece
	for _, p := range s.Pieces {
		if p.Kind == settingout.Trim && p.Edge == 0 {
			first = p
			continue
		}
		kept = append(kept, p)
	}
	e := d.Outline.Edge(0)
	for k, l := range lengths {
		p := first
		p.Number, p.LengthMM, p.Corner, p.Order = "X"+string(rune('1'+k)), l, e.At(at/e.Length()), k+1
		kept = append(kept, p)
		at += float64(l-50) / 1000
	}
	s.Pieces = kept
	stubs, cover := 0, 0
	for _, f := range proof.Check(d, spec, s) {
		switch f.Code {
		case "trim.short":
			stubs++
		case "trim.cover", "trim.lap":
			cover++
		}
	}
	if stubs != 2 || cover != 0 {
		t.Errorf("%d stubs found, want 2; %d of cover, want none", stubs, cover)
	}
}

// radial is a deck with a curved drip of this radius over 2.4 m and kerbs that run
// to the arc's centre, so that they meet it square.
func radial(radiusM float64) roof.Deck {
	half := 1.2
	drop := math.Sqrt(radiusM*radiusM - half*half)
	c := plane.Point{X: half, Y: drop}
	in := func(p plane.Point) plane.Point { return c.Add(p.Sub(c).Scale(1 - 0.6/radiusM)) }
	a, b := plane.Point{}, plane.Point{X: 2 * half}
	d := roof.Deck{Name: "round", Edges: edgesOf(roof.Drip, roof.Kerb, roof.Wall, roof.Kerb), Base: roof.Base{Kind: "sound deck"},
		Outline: plane.Ring{{Point: a, Bulge: math.Tan(math.Asin(half/radiusM) / 2)}, {Point: b}, {Point: in(b)}, {Point: in(a)}}}
	d.Falls = plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: -1}, Ratio: 40}}}
	return d
}

// An edge of a radius under 3 m takes a flexible trim (common practice), one of 3 m
// and more a rigid one. The corners at its ends are the usual ones.
func TestSharplyCurvedEdgesTakeFlexibleTrims(t *testing.T) {
	for _, c := range []struct {
		radiusM  float64
		material string
	}{{1.5, "trim drip, flexible"}, {2.98, "trim drip, flexible"}, {3.02, "trim drip"}, {6, "trim drip"}} {
		s := setOutFrom(t, radial(c.radiusM), usual([]float64{450}), settingout.Supply{})
		var corners []string
		for _, p := range s.Pieces {
			switch {
			case p.Kind == settingout.Trim && p.Edge == 0 && (p.Material != c.material || p.Flexible() != strings.Contains(c.material, "flexible")):
				t.Errorf("radius %g m: %s", c.radiusM, p.Material)
			case p.Kind == settingout.Trim && p.Edge != 0 && p.Flexible():
				t.Errorf("radius %g m: a straight edge takes %s", c.radiusM, p.Material)
			case p.Kind == settingout.Corner && p.Edge < 2:
				corners = append(corners, p.Material)
			}
		}
		if material(t, s, c.material).Items != 1 {
			t.Errorf("radius %g m: not one length of %s", c.radiusM, c.material)
		}
		slices.Sort(corners)
		if want := []string{"corner external drip to kerb, left hand", "corner external drip to kerb, right hand"}; !slices.Equal(corners, want) {
			t.Errorf("radius %g m: corners %v", c.radiusM, corners)
		}
	}
}

// The checker tells a rigid trim on a sharp curve, and a flexible one on a straight.
func TestCheckerFaultsWrongTrimOnCurves(t *testing.T) {
	d, spec := radial(1.5), usual([]float64{450})
	made, err := settingout.Make(context.Background(), d, spec)
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(made)
	if err != nil {
		t.Fatal(err)
	}
	spoilt := strings.NewReplacer(`"trim drip, flexible"`, `"trim drip"`, `"trim kerb"`, `"trim kerb, flexible"`).Replace(string(text))
	var s settingout.SetOut
	if err := json.Unmarshal([]byte(spoilt), &s); err != nil {
		t.Fatal(err)
	}
	wrong := 0
	for _, f := range proof.Check(d, spec, s) {
		if f.Code == "trim.flexible" {
			wrong++
		}
	}
	if wrong != 3 {
		t.Errorf("%d wrong trims found, want 3", wrong)
	}
}

// By hand: R01's drip is 3.2 m. At 4 for 1.0 m and 30 for 3.0 m four short ones
// (3.35 m with three laps) at 16 are cheaper than 3.0 + 1.0 m at 34, though both are
// 4 m. At 4 and 5 one of each costs 9, two long ones 10. At 6 and 5 two long ones at 10
// are cheaper than one of each at 11, though they are 6 m. Where one of the deck's
// trims has no prices the metres decide.
func TestPricesChooseTrimLengths(t *testing.T) {
	d, spec := acceptanceRoofs()[0].decks[0], usual([]float64{450})
	for _, c := range []struct {
		drip, kerb  []float64
		long, short int
		unit        string
	}{
		{[]float64{30, 4}, []float64{30, 4}, 0, 4, "price"},
		{[]float64{5, 4}, []float64{5, 4}, 1, 1, "price"},
		{[]float64{5, 6}, []float64{5, 6}, 2, 0, "price"},
		{[]float64{30, 4}, nil, 1, 1, "m"},
	} {
		prices := map[string][]float64{"trim drip": c.drip}
		if c.kerb != nil {
			prices["trim kerb"] = c.kerb
		}
		s := setOutFrom(t, d, spec, settingout.Supply{TrimLengthsM: []float64{3, 1}, TrimCostOf: prices})
		m := material(t, s, "trim drip")
		count := map[int]int{}
		for _, x := range m.Stock {
			count[x.LengthMM]++
		}
		if count[3000] != c.long || count[1000] != c.short || m.BoundUnit != c.unit {
			t.Errorf("at %v: %v by %s, want %d long and %d short by %s", c.drip, count, m.BoundUnit, c.long, c.short, c.unit)
		}
	}
}
