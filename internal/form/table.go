package form

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/goccy/go-yaml"

	"gelwright/internal/shape"
	"gelwright/internal/words"
	"gelwright/unit"
)

// Schema is a JSON Schema as plain data.
type Schema = map[string]any

// Omit tells the writer which fields to leave out: those whose value the reader
// would take again by itself. Keep tells which zero values must be written.
type Omit struct {
	Defaulted map[string]bool
	Keep      map[string]bool
}

// skip reports whether a field of that path and value is left out.
func (o Omit) skip(path string, zero bool) bool {
	return o.Defaulted[path] || (zero && !o.Keep[path])
}

// Field is one field of T: how it is read, written and described.
type Field[T any] struct {
	Name     string
	Required bool
	Schema   Schema
	Read     func(v Value, t *T)
	// Write returns nil for a field that is left out.
	Write func(t *T, path string, o Omit) any
}

// Need returns the field as one that must be there.
func (f Field[T]) Need() Field[T] {
	f.Required = true
	return f
}

// Elsewhere gives words that people write here and that belong elsewhere, or go by another name here, each with
// its remedy.
func (f Field[T]) Elsewhere(remedies map[string]string) Field[T] {
	read := f.Read
	f.Read = func(v Value, t *T) {
		if s, ok := v.Text(); ok && v.IsText() && remedies[s] != "" {
			v.Fault("word.unknown", fmt.Sprintf("%q is not known here", s), remedies[s])
			return
		}
		read(v, t)
	}
	return f
}

// Object is a mapping with fields.
type Object[T any] struct {
	Doc    string
	Fields []Field[T]
}

// Read fills t from the mapping.
func (o *Object[T]) Read(v Value, t *T) {
	names := make([]string, len(o.Fields))
	for i, f := range o.Fields {
		names[i] = f.Name
	}
	if !v.check(names) {
		return
	}
	for _, f := range o.Fields {
		x := v.Get(f.Name)
		if !x.Exists() {
			if f.Required {
				miss := v
				at := miss.place()
				v.rd.Add(Fault{Code: "field.missing", Line: at.Line, Column: at.Column, Where: v.where,
					Message: fmt.Sprintf("field %q is missing", f.Name), Remedy: "Add " + hint(f.Name, f.Schema)})
			}
			continue
		}
		x.note()
		if f.Required && x.blank() {
			x.Fault("value.empty", "the text is empty", "Write it: it must be there")
			continue
		}
		f.Read(x, t)
	}
}

// hint writes a field as it might stand in the file, in YAML.
func hint(name string, s Schema) string {
	if value := exampleOf(s); value != nil {
		text, err := yaml.MarshalWithOptions(yaml.MapSlice{{Key: name, Value: value}}, yaml.Flow(true))
		if err == nil {
			plain := strings.TrimSuffix(strings.TrimPrefix(strings.TrimSpace(string(text)), "{"), "}")
			return `"` + strings.ReplaceAll(plain, `"`, "'") + `"`
		}
	}
	return fmt.Sprintf("%q", name+":")
}

// exampleOf is a value that a schema allows: its own example, its first word, or a group of
// the fields that must be there, at least one.
func exampleOf(s Schema) any {
	if list, ok := s["examples"].([]any); ok && len(list) > 0 {
		return list[0]
	}
	for _, key := range []string{"enum", "oneOf", "anyOf"} {
		list, _ := s[key].([]any)
		for _, x := range list {
			if of, ok := x.(Schema); ok {
				x = exampleOf(of)
			}
			if x != nil {
				return x
			}
		}
	}
	properties, ok := s["properties"].(Properties)
	if !ok {
		return nil
	}
	var out yaml.MapSlice
	required, _ := s["required"].([]any)
	for _, name := range properties.Names {
		if len(required) == 0 && len(out) > 0 || len(required) > 0 && !slices.Contains(required, any(name)) {
			continue
		}
		if x := exampleOf(properties.Of[name].(Schema)); x != nil {
			out = append(out, yaml.MapItem{Key: name, Value: x})
		}
	}
	if len(out) == 0 {
		return nil
	}
	return out
}

// Write returns the mapping of t, fields in the order of the table.
func (o *Object[T]) Write(t *T, path string, omit Omit) yaml.MapSlice {
	out := yaml.MapSlice{}
	for _, f := range o.Fields {
		if f.Write == nil {
			continue
		}
		if x := f.Write(t, join(path, f.Name), omit); x != nil {
			out = append(out, yaml.MapItem{Key: f.Name, Value: x})
		}
	}
	return out
}

// Properties are the fields of a mapping in a schema, with the order of their table for
// views that people read.
type Properties struct {
	Names []string
	Of    Schema
}

// MarshalJSON writes the fields as a schema has them.
func (p Properties) MarshalJSON() ([]byte, error) { return json.Marshal(p.Of) }

// Schema returns the mapping's JSON Schema.
func (o *Object[T]) Schema() Schema {
	properties, required := Properties{Of: Schema{}}, []any{}
	for _, f := range o.Fields {
		properties.Names = append(properties.Names, f.Name)
		properties.Of[f.Name] = f.Schema
		if f.Required {
			required = append(required, f.Name)
		}
	}
	s := Schema{"type": "object", "additionalProperties": false, "properties": properties}
	if o.Doc != "" {
		s["description"] = o.Doc
	}
	if len(required) > 0 {
		s["required"] = required
	}
	return s
}

func described(doc string, s Schema, examples []any) Schema {
	s["description"] = doc
	if len(examples) > 0 {
		s["examples"] = examples
	}
	return s
}

func keep[V comparable](x V, path string, o Omit) any {
	var zero V
	if o.skip(path, x == zero) {
		return nil
	}
	return x
}

// Word is a field that takes one of a list of words.
func Word[T any, S ~string](name, doc string, words []S, at func(*T) *S) Field[T] {
	return Field[T]{Name: name, Schema: described(doc, Schema{"enum": anys(words)}, nil),
		Read: func(v Value, t *T) {
			if w, ok := ReadWord(v, words); ok {
				*at(t) = w
			}
		},
		Write: func(t *T, path string, o Omit) any {
			if x := keep(*at(t), path, o); x != nil {
				return string(*at(t))
			}
			return nil
		}}
}

func anys[S ~string](words []S) []any {
	out := make([]any, len(words))
	for i, w := range words {
		out[i] = string(w)
	}
	return out
}

// ReadWord reads one word of the list, or says which is nearest.
func ReadWord[S ~string](v Value, known []S) (S, bool) {
	if !v.IsText() {
		v.Fault("type.text", "one of "+list(known)+" is wanted, not "+v.kind(), "Write the word")
		return "", false
	}
	s, ok := v.Text()
	if !ok {
		return "", false
	}
	plain := make([]string, len(known))
	for i, w := range known {
		if string(w) == s {
			return w, true
		}
		plain[i] = string(w)
	}
	remedy := "Write one of " + list(known)
	if near := words.Closest(s, plain); near != "" {
		remedy = fmt.Sprintf("Did you mean %q?", near)
	}
	v.Fault("word.unknown", fmt.Sprintf("%q is not known here", clip(s)), remedy)
	return "", false
}

func list[S ~string](words []S) string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = string(w)
	}
	return strings.Join(out, ", ")
}

// Pattern is a field of text of a fixed shape; what says the shape in words.
func Pattern[T any](name, doc, pattern, what string, at func(*T) *string, examples ...any) Field[T] {
	same := func(s string) (string, error) { return s, nil }
	return Parsed(name, doc, Shape[string]{pattern, what, same}, at, examples...)
}

// Shape is a kind of text that is read into a value of its own: the pattern of its
// shape, the shape in words, and the reader, which refuses what the pattern lets pass
// and is wrong nevertheless.
type Shape[V comparable] struct {
	Pattern, What string
	Parse         func(string) (V, error)
}

// Parsed is a field of such a text. It is written as the value prints itself.
func Parsed[T any, V comparable](name, doc string, kind Shape[V], at func(*T) *V, examples ...any) Field[T] {
	pattern := shape.Must(kind.Pattern)
	return Field[T]{Name: name, Schema: described(doc, Schema{"type": "string", "pattern": kind.Pattern}, examples),
		Read: func(v Value, t *T) {
			like := fmt.Sprintf("Write it like \"%v\"", examples[0])
			if !v.IsText() {
				v.Fault("type.text", kind.What+" is wanted, not "+v.kind(), like+", in quotes if it is only digits")
				return
			}
			s, ok := v.Text()
			if !ok {
				return
			}
			x, err := kind.Parse(s)
			if err != nil || !pattern.Has(s) {
				v.Fault("value.shape", fmt.Sprintf("%q is not %s", clip(s), kind.What), like)
				return
			}
			*at(t) = x
		},
		Write: func(t *T, path string, o Omit) any {
			if x := keep(*at(t), path, o); x != nil {
				return fmt.Sprint(x)
			}
			return nil
		}}
}

// quantity is the pattern of a text with a unit, for the schema: editors check the
// shape, the reader checks the unit.
const quantity = `^\s*[-+]?[0-9.,]+\s*[^0-9\s].*$`

// NumberSchema describes a number within a range.
func NumberSchema(r Range) Schema {
	number := Schema{"type": "number", "minimum": r.Min, "maximum": r.Max}
	if r.Measure == nil {
		return number
	}
	return Schema{"anyOf": []any{number, Schema{"type": "string", "pattern": quantity}}}
}

// Number is a field of a number within a range, with its unit.
func Number[T any](name, doc string, r Range, at func(*T) *float64, examples ...any) Field[T] {
	if r.Unit != "" && r.Measure == nil {
		r.Measure = measure(r.Unit)
	}
	if r.Unit != "" {
		doc += " Unit: " + r.Unit + "."
	}
	return Field[T]{Name: name, Schema: described(doc, NumberSchema(r), examples),
		Read: func(v Value, t *T) {
			if x, ok := v.Number(r); ok {
				*at(t) = x
			}
		},
		Write: func(t *T, path string, o Omit) any { return keep(*at(t), path, o) }}
}

// measure returns the unit that a text may be converted to.
func measure(symbol string) *unit.Unit {
	for _, u := range []unit.Unit{unit.Metre, unit.Millimetre, unit.Kilometre, unit.Celsius, unit.Kilogram, unit.Litre} {
		if u.Symbol == symbol {
			return &u
		}
	}
	return nil
}

// OptionalNumber is a Number behind a pointer, nil when the file is silent.
func OptionalNumber[T any](name, doc string, r Range, at func(*T) **float64, examples ...any) Field[T] {
	var held float64
	f := Number(name, doc, r, func(*T) *float64 { return &held }, examples...)
	if r.Unit != "" && r.Measure == nil {
		r.Measure = measure(r.Unit)
	}
	f.Read = func(v Value, t *T) {
		if x, ok := v.Number(r); ok {
			*at(t) = &x
		}
	}
	f.Write = func(t *T, path string, o Omit) any {
		if p := *at(t); p != nil && !o.Defaulted[path] {
			return *p
		}
		return nil
	}
	return f
}

// Whole is a field of a whole number within a range.
func Whole[T any](name, doc string, low, high int, at func(*T) *int, examples ...any) Field[T] {
	return Field[T]{Name: name, Schema: described(doc, Schema{"type": "integer", "minimum": low, "maximum": high}, examples),
		Read: func(v Value, t *T) {
			x, ok := v.Number(Range{Min: float64(low), Max: float64(high)})
			if !ok {
				return
			}
			if x != float64(int(x)) {
				v.Fault("value.whole", fmt.Sprintf("%s is not a whole number", short(x)), "Write a whole number")
				return
			}
			*at(t) = int(x)
		},
		Write: func(t *T, path string, o Omit) any { return keep(*at(t), path, o) }}
}

// YesNo is a field that is true or false.
func YesNo[T any](name, doc string, at func(*T) *bool) Field[T] {
	return Field[T]{Name: name, Schema: described(doc, Schema{"type": "boolean"}, nil),
		Read: func(v Value, t *T) {
			if x, ok := v.Bool(); ok {
				*at(t) = x
			}
		},
		Write: func(t *T, path string, o Omit) any { return keep(*at(t), path, o) }}
}

// Group is a field that holds fields of its own.
func Group[T, S any](name string, object *Object[S], at func(*T) *S) Field[T] {
	return Field[T]{Name: name, Schema: object.Schema(),
		Read: func(v Value, t *T) { object.Read(v, at(t)) },
		Write: func(t *T, path string, o Omit) any {
			if m := object.Write(at(t), path, o); len(m) > 0 {
				return m
			}
			return nil
		}}
}

// OptionalGroup is a Group behind a pointer, nil when the file is silent.
func OptionalGroup[T, S any](name string, object *Object[S], at func(*T) **S) Field[T] {
	return Field[T]{Name: name, Schema: object.Schema(),
		Read: func(v Value, t *T) {
			var s S
			object.Read(v, &s)
			*at(t) = &s
		},
		Write: func(t *T, path string, o Omit) any {
			if p := *at(t); p != nil && !o.Defaulted[path] {
				return object.Write(p, path, o)
			}
			return nil
		}}
}

// Merge returns base with the entries of more laid over it.
func Merge(base, more Schema) Schema {
	out := maps.Clone(base)
	maps.Copy(out, more)
	return out
}
