package document

import (
	"fmt"
	"strings"

	"gelwright/working"
)

// workings unfolds every figure that the pack points at, in two columns. A figure that
// goes into another and has a name of its own is numbered too and stands once.
func (d *pack) workings() {
	d.begin("Workings", "Formula, source and inputs of every figure marked in this pack. 'From memory' and 'common practice' mean what they say. The whole register is in plan.json; 'gelwright plan … --explain KEY' unfolds any of it.")
	d.parted(2)
	for i := 0; i < len(d.refs.order); i++ { // grows as inputs are met
		f := d.refs.order[i]
		d.figure(i+1, f)
	}
	d.columns, d.column = 1, 0
}

func (d *pack) figure(n int, f *working.Figure) {
	head := fmt.Sprintf("[%d]  %s", n, f.Name)
	if f.Symbol != "" {
		head += ", " + f.Symbol
	}
	d.room(lineMM(sizeTiny) * 3)
	d.write(head+" = "+d.quantity(f), sizeTiny, true, 0)
	d.steps(f, 3, map[*working.Figure]bool{})
	if f.Key != "" {
		d.f.SetTextColor(110, 110, 110)
		d.write(f.Key, sizeMark, false, 3)
		d.f.SetTextColor(0, 0, 0)
	}
	d.gap(1)
}

// mostInputs of one kind are listed; the register has the rest.
const mostInputs = 12

// steps prints formula and source, then the inputs: those with a number of their own
// and those that were given run on in one paragraph, steps between stand below it.
func (d *pack) steps(f *working.Figure, indent float64, seen map[*working.Figure]bool) {
	seen[f] = true
	if line := joinNonEmpty("  —  ", d.local(f.Formula), f.Source.String()); line != "" {
		d.write(line, sizeTiny-0.3, false, indent)
	}
	if f.Note != "" {
		d.write(d.local(f.Note), sizeTiny-0.3, false, indent)
	}
	var flat []string
	var deep []*working.Figure
	for i, in := range f.Inputs {
		if in == nil {
			continue
		}
		if i == mostInputs {
			flat = append(flat, fmt.Sprintf("and %d more", len(f.Inputs)-mostInputs))
			break
		}
		switch {
		case in.Key != "" || d.refs.has(in):
			flat = append(flat, d.input(in)+" "+d.refs.of(in))
		case len(in.Inputs) == 0 || seen[in] || indent > 14:
			flat = append(flat, joinNonEmpty(" ", d.input(in), origin(in)))
		default:
			deep = append(deep, in)
		}
	}
	if len(flat) > 0 {
		d.write(strings.Join(flat, ";  "), sizeTiny-0.3, false, indent)
	}
	for _, in := range deep {
		d.write(d.input(in), sizeTiny-0.3, false, indent)
		d.steps(in, indent+3, seen)
	}
}

// input names one input with its value.
func (d *pack) input(f *working.Figure) string {
	name := f.Name
	if f.Symbol != "" {
		name = f.Symbol + " " + name
	}
	return name + " = " + d.quantity(f)
}

// origin says where an input comes from that has no working.
func origin(f *working.Figure) string {
	if s := strings.TrimSpace(f.Source.String()); s != "" {
		return "(" + s + ")"
	}
	return ""
}
