package weather

import (
	"math"
	"testing"
	"time"

	"gelwright/internal/published"
)

// Formulas and tables against their sources, transcribed apart from the code.
func TestPublishedValues(t *testing.T) {
	clear := Sky{AirC: 20, DewPointC: 100} // a dew point of 100 °C lays bare each coefficient
	day := Sky{AirC: 20, DewPointC: 0, SolarHour: 24, PressureHPa: 1100}
	half := Sky{AirC: 20, DewPointC: 0, Cloud: 0.5}
	published.Hold(t, []published.Row{
		{Clause: "Kopp and Lean 2011: solar constant, W/m²", Place: "ExtraterrestrialWPerM2(1)", Got: ExtraterrestrialWPerM2(1), Want: 1361},
		{Clause: "WMO-No. 8, annex 4.B: e at 0 °C, hPa", Place: "SaturationHPa(0)", Got: SaturationHPa(0), Want: 6.112},
		{Clause: "WMO-No. 8, annex 4.B: 6.112 exp(17.62 t/(243.12 + t))", Place: "SaturationHPa(40)", Got: SaturationHPa(40), Want: 6.112 * math.Exp(17.62*40/283.12)},
		{Clause: "the same turned round", Place: "DewPointC(40, 50)", Got: DewPointC(40, 50), Want: 243.12 * (math.Log(0.5) + 17.62*40/283.12) / (17.62 - math.Log(0.5) - 17.62*40/283.12)},
		{Clause: "Leckner 1978: w = 0.493 φ ps/T", Place: "precipitableCM(20, 10)", Got: precipitableCM(20, 10), Want: 0.493 * 100 * SaturationHPa(10) / 293.15},
		{Clause: "ISO 2533:1975, sea level, hPa", Place: "StandardPressureHPa(0)", Got: StandardPressureHPa(0), Want: 1013.25},
		{Clause: "ISO 2533:1975: (1 − 2.25577e-5 h)^5.25588", Place: "StandardPressureHPa(3000)", Got: StandardPressureHPa(3000), Want: 1013.25 * math.Pow(1-2.25577e-5*3000, 5.25588)},
		{Clause: "Berdahl and Martin 1984: 0.711 + 0.56 + 0.73, no more than 1", Place: "Emissivity", Got: BerdahlMartin.Emissivity(clear), Want: 1},
		{Clause: "Berdahl and Martin 1984: 0.711 + 0.56·0.2 + 0.73·0.04", Place: "Emissivity", Got: BerdahlMartin.Emissivity(Sky{AirC: 25, DewPointC: 20}), Want: 0.8522},
		{Clause: "Berdahl and Martin 1984: 0.711 + 0.013 + 0.00012·100", Place: "Emissivity", Got: BerdahlMartin.Emissivity(day), Want: 0.736},
		{Clause: "the same at six in the morning, without pressure's term", Place: "Emissivity", Got: BerdahlMartin.Emissivity(Sky{SolarHour: 6, PressureHPa: 1000}), Want: 0.711},
		{Clause: "common practice: low cloud adds (1 − ε)·0.8·N", Place: "Emissivity", Got: BerdahlMartin.Emissivity(half), Want: 0.711 + 0.289*0.8*0.5},
		{Clause: "Swinbank 1963: (0.0552 √T)⁴", Place: "Emissivity", Got: Swinbank.Emissivity(Sky{AirC: 26.85}), Want: math.Pow(0.0552*math.Sqrt(300), 4)},
		{Clause: "Clark and Allen 1978 at a dew point of 0 °C", Place: "Emissivity", Got: ClarkAllen.Emissivity(Sky{}), Want: 0.787},
		{Clause: "Clark and Allen 1978: 0.764 ln(Td/273.15)", Place: "Emissivity", Got: ClarkAllen.Emissivity(Sky{DewPointC: 20}), Want: 0.787 + 0.764*math.Log(293.15/273.15)},
		{Clause: "Walton 1983: 1 + 0.22 − 0.35 + 0.28 of N = 10", Place: "Emissivity", Got: ClarkAllen.Emissivity(Sky{DewPointC: -30, Cloud: 1}), Want: (0.787 + 0.764*math.Log(243.15/273.15)) * 1.15},
		{Clause: "Walton 1983 at N = 5", Place: "Emissivity", Got: ClarkAllen.Emissivity(Sky{DewPointC: -30, Cloud: 0.5}), Want: (0.787 + 0.764*math.Log(243.15/273.15)) * 1.0575},
		{Clause: "assumed: scatter of a sky model", Place: "emissivityError", Got: emissivityError, Want: 0.02},
		{Clause: "Kasten and Czeplak 1980: 1 − 0.75 N^3.4 of an overcast sky", Place: "UnderCloud(1)", Got: Irradiance{800, 700, 100}.UnderCloud(1, 1).GlobalWPerM2, Want: 200},
		{Clause: "Kasten and Czeplak 1980 at half cover", Place: "UnderCloud(0.5)", Got: Irradiance{800, 700, 100}.UnderCloud(0.5, 1).GlobalWPerM2, Want: 800 * (1 - 0.75*math.Pow(0.5, 3.4))},
		{Clause: "Erbs 1982, eq. 1a: 1 − 0.09 kt", Place: "Erbs", Got: Erbs(200, 0, 1000).DiffuseWPerM2, Want: 200 * (1 - 0.018)},
		{Clause: "Erbs 1982, eq. 1a at its end, kt 0.22", Place: "Erbs", Got: Erbs(220, 0, 1000).DiffuseWPerM2, Want: 220 * (1 - 0.09*0.22)},
		{Clause: "Erbs 1982, eq. 1b above kt 0.22", Place: "Erbs", Got: Erbs(225, 0, 1000).DiffuseWPerM2, Want: 225 * erbs(0.225)},
		{Clause: "Erbs 1982, eq. 1b at its end, kt 0.80", Place: "Erbs", Got: Erbs(800, 0, 1000).DiffuseWPerM2, Want: 800 * erbs(0.8)},
		{Clause: "Erbs 1982, eq. 1c above kt 0.80: 0.165", Place: "Erbs", Got: Erbs(810, 0, 1000).DiffuseWPerM2, Want: 810 * 0.165},
		{Clause: "EN ISO 6946 annex C: 4 + 4v (from memory)", Place: "ConvectionWPerM2K(0)", Got: ConvectionWPerM2K(0), Want: 4},
		{Clause: "EN ISO 6946 annex C: 4 + 4v (from memory)", Place: "ConvectionWPerM2K(5)", Got: ConvectionWPerM2K(5), Want: 24},
		{Clause: "ground's albedo of clear-sky models", Place: "Site.albedo", Got: Site{}.albedo(), Want: 0.2},
		{Clause: "assumed: wind among houses", Place: "Site.windFactor", Got: Site{}.windFactor(), Want: 0.7},
	})
}

func erbs(kt float64) float64 {
	return 0.9511 - 0.1604*kt + 4.388*kt*kt - 16.638*kt*kt*kt + 12.336*kt*kt*kt*kt
}

// Bird's clear sky written a second time, from SERI/TR-642-761 (1981), pages 3 to 5, and the spreadsheet of NREL.
func TestBirdIsAsPublished(t *testing.T) {
	for _, z := range []float64{0, 30, 60, 75, 85, 88.9} {
		for _, a := range []Atmosphere{{}, {WaterCM: 4, OzoneCM: 0.9, PressureHPa: 700, AOD380: 0.4, AOD500: 0.5, Forward: 0.7, Albedo: 0.6}} {
			p, o3, w, t380, t500, ba, rg := 1013.25, 0.3, 1.5, 0.15, 0.1, 0.85, 0.2
			if a.WaterCM > 0 {
				p, o3, w, t380, t500, ba, rg = 700, 0.9, 4, 0.4, 0.5, 0.7, 0.6
			}
			cz := math.Cos(z * math.Pi / 180)
			m := math.Pow(cz+0.15*math.Pow(93.885-z, -1.25), -1)
			mp := m * p / 1013
			tR := math.Exp(-0.0903 * math.Pow(mp, 0.84) * (1 + mp - math.Pow(mp, 1.01)))
			x := o3 * m
			tO := 1 - 0.1611*x*math.Pow(1+139.48*x, -0.3034) - 0.002715*x/(1+0.044*x+0.0003*x*x)
			tUM := math.Exp(-0.0127 * math.Pow(mp, 0.26))
			y := w * m
			tW := 1 - 2.4959*y/(math.Pow(1+79.034*y, 0.6828)+6.385*y)
			tau := 0.2758*t380 + 0.35*t500
			tA := math.Exp(-math.Pow(tau, 0.873) * (1 + tau - math.Pow(tau, 0.7088)) * math.Pow(m, 0.9108))
			tAA := 1 - 0.1*(1-m+math.Pow(m, 1.06))*(1-tA)
			rs := 0.0685 + (1-ba)*(1-tA/tAA)
			id := 1361 * 0.9662 * tR * tO * tUM * tW * tA
			ias := 1361 * cz * 0.79 * tO * tUM * tW * tAA * (0.5*(1-tR) + ba*(1-tA/tAA)) / (1 - m + math.Pow(m, 1.02))
			it := (id*cz + ias) / (1 - rg*rs)
			got := Bird(z, 1361, a)
			near(t, "direct", got.DirectWPerM2, id, 1e-9*id)
			near(t, "global", got.GlobalWPerM2, it, 1e-9*it)
		}
	}
	if Bird(89, 1361, Atmosphere{}) != (Irradiance{}) {
		t.Error("a sun lower than 1° gives something")
	}
}

// The sun by J. Meeus written a second time: Astronomical Algorithms, 2nd ed. 1998, ch. 22 and 25, with the perturbations of his
// Astronomical Formulae for Calculators, ch. 18, and parallax; sidereal time of ch. 12. At dates far enough from 2000 that the
// terms in T² show.
func TestSunIsAsPublished(t *testing.T) {
	sin := func(deg float64) float64 { return math.Sin(deg * math.Pi / 180) }
	cos := func(deg float64) float64 { return math.Cos(deg * math.Pi / 180) }
	for _, at := range []time.Time{
		time.Date(1950, 3, 1, 9, 0, 0, 0, time.UTC), time.Date(2026, 11, 29, 7, 30, 0, 0, time.UTC), time.Date(2026, 6, 3, 15, 0, 0, 0, time.UTC),
		time.Date(2049, 8, 20, 12, 0, 0, 0, time.UTC), time.Date(2200, 1, 5, 11, 0, 0, 0, time.UTC), time.Date(2200, 9, 9, 13, 0, 0, 0, time.UTC),
	} {
		d := float64(at.Unix())/86400 + 2440587.5 - 2451545
		T := (d + 68.5/86400) / 36525
		L0 := 280.46646 + 36000.76983*T + 0.0003032*T*T
		M := 357.52911 + 35999.05029*T - 0.0001537*T*T
		e := 0.016708634 - 0.000042037*T - 0.0000001267*T*T
		C := (1.914602-0.004817*T-0.000014*T*T)*sin(M) + (0.019993-0.000101*T)*sin(2*M) + 0.000289*sin(3*M)
		t19 := T + 1
		D := 297.85036 + 445267.111480*T
		sun := L0 + C + 0.00134*cos(153.23+22518.7541*t19) + 0.00154*cos(216.57+45037.5082*t19) + 0.00200*cos(312.69+32964.3577*t19) +
			0.00178*sin(231.19+20.20*t19) + 0.00179*sin(D)
		R := 1.000001018*(1-e*e)/(1+e*cos(M+C)) + 0.0000307*cos(D)
		om, L, l := 125.04452-1934.136261*T, L0, 218.3165+481267.8813*T
		dpsi := (-17.20*sin(om) - 1.32*sin(2*L) - 0.23*sin(2*l) + 0.21*sin(2*om)) / 3600
		deps := (9.20*cos(om) + 0.57*cos(2*L) + 0.10*cos(2*l) - 0.09*cos(2*om)) / 3600
		eps := 23.4392911 - 0.0130042*T - 1.64e-7*T*T + deps
		lam := sun + dpsi - 20.4898/3600/R
		alpha := math.Atan2(cos(eps)*sin(lam), cos(lam)) * 180 / math.Pi
		delta := math.Asin(sin(eps)*sin(lam)) * 180 / math.Pi
		tu := d / 36525
		theta := 280.46061837 + 360.98564736629*d + 0.000387933*tu*tu + dpsi*cos(eps)
		const lat, lon = 53.0, -6.0
		h := theta + lon - alpha
		el := math.Asin(sin(lat)*sin(delta)+cos(lat)*cos(delta)*cos(h)) * 180 / math.Pi
		el -= 8.794 / 3600 / R * cos(el)
		az := math.Atan2(-sin(h)*cos(delta), cos(lat)*sin(delta)-sin(lat)*cos(delta)*cos(h)) * 180 / math.Pi
		s := sunAt(float64(at.Unix()), lat, lon)
		near(t, "declination", s.DeclinationDeg, delta, 2e-7)
		near(t, "distance", s.DistanceAU, R, 1e-9)
		near(t, "elevation", s.ElevationDeg, el, 2e-7)
		near(t, "azimuth", math.Remainder(s.AzimuthDeg-az, 360), 0, 2e-6)
		eot := L0 - 0.0057183 - alpha + dpsi*cos(eps)
		near(t, "equation of time", s.EquationOfTimeMin, 4*math.Remainder(eot, 360), 1e-6)
	}
	// Reda and Andreas, NREL/TP-560-34302, eq. 42: refraction.
	for _, e := range []float64{-0.8, 0, 5, 30} {
		s := Sun{ElevationDeg: e}
		s.refract(820, 11)
		near(t, "refraction", 90-e-s.ZenithDeg, 820.0/1010*283/(273+11)*1.02/(60*math.Tan((e+10.3/(e+5.11))*math.Pi/180)), 1e-12)
	}
	down := Sun{ElevationDeg: -0.85}
	down.refract(820, 11)
	near(t, "no refraction below the horizon", down.ZenithDeg, 90.85, 1e-12)
}

// The trade's limits, from the list of what a laminator asks of a day.
func TestLimitsAreTheTrades(t *testing.T) {
	l, c := LaminateLimits(), TopCoatLimits()
	published.Hold(t, []published.Row{
		{Clause: "the trade", Place: "AirMin", Got: l.AirMin.Value, Want: 5}, {Clause: "the trade", Place: "AirMax", Got: l.AirMax.Value, Want: 35},
		{Clause: "the trade", Place: "SurfaceMin", Got: l.SurfaceMin.Value, Want: 5}, {Clause: "the trade", Place: "SurfaceMax", Got: l.SurfaceMax.Value, Want: 35},
		{Clause: "the trade", Place: "RHMax", Got: l.RHMax.Value, Want: 85}, {Clause: "ISO 8502-4", Place: "DewMargin", Got: l.DewMargin.Value, Want: 3},
		{Clause: "the trade", Place: "RisingBandK", Got: l.RisingBandK, Want: 1}, {Clause: "the trade", Place: "AheadH", Got: l.AheadH, Want: 2},
		{Clause: "the trade", Place: "RainTrace", Got: l.RainTrace.Value, Want: 0.1}, {Clause: "the trade", Place: "RainProb", Got: l.RainProb.Value, Want: 0.4},
		{Clause: "the trade", Place: "RainFreeH", Got: l.RainFreeH, Want: 1}, {Clause: "the trade", Place: "WindMax", Got: l.WindMax.Value, Want: 10},
		{Clause: "the trade", Place: "FrostFreeH", Got: l.FrostFreeH, Want: 12}, {Clause: "the trade", Place: "top coat AheadH", Got: c.AheadH, Want: 4},
		{Clause: "the trade", Place: "top coat RainFreeH", Got: c.RainFreeH, Want: 4}, {Clause: "the trade", Place: "top coat BeforeSunsetH", Got: c.BeforeSunsetH, Want: 2},
		{Clause: "the trade", Place: "top coat WindMax", Got: c.WindMax.Value, Want: 8},
		{Clause: "assumed: a hair's breadth in K", Place: "slackTempK", Got: slackTempK, Want: 2}, {Clause: "assumed", Place: "slackDewK", Got: slackDewK, Want: 1},
		{Clause: "assumed: a hair's breadth in %", Place: "slackRH", Got: slackRH, Want: 5}, {Clause: "assumed", Place: "slackWind", Got: slackWind, Want: 2},
	})
}

// The assumed errors of a forecast and the rough climates, written a second time: held, so that a change is made on purpose.
func TestAssumedTables(t *testing.T) {
	if got := AssumedErrors(); got != (ErrorModel{
		Air: Growth{1, 0.5, 4}, Gap: Growth{0.9, 0.4, 4}, Wind: Growth{0.28, 0.06, 0.5}, Cloud: Growth{0.2, 0.05, 0.4},
		RainShiftH: Growth{1, 1, 8}, RainAmount: Growth{0.4, 0.1, 1}, SurpriseRain: Growth{0.05, 0.02, 0.2},
	}) {
		t.Errorf("%+v", got)
	}
	want := [...][13]float64{
		{0, 26, 27.5, 4, 4, 80, 80, 2.5, 2.5, .6, .6, .1, .1}, {15, 23, 28, 6, 5, 68, 75, 3, 3, .4, .5, .03, .1},
		{30, 12, 27, 5.5, 6, 68, 58, 3, 3, .45, .25, .06, .02}, {40, 7, 24, 4.5, 6, 75, 58, 3.5, 3, .6, .35, .08, .03},
		{50, 5, 18, 3, 5.5, 86, 70, 4.5, 3.5, .72, .55, .12, .07}, {55, 4.5, 15, 3, 5, 87, 76, 5, 4, .75, .65, .13, .09},
		{60, -2, 15, 3, 5, 86, 72, 4, 3.5, .72, .6, .12, .09}, {70, -8, 11, 3, 4, 84, 76, 5, 4, .7, .68, .1, .09},
		{90, -30, 0, 2, 2, 75, 85, 4, 4, .5, .8, .05, .05},
	}
	for i, b := range bands {
		got := [13]float64{b.latDeg, b.coldC, b.warmC, b.swingColdK, b.swingWarmK, b.rhCold, b.rhWarm, b.windCold, b.windWarm, b.cloudCold, b.cloudWarm, b.rainShareCold, b.rainShare}
		if got != want[i] {
			t.Errorf("latitude %g: %v, want %v", b.latDeg, got, want[i])
		}
	}
	for q, r := range map[Quantity][2]float64{
		Air: {-90, 60}, DewPoint: {-100, 40}, Humidity: {0, 105}, Wind: {0, 120}, Gust: {0, 150}, WindFrom: {0, 360}, Cloud: {0, 1.0001},
		Rain: {0, 400}, RainProbability: {0, 1.0001}, Pressure: {300, 1100}, Global: {0, 1600}, Direct: {0, 1450}, Diffuse: {0, 1200},
		MeasuredSurface: {-60, 120},
	} {
		if span[q] != r {
			t.Errorf("%v can be %v, want %v", q, span[q], r)
		}
	}
}

// Where a site can be.
func TestBoundsOfASite(t *testing.T) {
	for _, c := range []struct{ in, out Site }{
		{Site{LatDeg: 90}, Site{LatDeg: 90.1}}, {Site{LatDeg: -90}, Site{LatDeg: -90.1}}, {Site{LonDeg: 180}, Site{LonDeg: 180.1}},
		{Site{LonDeg: -180}, Site{LonDeg: -180.1}}, {Site{ElevM: -430}, Site{ElevM: -431}}, {Site{ElevM: 6000}, Site{ElevM: 6001}},
		{Site{WindFactor: 2}, Site{WindFactor: 2.01}}, {Site{GroundAlbedo: 1}, Site{GroundAlbedo: 1.01}},
	} {
		if err := c.in.Check(); err != nil {
			t.Errorf("%+v: %v", c.in, err)
		}
		if c.out.Check() == nil {
			t.Errorf("%+v is taken", c.out)
		}
	}
}
