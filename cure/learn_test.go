package cure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// crew is a simulated one: a true resin, drums, and a way of reading gels.
type crew struct {
	rng     *rand.Rand
	law     [3]float64
	drumSD  float64
	noiseSD float64
}

// newCrew draws the truth from the prior, as the prior says it is drawn.
func newCrew(seed uint64, prior Gel) crew {
	c := crew{rng: rand.New(rand.NewPCG(seed, 7)), drumSD: prior.DrumSD, noiseSD: prior.NoiseSD}
	// Cholesky of the covariance by hand.
	v := prior.Cov
	l00 := math.Sqrt(v[0][0])
	l10, l20 := v[1][0]/l00, v[2][0]/l00
	l11 := math.Sqrt(v[1][1] - l10*l10)
	l21 := (v[2][1] - l20*l10) / l11
	l22 := math.Sqrt(v[2][2] - l20*l20 - l21*l21)
	a, b, d := c.rng.NormFloat64(), c.rng.NormFloat64(), c.rng.NormFloat64()
	c.law = [3]float64{prior.Mean[0] + l00*a, prior.Mean[1] + l10*a + l11*b, prior.Mean[2] + l20*a + l21*b + l22*d}
	return c
}

func (c *crew) gel(offset float64, drum string) GelLog {
	t := 6 + 22*c.rng.Float64()
	pct := math.Round((1.2+2*c.rng.Float64())*20) / 20
	ln := dot(c.law, regressors(t, pct)) + offset + c.noiseSD*c.rng.NormFloat64()
	return GelLog{TempC: t, CatalystPct: pct, Min: math.Exp(ln), Drum: drum}
}

// logs of drums × gels, and the drums' true offsets.
func (c *crew) logs(drums, gels int) (logs []GelLog, offsets []float64) {
	for d := range drums {
		b := c.drumSD * c.rng.NormFloat64()
		offsets = append(offsets, b)
		for range gels {
			logs = append(logs, c.gel(b, fmt.Sprintf("drum %d", d)))
		}
	}
	return logs, offsets
}

// Coverage by simulation: 300 crews, each with four drums of four gels, one entry of
// which is wrong by a factor of three (a slip of the pen). The 90 % ranges for the next
// gel of a known drum, and for one of a new drum, must hold 85–95 % of what then
// happens; also for crews that read half as badly again, and drums that differ half as
// much again, as the prior believes.
func TestCoverageOnSimulatedCrews(t *testing.T) {
	prior, _ := sheetGel(t, "resin.all-season")
	const crews, each = 300, 6
	for _, c := range []struct {
		wrong        bool
		noise, drums float64
	}{{false, 1, 1}, {true, 1, 1}, {true, 1.5, 1.5}} {
		wrong, noise, spread := c.wrong, c.noise, c.drums
		var known, fresh, total, caught int
		narrower := 0.0
		for seed := range uint64(crews) {
			c := newCrew(seed+1, prior)
			c.noiseSD *= noise
			c.drumSD *= spread
			logs, offsets := c.logs(4, 4)
			slip := c.rng.IntN(len(logs))
			if wrong {
				if c.rng.IntN(2) == 0 {
					logs[slip].Min *= 3
				} else {
					logs[slip].Min /= 3
				}
			}
			g, report, err := Learn(prior, logs)
			if err != nil {
				t.Fatal(err)
			}
			if wrong && report.Entries[slip].Doubtful {
				caught++
			}
			narrower += math.Log(report.After.HighMin/report.After.LowMin) / math.Log(report.Before.HighMin/report.Before.LowMin) / crews
			holds := func(law Gel, l GelLog) int {
				r, err := law.Time(l.TempC, l.CatalystPct)
				if err != nil {
					t.Fatal(err)
				}
				if l.Min >= r.LowMin && l.Min <= r.HighMin {
					return 1
				}
				return 0
			}
			for range each {
				total++
				d := c.rng.IntN(4)
				law, ok := g.ForDrum(fmt.Sprintf("drum %d", d))
				if !ok {
					t.Fatal("a logged drum is not known")
				}
				known += holds(law, c.gel(offsets[d], ""))
				fresh += holds(g, c.gel(c.drumSD*c.rng.NormFloat64(), ""))
			}
		}
		for what, n := range map[string]int{"a known drum": known, "a new drum": fresh} {
			share := float64(n) / float64(total)
			t.Logf("wrong entry %v, noise ×%g, %s: %.1f %% of %d", wrong, noise, what, 100*share, total)
			if share < 0.85 || share > 0.95 {
				t.Errorf("wrong entry %v, %s: the 90 %% range holds %.1f %%", wrong, what, 100*share)
			}
		}
		if wrong && caught < 90*crews/100 {
			t.Errorf("%d of %d wrong entries were called doubtful", caught, crews)
		}
		t.Logf("range after over before: %.2f", narrower)
	}
}

// Fifteen good gels and one wrong one: the wrong one may move the likely time by little.
func TestOneWrongEntryMovesLittle(t *testing.T) {
	prior, _ := sheetGel(t, "resin.all-season")
	c := newCrew(42, prior)
	logs, _ := c.logs(1, 16)
	clean, _, err := Learn(prior, logs[:15])
	if err != nil {
		t.Fatal(err)
	}
	spoilt := append(append([]GelLog(nil), logs[:15]...), GelLog{TempC: 18, CatalystPct: 2, Min: 240, Drum: "drum 0"})
	got, report, err := Learn(prior, spoilt)
	if err != nil {
		t.Fatal(err)
	}
	a, _ := clean.ForDrum("drum 0")
	b, _ := got.ForDrum("drum 0")
	ra, _ := a.Time(18, 2)
	rb, _ := b.Time(18, 2)
	if math.Abs(math.Log(rb.LikelyMin/ra.LikelyMin)) > 0.03 {
		t.Errorf("the wrong entry moved %.1f to %.1f min", ra.LikelyMin, rb.LikelyMin)
	}
	last := report.Entries[15]
	if !last.Doubtful || last.Weight > 0.1 {
		t.Errorf("the wrong entry: %+v", last)
	}
}

// Many gels of a slow drum: the drum's law goes there, and the range narrows.
func TestLogsNarrowTheRange(t *testing.T) {
	prior, _ := sheetGel(t, "resin.all-season")
	c := newCrew(3, prior)
	c.law[0] = prior.Mean[0] + 0.15
	c.noiseSD = 0.05
	last := math.Inf(1)
	for _, n := range []int{2, 6, 20, 60} {
		c.rng = rand.New(rand.NewPCG(9, 9))
		var logs []GelLog
		for range n {
			logs = append(logs, c.gel(0.1, "slow"))
		}
		g, _, err := Learn(prior, logs)
		if err != nil {
			t.Fatal(err)
		}
		law, _ := g.ForDrum("slow")
		r, err := law.Time(17, 2)
		if err != nil {
			t.Fatal(err)
		}
		width := math.Log(r.HighMin / r.LowMin)
		if width >= last {
			t.Errorf("%d gels leave a range of ×%.3f, fewer left ×%.3f", n, math.Exp(width), math.Exp(last))
		}
		last = width
		if want := math.Exp(dot(c.law, regressors(17, 2)) + 0.1); n == 60 && math.Abs(math.Log(r.LikelyMin/want)) > 0.03 {
			t.Errorf("60 gels say %.1f min, the truth is %.1f", r.LikelyMin, want)
		}
	}
}

// One gel and Gaussian weights have a closed form: posterior mean of a scalar level.
// With E and n all but certain and one gel, a moves by V/(V+τ²+σ²/w) of the miss.
func TestOneGelByHand(t *testing.T) {
	prior := law(t, 20, 2, 60, 0.8)
	prior.Cov = [3][3]float64{{0.04, 0, 0}, {0, 1e-9, 0}, {0, 0, 1e-12}}
	prior.DrumSD, prior.NoiseSD = 0.1, 0.1
	g, report, err := Learn(prior, []GelLog{{TempC: 20, CatalystPct: 2, Min: 22}})
	if err != nil {
		t.Fatal(err)
	}
	noise := g.NoiseSD * g.NoiseSD / report.Entries[0].Weight
	want := 0.04 / (0.04 + g.DrumSD*g.DrumSD + noise) * math.Log(22.0/20)
	near(t, "shift of a", g.Mean[0]-prior.Mean[0], want, 1e-4)
	if len(g.Drums) != 0 {
		t.Error("a gel without a drum made one")
	}
}

func TestLearnIsRepeatableAndOrderFree(t *testing.T) {
	prior, _ := sheetGel(t, "resin.all-season")
	c := newCrew(5, prior)
	logs, _ := c.logs(3, 4)
	a, _, err := Learn(prior, logs)
	if err != nil {
		t.Fatal(err)
	}
	turned := append([]GelLog(nil), logs...)
	for i, j := 0, len(turned)-1; i < j; i, j = i+1, j-1 {
		turned[i], turned[j] = turned[j], turned[i]
	}
	b, _, err := Learn(prior, turned)
	if err != nil {
		t.Fatal(err)
	}
	for i := range a.Mean {
		near(t, "mean", a.Mean[i], b.Mean[i], 1e-6*math.Abs(a.Mean[i]))
	}
	if a.Drums[0].Name != b.Drums[0].Name {
		t.Error("the drums' order depends on the logs' order")
	}
}

func TestLearnNamesTheImpossibleEntry(t *testing.T) {
	prior, _ := sheetGel(t, "resin.all-season")
	for _, bad := range []GelLog{{TempC: 18, CatalystPct: 2, Min: 0}, {TempC: 18, CatalystPct: 0, Min: 20}, {TempC: 180, CatalystPct: 2, Min: 20}, {TempC: math.NaN(), CatalystPct: 2, Min: 20}} {
		if _, _, err := Learn(prior, []GelLog{{TempC: 18, CatalystPct: 2, Min: 20}, bad}); err == nil || !strings.Contains(err.Error(), "gel log 2") {
			t.Errorf("%+v: %v", bad, err)
		}
	}
	if g, r, err := Learn(prior, nil); err != nil || g.Mean != prior.Mean || r.After != r.Before {
		t.Error("no logs change something")
	}
}
