package mixing

import (
	"context"
	"slices"
	"testing"

	"gelwright/plane"
)

// Every bucket is laid in one place: what it covers hangs together along five centimetres or
// more, however the strips run and wherever the way off lies.
func TestABucketIsLaidInOnePlace(t *testing.T) {
	for _, exit := range []plane.Point{{X: 0, Y: 0}, {X: 3, Y: 0}, {X: 6, Y: 3.6}, {X: 3, Y: 3.6}, {X: 0, Y: 2}} {
		for _, people := range []int{1, 2, 4} {
			in := garage()
			in.Crew.People = people
			in.Exits = []plane.Point{exit}
			in.Cells = nil
			for i := range 4 {
				y := 0.9 * float64(i)
				in.Cells = append(in.Cells, box("M"+string(rune('1'+i)), i+1, 0, y, 6, y+0.9, 1.5))
			}
			p, err := Make(context.Background(), in)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range p.Mixes {
				if !onePlace(m.Parts) {
					t.Errorf("exit %v, %d people: bucket %d is laid on %d places that do not touch", exit, people, m.Number, len(m.Parts))
				}
			}
		}
	}
}

// crumb reports whether a part is too small for a mix of its own.
func crumb(parts []Part) bool {
	return slices.ContainsFunc(parts, func(x Part) bool { return x.KG < leastMixKG })
}

// onePlace reports whether the parts of a bucket hang together.
func onePlace(parts []Part) bool {
	seen := map[int]bool{0: true}
	for grown := true; grown; {
		grown = false
		for i := range parts {
			for j := range parts {
				if seen[i] && !seen[j] && touches(parts[i].Shape, parts[j].Shape) {
					seen[j], grown = true, true
				}
			}
		}
	}
	return len(seen) == len(parts)
}
