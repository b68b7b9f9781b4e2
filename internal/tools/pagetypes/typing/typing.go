// Package typing writes Go types as TypeScript.
package typing

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"sort"
	"strings"

	"gelwright/margin"
)

// question is a kind of question with the types of what is asked and answered.
type question struct {
	kind        string
	ask, answer any
}

// questions are all that the page may ask.
var questions = []question{
	{margin.AskPlan, margin.PlanAsk{}, margin.Answer{}},
	{margin.AskGround, margin.RoofAsk{}, margin.Ground{}},
	{margin.AskView, margin.NameAsk{}, margin.View{}},
	{margin.AskFigure, margin.NameAsk{}, margin.Working{}},
	{margin.AskPiece, margin.PieceAsk{}, margin.Piece{}},
	{margin.AskOrder, struct{}{}, margin.Order{}},
	{margin.AskDay, struct{}{}, margin.Day{}},
	{margin.AskDefaults, struct{}{}, []margin.Default{}},
	{margin.AskChecks, struct{}{}, []margin.Checked{}},
	{margin.AskFields, struct{}{}, []margin.Field{}},
	{margin.AskSurvey, margin.SurveyAsk{}, margin.Surveyed{}},
	{margin.AskRead, margin.RoofAsk{}, margin.RoofDocument{}},
	{margin.AskWrite, margin.RoofAsk{}, margin.RoofText{}},
	{margin.AskImport, margin.ImportAsk{}, margin.Imported{}},
	{margin.AskLanguage, margin.NameAsk{}, margin.Spoken{}},
}

// Page is the whole file.
func Page() []byte {
	w := writer{named: map[string]reflect.Type{}}
	var table bytes.Buffer
	table.WriteString("/** Questions are all that can be asked, each with what is asked and what is answered. */\n")
	table.WriteString("export interface Questions {\n")
	for _, q := range questions {
		fmt.Fprintf(&table, "  %s: { ask: %s; answer: %s };\n", q.kind, w.typeOf(reflect.TypeOf(q.ask)), w.typeOf(reflect.TypeOf(q.answer)))
	}
	table.WriteString("}\n")
	w.typeOf(reflect.TypeFor[margin.Refusal]())
	var out bytes.Buffer
	out.WriteString("// Written by 'go run ./internal/tools/pagetypes' from the Go types of package margin; not to be edited.\n\n")
	for len(w.waiting) > 0 {
		t := w.waiting[0]
		w.waiting = w.waiting[1:]
		w.done = append(w.done, w.declared(t))
	}
	sort.Strings(w.done)
	for _, d := range w.done {
		out.WriteString(d + "\n")
	}
	out.Write(table.Bytes())
	return out.Bytes()
}

type writer struct {
	named   map[string]reflect.Type
	waiting []reflect.Type
	done    []string
}

// typeOf is a type by its name in TypeScript.
func (w *writer) typeOf(t reflect.Type) string {
	switch {
	case t == reflect.TypeFor[json.RawMessage]():
		return "unknown"
	case t.Kind() == reflect.Pointer:
		return w.typeOf(t.Elem()) + " | null"
	case t.Kind() == reflect.Slice:
		return "readonly " + bracketed(w.typeOf(t.Elem())) + "[]"
	case t.Kind() == reflect.Array:
		return "readonly [" + strings.TrimSuffix(strings.Repeat(w.typeOf(t.Elem())+", ", t.Len()), ", ") + "]"
	case t.Kind() == reflect.Struct && t.NumField() == 0:
		return "Record<string, never>"
	case t.Kind() == reflect.Struct:
		if _, known := w.named[t.Name()]; !known {
			w.named[t.Name()] = t
			w.waiting = append(w.waiting, t)
		}
		return t.Name()
	case t.Kind() == reflect.String:
		return "string"
	case t.Kind() == reflect.Bool:
		return "boolean"
	}
	return "number"
}

func bracketed(name string) string {
	if strings.ContainsAny(name, " ") {
		return "(" + name + ")"
	}
	return name
}

// declared is a struct as an interface, embedded ones laid open.
func (w *writer) declared(t reflect.Type) string {
	var b strings.Builder
	fmt.Fprintf(&b, "export interface %s {\n", t.Name())
	w.fields(&b, t)
	b.WriteString("}\n")
	return b.String()
}

func (w *writer) fields(b *strings.Builder, t reflect.Type) {
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous && f.Tag.Get("json") == "" {
			w.fields(b, f.Type)
			continue
		}
		name, more, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name == "-" {
			continue
		}
		if name == "" {
			name = f.Name
		}
		optional := ""
		if strings.Contains(more, "omitempty") || strings.Contains(more, "omitzero") {
			optional = "?"
		}
		fmt.Fprintf(b, "  readonly %s%s: %s;\n", name, optional, w.typeOf(f.Type))
	}
}
