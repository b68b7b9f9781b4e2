package settingout_test

import (
	"context"
	"testing"

	"pgregory.net/rapid"

	"gelwright/plane"
	"gelwright/settingout"
	"gelwright/settingout/proof"
)

// Mat is laid from the low side up on every side of a hip (R04), towards a point (R08) and
// on both sides of a ridge (R12); laid the other way round, its upper edges face the water.
func TestMatIsShingledOnEverySide(t *testing.T) {
	seen := map[plane.FallKind]bool{}
	for _, l := range acceptanceSetOuts() {
		kind := l.deck.Falls.Kind
		if kind == plane.OneWay || kind == plane.Level || seen[kind] {
			continue
		}
		seen[kind] = true
		spec := usual(l.roof.layers)
		spec.SetOut.MatDirection = "across fall"
		s, err := settingout.Make(context.Background(), l.deck, spec)
		if err != nil {
			t.Fatal(err)
		}
		facing := func() (n int) {
			for _, f := range proof.Check(l.deck, spec, s) {
				if f.Code == "mat.shingle" {
					n++
				}
			}
			return n
		}
		if n := facing(); n > 0 {
			t.Errorf("%s, %s: %d laps face the water", l.roof.id, kind, n)
		}
		for i := range s.Pieces {
			if s.Pieces[i].Kind == settingout.Mat {
				s.Pieces[i].Order = 1000 - s.Pieces[i].Order
			}
		}
		if facing() == 0 {
			t.Errorf("%s, %s: mat laid from the high side down is not found out", l.roof.id, kind)
		}
	}
	if len(seen) < 3 {
		t.Errorf("only %v looked at", seen)
	}
}

// Wherever a ridge lies, no lap faces the water on either side of it.
func TestRandomRidgesAreShingled(t *testing.T) {
	bounded(t, "12", func(t *rapid.T) {
		part := func(low, high int, name string) float64 {
			return float64(rapid.IntRange(low, high).Draw(t, name)) / 1000
		}
		w, h := part(3000, 9000, "w"), part(3000, 9000, "h")
		d := acceptanceRoofs()[0].decks[0]
		d.Outline = plane.Rectangle(0, 0, w, h)
		d.Exit = plane.Point{X: w, Y: h}
		y := h * part(250, 750, "y")
		d.Falls = plane.Falls{Kind: plane.Ridge, Line: [2]plane.Point{{Y: y}, {X: w, Y: y}}, Planes: []plane.FallPlane{{Down: plane.Point{Y: 1}, Ratio: 40}, {Down: plane.Point{Y: -1}, Ratio: 40}}}
		layers := rapid.SampledFrom([][]float64{{450}, {450, 450}}).Draw(t, "layers")
		s, err := settingout.Make(context.Background(), d, usual(layers))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range proof.Check(d, usual(layers), s) {
			if f.Code == "mat.shingle" {
				t.Errorf("%v", f)
			}
		}
	})
}
