package programme

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"gelwright/weather"
)

// Band is a quantity with the range of nine in ten members.
type Band struct {
	Low    float64 `json:"low"`
	Likely float64 `json:"likely"`
	High   float64 `json:"high"`
}

// Instant is the roof at the start of a quarter hour.
type Instant struct {
	Time time.Time `json:"time"`
	Air  Band      `json:"air_c"`
	Deck Band      `json:"deck_c"`
	Dew  Band      `json:"dew_point_c"`
	Wind Band      `json:"wind_ms"`
	// Rain is the share of members in which it rains, or the source's own probability
	// where there is one course only, 0–1.
	Rain float64 `json:"rain"`
	// Margin is how far the deck is above the dew point, K.
	Margin Band `json:"dew_margin_k"`
}

// Tick is a bucket on the clock.
type Tick struct {
	Number int       `json:"number"`
	At     time.Time `json:"at"`
	LayBy  time.Time `json:"lay_by"`
}

// Bar is a stage, or the part of it that falls on the day.
type Bar struct {
	Slot
	Wet   bool   `json:"wet"`
	Ticks []Tick `json:"ticks,omitempty"`
	// From and To are cut to the day.
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
	// LeadTo ends the sanding before a coat; zero for none.
	LeadTo time.Time `json:"lead_to,omitzero"`
}

// Day is one day of a plan on its clock.
type Day struct {
	Zone *time.Location `json:"-"`
	// From and To bound the picture: the hour of sunrise, or of the first work, to midnight.
	From     time.Time        `json:"from"`
	To       time.Time        `json:"to"`
	Light    weather.Daylight `json:"light"`
	Instants []Instant        `json:"instants"`
	Bars     []Bar            `json:"bars"`
	// MarginK is the dew margin of the limits, K.
	MarginK float64 `json:"margin_k"`
	Members int     `json:"members"`
	// Now is a line on the phone; zero for none.
	Now time.Time `json:"now,omitzero"`
	// Next says what to do next, by when, and what would change it.
	Next string  `json:"next"`
	P    float64 `json:"p"`
}

// DayOf is the day of a plan that holds t.
func (p *Prepared) DayOf(plan *Plan, t time.Time) (*Day, error) {
	local := t.In(p.zone())
	midnight := time.Date(local.Year(), local.Month(), local.Day(), 0, 0, 0, 0, p.zone())
	d := &Day{Zone: p.zone(), To: midnight.AddDate(0, 0, 1), Members: len(p.in.Members), MarginK: 3, P: plan.P}
	d.Light = weather.DaylightOn(midnight.Add(12*time.Hour), p.in.Site)
	d.From = midnight.Add(6 * time.Hour)
	if d.Light.Polar == "" {
		d.From = d.Light.Rise.In(p.zone()).Truncate(time.Hour)
	}
	p.bars(d, plan, midnight)
	if len(d.Bars) == 0 {
		return nil, fmt.Errorf("day: the plan has no work on %s. It runs from %s to %s", midnight.Format("2006-01-02"),
			plan.Begin.In(p.zone()).Format("2006-01-02"), plan.Finish.In(p.zone()).Format("2006-01-02"))
	}
	for _, b := range d.Bars {
		if b.From.Before(d.From) {
			d.From = b.From.In(p.zone()).Truncate(time.Hour)
		}
	}
	for q := max(0, p.quarterOf(d.From)); q < p.n && !p.TimeOf(q).After(d.To); q++ {
		d.Instants = append(d.Instants, p.instant(q))
	}
	if len(d.Instants) < 2 {
		return nil, fmt.Errorf("day: there is no weather for %s. Give a longer forecast", midnight.Format("2006-01-02"))
	}
	d.Next = p.nextSentence(d)
	return d, nil
}

// bars cuts the slots to the day.
func (p *Prepared) bars(d *Day, plan *Plan, midnight time.Time) {
	end := midnight.AddDate(0, 0, 1)
	for _, s := range plan.Slots {
		if !s.Start.Before(end) || !s.End.After(midnight) {
			continue
		}
		st := &p.in.Stages[s.Stage]
		from, to := p.worked(s, midnight, end)
		if !from.Before(to) {
			continue
		}
		b := Bar{Slot: s, Wet: s.Kind.Wet(), From: from, To: to}
		again := 0
		if s.Again != "" {
			again = st.AgainQuarters
		}
		at := s.Start.Add(time.Duration(again) * Quarter)
		if n := st.Lead + again; n > 0 {
			b.LeadTo = s.Start.Add(time.Duration(n) * Quarter)
		}
		total, room := 0.0, float64(st.Quarters)*15
		for _, x := range st.Parts {
			total += x.Min
		}
		// Parts fill the stage, whose length is whole quarters.
		stretch := 1.0
		if total > room {
			stretch = room / total
		}
		for _, x := range st.Parts {
			if x.Bucket > 0 {
				by := at.Add(time.Duration(x.UsableMin * float64(time.Minute)))
				if x.UsableMin <= 0 {
					by = at.Add(time.Duration(x.Min * stretch * float64(time.Minute)))
				}
				b.Ticks = append(b.Ticks, Tick{x.Bucket, at, by})
			}
			at = at.Add(time.Duration(x.Min * stretch * float64(time.Minute)))
		}
		d.Bars = append(d.Bars, b)
	}
}

// worked bounds the stretches in which a slot is worked on that fall between two times.
func (p *Prepared) worked(s Slot, low, high time.Time) (from, to time.Time) {
	for _, x := range p.Spans(s) {
		if !x.From.Before(high) || !x.To.After(low) {
			continue
		}
		if from.IsZero() {
			from = latest(x.From, low)
		}
		if to = x.To; to.After(high) {
			to = high
		}
	}
	return from, to
}

func (p *Prepared) instant(q int) Instant {
	n := len(p.in.Members)
	v := make([]float64, n)
	band := func(of func(*weather.Moment) float64) Band {
		for m := range p.in.Members {
			v[m] = of(&p.in.Members[m][q])
		}
		likely := v[0]
		slices.Sort(v)
		cut := n / 20
		return Band{v[cut], likely, v[n-1-cut]}
	}
	i := Instant{Time: p.TimeOf(q),
		Air: band(func(m *weather.Moment) float64 { return m.AirC }), Deck: band(func(m *weather.Moment) float64 { return m.SurfaceC }),
		Dew: band(func(m *weather.Moment) float64 { return m.DewPointC }), Wind: band(func(m *weather.Moment) float64 { return m.WindMS }),
		Margin: band(func(m *weather.Moment) float64 { return m.DewMarginK() })}
	if n == 1 {
		m := &p.in.Members[0][q]
		i.Deck.Low, i.Deck.High = min(m.SurfaceLow, m.SurfaceC), max(m.SurfaceHigh, m.SurfaceC)
		i.Rain = m.RainProb
		if m.RainMMPerH >= 0.1 {
			i.Rain = max(i.Rain, 1)
		}
		return i
	}
	for m := range p.in.Members {
		if p.in.Members[m][q].RainMMPerH >= 0.1 {
			i.Rain += 1 / float64(n)
		}
	}
	return i
}

// wettest is the bar of a day that the sentence is about: the first laminate or coat, or
// else details, or else whatever comes first.
func (d *Day) wettest() *Bar {
	for _, kinds := range [][]Kind{{Laminate, TopCoat}, {Details}} {
		for i := range d.Bars {
			if slices.Contains(kinds, d.Bars[i].Kind) {
				return &d.Bars[i]
			}
		}
	}
	return &d.Bars[0]
}

// nextSentence is the one sentence under the picture: what is next, by when, what would
// change it; or that it is not to be begun, and why.
func (p *Prepared) nextSentence(d *Day) string {
	b := *d.wettest()
	clock := func(t time.Time) string { return t.In(p.zone()).Format("15:04") }
	name, _, _ := strings.Cut(b.Name, ", part ")
	text := b.Call.Order(name, "at "+clock(b.From))
	if b.Call.Verdict != weather.Go {
		return strings.ReplaceAll(text, " %", "\u00a0%") + "."
	}
	if b.Latest.After(b.From) {
		text += fmt.Sprintf(", by %s at the latest", clock(b.Latest))
	} else {
		text += ", not later"
	}
	for _, x := range d.Bars {
		if n, _, _ := strings.Cut(x.Name, ", part "); n == name && x.SafeByLate.After(b.SafeByLate) {
			b.SafeByLate = x.SafeByLate
		}
	}
	if !b.SafeByLate.IsZero() {
		text += fmt.Sprintf("; safe from rain and dew by %s", p.stamp(b.SafeByLate, b.From))
	}
	text += p.stopAt(d, b.From, latest(b.SafeByLate, b.To))
	if why := p.mostLikely(d, name); why != "" {
		text += " Likeliest to stop it: " + strings.ReplaceAll(why, " %", "\u00a0%") + "."
	}
	return text
}

// stopAt tells between two times when to stop: rain, and the nearest the deck comes to the
// dew point.
func (p *Prepared) stopAt(d *Day, from, to time.Time) string {
	worst, at, rain := d.Instants[0].Margin.Low, d.Instants[0].Time, 0.0
	first := true
	for _, i := range d.Instants {
		if i.Time.Before(from) || i.Time.After(to) {
			continue
		}
		rain = max(rain, i.Rain)
		if first || i.Margin.Low < worst {
			worst, at, first = i.Margin.Low, i.Time, false
		}
	}
	chance := ""
	if said := fmt.Sprintf("%.0f", 100*rain); said != "0" {
		chance = fmt.Sprintf(" (chance up to %s\u00a0%%)", said)
	}
	return fmt.Sprintf(". Stop if it rains%s or the deck comes within %.3g\u00a0K of the dew point (least "+
		"%.1f\u00a0K, at %s).", chance, d.MarginK, worst, at.In(p.zone()).Format("15:04"))
}

// mostLikely is the limit that breaks most often during the work of a name; empty when
// none does.
func (p *Prepared) mostLikely(d *Day, name string) string {
	var sum []tally
	for _, b := range d.Bars {
		if n, _, _ := strings.Cut(b.Name, ", part "); n != name {
			continue
		}
		c := p.class[p.stages[b.Stage].class]
		from := p.quarterOf(b.From)
		if !b.LeadTo.IsZero() {
			from = p.quarterOf(b.LeadTo)
		}
		for q := from; q < p.quarterOf(b.To) && q < p.n; q++ {
			for _, t := range p.brokenAt(c, q) {
				sum = gather(sum, t)
			}
		}
	}
	if len(sum) == 0 {
		return ""
	}
	return p.told(top(sum)[0]).Text(p.zone())
}

func latest(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
