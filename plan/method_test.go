package plan_test

import (
	"strings"
	"testing"
)

// Every hole in the words of the method is filled with what was planned.
func TestMethodHasNoHoles(t *testing.T) {
	for _, name := range examples(t) {
		for _, s := range planned(t, name).Method {
			if text := s.Act + s.Why + s.Record; strings.ContainsAny(text, "{}<") || s.Act == "" {
				t.Errorf("%s, step %d: %q", name, s.Number, text)
			}
		}
	}
}
