package weather

import (
	"fmt"
	"math"
)

// Doubt is a column of weather whose numbers are hardly in the unit they are read in.
type Doubt struct {
	Quantity      Quantity
	Found, Remedy string
}

// Doubts finds numbers that can be weather one by one and cannot be as a whole: a humidity
// written as a fraction, degrees Fahrenheit read as Celsius, km/h read as m/s. The series is
// as it was given, before its gaps are filled.
func (s *Series) Doubts(site Site) []Doubt {
	var out []Doubt
	if low, high, _, n := s.spread(Humidity); n >= 3 && high <= 1.5 {
		out = append(out, Doubt{Humidity, fmt.Sprintf("it runs from %.2g to %.2g %%: it looks like a fraction", low, high),
			"Write it in per cent, 65 for 0.65"})
	}
	if _, _, mean, n := s.spread(Air); n >= 3 && len(s.Hours) > 0 {
		usual := NormsOfLatitude(site.LatDeg).on(s.TimeOf(len(s.Hours) / 2)).MeanC
		if c := (mean - 32) / 1.8; mean-usual > 15 && math.Abs(c-usual) < mean-usual {
			out = append(out, Doubt{Air, fmt.Sprintf("its mean is %.0f °C where about %.0f °C is usual at this latitude and time of year: "+
				"it looks like Fahrenheit", mean, usual), "Name the column air_f, or write degrees Celsius"})
		}
	}
	// No day's mean wind over land is a storm's for two days (Beaufort 7 from 13.9 m/s).
	if _, high, mean, n := s.spread(Wind); n >= 24 && (mean > 13.9 || mean > 10 && high < 1.5*mean && n >= 72) {
		out = append(out, Doubt{Wind, fmt.Sprintf("its mean is %.0f m/s over %d hours: it looks like km/h", mean, n),
			"Name the column wind_kmh, or write metres a second"})
	}
	return out
}

// spread is the least, the greatest and the mean of the hours in which a quantity is given,
// and their number.
func (s *Series) spread(q Quantity) (low, high, mean float64, n int) {
	low, high = math.Inf(1), math.Inf(-1)
	for i := range s.Hours {
		v, given := s.Hours[i].Get(q)
		if !given || s.Hours[i].Filled&q != 0 {
			continue
		}
		low, high, mean, n = math.Min(low, v), math.Max(high, v), mean+v, n+1
	}
	if n > 0 {
		mean /= float64(n)
	}
	return low, high, mean, n
}

// TellsRain reports whether any hour is given rain or its probability.
func (s *Series) TellsRain() bool {
	return s.count(Rain) > 0 || s.count(RainProbability) > 0
}
