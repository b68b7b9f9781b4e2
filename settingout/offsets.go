package settingout

import (
	"math"
	"sort"
)

// offsetsFor lists the row offsets worth trying: where a row line meets a corner
// of deck or opening the list of pieces changes, and only there.
func offsetsFor(bays []bay, pitch float64, most int) []float64 {
	counts := map[int]int{}
	low := math.Inf(1)
	for _, b := range bays {
		lo, _ := b.region.Bounds()
		low = min(low, lo.Y)
	}
	for _, b := range bays {
		for _, l := range b.region {
			for _, p := range l {
				m := math.Mod(p.Y-low, pitch)
				key := int(math.Round(m * 1000))
				if key >= int(math.Round(pitch*1000)) {
					key = 0
				}
				counts[key]++
			}
		}
	}
	keys := make([]int, 0, len(counts))
	for k := range counts {
		keys = append(keys, k)
	}
	sort.Slice(keys, func(i, j int) bool {
		if counts[keys[i]] != counts[keys[j]] {
			return counts[keys[i]] > counts[keys[j]]
		}
		return keys[i] < keys[j]
	})
	out := []float64{0}
	if len(bays) > 1 && most > 2 {
		// The bays' lattices stand half a board apart: what spares one a narrow strip may cut
		// one in the other, so the quarters between are tried too.
		out = append(out, round3(pitch/4), round3(3*pitch/4))
		most += 2
	}
	for _, k := range append(keys, int(pitch*500)) {
		if k != 0 && len(out) < most && k >= int(leastRipM*1000) {
			out = append(out, float64(k)/1000)
		}
	}
	return out
}
