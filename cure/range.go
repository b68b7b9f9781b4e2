package cure

import (
	"encoding/json"
	"math"

	"gelwright/elementary"
)

// Range is a time in minutes from mixing: one in twenty is sooner than LowMin, one
// in twenty later than HighMin; +Inf is never. In JSON never is null.
type Range struct{ LowMin, LikelyMin, HighMin float64 }

type rangeJSON struct {
	LowMin    *float64 `json:"low_min"`
	LikelyMin *float64 `json:"likely_min"`
	HighMin   *float64 `json:"high_min"`
}

// StoredRange is the form in which a range is written, for a schema.
func StoredRange() any { return rangeJSON{} }

// MarshalJSON writes low_min, likely_min and high_min.
func (r Range) MarshalJSON() ([]byte, error) {
	return json.Marshal(rangeJSON{bounded(r.LowMin), bounded(r.LikelyMin), bounded(r.HighMin)})
}

// UnmarshalJSON reads what MarshalJSON writes.
func (r *Range) UnmarshalJSON(raw []byte) error {
	var j rangeJSON
	if err := json.Unmarshal(raw, &j); err != nil {
		return err
	}
	get := func(v *float64) float64 {
		if v == nil {
			return math.Inf(1)
		}
		return *v
	}
	*r = Range{get(j.LowMin), get(j.LikelyMin), get(j.HighMin)}
	return nil
}

func (r Range) times(f float64) Range { return Range{f * r.LowMin, f * r.LikelyMin, f * r.HighMin} }

// Chance is the probability that the time of a range has come by a given minute, with
// ln t normal between its 5 and 95 % points on either side of the likely.
func (r Range) Chance(byMin float64) float64 {
	if !(byMin > 0) || math.IsInf(r.LikelyMin, 1) {
		return 0
	}
	z := math.Log(byMin / r.LikelyMin)
	side := math.Log(r.HighMin / r.LikelyMin)
	if z < 0 {
		side = math.Log(r.LikelyMin / r.LowMin)
	}
	if !(side > 0) {
		if z >= 0 {
			return 1
		}
		return 0
	}
	return 0.5 * elementary.Erfc(-z/side*z95/math.Sqrt2)
}
