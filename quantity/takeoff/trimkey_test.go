package takeoff

import (
	"testing"

	"gelwright/material"
)

// The catalogue holds every trim that a set-out may name.
func TestEveryTrimIsInTheCatalogue(t *testing.T) {
	for _, name := range trimNames {
		if _, err := material.Generic().Item(trimKey(name)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}
