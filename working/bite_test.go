package working

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

// What a formula is at given values, by hand.
func TestFormulasByHand(t *testing.T) {
	for _, c := range []struct {
		text string
		x    float64
		want float64
	}{
		{"y = ¼·x", 8, 2}, {"y = ¾·x", 8, 6}, {"y = ½·x", 8, 4}, {"y = ⅓·x", 9, 3}, {"y = ⅔·x", 9, 6},
		{"y = 1 where x < 3, else 2", 3, 2}, {"y = 1 where x < 3, else 2", 2.9, 1}, {"y = 1 where x ≤ 3, else 2", 3, 1}, {"y = 1 where x ≤ 3, else 2", 3.1, 2},
		{"y = 1 where x > 3, else 2", 3, 2}, {"y = 1 where x > 3, else 2", 3.1, 1}, {"y = 1 where x ≥ 3, else 2", 3, 1}, {"y = 1 where x ≥ 3, else 2", 2.9, 2},
		{"y = x·10⁻⁶", 5e6, 5}, {"y = x²", 3, 9}, {"y = x⁻²", 2, 0.25}, {"y = x^9", 2, 512}, {"y = x0·2", 7, 14},
	} {
		symbol := "x"
		if strings.Contains(c.text, "x0") {
			symbol = "x0"
		}
		v, err := MustFormula(c.text).Value([]string{symbol}, []float64{c.x})
		if err != nil || math.Abs(v-c.want) > 1e-12*math.Abs(c.want) {
			t.Errorf("%s at %g = %v (%v), want %g", c.text, c.x, v, err, c.want)
		}
	}
	// Whole powers up to the sixteenth are multiplied out, to the last bit.
	x, want := 1.1, 1.0
	for range 16 {
		want *= x
	}
	if v, _ := MustFormula("y = x^16").Value([]string{"x"}, []float64{x}); v != want {
		t.Errorf("1.1^16 = %v, multiplied out %v", v, want)
	}
}

// Figures are printed with the digits that the size of the number asks for, at each bound and just below it.
func TestNumberAtItsBounds(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want string
	}{
		{1000.04, "1000"}, {1049.4, "1049"}, {999.94, "999.9"}, {100.04, "100"}, {104.26, "104.3"}, {99.994, "99.99"}, {10.004, "10"},
		{10.546, "10.55"}, {9.9994, "9.999"}, {1.0004, "1"}, {1.0416, "1.042"}, {0.99994, "0.9999"}, {0.001, "0.001"}, {0.00102, "0.001"},
		{0.00099, "0.00099"}, {-1049.4, "-1049"}, {0, "0"},
	} {
		if got := Number(c.v); got != c.want {
			t.Errorf("%v prints %s, want %s", c.v, got, c.want)
		}
	}
}

// The order of the standings, strongest first, as CONTRIBUTING gives them; of two the weaker counts, whichever comes first.
func TestOrderOfTheStandings(t *testing.T) {
	order := []Standing{Published, Quoted, Given, Supplier, CommonPractice, Remembered, Assumed, Example}
	for i, strong := range order {
		if Weaker(strong, strong) != strong || Weaker(Derived, strong) != strong || Weaker(strong, Derived) != strong {
			t.Errorf("%s beside itself or what is derived", strong)
		}
		for _, weak := range order[i+1:] {
			if Weaker(strong, weak) != weak || Weaker(weak, strong) != weak {
				t.Errorf("%s and %s: %s, %s", strong, weak, Weaker(strong, weak), Weaker(weak, strong))
			}
		}
		f := &Figure{Source: Source{Standing: Derived}, Inputs: []*Figure{{Source: Source{Standing: strong}}}}
		want := strong
		if i <= 2 { // a document or somebody's word: nothing that a person should be told
			want = ""
		}
		if got := (Standings{}).RestsOn(f); got != want {
			t.Errorf("rests on %q, want %q", got, want)
		}
		if got := (Standings{}).RestsOn(f.Inputs[0]); got != "" {
			t.Errorf("a figure rests on its own source: %q", got)
		}
		if r := recordOf("k", f, Standings{}); r.Standing != strong {
			t.Errorf("written with %q, want %q", r.Standing, strong)
		}
		if r := recordOf("k", f.Inputs[0], Standings{}); r.Standing != "" {
			t.Errorf("written with its own standing twice: %q", r.Standing)
		}
	}
}

// Forty brackets in each other are read, one more is refused.
func TestBracketsHaveAnEnd(t *testing.T) {
	nested := func(n int) string { return "y = " + strings.Repeat("(", n) + "x" + strings.Repeat(")", n) }
	deep := 0
	for n := 1; n < 100; n++ {
		if _, err := ParseFormula(nested(n)); err != nil {
			break
		}
		deep = n
	}
	if deep < 30 || deep > 41 {
		t.Errorf("%s brackets are read", strconv.Itoa(deep))
	}
}
