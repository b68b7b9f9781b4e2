package margin

import (
	"fmt"
	"math"
	"strings"
	"time"

	"gelwright/drawing"
	"gelwright/mixing"
	"gelwright/scene/svg"
)

// Day is the schedule of the wet work, its buckets, and what a forecast says of the days.
type Day struct {
	Headline string   `json:"headline" said:"yes"`
	Order    bool     `json:"order"`
	Chance   float64  `json:"chance"`
	Target   float64  `json:"target"`
	Forecast bool     `json:"forecast"`
	Passes   []Pass   `json:"passes"`
	Pictures []string `json:"pictures"`
	// Begins are the best beginnings on each day of the forecast.
	Begins []Begin `json:"begins"`
	// Starts are the quarter hours at which it may begin at all, in order: the day is dragged along them.
	Starts []Start  `json:"starts"`
	Notes  []string `json:"notes" said:"yes"`
}

// Start is one quarter hour to begin at, with the chance that all holds from it; Clock of its day, h.
type Start struct {
	// Date is for people, Day the same as a roof file writes it.
	Date  string  `json:"date"`
	Day   string  `json:"day" said:"yes"`
	At    string  `json:"at"`
	Clock float64 `json:"clock"`
	P     float64 `json:"p"`
	// Sure: that is as much as is wanted, and the forecast itself allows it.
	Sure   bool   `json:"sure"`
	Finish string `json:"finish"`
}

// Begin is the best beginning on one day: P that all holds, Why not where there is none.
type Begin struct {
	Date   string  `json:"date"`
	At     string  `json:"at"`
	P      float64 `json:"p"`
	Finish string  `json:"finish"`
	Why    string  `json:"why" said:"yes"`
}

// Pass is one pass of wet work.
type Pass struct {
	Deck    string  `json:"deck"`
	Name    string  `json:"name" said:"yes"`
	When    string  `json:"when" said:"yes"`
	KG      float64 `json:"kg"`
	AreaM2  float64 `json:"area_m2"`
	Refusal string  `json:"refusal" said:"yes"`
	First   string  `json:"first" said:"yes"`
	Buckets []Mix   `json:"buckets"`
}

// Mix is a bucket in a row.
type Mix struct {
	Number int    `json:"number"`
	Gang   string `json:"gang" said:"yes"`
	Mix    string `json:"mix"`
	Resin  string `json:"resin"`
	Dose   string `json:"dose"`
	LayBy  string `json:"lay_by"`
	Covers string `json:"covers" said:"yes"`
}

func (s *Sheet) day() (*Day, error) {
	p, err := s.planned()
	if err != nil {
		return nil, err
	}
	out := &Day{Headline: p.Schedule.Says(), Order: p.Schedule.Order(), Chance: p.Schedule.P, Target: p.Schedule.Target,
		Forecast: p.Schedule.Forecast(), Passes: []Pass{}, Pictures: []string{}, Begins: []Begin{}, Starts: []Start{}, Notes: []string{}}
	for i := range p.Passes {
		x := &p.Passes[i]
		pass := Pass{Deck: x.Deck, Name: upper(passWords(x)), KG: x.KG, AreaM2: x.AreaM2, Refusal: x.Refusal, Buckets: []Mix{}}
		if t := p.Schedule.Pass(x.Key()); t != nil && len(t.Parts) > 0 {
			first, last := t.Parts[0], t.Parts[len(t.Parts)-1]
			pass.When, pass.First = s.dayWords(first.Day)+", "+clockOf(first.BeginMin)+"–"+clockOf(last.EndMin), first.First
			if last.Day != first.Day {
				pass.When = s.dayWords(first.Day) + ", " + clockOf(first.BeginMin) + " to " + s.dayWords(last.Day) + ", " + clockOf(last.EndMin)
			}
		}
		if x.Plan != nil {
			for k := range x.Plan.Mixes {
				pass.Buckets = append(pass.Buckets, s.mix(&x.Plan.Mixes[k]))
			}
		}
		out.Passes = append(out.Passes, pass)
	}
	s.ahead(out)
	return out, nil
}

// dayWords name a day of the schedule.
func (s *Sheet) dayWords(day int) string {
	if !s.plan.Schedule.Forecast() {
		return "day " + itoa(day)
	}
	date := s.plan.Schedule.DateOf(day)
	if t, err := time.Parse(time.DateOnly, date); err == nil {
		return t.Format("Mon 2 Jan")
	}
	return date
}

func (s *Sheet) mix(m *mixing.Mix) Mix {
	var parts []string
	for _, x := range m.Parts {
		parts = append(parts, x.Name)
	}
	return Mix{Number: m.Number, Gang: m.Gang, Mix: s.dayWords(m.Day) + " " + clockOf(m.MixAtMin),
		Resin: fixed(m.ResinKG, 2) + " kg", Covers: covers(m.AreaM2, parts),
		Dose: fmt.Sprintf("%s at resin %s °C, deck %s °C", dosed(m.CatalystG, m.CatalystML), fixed(m.ResinC, 0),
			fixed(m.TempC, 0)),
		LayBy: clockOf(math.Floor(m.MixAtMin + m.LayByMin))}
}

// covers names the pieces of a bucket, with their area where they lie on the deck.
func covers(areaM2 float64, parts []string) string {
	names := strings.Join(parts, ", ")
	if areaM2 < 0.005 {
		return names
	}
	return fixed(areaM2, 2) + " m²: " + names
}

// ahead adds what a forecast says of the days.
func (s *Sheet) ahead(out *Day) {
	if s.plan.Ahead != nil {
		for i, d := range s.plan.Ahead.Days {
			picture := drawing.DayPhone(s.plan.Job.Name, d)
			out.Pictures = append(out.Pictures, string(svg.Bytes(picture, svg.Options{Fluid: true, IDPrefix: "day-" + itoa(i) + "-"})))
		}
	}
	if s.found == nil || s.plan.Ahead == nil {
		return
	}
	out.Notes = append(out.Notes, s.found.Notes...)
	for _, d := range s.found.Days {
		b := Begin{Date: d.Day.Format("Mon 2 Jan"), Why: d.Why}
		if d.Plan != nil {
			b.At, b.P, b.Finish = d.Plan.Begin.In(d.Day.Location()).Format("15:04"), d.Plan.P,
				d.Plan.Finish.In(d.Day.Location()).Format("Mon 2 Jan 15:04")
		}
		out.Begins = append(out.Begins, b)
	}
	zone := s.plan.Ahead.Zone
	for _, x := range s.found.Starts() {
		at := x.Begin.In(zone)
		out.Starts = append(out.Starts, Start{Date: at.Format("Mon 2 Jan"), Day: at.Format("2006-01-02"), At: at.Format("15:04"),
			Clock: float64(at.Hour()) + float64(at.Minute())/60, P: x.P, Sure: x.Sure, Finish: x.Finish.In(zone).Format("Mon 2 Jan 15:04")})
	}
}
