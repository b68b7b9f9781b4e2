package programme

import (
	"context"
	"testing"
)

// A search above a chance finds the plans to go by that the whole search finds, and none where
// these do not reach it.
func TestSearchAboveAChance(t *testing.T) {
	p := readyFor(t, 15, 12)
	whole, err := p.Search(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if whole.Likeliest == nil {
		t.Fatal("nothing is found to hold it against")
	}
	for _, share := range []float64{0.2, whole.Likeliest.P, whole.Likeliest.P + 0.01, p.chance(p.full) + 0.01} {
		r, err := p.SearchAbove(context.Background(), share)
		if err != nil {
			t.Fatal(err)
		}
		if reached := share <= whole.Likeliest.P; reached != (r.Likeliest != nil) {
			t.Errorf("above %.3f, where the likeliest has %.3f: %v", share, whole.Likeliest.P, r.Likeliest)
			continue
		} else if reached && r.Likeliest.P != whole.Likeliest.P {
			t.Errorf("above %.3f the likeliest has %.3f, of all %.3f", share, r.Likeliest.P, whole.Likeliest.P)
		}
		if r.Likeliest == nil && r.Blocked == "" {
			t.Errorf("above %.3f nothing is found and nothing said of it", share)
		}
	}
}
