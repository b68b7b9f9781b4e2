package margin

import (
	"encoding/json"
	"sort"
	"strings"

	"gelwright/rooffile"
)

// Field is one field of the roof file that is a plain value, as a form shows it. Deck is set for the fields of a deck,
// whose path begins with the deck.
type Field struct {
	Path    string   `json:"path"`
	Deck    bool     `json:"deck"`
	Doc     string   `json:"doc" said:"yes"`
	Unit    string   `json:"unit"`
	Choices []string `json:"choices"`
	// Kind is "text", "number", "yes or no", or "list" of numbers or words.
	Kind    string `json:"kind"`
	Example string `json:"example"`
}

// schemaNode is as much of a JSON Schema as a form asks for.
type schemaNode struct {
	Type        any                    `json:"type"`
	Description string                 `json:"description"`
	Enum        []string               `json:"enum"`
	AnyOf       []schemaNode           `json:"anyOf"`
	Examples    []any                  `json:"examples"`
	Properties  map[string]*schemaNode `json:"properties"`
	Items       *schemaNode            `json:"items"`
	Defs        map[string]*schemaNode `json:"$defs"`
}

// drawnFields are set on the sheet, or in lists of their own.
var drawnFields = map[string]bool{"version": true, "outline": true, "edges": true, "fall": true, "openings": true, "penetrations": true,
	"movement_joints": true, "exit": true, "survey": true, "moisture": true, "levels": true, "hours": true}

// fields are all plain fields of the roof file.
func fields() ([]Field, error) {
	raw, err := rooffile.Schema()
	if err != nil {
		return nil, err
	}
	var root schemaNode
	if err := json.Unmarshal(raw, &root); err != nil {
		return nil, err
	}
	out := []Field{}
	out = root.walk(out, "", false)
	if deck := root.Defs["deck"]; deck != nil {
		out = deck.walk(out, "", true)
	}
	return out, nil
}

func (n *schemaNode) walk(out []Field, path string, deck bool) []Field {
	names := make([]string, 0, len(n.Properties))
	for name := range n.Properties {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		x := n.Properties[name]
		at := strings.TrimPrefix(path+"."+name, ".")
		switch {
		case path == "" && drawnFields[name] || drawnFields[name] && path == "day":
		case len(x.Properties) > 0:
			out = x.walk(out, at, deck)
		default:
			if f, plain := x.field(at, deck); plain {
				out = append(out, f)
			}
		}
	}
	return out
}

// field is a plain one; lists of anything but numbers and words are none.
func (n *schemaNode) field(path string, deck bool) (Field, bool) {
	f := Field{Path: path, Deck: deck, Doc: n.Description, Choices: append([]string{}, n.Enum...), Kind: "text"}
	if doc, unit, known := strings.Cut(n.Description, " Unit: "); known {
		f.Doc, f.Unit = doc, strings.TrimSuffix(unit, ".")
	}
	if len(n.Examples) > 0 {
		if raw, err := json.Marshal(n.Examples[0]); err == nil {
			f.Example = strings.Trim(string(raw), `"`)
		}
	}
	kind := n.Type
	if len(n.AnyOf) > 0 {
		kind = n.AnyOf[0].Type
	}
	switch kind {
	case "number", "integer":
		f.Kind = "number"
	case "boolean":
		f.Kind = "yes or no"
	case "array":
		if n.Items == nil || n.Items.Type != "number" && n.Items.Type != "string" {
			return f, false
		}
		f.Kind = "list"
	case "object":
		return f, false
	}
	return f, len(n.Enum) > 0 || kind != nil
}
