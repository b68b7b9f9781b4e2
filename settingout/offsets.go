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

// cornersWeighed bounds the corner lines of a deck that critical offsets are derived from.
const cornersWeighed = 12

// criticalOffsets lists the offsets of the rows, in whole millimetres below the pitch,
// at which what is cut can change: where a row line meets a corner of deck or opening;
// where a strip at one becomes as wide as the least that is laid, or as narrow as half
// or a third of a board; and where the strips at two of them fit on one board's width.
func criticalOffsets(bays []bay, r boardRules) []float64 {
	lines := cornerLines(bays, r.pitch)
	kerf := float64(r.kerf) / 1000
	seen := map[int]bool{}
	pitch := int(math.Round(r.pitch * 1000))
	add := func(m float64) {
		mm := int(math.Round(math.Mod(math.Mod(m, r.pitch)+r.pitch, r.pitch) * 1000))
		seen[mm%pitch] = true
	}
	add(0)
	for i, y := range lines {
		add(y)
		add(y - r.width)
		for _, strip := range []float64{leastRipM, (r.width - kerf) / 2, (r.width - 2*kerf) / 3} {
			strip = math.Floor(strip*1000) / 1000
			add(y - strip)
			add(y + strip - r.width)
		}
		for _, z := range lines[i:] {
			for _, turn := range []float64{0, r.pitch / 2} {
				add(math.Floor(((y+z-r.width-kerf)/2+turn)*1000) / 1000)
				add(math.Ceil(((y+z-r.width+kerf)/2+turn)*1000) / 1000)
			}
		}
	}
	keys := make([]int, 0, len(seen))
	for k := range seen {
		keys = append(keys, k)
	}
	sort.Ints(keys)
	out := make([]float64, len(keys))
	for i, k := range keys {
		out[i] = float64(k) / 1000
	}
	return out
}

// cornerLines lists where sides of the bays run along the rows, from the lowest point,
// the longest first and each once within a pitch.
func cornerLines(bays []bay, pitch float64) []float64 {
	low := math.Inf(1)
	for _, b := range bays {
		lo, _ := b.region.Bounds()
		low = min(low, lo.Y)
	}
	lengths := map[int]float64{}
	add := func(y, length float64) {
		lengths[int(math.Round(math.Mod(y-low, pitch)*1000))] += length
	}
	for _, b := range bays {
		lo, hi := b.region.Bounds()
		add(lo.Y, 0.001)
		add(hi.Y, 0.001)
		for _, l := range b.region {
			for i, p := range l {
				if q := l[(i+1)%len(l)]; math.Abs(p.Y-q.Y) < 0.001 {
					add(p.Y, math.Abs(p.X-q.X))
				}
			}
		}
	}
	keys := make([]int, 0, len(lengths))
	for k := range lengths {
		keys = append(keys, k)
	}
	sort.Slice(keys, func(i, j int) bool {
		a, b := lengths[keys[i]], lengths[keys[j]]
		if math.Abs(a-b) > 1e-6 {
			return a > b
		}
		return keys[i] < keys[j]
	})
	var out []float64
	for _, k := range keys[:min(len(keys), cornersWeighed)] {
		out = append(out, float64(k)/1000)
	}
	return out
}
