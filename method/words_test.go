package method

import (
	"strings"
	"testing"

	"gelwright/laying"
	"gelwright/mixing"
)

// One of a thing is said in the singular.
func TestBucketsInOrder(t *testing.T) {
	for _, c := range []struct {
		numbers []int
		want    string
	}{{[]int{3}, "one bucket, number 3, ending"}, {[]int{3, 4}, "2 buckets, numbers 3 to 4, in that order"}} {
		p := laying.Pass{Plan: &mixing.Plan{}}
		for _, n := range c.numbers {
			p.Plan.Mixes = append(p.Plan.Mixes, mixing.Mix{Number: n})
		}
		if got := bucketsInOrder(&p); !strings.HasPrefix(got, c.want) {
			t.Errorf("buckets %v: %q, want %q", c.numbers, got, c.want)
		}
	}
}

// One board piece has one number; several have theirs.
func TestBoardsByNumber(t *testing.T) {
	for n, want := range map[int]string{1: "one carrier board piece by its number", 8: "8 carrier board pieces by their numbers"} {
		if pieces, numbers := byNumber(n, "carrier board"); pieces+" by "+numbers != want {
			t.Errorf("%s by %s, want %s", pieces, numbers, want)
		}
	}
}
