package margin

import (
	"fmt"

	"gelwright/check"
	"gelwright/working"
)

// Order is what to buy.
type Order struct {
	Lines []OrderLine `json:"lines"`
	// MassKG is about what there is to load, CostMinor the priced lines together in minor units of money, 0 for none.
	MassKG    float64  `json:"mass_kg"`
	CostMinor int64    `json:"cost_minor"`
	Unpriced  int      `json:"unpriced"`
	Notes     []string `json:"notes" said:"yes"`
}

// OrderLine is one material.
type OrderLine struct {
	Key         string   `json:"key"`
	Kind        string   `json:"kind" said:"yes"`
	Description string   `json:"description" said:"yes"`
	Unit        string   `json:"unit" said:"yes"`
	Net         float64  `json:"net"`
	Gross       float64  `json:"gross"`
	Packs       []string `json:"packs" said:"yes"`
	CostMinor   int64    `json:"cost_minor"`
	Pieces      []string `json:"pieces" said:"yes"`
}

func (s *Sheet) order() (*Order, error) {
	p, err := s.planned()
	if err != nil {
		return nil, err
	}
	out := &Order{Lines: []OrderLine{}, Notes: []string{}}
	q := p.Order.Schedule
	if q == nil {
		return out, nil
	}
	out.MassKG, out.CostMinor, out.Unpriced = q.MassKG, q.CostMinor, len(q.Unpriced)
	out.Notes = append(out.Notes, q.Notes...)
	for i := range q.Lines {
		l := &q.Lines[i]
		x := OrderLine{Key: l.Key, Kind: string(l.Kind), Description: l.Description, Unit: l.Unit, Net: l.Net, Gross: l.Gross,
			CostMinor: l.CostMinor, Packs: []string{}, Pieces: append([]string{}, l.Pieces...)}
		for _, c := range l.Order {
			x.Packs = append(x.Packs, fmt.Sprintf("%d × %s", c.Count, c.Name))
		}
		out.Lines = append(out.Lines, x)
	}
	return out, nil
}

// Default is a value that was taken because the roof file is silent.
type Default struct {
	Field string `json:"field"`
	Value string `json:"value"`
	Why   string `json:"why"`
}

func (s *Sheet) defaults() ([]Default, error) {
	p, err := s.planned()
	if err != nil {
		return nil, err
	}
	out := []Default{}
	for _, d := range p.Job.Defaults {
		out = append(out, Default{d.Field, d.Value, d.Why})
	}
	return out, nil
}

// Checked is one design check that holds, or does not apply.
type Checked struct {
	Title       string           `json:"title"`
	Where       string           `json:"where"`
	Verdict     string           `json:"verdict"`
	Finding     string           `json:"finding"`
	Utilisation float64          `json:"utilisation"`
	Figure      string           `json:"figure"`
	Standing    working.Standing `json:"standing"`
}

func (s *Sheet) checks() ([]Checked, error) {
	p, err := s.planned()
	if err != nil {
		return nil, err
	}
	out := []Checked{}
	for i := range p.Checks {
		r := &p.Checks[i]
		if r.Verdict != check.Pass && r.Verdict != check.NotApplicable {
			continue
		}
		x := Checked{Title: r.Title, Where: r.Where, Verdict: string(r.Verdict), Finding: r.Finding, Utilisation: r.Utilisation,
			Standing: r.Clause.Standing}
		for _, f := range r.Working {
			if f != nil && f.Key != "" {
				x.Figure = f.Key
				break
			}
		}
		out = append(out, x)
	}
	return out, nil
}
