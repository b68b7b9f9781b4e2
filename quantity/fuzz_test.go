package quantity

import "testing"

// Whatever is asked and however packs are sized, the answer covers the need or is
// refused, and never takes a table beyond its bound.
func FuzzCover(f *testing.F) {
	f.Add(33.6, 5.0, 10.0, int64(2500), int64(4500))
	f.Add(1e9, 0.001, 1e9, int64(0), int64(-1))
	f.Add(183.22222222222223, 3.4, 1.1666666666666665, int64(0), int64(0)) // a size of no whole thousandths
	f.Add(-1.0, 0.0, 3.0, int64(1), int64(1))
	f.Fuzz(func(t *testing.T, need, a, b float64, pa, pb int64) {
		c, err := Cover(need, []PricedPack{{"a", a, pa, pa != 0}, {"b", b, pb, pb != 0}})
		if err != nil {
			return
		}
		if c.Total < need-1e-8*(1+a+b) || c.Surplus < 0 {
			t.Fatalf("%g ordered of %g from %g and %g", c.Total, need, a, b)
		}
	})
}
