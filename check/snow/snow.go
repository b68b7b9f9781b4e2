package snow

import (
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/working"
)

func en(clause string) working.Source {
	return working.Source{Title: "EN 1991-1-3:2003", Clause: clause, Standing: working.Quoted}
}

// flatShape is μ1 of a roof sloping less than 30° (EN 1991-1-3 table 5.2).
const flatShape = 0.8

// snowDensity is γ for drifts, kN/m³ (EN 1991-1-3 5.3.6).
const snowDensity = 2

// ground is the characteristic snow load on the ground, kN/m², of the UK annex, for zone Z
// (1 to 6.5) off the annex's map and altitude A in m. The formula is from memory.
func ground(z *working.Figure, altitudeM float64, from working.Giver) (*working.Figure, error) {
	zone := z.Value
	if !(zone >= 1 && zone <= 6.5) {
		return nil, fmt.Errorf("snow zone %g is outside 1 to 6.5: read it off the national map", zone)
	}
	return groundLoad.Figure("snow load on the ground", "kN/m²",
		working.Source{Title: "UK NA to BS EN 1991-1-3", Clause: "NA.2.8", Standing: working.Remembered},
		z, working.From(from, "A", "altitude", altitudeM, "m", "site.altitude_m")), nil
}

// Flat returns the snow load on the flat roof: s = μ1·Ce·Ct·sk, Ce = Ct = 1.
func Flat(sk *working.Figure) *working.Figure {
	return flatLoad.Figure("snow load on the flat roof", "kN/m²", en("5.2, eq. 5.1"), sk,
		working.Constant("μ1", "shape coefficient below 30°", flatShape, "", en("table 5.2")),
		working.Constant("Ce", "exposure coefficient", 1, "", en("5.2(7)")),
		working.Constant("Ct", "thermal coefficient", 1, "", en("5.2(8)")))
}

var (
	groundLoad     = working.MustFormula("sk = 0.15 + (0.1·Z + 0.05) + (A − 100)/525")
	flatLoad       = working.MustFormula("s = μ1·Ce·Ct·sk")
	windDrift      = working.MustFormula("μw = max(0.8, min((b1 + b2)/2h, γ·h/sk, 4))")
	wallDrift      = working.MustFormula("μ2 = μs + μw")
	wallLength     = working.MustFormula("ls = max(5, min(2h, 15))")
	wallLoad       = working.MustFormula("s = μ2·sk")
	parapetLength  = working.MustFormula("ls = min(5h, b1, 15)")
	parapetDrift   = working.MustFormula("μ1 = min(2h/sk, 2b/ls, 8)")
	parapetLoad    = working.MustFormula("s = μ1·sk")
	obstacleLength = working.MustFormula("ls = min(5h, 15)")
	obstacleDrift  = working.MustFormula("μ1 = min(2h/sk, 5)")
	capacityUsed   = working.MustFormula("u = max(s)/c")
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
	// situation of its own. The others are persistent, part of every winter.
	Accidental bool
}

// way says in which design situation a drift belongs.
func (d Drift) way() string {
	if d.Accidental {
		return "accidental, annex B, held with full factors"
	}
	return "persistent, 5.3.6"
}

// againstTaller is the drift on a roof of width lowerM below a taller building of width b1
// whose roof is h above (EN 1991-1-3 5.3.6): μw = (b1 + b2)/2h, not above γh/sk, between 0.8
// and 4; ls = 2h between 5 and 15 m. Snow sliding off an upper roof steeper than 15° is not
// included: slideShape adds it.
func againstTaller(sk, b1 *working.Figure, lowerM float64, h *working.Figure, slideShape float64) (Drift, error) {
	upperM, heightM := b1.Value, h.Value
	if !(sk.Value > 0) || !(upperM > 0) || !(lowerM > 0) || !(heightM > 0) {
		return Drift{}, fmt.Errorf("drift needs snow %g kN/m², widths %g and %g m and a height %g m, all above zero", sk.Value, upperM,
			lowerM, heightM)
	}
	length := wallLength.Figure("length of the drift at the wall", "m", en("5.3.6, eq. 5.9"), h)
	blown := windDrift.Figure("drift coefficient of the wind", "", en("5.3.6, eq. 5.8"), b1,
		working.Measured("b2", "width of this roof", lowerM, "m", "outline of the deck"), h, sk,
		working.Constant("γ", "density of drifted snow", snowDensity, "kN/m³", en("5.3.6")))
	mu := wallDrift.Figure("drift coefficient", "", en("5.3.6, eq. 5.7"), blown,
		working.Constant("μs", "snow sliding off the upper roof", slideShape, "", en("5.3.6: none off a roof flatter than 15°")))
	far := flatShape
	if lowerM < length.Value {
		far = mu.Value + (flatShape-mu.Value)*lowerM/length.Value
	}
	s := wallLoad.Figure("snow drift at the wall", "kN/m²", en("5.3.6"), mu, sk).
		Noting(fmt.Sprintf("runs out over %.1f m", length.Value))
	return Drift{Shape: mu.Value, LoadKPa: s.Value, LengthM: length.Value, FarShape: far, Figure: s, Length: length}, nil
}

// BehindParapet returns the drift behind a parapet by annex B.4: μ1 = min(2h/sk,
// 2b/ls, 8), ls = min(5h, b, 15), b the greater of the roof's two widths.
func BehindParapet(sk *working.Figure, b1M, b2M, heightM float64) (Drift, error) {
	if !(sk.Value > 0) || !(b1M > 0) || !(heightM > 0) || b2M < 0 {
		return Drift{}, fmt.Errorf("drift behind a parapet needs snow %g kN/m², widths %g and %g m and a height %g m above zero", sk.Value,
			b1M, b2M, heightM)
	}
	h := working.Measured("h", "parapet height", heightM, "m", "parapets of the deck")
	length := parapetLength.Figure("length of the drift behind the parapet", "m", en("annex B.4"), h,
		working.Measured("b1", "width away from the parapet", b1M, "m", "outline of the deck"))
	mu := parapetDrift.Figure("drift coefficient", "", en("annex B.4"), h, sk,
		working.Measured("b", "roof width", math.Max(b1M, b2M), "m", "outline of the deck"), length)
	s := parapetLoad.Figure("snow drift behind the parapet", "kN/m²", en("annex B.4"), mu, sk).
		Noting(fmt.Sprintf("runs out over %.1f m", length.Value))
	return Drift{Shape: mu.Value, LoadKPa: s.Value, LengthM: length.Value, FarShape: flatShape, Figure: s, Length: length,
		Accidental: true}, nil
}

// AtObstruction returns the drift at a rooflight kerb, plant or the like by annex B:
// μ = min(2h/sk, 5).
func AtObstruction(sk *working.Figure, heightM float64) (Drift, error) {
	if !(sk.Value > 0) || !(heightM > 0) {
		return Drift{}, fmt.Errorf("drift at an obstruction needs snow %g kN/m² and a height %g m above zero", sk.Value, heightM)
	}
	h := working.Measured("h", "height", heightM, "m", "survey")
	mu := obstacleDrift.Figure("drift coefficient", "", en("annex B"), h, sk)
	length := obstacleLength.Figure("length of the drift at an obstruction", "m", en("annex B"), h)
	s := parapetLoad.Figure("snow drift at an obstruction", "kN/m²", en("annex B"), mu, sk)
	return Drift{Shape: mu.Value, LoadKPa: s.Value, LengthM: length.Value, FarShape: flatShape, Figure: s, Length: length,
		Accidental: true}, nil
}

// Capacity is the variable load, kN/m², at which what bears the roof is just used up, where it is known.
type Capacity struct {
	Known bool
	KPa   float64
	// Why it is not known, for a person.
	Why string
}

// Carries is a known capacity; nought where the roof's own weight is all it bears, or more.
func Carries(kPa float64) Capacity { return Capacity{Known: true, KPa: kPa} }

// Unknown is a capacity that nobody can tell.
func Unknown(why string) Capacity { return Capacity{Why: why} }

// nothingKPa is a capacity that is none.
const nothingKPa = 0.01

// Input is what the check needs to know of a roof.
type Input struct {
	Set country.Set
	// GroundKPa off the national map; 0 when nobody has read it. Zone is the UK map's zone.
	GroundKPa, Zone float64
	AltitudeM       float64
	// WallHeightM of the highest abutting wall, 0 for none; UpperWidthM of the building behind it.
	WallHeightM, UpperWidthM float64
	// WallWhy says on what WallHeightM rests where it is not surveyed; empty where it is.
	WallWhy string
	// WidthM of the roof away from the wall; ParapetM the highest parapet; KerbM the highest
	// kerb of a rooflight or hatch.
	WidthM, ParapetM, KerbM float64
	// Carries is what the deck check allows.
	Carries Capacity
	// From knows which values of the site somebody has written.
	From working.Giver
}

// onGround is the snow load on the ground; nil where nobody knows it.
func (in Input) onGround(r *check.Result) (*working.Figure, error) {
	if in.GroundKPa > 0 {
		return working.From(in.From, "sk", "snow load on the ground", in.GroundKPa, "kN/m²", "site.ground_snow_kpa"), nil
	}
	if !in.Set.SnowFormulaUK {
		return nil, nil
	}
	zone := working.From(in.From, "Z", "snow zone", in.Zone, "", "site.snow_zone")
	if in.Zone == 0 {
		zone = working.AssumedFigure("Z", "snow zone", 3, "", "nobody has read the national snow map for this site")
		r.Flags = append(r.Flags, "snow zone 3 stands in for the national map: read the map and give the zone")
	}
	sk, err := ground(zone, in.AltitudeM, in.From)
	r.Flags = append(r.Flags, "the annex's formula for the ground snow load is from memory, to be confirmed")
	return sk, err
}

// againstWall is the drift at the highest abutting wall.
func (in Input) againstWall(sk *working.Figure, r *check.Result) (Drift, error) {
	upper := working.Measured("b1", "width of the taller building", in.UpperWidthM, "m", "survey")
	if in.UpperWidthM == 0 {
		upper = working.AssumedFigure("b1", "width of the taller building", 10, "m",
			"the building behind the wall is not in the roof file; a wider one drifts more")
		r.Flags = append(r.Flags, "the width of the taller building is taken as 10 m")
	}
	height := working.Measured("h", "height of the wall above the roof", in.WallHeightM, "m", "levels of the decks")
	if in.WallWhy != "" {
		height = working.AssumedFigure("h", "height of the wall above the roof", in.WallHeightM, "m", in.WallWhy)
		r.Flags = append(r.Flags, in.WallWhy)
	}
	return againstTaller(sk, upper, in.WidthM, height, 0)
}

// heap is a drift and where it lies.
type heap struct {
	Drift
	words string
}

// heaps are the drifts on the roof.
func (in Input) heaps(sk *working.Figure, flatKPa float64, r *check.Result) ([]heap, error) {
	var out []heap
	if in.WallHeightM > 0 {
		d, err := in.againstWall(sk, r)
		if err != nil {
			return nil, err
		}
		out = append(out, heap{d, "drift at the wall"})
	}
	if in.ParapetM > 0 {
		d, err := BehindParapet(sk, in.WidthM, 0, in.ParapetM)
		if err != nil {
			return nil, err
		}
		out = append(out, heap{d, "drift behind the parapet"})
	}
	if in.KerbM > 0 {
		d, err := AtObstruction(sk, in.KerbM)
		if err != nil {
			return nil, err
		}
		if d.LoadKPa > flatKPa { // a low kerb drowns in what lies flat
			out = append(out, heap{d, "drift at the kerb of an opening"})
		}
	}
	return out, nil
}

// Check returns the governing snow load and a verdict against the deck's capacity.
func Check(in Input) (check.Result, *working.Figure, error) {
	r := check.Result{Key: "snow.load", Title: "Will it carry the snow?", Clause: en("5.2, 5.3.6, annex B")}
	sk, err := in.onGround(&r)
	if err != nil {
		return r, nil, err
	}
	if sk == nil {
		r.Verdict, r.Finding = check.Ask, "the ground snow load of the place is not given, and none is held here ("+in.Set.Name+")"
		r.CallFor = "the national snow map, or a structural engineer"
		return r, nil, nil
	}
	worst := Flat(sk)
	cases, lengths := []*working.Figure{worst}, []*working.Figure{}
	r.Finding = fmt.Sprintf("flat load %.2f kN/m²", worst.Value)
	heaps, err := in.heaps(sk, worst.Value, &r)
	if err != nil {
		return r, nil, err
	}
	for _, d := range heaps {
		r.Finding += fmt.Sprintf(", %s %.2f over %.1f m (%s)", d.words, d.LoadKPa, d.LengthM, d.way())
		cases, lengths = append(cases, d.Figure), append(lengths, d.Length)
		if d.LoadKPa > worst.Value {
			worst = d.Figure
		}
	}
	worst.Key = "check.snow"
	r.Working = []*working.Figure{worst}
	for _, s := range cases {
		if s != worst {
			r.Working = append(r.Working, s)
		}
	}
	r.Working = append(r.Working, lengths...)
	in.judge(&r, cases, worst.Value)
	return r, worst, nil
}

// judge holds the greatest load against what bears the roof.
func (in Input) judge(r *check.Result, cases []*working.Figure, worstKPa float64) {
	c := in.Carries
	nothing := c.Known && c.KPa < nothingKPa
	if c.Known && !nothing {
		use := capacityUsed.Figure("use of what the joists carry", "",
			working.Source{Title: "greatest load over capacity", Standing: working.Derived},
			append(cases, working.Measured("c", "variable load at which the joists are just used up", c.KPa, "kN/m²",
				"check of the joists, solved for the load"))...).Keyed("check.snow.use")
		r.Working, r.Utilisation = append(r.Working, use), use.Value
		r.Finding += fmt.Sprintf("; the joists carry %.2f kN/m²", c.KPa)
	}
	switch {
	case !c.Known:
		r.Verdict, r.CallFor = check.Ask, "whoever can see what bears the roof: "+c.Why
	case nothing || worstKPa > c.KPa:
		r.Verdict, r.CallFor = check.Fail, "a structural engineer"
		if nothing {
			r.Utilisation = 2
			r.Finding += "; the joists are used up by the roof's own weight and carry no snow"
		}
		r.Remedies = []check.Remedy{{Text: fmt.Sprintf("stiffen the joists for %.2f kN/m² where the drift lies", worstKPa)}}
		if worstKPa == cases[0].Value {
			r.Remedies = []check.Remedy{{Text: fmt.Sprintf("stiffen the joists for %.2f kN/m²", worstKPa)}}
		}
	default:
		r.Verdict = check.Pass
		if len(r.Flags) > 0 {
			r.Verdict = check.Caution
		}
	}
}
