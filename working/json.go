package working

import "strings"

// Record is a figure as it is written: its inputs by reference, so that a figure
// used in a hundred sums is written once.
type Record struct {
	ID     string   `json:"id"`
	Name   string   `json:"name"`
	Symbol string   `json:"symbol,omitempty"`
	Value  *float64 `json:"value,omitempty"`
	Text   string   `json:"text,omitempty"`
	Unit   string   `json:"unit,omitempty"`
	// Formula made the value, and makes it again from the inputs, bound by their symbols.
	// Where the value has no closed formula, Method says in words what was done.
	Formula string `json:"formula,omitempty"`
	Method  string `json:"method,omitempty"`
	Source  Source `json:"source"`
	// Standing is written where an input stands weaker than the source itself.
	Standing Standing `json:"standing,omitempty"`
	Low      *float64 `json:"low,omitempty"`
	High     *float64 `json:"high,omitempty"`
	Note     string   `json:"note,omitempty"`
	Inputs   []string `json:"inputs,omitempty"`
}

// recordOf is a figure without its inputs.
func recordOf(id string, f *Figure, known Standings) Record {
	r := Record{ID: id, Name: f.Name, Symbol: f.Symbol, Text: f.Text, Unit: f.Unit, Formula: f.Formula, Method: f.Method,
		Source: f.Source, Note: f.Note}
	if weakest := known.Of(f); weakest != f.Source.Standing {
		r.Standing = weakest
	}
	if f.Text == "" && f.Fault == nil {
		v := f.Value
		r.Value = &v
	}
	if f.Low != 0 || f.High != 0 {
		lo, hi := f.Low, f.High
		r.Low, r.High = &lo, &hi
	}
	return r
}

// figure is the record's figure, its inputs still to be found.
func (r *Record) figure() Figure {
	f := Figure{Name: r.Name, Symbol: r.Symbol, Text: r.Text, Unit: r.Unit, Formula: r.Formula, Method: r.Method,
		Source: r.Source, Note: r.Note}
	if !strings.HasPrefix(r.ID, "~") {
		f.Key = r.ID
	}
	if r.Value != nil {
		f.Value = *r.Value
	}
	if r.Low != nil && r.High != nil {
		f.Low, f.High = *r.Low, *r.High
	}
	return f
}
