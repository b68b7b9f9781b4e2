package web

import (
	"encoding/json"
	"reflect"
	"strings"
	"unicode"

	"github.com/danielgtaylor/huma/v2"

	"gelwright/store"
)

// Document is what a state holds, byte for byte: the roof under "roof", and what the page keeps for itself beside it.
type Document struct {
	json.RawMessage
}

// documentOf is what of a document is described.
type documentOf struct {
	_    struct{}       `additionalProperties:"true"`
	Roof map[string]any `json:"roof" doc:"The fields of a roof file, as JSON"`
}

// Schema describes a document.
func (Document) Schema(r huma.Registry) *huma.Schema {
	const name = "Document"
	if r.Map()[name] == nil {
		s := huma.SchemaFromType(r, reflect.TypeFor[documentOf]())
		s.Description = "The roof under \"roof\", and what the page keeps for itself beside it. It is given back byte for byte."
		r.Map()[name] = s
	}
	return &huma.Schema{Ref: "#/components/schemas/" + name}
}

// namesIn are the names of job and site in a document's roof, as far as they are kept.
func namesIn(document []byte) (title, site string, err error) {
	roof, err := roofIn(document)
	if err != nil {
		return "", "", err
	}
	var names struct {
		Name any `json:"name"`
		Site any `json:"site"`
	}
	if json.Unmarshal(roof, &names) != nil {
		return "", "", nil
	}
	if fields, ok := names.Site.(map[string]any); ok {
		names.Site = fields["name"]
	}
	return lineIn(names.Name), lineIn(names.Site), nil
}

// lineIn is a text as a line that can be kept; empty of anything else.
func lineIn(x any) string {
	text, _ := x.(string)
	line := []rune(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, text))
	return strings.TrimSpace(string(line[:min(len(line), store.MostText)]))
}

// roofIn is the roof file in a document.
func roofIn(document []byte) (json.RawMessage, error) {
	var d struct {
		Roof json.RawMessage `json:"roof"`
	}
	if err := json.Unmarshal(document, &d); err != nil || len(d.Roof) == 0 || d.Roof[0] != '{' {
		return nil, asked("document", "document.roof", `Send {"roof": {…}} with the fields of a roof file`, "the document holds no roof")
	}
	return d.Roof, nil
}
