package office

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"
)

// mostRoofTexts is how many texts of one roof are searched.
const mostRoofTexts = 500

// RoofTexts are the words that somebody wrote into the roof of a job's document, each with its path: "decks[main].name". A
// document without a roof has none.
func RoofTexts(document []byte) []Text {
	var d struct {
		Roof any `json:"roof"`
	}
	if json.Unmarshal(document, &d) != nil {
		return nil
	}
	var out []Text
	walkTexts(d.Roof, "", &out)
	return out
}

// walkTexts goes through a value in the order of its names and places.
func walkTexts(x any, path string, out *[]Text) {
	if len(*out) >= mostRoofTexts {
		return
	}
	switch v := x.(type) {
	case string:
		// A date, a number or a lone unit is no word.
		if strings.ContainsFunc(v, unicode.IsLetter) {
			*out = append(*out, Text{InRoof, plain(path), plain(v)})
		}
	case []any:
		for i, e := range v {
			walkTexts(e, fmt.Sprintf("%s[%s]", path, nameOf(e, i)), out)
		}
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(v)) {
			walkTexts(v[name], strings.TrimPrefix(path+"."+name, "."), out)
		}
	}
}

// plain is a text without control letters, which no database takes as they are.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, s)
}

// nameOf is how an element of a list is called: by its name or id, else by its place from 1.
func nameOf(x any, i int) string {
	if m, ok := x.(map[string]any); ok {
		for _, key := range []string{"name", "id"} {
			if s, ok := m[key].(string); ok && s != "" {
				return s
			}
		}
	}
	return fmt.Sprint(i + 1)
}
