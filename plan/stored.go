package plan

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"

	"gelwright/check"
	"gelwright/working"
)

// MostBytes of a stored plan are read. That of a hall of 5,000 m² takes some 40 million.
const MostBytes = 256 << 20

// fields is a plan without its methods.
type fields Plan

// storedResult is a check's answer with its working by reference.
type storedResult struct {
	check.Result
	// Working are ids of the register, the deciding figure first.
	Working []string `json:"working,omitempty"`
}

// storedPlan is the form of a stored plan.
type storedPlan struct {
	fields
	Checks   []storedResult   `json:"checks"`
	Workings []working.Record `json:"workings"`
}

// MarshalJSON writes the plan; figures stand once, in the register, and are named by their
// ids elsewhere.
func (p *Plan) MarshalJSON() ([]byte, error) { return json.Marshal(p.stored()) }

// Text is the plan as [json.MarshalIndent] writes it with an indent of one space, in some
// two thirds of the time: what MarshalJSON gives that reads through once more.
func (p *Plan) Text() ([]byte, error) {
	raw, err := json.Marshal(p.stored())
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	out.Grow(len(raw) + len(raw)/2)
	err = json.Indent(&out, raw, "", " ")
	return out.Bytes(), err
}

// stored is the plan as it is written.
func (p *Plan) stored() storedPlan {
	var more []*working.Figure
	for _, r := range p.Checks {
		more = append(more, r.Working...)
	}
	register := p.Workings
	if register == nil {
		register = &working.Ledger{}
	}
	written := register.Write(more...)
	results := make([]storedResult, len(p.Checks))
	for i, r := range p.Checks {
		results[i].Result = r
		for _, f := range r.Working {
			results[i].Working = append(results[i].Working, written.ID(f))
		}
	}
	return storedPlan{fields(*p), results, written.Records()}
}

// NewerError says that a stored plan was written by a later program.
type NewerError struct{ Version, Engine int }

func (e *NewerError) Error() string {
	return fmt.Sprintf("the plan is of version %d (engine %d) and this program reads version %d: "+
		"open it with the program that made it or a later one, or plan the roof anew from its file", e.Version, e.Engine, Version)
}

// Read reads a stored plan, from which every paper can be made as when it was planned.
// What is no plan, or one of a later version, is refused.
func Read(raw []byte) (*Plan, error) {
	if len(raw) > MostBytes {
		return nil, fmt.Errorf("the file has %d bytes, more than any plan: %d are read", len(raw), MostBytes)
	}
	p := new(Plan)
	if err := p.UnmarshalJSON(raw); err != nil {
		return nil, err
	}
	return p, nil
}

// noPlan says why a text is no stored plan, in words and not in those of the program's types.
func noPlan(err error) error {
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		return fmt.Errorf("this is no stored plan: no JSON from byte %d on (%w)", syntax.Offset, err)
	}
	return errors.New("this is no stored plan: its JSON holds something else. 'gelwright plan ROOF.yaml --out DIR' writes plan.json")
}

// UnmarshalJSON reads what MarshalJSON writes; see Read.
func (p *Plan) UnmarshalJSON(raw []byte) error {
	var head struct {
		Version int      `json:"version"`
		Made    Identity `json:"made"`
	}
	if err := json.Unmarshal(raw, &head); err != nil {
		return noPlan(err)
	}
	switch {
	case head.Version > Version:
		return &NewerError{head.Version, head.Made.Engine}
	case head.Version <= 0:
		return fmt.Errorf("this is no stored plan: it names no version. 'gelwright plan ROOF.yaml --out DIR' writes one")
	case head.Version < Version:
		return fmt.Errorf("the plan is of version %d, which does not hold what its drawings need: plan the roof anew from its file", head.Version)
	}
	q := new(fields)
	whole := struct {
		*fields
		Checks   []storedResult  `json:"checks"`
		Workings json.RawMessage `json:"workings"`
	}{fields: q}
	if err := json.Unmarshal(raw, &whole); err != nil {
		return fmt.Errorf("the stored plan is damaged: %w", err)
	}
	q.Workings = &working.Ledger{}
	byID := map[string]*working.Figure{}
	if len(whole.Workings) > 0 {
		var err error
		if byID, err = q.Workings.Read(whole.Workings); err != nil {
			return fmt.Errorf("the stored plan is damaged: workings: %w", err)
		}
	}
	q.Checks = make([]check.Result, len(whole.Checks))
	for i, r := range whole.Checks {
		q.Checks[i] = r.Result
		for _, id := range r.Working {
			f, ok := byID[id]
			if !ok {
				return fmt.Errorf("the stored plan is damaged: check %q rests on the figure %q, which is not written", r.Key, id)
			}
			q.Checks[i].Working = append(q.Checks[i].Working, f)
		}
	}
	if err := (*Plan)(q).sound(); err != nil {
		return fmt.Errorf("the stored plan is damaged: %w", err)
	}
	*p = Plan(*q)
	return nil
}
