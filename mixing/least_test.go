package mixing

import (
	"errors"
	"testing"

	"gelwright/cure"
	"pgregory.net/rapid"
)

// No bucket leaves less than eight minutes to lay (common practice, no source), whatever the
// temperatures of pail and deck; what would leave less is refused, and something that would
// serve is named.
func TestNoBucketUnderEightMinutes(t *testing.T) {
	resins := []Resin{sheetResin(t, "resin.all-season"), sheetResin(t, "topcoat.waxed"), sheetResin(t, "resin.summer")}
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.SampledFrom(resins).Draw(t, "resin")
		at := cure.Temps{ResinC: rapid.Float64Range(5, 35).Draw(t, "pail"), DeckC: rapid.Float64Range(5, 35).Draw(t, "deck")}
		margin := rapid.Float64Range(3, 10).Draw(t, "margin")
		d, err := ChooseDose(r, cure.Aim{}, at, margin)
		var no *cure.Refusal
		switch {
		case errors.As(err, &no) && len(no.Remedies) > 0:
		case err != nil:
			t.Fatal(err)
		case d.Gel.LowMin-margin < LeastLayMin-1e-9:
			t.Fatalf("%+v: %.1f min to lay", at, d.Gel.LowMin-margin)
		case d.Gel.LowMin > d.Pail.LowMin+1e-9:
			t.Fatalf("%+v: worked by %.1f min, the pail gels in %.1f", at, d.Gel.LowMin, d.Pail.LowMin)
		}
	})
}

// A pail in the shade is what a sunny deck is laid from: at 31 °C on the deck nothing is mixed
// out of a pail as warm, and out of one of 14 °C there is time.
func TestACoolPailLaysAHotDeck(t *testing.T) {
	r := sheetResin(t, "topcoat.waxed")
	if _, err := ChooseDose(r, cure.Aim{}, cure.At(31), 5); !errors.Is(err, cure.ErrNotThatLong) {
		t.Errorf("pail and deck at 31 °C: %v", err)
	}
	cool, err := ChooseDose(r, cure.Aim{}, cure.Temps{ResinC: 14, DeckC: 31}, 5)
	if err != nil {
		t.Fatal(err)
	}
	warm, _ := r.Law.Time(31, cool.Pct)
	pail, _ := r.Law.Time(14, cool.Pct)
	// The last is out of the pail when what is left of its life is five minutes on the deck.
	if age := (cool.Gel.LowMin-5)/pail.LowMin + 5/warm.LowMin; age > 1+1e-9 {
		t.Errorf("aged %.2f of its life when it is rolled out", age)
	}
}
