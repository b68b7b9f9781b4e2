package drawing

import (
	"fmt"
	"strings"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/scene"
)

// mostLettered corners of a roof bear letters; beyond them a plan is set out by its rows.
const mostLettered = 12

// cross is a length between two corners that no edge gives.
type cross struct {
	from, to int
	m        float64
}

// crossesOf are the lengths that prove a setting-out: of four corners both diagonals, of
// more the lengths from both ends of the longest straight edge to every corner, as two tapes
// give them.
func crossesOf(r plane.Ring) []cross {
	n := len(r)
	between := func(i, j int) cross { return cross{i, j, r[i].Point.Distance(r[j].Point)} }
	if n == 4 {
		return []cross{between(0, 2), between(1, 3)}
	}
	if n < 4 || n > mostLettered {
		return nil
	}
	base, longest := 0, 0.0
	for i := range r {
		if e := r.Edge(i); e.Straight() && e.Length() > longest {
			base, longest = i, e.Length()
		}
	}
	var out []cross
	for _, end := range []int{base, (base + 1) % n} {
		for j := range r {
			if next := (j + 1) % n; j != end && next != end && (end+1)%n != j {
				out = append(out, between(end, j))
			}
		}
	}
	return out
}

// cornerName letters the corners of all decks in their order: a, b, c.
func cornerName(i int) string { return strings.ToLower(letters(i)) }

// lettered tells whether the corners of a job are few enough for letters, and where those of
// each deck begin.
func lettered(decks []roof.Deck) (first []int, ok bool) {
	n := 0
	for _, d := range decks {
		first = append(first, n)
		n += len(d.Outline)
	}
	return first, n <= mostLettered
}

// crossWords are the lines of the key that give the lengths between corners.
func crossWords(decks []roof.Deck) []string {
	first, ok := lettered(decks)
	if !ok {
		return nil
	}
	var out []string
	for i, d := range decks {
		var list []string
		for _, c := range crossesOf(d.Outline) {
			list = append(list, fmt.Sprintf("%s–%s %s", cornerName(first[i]+c.from), cornerName(first[i]+c.to), scene.Millimetres(c.m)))
		}
		if len(list) > 0 {
			out = append(out, "diagonals to set out by, mm: "+strings.Join(list, ", "))
		}
	}
	return out
}

// cornerLetters puts the letter of each corner beside it.
func (s *Sheet) cornerLetters(decks []roof.Deck) {
	first, ok := lettered(decks)
	if !ok {
		return
	}
	for i, d := range decks {
		if len(crossesOf(d.Outline)) == 0 {
			continue
		}
		for k, v := range d.Outline {
			b := words(cornerName(first[i] + k))
			b.bold, b.high, b.layer = true, scene.TextUsual, "dimensions"
			s.beside(s.At(v.Point), b, 2, 25, nil)
		}
	}
}
