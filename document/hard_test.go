package document

import (
	"slices"
	"strings"
	"testing"
	"time"

	"gelwright/programme"
)

// What a pass must bear stands in the pack for every pass, with its working.
func TestHardWhenNamesEveryPass(t *testing.T) {
	l := written(t, "r01-garage")
	d, all := l.site, l.lines["site"]
	if len(d.p.Wet) == 0 {
		t.Fatal("no wet passes in the plan")
	}
	for _, w := range d.p.Wet {
		for _, m := range w.Marks {
			if w.Last(d.p.Job.Spec.TopCoat.Coats) && m.Milestone == "sand" {
				continue // nobody sands the last coat but to coat it anew
			}
			if w.Last(d.p.Job.Spec.TopCoat.Coats) && strings.HasPrefix(m.Milestone, "over-coat") {
				if f, ok := d.p.Workings.Find(m.Key); ok && d.refs.has(f) {
					t.Errorf("%s: a second coat is offered on the last", m.Key)
				}
				continue
			}
			switch m.Milestone {
			case "walk", "sand", "safe from rain", "over-coat from", "over-coat until":
				f, ok := d.p.Workings.Find(m.Key)
				if !ok || !d.refs.has(f) {
					t.Errorf("%s is not marked in the pack", m.Key)
				}
			}
		}
	}
	found := false
	for _, x := range all {
		found = found || strings.HasPrefix(x.text, "abrade after")
	}
	if !found {
		t.Error("nothing says from when on to abrade")
	}
}

// Every check, passed or not, is worked in full in the appendix.
func TestEveryCheckIsWorkedInFull(t *testing.T) {
	d := written(t, "r04-l-shape").office
	seen := map[string]bool{}
	for _, r := range d.p.Checks {
		if seen[r.Key+r.Title] {
			continue // places that are alike share a row and a working
		}
		seen[r.Key+r.Title] = true
		for _, f := range r.Working {
			if !d.refs.has(f) {
				t.Errorf("%s: %q is not in the appendix", r.Key, f.Name)
			}
		}
	}
}

// The rows of details name pieces that are on the set-out.
func TestDetailBucketsNamePieces(t *testing.T) {
	l := written(t, "r01-garage")
	d, all := l.site, l.lines["site"]
	text := ""
	for _, x := range all {
		if strings.Contains(strings.ToLower(d.sections[x.page]), "buckets") {
			text += x.text + " "
		}
	}
	for _, want := range []string{"J1", "flange, edge 1", "board joints"} {
		if !strings.Contains(text, want) {
			t.Errorf("the buckets do not say %q", want)
		}
	}
	if strings.Contains(text, "M1, M1") {
		t.Error("a strip is named twice in one row")
	}
}

// The checks of every example stand on one page or two, in letters that can be read: many run on
// to a second page rather than into smaller type.
func TestChecksAreSummedUpOnTwoPages(t *testing.T) {
	for _, name := range []string{"r01-garage", "r03-bay", "r04-l-shape", "r10-terrace", "r11-three-levels", "r12-hall"} {
		d := written(t, name).office
		on := 0
		for _, section := range d.sections {
			if strings.HasPrefix(section, "Design checks") {
				on++
			}
		}
		if on < 1 || on > 2 {
			t.Errorf("%s: the design checks take %d pages", name, on)
		}
	}
}

// No letter of a book is smaller than seven points, but for the marks of references.
func TestLettersAreSevenPoints(t *testing.T) {
	const least = 7.0
	for _, name := range []string{"r01-garage", "r10-terrace"} {
		for book, lines := range written(t, name).lines {
			for _, x := range lines {
				if x.points < least && strings.Trim(markText.ReplaceAllString(x.text, ""), " …") != "" {
					t.Errorf("%s, %s, page %d: %q is set in %.1f points", name, book, x.page, x.text, x.points)
				}
			}
		}
	}
}

// A page that bears a section bears more than a few lines of it: the table of hardening
// goes where room is left for it; one of more than four passes is more than a few lines.
func TestHardeningStandsOnNoPageOfItsOwn(t *testing.T) {
	for _, name := range []string{"r01-garage", "r08-winter", "r09-summer", "r11-three-levels"} {
		d := written(t, name).site
		for page, s := range d.sections {
			if strings.EqualFold(s, "Hard when?") && len(d.p.Wet) <= 4 {
				t.Errorf("%s: page %d is %q alone", name, page, s)
			}
		}
	}
}

// When the mat goes over the bandage, until when, and what is done later stands on the bandage's own sheet: by the clock of the days
// under a forecast, after mixing without one.
func TestTheWindowOfTheBandageIsOnPaper(t *testing.T) {
	has := func(lines []placed, text string) bool {
		return slices.ContainsFunc(lines, func(x placed) bool { return strings.Contains(x.text, text) })
	}
	if l := written(t, "r01-garage"); !has(l.lines["site"], "Bandage takes the mat when a blade trims it, until") {
		t.Error("nothing of the bandage on paper")
	}
	p, _ := planned(t, "r01-garage")
	days := *p
	at := func(h, m int) time.Time { return time.Date(2026, 5, 12, h, m, 0, 0, time.UTC) }
	over := &programme.Over{From: at(11, 15), Until: at(33, 30), AgainMin: 30}
	days.Ahead = &programme.Ahead{Zone: time.UTC, Days: []*programme.Day{{Bars: []programme.Bar{{Slot: programme.Slot{Key: "garage.details",
		Over: over}}}}}}
	for i := range p.Passes {
		if p.Passes[i].Kind == "details" {
			days.Ahead.Days[0].Bars[0].Key = p.Passes[i].Key()
		}
	}
	d, err := newPack(&days, "site", "Site book", nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	text := ""
	sheet := func() string {
		for _, s := range d.bucketSheets() {
			if s.pass.Kind == "details" {
				text = ""
				for _, w := range d.sheetWords(s, nil) {
					text += w.text + "\n"
				}
				return text
			}
		}
		t.Fatal("no sheet of bandage")
		return ""
	}
	sheet()
	for _, want := range []string{"from Tue 12 May 11:15", "until Wed 13 May 09:30", "Later abrade it all", "30 min for the crew"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q has no %q", text, want)
		}
	}
	over.Until = at(10, 0)
	if text = sheet(); !strings.Contains(text, "What was laid first is too old from Tue 12 May 10:00 on") {
		t.Errorf("laid over two days: %q", text)
	}
}
