package mixing

import (
	"math"
	"testing"

	"gelwright/check"
	"gelwright/cure"
	"gelwright/elementary"
	"gelwright/plane"
)

// What a crew may be: just within each limit it is taken, just beyond refused. Not given, a burst is 2
// and a spread 0.2 (common practice, no source; see [Crew]).
func TestWhatACrewMayBe(t *testing.T) {
	usual := Crew{People: 2, LayM2PerManHour: 6, MarginMin: 5, CapKG: 4}
	c, err := usual.filled()
	if err != nil || c.Burst != 2 || c.PaceCV != 0.2 {
		t.Errorf("not given: a burst of %g and a spread of %g, %v", c.Burst, c.PaceCV, err)
	}
	for _, row := range []struct {
		what            string
		within, without func(*Crew)
	}{
		{"people, least", func(c *Crew) { c.People = 1 }, func(c *Crew) { c.People = 0 }},
		{"people, most", func(c *Crew) { c.People = 100 }, func(c *Crew) { c.People = 101 }},
		{"pace, least", func(c *Crew) { c.LayM2PerManHour = 0.101 }, func(c *Crew) { c.LayM2PerManHour = 0.099 }},
		{"pace, most", func(c *Crew) { c.LayM2PerManHour = 99 }, func(c *Crew) { c.LayM2PerManHour = 101 }},
		{"burst, least", func(c *Crew) { c.Burst = 1 }, func(c *Crew) { c.Burst = 0.99 }},
		{"burst, most", func(c *Crew) { c.Burst = 5 }, func(c *Crew) { c.Burst = 5.01 }},
		{"margin, least", func(c *Crew) { c.MarginMin = 0 }, func(c *Crew) { c.MarginMin = -0.01 }},
		{"margin, most", func(c *Crew) { c.MarginMin = 59.9 }, func(c *Crew) { c.MarginMin = 60 }},
		{"cap", func(c *Crew) { c.CapKG = 0.01 }, func(c *Crew) { c.CapKG = 0 }},
		{"largest bucket", func(c *Crew) { c.MaxBucketKG = 0 }, func(c *Crew) { c.MaxBucketKG = -0.01 }},
		{"spread, most", func(c *Crew) { c.PaceCV = 0.99 }, func(c *Crew) { c.PaceCV = 1 }},
	} {
		in, out := usual, usual
		row.within(&in)
		row.without(&out)
		if _, err := in.filled(); err != nil {
			t.Errorf("%s: refused within its limit: %v", row.what, err)
		}
		if _, err := out.filled(); err == nil {
			t.Errorf("%s: taken beyond its limit", row.what)
		}
	}
	// The pace by hand: 2 people × 6 m²/h ÷ 60 = 0.2 m²/min over the stage, twice that while a bucket is live.
	if a, b := c.averageM2PerMin(), c.liveM2PerMin(); math.Abs(a-0.2) > 1e-12 || math.Abs(b-0.4) > 1e-12 {
		t.Errorf("pace %g and %g m²/min, by hand 0.2 and 0.4", a, b)
	}
}

// What resin may be: about 1.1 kg/l, and catalyst of 1.08 to 1.18 g/ml on data sheets.
func TestWhatAResinMayBe(t *testing.T) {
	law := cure.Gel{MinPct: 1, MaxPct: 3, MinC: 5, MaxC: 30}
	law.Mean[1] = 60
	usual := Resin{Name: "any", Law: law, DensityKGPerL: 1.1, CatalystGPerML: 1.1}
	for _, row := range []struct {
		what            string
		within, without func(*Resin)
	}{
		{"density, least", func(r *Resin) { r.DensityKGPerL = 0.51 }, func(r *Resin) { r.DensityKGPerL = 0.5 }},
		{"density, most", func(r *Resin) { r.DensityKGPerL = 2.99 }, func(r *Resin) { r.DensityKGPerL = 3 }},
		{"catalyst, least", func(r *Resin) { r.CatalystGPerML = 0.51 }, func(r *Resin) { r.CatalystGPerML = 0.5 }},
		{"catalyst, most", func(r *Resin) { r.CatalystGPerML = 1.99 }, func(r *Resin) { r.CatalystGPerML = 2 }},
		{"dose, least", func(r *Resin) { r.Law.MinPct = 0.01 }, func(r *Resin) { r.Law.MinPct = 0 }},
		{"dose, most", func(r *Resin) { r.Law.MaxPct = 9.99 }, func(r *Resin) { r.Law.MaxPct = 10 }},
	} {
		in, out := usual, usual
		row.within(&in)
		row.without(&out)
		if err := checkResin(in); err != nil {
			t.Errorf("%s: refused within its limit: %v", row.what, err)
		}
		if err := checkResin(out); err == nil {
			t.Errorf("%s: taken beyond its limit", row.what)
		}
	}
}

// pouring is a crew of two at 6 m² a man-hour in a pass whose edge stays open for 15 minutes.
func pouring() *pour {
	crew, _ := Crew{People: 2, LayM2PerManHour: 6, MarginMin: 5, CapKG: 6}.filled()
	return &pour{in: Input{Crew: crew, Resin: Resin{DensityKGPerL: 1.2}, EdgeOpenMin: 15, ShownDay: 1}, day: 1}
}

// gelling is a dose that gels within 25 to 45 minutes, at a temperature.
func gelling(tempC float64) Dose {
	r := cure.Range{LowMin: 25, LikelyMin: 34, HighMin: 45}
	return Dose{Pct: 2, At: cure.At(tempC), Mixed: cure.Mixed{Gel: r, Pail: r, Deck: r}}
}

// The largest bucket by hand, in the trade's words: 2 l for the first of a day, 3 kg above 25 °C (common practice, no source), what
// is laid at the live pace before the earliest gel less the margin, and of a top coat what is rolled out in eight tenths of the time
// that its edge stays wet.
func TestLargestBucketByHand(t *testing.T) {
	p := pouring()
	b := p.bound(gelling(25))
	if b.kg != 6 || b.by != "experience" {
		t.Errorf("at 25 °C %.3f kg by %s, experience allows 6", b.kg, b.by)
	}
	// (25 − 5) min × 0.4 m²/min
	if math.Abs(b.m2-8) > 1e-9 || b.areaBy != "pot life and pace" {
		t.Errorf("%.3f m² by %s, by hand 8", b.m2, b.areaBy)
	}
	if b := p.bound(gelling(25.1)); b.kg != 3 {
		t.Errorf("at 25.1 °C %.3f kg, 3 kg in the heat", b.kg)
	}
	p.in.ShownDay = 0
	if b := p.bound(gelling(20)); math.Abs(b.kg-2.4) > 1e-9 {
		t.Errorf("the first of a day %.3f kg, 2 l of 1.2 kg/l are 2.4", b.kg)
	}
	p = pouring()
	p.in.Resin.Waxed = true // its laid edge cannot be joined once it gels
	if b := p.bound(gelling(20)); math.Abs(b.m2-0.8*15*0.2) > 1e-9 || b.areaBy != "wet edge" {
		t.Errorf("of a top coat %.3f m² by %s, by hand 2.4", b.m2, b.areaBy)
	}
}

// A mix takes a minute to weigh and 60 to 90 seconds to stir: no gang mixes sooner than two and a half minutes after its last.
func TestNoGangMixesSoonerThanItCan(t *testing.T) {
	p := pouring()
	if got := p.takes(0.1); got != 2.5 {
		t.Errorf("a crumb takes %g min, weighing and stirring 2.5", got)
	}
	p.in.Gangs = 2
	if got := p.takes(0.1); got != 1.25 {
		t.Errorf("of two gangs one is ready every %g min, by hand 1.25", got)
	}
	if got := p.takes(4); math.Abs(got-20) > 1e-9 {
		t.Errorf("4 m² take %g min, at 0.2 m²/min 20", got)
	}
}

// Caps of experience, kg: 4 to 5 is a comfortable bucket for two, 2 for a beginner and for details (common practice, no source).
func TestCapsOfExperience(t *testing.T) {
	for who, kg := range map[string]float64{"apprentice": 2, "regular": 4, "seasoned": 6} {
		if f, err := ExperienceCap(who); err != nil || f.Value != kg {
			t.Errorf("%s: %v, %v, want %g kg", who, f, err, kg)
		}
	}
	if DetailCapKG != 2 {
		t.Errorf("details in %v kg, want 2", DetailCapKG)
	}
}

// The 95 % point of the normal distribution is 1.6448536 (Abramowitz and Stegun, Handbook of Mathematical Functions, 1964, table
// 26.5: Q(x) = 0.05); Φ(1) = 0.8413447 (table 26.1).
func TestNormalDistribution(t *testing.T) {
	for x, want := range map[float64]float64{0: 0.5, 1: 0.8413447461, -1: 0.1586552539, 1.6448536270: 0.95, 2: 0.9772498681} {
		if got := normal(x); math.Abs(got-want) > 1e-9 {
			t.Errorf("Φ(%g) = %.10f, published %.10f", x, got, want)
		}
		if got := quantile(want); math.Abs(got-x) > 1e-7 {
			t.Errorf("the quantile of %g is %.8f, published %.8f", want, got, x)
		}
	}
	// Nine gels in ten lie within the range: its half width in logarithms is 1.6448536 standard deviations.
	wide := cure.Range{LowMin: 10, HighMin: 10 * elementary.Exp(2*1.6448536*0.2)}
	if got := gelSigma(wide); math.Abs(got-0.2) > 1e-7 {
		t.Errorf("σ = %.8f, by hand 0.2", got)
	}
}

// J. G. van der Corput's sequence begins 1/2, 1/4, 3/4, 1/8, 5/8 in base 2 and 1/3, 2/3, 1/9, 4/9 in base 3 (J. H. Halton, Numerische
// Mathematik 2, 1960, 84–90).
func TestVanDerCorput(t *testing.T) {
	for base, want := range map[int][]float64{2: {1. / 2, 1. / 4, 3. / 4, 1. / 8, 5. / 8}, 3: {1. / 3, 2. / 3, 1. / 9, 4. / 9}} {
		for k, w := range want {
			if got := halton(k+1, base); math.Abs(got-w) > 1e-15 {
				t.Errorf("base %d, point %d: %.6f, published %.6f", base, k+1, got, w)
			}
		}
	}
}

// A bucket is risky when it is laid in time with less than 95 %, and a fifth less resin is what may mend it.
func TestWhenABucketIsRisky(t *testing.T) {
	p := &Plan{Name: "any", Mixes: []Mix{{Number: 1, Charge: Charge{ResinKG: 4}, ChanceLaid: 0.951}}}
	if r := p.checkChance(""); r.Verdict != check.Pass {
		t.Errorf("95.1 %%: %v", r.Verdict)
	}
	p.Mixes[0].ChanceLaid = 0.949
	r := p.checkChance("")
	if r.Verdict != check.Caution || len(r.Remedies) < 1 || r.Remedies[0].Value != "3.2" {
		t.Errorf("94.9 %%: %v, %v; 0.8 of 4 kg are 3.2", r.Verdict, r.Remedies)
	}
}

// Too little for a mix of its own is 0.3 kg: it goes along with what is laid before it, or the first with what comes after.
func TestACrumbGoesAlong(t *testing.T) {
	for _, row := range []struct {
		kg    []float64
		apart []bool
	}{
		{[]float64{2, 0.31, 2}, []bool{false, true, true}},
		{[]float64{2, 0.29, 2}, []bool{false, false, true}},
		{[]float64{0.29, 2}, []bool{false, false}},
		{[]float64{0.31, 2}, []bool{false, true}},
	} {
		var queue []stretch
		for i, kg := range row.kg {
			queue = append(queue, stretch{kg: kg, apart: i > 0})
		}
		joinCrumbs(queue)
		for i := range queue {
			if queue[i].apart != row.apart[i] {
				t.Errorf("%v kg: stretch %d apart is %v", row.kg, i, queue[i].apart)
			}
		}
	}
}

// oblong is a rectangle from a corner to its opposite, m.
func oblong(x, y, x2, y2 float64) plane.Loop {
	return plane.Loop{{X: x, Y: y}, {X: x2, Y: y}, {X: x2, Y: y2}, {X: x, Y: y2}}
}

// Two places are one where they meet along 5 cm, and nothing is along a lap that is all but whole.
func TestOnePlaceAndWholeLap(t *testing.T) {
	left := oblong(0, 0, 1, 1)
	for y, want := range map[float64]bool{0.948: true, 0.953: false} {
		if got := touches(left, oblong(1, y, 2, y+1)); got != want {
			t.Errorf("meeting along %.3f m is one place: %v", 1-y, got)
		}
	}
	if s := (Tuck{LengthM: 2.951, LapM: 3}).along(); s != "" {
		t.Errorf("2.951 of 3 m is told as%s", s)
	}
	if s := (Tuck{LengthM: 2.949, LapM: 3}).along(); s == "" {
		t.Error("2.949 of 3 m is told as all of it")
	}
}

// Strips are laid in bays that take no more than eight tenths of the time an edge stays open, and none is shorter than a metre.
func TestBaysByHand(t *testing.T) {
	// 1 m wide, 12 m long, at 0.2 m²/min: a metre takes 5 min; in 0.8 × 20 min go 3.2 m: four bays of 3 m.
	strip := []Cell{{Name: "1", Shape: oblong(0, 0, 12, 1), AreaM2: 12, Along: plane.Point{X: 1}}}
	r := rule(strip, 0.2, 20, 0)
	if r.n != 4 || math.Abs(r.step-3) > 1e-9 {
		t.Errorf("%d bays of %.3f m, by hand 4 of 3", r.n, r.step)
	}
	// An edge that stays open for 76 min takes all 12 m (0.8 × 76 ÷ 5 = 12.16 m), one of 74 min does not.
	if a, b := rule(strip, 0.2, 76, 0).n, rule(strip, 0.2, 74, 0).n; a != 1 || b != 2 {
		t.Errorf("%d and %d bays, by hand 1 and 2", a, b)
	}
	// However quick the edge, no bay is shorter than twice half a metre.
	if r := rule(strip, 0.2, 2, 0); r.n != 12 {
		t.Errorf("%d bays, of a metre each 12", r.n)
	}
}

// A day's last bucket ends with a cell where that is six tenths of what was meant or more; any other where the end of a cell is
// within 15 % of its even share.
func TestWhereABucketEnds(t *testing.T) {
	b := size{kg: 1, m2: 1e9}
	for first, want := range map[float64]float64{0.62: 0.62, 0.58: 1} {
		p := pouring()
		p.queue = []stretch{{cell: 0, kg: first}, {cell: 1, kg: 2}}
		p.pieces, p.ground = make([]piece, 2), &ground{}
		if got := p.dayJoint(b, 1); math.Abs(got-want) > 1e-12 {
			t.Errorf("a cell of %.2f, a bucket of 1: the day ends with %.2f, want %.2f", first, got, want)
		}
	}
}
