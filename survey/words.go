package survey

import (
	"fmt"
	"math"
)

// reading says a value as it is read off the tape or the bevel.
func (j *Judged) reading(x float64) string {
	if j.Angle {
		return fmt.Sprintf("%.1f°", x)
	}
	return fmt.Sprintf("%.3f m", x)
}

// Trouble says why a survey does not close and what to do; empty when it closes.
func (r *Result) Trouble() (message, remedy string) {
	if r.Closes {
		return "", ""
	}
	if r.Suspect == nil {
		return "the tape does not close", "Measure the sides again"
	}
	first := &r.Measured[r.Suspect.Measurements[0]]
	if !r.Suspect.Explains {
		return fmt.Sprintf("the tape does not close, and no one reading explains it; %s (%s) fits worst", first.Name, first.reading(first.Value)),
			"Measure " + first.Name + " and its neighbours again"
	}
	message = fmt.Sprintf("the tape does not close: %s reads %s, and the rest wants %s", first.Name, first.reading(first.Value),
		first.reading(r.Suspect.Instead))
	if r.Suspect.Slip != "" {
		message += ", " + r.Suspect.Slip
	}
	if len(r.Suspect.Measurements) == 1 {
		return message, "Measure " + first.Name + " again"
	}
	names := make([]string, len(r.Suspect.Measurements))
	for i, m := range r.Suspect.Measurements {
		names[i] = r.Measured[m].Name
	}
	return message + "; " + listed(names) + " would explain it as well as each other", "Measure " + listed(names) + " again"
}

// Doubt says what nothing but the look of it proves, and what to measure; empty when the tape checks all.
func (r *Result) Doubt() (message, remedy string) {
	var corners, sides []string
	for i := range r.Measured {
		switch m := &r.Measured[i]; {
		case m.Checked == ByTape:
		case m.Assumed:
			corners = append(corners, m.Name[len("corner "):])
		default:
			sides = append(sides, m.Name)
		}
	}
	switch {
	case len(corners) > 0 && len(sides) > 0:
		message = fmt.Sprintf("no tape proves corners %s, nor checks %s", listed(corners), listed(sides))
	case len(corners) > 0:
		message = fmt.Sprintf("no tape proves that corners %s are square", listed(corners))
	case len(sides) > 0:
		message = "no other length checks " + listed(sides)
	default:
		return "", ""
	}
	const first = 3
	for i, w := range r.Wanted[:min(len(r.Wanted), first)] {
		if i > 0 {
			remedy += ", "
		}
		remedy += fmt.Sprintf("%s–%s (%.3f m if all is well)", w.From, w.To, w.LengthM)
	}
	if remedy == "" {
		return message, "measure them twice: no line over the roof would check them"
	}
	return message, "measure " + remedy
}

// WorstErrorM is the greatest standard error of a corner, m.
func (r *Result) WorstErrorM() float64 {
	most := 0.0
	for _, c := range r.Corners {
		most = math.Max(most, c.ErrorM)
	}
	return most
}
