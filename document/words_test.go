package document

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"gelwright/plan"
)

// bears reports whether one of the sections on a page is named so.
func bears(sections string, names ...string) bool {
	return slices.ContainsFunc(names, func(n string) bool { return strings.Contains(strings.ToLower(sections), n) })
}

// Decimal commas for German and French jobs, points in the names of standards.
func TestLocaleOfSentences(t *testing.T) {
	d := &pack{p: &plan.Plan{}}
	d.p.Job.Site.Locale = "de-DE"
	for in, want := range map[string]string{
		"U = 0.19 W/m²K against 0.15":               "U = 0,19 W/m²K against 0,15",
		"EN 1995-1-1:2004, 6.1.6, 7.2.3":            "EN 1995-1-1:2004, 6.1.6, 7.2.3",
		"EN 1991-1-4:2005, table 4.1":               "EN 1991-1-4:2005, table 4.1",
		"decks[main].edges[2].height_mm":            "decks[main].edges[2].height_mm",
		"60.0 m² and 1:40.":                         "60,0 m² and 1:40.",
		"grade 0.5-1.2":                             "grade 0,5-1,2",
		"(3.5 kg)":                                  "(3,5 kg)",
		"r01.yaml, spec.waste_pct.resin":            "r01.yaml, spec.waste_pct.resin",
		"1.5 kg/m² in all and one 600 g mat 2.0; x": "1,5 kg/m² in all and one 600 g mat 2,0; x",
	} {
		if got := d.local(in); got != want {
			t.Errorf("local(%q) = %q, want %q", in, got, want)
		}
	}
	if got := dateWords("2026-05-12", "de-DE"); got != "12.05.2026" {
		t.Error(got)
	}
	if got := dateWords("2026-05-12", "fr-FR"); got != "12/05/2026" {
		t.Error(got)
	}
	if got := dateWords("2026-05-12", "en-GB"); got != "12 May 2026" {
		t.Error(got)
	}
}

// On the pages a person works from, no number of a German job has a point.
func TestGermanPackHasCommas(t *testing.T) {
	point := regexp.MustCompile(`\d\.\d`)
	written(t, "r11-three-levels").bound(func(d *pack, all []placed) {
		for _, x := range all {
			// Sources stand among the checks, and keep their points.
			on := d.sections[x.page]
			if bears(on, "design checks") || !bears(on, "buckets", "dose card", "cut lists", "falls and firrings", "order list", "method") {
				continue
			}
			if point.MatchString(x.text) && !strings.Contains(x.text, d.date()) {
				t.Errorf("%s, page %d (%s): %q", d.name, x.page, on, x.text)
			}
		}
	})
}

// Lines that are parted by hand stay parted, whatever letters are in them.
func TestWrapKeepsLines(t *testing.T) {
	d := written(t, "r01-garage").site
	d.font(sizeText, false)
	if got := d.wrap("2.00 %\n27–43 min → now", 80); len(got) != 2 || got[0] != "2.00 %" || got[1] != "27–43 min → now" {
		t.Errorf("%q", got)
	}
	if got := d.wrap("used to 44 % of it", d.f.GetStringWidth("used to 44")+0.5); got[0] != "used to" || got[1] != "44 % of it" {
		t.Errorf("a number left its unit: %q", got)
	}
}

func TestPlaces(t *testing.T) {
	for want, list := range map[string]places{
		"deck hall: RL01–RL03":                 {"deck hall, RL01", "deck hall, RL02", "deck hall, RL03"},
		"deck upper; deck lower":               {"deck upper", "deck lower"},
		"deck a, edge 1 (drip)":                {"deck a, edge 1 (drip)"},
		"deck a: edge 1 (drip), edge 3 (drip)": {"deck a, edge 1 (drip)", "deck a, edge 3 (drip)"},
		"":                                     places{}.and(""),
	} {
		if got := list.String(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestRuns(t *testing.T) {
	for in, want := range map[string]string{
		"B3 B1 B2 B9":                    "B1–B3, B9",
		"T1 T2":                          "T1, T2",
		"mix 4 mix 1 mix 2 mix 3":        "mix 1–4",
		"porch B2 porch B1 porch B3 B7":  "B7, porch B1–B3",
		"edge 1":                         "edge 1",
		"upstand":                        "upstand",
		"10 9 8":                         "8–10",
		"J1 J2 J3 J4 J6 J7 J8 J9 J11 T1": "J1–J4, J6–J9, J11, T1",
	} {
		list := regexp.MustCompile(`(mix |porch |edge )?\S+`).FindAllString(in, -1)
		if got := runs(list); got != want {
			t.Errorf("runs(%q) = %q, want %q", in, got, want)
		}
	}
}

// Even steps are told by their size; fewer than four numbers are told one by one.
func TestSteps(t *testing.T) {
	for in, want := range map[string]string{
		"M9 M1 M17 M25":              "M1–M25 (every 8th)",
		"M1 M9 M17":                  "M1, M9, M17",
		"J1 J2 J3 J5 J7 J9 J11 J12":  "J1–J3, J5–J11 (every 2nd), J12",
		"P3 P6 P9 P12 Q3 Q6 Q9 Q12":  "P3–P12 (every 3rd), Q3–Q12 (every 3rd)",
		"B1 B2 B3 B51 B52 B53 upper": "B1–B3, B51–B53, upper",
		"T4 T4 T4 T4":                "T4, T4, T4, T4",
	} {
		if got := steps(strings.Fields(in)); got != want {
			t.Errorf("steps(%q) = %q, want %q", in, got, want)
		}
	}
}

// What the font lacks is replaced, and only that.
func TestClean(t *testing.T) {
	for in, want := range map[string]string{"1 → 2 ≥ 3 − ½": "1 → 2 ≥ 3 − ½", "✗ no": "× no", "⅓ of": "1/3 of", "漢": "?"} {
		if got := clean(in); got != want {
			t.Errorf("clean(%q) = %q, want %q", in, got, want)
		}
	}
}
