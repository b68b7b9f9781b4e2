package rooffile

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	text, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("roof.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("roof.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// asJSON turns a YAML text into the data that a schema looks at.
func asJSON(t *testing.T, text []byte) any {
	t.Helper()
	j, err := yaml.YAMLToJSON(text)
	if err != nil {
		t.Fatal(err)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(j))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// An independent validator (santhosh-tekuri/jsonschema) accepts every example, and
// what the writer makes of it.
func TestSchemaAcceptsTheExamples(t *testing.T) {
	s := compiled(t)
	for name, job := range examples(t) {
		text, err := os.ReadFile(filepath.Join("../examples", name))
		if err != nil {
			t.Fatal(err)
		}
		again, err := Write(job)
		if err != nil {
			t.Fatal(err)
		}
		for what, text := range map[string][]byte{"as written by hand": text, "as written again": again} {
			if err := s.Validate(asJSON(t, text)); err != nil {
				t.Errorf("%s, %s: %v", name, what, err)
			}
		}
	}
}

// What the schema refuses the reader refuses, and the other way about, for types,
// words, ranges and fields.
func TestSchemaAndReaderAgree(t *testing.T) {
	s := compiled(t)
	for _, c := range []struct {
		old, new string
		good     bool
	}{
		{"name: Shed", "name: Shed", true},
		{"name: Shed", "name: 1042", true},
		{"name: Shed", "name: [Shed]", false},
		{"name: Shed", "name: true", false},
		{"name: Shed\n", "", false},
		{"version: 1", "version: 2", false},
		{"version: 1", "version: 1.5", false},
		{"2026-05-12", "12.5.2026", false},
		{"[3, 0]", `["3 m", 0]`, true},
		{"[3, 0]", `["9 ft 10 in", 0]`, true},
		{"[3, 0]", `["three", 0]`, false},
		{"[3, 0]", `[3]`, false},
		{"[3, 0]", `[6200, 0]`, false},
		{"drip,", "{condition: drip, height_mm: 40},", true},
		{"drip,", "{height_mm: 40},", false},
		{"drip,", "eaves,", false},
		{"drip,", "{condition: drip, arc: {rise_m: 0.2}},", true},
		{"drip,", "{condition: drip, arc: {rise: 0.2}},", false},
		{"south", "[0, -1]", true},
		{"south", "down", false},
		{"ratio: 40", "ratio: flat", false},
		{"ratio: 40", "ratio: -40", false},
		{"  fall:", "  anti_slip_all: maybe\n  fall:", false},
		{"  fall:", "  anti_slip_all: true\n  fall:", true},
		{"  fall:", "  exits: [0, 0]\n  fall:", false},
		{"deck:", "crew: {people: 0}\ndeck:", false},
		{"deck:", "crew: {people: 2.5}\ndeck:", false},
		{"deck:", `crew: {start: "25:00"}` + "\ndeck:", false},
		{"deck:", "site: {country: England}\ndeck:", false},
		{"deck:", "site: {country: US}\ndeck:", true},
		{"deck:", "site: {country: UK}\ndeck:", true},
		{"deck:", "site: {country: KE, lat_deg: -1.3, lon_deg: 36.8}\ndeck:", true},
		{"deck:", "spec: {layers_g_per_m2: [600, 450]}\ndeck:", true},
		{"deck:", "spec: {layers_g_per_m2: 600}\ndeck:", false},
		{"deck:", "day: {air_c: 55 °F}\ndeck:", true},
	} {
		text := strings.Replace(sound, c.old, c.new, 1)
		_, _, err := Read("shed.yaml", []byte(text))
		if (err == nil) != c.good {
			t.Errorf("reader, %q: %v, want accepted %v", c.new, err, c.good)
		}
		if err := s.Validate(asJSON(t, []byte(text))); (err == nil) != c.good {
			t.Errorf("schema, %q: %v, want accepted %v", c.new, err, c.good)
		}
	}
}

// Every field is described, so that an editor has something to show.
func TestSchemaDescribesEveryField(t *testing.T) {
	text, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	var root map[string]any
	if err := json.Unmarshal(text, &root); err != nil {
		t.Fatal(err)
	}
	fields := 0
	var walk func(path string, v any)
	walk = func(path string, v any) {
		switch v := v.(type) {
		case map[string]any:
			if properties, ok := v["properties"].(map[string]any); ok {
				for name, p := range properties {
					fields++
					if d, _ := p.(map[string]any)["description"].(string); d == "" {
						t.Errorf("%s.%s has no description", path, name)
					}
				}
			}
			for k, x := range v {
				walk(path+"."+k, x)
			}
		case []any:
			for _, x := range v {
				walk(path, x)
			}
		}
	}
	walk("", root)
	if fields < 100 {
		t.Errorf("only %d fields found", fields)
	}
}
