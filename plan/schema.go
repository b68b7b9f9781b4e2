package plan

import (
	"encoding"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"time"

	"gelwright/cure"
	"gelwright/firring"
	"gelwright/programme"
)

// Schema is the JSON Schema (2020-12) of a stored plan: every field with its kind, which
// must stand and which may be missing.
func Schema() ([]byte, error) {
	s := schemaMaker{defs: map[string]any{}, names: map[reflect.Type]string{}}
	root := s.object(reflect.TypeFor[storedPlan]())
	root["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	root["title"] = fmt.Sprintf("gelwright plan, version %d", Version)
	root["description"] = "A planned roof: all that its papers and drawings are made from. " +
		"Lengths are metres or, as named, millimetres; figures stand in workings and are named by their ids elsewhere."
	root["properties"].(map[string]any)["version"] = map[string]any{"const": Version}
	root["$defs"] = s.defs
	return json.MarshalIndent(root, "", "  ")
}

// schemaMaker turns types into definitions, each once.
type schemaMaker struct {
	defs  map[string]any
	names map[reflect.Type]string
}

// inPlaceOf are types that are written as another type's fields.
var inPlaceOf = map[reflect.Type]reflect.Type{
	reflect.TypeFor[firring.Pond]():    reflect.TypeOf(firring.StoredPond()),
	reflect.TypeFor[programme.Ahead](): reflect.TypeOf(programme.StoredAhead()),
	reflect.TypeFor[cure.Range]():      reflect.TypeOf(cure.StoredRange()),
}

func (s *schemaMaker) of(t reflect.Type) any {
	if as, ok := inPlaceOf[t]; ok {
		return s.named(t, as)
	}
	if t.Implements(reflect.TypeFor[encoding.TextMarshaler]()) && t != reflect.TypeFor[time.Time]() {
		return map[string]any{"type": "string"}
	}
	switch t.Kind() {
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.String:
		return map[string]any{"type": "string"}
	case reflect.Int, reflect.Int64, reflect.Int32:
		return map[string]any{"type": "integer"}
	case reflect.Float64:
		return map[string]any{"type": "number"}
	case reflect.Pointer:
		return s.of(t.Elem())
	case reflect.Slice:
		return map[string]any{"type": "array", "items": s.of(t.Elem())}
	case reflect.Array:
		return map[string]any{"type": "array", "items": s.of(t.Elem()), "minItems": t.Len(), "maxItems": t.Len()}
	case reflect.Map:
		return map[string]any{"type": "object", "additionalProperties": s.of(t.Elem())}
	case reflect.Struct:
		if t == reflect.TypeFor[time.Time]() {
			return map[string]any{"type": "string", "format": "date-time"}
		}
		return s.named(t, t)
	}
	panic(fmt.Sprintf("plan: %s has no form in JSON", t))
}

// named refers to the definition of a type, whose fields are those of another.
func (s *schemaMaker) named(t, fields reflect.Type) any {
	name, known := s.names[t]
	if !known {
		name = strings.ReplaceAll(t.String(), "plan.stored", "plan.")
		s.names[t] = name
		s.defs[name] = s.object(fields)
	}
	return map[string]any{"$ref": "#/$defs/" + name}
}

// object describes a struct by its fields.
func (s *schemaMaker) object(t reflect.Type) map[string]any {
	properties, required := map[string]any{}, []string{}
	for _, f := range reflect.VisibleFields(t) {
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name == "-" || f.Anonymous && name == "" || !f.IsExported() || hidden(t, f) {
			continue
		}
		if name == "" {
			panic(fmt.Sprintf("plan: %s.%s has no name in JSON", t, f.Name))
		}
		of := s.of(f.Type)
		optional := strings.Contains(options, "omitempty") || strings.Contains(options, "omitzero")
		if k := f.Type.Kind(); !optional && (k == reflect.Slice || k == reflect.Pointer || k == reflect.Map) {
			of = map[string]any{"anyOf": []any{of, map[string]any{"type": "null"}}}
		}
		properties[name] = of
		if !optional {
			required = append(required, name)
		}
	}
	return map[string]any{"type": "object", "properties": properties, "required": required, "additionalProperties": false}
}

// hidden reports whether a field of an embedded struct stands behind one of the same name
// in JSON that is nearer.
func hidden(t reflect.Type, f reflect.StructField) bool {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	for _, g := range reflect.VisibleFields(t) {
		other, _, _ := strings.Cut(g.Tag.Get("json"), ",")
		if other == name && len(g.Index) < len(f.Index) {
			return true
		}
	}
	return false
}
