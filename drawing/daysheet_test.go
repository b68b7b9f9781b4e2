package drawing

import (
	"bytes"
	"context"
	"math"
	"strings"
	"testing"
	"time"

	"gelwright/programme"
	"gelwright/scene"
	"gelwright/scene/png"
	"gelwright/weather"
)

// inventedDay is a spring day of a small roof in eleven courses of the weather: a clear
// night, showers in some courses towards evening.
func inventedDay(t *testing.T) (*programme.Prepared, *programme.Plan) {
	t.Helper()
	site := weather.Site{LatDeg: 53, LonDeg: -6}
	start := time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC)
	members := make([][]weather.Moment, 11)
	for m := range members {
		for q := range 96 * 3 {
			hour := float64(q%96) / 4
			air := 11 - 5*math.Cos(2*math.Pi*(hour-3)/24) + 0.3*float64(m-5)
			deck := air - 4 + 22*math.Max(0, math.Sin(math.Pi*(hour-5)/15))
			x := weather.Measured(start.Add(time.Duration(q)*programme.Quarter), air, deck, 62+0.5*float64(m), 3+0.2*float64(m))
			if m > 7 && hour >= 16 && hour < 17 {
				x.RainMMPerH = 0.6
			}
			members[m] = append(members[m], x)
		}
	}
	wet, top := weather.LaminateLimits(), weather.TopCoatLimits()
	top.BeforeSunsetH = 0
	film := &programme.Film{Name: "mat", RefPct: 2, SD: 0.2}
	for c := -10.0; c <= 65; c += 5 {
		film.TempsC, film.DosePct = append(film.TempsC, c), append(film.DosePct, 2)
		for mark, k := range []float64{0, 20, 40, 65, 85, 110, 110, 1500} {
			film.Min[mark] = append(film.Min[mark], math.Max(1, k*math.Exp((20-c)*0.07)))
		}
	}
	var parts []programme.Part
	for n := range 9 {
		parts = append(parts, programme.Part{Name: "bucket", Bucket: n + 4, Min: 11, UsableMin: 14})
	}
	stages := []programme.Stage{
		{Key: "trims", Name: "trims", Kind: programme.Trims, Quarters: 5, Divisible: true},
		{Key: "details", Name: "bandage and details", Kind: programme.Details, Quarters: 3, Divisible: true, Limits: &wet, Film: film, Hold: "edges photographed"},
		{Key: "mat", Name: "laminate", Kind: programme.Laminate, Quarters: 7, Parts: parts, Limits: &wet, Film: film, SafeAt: programme.RainSafe, Join: programme.Lag{Least: programme.Trim}, Hold: "go or no-go"},
		{Key: "coat", Name: "top coat", Kind: programme.TopCoat, Quarters: 4, Lead: 1, Limits: &top, LeadLimits: &wet, Film: film, SafeAt: programme.RainSafe, Join: programme.Lag{Begin: programme.Sand, Least: programme.OverCoatFrom}, Hold: "hard"},
		{Key: "clean-up", Name: "clean-up and hand-over", Kind: programme.CleanUp, Quarters: 3},
	}
	p, err := programme.Prepare(context.Background(), programme.Input{Stages: stages, Members: members, Site: site, Hours: programme.Hours{StartMin: 7 * 60, EndMin: 18 * 60}})
	if err != nil {
		t.Fatal(err)
	}
	r, err := p.Search(context.Background())
	if err != nil || r.Likeliest == nil {
		t.Fatal(err, r.Blocked)
	}
	return p, r.Likeliest
}

func TestDaySheetCanBeRead(t *testing.T) {
	p, plan := inventedDay(t)
	d, err := p.DayOf(plan, plan.Slots[2].Start)
	if err != nil {
		t.Fatal(err)
	}
	d.Now = plan.Slots[2].Start.Add(40 * time.Minute)
	s, err := DaySheet(Title{Job: "Shed", Drawing: "The day", Date: "2026-05-04", Sheet: 1, Of: 2}, d)
	if err != nil {
		t.Fatal(err)
	}
	phone := DayPhone("Shed", d)
	for name, sc := range map[string]*scene.Scene{"sheet": s.Scene, "phone": phone} {
		for _, c := range sc.Clashes(0.3) {
			t.Errorf("%s: %s", name, c)
		}
		text := sc.Text()
		for _, words := range []string{"laminate", "bucket 4, mix", "hold point before laminate", "now, "} {
			if !strings.Contains(text, words) {
				t.Errorf("%s: its text form lacks %q", name, words)
			}
		}
		a, err := png.Bytes(sc, 3)
		if err != nil {
			t.Fatal(err)
		}
		if b, _ := png.Bytes(sc, 3); !bytes.Equal(a, b) {
			t.Errorf("%s: two pictures of one scene differ", name)
		}
	}
	d.Instants = nil
	if _, err := DaySheet(Title{Drawing: "The day"}, d); err == nil {
		t.Error("a day without weather was drawn")
	}
}

func TestFortnightCanBeRead(t *testing.T) {
	p, _ := inventedDay(t)
	var rows []programme.WorkHours
	for _, i := range []int{2, 3} {
		hours, err := p.Hours(i)
		if err != nil {
			t.Fatal(err)
		}
		rows = append(rows, programme.WorkHours{Work: p.Stage(i).Name, Hours: hours})
	}
	s, err := Fortnight(Title{Job: "Shed", Drawing: "Fortnight", Date: "2026-05-04", Sheet: 2, Of: 2}, rows, time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range s.Scene.Clashes(0.3) {
		t.Error(c)
	}
	text := s.Scene.Text()
	go_, lines := 0, strings.Split(text, "\n")
	for _, l := range lines {
		if strings.Contains(l, ": go,") {
			go_++
		}
	}
	want := 0
	for _, r := range rows {
		for _, h := range r.Hours {
			if h.Verdict == weather.Go {
				want++
			}
		}
	}
	if go_ != want || want == 0 {
		t.Errorf("the text form tells %d hours of go, the programme %d", go_, want)
	}
	if _, err := Fortnight(Title{Drawing: "Fortnight"}, nil, time.UTC); err == nil {
		t.Error("a fortnight without hours was drawn")
	}
}

// Every limit has a letter, and the words under the table explain each.
func TestEveryLimitHasALetter(t *testing.T) {
	for limit, letter := range reasonLetters {
		if !strings.Contains(lettersWords, letter+" ") {
			t.Errorf("%s: letter %s is not explained", limit, letter)
		}
	}
}
