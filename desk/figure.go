package desk

import (
	"strings"

	"gelwright/internal/words"
	"gelwright/plan"
	"gelwright/working"
)

// Figure finds the working of one figure of a plan by its key.
func Figure(p *plan.Plan, key string) (*working.Figure, error) {
	if f, ok := p.Workings.Find(key); ok {
		return f, nil
	}
	keys := p.Workings.Keys()
	return nil, wrong("figure", "", "there is no figure %q of %d; did you mean %s?",
		key, len(keys), strings.Join(words.Nearest(key, keys, 3), ", "))
}
