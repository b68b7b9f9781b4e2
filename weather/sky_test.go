package weather

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
	"time"
	_ "time/tzdata" // the zone of the shade's test
)

// Every filled row of the spreadsheet published with the model by NREL.
func TestBirdAgainstItsSpreadsheet(t *testing.T) {
	f, err := os.Open("testdata/bird_clear_sky.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	sunny := 0
	for _, r := range rows[1:] {
		var v [7]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(r[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		// Day, hour, ETR, zenith, direct, global, diffuse.
		if v[3] > 89 {
			continue
		}
		sunny++
		got := Bird(v[3], v[2], Atmosphere{PressureHPa: 840, OzoneCM: 0.3, WaterCM: 1.5, AOD500: 0.1, AOD380: 0.15, Forward: 0.85, Albedo: 0.2})
		name := "day " + r[0] + " hour " + r[1]
		near(t, name+" direct", got.DirectWPerM2, v[4], 2e-4*v[4])
		near(t, name+" global", got.GlobalWPerM2, v[5], 2e-4*v[5])
		near(t, name+" diffuse", got.DiffuseWPerM2, v[6], 2e-4*v[6])
	}
	if sunny < 14 {
		t.Errorf("%d rows with sun", sunny)
	}
}

// The values are those of pvlib's tests (test_clearsky.py, test_irradiance.py).
func TestClearSkyAndSplit(t *testing.T) {
	for _, c := range []struct{ z, want float64 }{{85, 48.62987}, {80, 135.74175}, {40, 778.76669}, {0, 1035.09203}, {90, 0}, {100, 0}} {
		near(t, "Haurwitz", haurwitz(c.z), c.want, 1e-4)
	}
	near(t, "extraterrestrial 2016-10-26", ExtraterrestrialWPerM2(SunAt(time.Date(2016, 10, 26, 12, 0, 0, 0, time.UTC), Site{}).DistanceAU), 1382.49, 6)
	// 2019-01-01; extraterrestrial 1413.98 by Spencer's series for 1366.1 W/m².
	e := Erbs(50, 85, 1413.98)
	near(t, "Erbs direct", e.DirectWPerM2, 96.72, 0.1)
	near(t, "Erbs diffuse", e.DiffuseWPerM2, 41.57, 0.05)
	e = Erbs(1000, 10, 1413.98)
	near(t, "Erbs direct", e.DirectWPerM2, 794.21, 0.3)
	near(t, "Erbs diffuse", e.DiffuseWPerM2, 217.86, 0.3)
}

func TestOnSlope(t *testing.T) {
	south40 := Plane{SlopeDeg: 40, BearingDeg: 180}
	level := south40.aspect(Sun{ZenithDeg: 90})
	near(t, "isotropic, tilt 40 (pvlib)", level.isotropic(Irradiance{DiffuseWPerM2: 100}, 0).SkyWPerM2, 88.302222, 1e-5)
	near(t, "ground, tilt 40 (pvlib)", level.isotropic(Irradiance{GlobalWPerM2: 900}, 0.25).GroundWPerM2, 26.32, 1e-3)
	// pvlib's test_irradiance.py, Hay–Davies with DNI extra 1321.16558.
	au := math.Sqrt(1361 / 1321.16558)
	for _, c := range []struct{ dhi, dni, z, az, want float64 }{{118.45832, 939.95470, 10.56414, 144.76568, 102.9949}, {40.4615, 316.1949, 82.85457, 66.71410, 27.1775}} {
		aspect := south40.aspect(Sun{ZenithDeg: c.z, AzimuthDeg: c.az, DistanceAU: au})
		got := aspect.hayDavies(Irradiance{DirectWPerM2: c.dni, DiffuseWPerM2: c.dhi}, 0)
		near(t, "Hay–Davies sky", got.SkyWPerM2, c.want, 1e-3)
	}
	// From memory of the NREL calculator's own example: 30° slope, bearing turned
	// −10° from south, i.e. towards the east; incidence 25.187°.
	at := time.Date(2003, 10, 17, 19, 30, 30, 0, time.UTC)
	s := sunAtAir(at, Site{LatDeg: 39.742476, LonDeg: -105.1786, ElevM: 1830.14}, 820, 11)
	near(t, "incidence", math.Acos(Plane{SlopeDeg: 30, BearingDeg: 170}.cosIncidence(s))/rad, 25.18700, 0.005)
}

func TestSkyTemperatures(t *testing.T) {
	// Worked out independently of this code; tolerance the digits shown.
	for _, c := range []struct{ n, air, dew, ir, sky float64 }{
		{0, 20, 10, 341.0, 5.34}, {0, 25, 12, 367.3, 10.56}, {0.5, 15, 10, 336.7, 4.44}, {1, 8, 6, 327.4, 2.51}, {0, 0, -3, 245.7, -16.57},
	} {
		s := Sky{AirC: c.air, DewPointC: c.dew, Cloud: c.n}
		near(t, "Clark–Allen–Walton W/m²", ClarkAllen.IncomingWPerM2(s), c.ir, 0.35)
		near(t, "Clark–Allen–Walton °C", ClarkAllen.TemperatureC(s), c.sky, 0.1)
	}
	for _, c := range []struct{ air, dew, e, bm, sw float64 }{{20, 10, .7743, 1.84, 3.91}, {25, 12, .7887, 7.82, 11.03}, {0, -3, .6949, -23.76, -23.95}} {
		s := Sky{AirC: c.air, DewPointC: c.dew}
		near(t, "Berdahl–Martin ε", BerdahlMartin.Emissivity(s), c.e, 2e-4)
		near(t, "Berdahl–Martin °C", BerdahlMartin.TemperatureC(s), c.bm, 0.02)
		near(t, "Swinbank °C", Swinbank.TemperatureC(s), c.sw, 0.02)
	}
	s := Sky{AirC: 10, DewPointC: 5}
	near(t, "Berdahl–Martin ε", BerdahlMartin.Emissivity(s), 0.7408, 1e-4)
	near(t, "Berdahl–Martin °C", BerdahlMartin.TemperatureC(s), -10.46, 0.01)
	near(t, "Swinbank °C", Swinbank.TemperatureC(s), -10.15, 0.01)
	low, high := SkySpread(s, 0.2)
	if b := BerdahlMartin.IncomingWPerM2(s); !(low <= b && b <= high && high-low > 5) {
		t.Errorf("spread %g to %g does not hold %g", low, high, b)
	}
}

func TestHumidity(t *testing.T) {
	// The WMO formula's own values, hPa; tolerance 0.002.
	for _, c := range []struct{ t, es float64 }{{0, 6.112}, {10, 12.260}, {20, 23.326}, {30, 42.337}} {
		near(t, "saturation", SaturationHPa(c.t), c.es, 0.002)
	}
	for _, c := range []struct{ air, rh, dew float64 }{{5, 80, 1.83}, {5, 90, 3.50}, {10, 70, 4.78}, {10, 85, 7.59}, {15, 60, 7.29}, {15, 80, 11.58}, {20, 50, 9.26}, {20, 60, 12.00}, {20, 85, 17.40}, {25, 60, 16.69}, {30, 70, 23.93}} {
		near(t, "dew point", DewPointC(c.air, c.rh), c.dew, 0.02)
		near(t, "Alduchov and Eskridge", dewPointAlduchov(c.air, c.rh), DewPointC(c.air, c.rh), 0.008)
		near(t, "there and back", RHPct(c.air, DewPointC(c.air, c.rh)), c.rh, 1e-9)
	}
	// NWS observation KFLL 2022-03-02 23:53Z: 22.8 °C, dew point 18.3 °C, 75.77 %.
	near(t, "KFLL", RHPct(22.8, 18.3), 75.77, 0.05)
	// The humidity at which a deck at air temperature fails the 3 K rule.
	for _, c := range []struct{ air, rh float64 }{{5, 80.95}, {10, 81.63}, {15, 82.27}, {20, 82.88}, {25, 83.46}} {
		near(t, "3 K rule", RHPct(c.air, c.air-3), c.rh, 0.02)
	}
	near(t, "pressure at 1500 m (ISO 2533)", StandardPressureHPa(1500), 845.6, 0.1)
}

func TestShadeOfAWall(t *testing.T) {
	wall := Wall{HeightM: 3, DistanceM: 3, BearingDeg: 180}
	if !wall.hides(Sun{ZenithDeg: 46, AzimuthDeg: 180}) || wall.hides(Sun{ZenithDeg: 44, AzimuthDeg: 180}) {
		t.Error("a wall as high as it is far hides the sun below 45°")
	}
	// At 60° to the side the wall's top is at atan(cos 60°) = 26.565°.
	if !wall.hides(Sun{ZenithDeg: 90 - 26, AzimuthDeg: 240}) || wall.hides(Sun{ZenithDeg: 90 - 27, AzimuthDeg: 240}) {
		t.Error("the wall's top is at 26.6° when seen at 60° to the side")
	}
	if wall.hides(Sun{ZenithDeg: 80, AzimuthDeg: 0}) {
		t.Error("the sun behind one's back is not hidden")
	}
	ends := wall
	ends.LeftM, ends.RightM = 1, 3
	if !ends.hides(Sun{ZenithDeg: 80, AzimuthDeg: 180 + 44}) || ends.hides(Sun{ZenithDeg: 80, AzimuthDeg: 180 + 46}) || ends.hides(Sun{ZenithDeg: 80, AzimuthDeg: 180 - 19}) {
		t.Error("the wall ends 3 m to the right (45°) and 1 m to the left (18.4°)")
	}
	near(t, "sky view", Shade{Walls: []Wall{wall}}.SkyView(), 1-(1-math.Sqrt2/2)/2, 1e-12)
	at := time.Date(2026, 7, 1, 9, 59, 0, 0, time.UTC)
	s := Shade{Hours: []ShadeHours{{0, 600}}}
	if s.Beam(Sun{}, at, Site{}) != 0 || s.Beam(Sun{}, at.Add(time.Minute), Site{}) != 1 {
		t.Error("shade until ten ends at ten")
	}
	// In British summer time ten o'clock is nine in UTC, in winter it is ten.
	london, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	local := Site{Zone: london}
	if s.Beam(Sun{}, at.Add(-time.Hour), local) != 0 || s.Beam(Sun{}, at, local) != 1 || s.Beam(Sun{}, time.Date(2026, 1, 15, 9, 59, 0, 0, time.UTC), local) != 0 {
		t.Error("shade until ten by the local clock")
	}
}
