package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"

	"gelwright/elementary"
	"gelwright/weather"
	"gelwright/weather/forecast"
)

// foretoldYear is what was said of every hour of the year: the hours of another station, or
// those that came with the usual errors; nil where the program's own error model spoils each
// day by itself.
func (p *place) foretoldYear(o options) (*weather.Series, error) {
	switch {
	case o.foreign != "":
		data, err := os.ReadFile(o.foreign)
		if err != nil {
			return nil, err
		}
		f, err := forecast.Read(data, forecast.Options{Name: filepath.Base(o.foreign)})
		if err != nil {
			return nil, err
		}
		if f, err = f.Fill(p.site); err != nil {
			return nil, err
		}
		s := f.Members[0]
		if !s.Start.Equal(p.f.Members[0].Start) || len(s.Hours) != len(p.f.Members[0].Hours) {
			return nil, fmt.Errorf("%s: other hours than the place's", o.foreign)
		}
		return &s, nil
	case o.usual:
		s := usualErrors(p.f.Members[0], o.seed)
		return &s, nil
	}
	return nil, nil
}

// usualErrors are forecasts with independent errors, of a kind other than the model's: air
// 1.6 K and dew point 1.8 K, each by itself and drifting with a correlation of 0.9 from hour to
// hour; wind 30 %; a quarter of the spells of rain missed and the others off by two hours. The
// sizes are a choice, not taken from published verification.
func usualErrors(real weather.Series, seed uint64) weather.Series {
	r := rand.New(rand.NewPCG(seed, 7))
	out := real
	out.Hours = append([]weather.Hour(nil), real.Hours...)
	const keep = 0.9
	fresh := math.Sqrt(1 - keep*keep)
	air, dew, wind := r.NormFloat64(), r.NormFloat64(), r.NormFloat64()
	for i := range out.Hours {
		h := &out.Hours[i]
		air, dew, wind = keep*air+fresh*r.NormFloat64(), keep*dew+fresh*r.NormFloat64(), keep*wind+fresh*r.NormFloat64()
		h.AirC += 1.6 * air
		h.DewPointC = math.Min(h.AirC, h.DewPointC+1.8*dew)
		h.RHPct = weather.RHPct(h.AirC, h.DewPointC)
		h.WindMS *= elementary.Exp(0.3 * wind)
		h.RainMM = 0
	}
	for i := 0; i < len(real.Hours); {
		if real.Hours[i].RainMM < 0.1 {
			i++
			continue
		}
		end := i
		for end < len(real.Hours) && real.Hours[end].RainMM >= 0.1 {
			end++
		}
		missed, shift := r.Float64() < 0.25, int(math.Round(2*r.NormFloat64()))
		for k := i; k < end && !missed; k++ {
			if at := k + shift; at >= 0 && at < len(out.Hours) {
				out.Hours[at].RainMM += real.Hours[k].RainMM
			}
		}
		i = end
	}
	return out
}

// record is what came of the forecasts of the days before; nil where nothing is learnt.
func (p *place) record(midnight time.Time, o options) *weather.Record {
	if o.learnDays == 0 || p.said == nil {
		return nil
	}
	said := p.said.Part(midnight.AddDate(0, 0, -o.learnDays), midnight)
	if len(said.Hours) == 0 {
		return nil
	}
	r := weather.Compare(said, p.f.Members[0], p.site)
	return &r
}
