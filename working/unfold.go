package working

import (
	"fmt"
	"io"
	"sort"
	"strings"
)

// Unfold writes the working of a figure as an indented outline, each line a
// figure with its value, formula and source, down to what was given. A figure
// met a second time is named but not unfolded again.
func Unfold(w io.Writer, f *Figure) error {
	return (&unfolding{w, map[*Figure]bool{}, Standings{}}).figure(f, 0)
}

type unfolding struct {
	w     io.Writer
	seen  map[*Figure]bool
	known Standings
}

func (u *unfolding) figure(f *Figure, depth int) error {
	indent := strings.Repeat("  ", depth)
	head := f.Name
	if f.Symbol != "" {
		head += " " + f.Symbol
	}
	line := indent + head + " = " + f.Quantity()
	if u.seen[f] {
		_, err := fmt.Fprintln(u.w, line+"  (worked above)")
		return err
	}
	u.seen[f] = true
	if _, err := fmt.Fprintln(u.w, line); err != nil {
		return err
	}
	for _, extra := range []struct{ label, text string }{
		{"by", f.Formula}, {"method", f.Method}, {"source", f.Source.String()}, {"rests on", string(u.known.RestsOn(f))}, {"note", f.Note},
	} {
		if extra.text == "" {
			continue
		}
		if _, err := fmt.Fprintf(u.w, "%s    %s: %s\n", indent, extra.label, extra.text); err != nil {
			return err
		}
	}
	for _, in := range f.Inputs {
		if err := u.figure(in, depth+1); err != nil {
			return err
		}
	}
	return nil
}

// Ledger is the register of a plan's keyed figures. The zero value is empty and ready.
type Ledger struct {
	byKey  map[string]*Figure
	faults []error
}

// Add registers f under its key, and every keyed figure below it. A figure
// without a key is passed through for what is below it. The first figure under
// a key stays; Add returns f so that it can be used in line. A figure with a fault is
// not registered: Faults tells it.
func (l *Ledger) Add(f *Figure) *Figure {
	if f == nil {
		return nil
	}
	if f.Fault != nil {
		l.faults = append(l.faults, f.Fault)
		return f
	}
	if l.byKey == nil {
		l.byKey = map[string]*Figure{}
	}
	if f.Key != "" {
		if _, there := l.byKey[f.Key]; there {
			return f
		}
		l.byKey[f.Key] = f
	}
	for _, in := range f.Inputs {
		l.Add(in)
	}
	return f
}

// Faults lists why figures were refused; a program without mistakes has none.
func (l *Ledger) Faults() []error { return l.faults }

// Find returns the figure under key.
func (l *Ledger) Find(key string) (*Figure, bool) {
	f, ok := l.byKey[key]
	return f, ok
}

// Keys returns all keys in order.
func (l *Ledger) Keys() []string {
	keys := make([]string, 0, len(l.byKey))
	for k := range l.byKey {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}
