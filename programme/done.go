package programme

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// Done is a stage that is finished. A zero End is not known, and now for the last that is
// done; a zero Start its usual length before.
type Done struct {
	// Key of the stage, its name as it is printed, of the pass whose parts it names, or its
	// kind.
	Key        string
	Start, End time.Time
}

// otherWords are words of the trade for a kind of work, letters only.
var otherWords = map[string]Kind{
	"stripping": Strip, "boards": Boards, "boarding": Boards, "decking": Boards, "board": Boards,
	"trim": Trims, "bandage": Details, "bandages": Details, "details": Details, "detail": Details, "joints": Details,
	"laminating": Laminate, "lamination": Laminate, "mat": Laminate, "glass": Laminate,
	"topcoat": TopCoat, "coat": TopCoat, "coating": TopCoat, "flashing": Flash, "cleanup": CleanUp, "cleaningup": CleanUp,
	"handover": CleanUp,
}

// plain is a word without its capitals, spaces and signs.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, s)
}

// partsOf parts "laminate, parts 2 to 4 of 9" into "laminate", 2 and 4; a name without a
// part has 0 and 0.
func partsOf(name string) (base string, from, to int) {
	words := strings.Fields(strings.ReplaceAll(strings.ToLower(name), ",", " , "))
	for i, w := range words {
		if w != "part" && w != "parts" || i+1 >= len(words) {
			continue
		}
		n, err := strconv.Atoi(words[i+1])
		if err != nil {
			break
		}
		from, to = n, n
		if i+3 < len(words) && words[i+2] == "to" {
			if last, err := strconv.Atoi(words[i+3]); err == nil {
				to = last
			}
		}
		return strings.TrimRight(strings.ReplaceAll(strings.Join(words[:i], " "), " ,", ","), ", "), from, to
	}
	return name, 0, 0
}

// matches reports whether a stage is meant by a word.
func (s *Stage) matches(key string) bool {
	if key == s.Key || strings.HasPrefix(s.Key, key+".") || strings.HasSuffix(s.Key, "."+key) || strings.Contains(s.Key, "."+key+".") {
		return true
	}
	word := plain(key)
	if word == plain(s.Key) || word == plain(s.Name) || s.isKind(word) {
		return true
	}
	base, from, to := partsOf(key)
	own, part, _ := partsOf(s.Name)
	if from == 0 {
		return part > 0 && word == plain(own)
	}
	return from <= part && part <= to && (plain(base) == plain(own) || s.isKind(plain(base)))
}

// isKind reports whether a plain word names the stage's kind.
func (s *Stage) isKind(word string) bool {
	return word == plain(string(s.Kind)) || otherWords[word] == s.Kind && s.Kind != ""
}

// Knows reports whether a word names a stage.
func (p *Prepared) Knows(key string) bool {
	for i := range p.in.Stages {
		if p.in.Stages[i].matches(key) {
			return true
		}
	}
	return false
}

// Words are the names by which stages are printed and may be named, in order; the parts of
// one piece of work once.
func (p *Prepared) Words() []string {
	var out []string
	for i := range p.in.Stages {
		name, part, _ := partsOf(p.in.Stages[i].Name)
		name = strings.TrimRight(name, ", ")
		if part == 0 {
			out = append(out, name)
			continue
		}
		whole := fmt.Sprintf("%s (parts 1 to %d)", name, part)
		if part > 1 && len(out) > 0 {
			out[len(out)-1] = whole
			continue
		}
		out = append(out, whole)
	}
	return out
}

// Taken names the stages that are taken for done though nobody named them: what comes before the last that is. Parts of one
// piece of work are told as the work.
func (p *Prepared) Taken(done []Done) []string {
	marked, err := p.marked(done)
	if err != nil {
		return nil
	}
	var out, open []string
	for k, d := range marked {
		name, _, _ := strings.Cut(p.in.Stages[k].Name, ", part ")
		switch {
		case d != nil:
			out = append(out, open...)
			open = nil
		case len(open) == 0 || open[len(open)-1] != name:
			open = append(open, name)
		}
	}
	return out
}

// done finds the first stage that is left, and when the one before it ran.
func (p *Prepared) done(now time.Time, done []Done) (first int, begun, ended time.Time, err error) {
	marked, err := p.marked(done)
	if err != nil {
		return 0, begun, ended, err
	}
	last := -1
	for k := range marked {
		if marked[k] != nil {
			last = k
		}
	}
	if last < 0 {
		return 0, begun, ended, nil
	}
	// What comes before something that is done is done too.
	if err := p.inOrder(marked[:last+1], now); err != nil {
		return 0, begun, ended, err
	}
	d := marked[last]
	if ended = d.End; ended.IsZero() {
		ended = now
	}
	if begun = d.Start; begun.IsZero() {
		begun = ended.Add(-time.Duration(p.in.Stages[last].Quarters) * Quarter)
	}
	return last + 1, begun, ended, nil
}

// marked lays what is done beside the stages.
func (p *Prepared) marked(done []Done) ([]*Done, error) {
	marked := make([]*Done, len(p.in.Stages))
	for i := range done {
		found, deck := false, ""
		for k := range p.in.Stages {
			s := &p.in.Stages[k]
			if !s.matches(done[i].Key) {
				continue
			}
			if found && s.Deck != deck {
				return nil, fmt.Errorf("%q is work on several decks. Write which, such as %q", done[i].Key, s.Name)
			}
			marked[k], found, deck = &done[i], true, s.Deck
		}
		if !found {
			return nil, fmt.Errorf("there is no stage %q. The stages are %s", done[i].Key, strings.Join(p.Words(), "; "))
		}
	}
	return marked, nil
}

// inOrder finds fault with work that ended after now, or before work that comes before it.
func (p *Prepared) inOrder(marked []*Done, now time.Time) error {
	clock := func(t time.Time) string { return t.In(p.zone()).Format("2006-01-02 15:04") }
	before := -1
	for k, d := range marked {
		if d == nil || d.End.IsZero() {
			continue
		}
		if d.End.After(now) {
			return fmt.Errorf("%s ends at %s, after now. Give a time that has passed", d.Key, clock(d.End))
		}
		if before >= 0 && d != marked[before] && d.End.Before(marked[before].End) {
			return fmt.Errorf("%s is said to be done at %s, before %s at %s, which comes before it. Give the times as the work was done", d.Key,
				clock(d.End), marked[before].Key, clock(marked[before].End))
		}
		before = k
	}
	return nil
}
