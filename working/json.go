package working

import (
	"encoding/json"
	"strconv"
)

// record is a figure as it is written: its inputs by reference, so that a figure
// used in a hundred sums is written once.
type record struct {
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

// MarshalJSON writes the ledger as a list of records: keyed figures under their
// key in order, each followed by its unkeyed steps, numbered "~1", "~2", ….
func (l *Ledger) MarshalJSON() ([]byte, error) {
	ids := map[*Figure]string{}
	records := []record{}
	known := Standings{}
	next := 0
	var write func(f *Figure) string
	write = func(f *Figure) string {
		if id, done := ids[f]; done {
			return id
		}
		id := f.Key
		if id == "" {
			next++
			id = "~" + strconv.Itoa(next)
		}
		ids[f] = id
		r := record{ID: id, Name: f.Name, Symbol: f.Symbol, Text: f.Text, Unit: f.Unit, Formula: f.Formula, Method: f.Method, Source: f.Source, Note: f.Note}
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
		at := len(records)
		records = append(records, r)
		for _, in := range f.Inputs {
			if in.Key != "" {
				if kept, ok := l.byKey[in.Key]; ok {
					in = kept
				}
			}
			records[at].Inputs = append(records[at].Inputs, write(in))
		}
		return id
	}
	for _, k := range l.Keys() {
		write(l.byKey[k])
	}
	return json.Marshal(records)
}
