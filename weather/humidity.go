package weather

import (
	"math"

	"gelwright/elementary"
)

// SaturationHPa is the vapour pressure over water at tempC, hPa: Sonntag's Magnus
// form as the WMO guide gives it, −45 to 60 °C.
//
// Source: D. Sonntag, Z. Meteorol. 70 (1990) 340; WMO-No. 8 (CIMO guide), annex 4.B.
func SaturationHPa(tempC float64) float64 {
	return 6.112 * elementary.Exp(17.62*tempC/(243.12+tempC))
}

// DewPointC is the dew point, °C, of air at airC with relative humidity rhPct
// (%, over water; below 0.1 % it is taken as 0.1 %). Source: as SaturationHPa.
func DewPointC(airC, rhPct float64) float64 {
	g := math.Log(math.Max(rhPct, 0.1)/100) + 17.62*airC/(243.12+airC)
	return 243.12 * g / (17.62 - g)
}

// RHPct is the relative humidity, %, of air at airC with dew point dewC, at most 100.
func RHPct(airC, dewC float64) float64 {
	return math.Min(100, 100*SaturationHPa(dewC)/SaturationHPa(airC))
}

// precipitableCM is the water in the air above the site as a depth, cm, from
// conditions at the ground: B. Leckner, Solar Energy 20 (1978) 143,
// w = 0.493·φ·ps/T with ps in Pa and T in K (recalled).
func precipitableCM(airC, dewC float64) float64 {
	return 0.493 * SaturationHPa(dewC) * 100 / (airC + zeroC)
}
