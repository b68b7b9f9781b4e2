package wind

import (
	"fmt"
	"math"

	"gelwright/check/country"
	"gelwright/elementary"
	"gelwright/working"
)

// terrain is one row of EN 1991-1-4 table 4.1.
type terrain struct{ z0M, zMinM float64 }

func terrainOf(category string) (terrain, working.Standing, error) {
	switch category {
	case "0":
		return terrain{0.003, 1}, working.Remembered, nil
	case "I":
		return terrain{0.01, 1}, working.Published, nil
	case "II":
		return terrain{0.05, 2}, working.Published, nil
	case "III":
		return terrain{0.3, 5}, working.Published, nil
	case "IV":
		return terrain{1, 10}, working.Published, nil
	}
	return terrain{}, "", fmt.Errorf("terrain category %q is not one of 0, I, II, III, IV (EN 1991-1-4 table 4.1)", category)
}

// Site is what the wind sees.
type Site struct {
	// BasicMS is the basic wind velocity vb,0 off the national map, m/s: where the
	// country corrects for altitude, the map value before that.
	BasicMS float64
	// Given is false when BasicMS stands in for a map that nobody has read.
	Given bool
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
	return working.Source{Title: "EN 1991-1-4:2005", Clause: clause, Standing: working.Published}
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
	ze := s.HeightM + s.ParapetM
	vb0 := s.BasicMS
	place := "roof file, site"
	base := working.GivenFigure("vb,map", "basic wind velocity off the map", s.BasicMS, "m/s", place)
	if !s.Given {
		base = working.AssumedFigure("vb,map", "basic wind velocity", s.BasicMS, "m/s", "nobody has read the national wind map for this site")
	}
	vbFig := base
	if set.AltitudeUK {
		calt := 1 + 0.001*s.AltitudeM
		formula := "calt = 1 + 0.001·A"
		if ze > 10 {
			calt = 1 + 0.001*s.AltitudeM*elementary.Pow(10/ze, 0.2)
			formula = "calt = 1 + 0.001·A·(10/z)^0.2"
		}
		vb0 *= calt
		alt := working.Calc("calt", "altitude factor", calt, "", formula,
			working.Source{Title: "UK NA to BS EN 1991-1-4", Clause: "NA.2.5", Standing: working.Published},
			working.GivenFigure("A", "altitude", s.AltitudeM, "m", place))
		vbFig = working.Calc("vb,0", "basic wind velocity at the site", vb0, "m/s", "vb,0 = vb,map·calt",
			working.Source{Title: "UK NA to BS EN 1991-1-4", Clause: "NA.2.4", Standing: working.Published}, base, alt)
	}
	dir, season := orOne(s.Direction), orOne(s.Season)
	vb := vb0 * dir * season
	z := math.Max(ze, tr.zMinM)
	kr := 0.19 * elementary.Pow(tr.z0M/0.05, 0.07)
	cr := kr * math.Log(z/tr.z0M)
	iv := 1 / math.Log(z/tr.z0M)
	rho := set.AirDensity.Value
	qb := rho * vb * vb / 2
	ce := (1 + 7*iv) * cr * cr
	qp := ce * qb

	table := working.Source{Title: "EN 1991-1-4:2005", Clause: "table 4.1, category " + s.Terrain, Standing: standing}
	z0 := working.Constant("z0", "roughness length", tr.z0M, "m", table)
	height := working.Calc("z", "reference height", z, "m", "z = max(h + hp, zmin)", en("4.3.2, 7.2.3"),
		working.GivenFigure("h", "roof height", s.HeightM, "m", place),
		working.GivenFigure("hp", "parapet height", s.ParapetM, "m", place),
		working.Constant("zmin", "least height of the profile", tr.zMinM, "m", table))
	krF := working.Calc("kr", "terrain factor", kr, "", "kr = 0.19·(z0/0.05)^0.07", en("eq. 4.5"), z0)
	crF := working.Calc("cr", "roughness factor", cr, "", "cr = kr·ln(z/z0)", en("eq. 4.4"), krF, height, z0)
	ivF := working.Calc("Iv", "turbulence intensity", iv, "", "Iv = 1/(co·ln(z/z0)), co = 1", en("eq. 4.7"), height, z0)
	vbV := working.Calc("vb", "basic wind velocity with direction and season", vb, "m/s", "vb = cdir·cseason·vb,0", en("eq. 4.1"), vbFig,
		working.AssumedFigure("cdir", "direction factor", dir, "", "no direction claimed"), working.AssumedFigure("cseason", "season factor", season, "", "no season claimed"))
	qbF := working.Calc("qb", "basic velocity pressure", qb/1000, "kN/m²", "qb = ½·ρ·vb²", en("eq. 4.10"), set.AirDensity.Figure("ρ"), vbV)
	ceF := working.Calc("ce", "exposure factor", ce, "", "ce = (1 + 7·Iv)·cr²", en("eq. 4.9"), ivF, crF)
	qpF := working.Calc("qp", "peak velocity pressure", qp/1000, "kN/m²", "qp = ce·qb", en("eq. 4.8"), ceF, qbF)
	if set.AltitudeUK {
		qpF.Noting("the profile is EN 1991-1-4's own; the UK annex reads ce off its charts NA.7 and NA.8, which are not held here")
	}
	return Pressure{Kr: kr, Cr: cr, Iv: iv, Ce: ce, BasicMS: vb, QbPa: qb, QpPa: qp, Figure: qpF}, nil
}

func orOne(v float64) float64 {
	if v == 0 {
		return 1
	}
	return v
}
