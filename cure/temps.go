package cure

import (
	"fmt"
)

// Temps are the temperatures of a mix, °C: the resin in its pail, which rules while it is in
// the bucket, and the deck, which rules once it is spread.
type Temps struct {
	ResinC, DeckC float64
	// HotC is the warmest that the deck may be where nobody has measured it; no more than
	// DeckC, as the zero value, where somebody has.
	HotC float64
}

// At is resin and deck at one temperature.
func At(tempC float64) Temps { return Temps{ResinC: tempC, DeckC: tempC} }

// warmest is the temperature by which the working time is reckoned: neither a warm pail nor
// a hot deck leaves longer than it does by itself.
func (t Temps) warmest() float64 { return max(t.ResinC, max(t.DeckC, t.HotC)) }

// Warmest is the warmest of resin and deck.
func (t Temps) Warmest() float64 { return t.warmest() }

// Warmer is resin and deck, both by so many K.
func (t Temps) Warmer(byK float64) Temps {
	t.ResinC, t.DeckC = t.ResinC+byK, t.DeckC+byK
	if t.HotC != 0 {
		t.HotC += byK
	}
	return t
}

// words begin a sentence: "at 20.0 °C", "with the resin at 24.0 °C and the deck at 31.0 °C".
func (t Temps) words() string {
	switch {
	case t.HotC > t.DeckC:
		return fmt.Sprintf("with the resin at %.1f °C and the deck at up to %.1f °C", t.ResinC, t.HotC)
	case t.ResinC == t.DeckC:
		return fmt.Sprintf("at %.1f °C", t.DeckC)
	}
	return fmt.Sprintf("with the resin at %.1f °C and the deck at %.1f °C", t.ResinC, t.DeckC)
}

// stirMin passes in the pail before the first of it is spread: 60 to 90 seconds of stirring
// and the way to the roof. The film takes the deck's temperature within half a minute of
// spreading (common practice, no source).
const stirMin, spreadMin = 2.0, 0.5

// Mixed is how long there is with a dose.
type Mixed struct {
	// Gel is what the work is timed by: the gel at the warmest of resin and deck, so that
	// neither overstates it.
	Gel Range `json:"gel"`
	// Pail is the gel of what stays in the pail, Deck that of what is spread first: two
	// minutes at the resin's temperature, then at the deck's, by equivalent age.
	Pail Range `json:"gel_in_pail"`
	Deck Range `json:"gel_on_deck"`
}

// Mixed tells how long there is at the temperatures of a mix with a dose, % by mass. It is
// the one rule for a working time: buckets, dose card and the quick answer all ask it.
func (g Gel) Mixed(at Temps, pct float64) (Mixed, error) {
	if err := g.allowedTemps(at); err != nil {
		return Mixed{}, err
	}
	var m Mixed
	var err error
	if m.Gel, err = g.Time(at.warmest(), pct); err != nil {
		return m, err
	}
	m.Pail, _ = g.Time(at.ResinC, pct)
	if m.Deck = m.Pail; at.ResinC != at.DeckC {
		m.Deck, err = g.Under([]Reading{{0, at.ResinC}, {stirMin, at.ResinC}, {stirMin + spreadMin, at.DeckC}}, pct)
	}
	return m, err
}

// allowedTemps returns nil where both may be worked at, otherwise a [Refusal] that says which
// may not.
func (g *Gel) allowedTemps(at Temps) error {
	hot := max(at.DeckC, at.HotC)
	for _, c := range []struct {
		tempC float64
		what  string
	}{{at.ResinC, "the resin in its pail"}, {at.DeckC, "the deck"}, {hot, "the deck"}} {
		err := g.Allowed(c.tempC, g.MinPct)
		if err == nil {
			continue
		}
		if r, ok := err.(*Refusal); ok && at.ResinC != at.DeckC {
			r.Finding += ": " + c.what
		}
		return err
	}
	return nil
}
