package programme

import (
	"context"
	"math"
	"strings"
	"testing"
	"time"

	"gelwright/weather"
)

func readyFor(t testing.TB, members, days int) *Prepared {
	t.Helper()
	p, err := Prepare(context.Background(), Input{Stages: benchStages(), Members: courses(t, members, days), Site: benchSite, Hours: benchHours})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// follow is where a film laid at each quarter reaches a mark.
func follow(f *Film, m Mark, temps []float32, slow float64, down bool) []int32 {
	w, on := f.to(m), f.scale().warm(temps)
	return w.reach(&on, slow, down)
}

// By hand: at a steady temperature a mark is reached after its table time, rounded up
// to the quarter; with half the dose later by 2^n.
func TestFilmAtSteadyTemperature(t *testing.T) {
	f := benchFilm("mat")
	f.DoseExponent[Walk] = 0.8
	temps := make([]float32, 400)
	for i := range temps {
		temps[i] = 20
	}
	want := int32(math.Ceil(3.4 * 20 / 15.0)) // 68 min
	if got := follow(f, Walk, temps, 1, false)[100] - 100; got != want {
		t.Errorf("hard to walk after %d quarters, want %d", got, want)
	}
	for i := range f.DosePct {
		f.DosePct[i] = 1
	}
	slow := int32(math.Ceil(68 * math.Pow(2, 0.8) / 15))
	if got := follow(f, Walk, temps, 1, false)[100] - 100; got != slow {
		t.Errorf("with half the dose after %d quarters, want %d", got, slow)
	}
	until := follow(f, OverCoatUntil, temps, 1, true)
	if got := until[10] - 10; got != 80*20*1/15 {
		t.Errorf("over-coat until %d quarters, want %d", got, 80*20/15)
	}
	if got := follow(f, Walk, temps, 1, false)[399]; got != never {
		t.Errorf("a film laid as the weather ends is hard at quarter %d", got)
	}
}

// A warmer deck never hardens later, and a slower resin never sooner.
func TestFilmWarmerIsNeverLater(t *testing.T) {
	f := benchFilm("mat")
	cold, warm := make([]float32, 900), make([]float32, 900)
	for i := range cold {
		cold[i] = float32(10 + 8*math.Sin(float64(i)/15))
		warm[i] = cold[i] + 2
	}
	a, b, c := follow(f, RainSafe, cold, 1, false), follow(f, RainSafe, warm, 1, false), follow(f, RainSafe, cold, 1.3, false)
	for q := range cold {
		if b[q] > a[q] || c[q] < a[q] {
			t.Fatalf("laid at %d: safe at %d, warmer %d, slower %d", q, a[q], b[q], c[q])
		}
	}
}

// The members' luck with the resin has the mean and spread of a standard normal.
func TestLuckIsNormal(t *testing.T) {
	for _, n := range []int{11, 31, 51, 64} {
		sum, square := 0.0, 0.0
		for m := 1; m < n; m++ {
			x := luck(m, n)
			sum += x
			square += x * x
		}
		k := float64(n - 1)
		if math.Abs(sum/k) > 1e-9 || math.Abs(math.Sqrt(square/k)-1) > 0.12 {
			t.Errorf("%d members: mean %g, spread %g", n, sum/k, math.Sqrt(square/k))
		}
	}
}

func TestHoursAreConsistent(t *testing.T) {
	p := readyFor(t, 9, 14)
	for _, stage := range []int{0, 4, 9} {
		hours, err := p.Hours(stage)
		if err != nil {
			t.Fatal(err)
		}
		go_ := 0
		for i, h := range hours {
			later := false
			for _, x := range hours[i+1:] {
				later = later || x.Verdict == weather.Go && x.Time.YearDay() == h.Time.YearDay()
			}
			switch h.Verdict {
			case weather.Go:
				go_++
				if h.P < 0.9 || !h.Working {
					t.Fatalf("%s: go with %g, working %v", h.Time, h.P, h.Working)
				}
			case weather.Wait:
				if !later {
					t.Fatalf("%s: wait, but nothing comes", h.Time)
				}
			default:
				if later {
					t.Fatalf("%s: no-go, but a go comes the same day", h.Time)
				}
				if h.Limit == "" {
					t.Fatalf("%s: no-go without a reason", h.Time)
				}
			}
		}
		if go_ == 0 {
			t.Errorf("stage %d: a fortnight of spring without one hour of go", stage)
		}
	}
}

// What the plan says holds against the weather it was made from.
func TestPlanKeepsItsPromises(t *testing.T) {
	p := readyFor(t, 21, 14)
	r, err := p.Search(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if r.Likeliest == nil {
		t.Fatal(r.Blocked)
	}
	if r.Likeliest.P > r.Bound+1e-9 {
		t.Errorf("P %g above the bound %g", r.Likeliest.P, r.Bound)
	}
	for i, f := range r.Frontier[1:] {
		if !f.Finish.After(r.Frontier[i].Finish) || f.P <= r.Frontier[i].P {
			t.Errorf("frontier: %v with %g after %v with %g", f.Finish, f.P, r.Frontier[i].Finish, r.Frontier[i].P)
		}
	}
	for _, d := range r.Days {
		if d.Plan == nil {
			if d.Why == "" {
				t.Errorf("%s: no plan and no reason", d.Day)
			}
			continue
		}
		before := time.Time{}
		for _, s := range d.Plan.Slots {
			if s.Start.Before(before) || s.P+1e-9 < d.Plan.P || s.Earliest.After(s.Start) || s.Latest.Before(s.Start) {
				t.Fatalf("%s: %+v after %s, plan holds with %g", d.Day, s, before, d.Plan.P)
			}
			before = s.Start
		}
		if d.Plan.Rehearsed.Finished < d.Plan.P-1e-9 && d.Plan.Rehearsed.Spoiled == 0 && d.Plan.Rehearsed.Stopped == 0 {
			t.Errorf("%s: rehearsed %+v, P %g", d.Day, d.Plan.Rehearsed, d.Plan.P)
		}
	}
}

// From the first quarter with nothing done, now is the same question as when.
func TestNowAtTheStartIsWhen(t *testing.T) {
	p := readyFor(t, 9, 14)
	r, err := p.Search(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	a, err := p.Now(context.Background(), p.TimeOf(0), nil)
	if err != nil {
		t.Fatal(err)
	}
	if a.Result.Likeliest == nil || a.Result.Likeliest.P != r.Likeliest.P {
		t.Errorf("now %+v, when %+v", a.Result.Likeliest, r.Likeliest)
	}
}

func TestNow(t *testing.T) {
	p := readyFor(t, 9, 14)
	ctx := context.Background()
	noon := p.TimeOf(96*2 + 48)
	if _, err := p.Now(ctx, noon, []Done{{Key: "thatching"}}); err == nil || !strings.Contains(err.Error(), "thatching") {
		t.Errorf("an unknown stage gives %v", err)
	}
	two := *p
	two.in.Stages = append([]Stage(nil), p.in.Stages...)
	for i := range two.in.Stages[:6] {
		two.in.Stages[i].Deck = "upper"
	}
	if _, err := two.Now(ctx, noon, []Done{{Key: "laminate"}}); err == nil || !strings.Contains(err.Error(), "several decks") {
		t.Errorf("work on two decks: %v", err)
	}
	if _, err := p.Now(ctx, p.TimeOf(-10), nil); err == nil {
		t.Error("a time before the weather was taken")
	}
	if _, err := p.Now(ctx, noon, []Done{{Key: "strip", End: noon.Add(time.Hour)}}); err == nil {
		t.Error("a stage that ends after now was taken as done")
	}
	a, err := p.Now(ctx, noon, []Done{{Key: "clean-up"}})
	if err != nil || a.Stage != -1 {
		t.Errorf("all done: %+v, %v", a, err)
	}
	a, err = p.Now(ctx, noon, []Done{{Key: "laminate"}})
	if err != nil {
		t.Fatal(err)
	}
	if got := p.Stage(a.Stage).Kind; got != TopCoat {
		t.Errorf("after laminating comes %s", got)
	}
	if a.Act == "" || a.Reason == "" {
		t.Errorf("advice without act or reason: %+v", a)
	}
	if a.Plan != nil {
		if w := a.Plan.Begin; w.Before(noon) {
			t.Errorf("begin at %s, before now", w)
		}
		// A laminate finished now is not hard enough to sand now.
		if a.Verdict == weather.Go && p.stages[a.Stage].film != nil && a.Plan.Begin.Sub(noon) < time.Hour {
			t.Errorf("sand and coat %s after the last of the laminate", a.Plan.Begin.Sub(noon))
		}
	}
}

func TestInputFaults(t *testing.T) {
	c := courses(t, 2, 14)
	ok := Input{Stages: benchStages(), Members: c, Site: benchSite, Hours: benchHours}
	for name, spoil := range map[string]func(*Input){
		"no stages":        func(in *Input) { in.Stages = nil },
		"no weather":       func(in *Input) { in.Members = nil },
		"too many members": func(in *Input) { in.Members = make([][]weather.Moment, 65) },
		"other times":      func(in *Input) { in.Members = [][]weather.Moment{c[0], c[1][1:]} },
		"gaps":             func(in *Input) { in.Members = [][]weather.Moment{append([]weather.Moment{c[0][0]}, c[0][5:]...)} },
		"hours":            func(in *Input) { in.Hours = Hours{StartMin: 900, EndMin: 300} },
		"target":           func(in *Input) { in.Target = math.NaN() },
		"no reason":        func(in *Input) { in.Overrides = []Override{{Limit: weather.LimitFrost}} },
		"no length":        func(in *Input) { in.Stages = []Stage{{Name: "nothing"}} },
		"lag without film": func(in *Input) {
			in.Stages = []Stage{{Name: "a", Quarters: 1}, {Name: "b", Quarters: 1, Join: Lag{Least: Walk}}}
		},
		"guard, no film": func(in *Input) { in.Stages = []Stage{{Name: "a", Quarters: 1, SafeAt: Gel}} },
	} {
		in := ok
		spoil(&in)
		if _, err := Prepare(context.Background(), in); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	// A stage longer than the working day, that cannot be interrupted, fits on no day.
	long := ok
	long.Stages = []Stage{{Name: "roll it all", Kind: TopCoat, Quarters: 40}}
	p, err := Prepare(context.Background(), long)
	if err != nil {
		t.Fatal(err)
	}
	r, err := p.Search(context.Background())
	if err != nil || r.Impossible == nil || !strings.Contains(r.Impossible.Error(), "working day") {
		t.Errorf("got %+v, %v; want a contradiction with the working day", r.Impossible, err)
	}
}

func TestDayOfAPlan(t *testing.T) {
	p := readyFor(t, 9, 14)
	r, err := p.Search(context.Background())
	if err != nil || r.Likeliest == nil {
		t.Fatal(err, r.Blocked)
	}
	d, err := p.DayOf(r.Likeliest, r.Likeliest.Begin)
	if err != nil {
		t.Fatal(err)
	}
	for _, i := range d.Instants {
		for _, b := range []Band{i.Air, i.Deck, i.Dew} {
			if b.Low > b.High {
				t.Fatalf("%s: %+v", i.Time, b)
			}
		}
		if i.Rain < 0 || i.Rain > 1+1e-9 {
			t.Fatalf("%s: rain %g", i.Time, i.Rain)
		}
	}
	if !strings.HasPrefix(d.Next, "Begin ") {
		t.Errorf("next: %q", d.Next)
	}
	if _, err := p.DayOf(r.Likeliest, r.Likeliest.Finish.AddDate(0, 1, 0)); err == nil {
		t.Error("a day without work was drawn")
	}
}
