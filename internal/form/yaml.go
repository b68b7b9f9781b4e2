package form

import (
	"reflect"
	"strings"

	"github.com/goccy/go-yaml"
)

// Marshal writes a mapping as YAML text. Lists of numbers and of points go on one
// line, as a person writes them.
func Marshal(m yaml.MapSlice) ([]byte, error) {
	return yaml.MarshalWithOptions(flow(m), yaml.Indent(2), yaml.IndentSequence(true))
}

// flow marks short lists of plain values to be written in brackets, and numbers to
// be written without needless zeros.
func flow(x any) any {
	switch x := x.(type) {
	case float64:
		return bracketed(short17(x))
	case yaml.MapSlice:
		out := make(yaml.MapSlice, len(x))
		for i, item := range x {
			out[i] = yaml.MapItem{Key: item.Key, Value: flow(item.Value)}
		}
		return out
	case []any:
		if text, ok := inline(x); ok {
			return text
		}
		out := make([]any, len(x))
		for i := range x {
			out[i] = flow(x[i])
		}
		return out
	}
	return x
}

// bracketed is text that is YAML already: a list in brackets, a number.
type bracketed string

// MarshalYAML returns the text as it is.
func (b bracketed) MarshalYAML() ([]byte, error) { return []byte(b), nil }

// inline writes numbers, and lists of numbers, in brackets.
func inline(list []any) (bracketed, bool) {
	parts := make([]string, len(list))
	for i, x := range list {
		switch reflect.ValueOf(x).Kind() {
		case reflect.Float64:
			parts[i] = short17(x.(float64))
		case reflect.Slice:
			inner, ok := x.([]any)
			if !ok {
				return "", false
			}
			text, ok := inline(inner)
			if !ok {
				return "", false
			}
			parts[i] = string(text)
		default:
			return "", false
		}
	}
	return bracketed("[" + strings.Join(parts, ", ") + "]"), true
}
