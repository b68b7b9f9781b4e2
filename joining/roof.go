package joining

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
)

// fromRoof reads a roof file's fields; false where its lists are not lists. Its members have no ids yet.
func fromRoof(v any) (member, bool) {
	roof, ok := v.(fields)
	if !ok {
		return member{}, false
	}
	out := member{fields: maps.Clone(roof), lists: map[string][]member{}}
	list, several := roof[decks].([]any)
	if roof[decks] != nil && !several {
		return member{}, false
	}
	if one := roof["deck"]; one != nil {
		if several {
			return member{}, false
		}
		list = []any{one}
	}
	delete(out.fields, decks)
	delete(out.fields, "deck")
	for _, v := range list {
		deck, ok := roofDeck(v)
		if !ok {
			return member{}, false
		}
		out.lists[decks] = append(out.lists[decks], deck)
	}
	return out, true
}

func roofDeck(v any) (member, bool) {
	d, ok := v.(fields)
	if !ok {
		return member{}, false
	}
	out := member{fields: maps.Clone(d), lists: map[string][]member{}}
	outline, drawn := d["outline"].([]any)
	edges, conditioned := d["edges"].([]any)
	if d["outline"] != nil && !drawn || d["edges"] != nil && !conditioned || drawn && len(edges) > len(outline) {
		return member{}, false
	}
	delete(out.fields, "outline")
	delete(out.fields, "edges")
	out.lists[corners] = roofCorners(outline, edges)
	for _, name := range pieceLists {
		list, ok := d[name].([]any)
		if d[name] != nil && !ok {
			return member{}, false
		}
		delete(out.fields, name)
		for _, p := range list {
			own, ok := p.(fields)
			if !ok {
				own = fields{line: p}
			}
			out.lists[name] = append(out.lists[name], member{fields: own})
		}
	}
	return out, true
}

// roofCorners are corners with the edges that leave them; of a roof that was taped the places are missing.
func roofCorners(outline, edges []any) []member {
	var out []member
	for i := range max(len(outline), len(edges)) {
		c := member{fields: fields{}}
		if i < len(outline) {
			c.fields[place] = outline[i]
		}
		if i < len(edges) {
			c.fields["edge"] = longEdge(edges[i])
		}
		out = append(out, c)
	}
	return out
}

// line is what a movement joint is: a list without a name.
const line = "line"

func longEdge(v any) any {
	if word, ok := v.(string); ok {
		return fields{"condition": word}
	}
	return v
}

// toRoof writes a roof file's fields.
func toRoof(doc *member) fields { return withDecks(doc, deckRoof) }

// withDecks are the fields of a document as a roof file has them, with its decks as each is written: one is "deck", several "decks".
func withDecks(doc *member, write func(*member) fields) fields {
	out := maps.Clone(doc.fields)
	var list []any
	for _, deck := range doc.lists[decks] {
		list = append(list, write(&deck))
	}
	switch len(list) {
	case 0:
	case 1:
		out["deck"] = list[0]
	default:
		out[decks] = list
	}
	return out
}

func deckRoof(deck *member) fields {
	out := maps.Clone(deck.fields)
	var outline, edges []any
	for _, c := range deck.lists[corners] {
		if at, drawn := c.fields[place]; drawn {
			outline = append(outline, at)
		}
		switch edge := c.fields["edge"].(type) {
		case nil:
			edges = append(edges, unsaid)
		case fields:
			edges = append(edges, shortEdge(edge))
		default:
			edges = append(edges, edge)
		}
	}
	for len(edges) > 0 && edges[len(edges)-1] == unsaid && deck.lists[corners][len(edges)-1].fields["edge"] == nil {
		edges = edges[:len(edges)-1]
	}
	if outline != nil {
		out["outline"] = outline
	}
	if edges != nil {
		out["edges"] = edges
	}
	for _, name := range pieceLists {
		var list []any
		for _, p := range deck.lists[name] {
			if at, bare := p.fields[line]; bare && len(p.fields) == 1 {
				list = append(list, at)
			} else {
				list = append(list, p.fields)
			}
		}
		if list != nil {
			out[name] = list
		}
	}
	return out
}

// name gives the members of now the ids of those of before that they are, and ids of their own to the others.
func name(before, now *member) {
	for list := range now.lists {
		pairs := align(before.lists[list], now.lists[list])
		seen := map[string]int{}
		for i := range now.lists[list] {
			m := &now.lists[list][i]
			if before == now {
				m.id = fmt.Sprint(i + 1)
				name(m, m)
				continue
			}
			if k := pairs[i]; k >= 0 {
				m.id = fmt.Sprint(k + 1)
				name(&before.lists[list][k], m)
				continue
			}
			// The same thing added twice over is one thing.
			sum := sha256.Sum256(write(m.plain()))
			id := "new-" + hex.EncodeToString(sum[:8])
			seen[id]++
			m.id = fmt.Sprintf("%s-%d", id, seen[id])
			name(m, m)
		}
	}
}

// align says of each member of now which of before it is, -1 of none: those that are alike, in the same order, as many as can be
// (the longest common subsequence), and between two of these whatever stands at the same place.
func align(before, now []member) []int {
	if was, is := namesOf(before), namesOf(now); was != nil && is != nil {
		return named(was, is)
	}
	out := make([]int, len(now))
	b, n := 0, 0
	for _, p := range append(alike(before, now), [2]int{len(before), len(now)}) {
		for k := n; k < p[1]; k++ {
			out[k] = -1
			if b+k-n < p[0] {
				out[k] = b + k - n
			}
		}
		if p[1] < len(now) {
			out[p[1]] = p[0]
		}
		b, n = p[0]+1, p[1]+1
	}
	return out
}

// named pairs names: the same ones, and of the others, which were given anew, those at the same place among themselves.
func named(was, is []string) []int {
	out := make([]int, len(is))
	var left []int
	for i, name := range was {
		if !slices.Contains(is, name) {
			left = append(left, i)
		}
	}
	for i, name := range is {
		out[i] = slices.Index(was, name)
		if out[i] < 0 && len(left) > 0 {
			out[i], left = left[0], left[1:]
		}
	}
	return out
}

// mostNamed is how many names are compared with each other; more members are known by their places.
const mostNamed = 1000

// namesOf are the names of members; nil where one has none or two have the same.
func namesOf(list []member) []string {
	var out []string
	if len(list) > mostNamed {
		return nil
	}
	for i := range list {
		name, ok := list[i].fields["name"].(string)
		if !ok || slices.Contains(out, name) {
			return nil
		}
		out = append(out, name)
	}
	return out
}

// alike are the pairs of the longest common subsequence.
func alike(a, b []member) [][2]int {
	// What is alike at both ends needs no search.
	head := 0
	for head < len(a) && head < len(b) && same(&a[head], &b[head]) {
		head++
	}
	tail := 0
	for tail < len(a)-head && tail < len(b)-head && same(&a[len(a)-1-tail], &b[len(b)-1-tail]) {
		tail++
	}
	var out [][2]int
	for i := range head {
		out = append(out, [2]int{i, i})
	}
	for _, p := range subsequence(a[head:len(a)-tail], b[head:len(b)-tail]) {
		out = append(out, [2]int{p[0] + head, p[1] + head})
	}
	for i := tail; i > 0; i-- {
		out = append(out, [2]int{len(a) - i, len(b) - i})
	}
	return out
}

// mostSearched bounds the search for what is alike: members of one list times those of the other.
const mostSearched = 1 << 20

func subsequence(a, b []member) [][2]int {
	if len(a)*len(b) > mostSearched {
		return nil
	}
	best := make([][]int, len(a)+1)
	for i := range best {
		best[i] = make([]int, len(b)+1)
	}
	for i := len(a) - 1; i >= 0; i-- {
		for k := len(b) - 1; k >= 0; k-- {
			best[i][k] = max(best[i+1][k], best[i][k+1])
			if same(&a[i], &b[k]) {
				best[i][k] = best[i+1][k+1] + 1
			}
		}
	}
	var out [][2]int
	for i, k := 0, 0; i < len(a) && k < len(b); {
		switch {
		case same(&a[i], &b[k]):
			out = append(out, [2]int{i, k})
			i++
			k++
		case best[i+1][k] >= best[i][k+1]:
			i++
		default:
			k++
		}
	}
	return out
}
