package roof

import (
	"fmt"
	"math"
	"strings"
	"time"

	"gelwright/internal/iso3166"
	"gelwright/internal/words"
	"gelwright/plane"
)

// Problem is something in a survey that cannot be, or should be looked at.
type Problem struct {
	// Code names the kind of problem for good: "outline.crosses".
	Code string
	// Path of the field: "decks[main].openings[RL1].kerb_mm".
	Path string
	// Where is the piece by its writer's name.
	Where string
	// Message says what is wrong, Remedy how to mend it.
	Message, Remedy string
	// Warning marks what may stand.
	Warning bool
}

// longestM is the longest roof that is believed, m: more is a slip of the unit.
const longestM = 500

// The years in which a job may lie: sun and climate are those of the present.
const (
	firstYear = 1990
	lastYear  = 2100
)

type validator struct {
	job      *Job
	problems []Problem
}

func (v *validator) fault(code, path, where, message, remedy string) {
	v.problems = append(v.problems, Problem{Code: code, Path: path, Where: where, Message: message, Remedy: remedy})
}

func (v *validator) warn(code, path, where, message, remedy string) {
	v.problems = append(v.problems, Problem{Code: code, Path: path, Where: where, Message: message, Remedy: remedy, Warning: true})
}

// Validate returns every problem of the survey, in the order of its parts: what
// cannot be built or measured as written, and as warnings what may stand but should
// be looked at. It looks at the survey alone; what follows from physics is the
// checks' work. A Job without a problem that is no warning is sound for the engine.
func (j *Job) Validate() []Problem {
	v := &validator{job: j}
	v.times()
	if len(j.Decks) == 0 {
		v.fault("decks.none", "", "", "the roof has no deck", "Add deck: with outline, edges and fall")
	}
	names := map[string]int{}
	for i := range j.Decks {
		path := j.DeckPath(i)
		name := j.Decks[i].Name
		if first, twice := names[name]; twice {
			v.fault("name.twice", path+".name", fmt.Sprintf("deck %q", name), fmt.Sprintf("deck %d has the same name as deck %d", i+1, first+1),
				"Give each deck its own name")
		} else {
			names[name] = i
		}
	}
	for i := range j.Decks {
		v.deck(&j.Decks[i], j.DeckPath(i), names)
	}
	v.sense()
	return v.problems
}

// times checks dates and the working day.
func (v *validator) times() {
	j := v.job
	for _, d := range []struct{ field, text string }{{"date", j.Date}, {"work.finish_by", j.Work.FinishBy}} {
		if d.text == "" && d.field != "date" {
			continue
		}
		day, err := time.Parse(time.DateOnly, d.text)
		switch {
		case err != nil:
			v.fault("date.bad", d.field, d.field, fmt.Sprintf("%q is no day of the calendar", d.text),
				"Write year-month-day, for example 2026-05-12")
		case day.Year() < firstYear || day.Year() > lastYear:
			v.fault("date.far", d.field, d.field, fmt.Sprintf("no roof of this file is laid in the year %04d", day.Year()),
				fmt.Sprintf("Write a day of the years %d to %d", firstYear, lastYear))
		}
	}
	if j.Work.FinishBy != "" && j.Work.FinishBy < j.Date {
		v.warn("date.order", "work.finish_by", "work", fmt.Sprintf("the work should end on %s, before the job's date %s", j.Work.FinishBy,
			j.Date), "Check both dates")
	}
	if j.Crew.Start.Given() && j.Crew.End.Given() && j.Crew.End <= j.Crew.Start {
		v.fault("crew.hours", "crew.end", "crew", fmt.Sprintf("the day ends at %s and starts at %s", j.Crew.End, j.Crew.Start),
			"Give an end after the start")
	}
	for i := 1; i < len(j.Day.Hours); i++ {
		if j.Day.Hours[i].Time <= j.Day.Hours[i-1].Time {
			v.fault("day.order", fmt.Sprintf("day.hours[%d]", i), "day",
				fmt.Sprintf("%s comes after %s", j.Day.Hours[i].Time, j.Day.Hours[i-1].Time), "List the hours of one day in order")
		}
	}
	v.country()
}

// country holds the country's code against ISO 3166, and asks where a roof is in a country whose
// middle is not held.
func (v *validator) country() {
	s := &v.job.Site
	if s.Country == "" {
		return
	}
	name, ok := iso3166.Name(s.Country)
	if !ok {
		v.fault("site.country", "site.country", "site", fmt.Sprintf("%q is no country of ISO 3166", s.Country),
			"Write two letters, and those of the part after a hyphen where rules differ: GB-ENG, IE, FR, US, NZ")
		return
	}
	if part := strings.TrimPrefix(s.Country, "GB-"); part != s.Country && len(part) != 3 {
		v.fault("site.country", "site.country", "site", fmt.Sprintf("%q is no part of the United Kingdom", s.Country),
			fmt.Sprintf("Did you mean %q?", words.Nearest(s.Country, []string{"GB-ENG", "GB-SCT", "GB-WLS", "GB-NIR"}, 1)[0]))
		return
	}
	if _, known := middle(s.Country); !known && s.LatDeg == 0 && s.LonDeg == 0 {
		v.fault("site.place", "site.lat_deg", "site", "where in "+name+" the roof is is not said",
			"Give lat_deg and lon_deg: sun, dew and climate follow from them")
	}
}

// finite reports whether every corner of a ring is a number.
func finite(r plane.Ring) bool {
	for _, c := range r {
		if s := c.X + c.Y + c.Bulge; math.IsNaN(s) || math.IsInf(s, 0) {
			return false
		}
	}
	return true
}

func (v *validator) deck(k *Deck, path string, names map[string]int) {
	where := fmt.Sprintf("deck %q", k.Name)
	v.falls(k, path, where)
	n := len(k.Outline)
	if len(k.Edges) != n {
		v.fault("edge.missing", path+".edges", where, fmt.Sprintf("there are %d edges for %d corners", len(k.Edges), n),
			"Give each edge its condition")
		return
	}
	if !v.outline(k, path, where) {
		return
	}
	v.narrow(k, path, where)
	v.joists(k, path, where)
	outline := k.Outline.Outline()
	for i := range k.Edges {
		v.edge(k, i, fmt.Sprintf("%s.edges[%d]", path, i), names)
	}
	if k.Falls.Kind == plane.ToPoint && !outline.Holds(k.Falls.Point, plane.TouchM) {
		v.fault("fall.point", path+".fall.to_point", where, fmt.Sprintf("the low point (%g, %g) lies outside the deck", k.Falls.Point.X,
			k.Falls.Point.Y), "Give the place of the outlet")
	}
	if v.openings(k, path, outline) {
		v.holeSense(k, path, outline)
	}
	v.penetrations(k, path, outline)
	v.found(k, path, where, outline)
	if d, in := outline.Away(k.Exit); !in && d > 5 {
		v.fault("exit.far", path+".exit", where, fmt.Sprintf("the exit (%g, %g) lies %.1f m off the deck", k.Exit.X, k.Exit.Y, d),
			"Give the point where people step off this deck")
	} else if !in && d > 1 {
		v.warn("exit.far", path+".exit", where, fmt.Sprintf("the exit (%g, %g) lies %.1f m off the deck", k.Exit.X, k.Exit.Y, d),
			"Check the point where people step off this deck")
	}
}

// outline reports whether the outline is one that the rest can be checked against.
func (v *validator) outline(k *Deck, path, where string) bool {
	field := path + ".outline"
	if len(k.Outline) < 2 || !finite(k.Outline) {
		v.fault("outline.corners", field, where, "the outline has too few corners, or one that is no number", "Give three corners at least")
		return false
	}
	for i := range k.Outline {
		e := k.Outline.Edge(i)
		if e.Chord() < plane.TouchM {
			v.fault("outline.twice", fmt.Sprintf("%s[%d]", field, (i+1)%len(k.Outline)), k.EdgeWhere(i),
				fmt.Sprintf("both ends are at (%g, %g)", e.A.X, e.A.Y), "Remove one of the two corners and its edge")
			return false
		}
	}
	low, high := k.Outline.Bounds()
	if size := max(high.X-low.X, high.Y-low.Y); size > longestM {
		v.fault("outline.large", field, where, fmt.Sprintf("the deck is %.4g m long", size),
			fmt.Sprintf("Did you mean %.4g mm? Corners are in metres: write %.4g, or give each with its unit", size, size/1000))
		return false
	}
	if at, i, m, hit := k.Outline.Outline().MeetsItself(); hit {
		v.fault("outline.crosses", fmt.Sprintf("%s[%d]", field, m), where,
			fmt.Sprintf("the outline crosses itself: edges %d and %d meet at (%.3f, %.3f)", i+1, m+1, at.X, at.Y),
			"Check the order of the corners and their coordinates near that place")
		return false
	}
	if a := k.Outline.SignedArea(); a < 0 {
		v.fault("outline.clockwise", field, where, "the corners go clockwise", "List the corners anticlockwise, with the edges in the new order")
		return false
	} else if a < 0.05 {
		v.fault("outline.small", field, where, fmt.Sprintf("the deck measures %.4f m²", a), "Check the corners; they are in metres")
		return false
	}
	return true
}

// known reports whether the condition is one of the trade words.
func (c Condition) known() bool {
	for _, x := range conditions {
		if x == c {
			return true
		}
	}
	return false
}

func (v *validator) edge(k *Deck, i int, path string, names map[string]int) {
	e, where := &k.Edges[i], k.EdgeWhere(i)
	if !e.Condition.known() {
		v.fault("edge.condition", path, where, fmt.Sprintf("condition %q is not known", e.Condition),
			"Write drip, verge, kerb, wall, parapet, tuck, box gutter, step up, step down or joins")
		return
	}
	v.boxGutter(e, path, where)
	if e.To != "" {
		if _, ok := names[e.To]; !ok || e.To == k.Name {
			v.fault("edge.to", path+".to", where, fmt.Sprintf("there is no other deck %q", e.To), "Write the name of the deck on the other side")
		} else {
			v.step(k, e, &v.job.Decks[names[e.To]], path, where)
		}
	}
	if e.Condition == Kerb && e.HeightMM < 15 {
		v.warn("kerb.low", path+".height_mm", where, fmt.Sprintf("a raised edge of %g mm hardly holds water back", e.HeightMM),
			"30 to 60 mm is usual (common practice)")
	}
	length := k.Outline.Edge(i).Length()
	for n, s := range e.Thresholds {
		if s.FromM < -plane.TouchM || s.ToM > length+plane.TouchM || s.FromM >= s.ToM {
			v.fault("threshold.place", fmt.Sprintf("%s.thresholds[%d]", path, n), where,
				fmt.Sprintf("a threshold from %g to %g m does not fit on an edge of %.3f m", s.FromM, s.ToM, length),
				"Give both distances along the edge from its first corner")
		}
	}
	if e.Condition != Wall && len(e.Thresholds) > 0 {
		v.warn("threshold.place", path+".thresholds", where, "a door sill stands on an edge that is no wall", "Check the condition of the edge")
	}
}

// step checks that water steps down, not up.
func (v *validator) step(k *Deck, e *Edge, other *Deck, path, where string) {
	up := other.LevelM - k.LevelM
	if e.Condition == StepDown && up >= 0 || e.Condition == StepUp && up < 0 {
		v.warn("step.level", path+".to", where, fmt.Sprintf("deck %q lies %.3f m %s this one", other.Name, math.Abs(up),
			map[bool]string{true: "above", false: "below"}[up >= 0]), "Check level_m of both decks")
	}
}

func (v *validator) falls(k *Deck, path, where string) {
	f, field := k.Falls, path+".fall"
	if f.Kind == plane.Level {
		v.warn("fall.level", field, where, "the deck is level: water stands on it",
			"Only a deck as found can be level; plan firrings or tapered insulation to 1:40")
		return
	}
	want := map[plane.FallKind]int{plane.OneWay: 1, plane.ToPoint: 1, plane.Ridge: 2, plane.Hip: 2, plane.Valley: 2}[f.Kind]
	if want == 0 || len(f.Planes) != want {
		v.fault("fall.planes", field, where, fmt.Sprintf("a fall of kind %q has %d planes", f.Kind, len(f.Planes)),
			"Give towards and ratio, or line, left and right, or to_point and ratio")
		return
	}
	for i, p := range f.Planes {
		if !(p.Ratio > 0) || math.IsInf(p.Ratio, 0) {
			v.fault("fall.zero", field+ratioField(want, i), where, "the fall is zero: water would stand",
				`Add "ratio: 40" for 1:40; write "kind: level" for a deck that is level as found`)
			return
		}
		if p.Ratio < 5 {
			v.fault("fall.steep", field+ratioField(want, i), where, fmt.Sprintf("a fall of 1:%g is no flat roof: ratio is the n of 1:n", p.Ratio),
				steepRemedy(p.Ratio))
			return
		}
		if want == 2 {
			across := f.Line[1].Sub(f.Line[0]).Left().Scale(float64(1 - 2*i))
			if f.Kind == plane.Valley {
				across = across.Scale(-1)
			}
			if across.Length() == 0 || p.Down.Dot(across) <= 0 {
				v.fault("fall.side", field, where, fmt.Sprintf("the plane on the %s of the %s does not fall the right way",
					map[int]string{0: "left", 1: "right"}[i], f.Kind), "Left and right are as one looks from the line's first point to its second; "+
					"swap them, or turn the line round")
				return
			}
		}
	}
}

// ratioField is where the ratio of plane i of n is written.
func ratioField(n, i int) string {
	if n == 1 {
		return ".ratio"
	}
	return []string{".left.ratio", ".right.ratio"}[i]
}

// steepRemedy guesses what a ratio below 5 was meant for: a slope as a part of one, or per
// cent.
func steepRemedy(ratio float64) string {
	n := 100 / ratio
	how := fmt.Sprintf("%g %%", ratio)
	if ratio < 0.5 {
		n, how = 1/ratio, fmt.Sprintf("a slope of %g", ratio)
	}
	if n < 5 || n > 1000 {
		return "Write ratio: 40 for 1:40"
	}
	return fmt.Sprintf("Did you mean ratio: %g, which is 1:%g or %s?", math.Round(10*n)/10, math.Round(10*n)/10, how)
}
