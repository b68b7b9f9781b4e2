package cure

import (
	"encoding/json"
	"fmt"
	"math"

	"gelwright/elementary"
	"gelwright/working"
)

// Milestone is a stage of hardening.
type Milestone int

// The milestones in the order in which they usually come.
const (
	// AtGel: end of useful work.
	AtGel Milestone = iota
	// Trim: green, edges cut clean with a knife.
	Trim
	// Walk: hard enough for a careful foot.
	Walk
	// Sand: spurs and laps can be abraded without smearing.
	Sand
	// RainSafe: a shower no longer marks it; a laminate is firm, a waxed top coat tack-free.
	RainSafe
	// OverCoatFrom: the next coat does not attack it.
	OverCoatFrom
	// OverCoatUntil: after this the surface must be abraded before the next coat.
	OverCoatUntil
	// FullCure: as hard as it gets without heat.
	FullCure
	milestones
)

var milestoneNames = [milestones]string{"gel", "trim", "walk", "sand", "safe from rain", "over-coat from", "over-coat until", "full cure"}

// String is the milestone in words.
func (m Milestone) String() string {
	if m < 0 || m >= milestones {
		return fmt.Sprintf("milestone %d", int(m))
	}
	return milestoneNames[m]
}

var milestoneDone = [milestones]string{"gelled", "green enough to trim", "hard enough to walk on", "hard enough to sand",
	"safe from rain", "ready for the next coat", "too old to coat without abrading", "fully cured"}

// Done is what a laminate is once the milestone is reached: "hard enough to walk on".
func (m Milestone) Done() string {
	if m < 0 || m >= milestones {
		return m.String()
	}
	return milestoneDone[m]
}

// Milestones returns all, in order.
func Milestones() []Milestone {
	all := make([]Milestone, milestones)
	for i := range all {
		all[i] = Milestone(i)
	}
	return all
}

// Thresholds say at which conversion each milestone is reached.
type Thresholds struct {
	// Alpha for each milestone; gel takes the kinetics' own.
	Alpha [milestones]float64 `json:"alpha"`
	// LatestMin bounds a milestone in time whatever the conversion: the over-coating
	// window closes by dust and damp too. 0 for none.
	LatestMin [milestones]float64 `json:"latest_min"`
	// EarliestMin holds a milestone back whatever the conversion: a laminate without wax
	// stays tacky by the air, however hard it is below. 0 for none.
	EarliestMin [milestones]float64 `json:"earliest_min"`
	Standing    working.Source      `json:"source"`
}

// RoofThresholds are conversions at which the set "roof", scaled to a gel of 20 min at
// 20 °C, reaches what the trade observes of a laminate at 20, 10 and 5 °C with its usual
// doses: walk after 45–90 min, 2–3 h; safe from rain 30–60 min after its gel (the later is
// taken, at 20 °C; in the cold it takes longer, as all hardening does); over-coating within
// 24 h, 48 h when cool; full cure in 5–7 days. They go with that set and no other. The
// over-coating window of a hot deck is held open for the trade's 24 h.
func RoofThresholds() Thresholds {
	return Thresholds{
		Alpha: [milestones]float64{Trim: 0.25, Walk: 0.62, Sand: 0.75, RainSafe: 0.75, OverCoatFrom: 0.83, OverCoatUntil: 0.96,
			FullCure: 0.985},
		LatestMin: [milestones]float64{OverCoatUntil: 48 * 60}, EarliestMin: [milestones]float64{OverCoatUntil: 24 * 60},
		Standing: working.Source{Title: "conversions fitted to the trade's hardening times", Standing: working.CommonPractice},
	}
}

// TopCoatThresholds are those of a waxed top coat: a second coat goes on wet-on-gel, until
// the wax has come up, and after that only abraded; tack-free, and so safe from rain, after
// 2–4 h at 20 °C, 4 h at 10 °C, 6 h at 5 °C; a light foot after a day; full cure in 5–7 days (common practice). It is sanded only to be
// coated anew, and no sooner than it bears the foot of whoever sands it.
func TopCoatThresholds() Thresholds {
	th := RoofThresholds()
	th.Alpha[OverCoatFrom], th.Alpha[OverCoatUntil] = 0.06, 0.60
	th.Alpha[Walk], th.Alpha[Sand], th.Alpha[RainSafe] = 0.955, 0.955, 0.83
	th.LatestMin, th.EarliestMin = [milestones]float64{OverCoatUntil: 3 * 60}, [milestones]float64{}
	return th
}

func (th Thresholds) alpha(m Milestone, k *Kinetics) float64 {
	if m == AtGel {
		return k.GelAlpha
	}
	return th.Alpha[m]
}

// held is a time of a milestone within its earliest and latest.
func (th *Thresholds) held(m Milestone, min float64) float64 {
	if l := th.LatestMin[m]; l > 0 {
		min = math.Min(min, l)
	}
	return math.Max(min, th.EarliestMin[m])
}

func (th Thresholds) check() error {
	for m := Trim; m < milestones; m++ {
		if a := th.Alpha[m]; !(a > 0 && a < 1) {
			return fmt.Errorf("cure: %s at a conversion of %g: give more than 0 and less than 1", m, a)
		}
		if l := th.LatestMin[m]; !(l >= 0) || math.IsInf(l, 0) {
			return fmt.Errorf("cure: %s at the latest after %g min: give minutes, or 0", m, l)
		}
		if e, l := th.EarliestMin[m], th.LatestMin[m]; !(e >= 0) || math.IsInf(e, 0) || l > 0 && e > l {
			return fmt.Errorf("cure: %s at the earliest after %g min: give minutes below the latest, or 0", m, e)
		}
	}
	return nil
}

// shifted moves every conversion by δ in its logit: what 'hard enough' means differs
// from eye to eye, and less room is left near the end.
func (th Thresholds) shifted(δ float64) Thresholds {
	for m := Trim; m < milestones; m++ {
		a := th.Alpha[m]
		th.Alpha[m] = 1 / (1 + (1-a)/a*elementary.Exp(-δ))
	}
	return th
}

// Hardening holds the minutes from mixing to each milestone; +Inf for not within the run.
type Hardening [milestones]float64

// MarshalJSON writes the minutes under the milestones' names, null for not within the run.
func (h Hardening) MarshalJSON() ([]byte, error) {
	out := map[string]*float64{}
	for m := range h {
		out[Milestone(m).String()] = bounded(h[m])
	}
	return json.Marshal(out)
}

// bounded is nil for what has no end, since JSON has no word for it.
func bounded(v float64) *float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	return &v
}

// At returns the minutes to a milestone.
func (h Hardening) At(m Milestone) float64 { return h[m] }

// endless is a hardening that has not begun.
func endless() Hardening {
	var h Hardening
	for i := range h {
		h[i] = math.Inf(1)
	}
	return h
}

// Hardenings is the same with ranges: 5, 50 and 95 % of the cases.
type Hardenings [milestones]Range
