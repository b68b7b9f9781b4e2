package method

import (
	"strings"
	"testing"
)

// One of a thing is said in the singular.
func TestBucketsInOrder(t *testing.T) {
	for _, c := range []struct {
		n, first, last int
		want           string
	}{{1, 3, 3, "one bucket, number 3, ending"}, {2, 3, 4, "2 buckets, numbers 3 to 4, in that order"}} {
		if got := bucketsInOrder(c.n, c.first, c.last); !strings.HasPrefix(got, c.want) {
			t.Errorf("%d buckets: %q, want %q", c.n, got, c.want)
		}
	}
}
