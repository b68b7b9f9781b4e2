package mixing

import (
	"fmt"
	"testing"
)

// Which share of a piece a bucket covers, by hand: a piece of 2 kg in two buckets is halved from its low end; of a piece of which the
// second half is meant, 1 kg, the first bucket of 0.5 kg covers the third quarter; of shares in several places nobody can say.
func TestSpanOfAPiece(t *testing.T) {
	for _, c := range []struct {
		d         Detail
		kg, share float64
		want      string
	}{
		{Detail{KG: 2}, 2, 0.5, "0–0.5"}, {Detail{KG: 2}, 1, 1, "0.5–1"},
		{Detail{KG: 1, From: 0.5, To: 1, Shared: true}, 1, 0.5, "0.5–0.75"}, {Detail{KG: 1, From: 0.5, To: 1, Shared: true}, 0.5, 1, "0.75–1"},
		{Detail{KG: 1, Shared: true}, 1, 1, "0–0"},
	} {
		p := &pour{items: []Detail{c.d}}
		from, to := p.span(&stretch{kg: c.kg}, c.share)
		if got := fmt.Sprintf("%g–%g", from, to); got != c.want {
			t.Errorf("%+v, %g kg left, %g of it: %s, want %s", c.d, c.kg, c.share, got, c.want)
		}
	}
}
