package weather

import (
	"math"
	"slices"
	"time"

	"gelwright/conduction"
	"gelwright/elementary"
)

// Side is one of the three courses of a surface.
type Side int

// The likely course, and the low and the high of its envelope.
const (
	Likely Side = iota
	Low
	High
	sides
)

// instant is what acts on the roof at a quarter hour.
type instant struct {
	airC, dewC, h, rainW float64
	sun, sky             [sides]float64 // absorbed sun; long wave on the face
	elevation            float64
}

// forcing is the weather as it acts on one roof, by the quarter hour, with lead
// quarters before the span asked for.
type forcing struct {
	at      []instant
	n       int
	lead    int
	spinUp  int
	skyView float64
}

// How much weather before the span a build-up is followed through, quarters: two days, after which a roof has forgotten how
// it began; or, where there is less, a day that is run twice.
const (
	leadQuarters = 192
	spinQuarters = 96
)

// fill evaluates the weather from up to two days before from, in place of what the forcing held.
func (f *forcing) fill(in *SurfaceInput, from time.Time, quarters int) {
	lead := int(min(leadQuarters, max(0, from.Sub(in.Weather.Start).Seconds()/quarterS)))
	at := f.at[:0]
	*f = forcing{lead: lead, n: quarters + lead + 1, skyView: in.Plane.SkyView() * in.Shade.SkyView()}
	f.spinUp = min(spinQuarters, f.n-1)
	if lead == leadQuarters {
		f.spinUp = 0
	}
	f.at = slices.Grow(at, f.n)[:f.n]
	start := from.Add(-time.Duration(lead) * 15 * time.Minute)
	w := &in.Weather
	var hourScale float64
	lastHour := -1
	for i := range f.at {
		t := start.Add(time.Duration(i) * 15 * time.Minute)
		secs := t.Sub(w.Start).Seconds()
		k := min(int(secs/3600), len(w.Hours)-1)
		u := secs/3600 - float64(k)
		a := &w.Hours[k]
		b := a
		if k+1 < len(w.Hours) {
			b = &w.Hours[k+1]
		}
		if k != lastHour {
			hourScale = clearScale(a, in.Site, w.TimeOf(k))
			lastHour = k
		}
		f.at[i] = in.instant(f, a, b, min(u, 1), t, hourScale)
	}
}

// clearScale is the ratio of the irradiance that the hour gives to the clear
// sky's mean over its four quarters, so that the hour keeps its energy; -1 where
// no irradiance is given.
func clearScale(h *Hour, site Site, start time.Time) float64 {
	if h.Has&Global == 0 {
		return -1
	}
	sum := 0.0
	for q := range 4 {
		place := sunnyAt(start.Add(time.Duration(450+900*q)*time.Second), site)
		sum += place.clear(h, site).GlobalWPerM2 / 4
	}
	if sum < 1 {
		return 0
	}
	return min(h.GlobalWPerM2/sum, 3)
}

// airOver is the air of an hour over a site of a standard pressure, hPa, and a ground.
func airOver(h *Hour, standardHPa, albedo float64) Atmosphere {
	p := h.PressureHPa
	if h.Has&Pressure == 0 || p > 1.03*standardHPa {
		p = standardHPa // forecasts give it for sea level
	}
	return Atmosphere{PressureHPa: p, WaterCM: precipitableCM(h.AirC, h.DewPointC), Albedo: albedo}
}

// instant evaluates the weather at share u of the way from hour a to b.
func (in *SurfaceInput) instant(f *forcing, a, b *Hour, u float64, t time.Time, scale float64) instant {
	mix := func(x, y float64) float64 { return x*(1-u) + y*u }
	place := in.Suns.of(t, in.Site)
	if place == nil {
		place = sunnyAt(t, in.Site)
	}
	sun := place.sun
	cloud := mix(a.Cloud, b.Cloud)
	e := instant{airC: mix(a.AirC, b.AirC), dewC: mix(a.DewPointC, b.DewPointC), elevation: sun.ElevationDeg}
	e.h = ConvectionWPerM2K(mix(a.WindMS, b.WindMS) * in.Site.windFactor())
	e.rainW = conduction.RainCoefficient(a.RainMM)

	skyOf := Sky{AirC: e.airC, DewPointC: e.dewC, Cloud: cloud, PressureHPa: a.PressureHPa, daily: &place.daily}
	rest := (1 - f.skyView) * black(e.airC)
	e.sky[Likely] = in.Model.IncomingWPerM2(skyOf)*f.skyView + rest
	cloudLow, cloudHigh := cloud, cloud
	if !in.CentralOnly {
		lo, hi := SkySpread(skyOf, in.CloudError)
		e.sky[Low], e.sky[High] = lo*f.skyView+rest, hi*f.skyView+rest
		cloudLow, cloudHigh = cloud+in.CloudError, cloud-in.CloudError
	}
	clear := place.clear(a, in.Site)
	if clear.GlobalWPerM2 <= 0 {
		return e
	}
	beam, view, lies := in.Shade.Beam(sun, t, in.Site), f.skyView, place.on(in.Plane)
	absorbed := func(i Irradiance) float64 {
		o := lies.hayDavies(i, in.Site.albedo())
		// The light round the sun (part of o.SkyWPerM2) is hidden with the sun on a
		// shaded roof; what walls reflect is left out.
		around := i.DiffuseWPerM2 * i.DirectWPerM2 / lies.etrWPerM2 * lies.ratio
		dome := (o.SkyWPerM2 - around) / max(lies.view, 0.01) * view
		return in.Absorptance * ((o.BeamWPerM2+around)*beam + dome + o.GroundWPerM2*(1-in.Shade.CoverShare))
	}
	if scale < 0 {
		e.sun[Likely] = absorbed(clear.UnderCloud(cloud, place.cosine))
		if !in.CentralOnly {
			e.sun[Low] = absorbed(clear.UnderCloud(cloudLow, place.cosine))
			e.sun[High] = absorbed(clear.UnderCloud(cloudHigh, place.cosine))
		}
		return e
	}
	given := in.given(a, clear, sun, scale)
	e.sun[Likely] = absorbed(given)
	if !in.CentralOnly {
		// The same shift of cloud, as a ratio, on the irradiance given.
		dim := func(c float64) float64 { return 1 - 0.75*elementary.Pow(clamp(c, 0, 1), 3.4) }
		e.sun[Low] = e.sun[Likely] * dim(cloudLow) / dim(cloud)
		e.sun[High] = max(e.sun[Likely], min(e.sun[Likely]*dim(cloudHigh)/dim(cloud), absorbed(clear)))
	}
	return e
}

// given is the hour's own irradiance at this moment: global in the form of the
// clear sky, split as the hour gives it, or by Erbs.
func (in *SurfaceInput) given(h *Hour, clear Irradiance, sun Sun, scale float64) Irradiance {
	g := min(clear.GlobalWPerM2*scale, 1.2*ExtraterrestrialWPerM2(sun.DistanceAU)*math.Cos(sun.ZenithDeg*rad))
	if h.Has&Diffuse != 0 && h.GlobalWPerM2 > 0 {
		d := g * clamp(h.DiffuseWPerM2/h.GlobalWPerM2, 0, 1)
		return Irradiance{GlobalWPerM2: g, DiffuseWPerM2: d, DirectWPerM2: (g - d) / max(math.Cos(sun.ZenithDeg*rad), 0.0175)}
	}
	return Erbs(g, sun.ZenithDeg, ExtraterrestrialWPerM2(sun.DistanceAU))
}

func solarHour(t time.Time, site Site, s Sun) float64 {
	secs := float64(t.Unix()%86400) + site.LonDeg*240 + s.EquationOfTimeMin*60
	return math.Mod(secs/3600+48, 24)
}

// drive is what acts on the build-up at seconds after the forcing's first instant.
func (f *forcing) drive(in *SurfaceInput, side Side) conduction.Drive {
	room, rest := conduction.Room(in.Room.TempC, in.Room.ResistanceM2KPerW), in.Room.Insulated
	if rest {
		room = conduction.Adiabatic()
	}
	emissivity, outdoor := in.Emissivity, in.Room.Outdoor && !rest
	return conduction.Drive{Faces: func(tS float64, outer, inner *conduction.Face) {
		k, u := f.where(tS)
		a, b := &f.at[k], &f.at[min(k+1, f.n-1)]
		v := 1 - u
		air := a.airC*v + b.airC*u
		outer.AirC, outer.ConvectionWPerM2K = air, a.h*v+b.h*u
		outer.GainWPerM2 = a.sun[side]*v + b.sun[side]*u
		outer.Emissivity, outer.IncomingWPerM2 = emissivity, a.sky[side]*v+b.sky[side]*u
		outer.RainC, outer.RainWPerM2K = a.dewC, a.rainW
		if inner.AirC, inner.ConvectionWPerM2K = room.AirC, room.ConvectionWPerM2K; outdoor {
			inner.AirC = air
		}
	}}
}

// where is the quarter that holds tS and the share of it gone by; the end of a
// quarter belongs to the next, where it has the same value but for the rain.
func (f *forcing) where(tS float64) (k int, u float64) {
	x := clamp(tS/quarterS, 0, float64(f.n-1))
	k = int(x)
	return k, x - float64(k)
}
