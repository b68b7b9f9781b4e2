package works

import (
	"context"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"gelwright/material"
	"gelwright/plan"
	"gelwright/programme"
	"gelwright/roof"
	"gelwright/rooffile"
	"gelwright/weather"
)

func example(t testing.TB, name string, people int) (*roof.Job, *Work, *time.Location) {
	t.Helper()
	f, err := os.Open("../../examples/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	job, _, err := rooffile.ReadFrom(name, f)
	if err != nil {
		t.Fatal(err)
	}
	in := plan.Input{Job: job, Catalogue: material.Generic()}
	p, err := plan.Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	w, err := Of(context.Background(), p, &in, Rates{}, people)
	if err != nil {
		t.Fatal(err)
	}
	zone, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	return &p.Job, w, zone
}

// of keeps the stages of some kinds, the first freed of what lay before it.
func of(stages []programme.Stage, kinds ...programme.Kind) []programme.Stage {
	var out []programme.Stage
	for _, s := range stages {
		for _, k := range kinds {
			if s.Kind == k {
				out = append(out, s)
			}
		}
	}
	if len(out) > 0 {
		out[0].Join, out[0].Again, out[0].AgainQuarters = programme.Lag{}, nil, 0
	}
	return out
}

func prepare(t testing.TB, j *roof.Job, w *Work, zone *time.Location, stages []programme.Stage, overrides ...programme.Override) *programme.Prepared {
	t.Helper()
	day, err := DayAsWritten(j, zone)
	if err != nil {
		t.Fatal(err)
	}
	p, err := programme.Prepare(context.Background(), programme.Input{Stages: stages, Members: [][]weather.Moment{day}, Site: SiteOf(j, zone), Hours: w.Hours, Overrides: overrides})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// The winter day of the examples, worked by hand from its table: the limits pass from
// 10:00 to 14:00; the dew margin falls below 3 K at about 14:20, so that with two
// hours of look-ahead the last start is about 12:20; frost within twelve hours stops
// even that unless somebody overrides it; there is no window for a top coat.
func TestWinterDay(t *testing.T) {
	j, w, zone := example(t, "r08-winter.yaml", 0)
	wet := of(w.Stages, programme.Laminate)
	search := func(p *programme.Prepared) *programme.Result {
		t.Helper()
		r, err := p.Search(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	if r := search(prepare(t, j, w, zone, wet)); r.Likeliest != nil || !strings.Contains(r.Blocked, "frost") {
		t.Errorf("without an override: %v, %q; want nothing, for frost", r.Likeliest, r.Blocked)
	}
	override := programme.Override{Limit: weather.LimitFrost, Reason: "winter grade by its data sheet, tented by 15:00"}
	short := wet[:1]
	short[0].Quarters, short[0].SafeAt = 1, programme.None
	p := prepare(t, j, w, zone, short, override)
	at, _ := p.Ready(0)
	if len(at) == 0 {
		t.Fatal("with the override: no start")
	}
	first, last := at[0].In(zone).Format("15:04"), at[len(at)-1].In(zone).Format("15:04")
	if first != "10:00" || last != "12:15" {
		t.Errorf("a quarter of laminating may start from %s to %s, want 10:00 to 12:15 (the quarter before 12:20)", first, last)
	}
	r := search(p)
	if len(r.Overrides) != 1 || r.Overrides[0].Reason == "" {
		t.Errorf("the override is not on record: %v", r.Overrides)
	}
	hours, err := p.Hours(0)
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range hours {
		clock := h.Time.In(zone).Format("15:04")
		if go_ := h.Verdict == weather.Go; go_ != (clock == "10:00" || clock == "11:00") {
			t.Errorf("hour %s: %s (%s)", clock, h.Verdict, h.Reason)
		}
	}
	coat := of(w.Stages, programme.TopCoat)
	pc := prepare(t, j, w, zone, coat, override)
	if r := search(pc); r.Likeliest != nil {
		t.Errorf("a top coat at %v on a winter day without a window", r.Likeliest.Begin)
	}
	if _, err := programme.Prepare(context.Background(), programme.Input{Stages: short, Members: [][]weather.Moment{mustDay(t, j, zone)}, Site: SiteOf(j, zone), Hours: w.Hours, Overrides: []programme.Override{{Limit: weather.LimitFrost}}}); err == nil {
		t.Error("an override without a reason was taken")
	}
}

func mustDay(t testing.TB, j *roof.Job, zone *time.Location) []weather.Moment {
	t.Helper()
	day, err := DayAsWritten(j, zone)
	if err != nil {
		t.Fatal(err)
	}
	return day
}

// twice is a day and the same day again.
func twice(day []weather.Moment, nightC float64) []weather.Moment {
	out := append([]weather.Moment(nil), day...)
	for t := day[len(day)-1].Time.Add(programme.Quarter); t.Before(day[0].Time.Add(24 * time.Hour)); t = t.Add(programme.Quarter) {
		m := weather.Measured(t, nightC+2, nightC, 75, 1)
		out = append(out, m)
	}
	for _, m := range day {
		m.Time = m.Time.Add(24 * time.Hour)
		out = append(out, m)
	}
	return out
}

// The hot day of the examples, worked by hand: the deck passes 35 °C at about 08:38;
// from 06:00 that is 2.6 h, in which two people at 6 m² a man-hour lay 31 of 43 m²: three
// people, or two mornings; the top coat goes down from 19:00 and is done by 20:00. That is by
// the weather's limits alone, whatever the brand leaves in its bucket.
func TestHotDay(t *testing.T) {
	example := func(t *testing.T, name string, people int) (*roof.Job, *Work, *time.Location) {
		j, w, zone := example(t, name, people)
		withoutBucket(w)
		return j, w, zone
	}
	j, w, zone := example(t, "r09-summer.yaml", 2)
	wet := of(w.Stages, programme.Laminate)
	day := mustDay(t, j, zone)
	hot := weather.Crossings(day, func(m weather.Moment) float64 { return m.SurfaceC }, 35)
	if got := hot[0].Time.In(zone).Format("15:04"); got != "08:37" && got != "08:38" {
		t.Errorf("the deck passes 35 °C at %s, want about 08:38", got)
	}
	minutes := hot[0].Time.Sub(time.Date(2026, 7, 15, 6, 0, 0, 0, zone)).Minutes()
	if m2 := minutes / 60 * 2 * 6; m2 < 31 || m2 > 32 {
		t.Errorf("two people lay %.1f m² until then, want 31", m2)
	}
	two := [][]weather.Moment{twice(day, 18)}
	find := func(people int) *programme.Plan {
		t.Helper()
		_, w, _ := example(t, "r09-summer.yaml", people)
		p, err := programme.Prepare(context.Background(), programme.Input{Stages: of(w.Stages, programme.Laminate), Members: two, Site: SiteOf(j, zone), Hours: w.Hours})
		if err != nil {
			t.Fatal(err)
		}
		r, err := p.Search(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if r.Likeliest == nil {
			t.Fatalf("%d people: nothing: %s", people, r.Blocked)
		}
		return r.Likeliest
	}
	total := 0
	for _, s := range wet {
		total += s.Quarters
	}
	if total != 15 {
		t.Errorf("43 m² take two people %d quarters, want 15 (3.6 h)", total)
	}
	joints := 0
	for _, s := range find(2).Slots {
		if s.Again != "" {
			joints++
		}
		if c := s.Start.In(zone).Hour()*60 + s.Start.In(zone).Minute(); c > 8*60+30 && c < 18*60+45 {
			t.Errorf("two people: %s at %s, on a deck above 35 °C", s.Name, s.Start.In(zone).Format("15:04"))
		}
	}
	// The evening takes two more parts; a third, laid after 19:45 on a cooling deck, would meet the night's dew before it is hard.
	if last := find(2); joints != 2 || last.Finish.In(zone).Format("02 15:04") != "16 06:30" {
		t.Errorf("two people: %d day joints, done on %s, want morning, evening and half an hour of the second morning", joints,
			last.Finish.In(zone).Format("02 15:04"))
	}
	plan3 := find(3)
	if plan3.Days != 1 || plan3.Begin.In(zone).Format("15:04") != "06:00" {
		t.Errorf("three people: %d days from %s, want one morning from 06:00", plan3.Days, plan3.Begin.In(zone).Format("15:04"))
	}
	_, w3, _ := example(t, "r09-summer.yaml", 3)
	// Laminated in the morning, coated the same day.
	coat := of(w3.Stages, programme.TopCoat)
	coat[0].Quarters = coat[0].Lead + 4 // 43 m² at 15 m² a man-hour: an hour for three
	// The table ends at 22:00, about when a coat laid by 20:00 is tack-free: held
	// against the limits of the hours alone.
	coat[0].SafeAt = programme.None
	noon := time.Date(2026, 7, 15, 12, 0, 0, 0, zone)
	p, err := programme.Prepare(context.Background(), programme.Input{Stages: coat, Members: [][]weather.Moment{day}, Site: SiteOf(j, zone), Hours: w3.Hours, EarliestStart: noon})
	if err != nil {
		t.Fatal(err)
	}
	r, err := p.Search(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if r.Likeliest == nil {
		t.Fatalf("no top coat in the evening: %s", r.Blocked)
	}
	slot := r.Likeliest.Slots[0]
	lead := time.Duration(p.Stage(slot.Stage).Lead) * programme.Quarter
	from, to := slot.Start.Add(lead).In(zone).Format("15:04"), slot.End.In(zone).Format("15:04")
	if from != "19:00" || to != "20:00" {
		t.Errorf("top coat from %s to %s, want 19:00 to 20:00", from, to)
	}
	if starts, _ := p.Ready(0); !starts[0].Equal(slot.Start) {
		t.Errorf("a start at %s, before the deck is below 35 °C", starts[0].In(zone).Format("15:04"))
	}
}

// withoutBucket takes away the limit that the bucket sets.
func withoutBucket(w *Work) {
	for _, s := range w.Stages {
		if s.Limits != nil {
			s.Limits.Mix = nil
		}
	}
}

// The same two days as the roof files write them, by the hours alone.
func TestDaysAsWritten(t *testing.T) {
	j, w, zone := example(t, "r09-summer.yaml", 2)
	j.Crew.People, j.Crew.LayM2PerManHour = 2, 6
	// No brand is known, and no bucket of any brand is laid in the evening's heat.
	wide, err := DayWritten(context.Background(), j, w, 43, zone, nil)
	if err != nil || len(wide.Coat) != 0 || !slices.ContainsFunc(wide.TopCoat, func(h programme.Hour) bool {
		return h.Time.In(zone).Hour() >= 18 && h.Limit == string(weather.LimitMix)
	}) {
		t.Errorf("with the bucket's own limit: %+v, %v", wide, err)
	}
	withoutBucket(w)
	got, err := DayWritten(context.Background(), j, w, 43, zone, nil)
	if err != nil {
		t.Fatal(err)
	}
	if c := got.From.In(zone).Format("15:04"); c != "06:00" {
		t.Errorf("laminating from %s, want 06:00", c)
	}
	if got.AreaM2 < 31 || got.AreaM2 > 32 || got.Needed != 3 {
		t.Errorf("%.1f m², %d people needed; want 31 m² and 3", got.AreaM2, got.Needed)
	}
	if n := len(got.Coat); n == 0 || got.Coat[n-1].From.In(zone).Hour() < 18 {
		t.Errorf("top coat %v, want an evening stretch of its own", got.Coat)
	}
	j, w, zone = example(t, "r08-winter.yaml", 2)
	if got, err = DayWritten(context.Background(), j, w, 20, zone, nil); err != nil || got.AreaM2 != 0 || len(got.Coat) != 0 || !strings.Contains(got.Ends, "frost") {
		t.Errorf("winter without an override: %+v, %v; want nothing to be laid", got, err)
	}
}
