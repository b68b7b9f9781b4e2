package settingout

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Whatever division is called clean covers its stretch with its laps, in pieces of a
// lawful length, joints clear; and the walk over all places finds one wherever the
// trial of closing pieces does.
func TestDivisionsAreLawful(t *testing.T) {
	short, walked := 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		s := undivided{total: rapid.IntRange(200, 12000).Draw(rt, "total"), lap: rapid.IntRange(40, 100).Draw(rt, "lap"), stock: rapid.SampledFrom([]int{700, 1000, 2400, 3000}).Draw(rt, "stock")}
		for at := 0; ; {
			if at += rapid.IntRange(310, 2400).Draw(rt, "board joint"); at >= s.total {
				break
			}
			s.avoid = append(s.avoid, at)
		}
		w := wish{closing: rapid.SampledFrom([]int{0, 650, 900}).Draw(rt, "wish"), more: rapid.Bool().Draw(rt, "more")}
		l, clean := trimLengths(s, trimLikedMM, w)
		end := 0
		for k, v := range l {
			if k > 0 {
				if clean && s.near(end) {
					rt.Fatalf("%v: joint %d is too near", l, k)
				}
				end -= s.lap
			}
			end += v
			if v > s.stock || clean && len(l) > 1 && v < trimLeastMM {
				rt.Fatalf("%v: a piece of %d mm", l, v)
			}
		}
		if end != s.total {
			rt.Fatalf("%v covers %d of %d mm", l, end, s.total)
		}
		n := len(l)
		if n > 1 && clean && slices.Min(l) < trimLikedMM {
			short++
			if s.clearOf(n, trimLikedMM) != nil {
				rt.Fatalf("%v, though %v would do", l, s.clearOf(n, trimLikedMM))
			}
		}
		for _, least := range []int{trimLikedMM, trimLeastMM} {
			closed, walk := s.closed(n, least, least), s.clearOf(n, least)
			if n > 1 && closed != nil && walk == nil {
				rt.Fatalf("%v lies clear, the walk finds nothing", closed)
			}
			if n > 1 && closed == nil && walk != nil {
				walked++
			}
		}
	})
	t.Logf("%d with short pieces, %d found by the walk alone", short, walked)
}

// TestNearStaysAsItIs: what is said of a joint's place holds down to where it is said to.
func TestNearStaysAsItIs(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := undivided{total: rapid.IntRange(1000, 6000).Draw(rt, "total"), lap: rapid.IntRange(0, 81).Draw(rt, "lap"), stock: 3000}
		s.avoid = rapid.SliceOfN(rapid.IntRange(1, s.total), 0, 6).Draw(rt, "avoid")
		slices.Sort(s.avoid)
		for end := s.total; end > 0; end-- {
			near, until := s.nearFor(end)
			if near != s.near(end) || until > end {
				rt.Fatalf("%d: near %v down to %d, asked %v: %+v", end, near, until, s.near(end), s)
			}
			for e := max(until, end-40, 0); e < end; e++ {
				if s.near(e) != near {
					rt.Fatalf("%d: near %v is said to hold down to %d, at %d it does not: %+v", end, near, until, e, s)
				}
			}
		}
	})
}
