package weather

import (
	"errors"
	"fmt"
	"math"
	"time"

	"gelwright/elementary"
)

// Forecast is one or several possible courses of the weather.
type Forecast struct {
	// Issued is when it was made, UTC; zero when its source does not say.
	Issued time.Time `json:"issued,omitzero"`
	// Members are the courses: one for a single forecast, more for an ensemble. All
	// begin at the same hour and have the same length.
	Members []Series `json:"members"`
	// Provider and Credit name the source and the words its licence asks for.
	Provider string `json:"provider,omitempty"`
	Credit   string `json:"credit,omitempty"`
	// Place as the source gave it; zero when it did not.
	LatDeg float64 `json:"lat_deg,omitempty"`
	LonDeg float64 `json:"lon_deg,omitempty"`
	ElevM  float64 `json:"elev_m,omitempty"`
	// Invented is set when the members come from the assumed error model.
	Invented bool     `json:"invented,omitempty"`
	Notes    []string `json:"notes,omitempty"`
}

// ErrorModel is how far a single forecast may be off, growing with lead time. The
// standard deviation after h hours is √(first² + (perDay·h/24)²), at most the most.
// Errors of one member drift slowly, so that a wrong morning stays wrong till noon.
type ErrorModel struct {
	// Air, K, and Gap, the error of its distance to the dew point, K: a forecast that is too
	// warm with the right dew point is the one that spoils work.
	Air, Gap Growth
	// Wind as a share of itself; Cloud as a share of the sky.
	Wind, Cloud Growth
	// RainShiftH is how far rain may come sooner or later, h; RainAmount the spread
	// of its amount, as the logarithm.
	RainShiftH, RainAmount Growth
	// SurpriseRain is the probability that an hour forecast dry is wet, 0–1, for a damp hour
	// of middling pressure; less in dry air, under a high and a clear sky, more under a low.
	SurpriseRain Growth
	// Variant picks another set of draws of the same kind: a back-test gives each
	// day its own, so that days do not err alike. Zero is as good as any.
	Variant uint64
}

// Growth of an error with lead time.
type Growth struct{ First, PerDay, Most float64 }

func (g Growth) at(leadH float64) float64 {
	return math.Min(g.Most, math.Hypot(g.First, g.PerDay*math.Max(0, leadH)/24))
}

// AssumedErrors is the error model used where there is no ensemble and no record
// of past forecasts for the place. It is assumed, of the size of published
// verification of forecasts in middle latitudes, and must be shown as assumed. The wind's 28 %
// are chosen so that in bench/backtest another station's hours, and errors of another kind, keep
// the limits on 85 % of the days used: with 20 % they did on 82 %.
func AssumedErrors() ErrorModel {
	return ErrorModel{
		Air: Growth{1.0, 0.5, 4}, Gap: Growth{0.9, 0.4, 4},
		Wind: Growth{0.28, 0.06, 0.5}, Cloud: Growth{0.2, 0.05, 0.4},
		RainShiftH: Growth{1, 1, 8}, RainAmount: Growth{0.4, 0.1, 1},
		SurpriseRain: Growth{0.05, 0.02, 0.20},
	}
}

// MaxMembers bounds an ensemble made by Members.
const MaxMembers = 512

// Members makes n courses of the weather round a single forecast, filled, by the
// error model. The first is the forecast itself; the others are quasi-random and
// always the same: each uncertain number is spread evenly over its distribution (a
// Latin hypercube), so that few members already have its mean and spread. Where the
// forecast gives a probability of rain, that share of the members has it wet.
func (s Series) Members(issued time.Time, n int, model ErrorModel) (Forecast, error) {
	if n < 1 || n > MaxMembers {
		return Forecast{}, fmt.Errorf("ensemble: %d members asked for. Give 1 to %d", n, MaxMembers)
	}
	if need := Air | DewPoint | Wind | Cloud | Rain; len(s.Hours) == 0 || s.Has()&need != need {
		return Forecast{}, errors.New("ensemble: the forecast has gaps. Fill them first")
	}
	f := Forecast{Issued: issued, Members: make([]Series, n), Invented: n > 1}
	f.Members[0] = s
	if n > 1 {
		f.Notes = []string{fmt.Sprintf("%d courses of the weather by an assumed error model, for want of an ensemble", n)}
	}
	draws := make([]draw, processes)
	for p := range draws {
		draws[p] = newDraw(p, n-1, model.Variant)
	}
	basis := make([][2 * len(waves)]float64, len(s.Hours))
	for i := range basis {
		for k, w := range waves {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / w.periodH)
			basis[i][2*k], basis[i][2*k+1] = math.Sqrt(w.share)*cos, math.Sqrt(w.share)*sin
		}
	}
	for m := 1; m < n; m++ {
		f.Members[m] = s.member(issued, m-1, model, draws, basis)
		f.Members[m].Origin = fmt.Sprintf("%s, course %d of %d (assumed errors)", s.Origin, m+1, n)
	}
	return f, nil
}

// The error processes of a member.
const (
	errAir = iota
	errGap
	errWind
	errCloud
	errShift
	errAmount
	errWet
	processes
)

func (s *Series) member(issued time.Time, m int, model ErrorModel, draws []draw, basis [][2 * len(waves)]float64) Series {
	out := *s
	out.Hours = make([]Hour, len(s.Hours))
	for i := range s.Hours {
		lead := s.TimeOf(i).Sub(issued).Hours()
		z := func(p int) float64 { return draws[p].at(m, &basis[i]) }
		h := s.Hours[i]
		gap := math.Max(0, h.AirC-h.DewPointC+model.Gap.at(lead)*z(errGap))
		h.AirC += model.Air.at(lead) * z(errAir)
		h.DewPointC = h.AirC - gap
		h.RHPct = RHPct(h.AirC, h.DewPointC)
		gain := elementary.Exp(model.Wind.at(lead) * z(errWind))
		h.WindMS *= gain
		h.GustMS *= gain
		cloud := clamp(h.Cloud+model.Cloud.at(lead)*z(errCloud), 0, 1)
		if h.Has&Global != 0 {
			dim := (1 - 0.75*elementary.Pow(cloud, 3.4)) / (1 - 0.75*elementary.Pow(h.Cloud, 3.4))
			h.GlobalWPerM2 = math.Min(h.GlobalWPerM2*dim, 1200)
			h.Has &^= Direct | Diffuse // the split no longer holds
		}
		h.Cloud = cloud
		s.rain(&h, i, lead, z, model)
		out.Hours[i] = h
	}
	return out
}

// rain gives hour i its rain: that of the forecast a little sooner or later and
// more or less of it; wet or dry by its probability where that is given; and now
// and then a shower where none was forecast.
func (s *Series) rain(h *Hour, i int, lead float64, z func(int) float64, model ErrorModel) {
	from := i + int(math.Round(model.RainShiftH.at(lead)*z(errShift)))
	from = max(0, min(from, len(s.Hours)-1))
	src := &s.Hours[from]
	amount := src.RainMM * elementary.Exp(model.RainAmount.at(lead)*z(errAmount))
	chance := uniform(z(errWet)) // the member's luck with rain, 0 wet to 1 dry
	if src.Has&RainProbability != 0 && src.Filled&RainProbability == 0 {
		switch wet := chance < src.RainProb; {
		case !wet:
			amount = 0
		case amount < 0.1:
			amount = math.Max(0.2, src.RainMM/math.Max(src.RainProb, 0.1))
		}
	} else if amount < 0.1 {
		if chance < model.surprise(src, lead) {
			amount = 0.5
		}
	}
	h.RainMM = amount
	h.Filled |= RainProbability
	h.RainProb = 0
	if amount > 0 {
		h.RainProb = 1
	}
}

// unknownRain is how likely an hour is wet of which nothing is told: about twice the share
// of wet hours in a rainy climate, so that a gap is never the harmless value (assumed).
const unknownRain = 0.3

// surprise is how likely an hour that is said to be dry is wet. The slopes follow the hours
// of two pairs of Irish stations of 2017 (Met Éireann), one taken as the forecast of the
// other: 1 to 3 % of dry hours are wet at 50 to 60 % humidity under a high, 10 to 20 % at 80 %
// under a low.
func (m ErrorModel) surprise(said *Hour, leadH float64) float64 {
	if said.Filled&Rain != 0 {
		return math.Max(unknownRain, m.SurpriseRain.at(leadH))
	}
	p := 1.0
	if v := said.PressureHPa; said.Filled&Pressure == 0 && v > 960 {
		p = clamp((1035-v)/22, 0.2, 2)
	}
	return m.SurpriseRain.at(leadH) * clamp((said.RHPct-48)/45, 0, 1.1) * p * (0.8 + 0.4*said.Cloud)
}

// waves are the periods, h, and shares of variance of an error process: most of it
// drifts over days, some from hour to hour.
var waves = [...]struct{ periodH, share float64 }{{120, 0.4}, {41, 0.35}, {13, 0.25}}

// draw holds one process of all members: normal coefficients of its waves.
type draw struct{ coef [][2 * len(waves)]float64 }

// newDraw spreads each coefficient over n members in n equal slices of the normal
// distribution, shuffled by a fixed hash of process and coefficient.
func newDraw(process, n int, variant uint64) draw {
	d := draw{coef: make([][2 * len(waves)]float64, n)}
	order := make([]int, n)
	for k := range 2 * len(waves) {
		for i := range order {
			order[i] = i
		}
		state := uint64(process*16+k+1) ^ variant*0xd1342543de82ef95
		for i := n - 1; i > 0; i-- {
			j := int(splitmix(&state) % uint64(i+1))
			order[i], order[j] = order[j], order[i]
		}
		for i, o := range order {
			d.coef[i][k] = math.Sqrt2 * math.Erfinv(2*(float64(o)+0.5)/float64(n)-1)
		}
	}
	return d
}

// splitmix is the 64-bit mixer of G. Steele, D. Lea and C. Flood, OOPSLA 2014.
func splitmix(state *uint64) uint64 {
	*state += 0x9e3779b97f4a7c15
	z := *state
	z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9
	z = (z ^ (z >> 27)) * 0x94d049bb133111eb
	return z ^ (z >> 31)
}

// at is the process of a member at an hour whose waves are basis: standard normal
// at any one time.
func (d draw) at(m int, basis *[2 * len(waves)]float64) float64 {
	c := &d.coef[m]
	sum := 0.0
	for k, b := range basis {
		sum += c[k] * b
	}
	return sum
}

// uniform turns a standard normal into 0–1.
func uniform(z float64) float64 { return 0.5 * elementary.Erfc(-z/math.Sqrt2) }

// Check tells what is wrong with a forecast's members.
func (f Forecast) Check() error {
	if len(f.Members) == 0 {
		return errors.New("forecast: it has no course of the weather. Give at least one")
	}
	for i, m := range f.Members {
		if len(m.Hours) != len(f.Members[0].Hours) || !m.Start.Equal(f.Members[0].Start) {
			return fmt.Errorf("forecast: member %d begins at %s with %d hours, the first at %s with %d. Give members of the same span", i,
				m.Start.Format(time.RFC3339), len(m.Hours), f.Members[0].Start.Format(time.RFC3339), len(f.Members[0].Hours))
		}
	}
	return nil
}

// Fill closes the gaps of every member (see Series.Fill).
func (f Forecast) Fill(site Site) (Forecast, error) {
	if err := f.Check(); err != nil {
		return f, err
	}
	members := make([]Series, len(f.Members))
	for i := range f.Members {
		m, err := f.Members[i].Fill(site)
		if err != nil {
			return f, err
		}
		members[i] = m
	}
	f.Members = members
	return f, nil
}
