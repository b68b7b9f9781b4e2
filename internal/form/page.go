package form

import (
	"fmt"
	"strings"
)

// Page is a file's fields as a page for people, in Markdown: a table for each group with
// meaning, unit, what may be written, default and example. intro stands above; defaults
// are by field path ("site.time_zone"), empty where there is none.
func Page(title, intro string, schema Schema, defaults map[string]string) string {
	p := &page{schema: schema, defaults: defaults, done: map[string]bool{}}
	fmt.Fprintf(&p.b, "# %s\n\n%s\n", title, strings.TrimSpace(intro))
	p.later = []section{{path: "", schema: schema}}
	for len(p.later) > 0 {
		next := p.later[0]
		p.later = p.later[1:]
		p.section(next)
	}
	return p.b.String()
}

// section is a group of fields that gets a table.
type section struct {
	path   string
	schema Schema
}

type page struct {
	b        strings.Builder
	schema   Schema
	defaults map[string]string
	later    []section
	done     map[string]bool
}

func (p *page) section(s section) {
	properties, ok := s.schema["properties"].(Properties)
	if !ok || p.done[s.path] {
		return
	}
	p.done[s.path] = true
	if s.path != "" {
		fmt.Fprintf(&p.b, "\n## `%s`\n", s.path)
		if doc, _ := textOf(s.schema); doc != "" {
			fmt.Fprintf(&p.b, "\n%s\n", doc)
		}
	}
	required := map[any]bool{}
	if list, ok := s.schema["required"].([]any); ok {
		for _, name := range list {
			required[name] = true
		}
	}
	p.b.WriteString("\n| field | meaning | unit | what may be written | when left out | example |\n| --- | --- | --- | --- | --- | --- |\n")
	var inner []section
	for _, name := range properties.Names {
		field, _ := properties.Of[name].(Schema)
		path := join(s.path, name)
		doc, unit := textOf(field)
		may, group := p.may(field, path)
		inner = append(inner, group...)
		left := p.defaults[path]
		if required[name] {
			left = "must be given"
		}
		fmt.Fprintf(&p.b, "| `%s` | %s | %s | %s | %s | %s |\n", name, cell(doc), unit, cell(may), cell(left), example(field))
	}
	p.later = append(inner, p.later...)
}

// textOf is what a schema says of itself, and the unit that Number writes behind it.
func textOf(s Schema) (doc, unit string) {
	doc, _ = s["description"].(string)
	const word = "Unit: "
	told, ends := strings.CutSuffix(doc, ".")
	at := strings.LastIndex(told, word)
	if !ends || at < 0 {
		return doc, ""
	}
	if unit = told[at+len(word):]; unit == "" || strings.ContainsAny(unit, " \t\n") {
		return doc, ""
	}
	return strings.TrimRight(told[:at], " \t\n"), unit
}

// may tells what may be written in a field, and the groups that are told further down.
func (p *page) may(s Schema, path string) (string, []section) {
	if ref, ok := s["$ref"].(string); ok {
		name := ref[strings.LastIndex(ref, "/")+1:]
		defs, _ := p.schema["$defs"].(Schema)
		def, _ := defs[name].(Schema)
		return "fields, see `" + name + "`", []section{{name, def}}
	}
	if words, ok := s["enum"].([]any); ok {
		return alternatives(words), nil
	}
	if several, ok := s["anyOf"].([]any); ok {
		return p.anyOf(several, path)
	}
	switch s["type"] {
	case "object":
		return "fields, see `" + path + "`", []section{{path, s}}
	case "array":
		return p.list(s, path)
	case "number", "integer":
		return span(s), nil
	case "boolean":
		return "true or false", nil
	}
	if pattern, ok := s["pattern"].(string); ok {
		return "text like the example (`" + pattern + "`)", nil
	}
	return "text", nil
}

// anyOf tells the forms that a field may take.
func (p *page) anyOf(several []any, path string) (string, []section) {
	var forms []string
	var groups []section
	for _, x := range several {
		s, _ := x.(Schema)
		if s["pattern"] == quantity {
			forms = append(forms, "a text with its unit")
			continue
		}
		text, inner := p.may(s, path)
		forms, groups = append(forms, text), append(groups, inner...)
	}
	return strings.Join(forms, "; or "), groups
}

// list tells what a list holds.
func (p *page) list(s Schema, path string) (string, []section) {
	items, _ := s["items"].(Schema)
	text, groups := p.may(items, path+"[]")
	if doc, _ := textOf(items); doc != "" && len(groups) == 0 {
		text = doc
	}
	if most, ok := s["maxItems"]; ok && s["minItems"] != most {
		return fmt.Sprintf("a list, at most %v: %s", most, text), groups
	}
	return "a list: " + text, groups
}

func span(s Schema) string {
	low, least := s["minimum"]
	high, most := s["maximum"]
	switch {
	case least && most && low == high:
		return fmt.Sprint(low)
	case least && most:
		return fmt.Sprintf("%v to %v", low, high)
	}
	return "a number"
}

func alternatives(words []any) string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = fmt.Sprintf("`%v`", w)
	}
	return strings.Join(out, ", ")
}

// example is a field's first example as it is written.
func example(s Schema) string {
	list, ok := s["examples"].([]any)
	if !ok || len(list) == 0 {
		return ""
	}
	return "`" + cell(written(list[0])) + "`"
}

// written is an example in YAML's brackets.
func written(x any) string {
	list, ok := x.([]any)
	if !ok {
		return fmt.Sprint(x)
	}
	parts := make([]string, len(list))
	for i := range list {
		parts[i] = written(list[i])
	}
	return "[" + strings.Join(parts, ", ") + "]"
}

// cell makes a text fit for a cell of a table.
func cell(text string) string {
	return strings.NewReplacer("|", `\|`, "\n", " ").Replace(text)
}
