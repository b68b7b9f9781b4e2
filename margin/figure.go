package margin

import (
	"gelwright/desk"
	"gelwright/working"
)

// Working is a figure unfolded: its value, how it was made, from which source, and the figures that went in. Inputs that
// were told already further up stand with their name and value alone.
type Working struct {
	Name     string           `json:"name" said:"yes"`
	Symbol   string           `json:"symbol"`
	Value    string           `json:"value"`
	Formula  string           `json:"formula"`
	By       string           `json:"by" said:"yes"`
	Source   string           `json:"source"`
	Standing working.Standing `json:"standing"`
	// Field of the roof file, where somebody wrote the value there.
	Field  string    `json:"field"`
	Note   string    `json:"note" said:"yes"`
	Inputs []Working `json:"inputs"`
}

// mostFigures of a working are told; a hall's total rests on thousands.
const mostFigures = 400

func (s *Sheet) figure(key string) (*Working, error) {
	p, err := s.planned()
	if err != nil {
		return nil, err
	}
	f, err := desk.Figure(p, key)
	if err != nil {
		return nil, err
	}
	u := unfolding{told: map[*working.Figure]bool{}}
	w := u.of(f)
	return &w, nil
}

type unfolding struct {
	told map[*working.Figure]bool
	n    int
}

func (u *unfolding) of(f *working.Figure) Working {
	w := Working{Name: f.Name, Symbol: f.Symbol, Value: f.Quantity(), Formula: f.Formula, By: f.Method, Source: f.Source.Title,
		Standing: f.Standing(), Note: f.Note, Inputs: []Working{}}
	if c := f.Source.Clause; c != "" {
		w.Source += ", " + c
	}
	if f.Source.Standing == working.Given {
		w.Field = f.Source.Clause
	}
	if u.told[f] || u.n > mostFigures {
		return w
	}
	u.told[f] = true
	u.n++
	for _, x := range f.Inputs {
		w.Inputs = append(w.Inputs, u.of(x))
	}
	return w
}
