package weather

import "math"

// Plane is the roof's slope. The zero value is level.
type Plane struct {
	// SlopeDeg from the level, 0–90.
	SlopeDeg float64
	// BearingDeg is where the fall points, clockwise from north.
	BearingDeg float64
}

// cosIncidence is the cosine of the angle between the sun and the plane's normal.
func (p Plane) cosIncidence(s Sun) float64 {
	sb, cb := math.Sincos(p.SlopeDeg * rad)
	sz, cz := math.Sincos(s.ZenithDeg * rad)
	return cz*cb + sz*sb*math.Cos((s.AzimuthDeg-p.BearingDeg)*rad)
}

// SkyView is the share of the sky dome that an open plane sees, (1 + cos β)/2.
func (p Plane) SkyView() float64 { return (1 + math.Cos(p.SlopeDeg*rad)) / 2 }

// OnPlane is the irradiance on the plane as beam, sky and ground, W/m².
type OnPlane struct{ BeamWPerM2, SkyWPerM2, GroundWPerM2 float64 }

// Isotropic turns level irradiance onto the plane with the diffuse light even over
// the sky (B. Y. H. Liu and R. C. Jordan, ASHRAE J. 3, 1961).
func (p Plane) Isotropic(s Sun, i Irradiance, albedo float64) OnPlane {
	return OnPlane{
		BeamWPerM2:   i.DirectWPerM2 * max(0, p.cosIncidence(s)),
		SkyWPerM2:    i.DiffuseWPerM2 * p.SkyView(),
		GroundWPerM2: i.GlobalWPerM2 * albedo * (1 - p.SkyView()),
	}
}

// HayDavies turns level irradiance onto the plane with the light round the sun
// treated as beam; that share is counted under SkyWPerM2.
//
// Source: J. E. Hay and J. A. Davies, Proc. First Canadian Solar Radiation Data
// Workshop, 1980, 59.
func (p Plane) HayDavies(s Sun, i Irradiance, albedo float64) OnPlane {
	o := p.Isotropic(s, i, albedo)
	a := i.DirectWPerM2 / ExtraterrestrialWPerM2(s.DistanceAU)
	o.SkyWPerM2 = o.SkyWPerM2*(1-a) + i.DiffuseWPerM2*a*p.beamRatio(s)
	return o
}

// beamRatio is what the plane takes of the beam compared with the level; the
// level's share is held above that of 89° so that dusk stays finite.
func (p Plane) beamRatio(s Sun) float64 {
	return max(0, p.cosIncidence(s)) / max(math.Cos(s.ZenithDeg*rad), 0.01745)
}
