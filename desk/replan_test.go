package desk

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"

	"gelwright/programme"
	"gelwright/rooffile"
	"gelwright/steps"
	"gelwright/weather"
	"gelwright/weather/forecast"
)

// anyRoof is an example with another crew and another coat.
func anyRoof(t testing.TB, r *rand.Rand) Given {
	t.Helper()
	names := []string{"r01-garage", "r02-dormer", "r03-bay", "r04-l-shape", "r05-triangle", "r06-balcony"}
	name := names[r.IntN(len(names))] + ".yaml"
	raw, err := os.ReadFile("../examples/" + name)
	if err != nil {
		t.Fatal(err)
	}
	job, _, err := rooffile.Read(name, raw)
	if err != nil {
		t.Fatal(err)
	}
	job.Crew.People = 1 + r.IntN(4)
	job.Spec.TopCoat.Coats = 1 + r.IntN(2)
	job.Site.LatDeg += float64(r.IntN(3))
	return Given{Job: job}
}

// anySky is nine days from one on: mild, hot or cold, with showers.
func anySky(t testing.TB, r *rand.Rand, date string, zone *time.Location) weather.Forecast {
	t.Helper()
	day, err := time.Parse(time.DateOnly, date)
	if err != nil {
		t.Fatal(err)
	}
	mean, swing, rh := 9+13*r.Float64(), 2+5*r.Float64(), 50+20*r.Float64()
	wet, wind, cloud := 0.12*r.Float64(), 2+3*r.Float64(), 100*r.Float64()
	var b strings.Builder
	b.WriteString("time,air_c,rh_pct,wind_ms,rain_mm,cloud_pct\n")
	rain := false
	for h := range 9 * 24 {
		at := day.Add(time.Duration(h) * time.Hour)
		warm := math.Sin(float64(at.Hour()-9) / 24 * 2 * math.Pi)
		mm := 0.0
		if rain = r.Float64() < wet && (rain || r.Float64() < 0.3); rain {
			mm = 0.8
		}
		fmt.Fprintf(&b, "%s,%.1f,%.0f,%.1f,%.1f,%.0f\n", at.Format("2006-01-02 15:04"), mean+swing*warm, math.Max(30, rh-12*warm), wind, mm, cloud)
	}
	f, err := forecast.Read([]byte(b.String()), forecast.Options{Name: "sky.csv", Zone: zone})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// told is a plan without what its buckets say, and without the room round fixed starts, which is not looked for.
func told(p *programme.Plan) programme.Plan {
	raw, err := json.Marshal(p)
	out := programme.Plan{}
	if err == nil {
		err = json.Unmarshal(raw, &out)
	}
	if err != nil {
		panic(err)
	}
	for k := range out.Slots {
		s := &out.Slots[k]
		s.Earliest, s.Latest, s.SafeBy, s.SafeByLate, s.First = time.Time{}, time.Time{}, time.Time{}, time.Time{}, ""
	}
	return out
}

func same(t *testing.T, what string, got, want any) {
	t.Helper()
	a, err := json.Marshal(got)
	if err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	if string(a) != string(b) {
		t.Fatalf("%s:\n%s\nwant\n%s", what, a, b)
	}
}

// Random roofs under random skies: what a morning with everything kept says of a roof is what the long way says that keeps nothing:
// the same best programme where none stands, the same chances, calls and reasons of starts that do, and where these fall the same best
// programme again.
func TestAMorningSaysWhatTheLongWaySays(t *testing.T) {
	t.Parallel()
	n := 24
	if testing.Short() {
		n = 4
	}
	ctx := context.Background()
	seen := map[Standing]int{}
	shared := NewShared(100)
	r := rand.New(rand.NewPCG(20261, 20))
	for range n {
		g := anyRoof(t, r)
		site, err := SiteOf(&g.Job)
		if err != nil {
			t.Fatal(err)
		}
		look := UsualLook()
		look.From, look.Days, look.Courses = g.Job.Date, 8, 12
		if r.IntN(2) == 0 {
			look.Target = 0.6
		}
		first, second := anySky(t, r, g.Job.Date, site.Zone), anySky(t, r, g.Job.Date, site.Zone)
		long := func(f weather.Forecast) (*Outlook, *When) {
			o, err := LookOut(ctx, g, f, look)
			if err != nil {
				t.Fatal(err)
			}
			w, err := o.When(ctx)
			if err != nil {
				t.Fatal(err)
			}
			return o, w
		}
		ask := func(m *Morning, p Planned) *Replanned {
			p.Given = g
			p.Steps = steps.NewCache(KeptSteps)
			a, err := m.Replan(ctx, p)
			if err != nil {
				t.Fatal(err)
			}
			seen[a.Stands]++
			return a
		}
		_, w := long(first)
		m := NewMorning(first, look, shared)
		fresh := ask(m, Planned{})
		same(t, "nothing planned", fresh.Best, w)
		best := w.Best()
		if best == nil {
			continue
		}
		starts := fresh.Starts()
		again := ask(m, Planned{Starts: starts, Was: best.P})
		same(t, "the same weather again", told(again.Planned), told(best))
		if (again.Stands == Holds) != (w.Sure != nil) || (again.Best == nil) != (w.Sure != nil) || again.P != best.P || again.Was != best.P {
			t.Fatalf("%s with %g, was %g; sure %v", again.Stands, again.P, again.Was, w.Sure != nil)
		}
		o, w2 := long(second)
		other := ask(NewMorning(second, look, shared), Planned{Starts: starts})
		slow, left, err := o.prepared.Standing(starts)
		if err != nil || left != other.Left {
			t.Fatal(left, err)
		}
		same(t, "other weather", other.Planned, slow)
		quick := ask(NewMorning(second, look, shared), Planned{Starts: starts, Seek: SeekNothing})
		same(t, "judged alone", quick.Planned, slow)
		if quick.Stands != other.Stands || quick.Against != other.Against || quick.Best != nil || !reflect.DeepEqual(quick.Starts(), starts) {
			t.Fatalf("judged alone it %s: %q", quick.Stands, quick.Against)
		}
		if holds := Settled(slow); holds != (other.Stands == Holds || other.Stands == HoldsSoFar) || !holds && other.Against == "" {
			t.Fatalf("%s where it holds is %v: %q", other.Stands, holds, other.Against)
		}
		if other.Best != nil {
			same(t, "what fell", other.Best, w2)
			sure := ask(NewMorning(second, look, shared), Planned{Starts: starts, Seek: SeekSure}).Best
			switch {
			case (sure.Sure != nil) != (w2.Sure != nil), sure.Sure == nil && sure.Best() != nil:
				t.Fatalf("looked for alone, a sure one is found: %v; the long way: %v", sure.Sure, w2.Sure)
			case sure.Sure != nil && (sure.Sure.Finish.In(site.Zone).YearDay() != w2.Sure.Finish.In(site.Zone).YearDay() || sure.Sure.P < w2.Sure.P):
				t.Fatalf("looked for alone, the sure one ends %s with %g; the long way %s with %g", sure.Sure.Finish, sure.Sure.P, w2.Sure.Finish, w2.Sure.P)
			case sure.Sure != nil && sure.NoBucket != w2.NoBucket && sure.Sure.Begin.Equal(w2.Sure.Begin):
				t.Fatalf("its buckets: %q, the long way %q", sure.NoBucket, w2.NoBucket)
			}
		} else if !reflect.DeepEqual(other.Starts(), starts) {
			t.Fatal("starts that stand are told as others")
		}
	}
	if seen[Holds] == 0 || seen[Falls] == 0 {
		t.Errorf("seen were %v", seen)
	}
}

// A day that the office has fixed is judged by the best programme that begins on it; days without weather are not judged.
func TestADayThatIsFixed(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	r := rand.New(rand.NewPCG(1, 2))
	g := anyRoof(t, r)
	g.Job.Crew.People = 3
	look := UsualLook()
	look.From, look.Courses, look.Target = g.Job.Date, 8, 0.5
	site, err := SiteOf(&g.Job)
	if err != nil {
		t.Fatal(err)
	}
	f := anySky(t, r, g.Job.Date, site.Zone)
	m := NewMorning(f, look, nil)
	w, err := m.Replan(ctx, Planned{Given: g})
	if err != nil || w.Best == nil || w.Stands != Unplanned {
		t.Fatal(w, err)
	}
	day := func(by int) string {
		at, err := time.Parse(time.DateOnly, g.Job.Date)
		if err != nil {
			t.Fatal(err)
		}
		return at.AddDate(0, 0, by).Format(time.DateOnly)
	}
	for _, d := range w.Best.Days {
		date := d.Day.Format(time.DateOnly)
		a, err := m.Replan(ctx, Planned{Given: g, Day: date, Starts: []programme.Fixed{{Key: "another", Start: d.Day.AddDate(0, 0, -1)}}})
		if err != nil {
			t.Fatal(err)
		}
		switch {
		case d.Plan == nil:
			if a.Stands != Falls || a.Against != d.Why || a.Best == nil {
				t.Errorf("%s: %s, %q", date, a.Stands, a.Against)
			}
		case Settled(d.Plan) != (a.Stands == Holds) || a.P != d.Plan.P || (a.Best == nil) != (a.Stands == Holds):
			t.Errorf("%s: %s with %g; the best of that day has %g", date, a.Stands, a.P, d.Plan.P)
		case a.Stands == Holds:
			same(t, "starts of the day", a.Starts(), d.Plan.Fixed())
		}
	}
	for by, want := range map[int]Standing{-1: Behind, 9: Beyond} {
		a, err := m.Replan(ctx, Planned{Given: g, Day: day(by)})
		if err != nil || a.Stands != want || (a.Best == nil) != (want == Beyond) {
			t.Errorf("a day %+d: %+v, %v", by, a, err)
		}
	}
	if _, err := m.Replan(ctx, Planned{Given: g, Day: "Tuesday"}); !errors.As(err, new(*Error)) {
		t.Errorf("Tuesday gives %v", err)
	}
}

// What cannot be judged is told as that, and a fault of one roof keeps no other from its answer: all are asked at once, and say what
// they say one after another.
func TestRoofsReplannedAtOnce(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	r := rand.New(rand.NewPCG(3, 4))
	look := UsualLook()
	look.Days, look.Courses = 8, 6
	var roofs []Planned
	var f weather.Forecast
	for i := range 6 {
		p := Planned{Given: anyRoof(t, r)}
		p.Job.Date, p.Job.Name = "2026-05-13", fmt.Sprintf("roof %d", i)
		roofs = append(roofs, p)
	}
	site, err := SiteOf(&roofs[0].Job)
	if err != nil {
		t.Fatal(err)
	}
	f = anySky(t, r, "2026-05-13", site.Zone)
	roofs[1].Starts = []programme.Fixed{{Key: "another"}}
	roofs[2].Job.Site.TimeZone = "Nowhere/Land"
	shared := NewShared(4)
	once, err := Replan(ctx, roofs, f, look, shared)
	if err != nil {
		t.Fatal(err)
	}
	m := NewMorning(f, look, nil)
	for i, got := range once {
		want, err := m.Replan(ctx, roofs[i])
		if (got.Fault == nil) != (err == nil) || (i == 2) != (err != nil) || got.Name != roofs[i].Job.Name {
			t.Fatalf("%s: %v, alone %v", got.Name, got.Fault, err)
		}
		if err == nil {
			same(t, got.Name, got, want)
		}
		if (i == 1) != (got.Stands == Changed) {
			t.Errorf("%s: %s", got.Name, got.Stands)
		}
	}
	stopped, stop := context.WithCancel(ctx)
	stop()
	if _, err := Replan(stopped, roofs, f, look, shared); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}
