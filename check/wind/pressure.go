package wind

import (
	"fmt"

	"gelwright/check/country"
	"gelwright/working"
)

// terrain is one row of EN 1991-1-4 table 4.1.
type terrain struct{ z0M, zMinM float64 }

func terrainOf(category string) (terrain, working.Standing, error) {
	switch category {
	case "0":
		return terrain{0.003, 1}, working.Remembered, nil
	case "I":
		return terrain{0.01, 1}, working.Quoted, nil
	case "II":
		return terrain{0.05, 2}, working.Quoted, nil
	case "III":
		return terrain{0.3, 5}, working.Quoted, nil
	case "IV":
		return terrain{1, 10}, working.Quoted, nil
	}
	return terrain{}, "", fmt.Errorf("terrain category %q is not one of 0, I, II, III, IV (EN 1991-1-4 table 4.1)", category)
}

// Site is what the wind sees.
type Site struct {
	// From knows which values of the site somebody has written.
	From working.Giver
	// BasicMS is the basic wind velocity vb,0 off the national map, m/s: where the
	// country corrects for altitude, the map value before that.
	BasicMS float64
	// Given is false when BasicMS stands in for a map that nobody has read; MapTopKnown tells
	// that it is then the greatest of that map.
	Given, MapTopKnown bool
	// AltitudeM above sea level; used by sets that correct for it.
	AltitudeM float64
	Terrain   string
	// HeightM of the roof above ground, without parapet.
	HeightM float64
	// ParapetM above the roof; 0 for a sharp edge.
	ParapetM float64
	// Hill marks a site on a hill or escarpment, where an orography factor is due.
	Hill bool
	// Direction and Season factors; 1 when zero.
	Direction, Season float64
}

// Pressure is the peak velocity pressure with all that led to it.
type Pressure struct {
	Kr, Cr, Iv, Ce float64
	BasicMS        float64
	QbPa, QpPa     float64
	Figure         *working.Figure
}

var en = func(clause string) working.Source {
	return working.Source{Title: "EN 1991-1-4:2005", Clause: clause, Standing: working.Quoted}
}

// Peak returns the peak velocity pressure at reference height ze = roof height plus
// parapet (EN 1991-1-4 4.3 to 4.5): qp = (1 + 7·Iv)·½·ρ·vm². Below the terrain's
// least height the profile is held at that height.
//
// BasicMS from 10 to 60 m/s, HeightM above 0 to 200 m.
func Peak(s Site, set country.Set) (Pressure, error) {
	tr, standing, err := terrainOf(s.Terrain)
	if err != nil {
		return Pressure{}, err
	}
	switch {
	case !(s.BasicMS >= 10 && s.BasicMS <= 60):
		return Pressure{}, fmt.Errorf("basic wind velocity %g m/s is outside 10 to 60 m/s: read it off the national map", s.BasicMS)
	case !(s.HeightM > 0 && s.HeightM <= 200):
		return Pressure{}, fmt.Errorf("roof height %g m is outside 0 to 200 m: give the eaves height above ground", s.HeightM)
	case s.ParapetM < 0 || s.ParapetM > 5:
		return Pressure{}, fmt.Errorf("parapet height %g m is outside 0 to 5 m", s.ParapetM)
	}
	h := working.Measured("h", "roof height", s.HeightM, "m", "eaves of the site and level of the deck")
	hp := working.Measured("hp", "parapet height", s.ParapetM, "m", "parapets of the deck")
	table := working.Source{Title: "EN 1991-1-4:2005", Clause: "table 4.1, category " + s.Terrain, Standing: standing}
	z0 := working.Constant("z0", "roughness length", tr.z0M, "m", table)
	z := referenceHeight.Figure("reference height", "m", en("4.3.2, 7.2.3"), h, hp,
		working.Constant("zmin", "least height of the profile", tr.zMinM, "m", table))
	vb := siteVelocity(s, set, h, hp)
	kr := terrainFactor.Figure("terrain factor", "", en("eq. 4.5"), z0)
	cr := roughness.Figure("roughness factor", "", en("eq. 4.4"), kr, z, z0)
	iv := turbulence.Figure("turbulence intensity", "", en("eq. 4.7"), z, z0).Noting("orography factor 1")
	qb := basicPressure.Figure("basic velocity pressure", "kN/m²", en("eq. 4.10"), set.AirDensity.Figure("ρ"), vb)
	ce := exposureFactor.Figure("exposure factor", "", en("eq. 4.9"), iv, cr)
	qpF := peakPressure.Figure("peak velocity pressure", "kN/m²", en("eq. 4.8"), ce, qb)
	if set.AltitudeUK {
		qpF.Noting("the profile is EN 1991-1-4's own; the UK annex reads ce off its charts NA.7 and NA.8, which are not held here")
	}
	return Pressure{Kr: kr.Value, Cr: cr.Value, Iv: iv.Value, Ce: ce.Value, BasicMS: vb.Value,
		QbPa: 1000 * qb.Value, QpPa: 1000 * qpF.Value, Figure: qpF}, nil
}

// The formulas of EN 1991-1-4 4.2 to 4.5 and, for the altitude, of the UK annex.
var (
	altitudeLow     = working.MustFormula("calt = 1 + 0.001·A")
	altitudeHigh    = working.MustFormula("calt = 1 + 0.001·A·(10/(h + hp))^0.2")
	velocityAtSite  = working.MustFormula("vb,0 = vb,map·calt")
	velocity        = working.MustFormula("vb = vb,0·cdir·cseason")
	referenceHeight = working.MustFormula("z = max(h + hp, zmin)")
	terrainFactor   = working.MustFormula("kr = 0.19·(z0/0.05)^0.07")
	roughness       = working.MustFormula("cr = kr·ln(z/z0)")
	turbulence      = working.MustFormula("Iv = 1/ln(z/z0)")
	basicPressure   = working.MustFormula("qb = ½·ρ·vb²/1000")
	exposureFactor  = working.MustFormula("ce = (1 + 7·Iv)·cr²")
	peakPressure    = working.MustFormula("qp = ce·qb")
)

// siteVelocity is the basic wind velocity at the site, m/s: the map's, corrected for
// altitude where the country does so (less above 10 m), direction and season.
func siteVelocity(s Site, set country.Set, h, hp *working.Figure) *working.Figure {
	base := working.From(s.From, "vb,map", "basic wind velocity off the map", s.BasicMS, "m/s", "site.basic_wind_ms")
	if !s.Given {
		base = working.AssumedFigure("vb,map", "basic wind velocity", s.BasicMS, "m/s", s.standIn())
	}
	if set.AltitudeUK {
		uk := func(clause string) working.Source {
			return working.Source{Title: "UK NA to BS EN 1991-1-4", Clause: clause, Standing: working.Quoted}
		}
		altitude := working.From(s.From, "A", "altitude", s.AltitudeM, "m", "site.altitude_m")
		calt := altitudeLow.Figure("altitude factor", "", uk("NA.2.5"), altitude)
		if s.HeightM+s.ParapetM > 10 {
			calt = altitudeHigh.Figure("altitude factor", "", uk("NA.2.5"), altitude, h, hp)
		}
		base = velocityAtSite.Figure("basic wind velocity at the site", "m/s", uk("NA.2.4"), base, calt)
	}
	return velocity.Figure("basic wind velocity with direction and season", "m/s", en("eq. 4.1"), base.As("vb,0"),
		working.AssumedFigure("cdir", "direction factor", orOne(s.Direction), "", "no direction claimed"),
		working.AssumedFigure("cseason", "season factor", orOne(s.Season), "", "no season claimed"))
}

func orOne(v float64) float64 {
	if v == 0 {
		return 1
	}
	return v
}
