package weather

import (
	"math"
	"time"
)

// Other models of the same thing, to compare with.

// haurwitz is the global irradiance on the level under a clear sky, W/m², from the
// zenith angle alone. Source: B. haurwitz, J. Meteorology 2 (1945) 154 and 3 (1946) 123.
func haurwitz(zenithDeg float64) float64 {
	cz := math.Cos(zenithDeg * rad)
	if cz <= 0 {
		return 0
	}
	return 1098 * cz * math.Exp(-0.059/cz)
}

// mcAdams is another estimate, 5.7 + 3.8v below 5 m/s and 6.47·v^0.78 above
// (W. H. McAdams, Heat Transmission, 1954; recalled), for comparison.
func mcAdams(windMS float64) float64 {
	if windMS < 5 {
		return 5.7 + 3.8*math.Max(0, windMS)
	}
	return 6.47 * math.Pow(windMS, 0.78)
}

// dewPointAlduchov is the dew point by the constants of O. A. Alduchov and
// R. E. Eskridge, J. Appl. Meteorol. 35 (1996) 601: an independent check; it
// differs from DewPointC by less than 0.01 °C in a roofer's weather.
func dewPointAlduchov(airC, rhPct float64) float64 {
	g := math.Log(math.Max(rhPct, 0.1)/100) + 17.625*airC/(243.04+airC)
	return 243.04 * g / (17.625 - g)
}

// sunAtAir is SunAt for a measured station pressure (hPa) and air temperature (°C).
func sunAtAir(t time.Time, site Site, pressureHPa, airC float64) Sun {
	s := sunAt(float64(t.UnixNano())/1e9, site.LatDeg, site.LonDeg)
	s.refract(pressureHPa, airC)
	return s
}
