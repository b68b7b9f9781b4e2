package german

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"gelwright/language"
)

func TestEveryFileIsRead(t *testing.T) {
	if _, err := readAll(); err != nil {
		t.Fatal(err)
	}
	if got := language.NewSpeaker(Catalogue()).Say("Wet resin is slippery."); got != "Nasses Harz ist rutschig." {
		t.Errorf("got %q", got)
	}
}

func TestDays(t *testing.T) {
	// DIN 5008 writes a day as 20. Mai 2026 or 20.05.2026 (from memory).
	s := language.NewSpeaker(Catalogue())
	for english, want := range map[string]string{"Wed 20 May 2026": "Mi. 20. Mai 2026", "2026-05-20": "20.05.2026", "20 May": "20. Mai",
		"Tue 12.05.2026": "Di. 12.05.2026"} {
		if got := s.Say(english); got != want {
			t.Errorf("%s: %q, want %q", english, got, want)
		}
	}
}

var figure = regexp.MustCompile(`[0-9]+(?:[.,][0-9]+)?`)

// No figure is lost, added or changed between the languages: a slip here is a wrong dose. Figures that German writes as words, or
// the other way round, are counted in digits in both.
func TestFiguresAgree(t *testing.T) {
	figures := func(text string) []string {
		text = regexp.MustCompile(`%\[[0-9]\]`).ReplaceAllString(text, "%")
		found := figure.FindAllString(text, -1)
		for i := range found {
			found[i] = strings.ReplaceAll(found[i], ",", ".")
		}
		slices.Sort(found)
		return found
	}
	eachForm(t, func(place, english, german string) {
		if !slices.Equal(figures(english), figures(german)) {
			t.Errorf("%s: figures %v in %q, %v in %q", place, figures(english), english, figures(german), german)
		}
	})
}

// A hole keeps the unit that stands behind it: where words change places and holes do not, minutes are read as millilitres.
func TestUnitsStayWithTheirHoles(t *testing.T) {
	hole := regexp.MustCompile(`%(?:\[([0-9])\])?[sdv](?: ((?:ml|min|°C|kg|g|mm|m|m²|h|K|kN/m²|g/m²|kg/m²|l|l/s|N|kN|m/s|W/m²K|%)(?:[ ,;:.()]|$)))?`)
	unitsOf := func(text string) map[int]string {
		out := map[int]string{}
		for i, m := range hole.FindAllStringSubmatch(text, -1) {
			if m[1] != "" {
				i = int(m[1][0] - '1')
			}
			out[i] = strings.TrimRight(m[2], " ,;:.()")
		}
		return out
	}
	eachForm(t, func(place, english, german string) {
		want, got := unitsOf(english), unitsOf(german)
		for i, u := range want {
			if got[i] != u {
				t.Errorf("%s: hole %d is followed by %q in %q, by %q in %q", place, i+1, u, english, got[i], german)
			}
		}
	})
}

// eachForm calls with every form and its translation, and where they stand.
func eachForm(t *testing.T, call func(place, english, german string)) {
	t.Helper()
	files, err := texts.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		raw, err := texts.ReadFile(f.Name())
		if err != nil {
			t.Fatal(err)
		}
		key := ""
		for i, line := range strings.Split(string(raw), "\n") {
			switch {
			case line == "" || line[0] == '#':
			case line[0] != ' ':
				key = line
			default:
				call(fmt.Sprintf("%s:%d", f.Name(), i+1), key, strings.TrimSpace(line))
			}
		}
	}
}

// Nobody is called du: papers of the crew say what is done in the infinitive ("Harz mischen"), office and customer are called Sie
// (docs/decisions/0013).
func TestNobodyIsCalledDu(t *testing.T) {
	familiar := regexp.MustCompile(`(?i)(^|[^\p{L}])(du|dich|dir|dein|deine|deinen|deinem|deiner|deines|euch|euer|eure|nimm|lies|gib|miss|wirf|sieh|wähle)([^\p{L}]|$)`)
	eachForm(t, func(place, _, german string) {
		if familiar.MatchString(german) {
			t.Errorf("%s: %q", place, german)
		}
	})
}
