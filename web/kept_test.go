package web

import (
	"context"
	"errors"
	"strings"
	"testing"
)

// What is kept is kept by its weight: the longest not asked for is made anew first, and one that is heavier than all room stays while
// it is the last.
func TestWhatIsKeptIsBoundedByItsWeight(t *testing.T) {
	made := ""
	k := keepBy(10, func(s string) int { return len(s) }, make(chan struct{}, 1))
	get := func(key string, weight int) {
		t.Helper()
		v, err := k.get(t.Context(), key, func(context.Context) (string, error) {
			made += key
			return strings.Repeat(key, weight), nil
		})
		if err != nil || v != strings.Repeat(key, weight) {
			t.Errorf("%s: %q, %v", key, v, err)
		}
	}
	get("a", 4)
	get("b", 4)
	get("a", 4) // asked for again: b is the older now
	get("c", 3)
	get("a", 4)
	get("b", 4) // was forgotten; now c goes
	get("a", 4)
	get("c", 3)
	get("d", 50)
	get("d", 50)
	get("a", 4)
	if made != "abcbcda" {
		t.Errorf("made were %s", made)
	}
	no := errors.New("no")
	for range 2 {
		if _, err := k.get(t.Context(), "e", func(context.Context) (string, error) { made += "e"; return "", no }); !errors.Is(err, no) {
			t.Error(err)
		}
	}
	if made != "abcbcdae" {
		t.Errorf("a refusal is made twice: %s", made)
	}
}
