package joining

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"slices"
	"strconv"
)

// fields are values of JSON by their names; numbers are as they were written.
type fields = map[string]any

// member is the document, a deck, a corner with the edge that leaves it, or a piece of a deck.
type member struct {
	id     string
	fields fields
	lists  map[string][]member
}

// The lists of members; the order is that in which they are told.
const (
	decks   = "decks"
	corners = "corners"
)

var pieceLists = []string{"openings", "penetrations", "movement_joints"}

// read reads JSON with its numbers as they are written.
func read(raw []byte) (any, error) {
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil {
		return nil, err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("more follows after its end")
	}
	return v, nil
}

// write writes a value of JSON, its fields in the order of their names.
func write(v any) []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if e.Encode(v) != nil {
		return []byte("null") // nothing but what read gives is written
	}
	return bytes.TrimRight(b.Bytes(), "\n")
}

// equal reports whether two values say the same; numbers by what they are and not how they are written.
func equal(a, b any) bool {
	switch a := a.(type) {
	case fields:
		b, ok := b.(fields)
		return ok && maps.EqualFunc(a, b, equal)
	case []any:
		b, ok := b.([]any)
		return ok && slices.EqualFunc(a, b, equal)
	case json.Number:
		b, ok := b.(json.Number)
		return ok && (a == b || sameNumber(string(a), string(b)))
	}
	return a == b
}

func sameNumber(a, b string) bool {
	x, err := strconv.ParseFloat(a, 64)
	y, err2 := strconv.ParseFloat(b, 64)
	return err == nil && err2 == nil && x == y
}

// same reports whether two members are alike in all that they hold, whatever their ids.
func same(a, b *member) bool {
	return equal(a.fields, b.fields) && maps.EqualFunc(a.lists, b.lists, func(x, y []member) bool {
		return slices.EqualFunc(x, y, func(m, n member) bool { return same(&m, &n) })
	})
}

// index are the places of members in a list by their ids, counted from 1; 0 is none.
type index map[string]int

func indexOf(list []member) index {
	out := make(index, len(list))
	for i := range list {
		out[list[i].id] = i + 1
	}
	return out
}

// in finds a member by its id in the list of the index; nil where there is none.
func (x index) in(list []member, id string) *member {
	if i := x[id]; i > 0 {
		return &list[i-1]
	}
	return nil
}

// plain is a member as a value, for whoever chooses between two.
func (m *member) plain() any {
	out := maps.Clone(m.fields)
	for name, list := range m.lists {
		var all []any
		for i := range list {
			all = append(all, list[i].plain())
		}
		if len(all) > 0 {
			out[name] = all
		}
	}
	return out
}
