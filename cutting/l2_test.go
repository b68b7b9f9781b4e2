package cutting

import "testing"

// bars is an order of pieces from bars of one length, any number of them.
func bars(length int, pieces map[int]int) order {
	p := Problem{Stocks: []Stock{{"bar", length, 1, -1}}}
	for l, n := range pieces {
		p.Pieces = append(p.Pieces, Piece{"p", l, n})
	}
	return plain(p)
}

// Rounded up: what does not go in whole takes one more.
func TestRoundedUp(t *testing.T) {
	for _, c := range [][3]int64{{0, 5, 0}, {1, 5, 1}, {4, 5, 1}, {5, 5, 1}, {6, 5, 2}, {10, 5, 2}, {11, 5, 3}, {7, 1, 7}} {
		if got := ceilDiv(c[0], c[1]); got != c[2] {
			t.Errorf("%d by %d is %d, by hand %d", c[0], c[1], got, c[2])
		}
	}
}

// The bound L2 of Martello and Toth (1990) by hand, bars of 10. For each threshold α up to half a bar: pieces over 10 − α and over 5
// take a bar each; of the pieces from α what does not fit beside the latter takes more. The greatest of all thresholds counts.
func TestL2ByHand(t *testing.T) {
	for _, c := range []struct {
		pieces map[int]int
		want   int64
	}{
		// α = 0: three over half, 3·6; beside them are 12, and 20 small: 8 over, one bar more: 4. α = 4: the same 4 but with no waste.
		{map[int]int{6: 3, 4: 5}, 4},
		// α = 4: two of 7 are over 10 − 4 and take no 4; three of 4 take two bars: 4, where lengths alone say (14 + 12)/10: 3.
		{map[int]int{7: 2, 4: 3}, 4},
		// α = 5, half a bar: it counts as small; three of them take two bars.
		{map[int]int{5: 3}, 2},
		// α = 5: with 6 over 10 − 5, two bars and a half more: 3.
		{map[int]int{6: 2, 5: 1}, 3},
		// All in halves: nothing over.
		{map[int]int{5: 4}, 2},
		// Small pieces alone are as their length: 11 of 1, and 10 of 1.
		{map[int]int{1: 11}, 2},
		{map[int]int{1: 10}, 1},
		// α = 3: one of 8 is over 10 − 3, one of 7 is not, beside which one 3 fits; three of 3: 6 over, one more: 3.
		{map[int]int{8: 1, 7: 1, 3: 3}, 3},
		// α = 3: 7 is at 10 − 3 and takes a 3 beside it: 2 of 7, 2 of 3 in two bars.
		{map[int]int{7: 2, 3: 2}, 2},
		// All over half, by number alone, where lengths would go into two.
		{map[int]int{7: 1, 6: 2}, 3},
		// Whole bars.
		{map[int]int{10: 3, 1: 1}, 4},
	} {
		o := bars(10, c.pieces)
		if len(c.pieces) == 1 {
			// Sizes are divided by their common divisor: the bound is of numbers alike.
			o = order{w: nil, cap: []int{10}}
			for w, d := range c.pieces {
				o.w, o.d = append(o.w, w), append(o.d, d)
			}
		}
		if got := o.l2(); got != c.want {
			t.Errorf("%v in bars of 10: L2 is %d, by hand %d", c.pieces, got, c.want)
		}
	}
}

// The step function u(k) of Fekete and Schepers (2001) by hand, bars of 12: u(1) rounds a share down to 0 or 1 but leaves a half; u(2)
// gives thirds and two thirds as they are, what lies between them a half.
func TestStepFunctionsByHand(t *testing.T) {
	for _, c := range []struct {
		pieces map[int]int
		k      int64
		want   int64
	}{
		{map[int]int{7: 3, 5: 9}, 1, 3},  // 7/12 is one, 5/12 nothing
		{map[int]int{6: 3, 5: 9}, 1, 2},  // halves stay halves: 1.5
		{map[int]int{5: 5, 3: 9}, 2, 3},  // ⌊3·5/12⌋ is 1 of 2: five halves
		{map[int]int{4: 4, 5: 1}, 2, 2},  // thirds stay thirds: 4/3 + 1/2
		{map[int]int{4: 3, 11: 1}, 2, 2}, // ⌊3·11/12⌋ is 2 of 2: 1 + 1
		{map[int]int{9: 2, 1: 7}, 2, 2},  // ⌊27/12⌋ is 2 of 2
		{map[int]int{3: 5, 4: 1}, 3, 2},  // quarters stay, ⌊4·4/12⌋ is 1 of 3: 5/4 + 1/3
		{map[int]int{12: 4, 1: 1}, 1, 4},
	} {
		o := bars(12, c.pieces)
		if got := o.dffSteps(c.k); got != c.want {
			t.Errorf("%v in bars of 12, k = %d: %d, by hand %d", c.pieces, c.k, got, c.want)
		}
	}
}
