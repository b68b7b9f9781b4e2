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

// aspect is how a plane lies to the sun, whatever the sky.
type aspect struct {
	// cosine of the incidence, none below 0; ratio is what the plane takes of the beam compared with the level; view of the sky dome.
	cosine, ratio, view float64
	// etrWPerM2 arrives above the air.
	etrWPerM2 float64
}

// aspect is the plane's with the sun where it is. The level's share of the beam is held above that of 89° so that dusk stays finite.
func (p Plane) aspect(s Sun) aspect {
	c := max(0, p.cosIncidence(s))
	return aspect{c, c / max(math.Cos(s.ZenithDeg*rad), 0.01745), p.SkyView(), ExtraterrestrialWPerM2(s.DistanceAU)}
}

// isotropic turns level irradiance onto the plane with the diffuse light even over
// the sky (B. Y. H. Liu and R. C. Jordan, ASHRAE J. 3, 1961).
func (a *aspect) isotropic(i Irradiance, albedo float64) OnPlane {
	return OnPlane{
		BeamWPerM2:   i.DirectWPerM2 * a.cosine,
		SkyWPerM2:    i.DiffuseWPerM2 * a.view,
		GroundWPerM2: i.GlobalWPerM2 * albedo * (1 - a.view),
	}
}

// hayDavies turns level irradiance onto the plane with the light round the sun
// treated as beam; that share is counted under SkyWPerM2.
//
// Source: J. E. Hay and J. A. Davies, Proc. First Canadian Solar Radiation Data
// Workshop, 1980, 59.
func (a *aspect) hayDavies(i Irradiance, albedo float64) OnPlane {
	o := a.isotropic(i, albedo)
	round := i.DirectWPerM2 / a.etrWPerM2
	o.SkyWPerM2 = o.SkyWPerM2*(1-round) + i.DiffuseWPerM2*round*a.ratio
	return o
}
