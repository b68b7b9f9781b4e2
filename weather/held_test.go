package weather

import (
	"math"
	"testing"
	"time"

	"gelwright/conduction"
)

var spring = time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC)

// moist is quarters in which nothing evaporates but where kPa says so: dew point and deck then differ by so much vapour pressure.
func moist(quarters int, kPa, rainMMPerH func(i int) float64) []Moment {
	const deckC = 20
	m := make([]Moment, quarters)
	for i := range m {
		d := float64(deckC)
		if k := kPa(i); k > 0 {
			want := SaturationHPa(deckC) - 10*k
			for low, high := -40.0, d; high-low > 1e-9; {
				if d = (low + high) / 2; SaturationHPa(d) > want {
					high = d
				} else {
					low = d
				}
			}
		}
		m[i] = Moment{Time: spring.Add(time.Duration(i) * 15 * time.Minute), AirC: deckC, SurfaceC: deckC, DewPointC: d,
			RainMMPerH: rainMMPerH(i)}
	}
	return m
}

func always(v float64) func(int) float64 { return func(int) float64 { return v } }

// A face that stays wet drinks 0.003 kg/(m²·√s): after four hours 0.003·√14400 = 0.36 kg/m², of 6 mm of 600 kg/m³ ten per cent
// more than the 12 % that the boards were laid with.
func TestAWetFaceDrinksWithTheRootOfTime(t *testing.T) {
	m := moist(24, always(0), always(3))
	for luck, want := range map[float64]float64{0: 12 + 100*0.36/3.6, 1: 12 + 100*0.36/3.6*math.Exp(-0.6*0.5)} {
		d := BareBoards().Damp(m, MoistureLimit().Value, luck, Site{})
		near(t, "after four hours of rain", float64(d.Pct[16]), want, 0.001)
	}
	// What is left on the face when the rain ends, 0.3 kg/m², is drunk in the end where nothing dries it.
	ended := moist(72, always(0), func(i int) float64 {
		if i < 16 {
			return 3
		}
		return 0
	})
	near(t, "long after the rain", float64(BareBoards().Damp(ended, 18, 0, Site{}).Pct[70]), 12+100*(0.36+0.3)/3.6, 0.001)
	near(t, "limit of moisture", MoistureLimit().Value, 18, 0)
}

// Drizzle of 0.03 mm/h for ten hours goes into the boards as it falls: 0.3 kg/m². At 1 kPa they lose 7 % in an hour, and are at
// 18 %, 0.216 kg/m², ln(0.3/0.216)/0.07 = 4.69 h later; at luck 1 they dry e^0.5 times as fast.
func TestHowLongBoardsDry(t *testing.T) {
	rain := func(i int) float64 {
		if i < 40 {
			return 0.03
		}
		return 0
	}
	dry := func(i int) float64 {
		if i < 40 {
			return 0
		}
		return 1
	}
	for luck, hours := range map[float64]float64{0: math.Log(0.3/0.216) / 0.07, 1: math.Log(0.3/0.216) / 0.07 / math.Exp(0.5)} {
		d := BareBoards().Damp(moist(96, dry, rain), 18, luck, Site{})
		for i, since := range d.Since {
			if wet := since >= 0; i >= 40 && wet != (float64(i-40)/4 < hours) {
				t.Errorf("luck %g: %.2f h after the rain wet is %v, %.2f h are expected", luck, float64(i-40)/4, wet, hours)
			}
		}
	}
}

// A shower of a quarter hour in saturated air: of x kg/m² the face drinks 0.09 in the first quarter and 0.09·(√2 − 1) in the next;
// while more than 20 g/m² are on it, it is too wet to be laminated.
func TestAFilmIsTooWet(t *testing.T) {
	for left, wet := range map[float64]bool{0.0196: false, 0.0204: true} {
		shower := left + 0.09*math.Sqrt2
		d := BareBoards().Damp(moist(8, always(0), func(i int) float64 { return 4 * shower * math.Max(0, float64(1-i)) }), 18, 0, Site{})
		if d.Since[1] != 0 || d.Since[2] >= 0 != wet || d.Since[3] != -1 {
			t.Errorf("%g kg/m² left after half an hour: %v", left, d.Since[:4])
		}
	}
}

// Numbers between two hours lie on the line between them; of the wind's direction on the shorter way round.
func TestGapsAreFilledStraight(t *testing.T) {
	s := Series{Start: spring, Hours: make([]Hour, 9)}
	for i, v := range map[int][2]float64{1: {10, 350}, 5: {18, 10}, 7: {12, 10}} {
		s.Hours[i].Set(Air, v[0])
		s.Hours[i].Set(WindFrom, v[1])
	}
	if a, w := s.between(Air), s.between(WindFrom); a != 6 || w != 6 {
		t.Errorf("%d and %d hours filled", a, w)
	}
	for i, want := range [][2]float64{{10, 350}, {10, 350}, {12, 355}, {14, 0}, {16, 5}, {18, 10}, {15, 10}, {12, 10}, {12, 10}} {
		near(t, "air", s.Hours[i].AirC, want[0], 1e-9)
		near(t, "direction", s.Hours[i].WindFromDeg, want[1], 1e-9)
	}
}

// Cloud from irradiance is the inverse of irradiance under cloud (Kasten and Czeplak), where the sun stands higher than 10°; more
// than all of the sky is never covered.
func TestCloudFromIrradianceAndBack(t *testing.T) {
	site := Site{LatDeg: 50}
	for _, cloud := range []float64{0, 0.3, 0.6, 0.9, 1} {
		s := dayOf(spring.AddDate(0, 2, 0), 1, 15, 3, 8, 3, 0)
		high := 0
		for i := range s.Hours {
			h := &s.Hours[i]
			h.Has &^= Cloud
			sun := SunAt(s.TimeOf(i).Add(30*time.Minute), site)
			sky := Bird(sun.ZenithDeg, ExtraterrestrialWPerM2(sun.DistanceAU), Atmosphere{PressureHPa: StandardPressureHPa(0),
				WaterCM: precipitableCM(h.AirC, h.DewPointC)})
			g := sky.UnderCloud(cloud, math.Cos(sun.ZenithDeg*rad)).GlobalWPerM2
			if cloud == 1 {
				g *= 0.5 // darker than any cloud of the law
			}
			h.Set(Global, g)
			if sun.ElevationDeg > 10 {
				high++
			}
		}
		if n := s.cloudFromGlobal(site); n != high || high < 8 {
			t.Errorf("cloud found in %d hours, the sun is high in %d", n, high)
		}
		for i := range s.Hours {
			if v, known := s.Hours[i].Get(Cloud); known {
				near(t, "cloud", v, cloud, 1e-9)
			}
		}
	}
}

// What is usual is that of the middle of the series: 23 degrees through January and February at 53° north are Fahrenheit, −5 °C.
func TestDoubtsAreOfTheMiddle(t *testing.T) {
	s := dayOf(time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), 60, 23, 4, 5, 4, 0.5)
	if d := s.Doubts(Site{LatDeg: 53}); len(d) != 1 || d[0].Quantity != Air {
		t.Errorf("doubts: %v", d)
	}
}

// How many courses may be asked for.
func TestHowManyMembers(t *testing.T) {
	s := mustFill(t, dayOf(spring, 1, 14, 0, 5, 4, 0.5), Site{LatDeg: 52})
	for n, ok := range map[int]bool{0: false, 1: true, 512: true, 513: false} {
		if f, err := s.Members(s.Start, n, AssumedErrors()); (err == nil) != ok || ok && (len(f.Members) != n || f.Invented != (n > 1)) {
			t.Errorf("%d members: %v", n, err)
		}
	}
}

// Where a chance of rain is told and hardly any rain, the rain of the wet courses keeps the mean that was told, 0.03 mm = 10 % of
// 0.3 mm; but a wet hour has 0.2 mm at least, and a chance under 10 % is taken for that. Rain of 0.1 mm is as it was told. An hour
// told dry that is wet after all has half a millimetre.
func TestHowMuchItRains(t *testing.T) {
	none := ErrorModel{}
	surprised := ErrorModel{SurpriseRain: Growth{100, 0, 100}}
	for _, c := range []struct {
		model             ErrorModel
		told, chance, mm  float64
		wetShare, allowed float64
	}{
		{none, 0.03, 0.1, 0.3, 0.1, 0.02},
		{none, 0.03, 0.05, 0.3, 0.05, 0.02},
		{none, 0.09, 0.2, 0.45, 0.2, 0.02},
		{none, 0.001, 0.5, 0.2, 0.5, 0.02},
		{none, 0.102, 0.5, 0.102, 0.5, 0.02},
		{none, 0.098, 0.5, 0.2, 0.5, 0.02},
		{surprised, 0, -1, 0.5, 1, 0},
		{surprised, 0.098, -1, 0.5, 1, 0},
		{surprised, 0.102, -1, 0.102, 1, 0},
	} {
		s := dayOf(spring, 1, 14, 0, 12, 4, 0.5)
		for i := range s.Hours {
			s.Hours[i].Set(Rain, c.told)
			if c.chance >= 0 {
				s.Hours[i].Set(RainProbability, c.chance)
			}
		}
		f, err := mustFill(t, s, Site{LatDeg: 52}).Members(s.Start, 401, c.model)
		if err != nil {
			t.Fatal(err)
		}
		wet := 0.0
		for _, m := range f.Members[1:] {
			if mm := m.Hours[5].RainMM; mm > 0 {
				wet++
				near(t, "rain of a wet course", mm, c.mm, 1e-9)
			}
		}
		near(t, "share of wet courses", wet/400, c.wetShare, c.allowed)
	}
}

// The waves of an error make a standard normal number: their shares of its variance are one. And a normal number becomes an even one
// by the tables: half of all lie below 0, 95 % below 1.6449.
func TestErrorsAreStandardNormal(t *testing.T) {
	sum := 0.0
	for _, w := range waves {
		sum += w.share
	}
	near(t, "shares of variance", sum, 1, 1e-12)
	for z, p := range map[float64]float64{0: 0.5, 1.6448536: 0.95, -1.2815516: 0.1} {
		near(t, "share below", uniform(z), p, 1e-7)
	}
}

// Two decks are enough for a line; the limit that is told is rounded down, so that nobody lays on a deck that is too hot.
func TestHottestDeckThatIsMixedFor(t *testing.T) {
	x := &Mixable{FromC: 10, StepK: 10, DeckC: []float64{24, 30.76}}
	if err := x.check(); err != nil {
		t.Error(err)
	}
	if (&Mixable{FromC: 10, StepK: 10, DeckC: []float64{24}}).check() == nil || (&Mixable{FromC: 10, DeckC: []float64{24, 30}}).check() == nil {
		t.Error("one deck, or no step, is taken")
	}
	near(t, "between the two", x.Most(15), 27.38, 1e-9)
	var j judge
	j.l = &StageLimits{Mix: x}
	var f found
	j.laid(&f, &Moment{AirC: 15, SurfaceC: 27.3, SurfaceHigh: 27.37})
	near(t, "limit told", f.binding.Bound, 27.3, 1e-9)
	if f.n != 0 || f.unsure {
		t.Errorf("a deck of 27.3 °C: %+v", f)
	}
	j.laid(&f, &Moment{AirC: 15, SurfaceC: 27.3, SurfaceHigh: 27.4})
	if f.n != 0 || !f.unsure {
		t.Errorf("a deck that may be 27.4 °C: %+v", f)
	}
}

// At 45° the climate is half way between those of 40° and 50°: July's mean (24 + 18)/2 °C, January's (7 + 5)/2 °C, and so on.
func TestClimateBetweenTwoBands(t *testing.T) {
	n := NormsOfLatitude(45)
	for month, want := range map[int]Norm{
		0: {MeanC: 6, MinC: 6 - 3.75, MaxC: 6 + 3.75, RHPct: 80.5, WindMS: 4, Cloud: 0.66, RainShare: 0.1},
		6: {MeanC: 21, MinC: 21 - 5.75, MaxC: 21 + 5.75, RHPct: 64, WindMS: 3.25, Cloud: 0.45, RainShare: 0.05},
	} {
		got := n.Months[month]
		for what, v := range map[string][2]float64{"mean": {got.MeanC, want.MeanC}, "least": {got.MinC, want.MinC}, "most": {got.MaxC, want.MaxC},
			"humidity": {got.RHPct, want.RHPct}, "wind": {got.WindMS, want.WindMS}, "cloud": {got.Cloud, want.Cloud},
			"rain": {got.RainShare, want.RainShare}} {
			near(t, what, v[0], v[1], 1e-9)
		}
	}
	// Where norms know nothing of rain, nothing is told of it.
	for m := range n.Months {
		n.Months[m].RainShare = -1
	}
	s, err := n.Days(spring, 24, Site{LatDeg: 45})
	if err != nil {
		t.Fatal(err)
	}
	for i := range s.Hours {
		if h := &s.Hours[i]; h.Has&RainProbability != 0 && h.Filled&RainProbability == 0 {
			t.Fatalf("hour %d is told a chance of rain of %g", i, h.RainProb)
		}
	}
}

// Which hours a record counts: winds of 1 m/s and more, for a calm has no ratio; dry is less than 0.1 mm.
func TestWhatARecordCounts(t *testing.T) {
	for _, c := range []struct {
		saidWind, cameWind, saidMM, cameMM float64
		winds, dry, wet                    int
	}{
		{1, 1, 0, 0, 1, 1, 0}, {0.96, 2, 0, 0, 0, 1, 0}, {2, 0.96, 0, 0, 0, 1, 0},
		{2, 2, 0.098, 0.1, 1, 1, 1}, {2, 2, 0.098, 0.098, 1, 1, 0}, {2, 2, 0.102, 1, 1, 0, 0}, {2, 2, 0, 0.102, 1, 1, 1},
	} {
		var said, came Hour
		for q, v := range map[Quantity][2]float64{Air: {10, 10}, Wind: {c.saidWind, c.cameWind}, Rain: {c.saidMM, c.cameMM}} {
			said.Set(q, v[0])
			came.Set(q, v[1])
		}
		var r Record
		r.hour(&said, &came, 1)
		if r.Wind[1].N != c.winds || r.Dry != c.dry || r.Wet != c.wet {
			t.Errorf("%+v: %+v", c, r)
		}
	}
}

// After a fortnight a record's own spread weighs as much as what was assumed, and half of its variance lasts for hours: by hand of
// errors of ±1 K about nothing.
func TestASpreadIsLearnt(t *testing.T) {
	for days, w := range map[int]float64{14: 0.5, 28: 2. / 3, 1: 1. / 15} {
		r := Record{Hours: days * 24}
		for i := range days * 24 {
			r.Air[i/12%2].add(float64(1 - 2*(i%2)))
		}
		base := ErrorModel{Air: Growth{2, 0.5, 2.1}}
		near(t, "spread of the air", r.Errors(base).Air.First, math.Sqrt((1-w)*4+w*0.5*1), 1e-9)
	}
}

// With irradiance given, the low and the high of the sun are those of more and less cloud, by Kasten and Czeplak's law.
func TestCloudierThanGiven(t *testing.T) {
	s := dayOf(spring.AddDate(0, 2, 0), 2, 15, 3, 8, 3, 0.5)
	for i := range s.Hours {
		s.Hours[i].Set(Global, 300)
	}
	site := Site{LatDeg: 50}
	in := SurfaceInput{Layers: []conduction.Layer{{Name: "board", ThicknessMM: 18, ConductivityWPerMK: 0.13, DensityKgPerM3: 620, HeatJPerKgK: 1700}},
		Absorptance: 0.7, Emissivity: 0.9, Site: site, Weather: mustFill(t, s, site), CloudError: 0.2}
	f := &forcing{}
	f.fill(&in, s.Start.AddDate(0, 0, 1), 96)
	under := func(cloud float64) float64 { return 1 - 0.75*math.Pow(cloud, 3.4) }
	noon := f.at[f.lead+48]
	near(t, "low", noon.sun[Low]/noon.sun[Likely], under(0.7)/under(0.5), 1e-9)
	near(t, "high", noon.sun[High]/noon.sun[Likely], under(0.3)/under(0.5), 1e-9)
}

// The sun's own hour: 15° of longitude are an hour, and the equation of time is in minutes.
func TestSolarHour(t *testing.T) {
	at := spring.Add(11 * time.Hour)
	near(t, "15° east", solarHour(at, Site{LonDeg: 15}, Sun{}), 12, 1e-9)
	near(t, "30° west", solarHour(at, Site{LonDeg: -30}, Sun{}), 9, 1e-9)
	near(t, "sun early by 6 min", solarHour(at, Site{}, Sun{EquationOfTimeMin: 6}), 11.1, 1e-9)
	near(t, "after midnight", solarHour(spring.Add(23*time.Hour), Site{LonDeg: 30}, Sun{}), 1, 1e-9)
}

// How far ahead a stage may look: ten days.
func TestHowFarALookReaches(t *testing.T) {
	for h, ok := range map[float64]bool{0: true, 240: true, 241: false, -1: false} {
		l := LaminateLimits()
		l.AheadH = h
		if (l.check() == nil) != ok {
			t.Errorf("a look ahead of %g h is taken: %v", h, !ok)
		}
	}
}

// A pressure that no air has at the height of the site is that of the sea, and is not taken for the site's.
func TestPressureOfTheSeaIsNotTheSites(t *testing.T) {
	site := Site{ElevM: 1000} // 898.7 hPa in the standard atmosphere (ISO 2533)
	for given, want := range map[float64]float64{1013: 898.7, 905: 905, 870: 870} {
		var h Hour
		h.Set(Pressure, given)
		near(t, "pressure", airOver(&h, StandardPressureHPa(site.ElevM), site.albedo()).PressureHPa, want, 0.1)
	}
	near(t, "pressure, none given", airOver(&Hour{}, StandardPressureHPa(site.ElevM), site.albedo()).PressureHPa, 898.7, 0.1)
}

// The south has its winter half a year later; norms make up to 400 days.
func TestNormsOfTheSouthAndTheirLength(t *testing.T) {
	north, south := NormsOfLatitude(45), NormsOfLatitude(-45)
	for m := range north.Months {
		near(t, "mean of a month", south.Months[(m+6)%12].MeanC, north.Months[m].MeanC, 1e-9)
	}
	for hours, ok := range map[int]bool{0: false, 1: true, 9600: true, 9601: false} {
		if _, err := north.Days(spring, hours, Site{LatDeg: 45}); (err == nil) != ok {
			t.Errorf("%d hours of norms: %v", hours, err)
		}
	}
}

// How likely a dry hour is wet after all, by hand of the slopes: at 70.5 % humidity half of the damp hour's, under middling pressure
// as it is, under a high of 1030.6 hPa a fifth, under a low of 991 hPa twice, under a clear sky eight tenths, an overcast twelve.
func TestSurprisesByHand(t *testing.T) {
	model := ErrorModel{SurpriseRain: Growth{0.1, 0, 1}}
	for _, c := range []struct{ rh, hPa, cloud, want float64 }{
		{70.5, 1013, 0.5, 0.05}, {93, 1013, 0.5, 0.1}, {99, 1013, 0.5, 0.11}, {48, 1013, 0.5, 0}, {93, 1030.6, 0.5, 0.02}, {93, 1040, 0.5, 0.02},
		{93, 991, 0.5, 0.2}, {93, 970, 0.5, 0.2}, {93, 1013, 0, 0.08}, {93, 1013, 1, 0.12}, {93, 1002, 0.5, 0.15},
	} {
		h := Hour{RHPct: c.rh, PressureHPa: c.hPa, Cloud: c.cloud}
		near(t, "share of dry hours that are wet", model.surprise(&h, 0), c.want, 1e-9)
	}
}
