package weather

import (
	"cmp"
	"math"
	"time"
)

// Suns is the course of the sun over a site, by the quarter hour, for several courses of the
// weather under it: each place of the sun is worked out once, when it is first asked for. It
// is not for several at a time.
type Suns struct {
	site  Site
	start time.Time
	at    []sunny
}

// sunny is the sun at a quarter, and the air it shines through where that was asked for.
type sunny struct {
	known    bool
	sun      Sun
	daily    float64 // term of the sky's radiation
	cosine   float64 // of the zenith
	standard float64 // pressure of the site, hPa
	set      bool    // that the aspect of the plane was asked for
	plane    Plane
	aspect   aspect
	lit      bool    // that the column was asked for
	pressure float64 // of the column
	column   column
}

// NewSuns is the course of the sun over a site from two days before a time to another.
func NewSuns(site Site, from, to time.Time) *Suns {
	start := from.UTC().Truncate(15 * time.Minute).Add(-48 * time.Hour)
	return &Suns{site: site, start: start, at: make([]sunny, max(0, int(to.Sub(start)/(15*time.Minute))+2))}
}

// of is the place that is kept for a moment at a site, nil for none.
func (s *Suns) of(t time.Time, site Site) *sunny {
	const quarter = 15 * time.Minute
	if s == nil || s.site != site {
		return nil
	}
	d := t.Sub(s.start)
	k := int(d / quarter)
	if d < 0 || d%quarter != 0 || k >= len(s.at) {
		return nil
	}
	p := &s.at[k]
	if !p.known {
		*p = *sunnyAt(t, site)
	}
	return p
}

// sunnyAt is the place of the sun at a moment over a site.
func sunnyAt(t time.Time, site Site) *sunny {
	sun := SunAt(t, site)
	return &sunny{known: true, sun: sun, daily: dailyTerm(solarHour(t, site, sun)), cosine: math.Cos(sun.ZenithDeg * rad),
		standard: StandardPressureHPa(site.ElevM)}
}

// on is how a plane lies to it.
func (p *sunny) on(plane Plane) *aspect {
	if !p.set || p.plane != plane {
		p.set, p.plane, p.aspect = true, plane, plane.aspect(p.sun)
	}
	return &p.aspect
}

// clear is the clear sky over the site with the sun where it is, by the air of an hour.
func (p *sunny) clear(h *Hour, site Site) Irradiance {
	if p.sun.ZenithDeg >= 89 {
		return Irradiance{}
	}
	air := airOver(h, p.standard, site.albedo())
	if !p.lit || p.pressure != air.PressureHPa {
		p.lit, p.pressure, p.column = true, air.PressureHPa, columnOf(p.sun.ZenithDeg, air)
	}
	return p.column.clear(ExtraterrestrialWPerM2(p.sun.DistanceAU), cmp.Or(air.WaterCM, usualWaterCM))
}
