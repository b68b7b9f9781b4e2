package settingout

import (
	"math"
	"sort"

	"gelwright/plane"
)

// layFace cuts one face into strips, lowest or farthest first.
func (m *matting) layFace(l *matLayer, f face, fr plane.Frame, offsetM float64) {
	local := fr.RegionIn(f.region)
	if len(local) == 0 {
		return
	}
	pitch := l.pitchM()
	low, high := local.Bounds()
	start := low.Y + offsetM
	for start > low.Y+1e-9 {
		start -= pitch
	}
	// A first strip that only laps under the next is no strip.
	if start+m.widthM < low.Y+l.sideM+0.05 && start+pitch <= low.Y+1e-9 {
		start += pitch
	}
	firstPiece := len(m.pieces)
	var tiers []int
	var before []float64
	for k := 0; ; k++ {
		y0 := start + float64(k)*pitch
		if y0 >= high.Y-1e-6 || (k > 0 && y0+l.sideM >= high.Y-1e-6) {
			break
		}
		var ends []float64
		for _, p := range local.Band(1, y0, y0+m.widthM).Parts() {
			var cuts []float64
			tiers, cuts = m.layStrip(l, p, fr, y0 > low.Y+1e-9, before, tiers)
			ends = append(ends, cuts...)
		}
		sort.Float64s(ends)
		before = ends
	}
	if l.d.Falls.Kind == plane.ToPoint {
		// Water comes from all sides: what lies nearer to the point goes down first.
		laid := m.pieces[firstPiece:]
		sort.SliceStable(laid, func(i, j int) bool { return laid[i].from(l.d.Falls.Point) < laid[j].from(l.d.Falls.Point)-1e-6 })
		return
	}
	if m.dir == "along fall" {
		// The lower lengths of all strips go down before the upper ones, or the upper
		// end of one would lie on its neighbour and face the water.
		m.byTier(firstPiece, tiers)
	}
}

// layStrip lays one strip, in lengths with end laps away from those of the strip before,
// and appends the tier of each piece. It returns where its end laps lie, too.
func (m *matting) layStrip(l *matLayer, p plane.Polygon, fr plane.Frame, sideLapped bool, before []float64, tiers []int) ([]int,
	[]float64) {
	lo, hi := p.Bounds()
	cuts := endLaps(lo.X, hi.X, l.endM, m.reachM, before)
	from := lo.X
	for i := 0; i <= len(cuts); i++ {
		to := hi.X
		if i < len(cuts) {
			to = cuts[i] + l.endM/2
		}
		for _, q := range p.Region().Band(0, from, to).Parts() {
			if m.add(l, q, fr, i > 0, sideLapped) {
				tiers = append(tiers, i)
			}
		}
		if i < len(cuts) {
			from = cuts[i] - l.endM/2
			m.lapM += hi.Y - lo.Y
		}
	}
	if sideLapped {
		m.lapM += hi.X - lo.X
	}
	return tiers, cuts
}

// from is how far a piece lies from p, 0 where p lies in it.
func (p Piece) from(q plane.Point) float64 {
	if r := p.Shape; !r.Contains(q) {
		return r.Distance(q)
	}
	return 0
}

// byTier orders the pieces from first on by tier, keeping their order within it.
func (m *matting) byTier(first int, tiers []int) {
	index := make([]int, len(tiers))
	for i := range index {
		index[i] = i
	}
	sort.SliceStable(index, func(i, j int) bool { return tiers[index[i]] < tiers[index[j]] })
	laid := append([]Piece(nil), m.pieces[first:]...)
	for i, k := range index {
		m.pieces[first+i] = laid[k]
	}
}

// endLaps divides a strip into lengths a crew can wet in one go, end laps kept
// away from those of the strip before.
func endLaps(a, b, end, reachM float64, before []float64) []float64 {
	if b-a <= reachM {
		return nil
	}
	n := math.Ceil((b - a - end) / (reachM - end - endStaggerM))
	var out []float64
	for k := 1.0; k < n; k++ {
		x := a + (b-a)*k/n
		for _, shift := range []float64{0, endStaggerM / 2, -endStaggerM / 2, endStaggerM, -endStaggerM} {
			if clearOf(x+shift, before, endStaggerM-1e-9) {
				x += shift
				break
			}
		}
		out = append(out, x)
	}
	return out
}

// add adds a piece of a strip, and reports whether there is anything of it.
func (m *matting) add(l *matLayer, q plane.Polygon, fr plane.Frame, endLapped, sideLapped bool) bool {
	lo, hi := q.Bounds()
	if hi.X-lo.X < 0.01 || hi.Y-lo.Y < 0.01 {
		return false
	}
	p := Piece{Kind: Mat, Role: "field", Layer: l.number, Edge: -1, Material: l.name, AreaM2: q.Area()}
	p.LengthMM, p.WidthMM = upMM(hi.X-lo.X), min(upMM(hi.Y-lo.Y), int(m.widthM*1000))
	p.place(fr, lo, hi)
	p.Shape = fr.LoopOut(q.Outer)
	for _, h := range q.Holes {
		p.Holes = append(p.Holes, fr.LoopOut(h))
	}
	if sideLapped {
		p.LapMM = l.sideM * 1000
	}
	if endLapped {
		p.EndLapMM = l.endM * 1000
	}
	m.usedM2 += p.AreaM2
	if p.WidthMM < slenderMM {
		m.slender++
	}
	m.pieces = append(m.pieces, p)
	return true
}
