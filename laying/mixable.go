package laying

import (
	"fmt"
	"math"
	"strings"

	"gelwright/check"
	"gelwright/cure"
	"gelwright/mixing"
	"gelwright/weather"
)

// Steps and ends of the search for the temperatures at which a pass can be mixed, °C, and the
// hours that are proposed outside a crew's, minutes after midnight.
const (
	workStepC           = 0.5
	workLowC, workHighC = 0.0, 45.0
	// EarliestMin and LatestMin bound the hours that are proposed.
	EarliestMin, LatestMin = 5 * 60.0, 21 * 60.0
)

// mixable is between which temperatures of resin and deck alike a bucket of a resin is mixed;
// ok is false where there is none.
func mixable(r mixing.Resin, marginMin float64) (fromC, upToC float64, ok bool) {
	for t := workLowC; t <= workHighC; t += workStepC {
		if _, can := mixing.Advised(&r.Law, cure.At(t), cure.Aim{}, marginMin); !can {
			continue
		}
		if !ok {
			fromC, ok = t, true
		}
		upToC = t
	}
	return fromC, upToC, ok
}

// The pails for which the hottest deck is looked up, °C.
const pailFromC, pailStepK, pails, deckStepK = 0.0, 2.5, 17, 2.5

// HottestDecks are the hottest decks on which a bucket of a law is laid in time, by its pail.
func HottestDecks(law cure.Gel, marginMin float64) *weather.Mixable {
	out := &weather.Mixable{FromC: pailFromC, StepK: pailStepK}
	for k := range pails {
		out.DeckC = append(out.DeckC, hottestDeck(law, marginMin, pailFromC+pailStepK*float64(k)))
	}
	return out
}

// hottestDeck is the hottest deck on which a bucket of a law is laid in time out of a pail, °C; 0 for none.
func hottestDeck(law cure.Gel, marginMin, pailC float64) float64 {
	will := func(deckC float64) bool {
		_, can := mixing.Advised(&law, cure.Temps{ResinC: pailC, DeckC: deckC}, cure.Aim{}, marginMin)
		return can
	}
	good := law.MaxC
	for good >= law.MinC && !will(good) {
		good -= deckStepK
	}
	if good < law.MinC {
		return 0
	}
	for step := deckStepK / 2; step > 0.1 && good < law.MaxC; step /= 2 {
		if will(good + step) {
			good += step
		}
	}
	return good
}

// DeckLimits are between which temperatures of the deck a pass is laid, °C: what the trade and the data sheet say, and above which
// deck no bucket leaves its least time out of a pail as warm as the pass's warmest. The last two are whole degrees as a thermometer is
// read, the pail's up and the deck's down, so that what is printed is what a dose is given for.
type DeckLimits struct {
	FromC float64 `json:"from_c"`
	UpToC float64 `json:"up_to_c"`
	PailC float64 `json:"pail_c"`
	MixC  float64 `json:"mix_c"`
}

// deckLimits are those of a pass whose buckets are known.
func deckLimits(x *Pass, r *mixing.Resin, marginMin float64) *DeckLimits {
	l := weather.LaminateLimits()
	if x.Coat() {
		l = weather.TopCoatLimits()
	}
	out := &DeckLimits{FromC: max(l.SurfaceMin.Value, r.Law.MinC), UpToC: min(l.SurfaceMax.Value, r.Law.MaxC)}
	for _, m := range x.Plan.Mixes {
		out.PailC = max(out.PailC, m.ResinC)
	}
	out.PailC = math.Ceil(out.PailC - 1e-6)
	out.MixC = math.Floor(hottestDeck(r.Law, marginMin, out.PailC))
	if _, can := mixing.Advised(&r.Law, cure.Temps{ResinC: out.PailC, DeckC: out.MixC + 1}, cure.Aim{}, marginMin); can {
		out.MixC++ // the hottest deck is found to a tenth of a degree
	}
	return out
}

// Widest is the pair of resin and catalyst that is mixed on most decks, out of the pail whose
// temperature is given where one is.
func Widest(among []Liquid, marginMin float64, pailC *float64) Liquid {
	best, most := among[0], -1.0
	if len(among) == 1 {
		return best
	}
	for _, l := range among {
		sum, hottest := 0.0, HottestDecks(l.Law, marginMin)
		for _, deck := range hottest.DeckC {
			sum += deck
		}
		if pailC != nil {
			sum = hottest.Most(*pailC)
		}
		if sum > most {
			best, most = l, sum
		}
	}
	return best
}

// remedies are what would let a pass be mixed that cannot: a test cup where nothing but the
// range of brands is in the way, other hours of the day, and what the refusal names besides.
func (w *bucketer) remedies(in *mixing.Input, refusal *cure.Refusal) []check.Remedy {
	n := 0
	if len(refusal.Remedies) > 0 && refusal.CupFirst() {
		n = 1
	}
	out := append([]check.Remedy(nil), refusal.Remedies[:n]...)
	out = append(out, w.otherHours(in)...)
	for _, m := range refusal.Remedies[n:] {
		// What is too little for any bucket is not mended by a smaller one.
		if !strings.HasPrefix(m.Text, "make the mix smaller") {
			out = append(out, m)
		}
	}
	return out
}

// otherHours proposes the hours of the day outside the crew's in which a pass could be mixed
// that cannot within them, with resin and deck as they are then.
func (w *bucketer) otherHours(in *mixing.Input) []check.Remedy {
	day := max(1, in.FirstDay)
	if len(in.Sessions) > 0 {
		day = in.Sessions[0].Day
	}
	from, to := -1.0, -1.0
	for t := EarliestMin; t <= LatestMin; t += 15 {
		if t >= w.in.Day.StartMin && t < w.in.Day.EndMin {
			continue
		}
		_, deckC, resinC := w.in.Schedule.At(day, t)
		at := cure.Temps{ResinC: resinC, DeckC: deckC}
		if w.in.Day.SunK > 0 {
			at.HotC = deckC + w.in.Day.SunK
		}
		_, can := mixing.Advised(&in.Resin.Law, at, in.Aim, in.Crew.MarginMin)
		switch {
		case !can && from >= 0:
			return hoursRemedy(from, to)
		case !can:
		case from < 0:
			from, to = t, t
		default:
			to = t
		}
	}
	if from < 0 {
		return nil
	}
	return hoursRemedy(from, to)
}

func hoursRemedy(from, to float64) []check.Remedy {
	hours := fmt.Sprintf("between %s and %s", clockText(from), clockText(to))
	if from == to {
		hours = "at " + clockText(from)
	}
	return []check.Remedy{{Text: fmt.Sprintf("work outside the usual hours: %s a bucket leaves %d min", hours, mixing.LeastLayMin),
		Field: "crew.start", Value: clockText(from)}}
}
