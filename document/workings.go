package document

import (
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"

	"gelwright/working"
)

// workings unfolds every figure that the pack points at, in two columns. What goes into
// several of them is numbered too and stands once.
func (d *pack) workings() {
	d.follow("Workings",
		"Formula, source and inputs of every figure marked in site.pdf and office.pdf. 'From memory' and 'common practice' mean what they say. "+
			"The whole register is in plan.json; 'gelwright plan … --explain KEY' unfolds any of it.", leastListMM)
	d.cautions()
	d.parted(2)
	begun := d.f.PageNo()
	d.shared, d.standings = sharedOf(d.refs.order), working.Standings{}
	for i := 0; i < len(d.refs.order); i++ { // grows as shared inputs are met
		d.number(d.refs.order[i], 3)
	}
	d.like = &likeness{d: d, shapes: map[*working.Figure]string{}, full: map[string]int{}}
	first, rowOf := d.like.kins(d.refs.order)
	var elsewhere []int
	for i, f := range d.refs.order {
		if at, ok := rowOf[i]; ok {
			elsewhere = append(elsewhere, i, at)
			continue
		}
		d.pointers(elsewhere)
		elsewhere = nil
		d.figure(i+1, f)
		if k := first[i]; k != nil {
			d.kin(d.like.table(d.refs.order, k))
		}
		d.gap(d.apartMM)
	}
	d.pointers(elsewhere)
	d.thin = d.f.PageNo() > begun && d.column == 0 && d.y-d.columnTop < fewMM
	d.columns, d.column = 1, 0
}

// fewMM of workings are too few for a page of their own.
const fewMM = 80

// shared knows which steps go into more than one place, by what they say: the same
// step may have been worked out anew for each.
type shared struct {
	says  map[*working.Figure]string
	times map[string]int
	first map[string]*working.Figure
}

// sharedOf counts how often every step below the figures is met.
func sharedOf(figures []*working.Figure) *shared {
	s := &shared{says: map[*working.Figure]string{}, times: map[string]int{}, first: map[string]*working.Figure{}}
	done := map[string]bool{}
	var walk func(f *working.Figure)
	walk = func(f *working.Figure) {
		is := s.of(f)
		if done[is] {
			return
		}
		done[is] = true
		for _, in := range listed(f) {
			of := s.of(in)
			s.times[of]++
			if s.first[of] == nil {
				s.first[of] = in
			}
			walk(in)
		}
	}
	for _, f := range figures {
		is := s.of(f)
		s.first[is] = f
		walk(f)
	}
	return s
}

// of is what a figure says, its inputs included; equal for equal workings.
func (s *shared) of(f *working.Figure) string {
	if text, ok := s.says[f]; ok {
		return text
	}
	var b strings.Builder
	b.WriteString(strings.Join([]string{f.Key, f.Symbol, f.Name, f.Quantity(), f.By(), f.Source.String(), f.Note}, "|"))
	if f.Key == "" {
		for _, in := range f.Inputs {
			if in != nil {
				sum := sha256.Sum256([]byte(s.of(in)))
				b.Write(sum[:8])
			}
		}
	}
	s.says[f] = b.String()
	return s.says[f]
}

// own returns the figure that stands for f among the numbered ones, or nil when f is
// told in its place: what was marked in the pack, and steps met more than once.
func (d *pack) own(f *working.Figure) *working.Figure {
	is := d.shared.of(f)
	first := d.shared.first[is]
	if first == nil {
		first = f
	}
	if d.refs.has(first) || d.shared.times[is] > 1 && len(f.Inputs) > 0 {
		return first
	}
	return nil
}

// listed is the inputs that are printed.
func listed(f *working.Figure) []*working.Figure {
	var out []*working.Figure
	for _, in := range f.Inputs {
		if in != nil {
			out = append(out, in)
		}
	}
	return out[:min(len(out), mostInputs)]
}

func (d *pack) figure(n int, f *working.Figure) {
	head := fmt.Sprintf("[%d]  %s", n, f.Name)
	if f.Symbol != "" {
		head += ", " + f.Symbol
	}
	d.room(lineMM(sizeTiny) * 3)
	d.write(head+" = "+d.quantity(f), sizeTiny, true, 0)
	d.part.Last().Name = fmt.Sprintf("w%d", n)
	d.steps(f, 3, map[*working.Figure]bool{})
	if f.Key != "" {
		d.f.SetTextColor(110, 110, 110)
		d.write(f.Key, sizeTiny, false, 3)
		d.f.SetTextColor(0, 0, 0)
	}
}

// number gives numbers to what is met on the way to a figure and has a working of its own, in the
// order in which steps prints it.
func (d *pack) number(f *working.Figure, indent float64) {
	for _, in := range listed(f) {
		if own := d.own(in); own != nil {
			d.refs.of(own)
		}
	}
	for _, in := range listed(f) {
		if d.own(in) == nil && len(in.Inputs) > 0 && indent <= deepest {
			d.number(in, indent+3)
		}
	}
}

// deepest indent at which inputs are unfolded, mm.
const deepest = 18

// mostInputs of one kind are listed; the register has the rest.
const mostInputs = 12

// steps prints formula and source, then the inputs: those with a number of their own
// and those that were given run on in one paragraph, steps between stand below it.
func (d *pack) steps(f *working.Figure, indent float64, seen map[*working.Figure]bool) {
	seen[f] = true
	rests := string(d.standings.RestsOn(f))
	if rests != "" {
		rests = "rests on: " + rests
	}
	if line := joinNonEmpty("  —  ", d.local(f.By()), d.source(f.Source), rests); line != "" {
		d.write(line, sizeTiny, false, indent)
	}
	if f.Note != "" {
		d.write(d.local(f.Note), sizeTiny, false, indent)
	}
	var flat, deep []*working.Figure
	for _, run := range d.like.terms(f) {
		if in := run[0]; d.own(in) != nil || len(in.Inputs) == 0 || seen[in] || indent > deepest {
			flat = append(flat, run...)
			continue
		}
		worked := d.unlike(run)
		deep = append(deep, worked...)
		if len(worked) < len(run) {
			flat = append(flat, run...)
		}
	}
	said := d.flat(flat)
	if n := len(f.Inputs) - mostInputs; n > 0 {
		said = append(said, fmt.Sprintf("and %d more", n))
	}
	if len(said) > 0 {
		d.write(strings.Join(said, ";  "), sizeTiny, false, indent)
	}
	d.deep(deep, indent, seen)
}

// deep works inputs below their figure. Those that go the same way as one with a number, or as one before them, run on in one
// paragraph with what differs.
func (d *pack) deep(inputs []*working.Figure, indent float64, seen map[*working.Figure]bool) {
	var brief []string
	tell := func() {
		if len(brief) > 0 {
			d.write(strings.Join(brief, ";  "), sizeTiny, false, indent)
		}
		brief = nil
	}
	firsts := map[string]*working.Figure{}
	for _, in := range inputs {
		as, ok := d.like.workedAs(in)
		if first := firsts[d.like.of(in)]; !ok && first != nil {
			as, ok = "in the same way"+d.like.differing(first, in), true
		}
		if ok {
			brief = append(brief, d.input(in)+", "+as)
			continue
		}
		tell()
		firsts[d.like.of(in)] = in
		d.write(d.input(in), sizeTiny, false, indent)
		d.steps(in, indent+3, seen)
	}
	tell()
}

// unlike are those terms of a sum that are worked below it: all, but where nothing but their values
// differs the first alone.
func (d *pack) unlike(run []*working.Figure) []*working.Figure {
	first := d.like.items(run[0])
	for _, in := range run[1:] {
		if slices.ContainsFunc(d.like.items(in)[1:], func(it likeItem) bool { return !slices.ContainsFunc(first[1:], it.equal) }) {
			return run
		}
	}
	return run[:1]
}

// flat names inputs with their values; what follow one another say once what they have in common:
// symbol and name, and where they come from.
func (d *pack) flat(inputs []*working.Figure) []string {
	var out []string
	alike := 1
	for i, in := range inputs {
		text, from := d.input(in), d.from(in)
		if i > 0 && in.Symbol == inputs[i-1].Symbol && in.Name == inputs[i-1].Name {
			text = d.quantity(in)
		}
		switch {
		case i+1 < len(inputs) && strings.HasPrefix(from, "(") && d.from(inputs[i+1]) == from:
			from = ""
			alike++
		case alike > 1:
			from = fmt.Sprintf("(all %d: %s", alike, strings.TrimPrefix(from, "("))
			alike = 1
		}
		out = append(out, joinNonEmpty(" ", text, from))
	}
	return out
}

// from is the mark of an input with a number, or where it comes from.
func (d *pack) from(in *working.Figure) string {
	if own := d.own(in); own != nil {
		return d.refs.of(own)
	}
	if len(in.Inputs) == 0 {
		return d.origin(in)
	}
	return ""
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
func (d *pack) origin(f *working.Figure) string {
	if s := strings.TrimSpace(d.source(f.Source)); s != "" {
		return "(" + s + ")"
	}
	return ""
}
