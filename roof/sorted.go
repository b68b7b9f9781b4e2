package roof

import (
	"maps"
	"slices"
)

// sortedKeys returns a map's keys in order, so that nothing depends on chance.
func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
