package snow

import (
	"fmt"
	"math"

	"gelwright/working"
)

// Drift is snow piled against something higher.
type Drift struct {
	// Shape is the coefficient at the wall; LoadKPa the load there; LengthM how far
	// the drift runs out; FarShape the coefficient at the roof's far edge where the
	// roof is shorter than the drift.
	Shape, LoadKPa, LengthM, FarShape float64
	// Figure is the load; Length how far it runs out.
	Figure, Length *working.Figure
	// Accidental drifts are those of annex B, exceptional falls blown together: a design
	// situation of its own, without partial factors. The others are persistent, part of every winter.
	Accidental bool
	// Clause is where the drift stands in EN 1991-1-3.
	Clause string
}

// way says in which design situation a drift belongs.
func (d Drift) way() string {
	if d.Accidental {
		return "accidental, " + d.Clause
	}
	return "persistent, " + d.Clause
}

var (
	windDrift      = working.MustFormula("μw = max(0.8, min((b1 + b2)/2h, γ·h/sk, 4))")
	wallDrift      = working.MustFormula("μ2 = μs + μw")
	wallLength     = working.MustFormula("ls = max(5, min(2h, 15))")
	wallLoad       = working.MustFormula("s = μ2·sk")
	projectDrift   = working.MustFormula("μ2 = max(0.8, min(γ·h/sk, 2))")
	parapetLength  = working.MustFormula("ls = min(5h, b1, 15)")
	parapetDrift   = working.MustFormula("μ1 = min(2h/sk, 2b/ls, 8)")
	parapetLoad    = working.MustFormula("sA = μ1·sk")
	obstacleLength = working.MustFormula("ls = min(5h, 15)")
	obstacleDrift  = working.MustFormula("μ1 = min(2h/sk, 5)")
)

// density is γ of drifted snow.
func density() *working.Figure {
	return working.Constant("γ", "density of drifted snow", snowDensity, "kN/m³", en("5.3.6"))
}

// againstTaller is the drift on a roof of width lowerM below a taller building of width b1
// whose roof is h above (EN 1991-1-3 5.3.6): μw = (b1 + b2)/2h, not above γh/sk, between 0.8
// and 4; ls = 2h between 5 and 15 m. Snow sliding off an upper roof steeper than 15° is not
// included: slideShape adds it.
func againstTaller(sk, b1 *working.Figure, lowerM float64, h *working.Figure, slideShape float64) (Drift, error) {
	if err := driftable(sk, b1.Value, lowerM, h.Value); err != nil {
		return Drift{}, err
	}
	length := wallLength.Figure("length of the drift at the wall", "m", en("5.3.6, eq. 5.9"), h)
	blown := windDrift.Figure("drift coefficient of the wind", "", en("5.3.6, eq. 5.8"), b1,
		working.Measured("b2", "width of this roof", lowerM, "m", "outline of the deck"), h, sk, density())
	mu := wallDrift.Figure("drift coefficient", "", en("5.3.6, eq. 5.7"), blown,
		working.Constant("μs", "snow sliding off the upper roof", slideShape, "", en("5.3.6: none off a roof flatter than 15°")))
	far := flatShape
	if lowerM < length.Value {
		far = mu.Value + (flatShape-mu.Value)*lowerM/length.Value
	}
	s := wallLoad.Figure("snow drift at the wall", "kN/m²", en("5.3.6"), mu, sk).
		Noting(fmt.Sprintf("runs out over %.1f m", length.Value))
	return Drift{Shape: mu.Value, LoadKPa: s.Value, LengthM: length.Value, FarShape: far, Figure: s, Length: length, Clause: "5.3.6"}, nil
}

// driftable refuses what no drift can be told of.
func driftable(sk *working.Figure, upperM, lowerM, heightM float64) error {
	if !(sk.Value > 0) || !(upperM > 0) || !(lowerM > 0) || !(heightM > 0) {
		return fmt.Errorf("drift needs snow %g kN/m², widths %g and %g m and a height %g m, all above zero", sk.Value, upperM,
			lowerM, heightM)
	}
	return nil
}

// belowTaller is the exceptional drift on a roof of width lowerM below a taller building of
// width b2 (annex B.3, from memory): μ3 = min(2h/sk, 2b/ls, 8), ls = min(5h, b1, 15), b the
// greater of the two widths and b1 that of the lower roof.
func belowTaller(sk, upper *working.Figure, lowerM float64, h *working.Figure) (Drift, error) {
	if err := driftable(sk, upper.Value, lowerM, h.Value); err != nil {
		return Drift{}, err
	}
	annex := working.Source{Title: "EN 1991-1-3:2003", Clause: "annex B.3", Standing: working.Remembered}
	lower := working.Measured("b1", "width of this roof", lowerM, "m", "outline of the deck")
	b := *upper
	if lowerM > upper.Value {
		b = *working.Measured("b", "width of this roof", lowerM, "m", "outline of the deck")
	}
	b.Symbol = "b"
	d := pile(sk, h, lower, &b, annex, "at the wall")
	d.Clause = "annex B.3"
	return d, nil
}

// pile is a drift of annex B.3 or B.4 over a roof of width b1.
func pile(sk, h, b1, b *working.Figure, annex working.Source, where string) Drift {
	length := parapetLength.Figure("length of the exceptional drift "+where, "m", annex, h, b1)
	mu := parapetDrift.Figure("coefficient of the exceptional drift", "", annex, h, sk, b, length)
	s := parapetLoad.Figure("exceptional snow drift "+where, "kN/m²", annex, mu, sk).
		Noting(fmt.Sprintf("runs out over %.1f m", length.Value))
	return Drift{Shape: mu.Value, LoadKPa: s.Value, LengthM: length.Value, Figure: s, Length: length, Accidental: true}
}

// BehindParapet returns the exceptional drift behind a parapet by annex B.4: μ1 = min(2h/sk,
// 2b/ls, 8), ls = min(5h, b1, 15), b the greater of the roof's two widths.
func BehindParapet(sk *working.Figure, b1M, b2M, heightM float64) (Drift, error) {
	if !(sk.Value > 0) || !(b1M > 0) || !(heightM > 0) || b2M < 0 {
		return Drift{}, fmt.Errorf("drift behind a parapet needs snow %g kN/m², widths %g and %g m and a height %g m above zero", sk.Value,
			b1M, b2M, heightM)
	}
	d := pile(sk, working.Measured("h", "parapet height", heightM, "m", "parapets of the deck"),
		working.Measured("b1", "width away from the parapet", b1M, "m", "outline of the deck"),
		working.Measured("b", "roof width", math.Max(b1M, b2M), "m", "outline of the deck"), en("annex B.4"), "behind the parapet")
	d.Clause, d.FarShape = "annex B.4", flatShape
	return d, nil
}

// AtObstruction returns the exceptional drift at a rooflight kerb, plant or the like by annex B:
// μ = min(2h/sk, 5).
func AtObstruction(sk *working.Figure, heightM float64) (Drift, error) {
	if err := standing(sk, heightM); err != nil {
		return Drift{}, err
	}
	h := working.Measured("h", "height", heightM, "m", "survey")
	mu := obstacleDrift.Figure("coefficient of the exceptional drift", "", en("annex B"), h, sk)
	length := obstacleLength.Figure("length of the exceptional drift at an obstruction", "m", en("annex B"), h)
	s := parapetLoad.Figure("exceptional snow drift at an obstruction", "kN/m²", en("annex B"), mu, sk)
	return Drift{Shape: mu.Value, LoadKPa: s.Value, LengthM: length.Value, FarShape: flatShape, Figure: s, Length: length,
		Accidental: true, Clause: "annex B"}, nil
}

// atProjection is the drift of every winter behind what stands up from a flat roof, a parapet or
// a kerb (EN 1991-1-3 6.2): μ2 = γh/sk between 0.8 and 2, ls = 2h between 5 and 15 m.
func atProjection(sk *working.Figure, heightM float64, where string) (Drift, error) {
	if err := standing(sk, heightM); err != nil {
		return Drift{}, err
	}
	h := working.Measured("h", "height", heightM, "m", "survey")
	mu := projectDrift.Figure("drift coefficient", "", en("6.2, eq. 6.1"), h, sk, density())
	length := wallLength.Figure("length of the drift "+where, "m", en("6.2, eq. 6.2"), h)
	s := wallLoad.Figure("snow drift "+where, "kN/m²", en("6.2"), mu, sk)
	return Drift{Shape: mu.Value, LoadKPa: s.Value, LengthM: length.Value, FarShape: flatShape, Figure: s, Length: length,
		Clause: "6.2"}, nil
}

func standing(sk *working.Figure, heightM float64) error {
	if !(sk.Value > 0) || !(heightM > 0) {
		return fmt.Errorf("drift at an obstruction needs snow %g kN/m² and a height %g m above zero", sk.Value, heightM)
	}
	return nil
}
