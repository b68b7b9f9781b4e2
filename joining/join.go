package joining

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
)

// Side is one of two who changed a document.
type Side string

// The sides: who joins, and who was first.
const (
	Mine   Side = "mine"
	Theirs Side = "theirs"
)

// Difference is a thing that one of two changed, or both.
type Difference struct {
	// Key names it among the differences of one join.
	Key string
	// Where is the part of the roof, as "deck main, edge 4"; Field is the field of it in the roof file's words, empty of the part itself.
	Where, Field string
	// Before, Mine and Theirs are what stands there as JSON; nil where nothing does.
	Before, Mine, Theirs json.RawMessage
	// Clash says that both changed it, each otherwise; Taken is whose change stands in the joined document.
	Clash bool
	Taken Side
	// Chosen says that Taken was chosen; of a clash alone.
	Chosen bool
}

// Joined is what became of two documents.
type Joined struct {
	// Document has the changes of both; of a clash that nobody has chosen, mine.
	Document []byte
	// Differences are all that either changed, those of the job first, then deck by deck.
	Differences []Difference
}

// Open are the clashes that nobody has chosen.
func (j *Joined) Open() int {
	n := 0
	for _, d := range j.Differences {
		if d.Clash && !d.Chosen {
			n++
		}
	}
	return n
}

// Join joins two documents that were made from one, given as JSON. choices say of clashes by their keys whose change is taken;
// one that is not chosen stays open. The error is that of a text that is no document, and says which of the three.
func Join(before, mine, theirs []byte, choices map[string]Side) (Joined, error) {
	var read [3]*document
	for i, x := range []struct {
		name string
		raw  []byte
	}{{"before", before}, {"mine", mine}, {"theirs", theirs}} {
		d, err := documentOf(x.raw)
		if err != nil {
			return Joined{}, fmt.Errorf("%s: %w", x.name, err)
		}
		read[i] = d
	}
	f := formOf(read)
	w := &work{choices: choices, before: f.trees[0]}
	m := w.member(at{}, f.trees[0], f.trees[1], f.trees[2])
	return Joined{Document: f.document(read, m), Differences: w.found}, nil
}

// work is one join under way.
type work struct {
	choices map[string]Side
	before  *member
	found   []Difference
}

// differ writes a difference down and says whose change stands.
func (w *work) differ(a at, b, m, t any, clash bool, taken Side) Side {
	d := Difference{Key: a.key, Where: a.where, Field: a.field, Before: rawOf(b), Mine: rawOf(m), Theirs: rawOf(t), Clash: clash, Taken: taken}
	if clash {
		if c := w.choices[a.key]; c == Mine || c == Theirs {
			d.Taken, d.Chosen = c, true
		}
	}
	w.found = append(w.found, d)
	return d.Taken
}

// none stands for a value that is not there, which null is not.
type none struct{}

func rawOf(v any) json.RawMessage {
	if v == (none{}) {
		return nil
	}
	return write(v)
}

func valueAt(f fields, name string) any {
	if v, there := f[name]; there {
		return v
	}
	return none{}
}

// whole are fields that are one thing: a part of one and a part of another fit together by chance alone.
var whole = map[string]bool{"fall": true, "arc": true, "survey": true, place: true}

// fields joins fields one by one.
func (w *work) fields(a at, b, m, t fields) fields {
	out := fields{}
	names := fields{}
	maps.Copy(names, m)
	maps.Copy(names, t)
	maps.Copy(names, b)
	for _, name := range slices.Sorted(maps.Keys(names)) {
		v := w.value(a.fieldOf(name), name, valueAt(b, name), valueAt(m, name), valueAt(t, name))
		if v != (none{}) {
			out[name] = v
		}
	}
	return out
}

func (w *work) value(a at, name string, b, m, t any) any {
	mineIs, theirsIs := equal(b, m), equal(b, t)
	mf, ok := m.(fields)
	tf, ok2 := t.(fields)
	bf, ok3 := b.(fields)
	if ok && ok2 && (ok3 || b == (none{})) && !whole[name] && !(mineIs && theirsIs) {
		return w.fields(a, bf, mf, tf)
	}
	switch {
	case mineIs && theirsIs:
		return m
	case mineIs:
		w.differ(a, b, m, t, false, Theirs)
		return t
	case theirsIs:
		w.differ(a, b, m, t, false, Mine)
		return m
	case equal(m, t):
		w.differ(a, b, m, t, false, Mine)
		return m
	}
	if w.differ(a, b, m, t, true, Mine) == Theirs {
		return t
	}
	return m
}

// member joins a member that all three have; b is empty where both added it.
func (w *work) member(a at, b, m, t *member) *member {
	out := &member{id: m.id, fields: w.fields(a, b.fields, m.fields, t.fields), lists: map[string][]member{}}
	for _, list := range append([]string{decks, corners}, pieceLists...) {
		if joined := w.list(a, list, b.lists[list], m.lists[list], t.lists[list]); len(joined) > 0 {
			out.lists[list] = joined
		}
	}
	return out
}

// three are one list as it was, as one has it and as the other.
type three struct {
	lists   [3][]member
	indexes [3]index
}

func threeOf(b, m, t []member) *three {
	return &three{[3][]member{b, m, t}, [3]index{indexOf(b), indexOf(m), indexOf(t)}}
}

// of is a member as one of the three lists has it.
func (x *three) of(i int, id string) *member { return x.indexes[i].in(x.lists[i], id) }

// list joins a list: what both have is joined, what one added is there, what one took away is gone where the other left it alone.
func (w *work) list(a at, list string, b, m, t []member) []member {
	kept := map[string]*member{}
	all := threeOf(b, m, t)
	for _, id := range all.ids() {
		here := a.memberOf(list, id, all)
		was, mine, theirs := all.of(0, id), all.of(1, id), all.of(2, id)
		switch {
		case mine != nil && theirs != nil:
			if was == nil {
				was = &member{}
			}
			kept[id] = w.member(here, was, mine, theirs)
		case was == nil:
			kept[id] = w.added(here, mine, theirs)
		case mine == nil && theirs == nil:
			w.differ(here, was.plain(), none{}, none{}, false, Mine)
		default:
			kept[id] = w.removed(here, was, mine, theirs)
		}
	}
	var out []member
	for _, id := range w.order(a.fieldOf(list), all, kept) {
		out = append(out, *kept[id])
	}
	return out
}

func (w *work) added(a at, mine, theirs *member) *member {
	if theirs == nil {
		w.differ(a, none{}, mine.plain(), none{}, false, Mine)
		return mine
	}
	w.differ(a, none{}, none{}, theirs.plain(), false, Theirs)
	return theirs
}

// removed is what one took away: nil where it is gone.
func (w *work) removed(a at, was, mine, theirs *member) *member {
	taken, left := Mine, theirs
	var m, t any = none{}, nil
	if theirs == nil {
		taken, left = Theirs, mine
		m, t = mine.plain(), none{}
	} else {
		t = theirs.plain()
	}
	if w.differ(a, was.plain(), m, t, !same(was, left), taken) == taken {
		// Unless it is chosen otherwise it is gone for whoever left it alone; of a clash mine stands.
		return w.gone(a, left, taken)
	}
	return left
}

// gone keeps what was taken away by them while it is a clash that nobody has chosen.
func (w *work) gone(a at, left *member, taken Side) *member {
	d := &w.found[len(w.found)-1]
	if d.Clash && !d.Chosen && taken == Theirs {
		d.Taken = Mine
		return left
	}
	return nil
}
