package mixing

import (
	"errors"

	"gelwright/cure"
)

// Rung is what to weigh for a bucket when deck and resin are warmer or colder than it was
// planned for, both by as much.
type Rung struct {
	// OffK is by how much, K.
	OffK       float64 `json:"off_k"`
	DosePct    float64 `json:"dose_pct,omitempty"`
	CatalystG  float64 `json:"catalyst_g,omitempty"`
	CatalystML float64 `json:"catalyst_ml,omitempty"`
	LayByMin   float64 `json:"lay_by_min,omitempty"`
	// Refused says why this bucket is not mixed then; empty where it is.
	Refused string `json:"refused,omitempty"`
}

// ladderK are the steps of the ladder beside every bucket: a thermometer that shows more than
// the last of them off is no day for this table (common practice, no source).
var ladderK = [...]float64{-6, -3, 3, 6}

// ladder is what to weigh for a bucket that takes layingMin to lay, by the rule of its own
// dose.
func (p *pour) ladder(d Dose, kg, layingMin float64) ([]Rung, error) {
	out := make([]Rung, len(ladderK))
	for i, off := range ladderK {
		r := Rung{OffK: off}
		x, err := p.dose(d.At.Warmer(off))
		var refusal *cure.Refusal
		switch {
		case errors.As(err, &refusal):
			r.Refused = refusal.Finding
		case err != nil:
			return nil, err
		default:
			r.LayByMin = x.Gel.LowMin - p.in.Crew.MarginMin
			if r.LayByMin < layingMin {
				r = Rung{OffK: off, Refused: "it would gel before it is laid: mix less"}
				break
			}
			r.DosePct, r.CatalystG = x.Pct, 10*kg*x.Pct
			r.CatalystML = r.CatalystG / p.in.Resin.CatalystGPerML
		}
		out[i] = r
	}
	return out, nil
}
