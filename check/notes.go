package check

import (
	"strings"

	"gelwright/working"
)

// Notes are what a step of a plan has worked out and answered, in its order: figures for the
// ledger and results for the list of checks. The zero value is empty and ready.
type Notes struct {
	Figures []*working.Figure
	Checks  []Result
}

// Figure notes a figure and returns it.
func (n *Notes) Figure(f *working.Figure) *working.Figure {
	if f != nil {
		n.Figures = append(n.Figures, f)
	}
	return f
}

// Answer notes a result under its place, unless it names one, with its figures.
func (n *Notes) Answer(r Result, where string) {
	if r.Where == "" {
		r.Where = where
	}
	for _, f := range r.Working {
		n.Figure(f)
	}
	n.Checks = append(n.Checks, r)
}

// AnswerOn notes a result of one deck among several: its figures are kept apart from those of
// the other decks by the deck's name in their keys.
func (n *Notes) AnswerOn(deck string, several bool, r Result) {
	for _, f := range r.Working {
		if several && f.Key != "" && !strings.Contains(f.Key, "."+deck) {
			f.Key += "." + deck
		}
	}
	n.Answer(r, "deck "+deck)
}
