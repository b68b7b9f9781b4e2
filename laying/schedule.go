package laying

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"gelwright/cure"
	"gelwright/mixing"
	"gelwright/roof"
	"gelwright/working"
)

// Verdicts of a schedule.
const (
	// Settled: the days hold with the probability that was wanted.
	Settled = "settled"
	// NotSure: no days are; the likeliest are told, and nobody is told to begin.
	NotSure = "not sure"
	// NoTime: no day of the forecast takes the work at all.
	NoTime = "no time"
	// NoForecast: the days are like the one of the roof file; nothing is known of rain and dew.
	NoForecast = "no forecast"
)

// Schedule is on which day and at which hour each pass of wet work is laid, and how warm it
// is then. It is settled before a bucket is made; whatever is said of a day, an hour, a
// temperature or a dose is read from here or follows from it.
type Schedule struct {
	Verdict string `json:"verdict"`
	// Date of day 1, the first of wet work, "2026-05-13". Other days are counted from it, on
	// the calendar.
	Date string `json:"date"`
	// P is the probability that all of it goes as planned, Target what is wanted of each start;
	// both 0 without a forecast.
	P      float64 `json:"p,omitempty"`
	Target float64 `json:"target,omitempty"`
	// Reason says why there is no order, empty where there is one.
	Reason string `json:"reason,omitempty"`
	// NoBucket says of which pass no bucket is mixed in its hours, and what would serve; empty
	// where all are. Then nobody is told to begin, however sure the days are.
	NoBucket string `json:"no_bucket,omitempty"`
	// AnyDayFrom is set where any day from it on was asked for, whatever the job's date.
	AnyDayFrom string `json:"any_day_from,omitempty"`
	// Hours from the midnight of day 1 on; without a forecast one day's, repeated.
	Hours  []ScheduleHour `json:"hours"`
	Passes []PassTime     `json:"passes"`
}

// ScheduleHour is how warm it is, on a day at a minute after its midnight, °C.
type ScheduleHour struct {
	Day   int     `json:"day"`
	Min   float64 `json:"min"`
	AirC  float64 `json:"air_c"`
	DeckC float64 `json:"deck_c"`
	// ResinC in its pail.
	ResinC float64 `json:"resin_c"`
}

// PassTime is when a pass is laid.
type PassTime struct {
	// Key of the pass: see Pass.Key.
	Key   string     `json:"key"`
	Parts []PartTime `json:"parts"`
}

// PartTime is a stretch of a pass with one beginning.
type PartTime struct {
	Day      int     `json:"day"`
	BeginMin float64 `json:"begin_min"`
	EndMin   float64 `json:"end_min"`
	// Share of the work of the pass, 0–1.
	Share float64 `json:"share"`
	// P is the chance that it holds when it is begun then, to the first place where it may be
	// left; 0 without a forecast. Go reports whether it may be begun, Why in words what is to be
	// done: empty without a forecast.
	P   float64 `json:"p,omitempty"`
	Go  bool    `json:"go,omitempty"`
	Why string  `json:"why,omitempty"`
	// First says what must be done before it, since what lies under it is too old to bond.
	First string `json:"first,omitempty"`
}

// Key names a pass: "main.details", "main.mat1", "main.cutin1", "main.coat1".
func (x *Pass) Key() string { return passKey(x.Deck, x.Kind, x.Layer) }

func passKey(deck, kind string, layer int) string {
	switch kind {
	case "mat":
		return fmt.Sprintf("%s.mat%d", deck, layer)
	case "top coat":
		return fmt.Sprintf("%s.coat%d", deck, layer)
	case CuttingIn:
		return fmt.Sprintf("%s.cutin%d", deck, layer)
	}
	return deck + "." + kind
}

// Order reports whether somebody may be told to begin.
func (s *Schedule) Order() bool { return s.Verdict == Settled }

// Forecast reports whether the days and hours are those of a forecast; otherwise every day is
// like the one of the roof file.
func (s *Schedule) Forecast() bool { return s.Verdict == Settled || s.Verdict == NotSure }

// Pass finds the times of a pass; nil where it has none.
func (s *Schedule) Pass(key string) *PassTime {
	for i := range s.Passes {
		if s.Passes[i].Key == key {
			return &s.Passes[i]
		}
	}
	return nil
}

// PartAt is the part of a pass that is laid on a day at a minute of it; nil for none.
func (s *Schedule) PartAt(key string, day int, min float64) *PartTime {
	var out *PartTime
	x := s.Pass(key)
	for i := range x.parts() {
		if p := &x.Parts[i]; p.Day == day && p.BeginMin <= min+1e-6 {
			out = p
		}
	}
	return out
}

func (x *PassTime) parts() []PartTime {
	if x == nil {
		return nil
	}
	return x.Parts
}

// DateOf is the date of a day, "2026-05-13".
func (s *Schedule) DateOf(day int) string {
	t, err := time.Parse(time.DateOnly, s.Date)
	if err != nil {
		return s.Date
	}
	return t.AddDate(0, 0, day-1).Format(time.DateOnly)
}

// At is how warm it is on a day at a minute of it, °C, between the hours in a straight line.
// Without a forecast every day is like the first.
func (s *Schedule) At(day int, min float64) (airC, deckC, resinC float64) {
	if !s.Forecast() {
		day = 1
	}
	at := func(h ScheduleHour) float64 { return float64(h.Day-day)*dayMin + h.Min }
	k := 0
	for k < len(s.Hours) && at(s.Hours[k]) < min {
		k++
	}
	switch {
	case len(s.Hours) == 0:
		return 0, 0, 0
	case k == 0 || k == len(s.Hours):
		h := s.Hours[max(0, k-1)]
		return h.AirC, h.DeckC, h.ResinC
	}
	a, b := s.Hours[k-1], s.Hours[k]
	u := (min - at(a)) / (at(b) - at(a))
	return a.AirC + u*(b.AirC-a.AirC), a.DeckC + u*(b.DeckC-a.DeckC), a.ResinC + u*(b.ResinC-a.ResinC)
}

// temps are deck and pail over one day, minutes after its midnight.
func (s *Schedule) temps(day int) (deck, resin []mixing.TempAt) {
	for _, h := range s.Hours {
		at := float64(h.Day-day)*dayMin + h.Min
		if at < 0 || at > 2*dayMin || len(deck) > 0 && at <= deck[len(deck)-1].Min {
			continue
		}
		deck, resin = append(deck, mixing.TempAt{Min: at, TempC: h.DeckC}), append(resin, mixing.TempAt{Min: at, TempC: h.ResinC})
	}
	return deck, resin
}

const dayMin = 24 * 60.0

// sessions are the times of a pass as its buckets are planned for them.
func (s *Schedule) sessions(key string) []mixing.Session {
	var out []mixing.Session
	for _, p := range s.Pass(key).parts() {
		x := mixing.Session{Day: p.Day, BeginMin: p.BeginMin, Share: p.Share}
		x.Temps, x.Resin = s.temps(p.Day)
		out = append(out, x)
	}
	return out
}

// Worked are the temperatures of resin and deck in the hours of the passes that are of a top
// coat, or of those that are none; nothing where no hours are settled.
func (s *Schedule) Worked(coat bool) []cure.Temps {
	var out []cure.Temps
	for _, x := range s.Passes {
		if strings.Contains(x.Key, ".coat") != coat {
			continue
		}
		for _, p := range x.Parts {
			for at := p.BeginMin; ; at = math.Min(at+60, p.EndMin) {
				_, deck, resin := s.At(p.Day, at)
				out = append(out, cure.Temps{ResinC: resin, DeckC: deck})
				if at >= p.EndMin {
					break
				}
			}
		}
	}
	return out
}

// hold puts into the schedule what the buckets have made of it: when the first bucket of each
// part is mixed and the last rolled out, and which part of the pass they are. Without a
// forecast it takes its times from the chain.
func (s *Schedule) hold(passes []Pass) {
	planned := s.Passes
	s.Passes = nil
	for i := range passes {
		x := &passes[i]
		if x.Plan == nil || len(x.Plan.Mixes) == 0 {
			if k := slices.IndexFunc(planned, func(p PassTime) bool { return p.Key == x.Key() }); k >= 0 {
				s.Passes = append(s.Passes, planned[k])
			}
			continue
		}
		s.Passes = append(s.Passes, heldBy(planned, x))
	}
	s.abradeOnce()
}

// refuse takes the order out of a schedule in which a pass has no bucket.
func (s *Schedule) refuse(passes []Pass) {
	for i := range passes {
		x := &passes[i]
		if x.Refusal == "" {
			continue
		}
		s.NoBucket = x.NoBucket()
		if s.Verdict == Settled {
			s.Verdict = NotSure
		}
		return
	}
}

// NoBucket says that no bucket of a pass can be mixed in its hours, and what would serve; empty where
// one can.
func (x *Pass) NoBucket() string {
	if x.Refusal == "" {
		return ""
	}
	text := "no bucket can be mixed for " + strings.TrimPrefix(passOf(x), "the ") + " in its hours"
	for _, m := range x.Remedies[:min(1, len(x.Remedies))] {
		text += ". What would serve: " + m.Text
	}
	return text
}

// abradeOnce leaves what is to be done before a coat with the cutting in of its edges, where
// that comes first: what has just been cut in is not abraded.
func (s *Schedule) abradeOnce() {
	for i := range s.Passes {
		for _, edge := range s.Passes[i].Parts {
			coat := s.Pass(StageOf(s.Passes[i].Key))
			if coat == nil || coat.Key == s.Passes[i].Key {
				continue
			}
			for k := range coat.Parts {
				if p := &coat.Parts[k]; p.Day == edge.Day && p.First == edge.First {
					p.First = ""
				}
			}
		}
	}
}

// StageOf is the pass in whose stage a pass is laid: edges are cut in within that of their coat.
func StageOf(key string) string { return strings.Replace(key, ".cutin", ".coat", 1) }

// heldBy is when a pass is laid by its buckets, part by part; its gangs work side by side.
func heldBy(planned []PassTime, x *Pass) PassTime {
	was := Schedule{Passes: planned}
	out := PassTime{Key: x.Key()}
	at := map[PartTime]int{}
	all := 0.0
	for k, m := range x.Plan.Mixes {
		all += m.ResinKG
		is := PartTime{Day: m.Day}
		if p := was.PartAt(StageOf(out.Key), m.Day, m.MixAtMin); p != nil {
			is = *p
		}
		i, ok := at[is]
		if !ok {
			i = len(out.Parts)
			at[is] = i
			out.Parts = append(out.Parts, PartTime{Day: m.Day, BeginMin: m.MixAtMin, P: is.P, Go: is.Go, Why: is.Why, First: is.First})
		}
		part := &out.Parts[i]
		part.BeginMin, part.EndMin, part.Share = min(part.BeginMin, m.MixAtMin), max(part.EndMin, outAt(x, k)), part.Share+m.ResinKG
	}
	for i := range out.Parts {
		out.Parts[i].Share /= all
	}
	return out
}

// outAt is when bucket k of a pass is rolled out: where the next of the day is mixed, or else
// the pass or the part ends.
func outAt(x *Pass, k int) float64 {
	mixes := x.Plan.Mixes
	switch m := mixes[k]; {
	case x.Kind == CuttingIn:
		// The field is rolled between one turn and the next.
		return m.MixAtMin + math.Max(2*m.LayingMin, mixing.PrepareMin)
	case k+1 == len(mixes) && m.Gang == "":
		return x.Plan.EndMin
	case k+1 < len(mixes) && mixes[k+1].Gang == m.Gang && mixes[k+1].Day == m.Day:
		return mixes[k+1].MixAtMin - mixes[k+1].WaitedMin - mixes[k+1].CutInMin
	}
	// Laying takes half of the crew's time for a bucket, cutting and rolling out the rest.
	return mixes[k].MixAtMin + 2*mixes[k].LayingMin
}

// DayLike is the schedule of a day that the roof file describes, before anything is planned
// on it: its hours, repeated, or its one temperature.
// The pail is as warm as its air where resinSilent says that nobody gave the resin's temperature.
func DayLike(date string, d roof.Day, resinSilent bool) Schedule {
	s := Schedule{Verdict: NoForecast, Date: date, Reason: "no forecast was given: the day is like the one that the roof file " +
		"describes, and nothing is known of rain, dew and frost"}
	for day := 1; day <= wetDays; day++ {
		for _, h := range d.Hours {
			x := ScheduleHour{Day: day, Min: h.Time.Min(), AirC: h.AirC, DeckC: h.DeckC, ResinC: d.ResinC}
			if resinSilent {
				x.ResinC = h.AirC
			}
			s.Hours = append(s.Hours, x)
		}
	}
	if len(s.Hours) == 0 {
		s.Hours = []ScheduleHour{{Day: 1, AirC: d.AirC, DeckC: d.DeckC, ResinC: d.ResinC}}
	}
	return s
}

// Headline is the verdict in a sentence for every paper and answer: what not to do, how sure
// it is, and why; empty where there is an order.
func (s *Schedule) Headline() string {
	if s.NoBucket != "" {
		return "DO NOT BEGIN: " + s.NoBucket + "."
	}
	switch s.Verdict {
	case NotSure:
		return "DO NOT BEGIN: " + s.Whole() + ". " + sentence(s.Reason)
	case NoTime:
		return "DO NOT BEGIN: no time is found in the forecast. " + sentence(s.Reason)
	case NoForecast:
		return "NO DAY IS SETTLED. " + sentence(s.Reason)
	}
	return ""
}

// Whole is how sure all of it is, and what is wanted.
func (s *Schedule) Whole() string {
	if s.NoBucket != "" && s.P >= s.Target {
		return "a pass has no bucket in its hours"
	}
	return fmt.Sprintf("all of it holds with %s %%, %.0f %% is wanted", working.Chance(s.P), 100*s.Target)
}

// Says is the verdict in a sentence: when to begin and how sure that is, or that nobody is to.
func (s *Schedule) Says() string {
	if h := s.Headline(); h != "" {
		return h
	}
	for _, x := range s.Passes {
		for _, p := range x.Parts {
			return fmt.Sprintf("Wet work begins on %s at %s; all of it holds with %.0f %%.", s.DateOf(p.Day), clockText(p.BeginMin), 100*s.P)
		}
	}
	return ""
}

// sentence gives words a capital and a full stop.
func sentence(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + strings.TrimSuffix(s[1:], ".") + "."
}

// mostDays of a schedule that was read are believed.
const mostDays = 800

// Sound looks whether a schedule that was read can be told: its date is one, its hours follow
// one another.
func (s *Schedule) Sound() error {
	if _, err := time.Parse(time.DateOnly, s.Date); err != nil {
		return fmt.Errorf("the schedule is of %q, which is no date", s.Date)
	}
	if len(s.Hours) == 0 {
		return fmt.Errorf("the schedule has no hours")
	}
	at := func(h ScheduleHour) float64 { return float64(h.Day)*dayMin + h.Min }
	for i, h := range s.Hours {
		if h.Day < 1 || h.Day > mostDays || !(h.Min >= 0 && h.Min <= dayMin) || i > 0 && !(at(h) > at(s.Hours[i-1])) {
			return fmt.Errorf("hour %d of the schedule, day %d, minute %g, follows none", i+1, h.Day, h.Min)
		}
	}
	return nil
}
