package language

import (
	"slices"
	"strconv"
	"strings"
	"testing"
)

// mirror is a made-up language: enough to try every kind of form.
func mirror(t *testing.T) *Catalogue {
	t.Helper()
	c := &Catalogue{Code: "xx", Locale: "de-DE", Dates: Dates{Months: [12]string{4: "Mai"}, Days: [12]string{3: "Mi."},
		Day: func(weekday string, day int, month string, year int) string {
			return strings.TrimSpace(weekday + " " + string(rune('0'+day/10)) + string(rune('0'+day%10)) + ". " + month)
		}, Numbers: func(y, m, d int) string { return string(rune('0'+d/10)) + "." + string(rune('0'+m)) }}}
	err := c.Add("mirror.txt", "# a remark\nmat layer %d\n  Lage %d\nDeck %s, %s: %d buckets\n  %[3]d Eimer: %[2]s auf %[1]s\n"+
		"resin\n\tHarz\nsoft\\nresin\n  weiches\\nHarz\nabove %s m it crazes\n  über %s m reißt es\n%s and %s\n  %s und %s\nkept on %v\n  liegt auf %v\n")
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestSay(t *testing.T) {
	for _, x := range []struct{ why, english, want string }{
		{"a form, its holes in the order of the other language", "Deck main, mat layer 2: 13 buckets", "13 Eimer: Lage 2 auf main"},
		{"a capital where the English has one", "Resin", "Harz"},
		{"a small letter where the English has one", "mat layer 3", "Lage 3"},
		{"numbers with the decimal mark, and their units", "12.5 kg", "12,5 kg"},
		{"a text that has the decimal mark already", "Above 0,8 m it crazes.", "Über 0,8 m reißt es."},
		{"sentences one by one", "Resin. Mat layer 1; resin.", "Harz. Lage 1; Harz."},
		{"marks of workings stay where they are", "Resin. [12] [13]", "Harz. [12] [13]"},
		{"a name that a person gave is no text", "Deck A. Alder. main, resin: 2 buckets", "2 Eimer: Harz auf A. Alder. main"},
		{"a date", "Wed 20 May", "Mi. 20. Mai"},
		{"a date in figures", "2026-05-20", "2.5"},
		{"a text that stays as it is", "Kept on rack 2.", "Liegt auf rack 2."},
		{"lines", "soft\nresin", "weiches\nHarz"},
		{"what has no form stays English beside what has one", "Unheard of. Resin.", "Unheard of. Harz."},
		{"places in standards keep their points", "EN 1991-1-4 4.3.2", "EN 1991-1-4 4.3.2"},
	} {
		s := NewSpeaker(mirror(t), "main", "A. Alder. main")
		if got := s.Say(x.english); got != x.want {
			t.Errorf("%s: %q gives %q, want %q", x.why, x.english, got, x.want)
		} else if again := s.Say(got); again != got {
			t.Errorf("%s: said again %q becomes %q", x.why, got, again)
		}
	}
}

func TestMissingNamesWhatHasNoForm(t *testing.T) {
	s := NewSpeaker(mirror(t))
	s.Say("Resin. Quite unheard of 7; resin.")
	if got := s.Missing(); !slices.Equal(got, []string{"Quite unheard of 7"}) {
		t.Errorf("missing: %q", got)
	}
	if s.Knows("Quite unheard of 8") || !s.Knows("resin") {
		t.Error("Knows does not agree with what has a form")
	}
}

// Without a speaker papers are in English: every text is as it was, bytes and all.
func TestNobodySpeaksEnglish(t *testing.T) {
	var s *Speaker
	for _, text := range []string{"", "Deck main", "0,8 m", "Wed 20 May"} {
		if got := s.Say(text); got != text {
			t.Errorf("%q became %q", text, got)
		}
	}
	if s.Code() != "en" || s.Locale() != "" || s.Missing() != nil || !s.Knows("anything at all") {
		t.Error("a nil speaker is not English")
	}
	if NewSpeaker(nil, "main") != nil {
		t.Error("no catalogue is a language")
	}
}

// What cannot be used of a catalogue is told with its line.
func TestFaultsOfACatalogue(t *testing.T) {
	for text, want := range map[string]string{
		"one\ntwo\n  zwei\n":               "no.txt:2: the form before has no translation: one",
		"  zwei\n":                         "no.txt:1: a translation without a form before it",
		"%s of %s\n  %s\n":                 "no.txt:2: the translation leaves a hole out of: %s of %s",
		"%s\n  %s von %s\n":                "no.txt:2: the translation has more holes than: %s",
		"one\n  eins\none\n  zwei\n":       "no.txt:4: two translations of: one",
		"one\n":                            "no.txt:2: the last form has no translation: one",
		"%[1]s here\n  %s hier\n":          "no.txt:2: the English form names its holes in order: %[1]s here",
		"it is %s % wet\n  %s % sind nass": "",
	} {
		err := (&Catalogue{}).Add("no.txt", text)
		switch {
		case want == "" && err != nil:
			t.Errorf("%q: %v", text, err)
		case want != "" && (err == nil || err.Error() != want):
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

// Lettering that was said and is told again within a sentence stays; a name may stand before another, or before a number.
func TestWhatIsSaidAlready(t *testing.T) {
	c := &Catalogue{Code: "de", Locale: "de-DE", Dates: Dates{Months: [12]string{4: "Mai"}, Days: [12]string{0: "So."},
		Day: func(weekday string, day int, month string, _ int) string {
			return weekday + " " + strconv.Itoa(day) + ". " + month
		}}}
	if err := c.Add("t.txt", "Exit\n  Ausgang\nleft out: %s\n  fehlt: %s\nweakest: %s %s, %s\n  schwach: %s %s, %s\nMay\n  Mai\n"); err != nil {
		t.Fatal(err)
	}
	s := NewSpeaker(c, "main", "RL1")
	if NewSpeaker(c).Knows("left out: Ausgang") {
		t.Error("a word of another language is known before it was said")
	}
	s.Say("Exit")
	for english, want := range map[string]string{"left out: Ausgang": "fehlt: Ausgang", "left out: main RL1": "fehlt: main RL1",
		"left out: main T1–T3": "fehlt: main T1–T3"} {
		if got := s.Say(english); got != want {
			t.Errorf("%s: %q, want %q", english, got, want)
		}
	}
	if s.Knows("left out: main hatch") {
		t.Error("a word beside a name is taken for a name")
	}
	// A hole does not cut a date in two.
	if got := s.Say("weakest: Sun 17 May, 5"); got == "schwach: So. 17 Mai, 5" {
		t.Errorf("got %q", got)
	}
}

// Texts that people write may hold anything: no text takes for ever, and none stops the program.
func FuzzSay(f *testing.F) {
	for _, text := range []string{"Deck a, b: 1 buckets", "a and b and c and d and e", "%s", "\x00", strings.Repeat(" and ", 50), "1.2.3"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 400 {
			return
		}
		s := NewSpeaker(mirror(t), "main")
		once := s.Say(text)
		if again := s.Say(once); again != once {
			t.Errorf("%q: said again it changes from %q to %q", text, once, again)
		}
	})
}
