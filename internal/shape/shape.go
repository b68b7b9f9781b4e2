// Package shape tells whether a text has the shape that a pattern says: the few kinds of pattern that files here are held to, in the
// letters in which a JSON Schema prints them. Package regexp knows far more, and would be a fortieth of what a page loads.
//
// A pattern is of a whole text, ^…$. In it stand letters and signs as they are, \ before a sign that would mean more, \s for
// a blank, [a-z_] for one of several and [^a-z] for any other, (a|b) for either, and behind any of these ? for none or
// one, * for any number, + for one or more, {2} and {1,3} for so many. A text is gone through once, whatever the pattern.
package shape

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Shape is a pattern made ready.
type Shape struct {
	steps []step
}

// step is one place in a pattern: one of several letters, or a way on without a letter.
type step struct {
	ranges []rune // pairs, from and to; nil for a step without a letter
	not    bool
	on     []int // where it goes on
}

// Must makes a pattern ready; one that it does not understand is a fault of the program.
func Must(pattern string) *Shape {
	inner, begins := strings.CutPrefix(pattern, "^")
	inner, ends := strings.CutSuffix(inner, "$")
	r := &reader{pattern: pattern, rest: inner}
	if !begins || !ends {
		r.fail("is not of a whole text")
	}
	from, to := r.either()
	if r.rest != "" {
		r.fail("has a bracket too many")
	}
	r.join(to, r.way()) // the last step is the end
	return &Shape{append([]step{{on: []int{from + 1}}}, moved(r.steps)...)}
}

// moved are steps with one put before them.
func moved(steps []step) []step {
	for i := range steps {
		for k := range steps[i].on {
			steps[i].on[k]++
		}
	}
	return steps
}

// Has reports whether a text has the shape.
func (s *Shape) Has(text string) bool {
	at, next := make([]bool, len(s.steps)), make([]bool, len(s.steps))
	s.reach(at, 0)
	for _, c := range text {
		clear(next)
		for i, here := range at {
			if p := &s.steps[i]; here && p.ranges != nil && p.takes(c) {
				for _, to := range p.on {
					s.reach(next, to)
				}
			}
		}
		at, next = next, at
	}
	return at[len(at)-1]
}

// reach marks a step and all that follow from it without a letter.
func (s *Shape) reach(at []bool, i int) {
	if at[i] {
		return
	}
	at[i] = true
	if s.steps[i].ranges != nil {
		return
	}
	for _, to := range s.steps[i].on {
		s.reach(at, to)
	}
}

func (p *step) takes(c rune) bool {
	for k := 0; k < len(p.ranges); k += 2 {
		if p.ranges[k] <= c && c <= p.ranges[k+1] {
			return !p.not
		}
	}
	return p.not
}

// blanks are what \s stands for.
var blanks = []rune{'\t', '\n', '\f', '\r', ' ', ' '}

// reader turns a pattern into steps. Each part of it has a first step and a last, which goes nowhere yet.
type reader struct {
	pattern, rest string
	steps         []step
}

func (r *reader) fail(why string) { panic(fmt.Sprintf("the pattern %q %s", r.pattern, why)) }

func (r *reader) add(p step) int {
	r.steps = append(r.steps, p)
	return len(r.steps) - 1
}

func (r *reader) way() int { return r.add(step{}) }

func (r *reader) join(from, to int) { r.steps[from].on = append(r.steps[from].on, to) }

// either reads what stands between |.
func (r *reader) either() (from, to int) {
	from, to = r.row()
	if !strings.HasPrefix(r.rest, "|") {
		return from, to
	}
	in, out := r.way(), r.way()
	r.join(in, from)
	r.join(to, out)
	for strings.HasPrefix(r.rest, "|") {
		r.rest = r.rest[1:]
		from, to = r.row()
		r.join(in, from)
		r.join(to, out)
	}
	return in, out
}

// row reads what stands one after another.
func (r *reader) row() (from, to int) {
	from = r.way()
	to = from
	for r.rest != "" && r.rest[0] != '|' && r.rest[0] != ')' {
		was := r.rest
		a, b := r.one()
		least, most := r.often()
		r.join(to, a)
		to = r.repeat(was, a, b, least, most)
	}
	return from, to
}

// endless is how often what may come any number of times.
const endless = -1

// often reads how often the part before it may come.
func (r *reader) often() (least, most int) {
	if r.rest == "" {
		return 1, 1
	}
	sign, rest := r.rest[0], r.rest[1:]
	switch sign {
	case '?':
		least, most = 0, 1
	case '*':
		least, most = 0, endless
	case '+':
		least, most = 1, endless
	case '{':
		inner, after, closed := strings.Cut(rest, "}")
		low, high, two := strings.Cut(inner, ",")
		if !two {
			high = low
		}
		var a, b error
		least, a = strconv.Atoi(low)
		most, b = strconv.Atoi(high)
		if !closed || a != nil || b != nil || least < 1 || most < least {
			r.fail("counts in a way that is not known")
		}
		rest = after
	default:
		return 1, 1
	}
	r.rest = rest
	return least, most
}

// repeat has the part that was read from a text come so often; it gives the last step.
func (r *reader) repeat(was string, a, b, least, most int) int {
	behind := r.rest
	out := r.way()
	if most == endless {
		r.join(b, a)
		r.join(b, out)
	} else {
		last := b
		for n := 1; n < most; n++ {
			if n >= least {
				r.join(last, out)
			}
			r.rest = was
			from, to := r.one()
			r.join(last, from)
			last = to
		}
		r.join(last, out)
		r.rest = behind
	}
	if least == 0 {
		r.join(a, out)
	}
	return out
}

// one reads a letter, one of several, or what stands in brackets; its first step takes no letter.
func (r *reader) one() (from, to int) {
	c, n := utf8.DecodeRuneInString(r.rest)
	switch c {
	case '(':
		r.rest = strings.TrimPrefix(r.rest[1:], "?:")
		from, to = r.either()
		if !strings.HasPrefix(r.rest, ")") {
			r.fail("has a bracket that is not closed")
		}
		r.rest = r.rest[1:]
		in := r.way()
		r.join(in, from)
		return in, to
	case '[':
		r.rest = r.rest[1:]
		return r.letter(r.several())
	case '\\':
		return r.letter(step{ranges: r.escaped()})
	case '.', '^', '$', '*', '+', '?', '{':
		r.fail("has a sign that is not known there")
	}
	r.rest = r.rest[n:]
	return r.letter(step{ranges: []rune{c, c}})
}

func (r *reader) letter(p step) (from, to int) {
	in, out := r.way(), r.way()
	p.on = []int{out}
	r.join(in, r.add(p))
	return in, out
}

// escaped reads what stands behind \.
func (r *reader) escaped() []rune {
	c, n := utf8.DecodeRuneInString(r.rest[1:])
	r.rest = r.rest[1+n:]
	switch {
	case c == 's':
		return blanks
	case strings.ContainsRune(`.\^$*+?{}()[]|-`, c):
		return []rune{c, c}
	}
	r.fail("has a letter behind \\ that is not known")
	return nil
}

// several reads [a-z_] behind its bracket.
func (r *reader) several() step {
	rest, not := strings.CutPrefix(r.rest, "^")
	r.rest = rest
	p := step{not: not}
	for !strings.HasPrefix(r.rest, "]") {
		c, n := utf8.DecodeRuneInString(r.rest)
		if n == 0 {
			r.fail("has a bracket that is not closed")
		}
		if c == '\\' {
			p.ranges = append(p.ranges, r.escaped()...)
			continue
		}
		r.rest = r.rest[n:]
		to := c
		if strings.HasPrefix(r.rest, "-") && !strings.HasPrefix(r.rest, "-]") {
			to, n = utf8.DecodeRuneInString(r.rest[1:])
			r.rest = r.rest[1+n:]
		}
		p.ranges = append(p.ranges, c, to)
	}
	r.rest = r.rest[1:]
	return p
}
