package document_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"gelwright/desk"
	"gelwright/document"
	"gelwright/plan"
	"gelwright/roof"
	"gelwright/rooffile"
	"gelwright/steps"
	"gelwright/weather/forecast"
)

// papers are the finished papers of a plan, as somebody holds them who knows nothing of how
// they were made.
type papers struct {
	p *plan.Plan
	// text of each PDF, page by page; empty where no program turns PDF into text.
	text map[string][]string
	csv  map[string][]map[string]string
	// calendar of the programme, nil without a forecast.
	calendar string
	when     *desk.When
}

// textOf turns PDF into text, page by page, as it is laid out; nil where pdftotext is not
// installed.
func textOf(t *testing.T, raw []byte) []string {
	t.Helper()
	program, err := exec.LookPath("pdftotext")
	if err != nil {
		return nil
	}
	cmd := exec.Command(program, "-layout", "-", "-")
	cmd.Stdin = bytes.NewReader(raw)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.ReplaceAll(string(out), "\u00a0", " "), "\f")
}

// given is a job asked of the desk, whose steps are kept from one question to the next.
func given(job roof.Job) desk.Given {
	return desk.Given{Job: job, Steps: steps.NewCache(desk.KeptSteps)}
}

// printed makes all papers of a job, under a forecast where there is one.
func printed(t *testing.T, g desk.Given, sky string, from string) *papers {
	t.Helper()
	job := g.Job
	ctx := context.Background()
	out := &papers{text: map[string][]string{}, csv: map[string][]map[string]string{}}
	var err error
	if sky == "" {
		if out.p, err = g.Plan(ctx); err != nil {
			t.Fatal(err)
		}
	} else {
		site, err := desk.SiteOf(&job)
		if err != nil {
			t.Fatal(err)
		}
		f, err := forecast.Read([]byte(sky), forecast.Options{Name: "forecast.csv", Zone: site.Zone})
		if err != nil {
			t.Fatal(err)
		}
		look := desk.UsualLook()
		look.From = from
		o, err := desk.LookOut(ctx, g, f, look)
		if err != nil {
			t.Fatal(err)
		}
		if out.when, err = o.When(ctx); err != nil {
			t.Fatal(err)
		}
		if out.p, err = o.PlanFor(ctx, out.when); err != nil {
			t.Fatal(err)
		}
		if out.when.Best() != nil {
			out.calendar = strings.ReplaceAll(string(document.Calendar(o, out.when)), "\r\n ", "")
		}
	}
	files, err := document.Files(ctx, out.p)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		switch filepath.Ext(f.Name) {
		case ".pdf":
			out.text[f.Name] = textOf(t, f.Content)
		case ".csv":
			out.csv[f.Name] = table(t, f.Content)
		}
	}
	return out
}

// table reads a list by its heads.
func table(t *testing.T, raw []byte) []map[string]string {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader(raw)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{}
		for i, v := range r {
			m[rows[0][i]] = v
		}
		out = append(out, m)
	}
	return out
}

// said is a bucket as one paper tells it.
type said struct {
	kg, ml, deckC     float64
	date, clock, deck string
}

// told are the buckets of the plan.
func (x *papers) told() map[int]said {
	out := map[int]said{}
	for _, pass := range x.p.Passes {
		if pass.Plan == nil {
			continue
		}
		for _, m := range pass.Plan.Mixes {
			s := said{kg: m.ResinKG, ml: m.CatalystML, deckC: m.TempC, clock: clock(m.MixAtMin), deck: fmt.Sprintf("%.0f", m.TempC)}
			if x.p.Schedule.Forecast() {
				s.date = x.p.Schedule.DateOf(m.Day)
			}
			out[m.Number] = s
		}
	}
	return out
}

func clock(min float64) string {
	n := int(math.Round(min))
	return fmt.Sprintf("%02d:%02d", n/60, n%60)
}

// A row of the bucket table: number or numbers, clock, deck and pail where the line above the
// table does not say them, resin, catalyst; and the band over it with the date.
var (
	bucketRow = regexp.MustCompile(`(?:^|\s)(\d+)(?:–(\d+))?\s+(\d\d:\d\d)(?:–(\d\d:\d\d))?(?:\s+(-?\d+) ?/ ?(-?\d+))?\s*(\d+[.,]\d\d)\s+(\d+(?:[.,]\d)?)(?:\s|$)`)
	// rowParted is a row that the reader of the file lays out as two lines, number and resin above hour and temperatures.
	rowParted  = regexp.MustCompile(`(?m)^\s*(\d+)\s+(\d+[.,]\d\d)\s*\n\s*(\d\d:\d\d)\s+(-?\d+ ?/ ?-?\d+)\s+`)
	bucketAll  = regexp.MustCompile(`^\s*Deck (-?\d+) °C, pail (-?\d+) °C: `)
	bucketBand = regexp.MustCompile(`^\s*\d+ of \d+ +\S.*?(?:[A-Z][a-z][a-z] (\d\d?\D+\d{4}|\S+\d{4}|\d{4}\S+), |day (\d+), no date, )\d\d:\d\d–\d\d:\d\d`)
	anyDate    = regexp.MustCompile(`\b(\d{1,2}) (January|February|March|April|May|June|July|August|September|October|November|December)(?: (\d{4}))?\b`)
	beginWords = regexp.MustCompile(`(?i)begin [^.:]*? at \d\d:\d\d`)
	doseWords  = regexp.MustCompile(`\d+ ?ml \(|\d kg with \d`)
)

// hold reads all papers and holds what they say of the same thing against each other.
func (x *papers) hold(t *testing.T) {
	t.Helper()
	x.holdLists(t)
	x.holdTables(t)
	x.holdVerdict(t)
	x.holdDays(t)
	x.holdDoses(t)
	x.holdOverCoat(t)
}

// holdLists: the list of buckets has every bucket with its dose, day, hour and deck.
func (x *papers) holdLists(t *testing.T) {
	t.Helper()
	want := x.told()
	rows := x.csv["lists/buckets.csv"]
	if len(rows) != len(want) || x.p.Totals.Buckets != len(want) {
		t.Errorf("%d buckets in the plan, %d in the list, %d in the totals", len(want), len(rows), x.p.Totals.Buckets)
	}
	for _, r := range rows {
		n, _ := strconv.Atoi(r["bucket"])
		w := want[n]
		if r["resin_kg"] != fmt.Sprintf("%.3f", w.kg) || r["catalyst_ml"] != fmt.Sprintf("%.1f", w.ml) || r["date"] != w.date ||
			r["mix_at"] != w.clock || r["deck_c"] != fmt.Sprintf("%.1f", w.deckC) {
			t.Errorf("bucket %d is %+v in the plan and %v in the list", n, w, r)
		}
	}
}

// holdTables: the bucket tables of the site book have every bucket once, the same as the plan.
func (x *papers) holdTables(t *testing.T) {
	t.Helper()
	pages := x.text["site.pdf"]
	if pages == nil {
		return
	}
	want, seen := x.told(), map[int]bool{}
	date, deck := "", ""
	for _, page := range pages {
		for _, line := range strings.Split(rowParted.ReplaceAllString(page, "$1 $3 $4 $2 "), "\n") {
			if m := bucketBand.FindStringSubmatch(line); m != nil {
				date, deck = m[1], ""
			}
			if m := bucketAll.FindStringSubmatch(line); m != nil {
				deck = m[1]
			}
			for _, m := range bucketRow.FindAllStringSubmatch(line, -1) {
				x.holdRow(t, m, want, seen, deck)
				day, err := time.Parse("2 January 2006", date)
				n, _ := strconv.Atoi(m[1])
				if w := want[n]; w.date != "" && (err == nil && day.Format(time.DateOnly) != w.date || date == "") {
					t.Errorf("bucket %d is of %s and stands under %q", n, w.date, date)
				}
			}
		}
	}
	// Edges are cut in with their coat: whatever the coat waits for, they wait for.
	for _, pass := range x.p.Passes {
		held := x.p.Schedule.Pass(pass.Key())
		if pass.Plan == nil || held == nil || x.p.Schedule.Order() || !x.p.Schedule.Forecast() {
			continue
		}
		for _, part := range held.Parts {
			if part.Why == "" || part.P <= 0 {
				t.Errorf("%s on day %d has no chance and no reason: %+v", pass.Key(), part.Day, part)
			}
		}
	}
	if len(seen) != len(want) {
		var missing []int
		for n := range want {
			if !seen[n] {
				missing = append(missing, n)
			}
		}
		slices.Sort(missing)
		t.Errorf("%d of %d buckets stand in the tables of the site book: %v do not", len(seen), len(want), missing)
	}
	if first := pages[0]; doseWords.MatchString(first) {
		t.Errorf("page one shouts a dose: %q", doseWords.FindString(first))
	}
}

// holdRow holds a line of the bucket table, of one bucket or of several that are alike, to the
// plan.
func (x *papers) holdRow(t *testing.T, m []string, want map[int]said, seen map[int]bool, deck string) {
	t.Helper()
	first, _ := strconv.Atoi(m[1])
	last, clocks := first, [2]string{m[3], m[3]}
	if m[2] != "" {
		last, _ = strconv.Atoi(m[2])
	}
	if m[4] != "" {
		clocks[1] = m[4]
	}
	if m[5] != "" {
		deck = m[5]
	}
	if want[first].clock != clocks[0] || want[last].clock != clocks[1] {
		t.Errorf("buckets %d to %d are mixed from %s to %s in the plan and from %s in the table", first, last, want[first].clock,
			want[last].clock, clocks)
	}
	for n := first; n <= last; n++ {
		w, ok := want[n]
		ml := fmt.Sprintf("%.0f", w.ml)
		if w.ml < 20 { // small doses have a tenth
			ml = fmt.Sprintf("%.1f", w.ml)
		}
		if kg := strings.ReplaceAll(m[7], ",", "."); !ok || seen[n] || deck != w.deck || kg != fmt.Sprintf("%.2f", w.kg) || strings.ReplaceAll(m[8], ",", ".") != ml {
			t.Errorf("bucket %d is %+v in the plan and in the table %q on a deck of %q", n, w, m[0], deck)
		}
		seen[n] = true
	}
}

// holdVerdict: below the target every paper that tells of the wet work says so, and none gives
// an order; where the days are settled none says not to begin.
func (x *papers) holdVerdict(t *testing.T) {
	t.Helper()
	s := &x.p.Schedule
	planned := map[string]bool{}
	for _, pass := range x.p.Passes {
		planned[pass.Key()] = pass.Plan != nil
		if pass.Refusal != "" && (s.Order() || !strings.HasPrefix(s.Headline(), "DO NOT BEGIN") || len(pass.Remedies) == 0) {
			t.Errorf("%s has no bucket and the plan says %q", pass.Key(), s.Says())
		}
	}
	for key, has := range planned {
		if edges, two := planned[strings.Replace(key, ".coat", ".cutin", 1)]; two && edges != has {
			t.Errorf("%s has buckets: %v, and its edges: %v", key, has, edges)
		}
	}
	if s.Forecast() != (x.p.Ahead != nil && len(x.p.Ahead.Days) > 0) {
		t.Errorf("the schedule says %s and there are days ahead: %v", s.Verdict, x.p.Ahead != nil)
	}
	x.keptDry(t)
	if w := x.when; w != nil && (w.Order() != s.Order() || w.Best() != nil && w.Best().P != s.P) {
		t.Errorf("when finds something sure: %v; the plan says %s with %g", w.Sure != nil, s.Verdict, s.P)
	}
	for name, pages := range x.text {
		for i, page := range pages {
			no := strings.Contains(strings.ToUpper(page), "DO NOT BEGIN")
			order := orders(page)
			switch {
			case !s.Order() && order != "":
				t.Errorf("%s, page %d: the days are %s and it says %q", name, i+1, s.Verdict, order)
			case s.Order() && strings.Contains(page, "DO NOT BEGIN"):
				t.Errorf("%s, page %d: the days are settled and it says not to begin", name, i+1)
			case name == "site.pdf" && i == 0 && !s.Order() && s.Forecast() && !no:
				t.Errorf("page one does not say that nobody is to begin")
			}
		}
	}
	for _, e := range strings.Split(x.calendar, "BEGIN:VEVENT")[1:] {
		if no := strings.Contains(strings.ToUpper(e), "DO NOT BEGIN") || strings.Contains(strings.ToUpper(e), "NOT SURE"); !no && !s.Order() {
			t.Errorf("the days are %s and the calendar says %s", s.Verdict, e)
		}
	}
}

// orders finds an order to begin in a text: "Begin laminate at 09:30".
func orders(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	for _, at := range beginWords.FindAllStringIndex(text, -1) {
		before := strings.ToLower(text[max(0, at[0]-14):at[0]])
		if !strings.Contains(before, "do not") && !strings.Contains(before, "likeliest") {
			return text[at[0]:at[1]]
		}
	}
	return ""
}

// holdDays: no paper names a day but those of the job and of its schedule; sheets and calendar
// begin when the buckets do.
func (x *papers) holdDays(t *testing.T) {
	t.Helper()
	s := &x.p.Schedule
	allowed := []string{x.p.Job.Date, x.p.Job.Work.FinishBy, s.AnyDayFrom}
	for _, pass := range s.Passes {
		for _, part := range pass.Parts {
			allowed = append(allowed, s.DateOf(part.Day))
		}
	}
	if x.when != nil && x.when.Best() != nil {
		for _, slot := range x.when.Best().Slots {
			allowed = append(allowed, slot.Start.In(x.p.Ahead.Zone).Format(time.DateOnly), slot.End.In(x.p.Ahead.Zone).Format(time.DateOnly),
				slot.SafeByLate.In(x.p.Ahead.Zone).Format(time.DateOnly))
			if slot.Over != nil {
				allowed = append(allowed, slot.Over.From.In(x.p.Ahead.Zone).Format(time.DateOnly),
					slot.Over.Until.In(x.p.Ahead.Zone).Format(time.DateOnly))
			}
		}
	}
	for i, page := range x.text["site.pdf"] {
		for _, m := range anyDate.FindAllStringSubmatch(page, -1) {
			year := m[3]
			if year == "" {
				year = s.Date[:4]
			}
			if d, err := time.Parse("2 January 2006", m[1]+" "+m[2]+" "+year); err == nil && !slices.Contains(allowed, d.Format(time.DateOnly)) {
				t.Errorf("site.pdf, page %d names %s, which is no day of this job", i+1, m[0])
			}
		}
	}
	if x.when == nil || x.when.Best() == nil {
		return
	}
	for _, pass := range x.p.Passes {
		if pass.Plan == nil {
			continue
		}
		for _, m := range pass.Plan.Mixes {
			x.holdBucketDay(t, pass.Key(), m.Number, s.DateOf(m.Day), m.MixAtMin)
		}
	}
}

// holdBucketDay: a bucket stands on the clock of its day's sheet, and within its stage.
func (x *papers) holdBucketDay(t *testing.T, key string, number int, date string, min float64) {
	t.Helper()
	// Edges are cut in within the stage of their coat.
	key = strings.Replace(key, ".cutin", ".coat", 1)
	for _, d := range x.p.Ahead.Days {
		if d.From.In(d.Zone).Format(time.DateOnly) != date {
			continue
		}
		for _, b := range d.Bars {
			for _, tick := range b.Ticks {
				if tick.Number != number {
					continue
				}
				if got := tick.At.In(d.Zone).Format("15:04"); got != clock(math.Floor(min)) || b.Key != key && !strings.HasPrefix(b.Key, key+".") {
					t.Errorf("bucket %d of %s is mixed at %s and stands on the day sheet at %s, in %s", number, key, clock(min), got, b.Key)
				}
				return
			}
		}
	}
	t.Errorf("bucket %d of %s, %s %s, stands on no day sheet", number, key, date, clock(min))
}

// holdDoses: dose card, quick answer and buckets have one rule.
func (x *papers) holdDoses(t *testing.T) {
	t.Helper()
	for _, pass := range x.p.Passes {
		if pass.Plan == nil {
			continue
		}
		for _, m := range pass.Plan.Mixes {
			if m.LayByMin < 8-1e-9 {
				t.Errorf("bucket %d of %s leaves %.1f min to lay", m.Number, pass.Key(), m.LayByMin)
			}
			if m.DosePct*m.ResinKG*10 < m.CatalystG*0.999 || m.DosePct*m.ResinKG*10 > m.CatalystG*1.001 {
				t.Errorf("bucket %d: %g %% of %g kg is not %g g", m.Number, m.DosePct, m.ResinKG, m.CatalystG)
			}
			for _, r := range m.Ladder {
				if r.Refused == "" && r.OffK > 0 && r.DosePct > m.DosePct+1e-9 || r.Refused == "" && r.OffK < 0 && r.DosePct < m.DosePct-1e-9 {
					t.Errorf("bucket %d: %g %% as planned and %g %% when it is %+g K", m.Number, m.DosePct, r.DosePct, r.OffK)
				}
			}
		}
	}
}

// randomJob is an example with another crew, other hours and another coat.
func randomJob(t *testing.T, r *rand.Rand) roof.Job {
	t.Helper()
	names := []string{"r01-garage", "r02-dormer", "r03-bay", "r04-l-shape", "r05-triangle", "r06-balcony", "r10-terrace", "r11-three-levels"}
	job := exampleJob(t, names[r.IntN(len(names))])
	job.Crew.People = 1 + r.IntN(4)
	job.Crew.Experience = []string{"apprentice", "regular", "seasoned"}[r.IntN(3)]
	job.Spec.TopCoat.Coats = 1 + r.IntN(2)
	return job
}

func exampleJob(t *testing.T, name string) roof.Job {
	t.Helper()
	raw, err := os.ReadFile("../examples/" + name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	job, _, err := rooffile.Read(name+".yaml", raw)
	if err != nil {
		t.Fatal(err)
	}
	return job
}

// randomSky is ten days from the job's date on: mild, hot, cold, or with showers.
func randomSky(r *rand.Rand, date string) string {
	day, _ := time.Parse(time.DateOnly, date)
	mean, swing, rh := 5+20*r.Float64(), 2+6*r.Float64(), 55+25*r.Float64()
	wet, wind, cloud := 0.3*r.Float64(), 2+5*r.Float64(), 100*r.Float64()
	var b strings.Builder
	b.WriteString("time,air_c,rh_pct,wind_ms,rain_mm,cloud_pct\n")
	rain := false
	for h := range 240 {
		at := day.Add(time.Duration(h) * time.Hour)
		warm := math.Sin(float64(at.Hour()-9) / 24 * 2 * math.Pi)
		if rain = r.Float64() < wet && (rain || r.Float64() < 0.3); rain {
			fmt.Fprintf(&b, "%s,%.1f,%.0f,%.1f,0.8,100\n", at.Format("2006-01-02 15:04"), mean+swing*warm/2, math.Min(97, rh+15), wind)
			continue
		}
		fmt.Fprintf(&b, "%s,%.1f,%.0f,%.1f,0.0,%.0f\n", at.Format("2006-01-02 15:04"), mean+swing*warm, math.Max(30, rh-12*warm), wind, cloud)
	}
	return b.String()
}

// The finished papers of the examples, with a forecast and without, tell one thing of one
// thing.
func TestPapersOfExamplesAgree(t *testing.T) {
	raw, err := os.ReadFile("../examples/forecast.csv")
	if err != nil {
		t.Fatal(err)
	}
	all, _ := filepath.Glob("../examples/r*.yaml")
	for _, path := range all {
		name := strings.TrimSuffix(filepath.Base(path), ".yaml")
		if testing.Short() && name != "r01-garage" && name != "r04-l-shape" {
			continue
		}
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			g := given(exampleJob(t, name))
			printed(t, g, string(raw), "2026-05-11").hold(t)
			if name == "r01-garage" || !testing.Short() {
				printed(t, g, "", "").hold(t)
			}
		})
	}
}

// So do those of random jobs under random skies.
func TestPapersOfRandomJobsAgree(t *testing.T) {
	n := 30
	if testing.Short() {
		n = 2
	}
	r := rand.New(rand.NewPCG(20261, 17))
	for i := range n {
		job := randomJob(t, r)
		sky := randomSky(r, job.Date)
		t.Run(fmt.Sprintf("%d-%s", i+1, job.Name), func(t *testing.T) {
			t.Parallel()
			defer func() {
				if t.Failed() {
					t.Logf("%d people, %s, %d coats; %s", job.Crew.People, job.Crew.Experience, job.Spec.TopCoat.Coats, sky[:400])
				}
			}()
			printed(t, given(job), sky, "").hold(t)
		})
	}
}

// keptDry looks below "Hard when?" of the site book for the hour until which `when` keeps each pass dry.
func (x *papers) keptDry(t *testing.T) {
	pages := x.text["site.pdf"]
	if x.when == nil || x.when.Best() == nil || x.p.Ahead == nil || pages == nil {
		return
	}
	hard := strings.Join(strings.Fields(strings.Join(pages, " ")), " ")
	hard = hard[max(0, strings.LastIndex(hard, "Hard when? From when")):] // page one names the section too
	for i := range x.p.Wet {
		w := &x.p.Wet[i]
		var latest time.Time
		for _, slot := range x.when.Best().Slots {
			if strings.HasPrefix(slot.Key+".", strings.TrimPrefix(w.Key, "wet.")+".") && slot.SafeByLate.After(latest) {
				latest = slot.SafeByLate
			}
		}
		hour := latest.In(x.p.Ahead.Zone).Format("15:04")
		if !latest.IsZero() && (strings.Count(hard, "dry until") < len(x.p.Wet) || !strings.Contains(hard[:min(len(hard), 2500)], hour)) {
			t.Errorf("%s: 'Hard when?' does not say to keep it dry until %s: %.2500s", w.Key, hour, hard)
		}
	}
}
