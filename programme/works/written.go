package works

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"gelwright/programme"
	"gelwright/roof"
	"gelwright/weather"
)

// Written is the day that the roof file gives hour by hour, judged for its wet work.
type Written struct {
	// Laminate and TopCoat hour by hour.
	Laminate []programme.Hour `json:"laminate"`
	TopCoat  []programme.Hour `json:"top_coat"`
	// From and To bound the longest stretch in which laminating may go on; equal when
	// there is none. Ends says what ends it.
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
	Ends string    `json:"ends,omitempty"`
	// AreaM2 that the crew lays in it, of AllM2, and the people who would lay it all.
	AreaM2 float64 `json:"area_m2"`
	AllM2  float64 `json:"all_m2"`
	People int     `json:"people"`
	Needed int     `json:"needed"`
	// Coat are the stretches in which the first top coat, taken by itself, may begin with
	// its sanding; none when it may not.
	Coat []Stretch `json:"coat,omitempty"`
}

// Stretch is from when to when something may begin.
type Stretch struct {
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
}

// DayWritten judges the hours of the roof file. areaM2 is what one layer of mat covers.
func DayWritten(ctx context.Context, j *roof.Job, w *Work, areaM2 float64, zone *time.Location, overrides []programme.Override) (*Written,
	error) {
	day, err := DayAsWritten(j, zone)
	if err != nil || len(day) < 2 {
		return nil, err
	}
	var mat, coat []programme.Stage
	for _, s := range w.Stages {
		if s.Kind == programme.Laminate && mat == nil {
			s.Join, s.Again, s.AgainQuarters, s.Quarters, s.SafeAt = programme.Lag{}, nil, 0, 1, programme.None
			mat = []programme.Stage{s}
		}
		if s.Kind == programme.TopCoat && coat == nil {
			s.Join, s.Again, s.AgainQuarters, s.SafeAt = programme.Lag{}, nil, 0, programme.None
			coat = []programme.Stage{s}
		}
	}
	if mat == nil {
		return nil, fmt.Errorf("nothing is laminated on this roof. Give spec.layers_g_per_m2")
	}
	site := SiteOf(j, zone)
	prepare := func(s []programme.Stage) (*programme.Prepared, error) {
		return programme.Prepare(ctx, programme.Input{Stages: s, Members: [][]weather.Moment{day}, Site: site, Hours: w.Hours,
			Overrides: overrides})
	}
	out := &Written{AllM2: areaM2, People: j.Crew.People}
	p, err := prepare(mat)
	if err != nil {
		return nil, err
	}
	if out.Laminate, err = p.Hours(0); err != nil {
		return nil, err
	}
	starts, _ := p.Ready(0)
	for _, r := range runs(starts) {
		if to := r.To.Add(programme.Quarter); to.Sub(r.From) > out.To.Sub(out.From) {
			out.From, out.To = r.From, to
		}
	}
	if len(starts) == 0 {
		r, err := p.Search(ctx)
		if err != nil {
			return nil, err
		}
		_, out.Ends, _ = strings.Cut(r.Blocked, "finds no time: ")
	} else {
		out.end(day, mat[0].Limits)
		rate := j.Crew.LayM2PerManHour
		if rate == 0 {
			rate = CommonRates().LayM2
		}
		hours := out.To.Sub(out.From).Hours()
		out.AreaM2 = math.Min(areaM2, hours*rate*float64(out.People))
		if hours > 0 {
			out.Needed = int(math.Ceil(areaM2/(rate*hours) - 1e-9))
		}
	}
	if coat == nil {
		return out, nil
	}
	if p, err = prepare(coat); err != nil {
		return nil, err
	}
	if out.TopCoat, err = p.Hours(0); err != nil {
		return nil, err
	}
	starts, _ = p.Ready(0)
	out.Coat = runs(starts)
	return out, nil
}

// runs joins starts a quarter hour apart.
func runs(starts []time.Time) []Stretch {
	var out []Stretch
	for _, t := range starts {
		if n := len(out); n > 0 && t.Sub(out[n-1].To) == programme.Quarter {
			out[n-1].To = t
			continue
		}
		out = append(out, Stretch{t, t})
	}
	return out
}

// end moves the end of the stretch to the minute at which the deck passes a limit
// between two quarters, read in a straight line.
func (w *Written) end(day []weather.Moment, l *weather.StageLimits) {
	deck := func(m weather.Moment) float64 { return m.SurfaceC }
	bounds := []struct {
		over   func(weather.Moment) float64
		bound  float64
		rising bool
		words  string
	}{{deck, l.SurfaceMax.Value, true, fmt.Sprintf("the deck passes %.0f °C", l.SurfaceMax.Value)},
		{deck, l.SurfaceMin.Value, false, fmt.Sprintf("the deck falls below %.0f °C", l.SurfaceMin.Value)}}
	if l.Mix != nil {
		bounds = append(bounds, bounds[0])
		x := &bounds[len(bounds)-1]
		x.over, x.bound = func(m weather.Moment) float64 { return m.SurfaceC - l.Mix.Most(m.AirC) }, 0
		x.words = "the deck gets too hot to lay a bucket in time"
	}
	for _, x := range bounds {
		for _, c := range weather.Crossings(day, x.over, x.bound) {
			if c.Time.After(w.From) && !c.Time.After(w.To) && c.Rising == x.rising {
				w.To, w.Ends = c.Time, x.words
			}
		}
	}
	if w.Ends != "" {
		return
	}
	for _, h := range w.Laminate {
		if !h.Time.Add(time.Hour).Before(w.To) && h.Reason != "" {
			w.Ends = h.Reason
			return
		}
	}
}
