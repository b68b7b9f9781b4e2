package typing

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"gelwright/web"
)

// schema is what is read of a schema of the API's description.
type schema struct {
	Ref        string            `json:"$ref"`
	Type       any               `json:"type"` // a word, or several of which one is null
	Items      *schema           `json:"items"`
	Properties map[string]schema `json:"properties"`
	Required   []string          `json:"required"`
	More       json.RawMessage   `json:"additionalProperties"`
}

// called is what is read of an operation.
type called struct {
	ID         string `json:"operationId"`
	Parameters []struct {
		Name     string
		In       string
		Required bool
		Schema   schema
	}
	Body struct {
		Content map[string]struct{ Schema schema }
	} `json:"requestBody"`
	Responses map[string]struct {
		Content map[string]struct{ Schema schema }
	}
}

const jsonMedia = "application/json"

// ofOffice are the operations beside those under /api/office that the office's page asks.
var ofOffice = []string{"job", "listFiles", "listReminders"}

// Office is page/office/api.ts: the types of what the office's page asks and is answered, from the API's description.
func Office() ([]byte, error) {
	raw, err := web.Description()
	if err != nil {
		return nil, err
	}
	var api struct {
		Paths      map[string]map[string]called
		Components struct{ Schemas map[string]schema }
	}
	if err := json.Unmarshal(raw, &api); err != nil {
		return nil, err
	}
	d := describer{known: api.Components.Schemas, seen: map[string]bool{}}
	var types, paths []string
	for _, path := range slices.Sorted(maps.Keys(api.Paths)) {
		for _, method := range slices.Sorted(maps.Keys(api.Paths[path])) {
			c := api.Paths[path][method]
			if !strings.HasPrefix(path, "/api/office/") && !slices.Contains(ofOffice, c.ID) {
				continue
			}
			if answer, ok := c.Responses["200"].Content[jsonMedia]; ok {
				types = append(types, fmt.Sprintf("  readonly %s: {\n    readonly path: %s;\n    readonly query: %s;\n    readonly body: %s;\n"+
					"    readonly answer: %s;\n  };\n", c.ID, d.parameters(&c, "path"), d.parameters(&c, "query"), d.body(&c), d.typeOf(answer.Schema)))
				paths = append(paths, fmt.Sprintf("  %s: [%q, %q],\n", c.ID, strings.ToUpper(method), path))
			}
		}
	}
	d.typeOf(schema{Ref: "/Problem"})
	var out bytes.Buffer
	out.WriteString("// Written by 'go run ./internal/tools/pagetypes office' from the description of the API; not to be edited.\n\n")
	for len(d.waiting) > 0 {
		name := d.waiting[0]
		d.waiting = d.waiting[1:]
		d.done = append(d.done, d.declared(name))
	}
	slices.Sort(d.done)
	out.WriteString(strings.Join(d.done, "\n"))
	out.WriteString("\n/** Operations are what the office can ask, by the ids of the description. */\nexport interface Operations {\n" +
		strings.Join(types, "") + "}\n")
	out.WriteString("\n/** operations are their methods and paths. */\nexport const operations = {\n" + strings.Join(paths, "") +
		"} as const;\n")
	return out.Bytes(), nil
}

// describer writes schemas as types; those with a name once.
type describer struct {
	known   map[string]schema
	seen    map[string]bool
	waiting []string
	done    []string
}

// typeOf is a schema as a type.
func (d *describer) typeOf(s schema) string {
	if s.Ref != "" {
		name := s.Ref[strings.LastIndex(s.Ref, "/")+1:]
		if !d.seen[name] {
			d.seen[name] = true
			d.waiting = append(d.waiting, name)
		}
		return name
	}
	switch t := s.Type.(type) {
	case []any: // an array may be null where it is read; the program writes none
		s.Type = t[0]
		return d.typeOf(s)
	case string:
		switch t {
		case "string", "boolean":
			return t
		case "integer", "number":
			return "number"
		case "array":
			if s.Items != nil {
				return "readonly " + bracketed(d.typeOf(*s.Items)) + "[]"
			}
		case "object":
			var of schema
			if json.Unmarshal(s.More, &of) == nil && (of.Ref != "" || of.Type != nil) {
				return "{ readonly [name: string]: " + d.typeOf(of) + " }"
			}
		}
	}
	return "unknown"
}

// declared is a named schema as an interface.
func (d *describer) declared(name string) string {
	s := d.known[name]
	var b strings.Builder
	fmt.Fprintf(&b, "export interface %s {\n", name)
	for _, field := range slices.Sorted(maps.Keys(s.Properties)) {
		optional := "?"
		if slices.Contains(s.Required, field) {
			optional = ""
		}
		fmt.Fprintf(&b, "  readonly %s%s: %s;\n", field, optional, d.typeOf(s.Properties[field]))
	}
	b.WriteString("}\n")
	return b.String()
}

// parameters are those of an operation that stand in its path, or behind it.
func (d *describer) parameters(c *called, in string) string {
	var out []string
	for _, p := range c.Parameters {
		if p.In != in {
			continue
		}
		optional := "?"
		if p.Required {
			optional = ""
		}
		out = append(out, fmt.Sprintf("readonly %s%s: %s", p.Name, optional, d.typeOf(p.Schema)))
	}
	if len(out) == 0 {
		return "object"
	}
	if line := "{ " + strings.Join(out, "; ") + " }"; len(line) < 100 {
		return line
	}
	return "{\n      " + strings.Join(out, ";\n      ") + ";\n    }"
}

// body is what is sent with an operation.
func (d *describer) body(c *called) string {
	if sent, ok := c.Body.Content[jsonMedia]; ok {
		return d.typeOf(sent.Schema)
	}
	return "undefined"
}
