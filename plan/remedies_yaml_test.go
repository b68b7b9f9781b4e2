package plan_test

import (
	"testing"

	"github.com/goccy/go-yaml"
)

// What a failed check would have written into the roof file is YAML, one value for one field.
func TestRemediesOfChecksAreYAML(t *testing.T) {
	tried := 0
	for _, name := range examples(t) {
		for _, r := range planned(t, name).Checks {
			for _, m := range r.Remedies {
				if m.Field == "" || m.Value == "" {
					continue
				}
				tried++
				var v map[string]any
				if err := yaml.Unmarshal([]byte("field: "+m.Value), &v); err != nil || len(v) != 1 || v["field"] == nil {
					t.Errorf("%s: %s: %s: %q is not YAML: %v", name, r.Key, m.Field, m.Value, err)
				}
			}
		}
	}
	if tried < 5 {
		t.Errorf("only %d remedies were tried", tried)
	}
}
