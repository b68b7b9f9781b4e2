package cure

import (
	"fmt"
	"math"

	"gelwright/elementary"
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

// warmest is the warmer of pail and deck.
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

// Words begin a sentence: "at 20.0 °C", "with the resin at 24.0 °C and the deck at 31.0 °C".
func (t Temps) Words() string {
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

// rollMin is what the last of a bucket needs on a hot deck to be rolled out, min, where no
// longer margin is kept (common practice, no source: two to four minutes).
const rollMin = 3.0

// Mixed is how long there is with a dose.
type Mixed struct {
	// Gel is what the work is timed by: the pail's gel, and on a deck that is hotter so much
	// sooner that the last out of the pail still has its margin there, by equivalent age.
	Gel Range `json:"gel"`
	// Pail is the gel of what stays in the pail, Deck that of what is spread first: two
	// minutes at the resin's temperature, then at the deck's, by equivalent age.
	Pail Range `json:"gel_in_pail"`
	Deck Range `json:"gel_on_deck"`
}

// onHotDeck is the gel that the work is timed by where the deck is hotter than the pail, min:
// what leaves the pail last has aged there, and must keep the margin on the deck. Of its life
// margin/tDeck is kept for that, so that it is out of the pail after tPail·(1 − margin/tDeck).
func onHotDeck(tPail, tDeck, marginMin float64) float64 {
	out := tPail * (1 - math.Max(marginMin, rollMin)/tDeck)
	return math.Min(tPail, out+marginMin)
}

// workedBy is the earliest gel that the work is timed by, with a dose and a margin.
func (g *Gel) workedBy(at Temps, pct, marginMin float64) float64 {
	ln, half := g.predict(at.ResinC, pct)
	pail := elementary.Exp(ln - half)
	if at.warmest() <= at.ResinC {
		return pail
	}
	ln, half = g.predict(at.warmest(), pct)
	return onHotDeck(pail, elementary.Exp(ln-half), marginMin)
}

// Mixed tells how long there is at the temperatures of a mix with a dose, % by mass, where
// marginMin is kept before gel. It is the one rule for a working time: buckets, dose card and
// the quick answer all ask it.
func (g Gel) Mixed(at Temps, pct, marginMin float64) (Mixed, error) {
	if err := g.allowedTemps(at); err != nil {
		return Mixed{}, err
	}
	var m Mixed
	warm, err := g.Time(at.warmest(), pct)
	if err != nil {
		return m, err
	}
	m.Pail, _ = g.Time(at.ResinC, pct)
	if m.Gel = m.Pail; at.warmest() > at.ResinC {
		m.Gel = Range{LowMin: onHotDeck(m.Pail.LowMin, warm.LowMin, marginMin), LikelyMin: onHotDeck(m.Pail.LikelyMin, warm.LikelyMin, marginMin),
			HighMin: onHotDeck(m.Pail.HighMin, warm.HighMin, marginMin)}
	}
	if deck := math.Max(at.DeckC, at.HotC); deck == at.ResinC {
		m.Deck = m.Pail
	} else {
		m.Deck, err = g.Under([]Reading{{0, at.ResinC}, {stirMin, at.ResinC}, {stirMin + spreadMin, deck}}, pct)
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

// works reports whether both may be worked at; see allowedTemps.
func (g *Gel) works(at Temps) bool {
	within := func(tempC float64) bool { return tempC >= g.MinC && tempC <= g.MaxC }
	return within(at.ResinC) && within(at.DeckC) && within(max(at.DeckC, at.HotC))
}
