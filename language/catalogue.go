package language

import (
	"fmt"
	"sort"
	"strings"
)

// Catalogue is the forms of one language, read once and not changed after.
type Catalogue struct {
	// Code of the language as ISO 639 has it, "de"; Locale with the country that dates and decimal marks follow, "de-DE".
	Code, Locale string
	// Dates writes the parts of a day.
	Dates Dates

	exact map[string]string
	// led are forms with holes by the first word of their text, open those that begin with a hole; the wordiest first.
	led  map[string][]*form
	open []*form
}

// form is a sentence with holes, parted at them.
type form struct {
	key     string
	literal []string // one more than holes
	holes   []byte   // 's' any text, 'd' a number, 'v' a text that stays as it is
	say     []part
	words   int // bytes of literal text
}

// part of a translated form: literal text, then the hole of that number from 0; -1 is no hole.
type part struct {
	literal string
	hole    int
}

// English is the code of the language that the engine speaks by itself.
const English = "en"

// Codes are the languages that papers can be made in, English first; the forms are in package known.
func Codes() []string { return []string{English, "de"} }

// Fault is a line of a catalogue that cannot be used.
type Fault struct {
	Name    string
	Line    int
	Message string
}

// Error names the line and what is wrong with it.
func (f *Fault) Error() string { return fmt.Sprintf("%s:%d: %s", f.Name, f.Line, f.Message) }

// Add reads forms from the text of a catalogue and adds them. A form is a line, its translation the next, set in by a tab or
// spaces; "#" begins a remark, \n is a line break within a form. Holes are %s for text, %d for a number, %v for what stays as it
// is; the translation names them in order, or by place as %[2]s. The error is a *Fault: a form twice with different words, or
// holes that do not agree.
func (c *Catalogue) Add(name, text string) error {
	if c.exact == nil {
		c.exact, c.led = map[string]string{}, map[string][]*form{}
	}
	seen := map[string]string{}
	key := ""
	for i, line := range strings.Split(text, "\n") {
		trimmed := strings.TrimSpace(line)
		switch {
		case trimmed == "" || strings.HasPrefix(trimmed, "#"):
			continue
		case line[0] != ' ' && line[0] != '\t':
			if key != "" {
				return &Fault{name, i + 1, "the form before has no translation: " + key}
			}
			key = strings.ReplaceAll(trimmed, `\n`, "\n")
			continue
		case key == "":
			return &Fault{name, i + 1, "a translation without a form before it"}
		}
		say := strings.ReplaceAll(trimmed, `\n`, "\n")
		if was, twice := seen[key]; twice && was != say {
			return &Fault{name, i + 1, "two translations of: " + key}
		}
		seen[key] = say
		if err := c.form(key, say); err != "" {
			return &Fault{name, i + 1, err}
		}
		key = ""
	}
	if key != "" {
		return &Fault{name, strings.Count(text, "\n") + 1, "the last form has no translation: " + key}
	}
	c.sort()
	return nil
}

// form adds one form; the text returned says what is wrong with it.
func (c *Catalogue) form(key, say string) string {
	literal, holes, places := parted(key)
	if len(holes) == 0 {
		c.exact[key] = say
		return ""
	}
	for _, at := range places {
		if at >= 0 {
			return "the English form names its holes in order: " + key
		}
	}
	f := &form{key: key, literal: literal, holes: holes}
	for _, l := range literal {
		f.words += len(l)
	}
	saidLiteral, saidHoles, places := parted(say)
	used := make([]bool, len(holes))
	for i, l := range saidLiteral {
		p := part{l, -1}
		if i < len(saidHoles) {
			p.hole = i
			if places[i] >= 0 {
				p.hole = places[i]
			}
			if p.hole >= len(holes) {
				return "the translation has more holes than: " + key
			}
			used[p.hole] = true
		}
		f.say = append(f.say, p)
	}
	for _, u := range used {
		if !u {
			return "the translation leaves a hole out of: " + key
		}
	}
	first := firstWord(literal[0])
	if first == "" {
		c.open = append(c.open, f)
	} else {
		c.led[first] = append(c.led[first], f)
	}
	return ""
}

// sort puts the wordiest forms first: they say most surely what a text was made of.
func (c *Catalogue) sort() {
	by := func(list []*form) {
		sort.SliceStable(list, func(i, k int) bool { return list[i].words > list[k].words })
	}
	by(c.open)
	for _, list := range c.led {
		by(list)
	}
}

// firstWord is the whole word that a literal begins with, nothing where it ends within one.
func firstWord(literal string) string {
	word, _, whole := strings.Cut(literal, " ")
	if !whole {
		return ""
	}
	return word
}

// parted cuts a form at its holes; places are the numbers written in them, from 0, -1 for none.
func parted(text string) (literal []string, holes []byte, places []int) {
	var b strings.Builder
	for i := 0; i < len(text); i++ {
		if text[i] != '%' || i+1 >= len(text) {
			b.WriteByte(text[i])
			continue
		}
		at, k := -1, i+1
		if k+2 < len(text) && text[k] == '[' && text[k+2] == ']' {
			at, k = int(text[k+1]-'1'), k+3
		}
		if k >= len(text) || text[k] != 's' && text[k] != 'd' && text[k] != 'v' {
			b.WriteByte(text[i]) // a per cent sign
			continue
		}
		literal, holes, places = append(literal, b.String()), append(holes, text[k]), append(places, at)
		b.Reset()
		i = k
	}
	return append(literal, b.String()), holes, places
}
