package snow

import (
	"fmt"

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
	groundLoad      = working.MustFormula("sk = 0.15 + (0.1·Z + 0.05) + (A − 100)/525")
	flatLoad        = working.MustFormula("s = μ1·Ce·Ct·sk")
	capacityUsed    = working.MustFormula("u = max(s)/c")
	exceptionalUsed = working.MustFormula("ue = max(sA)/cA")
)

// Capacity is the variable load, kN/m², at which what bears the roof is just used up, where it is known.
type Capacity struct {
	Known bool
	KPa   float64
	// ExceptionalKPa is the same in the accidental design situation, without partial factors.
	ExceptionalKPa float64
	// Why it is not known, for a person.
	Why string
}

// Carries is a known capacity in a persistent and in the accidental design situation; nought
// where the roof's own weight is all it bears, or more.
func Carries(kPa, exceptionalKPa float64) Capacity {
	return Capacity{Known: true, KPa: kPa, ExceptionalKPa: exceptionalKPa}
}

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
	// ExceptionalFactor is C_esl as the building authority asks for it, 1 where no exceptional falls are
	// counted, 0 where nobody has asked; Drifts says whether annex B is, "" where nobody has asked.
	ExceptionalFactor float64
	Drifts            string
	// WallHeightM of the highest abutting wall, 0 for none; UpperWidthM of the building behind it.
	WallHeightM, UpperWidthM float64
	// WallWhy says on what WallHeightM rests where it is not surveyed; empty where it is.
	WallWhy string
	// WidthM of the roof away from the wall; LongM its greatest extent; ParapetM the highest
	// parapet; KerbM the highest kerb of a rooflight or hatch.
	WidthM, LongM, ParapetM, KerbM float64
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

// wall is what is known of the highest abutting wall: the width of the building behind and its height.
func (in Input) wall(r *check.Result) (upper, height *working.Figure) {
	upper = working.Measured("b1", "width of the taller building", in.UpperWidthM, "m", "survey")
	if in.UpperWidthM == 0 {
		upper = working.AssumedFigure("b1", "width of the taller building", 10, "m",
			"the building behind the wall is not in the roof file; a wider one drifts more")
		r.Flags = append(r.Flags, "the width of the taller building is taken as 10 m")
	}
	height = working.Measured("h", "height of the wall above the roof", in.WallHeightM, "m", "levels of the decks")
	if in.WallWhy != "" {
		height = working.AssumedFigure("h", "height of the wall above the roof", in.WallHeightM, "m", in.WallWhy)
		r.Flags = append(r.Flags, in.WallWhy)
	}
	return upper, height
}

// Loads are the greatest snow loads on a roof, nil where there is none or nobody knows it.
type Loads struct {
	// Persistent is of every winter; Exceptional, of an accidental design situation, as far as the
	// country is known to ask for it.
	Persistent, Exceptional *working.Figure
}

// Check returns a verdict against the deck's capacity, and the governing loads.
func Check(in Input) (check.Result, Loads, error) {
	r := check.Result{Key: "snow.load", Title: "Will it carry the snow?", Clause: en("5.2, 5.3.6, 6.2, annex B")}
	sk, err := in.onGround(&r)
	if err != nil {
		return r, Loads{}, err
	}
	if sk == nil {
		r.Verdict, r.Finding = check.Ask, "the ground snow load of the place is not given, and none is held here ("+in.Set.Name+")"
		r.CallFor = "the national snow map, or a structural engineer"
		return r, Loads{}, nil
	}
	cases, err := in.cases(sk, &r)
	if err != nil {
		return r, Loads{}, err
	}
	var loads Loads
	for i, c := range cases {
		if i > 0 {
			r.Finding += ", "
		}
		r.Finding += c.words()
		switch {
		case !c.accidental:
			loads.Persistent = greater(loads.Persistent, c.load)
		case !c.unsure:
			loads.Exceptional = greater(loads.Exceptional, c.load)
		}
	}
	in.judge(&r, cases)
	return r, loads, nil
}

func greater(a, b *working.Figure) *working.Figure {
	if a == nil || b.Value > a.Value {
		return b
	}
	return a
}
