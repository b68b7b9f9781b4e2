package laying

import (
	"fmt"

	"gelwright/check"
	"gelwright/cure"
	"gelwright/mixing"
)

// Steps and ends of the search for the temperatures at which a pass can be mixed, °C.
const (
	workStepC            = 0.5
	workLowC, workHighC  = 0.0, 45.0
	earlyMin, eveningEnd = 5 * 60.0, 21 * 60.0
	// longerMin on top of the four that a bucket must leave make the eight minutes to lay below
	// which a careful crew mixes none (common practice, no source).
	longerMin = 4
)

// mixable is between which temperatures a bucket of a resin can be mixed that a careful crew
// would mix; ok is false where there is none.
func mixable(r mixing.Resin, marginMin float64) (fromC, upToC float64, ok bool) {
	for t := workLowC; t <= workHighC; t += workStepC {
		if _, err := mixing.ChooseDose(r, cure.Aim{}, cure.At(t), marginMin+longerMin); err != nil {
			continue
		}
		if !ok {
			fromC, ok = t, true
		}
		upToC = t
	}
	return fromC, upToC, ok
}

// otherHours proposes the hours of the day outside the crew's in which a pass could be mixed
// that cannot within them.
func (w *bucketer) otherHours(pass *Pass) []check.Remedy {
	if !(pass.UpToC > pass.FromC) {
		return nil
	}
	from, to := -1.0, -1.0
	for t := earlyMin; t <= eveningEnd; t += 15 {
		if t >= w.in.Day.StartMin && t < w.in.Day.EndMin {
			continue
		}
		_, deckC, _ := w.in.Schedule.At(1, t)
		switch {
		case deckC < pass.FromC || deckC > pass.UpToC:
			if from >= 0 {
				return hoursRemedy(from, to)
			}
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
	return []check.Remedy{{Text: fmt.Sprintf("work outside the usual hours: between %s and %s the deck is within what this resin allows",
		clockText(from), clockText(to)), Field: "crew.start", Value: clockText(from)}}
}
