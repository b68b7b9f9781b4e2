// Package working keeps the trace of a number: what it is called, its value and
// unit, the formula that made it, the source of that formula, and the figures
// that went in. A tree of figures can be unfolded by any view, from the command
// line's --explain to the appendix of the job pack, so that no number is shown
// whose origin cannot be read.
//
// A figure is its working: what a formula prints is what is computed, from the inputs
// that are shown and from nothing else (see Formula). What is no closed formula is a
// named method with its inputs (see Method). Values are plain float64 with their unit
// as text; a formula holds the numbers that convert between them.
package working

import (
	"strconv"
	"strings"
)

// Standing says how much a source is worth. It is shown wherever the source is
// shown, so that a trade habit never passes for regulation.
type Standing string

const (
	// Published is a value or formula seen in the named standard, book or paper.
	Published Standing = "published"
	// Quoted is a value or formula of the named document as another public text quotes it; the
	// document itself was not seen.
	Quoted Standing = "quoted at second hand"
	// Remembered is a value recalled from the named document but not confirmed
	// against it; a person must check it before relying on it.
	Remembered Standing = "from memory, to be confirmed"
	// CommonPractice is a habit of the trade with no citable source.
	CommonPractice Standing = "common practice, no source"
	// Supplier is a figure from a supplier's data sheet that the firm has entered.
	Supplier Standing = "supplier's data"
	// Example is a figure invented to stand in for a supplier's data sheet until there is one.
	Example Standing = "invented example"
	// Given was written by the user in one of the files, or asked on the command line. A
	// default that an example file leaves out is not given; see Giver.
	Given Standing = "given"
	// Assumed is a default taken because the user's file is silent.
	Assumed Standing = "assumed"
	// Derived follows from geometry, algebra or other figures alone.
	Derived Standing = "derived"
)

// Source names where a formula or a value comes from.
type Source struct {
	// Title is the document, standard or file: "EN 1991-1-4:2005".
	Title string `json:"title"`
	// Clause is the place in it: "7.2.3, table 7.2", "deck main, edge 2".
	Clause   string   `json:"clause,omitempty"`
	Standing Standing `json:"standing"`
}

// OrUnsaid is the source, or, where there is none, that nobody says where a value comes from.
func (s Source) OrUnsaid() Source {
	if s == (Source{}) {
		return Source{Title: "nobody says where this comes from", Standing: Assumed}
	}
	return s
}

// String prints a source on one line: title, clause, and the standing where it is
// weaker than published.
func (s Source) String() string {
	text := s.Title
	if s.Clause != "" {
		if text != "" {
			text += ", "
		}
		text += s.Clause
	}
	if s.Standing != "" && s.Standing != Published && s.Standing != Derived {
		if text == "" {
			return string(s.Standing)
		}
		text += " (" + string(s.Standing) + ")"
	}
	return text
}

// Figure is one number, or one choice, with everything needed to check it.
// A figure is not changed after it is made.
type Figure struct {
	// Key names the figure for good: "deck.main.area". Empty for steps in between.
	Key string
	// Name is what it is in words: "area of deck main".
	Name string
	// Symbol is the letter the formula uses for it: "A".
	Symbol string
	// Value is the number. For a figure that is a choice in words, see Text.
	Value float64
	// Text, when set, is the figure's value in words and Value is not shown.
	Text string
	// Unit as printed: "m²", "kg", "min". Empty for a pure number.
	Unit string
	// Formula in the source's letters: "t = 1/ρf + (1−x)/(x·ρr)". The value was made by it.
	Formula string
	// Method is said in place of a formula where the value has none: "search over …".
	Method string
	// Source is where formula, method or value come from. Its standing is that of the
	// source alone; Standing gives that of the figure.
	Source Source
	// Low and High bound the value where it is uncertain; both zero when it is not.
	Low, High float64
	// Note carries a limit or a caution in one sentence.
	Note   string
	Inputs []*Figure
	// Fault says why the figure has no value: an input is missing, or one that the
	// formula does not name. A mistake of the program, never of a file.
	Fault error

	formula *Formula
	compute func(in []float64) float64
}

// Given returns a figure that the user wrote; place says where ("garage.yaml, site").
func GivenFigure(symbol, name string, value float64, unit, place string) *Figure {
	return &Figure{Name: name, Symbol: symbol, Value: value, Unit: unit, Source: Source{Title: place, Standing: Given}}
}

// AssumedFigure returns a default taken because nobody gave a value; why says on what ground.
func AssumedFigure(symbol, name string, value float64, unit, why string) *Figure {
	return &Figure{Name: name, Symbol: symbol, Value: value, Unit: unit, Source: Source{Title: why, Standing: Assumed}}
}

// Giver knows where the values of a file were written. Given is a figure of a field's value:
// given where somebody wrote it there, assumed where the file is silent and a default stands.
type Giver interface {
	Given(symbol, name string, value float64, unit, field string) *Figure
}

// From is the figure of a field's value by who knows where it was written. Where nobody
// knows, it is assumed: what nobody is known to have written is nobody's word.
func From(g Giver, symbol, name string, value float64, unit, field string) *Figure {
	if g == nil {
		return AssumedFigure(symbol, name, value, unit, field+", by whom is not said")
	}
	return g.Given(symbol, name, value, unit, field)
}

// Constant returns a figure read from a source.
func Constant(symbol, name string, value float64, unit string, source Source) *Figure {
	return &Figure{Name: name, Symbol: symbol, Value: value, Unit: unit, Source: source}
}

// Choice returns a figure whose value is in words.
func Choice(name, text string, source Source, inputs ...*Figure) *Figure {
	return &Figure{Name: name, Text: text, Source: source, Inputs: inputs}
}

// Keyed returns the figure under a lasting key.
func (f *Figure) Keyed(key string) *Figure {
	f.Key = key
	return f
}

// Between returns the figure with its bounds set.
func (f *Figure) Between(low, high float64) *Figure {
	f.Low, f.High = low, high
	return f
}

// Noting returns the figure with a caution.
func (f *Figure) Noting(note string) *Figure {
	f.Note = note
	return f
}

// Quantity prints value and unit: "17.92 m²"; for a choice, the words.
func (f *Figure) Quantity() string {
	if f.Text != "" {
		return f.Text
	}
	text := Number(f.Value)
	if f.Low != 0 || f.High != 0 {
		text += " (" + Number(f.Low) + "–" + Number(f.High) + ")"
	}
	if f.Unit != "" {
		text += " " + UnitOf(f.Value, f.Unit)
	}
	return text
}

// UnitOf is the unit as it is said after a value: a word in the plural loses its s after
// one, "1 board", "2 boards". Symbols stay as they are.
func UnitOf(v float64, unit string) string {
	if v == 1 && len(unit) > 3 && strings.HasSuffix(unit, "s") && !strings.ContainsAny(unit, " /·") {
		return strings.TrimSuffix(unit, "s")
	}
	return unit
}

// Number prints a value with at most four significant figures after the leading
// ones that a person needs: integers whole, large values without decimals.
func Number(v float64) string {
	a := v
	if a < 0 {
		a = -a
	}
	digits := 4
	switch {
	case a == 0:
		return "0"
	case a >= 1000:
		digits = 0
	case a >= 100:
		digits = 1
	case a >= 10:
		digits = 2
	case a >= 1:
		digits = 3
	case a < 1e-3:
		return strconv.FormatFloat(v, 'g', 4, 64)
	}
	text := strconv.FormatFloat(v, 'f', digits, 64)
	if digits > 0 {
		for text[len(text)-1] == '0' {
			text = text[:len(text)-1]
		}
		if text[len(text)-1] == '.' {
			text = text[:len(text)-1]
		}
	}
	return text
}

// Chance prints a probability as whole per cent, without the unit: no model is surer than
// "over 99" nor less sure than "under 1".
func Chance(p float64) string {
	switch {
	case p > 0.99:
		return "over 99"
	case p < 0.01:
		return "under 1"
	}
	return strconv.FormatFloat(100*p, 'f', 0, 64)
}
