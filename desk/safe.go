package desk

import (
	"math"
	"strings"
	"time"

	"gelwright/cure"
	"gelwright/laying"
	"gelwright/programme"
)

// filmDays is how far the film of a pass is followed, days: what is safe later, or never, is told as that.
const filmDays = 30

// saySafe puts off when the films of a programme are safe from rain and dew to where the papers have it: both mean the same
// hardness, but a programme follows it over its courses of the weather and the papers from the last bucket's own dose and deck.
// The later of both is told, likely by likely and late by late. Parts laid before the last bucket are taken to need its
// range as well: the papers print one for a pass.
func (o *Outlook) saySafe(p *programme.Plan, s *laying.Schedule, wet []laying.WetPass) {
	for i := range wet {
		w := &wet[i]
		day, err := time.ParseInLocation(time.DateOnly, s.DateOf(w.Day), o.Zone())
		if err != nil {
			continue
		}
		last := time.Date(day.Year(), day.Month(), day.Day(), 0, 0, int(60*w.MixAtMin), 0, o.Zone())
		key, is := strings.TrimPrefix(w.Key, "wet."), w.At(cure.RainSafe)
		for k := range p.Slots {
			slot := &p.Slots[k]
			if slot.SafeByLate.IsZero() || slot.Key != key && !strings.HasPrefix(slot.Key, key+".") {
				continue
			}
			from := last
			if slot.End.Before(from) {
				from = slot.End
			}
			slot.SafeBy = later(slot.SafeBy, after(from, is.LikelyMin))
			slot.SafeByLate = later(slot.SafeByLate, later(slot.SafeBy, after(from, is.HighMin)))
		}
	}
}

// after is minutes after a time, to the next whole minute, and no more than a film is followed.
func after(at time.Time, min float64) time.Time {
	min = math.Min(math.Ceil(min), filmDays*24*60)
	return at.Add(time.Duration(min)*time.Minute + 59*time.Second).Truncate(time.Minute)
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
