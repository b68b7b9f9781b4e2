package language

import (
	"regexp"
	"strings"
	"unicode"

	"gelwright/unit"
)

// separators part a text into what is said apart, the strongest first; the first of a pair parts, the second stands there then.
var separators = [...]string{"\n", ". ", "; ", "? ", " · ", "  ·  ", "  —  ", ": ", " – ", " (", ") ", " | ", "/ ", ", ", " + ", " "}

// clauses is how many of the separators part what can stay English beside what is said: sentences and lines, no lists.
const clauses = 4

// split says a text part by part where all parts have forms.
func (s *Speaker) split(text string, deep int) (string, bool) {
	for i, sep := range separators {
		if !strings.Contains(text, sep) {
			continue
		}
		if i == len(separators)-1 && !figured(text) {
			break // a row of words is no sentence of words
		}
		parts := s.cut(text, sep)
		if len(parts) < 2 {
			continue // it stands within a name
		}
		out := make([]string, len(parts))
		all := true
		for k, p := range parts {
			var ok bool
			if out[k], ok = s.try(p, deep+1); !ok {
				all = false
				break
			}
		}
		if all {
			return strings.Join(out, sep), true
		}
	}
	return text, false
}

// partly says the sentences that have forms, and notes the others.
func (s *Speaker) partly(text string) string {
	for _, sep := range separators[:clauses] {
		if !strings.Contains(text, sep) {
			continue
		}
		parts := s.cut(text, sep)
		if len(parts) < 2 {
			continue
		}
		for i, p := range parts {
			if x, ok := s.try(p, 0); ok {
				parts[i] = x
			} else {
				parts[i] = s.partly(p)
			}
		}
		return strings.Join(parts, sep)
	}
	if core, _ := endOf(strings.TrimSpace(text)); core != "" {
		s.missing[core] = true
	}
	return s.c.marked(text, text)
}

// cut parts a text at a separator, but not within a name.
func (s *Speaker) cut(text, sep string) []string {
	for n := range s.names {
		if strings.Contains(n, sep) {
			text = strings.ReplaceAll(text, n, strings.ReplaceAll(n, sep, held))
		}
	}
	parts := strings.Split(text, sep)
	for i, p := range parts {
		parts[i] = strings.ReplaceAll(p, held, sep)
	}
	return parts
}

// held stands for a separator within a name while its text is parted.
const held = "\x00"

// begun is what may begin a line and says nothing: a bullet, a plus, a number.
var begun = regexp.MustCompile(`^([•☐+−–-] |[0-9]+  ?|\[[0-9]+\] )`)

// beginOf parts a text from what may begin it.
func beginOf(text string) (begin, body string) {
	at := begun.FindStringIndex(text)
	if at == nil || at[1] == len(text) {
		return "", text
	}
	return text[:at[1]], text[at[1]:]
}

// figured reports whether some of the words of a text are figures: "3 buckets", "B1 2400".
func figured(text string) bool { return strings.ContainsFunc(text, unicode.IsDigit) }

// tail is what may end a text and says nothing: marks of workings, and the mark that ends a sentence.
var tail = regexp.MustCompile(`((?: ?\[[0-9A-Za-z, ]+\])+[.,;:]?|[.,:;?!…*)]| …|:$)$`)

// endOf parts a text from what may end it.
func endOf(text string) (body, end string) {
	if at := tail.FindStringIndex(text); at != nil && at[0] > 0 {
		return text[:at[0]], text[at[0]:]
	}
	return text, ""
}

// word of letters, and what is no word though it has letters: units, codes of pieces, places in standards.
var (
	lettered = regexp.MustCompile(`[\p{L}][\p{L}\p{M}'’²³/·.%°-]*`)
	code     = regexp.MustCompile(`^[A-Z]{1,3}$|^[a-z]$`)
	// coded is a word with figures in it: "B12", "OSB/3", "C16", "ø50".
	coded = regexp.MustCompile(`[\p{L}/]*[0-9][0-9\p{L}/.:×–-]*`)
)

var units = wordsOf("m m² m³ mm mm² cm km kg g t l ml ml/l min h s d K °C °F N kN kN/m² kNm kN/m N/mm² W/m²K W/mK m²K/W W W/m² Pa kPa " +
	"MPa l/s mm/h l/min m/s kg/m² g/m² kg/m³ g/ml kg/l ppm kJ kJ/mol J/g J/kgK J/kg W/m m²/h Hz EN ISO DIN BS NA UV PDF CSV XLSX DXF SVG " +
	"JSON HTML site.pdf office.pdf workings.pdf plan.json pH dB GRP OSB/3 R² sd RMS Ah rad °")

func wordsOf(list string) map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(list) {
		out[w] = true
	}
	return out
}

// figures says what has no words in it: numbers with their units, codes, dates.
func (s *Speaker) figures(text string) (string, bool) {
	x := s.c.dated(text)
	rest := x
	for _, m := range s.c.dateWords() {
		rest = strings.ReplaceAll(rest, m, "")
	}
	for _, w := range lettered.FindAllString(coded.ReplaceAllString(rest, " "), -1) {
		w = strings.TrimRight(w, ".-/'’·")
		if w != "" && !units[w] && !code.MatchString(w) {
			return text, false
		}
	}
	return s.c.marked(text, x), true
}

// dateWords are the words that a date may hold.
func (c *Catalogue) dateWords() []string {
	var out []string
	for _, list := range [...][12]string{c.Dates.Months, c.Dates.Days} {
		for _, w := range list {
			if w != "" {
				out = append(out, w)
			}
		}
	}
	return out
}

// commaed is a decimal number with a comma.
var commaed = regexp.MustCompile(`([0-9]),([0-9])`)

// pointedAgain is an English text whose numbers have the language's decimal mark, with points and plain spaces as its forms have them.
func (c *Catalogue) pointedAgain(text string) string {
	text = strings.ReplaceAll(text, "\u00a0", " ")
	if unit.DecimalMark(c.Locale) != "," {
		return text
	}
	return commaed.ReplaceAllString(text, "$1.$2")
}

// pointed is a decimal number with a point.
var pointed = regexp.MustCompile(`(^|[^0-9.A-Za-z-])([0-9]+)\.([0-9]+)($|[^0-9.]|\.$|\.[^0-9])`)

// marked puts the language's decimal mark into numbers with a point; a text with a date has its points there.
func (c *Catalogue) marked(was, text string) string {
	mark := unit.DecimalMark(c.Locale)
	if mark == "." || was != text {
		return text
	}
	for {
		x := pointed.ReplaceAllString(text, "${1}${2}"+mark+"${3}${4}")
		if x == text {
			return x
		}
		text = x
	}
}
