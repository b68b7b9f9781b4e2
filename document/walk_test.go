package document_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"gelwright/cure"
	"gelwright/desk"
	"gelwright/laying"
	"gelwright/material"
	"gelwright/mixing"
	"gelwright/roof"
	"gelwright/rooffile"
)

// sky is days of hours from a date on: a mean, a swing about it, the humidity at the mean,
// cloud, and the hours of the day at which it rains.
type sky struct {
	name              string
	mean, swing, rh   float64
	cloud, wind       float64
	rainFrom, rainFor int
}

// Invented: the four kinds of weather that a crew asks about.
var fourSkies = []sky{
	{"mild", 15, 3, 62, 90, 2, 0, 0}, {"hot", 26, 7, 50, 10, 2, 0, 0}, {"cold with frost", 5, 7, 70, 40, 2, 0, 0},
	{"showers", 13, 3, 75, 80, 4, 14, 2},
}

func (s sky) csv(date string) string { return s.csvFor(date, 10) }

// csvFor is so many days of it.
func (s sky) csvFor(date string, days int) string {
	day, _ := time.Parse(time.DateOnly, date)
	var b strings.Builder
	b.WriteString("time,air_c,rh_pct,wind_ms,rain_mm,cloud_pct\n")
	for h := range 24 * days {
		at := day.Add(time.Duration(h) * time.Hour)
		warm := math.Sin(float64(at.Hour()-9) / 24 * 2 * math.Pi)
		rain := 0.0
		if k := at.Hour() - s.rainFrom; s.rainFor > 0 && k >= 0 && k < s.rainFor && at.YearDay()%2 == 0 {
			rain = 0.8
		}
		fmt.Fprintf(&b, "%s,%.1f,%.0f,%.1f,%.1f,%.0f\n", at.Format("2006-01-02 15:04"), s.mean+s.swing*warm,
			math.Max(30, math.Min(97, s.rh-2*s.swing*warm)), s.wind, rain, s.cloud)
	}
	return b.String()
}

// Three invented roofs beside the examples.
var ownRoofs = map[string]string{
	"porch": `version: 1
name: Porch
date: "2026-05-11"
site: {country: GB-ENG}
use: {below: unheated}
crew: {people: 1, experience: apprentice}
deck:
  outline: [[0, 0], [2.4, 0], [2.4, 1.5], [0, 1.5]]
  edges: [wall, kerb, drip, kerb]
  fall: {towards: north, ratio: 40}
`,
	"extension": `version: 1
name: Kitchen extension
date: "2026-05-11"
site: {country: IE}
use: {below: heated}
crew: {people: 3, experience: seasoned}
deck:
  outline: [[0, 0], [6.2, 0], [6.2, 3.4], [0, 3.4]]
  edges: [wall, kerb, drip, kerb]
  fall: {towards: north, ratio: 40}
`,
	"two coats": `version: 1
name: Store with two coats
date: "2026-05-11"
site: {country: GB-SCT}
use: {below: unheated}
spec: {top_coat: {coats: 2}}
deck:
  outline: [[0, 0], [4, 0], [4, 3], [0, 3]]
  edges: [kerb, kerb, drip, kerb]
  fall: {towards: north, ratio: 40}
`,
}

// An apprentice with a thermometer and a scale goes through every pack: whatever bucket he
// mixes, the table, the list, the card's row of his deck and the quick answer of his deck and
// pail have him weigh one dose, and each paper tells the same of each hour and verdict.
func TestWalkThrough(t *testing.T) {
	jobs := map[string]roof.Job{}
	examples := []string{"r01-garage", "r03-bay", "r04-l-shape", "r06-balcony", "r12-hall"}
	if testing.Short() {
		examples = examples[:1]
	}
	for _, name := range examples {
		jobs[name] = exampleJob(t, name)
	}
	for name, text := range ownRoofs {
		if testing.Short() {
			continue
		}
		job, _, err := rooffile.Read(name+".yaml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		jobs[name] = job
	}
	for name, job := range jobs {
		for _, s := range fourSkies {
			t.Run(name+"/"+s.name, func(t *testing.T) {
				t.Parallel()
				x := printed(t, given(job), s.csv("2026-05-11"), "2026-05-11")
				x.hold(t)
				n := x.weigh(t)
				v := &x.p.Schedule
				t.Logf("%s, %.2f: %d buckets weighed. %s", v.Verdict, v.P, n, v.Headline())
				if s.name == "mild" && n == 0 && len(x.p.Passes) > 0 {
					t.Error("on mild days no bucket is mixed")
				}
			})
		}
	}
}

// weigh asks the quick answer for every bucket of the plan, at its own deck and pail.
func (x *papers) weigh(t *testing.T) int {
	t.Helper()
	n, spec := 0, &x.p.Job.Spec
	for _, pass := range x.p.Passes {
		if pass.Plan == nil {
			continue
		}
		for _, m := range pass.Plan.Mixes {
			ask := desk.DoseAsk{TempC: &m.TempC, ResinC: &m.ResinC, KG: &m.ResinKG, NeedMin: 8, MarginMin: x.p.Job.Crew.MarginMin,
				Resin: spec.Resin, Catalyst: spec.Catalyst, Coat: pass.Coat()}
			if pass.Coat() {
				ask.Resin, ask.Catalyst = spec.CoatResin, spec.CoatCatalyst
			}
			d, err := desk.DoseOf(context.Background(), material.Generic(), ask)
			// A deck that nobody has measured may be warmer: the plan then leaves less, never more.
			longer := d.GelLowMin - ask.MarginMin - m.LayByMin
			if err != nil || math.Abs(d.CatalystML-m.CatalystML) > 0.01 || longer < -0.1 || longer > 0.1 && x.p.Schedule.Forecast() {
				t.Errorf("bucket %d of %s, deck %.1f °C, pail %.1f °C: %.1f ml within %.1f min in the plan; the quick answer %.1f ml within "+
					"%.1f min, %s (%v)", m.Number, pass.Key(), m.TempC, m.ResinC, m.CatalystML, m.LayByMin, d.CatalystML,
					d.GelLowMin-ask.MarginMin, d.Why, err)
			}
			x.holdCard(t, pass.Coat(), m.Number, m.TempC, m.ResinC, m.DosePct)
			n++
		}
	}
	return n
}

// holdCard: between the two rows of the card that a deck lies between, a pail that both allow
// gets a dose between theirs.
func (x *papers) holdCard(t *testing.T, coat bool, number int, deckC, pailC, pct float64) {
	t.Helper()
	rows := x.p.DoseCard.Rows
	for i := 1; i < len(rows); i++ {
		a, b := rows[i-1], rows[i]
		if deckC < a.TempC || deckC > b.TempC {
			continue
		}
		low, high := a.Laminate, b.Laminate
		if coat {
			low, high = a.Coat, b.Coat
		}
		if low.Refused != "" || high.Refused != "" || pailC > math.Min(low.PailC, high.PailC) {
			continue
		}
		if pct > math.Max(low.Pct, high.Pct)+1e-9 || pct < math.Min(low.Pct, high.Pct)-1e-9 {
			t.Errorf("bucket %d, deck %.1f °C, pail %.1f °C: %.2f %%; the card has %.2f at %g °C and %.2f at %g °C", number, deckC, pailC, pct,
				low.Pct, a.TempC, high.Pct, b.TempC)
		}
	}
}

// holdOverCoat: whether a layer is abraded before the next has one answer. It is said of every
// part whose first bucket comes when the oldest of its ground may be past its window, and of no
// other; the site book, the calendar, the list and the schedule say it in the same words.
func (x *papers) holdOverCoat(t *testing.T) {
	t.Helper()
	s := &x.p.Schedule
	for i := range x.p.Passes {
		pass := &x.p.Passes[i]
		ground := x.groundOf(pass)
		if ground == nil || pass.Plan == nil || len(pass.Plan.Mixes) == 0 {
			continue
		}
		oldest, until := x.firstOf(ground), ground.At(cure.OverCoatUntil)
		for _, part := range s.Pass(pass.Key()).Parts {
			key, first := pass.Key(), part.First
			if edges := s.PartAt(strings.Replace(key, ".coat", ".cutin", 1), part.Day, part.BeginMin); edges != nil && first == "" {
				key, first = strings.Replace(key, ".coat", ".cutin", 1), edges.First
			}
			age := float64(part.Day-oldest.Day)*24*60 + part.BeginMin - oldest.MixAtMin
			if first != "" && age < until.LowMin-1e-6 || first == "" && age > until.LowMin+1e-6 {
				t.Errorf("%s begins on day %d %s after its ground was laid, which takes a coat for %s; first: %q", pass.Key(), part.Day,
					laying.Lasting(age), laying.LastingRange(until), first)
			}
			if first != "" {
				x.holdFirst(t, key, part.Day, first)
			}
		}
	}
}

// holdFirst: what comes first stands in every paper; a calendar without a day tells no pass.
func (x *papers) holdFirst(t *testing.T, key string, day int, first string) {
	t.Helper()
	begins := strings.Fields(strings.ToLower(first))
	book := strings.ToLower(strings.Join(strings.Fields(strings.Join(x.text["site.pdf"], " ")), " "))
	if book != "" && !strings.Contains(book, strings.Join(begins[:4], " ")) {
		t.Errorf("%s: first %q, and the site book does not say it", key, first)
	}
	if calendar := strings.ReplaceAll(x.calendar, "\\", ""); strings.Contains(calendar, "BEGIN:VEVENT") && !strings.Contains(calendar, first) {
		t.Errorf("%s: first %q, and the calendar does not say it: %s", key, first, calendar)
	}
	for _, r := range x.csv["lists/buckets.csv"] {
		if date := x.p.Schedule.DateOf(day); r["date"] == date && r["first"] == first {
			return
		}
	}
	if x.p.Schedule.Forecast() {
		t.Errorf("%s: first %q, and the list of buckets does not say it", key, first)
	}
}

// firstOf is the first bucket of a pass that hardens.
func (x *papers) firstOf(w *laying.WetPass) mixing.Mix {
	for i := range x.p.Passes {
		if p := &x.p.Passes[i]; p.Deck == w.Deck && p.Kind == w.Kind && p.Layer == w.Layer && p.Plan != nil {
			return p.Plan.Mixes[0]
		}
	}
	return mixing.Mix{Day: w.Day, MixAtMin: w.MixAtMin}
}

// groundOf is how the layer under a pass hardens, mat or the coat before it; nil for what lies on none.
func (x *papers) groundOf(pass *laying.Pass) *laying.WetPass {
	var out *laying.WetPass
	for i := range x.p.Wet {
		w := &x.p.Wet[i]
		over := w.Kind == "mat" && pass.Kind == "top coat" && pass.Layer == 1 || w.Kind == pass.Kind && w.Layer == pass.Layer-1
		if w.Deck == pass.Deck && over {
			out = w
		}
	}
	return out
}
