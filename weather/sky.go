package weather

import "math"

// SkyModel names how the long-wave radiation of the clear sky is estimated.
type SkyModel string

const (
	// BerdahlMartin: ε = 0.711 + 0.56(Td/100) + 0.73(Td/100)² with the daily term
	// 0.013·cos(2πt/24) and 0.00012(P−1000). P. Berdahl and M. Martin, Solar Energy
	// 32 (1984) 663 (recalled). It is the default.
	BerdahlMartin SkyModel = "Berdahl and Martin 1984"
	// Swinbank: Tsky = 0.0552·Ta^1.5, K. W. C. Swinbank, Q. J. R. Meteorol. Soc. 89
	// (1963) 339 (recalled).
	Swinbank SkyModel = "Swinbank 1963"
	// ClarkAllen: ε = 0.787 + 0.764·ln(Td/273.15), Td in K, with Walton's cloud
	// factor 1 + 0.022N − 0.0035N² + 0.00028N³, N in tenths. G. Clark and C. Allen
	// 1978; G. N. Walton, NBSSIR 83-2655, 1983.
	ClarkAllen SkyModel = "Clark and Allen 1978, Walton 1983"
)

// SkyModels lists the models, the default first.
func SkyModels() []SkyModel { return []SkyModel{BerdahlMartin, Swinbank, ClarkAllen} }

// Sky is what the long-wave radiation of the sky depends on.
type Sky struct {
	AirC, DewPointC float64
	// Cloud 0–1.
	Cloud float64
	// SolarHour is the hour of the sun's day, 0–24 with noon at 12, and
	// PressureHPa the pressure, for Berdahl and Martin's small terms; zero pressure
	// leaves both out.
	SolarHour, PressureHPa float64

	// daily is Berdahl and Martin's daily term where it is known.
	daily *float64
}

// dailyTerm is Berdahl and Martin's for an hour of the sun's day.
func dailyTerm(solarHour float64) float64 { return 0.013 * math.Cos(2*math.Pi*solarHour/24) }

// Emissivity is what the sky radiates, as a share of a black body at air
// temperature, 0–1. Cloud adds (1−ε0)·0.8·N for low cloud (common practice),
// except in ClarkAllen, which has its own factor.
func (m SkyModel) Emissivity(s Sky) float64 {
	var e float64
	switch m {
	case Swinbank:
		k := s.AirC + zeroC
		t := 0.0552 * k * math.Sqrt(k) / k
		e = t * t * t * t
	case ClarkAllen:
		n := 10 * clamp(s.Cloud, 0, 1)
		e = (0.787 + 0.764*math.Log((s.DewPointC+zeroC)/zeroC)) * (1 + n*(0.022+n*(-0.0035+n*0.00028)))
		return clamp(e, 0, 1)
	default:
		d := s.DewPointC / 100
		e = 0.711 + d*(0.56+d*0.73)
		if s.PressureHPa != 0 {
			var daily float64
			if s.daily != nil {
				daily = *s.daily
			} else {
				daily = dailyTerm(s.SolarHour)
			}
			e += daily + 0.00012*(s.PressureHPa-1000)
		}
	}
	e = clamp(e, 0, 1)
	return e + (1-e)*0.8*clamp(s.Cloud, 0, 1)
}

// IncomingWPerM2 is the long-wave radiation of the whole sky on a level roof, W/m².
func (m SkyModel) IncomingWPerM2(s Sky) float64 {
	return m.Emissivity(s) * black(s.AirC)
}

// TemperatureC is the temperature of a black sky that radiates as much, °C.
func (m SkyModel) TemperatureC(s Sky) float64 {
	return math.Sqrt(math.Sqrt(m.Emissivity(s)))*(s.AirC+zeroC) - zeroC
}

// black is the radiation of a black body, W/m².
func black(tempC float64) float64 {
	k := tempC + zeroC
	return sigma * k * k * k * k
}

// emissivityError is how far a model's hourly emissivity is off by itself, taken
// as 0.02 (assumed; the scatter in the papers is of that size).
const emissivityError = 0.02

// SkySpread is the lowest and highest incoming long-wave radiation over all the
// models with the cloud off by cloudError (0–1) and the emissivity by 0.02 either
// way, W/m².
func SkySpread(s Sky, cloudError float64) (lowWPerM2, highWPerM2 float64) {
	lowWPerM2 = math.Inf(1)
	thin, thick := s, s
	thin.Cloud = clamp(s.Cloud-cloudError, 0, 1)
	thick.Cloud = clamp(s.Cloud+cloudError, 0, 1)
	for _, m := range [...]SkyModel{BerdahlMartin, Swinbank, ClarkAllen} {
		lowWPerM2 = min(lowWPerM2, m.IncomingWPerM2(thin))
		highWPerM2 = max(highWPerM2, m.IncomingWPerM2(thick))
	}
	b := black(s.AirC)
	return lowWPerM2 - emissivityError*b, min(b, highWPerM2+emissivityError*b)
}

// ConvectionWPerM2K is the coefficient between surface and wind at windMS,
// W/(m²·K): hc = 4 + 4v (EN ISO 6946:2017, annex C; recalled).
func ConvectionWPerM2K(windMS float64) float64 { return 4 + 4*max(0, windMS) }
