package weather

import (
	"math"
	"time"
)

const rad = math.Pi / 180

// Sun is where the sun stands, seen from a site.
type Sun struct {
	// ZenithDeg is from the vertical, with refraction; ElevationDeg from the
	// horizon, without.
	ZenithDeg, ElevationDeg float64
	// AzimuthDeg is clockwise from north.
	AzimuthDeg float64
	// DeclinationDeg, and the distance in astronomical units.
	DeclinationDeg, DistanceAU float64
	// EquationOfTimeMin is sundial time less mean time, minutes.
	EquationOfTimeMin float64
}

// SunAt is the sun's place at t over site at the site's standard pressure and 10 °C.
//
// Method: apparent longitude by the low-precision theory of J. Meeus,
// Astronomical Algorithms, 2nd ed. 1998, ch. 25, with the five planetary and lunar
// terms of his Astronomical Formulae for Calculators ch. 18, the four greatest
// terms of nutation (ch. 22), parallax, and the refraction of I. Reda and
// A. Andreas (NREL/TP-560-34302, eq. 42). Within 0.005° of the NREL algorithm at
// its published example; 0.01° is claimed for 1950–2050.
func SunAt(t time.Time, site Site) Sun {
	s := sunAt(float64(t.UnixNano())/1e9, site.LatDeg, site.LonDeg)
	s.refract(StandardPressureHPa(site.ElevM), 10)
	return s
}

func (s *Sun) refract(pressureHPa, airC float64) {
	e := s.ElevationDeg
	if e > -0.8333 { // below that the disc is down
		e += pressureHPa / 1010 * 283 / (273 + airC) * 1.02 / (60 * math.Tan((e+10.3/(e+5.11))*rad))
	}
	s.ZenithDeg = 90 - e
}

// solar is what does not depend on the observer.
type solar struct{ alpha, delta, r, theta, eot float64 } // degrees, AU, minutes

// deltaTS is terrestrial less universal time, s: 67 s in 2003, 69 s in the 2020s.
const deltaTS = 68.5

func solarAt(unixS float64) solar {
	days := unixS/86400 - 10957.5 // from 2000-01-01 12:00 UT
	t := (days + deltaTS/86400) / 36525
	l0 := 280.46646 + t*(36000.76983+t*0.0003032)
	m := (357.52911 + t*(35999.05029-t*0.0001537)) * rad
	e := 0.016708634 - t*(0.000042037+t*0.0000001267)
	sm, cm := math.Sincos(m)
	s2m := 2 * sm * cm
	s3m := sm * (3 - 4*sm*sm)
	c := (1.914602-t*(0.004817+t*0.000014))*sm + (0.019993-t*0.000101)*s2m + 0.000289*s3m
	lon := l0 + c
	t19 := t + 1 // centuries from 1900, near enough for these
	lon += 0.00134*math.Cos((153.23+22518.7541*t19)*rad) + 0.00154*math.Cos((216.57+45037.5082*t19)*rad) +
		0.00200*math.Cos((312.69+32964.3577*t19)*rad) + 0.00178*math.Sin((231.19+20.20*t19)*rad)
	sd, cd := math.Sincos((297.85036 + 445267.111480*t) * rad) // moon's elongation
	lon += 0.00179 * sd
	nu := m + c*rad
	r := 1.000001018*(1-e*e)/(1+e*math.Cos(nu)) + 0.0000307*cd
	so, co := math.Sincos((125.04452 - 1934.136261*t) * rad)
	s2l, c2l := math.Sincos(2 * l0 * rad)
	lm := 2 * (218.3165 + 481267.8813*t) * rad
	s2m2, c2m2 := math.Sincos(lm)
	dpsi := (-17.20*so - 1.32*s2l - 0.23*s2m2 + 0.21*2*so*co) / 3600
	deps := (9.20*co + 0.57*c2l + 0.10*c2m2 - 0.09*(co*co-so*so)) / 3600
	eps0 := 23.4392911 - t*(0.0130042+t*1.64e-7)
	eps := (eps0 + deps) * rad
	lam := (lon + dpsi - 20.4898/3600/r) * rad
	sl, cl := math.Sincos(lam)
	se, ce := math.Sincos(eps)
	alpha := math.Atan2(ce*sl, cl) / rad
	delta := math.Asin(se*sl) / rad
	tu := days / 36525
	theta := 280.46061837 + 360.98564736629*days + tu*tu*0.000387933 + dpsi*ce
	eq := l0 - 0.0057183 - alpha + dpsi*ce
	eot := 4 * (eq - 360*math.Round(eq/360))
	return solar{alpha, delta, r, theta, eot}
}

func sunAt(unixS, latDeg, lonDeg float64) Sun {
	p := solarAt(unixS)
	h := (p.theta + lonDeg - p.alpha) * rad
	sh, ch := math.Sincos(h)
	sp, cp := math.Sincos(latDeg * rad)
	sd, cd := math.Sincos(p.delta * rad)
	e := math.Asin(sp*sd + cp*cd*ch)
	az := math.Atan2(-sh*cd, cp*sd-sp*cd*ch) / rad
	if az < 0 {
		az += 360
	}
	// The eye is not at the earth's centre: 8.794″ of horizontal parallax.
	elev := e/rad - 8.794/3600/p.r*math.Cos(e)
	return Sun{ElevationDeg: elev, ZenithDeg: 90 - elev, AzimuthDeg: az, DeclinationDeg: p.delta, DistanceAU: p.r, EquationOfTimeMin: p.eot}
}

// Daylight is one day's sunrise and sunset, UTC. Where the sun does not rise or
// does not set, Polar is "dark" or "light" and both times are zero.
type Daylight struct {
	Rise  time.Time `json:"rise"`
	Noon  time.Time `json:"noon"`
	Set   time.Time `json:"set"`
	Polar string    `json:"polar,omitempty"`
}

// DaylightOn is sunrise, noon and sunset of the local calendar day that holds t:
// upper limb on a level horizon, 34′ of refraction and 16′ of radius. Within half
// a minute below 60° latitude.
func DaylightOn(t time.Time, site Site) Daylight {
	local := t.In(site.zone())
	// Begin near the middle of the local day, by the sun's mean time at the longitude.
	mid := time.Date(local.Year(), local.Month(), local.Day(), 12, 0, 0, 0,
		time.UTC).Add(-time.Duration(site.LonDeg * 240 * float64(time.Second)))
	noon := float64(mid.Unix())
	for range 2 {
		p := solarAt(noon)
		noon -= math.Remainder(p.theta+site.LonDeg-p.alpha, 360) * 239.345 // 86164 s in 360°
	}
	d := Daylight{Noon: unix(noon)}
	edge := func(sign float64) (float64, float64) {
		at := noon
		cosH := 0.0
		for range 4 {
			p := solarAt(at)
			sp, cp := math.Sincos(site.LatDeg * rad)
			sd, cd := math.Sincos(p.delta * rad)
			cosH = (math.Sin(-0.8333*rad) - sp*sd) / (cp * cd)
			if math.Abs(cosH) >= 1 {
				return 0, cosH
			}
			want := sign * math.Acos(cosH) / rad
			have := math.Remainder(p.theta+site.LonDeg-p.alpha, 360)
			at += (want - have) * 239.345
		}
		return at, cosH
	}
	rise, c1 := edge(-1)
	set, c2 := edge(1)
	switch {
	case c1 >= 1 || c2 >= 1:
		d.Polar = "dark"
	case c1 <= -1 || c2 <= -1:
		d.Polar = "light"
	default:
		d.Rise, d.Set = unix(rise), unix(set)
	}
	return d
}

func unix(s float64) time.Time {
	whole := math.Floor(s)
	return time.Unix(int64(whole), int64((s-whole)*1e9)).UTC()
}
