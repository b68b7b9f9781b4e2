package working

import (
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
)

// Written is a ledger as it is written: a list of records, and under which id every
// figure among them stands.
type Written struct {
	records []Record
	ids     map[*Figure]string
	known   Standings
	next    int
	ledger  *Ledger
}

// Write makes the records of a ledger, and of more figures that others hold and that have
// to be found again: keyed figures stand under their key in order, each followed by its
// unkeyed steps, numbered "~1", "~2", …; what is in more follows.
func (l *Ledger) Write(more ...*Figure) *Written {
	w := &Written{records: []Record{}, ids: map[*Figure]string{}, known: Standings{}, ledger: l}
	for _, k := range l.Keys() {
		w.add(l.byKey[k])
	}
	for _, f := range more {
		w.ids[f] = w.add(f)
	}
	return w
}

// ID is under which id a figure of the ledger, or of those given to Write, stands.
func (w *Written) ID(f *Figure) string { return w.ids[f] }

// Records are what is written, in order.
func (w *Written) Records() []Record { return w.records }

// add writes a figure with all that is below it, unless it stands there already, and
// returns its id. The register's figure stands for all under its key.
func (w *Written) add(f *Figure) string {
	if f.Key != "" {
		if kept, ok := w.ledger.byKey[f.Key]; ok {
			f = kept
		}
	}
	if id, done := w.ids[f]; done {
		return id
	}
	id := f.Key
	if id == "" {
		w.next++
		id = "~" + strconv.Itoa(w.next)
	}
	w.ids[f] = id
	at := len(w.records)
	w.records = append(w.records, recordOf(id, f, w.known))
	for _, in := range f.Inputs {
		w.records[at].Inputs = append(w.records[at].Inputs, w.add(in))
	}
	return id
}

// MarshalJSON writes the ledger as a list of records; see Write.
func (l *Ledger) MarshalJSON() ([]byte, error) { return json.Marshal(l.Write().records) }

// UnmarshalJSON reads what MarshalJSON writes.
func (l *Ledger) UnmarshalJSON(raw []byte) error {
	_, err := l.Read(raw)
	return err
}

// mostSteps is how deep a working may go, from a figure down to what was given. Of the
// plans of the examples the deepest goes down some twenty.
const mostSteps = 1000

// Read fills the ledger with written records and returns all figures by their id, so that
// whoever holds an id finds its figure again. Inputs that were shared are shared again.
func (l *Ledger) Read(raw []byte) (map[string]*Figure, error) {
	var records []Record
	if err := json.Unmarshal(raw, &records); err != nil {
		return nil, err
	}
	figures := make([]Figure, len(records))
	byID := make(map[string]*Figure, len(records))
	at := make(map[string]int, len(records))
	for i, r := range records {
		if r.ID == "" {
			return nil, fmt.Errorf("record %d has no id", i+1)
		}
		if byID[r.ID] != nil {
			return nil, fmt.Errorf("there are two figures %q", r.ID)
		}
		figures[i] = r.figure()
		byID[r.ID], at[r.ID] = &figures[i], i
	}
	for i, r := range records {
		for _, id := range r.Inputs {
			in, ok := byID[id]
			if !ok {
				return nil, fmt.Errorf("figure %q has the input %q, which is not written", r.ID, id)
			}
			figures[i].Inputs = append(figures[i].Inputs, in)
		}
	}
	if err := grounded(records, at); err != nil {
		return nil, err
	}
	l.byKey = map[string]*Figure{}
	for i := range figures {
		if f := &figures[i]; f.Key != "" {
			l.byKey[f.Key] = f
		}
	}
	return byID, nil
}

// grounded refuses workings that lead back to themselves, or deeper than any that is made.
func grounded(records []Record, at map[string]int) error {
	const begun = -1
	depth := make([]int, len(records)) // 0 where not looked at yet
	var look func(i, above int) error
	look = func(i, above int) error {
		switch {
		case depth[i] == begun:
			return fmt.Errorf("the working of %q leads back to itself", records[i].ID)
		case above > mostSteps:
			return errors.New("a working goes down more than a thousand steps")
		case depth[i] > 0:
			if above+depth[i] > mostSteps {
				return errors.New("a working goes down more than a thousand steps")
			}
			return nil
		}
		depth[i] = begun
		deepest := 0
		for _, id := range records[i].Inputs {
			if err := look(at[id], above+1); err != nil {
				return err
			}
			deepest = max(deepest, depth[at[id]])
		}
		depth[i] = deepest + 1
		return nil
	}
	for i := range records {
		if err := look(i, 0); err != nil {
			return err
		}
	}
	return nil
}
