package exposure

import (
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/elementary"
	"gelwright/working"
)

// Styrene by the NIOSH Pocket Guide to Chemical Hazards (2005): molar mass, and
// 1 ppm = 4.26 mg/m³ at 25 °C; flash point 31 °C, explosive from 0.9 to 6.8 %.
const (
	MgPerM3PerPPM = 4.26
	FlashPointC   = 31
	LowerLimitPct = 0.9
)

func niosh(clause string) working.Source {
	return working.Source{Title: "NIOSH Pocket Guide to Chemical Hazards (2005)", Clause: clause, Standing: working.Published}
}

// VapourPressureMMHg returns styrene's vapour pressure at tempC, mm Hg: Antoine
// constants from memory; 5 mm Hg at 20 °C is published.
func VapourPressureMMHg(tempC float64) float64 {
	return elementary.Pow(10, 7.06623-1507.434/(tempC+214.985))
}

// SaturationPct returns the volume per cent of styrene in saturated air.
func SaturationPct(tempC float64) float64 { return VapourPressureMMHg(tempC) / 760 * 100 }

// Emission returns the styrene that leaves hand-laid resin, kg per kg of resin, by the
// factors of 40 CFR 63 subpart WWWW table 1: 0.286·s − 0.0529 above a styrene
// fraction of 0.33, 0.126·s below.
func Emission(styreneFraction float64) (float64, error) {
	if !(styreneFraction > 0 && styreneFraction < 0.6) {
		return 0, fmt.Errorf("styrene fraction %g is outside 0 to 0.6: take it from the data sheet", styreneFraction)
	}
	if styreneFraction < 0.33 {
		return 0.126 * styreneFraction, nil
	}
	return 0.286*styreneFraction - 0.0529, nil
}

// RollingMgPerSM2 is what a square metre gives off while it is rolled (Säämänen et al.
// 1991: 59 to 79 mg/s).
const RollingMgPerSM2 = 70

// Plume returns the concentration, ppm, at distance m straight downwind of a ground
// source of mgPerS in wind m/s: C = Q/(π·σy·σz·u), with Briggs's rural spread for a
// neutral or a still stable day. Open ground, no building wake: an order of magnitude.
func Plume(mgPerS, distanceM, windMS float64, stable bool) float64 {
	x := math.Max(distanceM, 1)
	u := math.Max(windMS, 0.5)
	sy, sz := 0.08*x/math.Sqrt(1+0.0001*x), 0.06*x/math.Sqrt(1+0.0015*x)
	if stable {
		sy, sz = 0.04*x/math.Sqrt(1+0.0001*x), 0.016*x/(1+0.0003*x)
	}
	return mgPerS / (math.Pi * sy * sz * u) / MgPerM3PerPPM
}

// OdourPPM is where styrene is smelt: 0.02 to 0.15 ppm by various panels, from memory.
const OdourPPM = 0.05

// Work is one wet day's emission.
type Work struct {
	// StyreneFrom is where the resin's share of styrene comes from.
	StyreneFrom     working.Source
	ResinKG, CoatKG float64
	StyreneFraction float64
	HoursLaying     float64
	WetM2           float64 // being rolled at one time
	Enclosed        bool    // courtyard, well, tent
	VolumeM3        float64 // of the enclosure, 0 unknown
	ResinC          float64
	WindMS          float64
	Neighbours      []string
}

const (
	// breathingM is the height of air into which the vapour of wet resin mixes before it
	// is breathed, m: that of a head bent over a roller (common practice, on the safe side).
	breathingM = 1
	// lightAirMS is the wind that all but a still day brings: the top of Beaufort 1, m/s.
	lightAirMS = 1.5
)

var (
	emitted  = working.MustFormula("E = (mr + mc)·(0.126·s where s < 0.33, else 0.286·s − 0.0529)")
	givenOff = working.MustFormula("G = e·A")
	freshAir = working.MustFormula("V = G/(C·k)·3600")
	overWet  = working.MustFormula("u = 0 where A ≤ 0, else V/3600/(√A·h)")
	smelt    = working.Method("x",
		"in steps of 2 %, where C = G/(π·σy·σz·u)/4.26 falls to the odour threshold; σy = 0.08x/√(1 + 0.0001x), σz = 0.06x/√(1 + 0.0015x), at "+
			"most 2 km")
)

// wet is the area that is wet at one time; rolling what it gives off.
func (w Work) wet() *working.Figure {
	return working.Measured("A", "wet at one time", w.WetM2, "m²", "buckets of the day")
}

func (w Work) rolling() *working.Figure {
	source := working.Source{Title: "Säämänen et al. 1991, Appl Occup Environ Hyg", Clause: "59 to 79 mg/s and m²",
		Standing: working.Published}
	return givenOff.Figure("given off while rolling", "mg/s", working.Source{Title: "area by rate", Standing: working.Derived},
		working.Constant("e", "given off by a square metre being rolled", RollingMgPerSM2, "mg/(s·m²)", source), w.wet())
}

// CheckWorkers returns the verdict on the air the crew breathes.
func CheckWorkers(w Work, set country.Set) (check.Result, error) {
	r := check.Result{Key: "exposure.styrene", Title: "Is the air fit to work in?", Clause: set.StyreneLong.Source}
	if _, err := Emission(w.StyreneFraction); err != nil {
		return r, err
	}
	buckets := "buckets of the day"
	total := emitted.Figure("styrene given off in the day", "kg",
		working.Source{Title: "40 CFR 63 subpart WWWW", Clause: "table 1, manual, open mould", Standing: working.Remembered},
		working.Measured("mr", "resin", w.ResinKG, "kg", buckets), working.Measured("mc", "top coat", w.CoatKG, "kg", buckets),
		working.Constant("s", "styrene fraction", w.StyreneFraction, "",
			w.StyreneFrom.OrUnsaid())).Keyed("check.exposure.emission")
	airF := freshAir.Figure("fresh air while rolling", "m³/h", niosh("conversion of ppm at 25 °C"), w.rolling(), set.StyreneLong.Figure("C"),
		working.Constant("k", "mg/m³ of styrene in 1 ppm", MgPerM3PerPPM, "mg/m³", niosh("conversion of ppm at 25 °C"))).Keyed(
		"check.exposure.air")
	air := airF.Value
	r.Working = []*working.Figure{airF, total}
	r.Finding = fmt.Sprintf("%.1f kg of styrene leaves the roof; holding %.0f ppm takes %.0f m³/h of fresh air while %.1f m² is wet",
		total.Value, set.StyreneLong.Value, air, w.WetM2)
	if flag := set.StyreneLong.Flag(); flag != "" {
		r.Flags = append(r.Flags, flag)
	}
	if sat := SaturationPct(w.ResinC); sat > 0.25*LowerLimitPct && w.Enclosed {
		r.Flags = append(r.Flags,
			fmt.Sprintf(
				"air resting on wet resin at %.0f °C can reach %.0f %% of the lower explosive limit: no flame, no spark, no smoking; low "+
					"places first", w.ResinC, 100*sat/LowerLimitPct))
	}
	if w.Enclosed {
		r.Verdict = check.Ask
		r.CallFor = "a person competent in exposure control: sheltered work needs forced air, masks fitted for organic vapour and a " +
			"measured value"
		r.Remedies = []check.Remedy{
			{Text: fmt.Sprintf("move %.0f m³/h of air through the place while laying, exhaust low and away from windows; A2 masks",
				math.Ceil(air/100)*100)}}
		return r, nil
	}
	breeze := overWet.Figure("wind over the wet resin that brings this air", "m/s",
		working.Source{Title: "air through the height in which people breathe, as wide as the wet area", Standing: working.Derived}, airF,
		w.wet(), working.Constant("h", "height of air that it mixes into", breathingM, "m",
			working.Source{Title: "height of a head bent over a roller", Standing: working.CommonPractice})).Keyed("check.exposure.breeze")
	wind := breeze.Value
	r.Working = append(r.Working, breeze)
	r.Finding += fmt.Sprintf("; in the open that is a wind of %.1f m/s over the wet resin", wind)
	switch {
	case wind <= lightAirMS:
		r.Verdict = check.Pass
		r.Finding += ", which is there on all but a still day"
	default:
		r.Verdict = check.Caution
		r.Finding += ", more than the light air of a quiet day: stand upwind of what is wet"
		r.Remedies = []check.Remedy{
			{Text: fmt.Sprintf(
				"lay when %.1f m/s or more is read on the roof, with the crew upwind; on a stiller day masks fitted for organic vapour (A2), or "+
					"smaller buckets, which keep less wet at a time", wind)}}
	}
	return r, nil
}

// CheckNeighbours returns who will smell it and how far the limit is.
func CheckNeighbours(w Work, leeDeg float64, leeKnown bool) check.Result {
	r := check.Result{Key: "exposure.neighbours", Title: "Who will smell it?",
		Clause: working.Source{Title: "Gaussian plume, Briggs's rural spread", Standing: working.Remembered}}
	blows := working.Measured("u", "wind", w.WindMS, "m/s", "weather of the day")
	if w.WindMS == 0 {
		blows = working.AssumedFigure("u", "wind", 2, "m/s", "a light breeze; nobody has given the wind")
	}
	wind := blows.Value
	f := smelt.Of("how far downwind it is smelt", "m", r.Clause, func(in []float64) float64 {
		x := 1.0
		for x < 2000 && Plume(in[0], x, in[1], false) > in[2] {
			x *= 1.02
		}
		return x
	}, w.rolling(), blows, working.Constant("C", "odour threshold", OdourPPM, "ppm",
		working.Source{Title: "odour panels, 0.02 to 0.15 ppm", Standing: working.Remembered})).Keyed("check.exposure.smell")
	smell := f.Value
	r.Working = []*working.Figure{f}
	r.Finding = fmt.Sprintf("in %.0f m/s of wind it is smelt to about %.0f m on the lee side, far below any limit there", wind, smell)
	if leeKnown {
		r.Finding += fmt.Sprintf(", towards %s", Compass(leeDeg))
	}
	r.Verdict = check.Caution
	if len(w.Neighbours) == 0 {
		r.Remedies = []check.Remedy{{Text: "give notice to everyone within that distance 48 hours ahead", Field: "site.neighbours"}}
	} else {
		r.Remedies = []check.Remedy{{Text: fmt.Sprintf("give notice 48 hours ahead to: %s", list(w.Neighbours))}}
	}
	return r
}

// Compass names a bearing in eight points.
func Compass(deg float64) string {
	names := [...]string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"}
	i := int(math.Round(math.Mod(math.Mod(deg, 360)+360, 360)/45)) % 8
	return names[i]
}

func list(names []string) string {
	out := ""
	for i, n := range names {
		if i > 0 {
			out += ", "
		}
		out += n
	}
	return out
}
