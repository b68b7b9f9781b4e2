package programme

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"
)

// Days that are read are drawn: each has two moments at least, and ends after it begins, within 48 hours.
func TestWhatADayAheadMayBe(t *testing.T) {
	from := time.Date(2026, 5, 4, 6, 0, 0, 0, time.UTC)
	hours := func(n int) []WorkHours { return []WorkHours{{Work: "laminate", Hours: make([]Hour, n)}} }
	for _, c := range []struct {
		name    string
		moments int
		long    time.Duration
		hours   []WorkHours
		ok      bool
	}{
		{"two moments", 2, 12 * time.Hour, hours(1), true},
		{"one moment", 1, 12 * time.Hour, hours(1), false},
		{"as many moments as are told", 1488, 12 * time.Hour, hours(1), true},
		{"one more", 1489, 12 * time.Hour, hours(1), false},
		{"two days of the clock", 2, 48 * time.Hour, hours(1), true},
		{"a second more", 2, 48*time.Hour + time.Second, hours(1), false},
		{"no time at all", 2, 0, hours(1), false},
		{"as many hours as are told", 2, time.Hour, hours(1488), true},
		{"one hour more", 2, time.Hour, hours(1489), false},
		{"work without hours", 2, time.Hour, hours(0), false},
		{"no work", 2, time.Hour, nil, false},
	} {
		a := &Ahead{Zone: time.UTC, Fortnight: c.hours, Days: []*Day{{From: from, To: from.Add(c.long), Instants: make([]Instant, c.moments)}}}
		err := a.sound()
		if (err == nil) != c.ok {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if err := (&Ahead{Fortnight: hours(1), Days: []*Day{{From: from, To: from.Add(time.Hour), Instants: make([]Instant, 2)}, nil}}).sound(); err == nil ||
		err.Error() != "day 2 is empty" {
		t.Errorf("the second day is nothing: %v", err)
	}
}

// Clocks are a day before or after UTC at most, their names have six letters, and each begins after the one before it.
func TestWhatClocksMayShow(t *testing.T) {
	from := time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)
	many := func(n int) (out []clock) {
		for i := range n {
			out = append(out, clock{from.Add(time.Duration(i) * time.Hour), 3600 * (i % 2), "A"})
		}
		return out
	}
	for _, c := range []struct {
		name  string
		shows []clock
		ok    bool
	}{
		{"a day before", []clock{{from, 86400, "A"}}, true},
		{"more", []clock{{from, 86401, "A"}}, false},
		{"a day after", []clock{{from, -86400, "A"}}, true},
		{"more", []clock{{from, -86401, "A"}}, false},
		{"six letters", []clock{{from, 0, "ABCDEF"}}, true},
		{"seven letters", []clock{{from, 0, "ABCDEFG"}}, false},
		{"no letters", []clock{{from, 0, ""}}, false},
		{"two at once", []clock{{from, 0, "A"}, {from, 3600, "B"}}, false},
		{"a second apart", []clock{{from, 0, "A"}, {from.Add(time.Second), 3600, "B"}}, true},
		{"a hundred", many(100), true},
		{"a hundred and one", many(101), false},
	} {
		zone, err := clocks{"x", c.shows}.location()
		if (err == nil) != c.ok {
			t.Errorf("%s: %v", c.name, err)
		}
		if err != nil {
			continue
		}
		for i, s := range c.shows {
			if name, east := s.From.In(zone).Zone(); name != s.Short || east != s.EastS {
				t.Errorf("%s, from clock %d: %s, %d s before UTC", c.name, i, name, east)
			}
		}
	}
}

// The members of an ensemble stand evenly in a normal distribution, the first in the middle: of two others at the quartiles,
// ±0.67449 (Abramowitz and Stegun, Handbook of Mathematical Functions, 1964, table 26.5: Q(x) = 0.25), of ten at the middles of tenths.
func TestLuckStandsEvenly(t *testing.T) {
	for n := range 3 {
		if luck(0, n) != 0 || n > 0 && math.Abs(luck(n-1, n)) > 1e-12 {
			t.Errorf("of %d members: %g, %g", n, luck(0, n), luck(n-1, n))
		}
	}
	three := []float64{luck(1, 3), luck(2, 3)}
	slices.Sort(three)
	if math.Abs(three[0]+0.67449) > 1e-5 || math.Abs(three[1]-0.67449) > 1e-5 {
		t.Errorf("of three: %v", three)
	}
	for _, n := range []int{4, 11, 22, 41, 64} {
		var all []float64
		inOrder := true
		for m := 1; m < n; m++ {
			// Φ(luck) times k is the number of the place and a half.
			u := 0.5 * math.Erfc(-luck(m, n)/math.Sqrt2) * float64(n-1)
			all = append(all, u)
			inOrder = inOrder && (m == 1 || u > all[m-2])
		}
		if inOrder && n > 4 {
			t.Errorf("of %d: in the order of their numbers", n)
		}
		slices.Sort(all)
		for i, u := range all {
			if math.Abs(u-float64(i)-0.5) > 1e-6 {
				t.Errorf("of %d: place %d at %g", n, i, u)
			}
		}
	}
	// A step of 0.618 of ten, 6, has a factor with ten: it is 7, so that the second member stands at 0.75.
	if u := 0.5 * math.Erfc(-luck(2, 11)/math.Sqrt2); math.Abs(u-0.75) > 1e-9 {
		t.Errorf("the second of ten stands at %g", u)
	}
}

// Three days from a Friday at 18:00, work from 8:00 to 16:30 but on Sundays, smells from 9:00 to 15:45: by hand.
func TestCalendarByHand(t *testing.T) {
	zone := time.FixedZone("X", 3600)
	start := time.Date(2026, 5, 1, 18, 0, 0, 0, zone) // a Friday
	p := &Prepared{start: start.UTC(), n: 4*6 + 96 + 96}
	p.in.Site.Zone = zone
	p.in.Hours = Hours{StartMin: 480, EndMin: 990, SmellFromMin: 540, SmellUntilMin: 945, Off: [7]bool{time.Sunday: true}}
	p.calendar()
	saturday := 4 * 6
	for q := range p.n {
		at := p.TimeOf(q).In(zone)
		min := 60*at.Hour() + at.Minute()
		day := 0
		switch {
		case q >= saturday+96:
			day = 2
		case q >= saturday:
			day = 1
		}
		work, smells := day == 1 && min >= 480 && min <= 975, day == 1 && min >= 540 && min <= 930
		if int(p.day[q]) != day || p.open[0][q] != work || p.open[1][q] != smells {
			t.Errorf("%s: day %d, work %v, smells %v", at.Format("Mon 15:04"), p.day[q], p.open[0][q], p.open[1][q])
		}
		spell := 0
		switch {
		case day == 2:
			spell = saturday + 96
		case day == 1 && min >= 990:
			spell = saturday + 66
		case work:
			spell = saturday + 32
		case day == 1:
			spell = saturday
		}
		if int(p.spell[q]) != spell {
			t.Errorf("%s: of the spell from %s", at.Format("Mon 15:04"), p.TimeOf(int(p.spell[q])).In(zone).Format("Mon 15:04"))
		}
	}
	// Nothing before the earliest start, and what begins ends by the last moment; without bounds smells may be whenever work is.
	p.in.EarliestStart, p.in.FinishBy = start.Add(16*time.Hour), start.Add(20*time.Hour) // Saturday 10:00 to 14:00
	p.in.Hours.SmellFromMin, p.in.Hours.SmellUntilMin = 0, 0
	p.calendar()
	for q := range p.n {
		want := q >= saturday+40 && q < saturday+56
		if p.open[0][q] != want || p.open[1][q] != want {
			t.Errorf("%s: work %v, smells %v", p.TimeOf(q).In(zone).Format("Mon 15:04"), p.open[0][q], p.open[1][q])
		}
	}
	// One bound alone binds.
	p.in.Hours.SmellFromMin, p.in.Hours.SmellUntilMin = 0, 720
	p.calendar()
	if !p.open[1][saturday+47] || p.open[1][saturday+48] {
		t.Error("smells until 12:00 do not end there")
	}
}

// A quarter of an hour is found by its beginning, rounded up.
func TestQuarters(t *testing.T) {
	p := &Prepared{start: time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)}
	for off, want := range map[time.Duration]int{0: 0, time.Second: 1, 15 * time.Minute: 1, 16 * time.Minute: 2, -time.Minute: 0, -15 * time.Minute: -1, 24 * time.Hour: 96} {
		if got := p.quarterOf(p.start.Add(off)); got != want {
			t.Errorf("%s after the start: quarter %d, want %d", off, got, want)
		}
	}
	if !p.TimeOf(5).Equal(p.start.Add(75 * time.Minute)) {
		t.Errorf("quarter 5 begins at %s", p.TimeOf(5))
	}
}

// Work that may be interrupted is told in its spans: by hand, an hour of work from 8:00 that stands from 8:30 to 9:00.
func TestSpansByHand(t *testing.T) {
	start := time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)
	at := func(q int) time.Time { return start.Add(time.Duration(q) * Quarter) }
	p := &Prepared{start: start, n: 12, class: []*class{{ok: []uint64{3, 2, 1, 3, 2, 2, 3, 3, 3, 3, 3, 3}}}, stages: make([]prepared, 1)}
	p.open[0] = []bool{true, true, false, false, true, true, true, true, true, true, true, true}
	p.in.Stages = []Stage{{Divisible: true}}
	p.stages[0].quarters = [2]int32{4, 5}
	told := func(spans []Span) string {
		s := ""
		for _, x := range spans {
			s += fmt.Sprintf("%d-%d ", p.quarterOf(x.From), p.quarterOf(x.To))
		}
		return s
	}
	for _, c := range []struct {
		slot Slot
		want string
	}{
		{Slot{Start: at(0), End: at(8)}, "0-1 2-4 6-7 "},
		{Slot{Start: at(0), End: at(8), Again: "abrade"}, "0-1 2-4 6-8 "},
		{Slot{Start: at(0), End: at(8), course: 1}, "0-2 3-5 "},
		{Slot{Start: at(1), End: at(4)}, "2-4 "},
		{Slot{Start: at(10), End: at(20)}, "10-12 "},
		{Slot{Start: at(0), End: at(8), done: true}, "0-2 4-8 "},
		{Slot{Start: at(2), End: at(4), done: true}, "2-4 "}, // outside the hours of work: all of it
		{Slot{Start: at(-3), End: at(1), done: true}, "0-1 "},
		{Slot{Start: at(10), End: at(20), done: true}, "10-12 "},
	} {
		if got := told(p.Spans(c.slot)); got != c.want {
			t.Errorf("%+v: %s, by hand %s", c.slot, got, c.want)
		}
	}
	p.in.Stages[0].Divisible = false
	if got := told(p.Spans(Slot{Start: at(1), End: at(5)})); got != "1-5 " {
		t.Errorf("in one go: %s", got)
	}
}

// A film is spared rain and dew until its mark: by hand, four members of which one is rained on, one dewed on before it is safe, one
// safe at the very quarter of the rain, and one never within the weather known.
func TestWhatAFilmIsSpared(t *testing.T) {
	g := guard{n: 20, safe: [][]int32{{10}, {10}, {10}, {never}}, rain: [][]int32{{9}, {30}, {10}, {30}}, dew: [][]int32{{30}, {8}, {10}, {30}}}
	if got := g.keeps(15, 0); got != 4 {
		t.Errorf("kept by %b", got)
	}
	if got := g.keeps(3, 0); got != 0 {
		t.Errorf("of two kept by %b", got)
	}
	// Safe at the end of what is known is safe; later is not known.
	for at, want := range map[int32]uint64{20: 1, 21: 0} {
		if got := (&guard{n: 20, safe: [][]int32{{at}}}).keeps(1, 0); got != want {
			t.Errorf("safe at quarter %d of 20: %b", at, got)
		}
	}
	if got := (&guard{}).keeps(5, 3); got != 5 {
		t.Errorf("with nothing to wait for kept by %b", got)
	}
	// Only rain, or only dew.
	if got := (&guard{n: 20, safe: [][]int32{{10}}, rain: [][]int32{{9}}}).keeps(1, 0); got != 0 {
		t.Error("rain alone spoils it")
	}
	if got := (&guard{n: 20, safe: [][]int32{{10}}, dew: [][]int32{{9}}}).keeps(1, 0); got != 0 {
		t.Error("dew alone spoils it")
	}
}
