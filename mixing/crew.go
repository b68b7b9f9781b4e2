package mixing

import (
	"fmt"
	"math"

	"gelwright/cure"
	"gelwright/working"
)

// Crew is who lays.
type Crew struct {
	// People on the roof, the mixer included.
	People int
	// LayM2PerManHour over the whole stage: cutting, mixing, laying, rolling out.
	LayM2PerManHour float64
	// Burst is how much faster they spread while a bucket is live than on average
	// over the stage; 0 is taken as 2 (common practice: two people spread 0.35 to
	// 0.5 m²/min where the stage average is about 0.2).
	Burst float64
	// MarginMin is kept between the last of a bucket and the earliest likely gel.
	MarginMin float64
	// CapKG is what their experience allows in one bucket: see ExperienceCap.
	CapKG float64
	// MaxBucketKG is what they will carry; 0 is no limit beside CapKG.
	MaxBucketKG float64
	// PaceCV is the spread of their pace, standard deviation over mean; 0 is taken as 0.2.
	PaceCV float64
	// From knows which of these somebody has written.
	From working.Giver
}

// hotC is the temperature above which buckets are kept to hotCapKG: deep resin heats itself.
const (
	hotC     = 25
	hotCapKG = 3
)

// ExperienceCap returns the largest bucket, kg, for "apprentice", "regular" or
// "seasoned": 2, 4 and 6. Common practice, no source: 4 to 5 kg is a comfortable
// bucket for two, 2 kg for details.
func ExperienceCap(experience string) (*working.Figure, error) {
	kg := map[string]float64{"apprentice": 2, "regular": 4, "seasoned": 6}[experience]
	if kg == 0 {
		return nil, fmt.Errorf("mixing: experience %q: there is apprentice, regular, seasoned", experience)
	}
	return working.Constant("mexp", "largest bucket for a crew that is "+experience, kg, "kg",
		working.Source{Title: "4 to 5 kg is a comfortable bucket, 2 kg for a beginner", Standing: working.CommonPractice}), nil
}

func (c Crew) filled() (Crew, error) {
	if c.Burst == 0 {
		c.Burst = 2
	}
	if c.PaceCV == 0 {
		c.PaceCV = 0.2
	}
	switch {
	case c.People < 1 || c.People > 100:
		return c, fmt.Errorf("mixing: a crew of %d: give the people on the roof", c.People)
	case !(c.LayM2PerManHour > 0.1 && c.LayM2PerManHour < 100):
		return c, fmt.Errorf("mixing: %g m² a man-hour: a layer goes at 5 to 9", c.LayM2PerManHour)
	case !(c.Burst >= 1 && c.Burst <= 5):
		return c, fmt.Errorf("mixing: a burst of %g times the average: give 1 to 3", c.Burst)
	case !(c.MarginMin >= 0 && c.MarginMin < 60):
		return c, fmt.Errorf("mixing: a margin of %g min before gel: give 3 to 10", c.MarginMin)
	case !(c.CapKG > 0):
		return c, fmt.Errorf("mixing: no cap for a bucket: give what the crew's experience allows, 2 to 6 kg")
	case !(c.MaxBucketKG >= 0) || !(c.PaceCV > 0 && c.PaceCV < 1):
		return c, fmt.Errorf("mixing: largest bucket %g kg and pace spread %g: give a mass, and a spread of 0.1 to 0.4", c.MaxBucketKG, c.PaceCV)
	}
	return c, nil
}

// averageM2PerMin is the pace over the stage; liveM2PerMin while a bucket is open.
func (c Crew) averageM2PerMin() float64 { return float64(c.People) * c.LayM2PerManHour / 60 }
func (c Crew) liveM2PerMin() float64    { return c.averageM2PerMin() * c.Burst }

// Day is the working day: minutes after midnight, and the temperatures of the deck and of the
// resin in its pail. One entry is a constant; between entries it is interpolated.
type Day struct {
	StartMin, EndMin float64
	Temps            []TempAt
	// Resin in its pail; none is as warm as the deck. SunK is how much warmer than Temps the
	// deck may be where nobody has measured it.
	Resin []TempAt
	SunK  float64
}

// Hourly is how warm resin and deck are through the working day, hour by hour.
func (d Day) Hourly() []cure.Temps {
	out := []cure.Temps{d.temps(d.StartMin)}
	for t := d.StartMin + 60; t < d.EndMin; t += 60 {
		if at := d.temps(t); at != out[len(out)-1] {
			out = append(out, at)
		}
	}
	return out
}

// temps are the temperatures of resin and deck at a minute.
func (d Day) temps(min float64) cure.Temps {
	t := cure.Temps{ResinC: d.resinAt(min), DeckC: d.at(min)}
	if d.SunK > 0 {
		t.HotC = t.DeckC + d.SunK
	}
	return t
}

// TempAt is a temperature at a time of day.
type TempAt struct{ Min, TempC float64 }

func (d Day) check() error {
	if !(d.SunK >= 0 && d.SunK < 60) {
		return fmt.Errorf("mixing: the deck may be %g K warmer than given: give 0 to 60", d.SunK)
	}
	if err := checkTemps(d.Resin); err != nil {
		return err
	}
	if len(d.Temps) == 0 {
		return fmt.Errorf("mixing: no temperature for the day: give that of resin and deck")
	}
	if !(d.StartMin >= 0 && d.EndMin > d.StartMin && d.EndMin <= 24*60) {
		return fmt.Errorf("mixing: the day runs from minute %g to %g: give start before end, minutes after midnight", d.StartMin, d.EndMin)
	}
	return checkTemps(d.Temps)
}

func checkTemps(all []TempAt) error {
	for i, t := range all {
		if math.IsNaN(t.TempC) || (i > 0 && !(t.Min > all[i-1].Min)) {
			return fmt.Errorf("mixing: temperature %d of the day: give rising times and a number", i+1)
		}
	}
	return nil
}

// at is the temperature of the deck at a minute of the day, resinAt that of the resin in its
// pail, °C.
func (d Day) at(min float64) float64 { return tempAt(d.Temps, min) }

func (d Day) resinAt(min float64) float64 {
	if len(d.Resin) == 0 {
		return d.at(min)
	}
	return tempAt(d.Resin, min)
}

func tempAt(t []TempAt, min float64) float64 {
	if min <= t[0].Min {
		return t[0].TempC
	}
	for i := 1; i < len(t); i++ {
		if min <= t[i].Min {
			f := (min - t[i-1].Min) / (t[i].Min - t[i-1].Min)
			return t[i-1].TempC + f*(t[i].TempC-t[i-1].TempC)
		}
	}
	return t[len(t)-1].TempC
}
