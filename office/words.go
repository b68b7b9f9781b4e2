package office

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"gelwright/store"
)

// strokes are letters that no mark is taken from to make them plain.
var strokes = strings.NewReplacer("ß", "ss", "ø", "o", "æ", "ae", "œ", "oe", "ł", "l", "đ", "d", "ð", "d", "þ", "th", "ı", "i")

// spelt are umlauts as they are written where a keyboard has none; both ways are one word.
var spelt = strings.NewReplacer("ae", "a", "oe", "o", "ue", "u")

// Fold is a text as it is looked for: in small letters without marks, so that Müller, MUELLER and muller are one word. What begins
// like a text folds to what the text's fold begins with, so that the beginning of a word finds it.
func Fold(s string) string {
	plain := strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return unicode.ToLower(r)
	}, norm.NFKD.String(s))
	return spelt.Replace(strokes.Replace(plain))
}

// mostWord is how many letters of a word are kept to look for.
const mostWord = 40

// Words are the different words of a text, folded, in the order in which they stand: runs of letters and digits.
func Words(s string) []string {
	seen, out := map[string]bool{}, []string{}
	for _, w := range strings.FieldsFunc(Fold(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if r := []rune(w); len(r) > mostWord {
			w = string(r[:mostWord])
		}
		if !seen[w] {
			seen[w] = true
			out = append(out, w)
		}
	}
	return out
}

// Where says what kind of thing some words were found in.
type Where string

// The kinds of things that are searched, in the order in which answers stand.
const (
	InTitle    Where = "title"    // title and site of a job, as its roof names them
	InPlace    Where = "place"    // sheets of sites
	InCustomer Where = "customer" // names, addresses, telephones and mail
	InCrew     Where = "crew"
	InNote     Where = "note" // notes, reasons and what is waited for
	InFile     Where = "file" // names of files
	InRoof     Where = "roof" // words in the roof file
	InHistory  Where = "history"
)

// Wheres are all of them in the order in which answers stand.
func Wheres() []Where {
	return []Where{InTitle, InPlace, InCustomer, InCrew, InNote, InFile, InRoof, InHistory}
}

// Text is a text that is searched: Place says where in its sheet it stands.
type Text struct {
	In    Where
	Place string
	Text  string
}

// Texts are reason, waits and note.
func (j Job) Texts() []Text {
	out := []Text{{InNote, "why", j.Why}, {InNote, "note", j.Note}}
	for _, w := range j.Awaits {
		out = append(out, Text{InNote, "waits", w.What})
	}
	return out
}

// Texts are everything written of a customer.
func (c Customer) Texts() []Text {
	return []Text{{InCustomer, "name", c.Name}, {InCustomer, "address", strings.Join(c.Address, ", ")},
		{InCustomer, "telephone", c.Telephone}, {InCustomer, "telephone, digits", digits(c.Telephone)}, {InCustomer, "mail", c.Mail},
		{InNote, "note", c.Note}}
}

// digits are the digits of a telephone number as one word: it is looked for without the gaps that somebody else writes.
func digits(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return r
		}
		return -1
	}, s)
}

// Texts are everything written of a site.
func (s Site) Texts() []Text {
	return []Text{{InPlace, "name", s.Name}, {InPlace, "address", strings.Join(s.Address, ", ")}, {InNote, "access", s.Access},
		{InNote, "note", s.Note}}
}

// Texts are everything written of a crew.
func (c Crew) Texts() []Text {
	return []Text{{InCrew, "name", c.Name}, {InCrew, "mark", c.Mark}, {InCrew, "people", strings.Join(c.People, ", ")},
		{InNote, "note", c.Note}}
}

// Texts are the note of a day.
func (d Day) Texts() []Text { return []Text{{InNote, "day " + d.Date, d.Note}} }

// MostAnswers is how many answers of a kind are given where no number is asked for.
const MostAnswers = 20

// Question is what somebody looks for.
type Question struct {
	// Text is words; each must begin a word of what is found, capitals and marks aside.
	Text string
	// Most answers of each kind, 1 to store.MostPage; 0 is MostAnswers.
	Most int
}

// Check says what of a question cannot be answered.
func (q *Question) Check() error {
	if q.Most < 0 || q.Most > store.MostPage {
		return refused("most", "", "%d answers of a kind: 1 to %d may be asked for", q.Most, store.MostPage)
	}
	return line("find", q.Text)
}

// Found are the answers of one kind: all of them counted, the first of them given.
type Found struct {
	In    Where `json:"in"`
	Total int   `json:"total"`
	Hits  []Hit `json:"hits"`
}

// Hit is one place where all words stand.
type Hit struct {
	// Kind and ID are the sheet, Job the job that it belongs to with its title; empty where it belongs to none.
	Kind  Kind     `json:"kind"`
	ID    store.ID `json:"id"`
	Job   store.ID `json:"job"`
	Title string   `json:"title"`
	// Place says where it stands: "note", "decks[main].name", "state 3".
	Place string `json:"place"`
	Text  string `json:"text"`
}
