package desk_test

import (
	"context"
	"errors"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"gelwright/desk"
	"gelwright/laying"
	"gelwright/plan"
	"gelwright/rooffile"
	"gelwright/steps"
	"gelwright/weather"
	"gelwright/weather/forecast"
)

// example reads an example roof and the forecast of the examples.
func example(t testing.TB, name string) (desk.Given, weather.Forecast) {
	t.Helper()
	raw, err := os.ReadFile("../examples/" + name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	job, _, err := rooffile.Read(name+".yaml", raw)
	if err != nil {
		t.Fatal(err)
	}
	site, err := desk.SiteOf(&job)
	if err != nil {
		t.Fatal(err)
	}
	if raw, err = os.ReadFile("../examples/forecast.csv"); err != nil {
		t.Fatal(err)
	}
	sky, err := forecast.Read(raw, forecast.Options{Name: "forecast.csv", Zone: site.Zone})
	if err != nil {
		t.Fatal(err)
	}
	return desk.Given{Job: job, Steps: steps.NewCache(desk.KeptSteps)}, sky
}

// Buckets are made for the day and the hours that the programme settles: every part of a
// pass begins when its stage does, on its date, and every dose is one for the deck of its own
// hour.
func TestBucketsAreOfTheHoursThatAreSettled(t *testing.T) {
	for _, name := range []string{"r01-garage", "r04-l-shape", "r11-three-levels"} {
		if testing.Short() && name == "r11-three-levels" {
			continue
		}
		g, sky := example(t, name)
		look := desk.UsualLook()
		look.From = "2026-05-11"
		o, err := desk.LookOut(context.Background(), g, sky, look)
		if err != nil {
			t.Fatal(err)
		}
		w, err := o.When(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		p, err := o.PlanFor(context.Background(), w)
		if err != nil {
			t.Fatal(err)
		}
		s := &p.Schedule
		if settled := w.Sure != nil; settled != (s.Verdict == laying.Settled) || s.Order() != settled || s.P != w.Best().P {
			t.Errorf("%s: the search finds %v and the schedule says %s with %g", name, w.Sure, s.Verdict, s.P)
		}
		if !s.Order() && (!strings.HasPrefix(s.Headline(), "DO NOT BEGIN") || !strings.Contains(s.Headline(), "%")) {
			t.Errorf("%s: below the target it says %q", name, s.Headline())
		}
		if h := s.Headline(); !s.Order() && (!strings.Contains(h, "What would do: ") || strings.Index(h, "Weakest: ") > strings.Index(h, "What would do: ")) {
			t.Errorf("%s: neither what fails first nor what would do: %q", name, h)
		}
		buckets := 0
		for i := range p.Passes {
			buckets += heldTo(t, name, o, w, p, &p.Passes[i])
		}
		if buckets == 0 {
			t.Errorf("%s: no bucket is planned", name)
		}
		if runs := g.Steps.Runs(); runs["set-out and cutting"] != len(p.Decks) {
			t.Errorf("%s: set out %d times for %d decks", name, runs["set-out and cutting"], len(p.Decks))
		}
	}
}

// heldTo holds the buckets of a pass against the slots of the programme.
func heldTo(t *testing.T, name string, o *desk.Outlook, w *desk.When, p *plan.Plan, x *laying.Pass) int {
	t.Helper()
	if x.Plan == nil {
		return 0
	}
	s := &p.Schedule
	for k, m := range x.Plan.Mixes {
		if _, deckC, _ := s.At(m.Day, m.MixAtMin); math.Abs(deckC-m.TempC) > 1e-9 {
			t.Errorf("%s: bucket %d is made for a deck of %.1f °C and its hour has %.1f", name, m.Number, m.TempC, deckC)
		}
		if k > 0 && s.PartAt(x.Key(), m.Day, m.MixAtMin) == s.PartAt(x.Key(), x.Plan.Mixes[k-1].Day, x.Plan.Mixes[k-1].MixAtMin) {
			continue
		}
		at := midnightOf(t, o, s.DateOf(m.Day)).Add(time.Duration(m.MixAtMin * float64(time.Minute)))
		within := false
		for _, slot := range w.Best().Slots {
			// Edges are cut in in the hours of their coat.
			key := strings.Replace(x.Key(), ".cutin", ".coat", 1)
			if slot.Key == key || strings.HasPrefix(slot.Key, key+".") {
				within = within || !at.Before(slot.Start) && at.Before(slot.End)
			}
		}
		if !within {
			t.Errorf("%s: bucket %d of %s is mixed at %s, in no stretch of the programme", name, m.Number, x.Key(), at)
		}
	}
	return len(x.Plan.Mixes)
}

func midnightOf(t *testing.T, o *desk.Outlook, date string) time.Time {
	t.Helper()
	d, err := time.ParseInLocation(time.DateOnly, date, o.Zone())
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// A job whose date the forecast does not hold is a fault that names both and what to do; it is
// planned on other days when that is asked for, and says so.
func TestADateOutsideTheForecastIsAFault(t *testing.T) {
	g, sky := example(t, "r04-l-shape")
	_, err := desk.PlanUnder(context.Background(), g, sky, desk.UsualLook())
	var fault *desk.Error
	if !errors.As(err, &fault) || fault.Kind != desk.Faulty || fault.Place != "date" || !strings.Contains(fault.Found, "14 April 2026") ||
		!strings.Contains(fault.Found, "24 May 2026") || !strings.Contains(fault.Remedy, "--from 2026-05-11") {
		t.Fatalf("a date outside the forecast: %v", err)
	}
	look := desk.UsualLook()
	look.From = "2026-05-11"
	p, err := desk.PlanUnder(context.Background(), g, sky, look)
	if err != nil {
		t.Fatal(err)
	}
	if p.Schedule.AnyDayFrom != "2026-05-11" || p.Schedule.Date < "2026-05-11" || p.Schedule.Date > "2026-05-24" {
		t.Errorf("any day was asked for and the schedule is %s, of %s", p.Schedule.AnyDayFrom, p.Schedule.Date)
	}
}

// What is said over the doses of each part names its own day and hour.
func TestEveryPartIsToldByItsOwnDay(t *testing.T) {
	several, windy := false, false
	for _, name := range []string{"r04-l-shape", "r10-terrace"} {
		g, sky := example(t, name)
		look := desk.UsualLook()
		look.From = "2026-05-11"
		p, err := desk.PlanUnder(context.Background(), g, sky, look)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range p.Schedule.Passes {
			for _, part := range x.Parts {
				day, err := time.Parse(time.DateOnly, p.Schedule.DateOf(part.Day))
				if err != nil {
					t.Fatal(err)
				}
				if !strings.Contains(part.Why, " on "+day.Format("Mon 2 Jan")+" at ") {
					t.Errorf("%s of %s: %s", x.Key, day.Format("Mon 2 Jan"), part.Why)
				}
				windy = windy || strings.Contains(part.Why, "limit 10 m/s for the abrading before it")
				several = several || strings.HasSuffix(x.Key, ".details") && part.Day > x.Parts[0].Day
			}
		}
	}
	if !several {
		t.Error("no details go over two days")
	}
	// A man abrades in more wind than a coat is laid in: whose limit it is is said.
	if !windy {
		t.Error("the wind on the abrading before the coat is told as the coat's own")
	}
}
