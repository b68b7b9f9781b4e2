package weather

import (
	"fmt"
	"math"
)

// Mixable is the hottest deck on which what a bucket holds is laid in time, by how warm the
// resin is in its pail. It follows from the gel law of what is mixed, of which nothing is known
// here.
type Mixable struct {
	// PailC is the resin in its pail, °C, where somebody gave it; else it is as warm as the air.
	PailC *float64
	// DeckC by the pail's temperature, FromC + k·StepK, °C; 0 where no deck will do.
	FromC, StepK float64
	DeckC        []float64
}

// Most is the hottest deck in this air, °C; straight between the temperatures of the pail.
func (x *Mixable) Most(airC float64) float64 {
	if x.PailC != nil {
		airC = *x.PailC
	}
	at := math.Max(0, math.Min((airC-x.FromC)/x.StepK, float64(len(x.DeckC)-1)))
	k := min(int(at), len(x.DeckC)-2)
	return x.DeckC[k] + (at-float64(k))*(x.DeckC[k+1]-x.DeckC[k])
}

// tooHot reports whether no bucket is laid in time; never where there is none. What is no number
// is too hot.
func (x *Mixable) tooHot(m *Moment) bool { return x != nil && !(m.SurfaceC <= x.Most(m.AirC)) }

func (x *Mixable) check() error {
	if x != nil && (len(x.DeckC) < 2 || !(x.StepK > 0)) {
		return fmt.Errorf("%d decks on which a bucket is laid, every %g K of its pail. Give two or more", len(x.DeckC), x.StepK)
	}
	return nil
}

// laid holds deck and pail against what a bucket needs.
func (j *judge) laid(f *found, m *Moment) {
	if j.l.Mix == nil {
		return
	}
	most := j.l.Mix.Most(m.AirC)
	f.add(Reason{Limit: LimitMix, Value: m.SurfaceC, Bound: math.Floor(most*10) / 10, Unit: "°C", At: m.Time,
		slack: (most - m.SurfaceC) / slackTempK})
	f.unsure = f.unsure || m.SurfaceHigh > most
}
