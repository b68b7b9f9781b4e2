package language

import (
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Speaker says texts in one language and remembers what it had no form for. A nil Speaker says everything as it is, in
// English. It is for one paper at a time: not for several goroutines.
type Speaker struct {
	c     *Catalogue
	names map[string]bool
	known map[string]said
	// made are texts that it has said: said again they stay as they are.
	made    map[string]bool
	missing map[string]bool
	// left is how many parts may still be tried of the text that is being said.
	left int
}

type said struct {
	text string
	ok   bool
	// deep is how deep within another text it was asked; a failure holds from there on.
	deep int
}

// NewSpeaker returns a speaker of a catalogue's language. names are what a person has called things (job, decks, people):
// they are the same in every language.
func NewSpeaker(c *Catalogue, names ...string) *Speaker {
	if c == nil {
		return nil
	}
	s := &Speaker{c: c, names: map[string]bool{}, known: map[string]said{}, made: map[string]bool{}, missing: map[string]bool{}}
	s.Call(names...)
	return s
}

// Call adds names that are the same in every language.
func (s *Speaker) Call(names ...string) {
	if s == nil {
		return
	}
	for _, n := range names {
		if n = strings.TrimSpace(n); n != "" {
			s.names[n] = true
			s.names[capitalOf(n)] = true
		}
	}
}

// Locale is that of the language, nothing for English.
func (s *Speaker) Locale() string {
	if s == nil {
		return ""
	}
	return s.c.Locale
}

// Code is that of the language, "en" for a nil Speaker.
func (s *Speaker) Code() string {
	if s == nil {
		return "en"
	}
	return s.c.Code
}

// Say returns a text in the language. Where it has no form for all of it, the sentences are said of which it has, the others
// stay English and are kept for Missing.
func (s *Speaker) Say(text string) string {
	if s == nil || s.made[text] {
		return text
	}
	english := s.c.pointedAgain(text)
	x, ok := s.try(english, 0)
	if !ok {
		x = s.partly(english)
	}
	s.Made(x)
	s.Made(strings.ReplaceAll(x, "\n", " "))
	s.Made(strings.Split(x, "\n")...)
	return x
}

// SayAll returns texts in the language.
func (s *Speaker) SayAll(texts []string) []string {
	if s == nil {
		return texts
	}
	out := make([]string, len(texts))
	for i, t := range texts {
		out[i] = s.Say(t)
	}
	return out
}

// Knows reports whether all of a text has a form.
func (s *Speaker) Knows(text string) bool {
	if s == nil {
		return true
	}
	_, ok := s.try(s.c.pointedAgain(text), 0)
	return ok || s.made[text]
}

// Made notes texts that are in the language already: lines that a paragraph was broken into.
func (s *Speaker) Made(texts ...string) {
	if s == nil {
		return
	}
	for _, t := range texts {
		s.made[t] = true
		if !s.known[t].ok {
			delete(s.known, t)
		}
	}
}

// Missing are the texts that had no form, in order of their letters.
func (s *Speaker) Missing() []string {
	if s == nil {
		return nil
	}
	out := make([]string, 0, len(s.missing))
	for t := range s.missing {
		out = append(out, t)
	}
	sort.Strings(out)
	return out
}

// most nested forms and steps of a match: texts are written by people and by this program, but files hold what they hold.
const mostDeep, mostSteps, mostTries = 7, 4000, 20000

// try says a text whole; false where any of it has no form.
func (s *Speaker) try(text string, deep int) (string, bool) {
	if k, ok := s.known[text]; ok && (k.ok || deep >= k.deep) {
		return k.text, k.ok
	}
	if deep == 0 {
		s.left = mostTries
	}
	if s.left--; s.left < 0 || deep > mostDeep {
		return text, false
	}
	x, ok := s.whole(text, deep)
	if !ok {
		x, ok = s.split(text, deep)
	}
	if s.left >= 0 || ok {
		s.known[text] = said{x, ok, deep}
	}
	return x, ok
}

// whole says what one form, name or number is.
func (s *Speaker) whole(text string, deep int) (string, bool) {
	core := strings.TrimSpace(text)
	if core == "" {
		return text, true
	}
	if core != text {
		at := strings.Index(text, core)
		x, ok := s.try(core, deep+1)
		return text[:at] + x + text[at+len(core):], ok
	}
	if s.names[core] {
		return core, true
	}
	if x, ok := s.words(core, deep); ok {
		return x, true
	}
	if x, ok := s.figures(core); ok {
		return x, true
	}
	// What begins a line and what ends a sentence stand there in every language.
	if begin, body := beginOf(core); begin != "" {
		if x, ok := s.try(body, deep+1); ok {
			return begin + x, true
		}
	}
	if body, end := endOf(core); end != "" {
		if x, ok := s.try(body, deep+1); ok {
			return x + end, true
		}
	}
	// Lettering is at times told again within a sentence: what found no room on a drawing.
	return core, s.made[core] || s.named(core)
}

// named reports whether a text is a name with another name or a code after it: "main RL1", "upper T1–T3".
func (s *Speaker) named(text string) bool {
	for n := range s.names {
		if rest, after := strings.CutPrefix(text, n+" "); after {
			if _, plain := s.figures(rest); plain || s.names[rest] {
				return true
			}
		}
	}
	return false
}

// words says what has a form: as it is written, or with the first letter the other way.
func (s *Speaker) words(text string, deep int) (string, bool) {
	for _, way := range [...]func(string) string{nil, smallOf, capitalOf} {
		as := text
		if way != nil {
			if as = way(text); as == text {
				continue
			}
		}
		x, ok := s.c.exact[as]
		if !ok {
			x, ok = s.formed(as, deep)
		}
		if ok {
			if way != nil && unicode.IsUpper(firstRune(text)) {
				x = capitalOf(x)
			}
			return x, true
		}
	}
	return text, false
}

// formed says a text by the wordiest form that it can have been made of.
func (s *Speaker) formed(text string, deep int) (string, bool) {
	word, _, _ := strings.Cut(text, " ")
	for _, list := range [...][]*form{s.c.led[word], s.c.open} {
		for _, f := range list {
			if f.words >= len(text) || !strings.HasPrefix(text, f.literal[0]) || !strings.HasSuffix(text, f.literal[len(f.literal)-1]) {
				continue
			}
			steps := mostSteps
			if args, ok := s.match(f, text[len(f.literal[0]):], 0, deep, &steps); ok {
				var b strings.Builder
				for _, p := range f.say {
					b.WriteString(p.literal)
					if p.hole >= 0 {
						b.WriteString(args[p.hole])
					}
				}
				return b.String(), true
			}
		}
	}
	return text, false
}

// match finds what fills the holes of a form from the given one on, each said in the language.
func (s *Speaker) match(f *form, rest string, hole, deep int, steps *int) ([]string, bool) {
	end := f.literal[hole+1]
	last := hole+1 == len(f.holes)
	for at := 0; at <= len(rest); at++ {
		if *steps--; *steps < 0 {
			return nil, false
		}
		if last {
			at = len(rest) - len(end)
		} else {
			k := strings.Index(rest[at:], end)
			if k < 0 || end == "" {
				return nil, false
			}
			at += k
		}
		if at < 1 || rest[at:at+len(end)] != end {
			if last {
				return nil, false
			}
			continue
		}
		if x, ok := s.fills(f.holes[hole], rest[:at], deep); ok {
			if last {
				return []string{x}, true
			}
			if more, ok := s.match(f, rest[at+len(end):], hole+1, deep, steps); ok {
				return append([]string{x}, more...), true
			}
		}
		if last {
			return nil, false
		}
	}
	return nil, false
}

// fills says what stands in a hole; false where it cannot stand there.
func (s *Speaker) fills(hole byte, text string, deep int) (string, bool) {
	if hole == 'd' {
		if strings.ContainsFunc(text, unicode.IsLetter) {
			return "", false
		}
		return s.figures(text)
	}
	if hole == 'v' {
		return text, true
	}
	if cutsDate(text) {
		return "", false
	}
	return s.try(text, deep+1)
}

func firstRune(s string) rune { r, _ := utf8.DecodeRuneInString(s); return r }

func capitalOf(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

func smallOf(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToLower(r)) + s[n:]
}
