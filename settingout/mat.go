package settingout

import (
	"context"
	"fmt"
	"math"
	"sort"

	"gelwright/plane"
	"gelwright/roof"
)

// Mat dimensions by common practice where the specification is silent.
const (
	matOnDeckMM = 75 // what an upstand piece laps on to the deck
	// handM is the longest strip that is wetted in one go, m.
	handM = 8.0
	// endStaggerM keeps end laps of neighbouring strips apart, m.
	endStaggerM = 0.300
)

// matting is one layer set out one way.
type matting struct {
	name, dir string
	widthM    float64 // of the roll
	reachM    float64 // the longest strip
	offsetM   float64
	pieces    []Piece
	lapM      float64
	usedM2    float64
	boughtM2  float64
	// trapped: its laps are shingled towards the exit's far side, so that a crew
	// laying in order ends away from the exit.
	trapped int
	// slender counts strips so narrow that little is left beside their laps.
	slender int
	// atOutlet counts outlets that a lap comes near: all the water runs over it there.
	atOutlet int
}

// matAxes lists the ways strips may run on a face.
func matAxes(d roof.Deck, f face, pin string) []struct {
	name string
	u, v plane.Point
} {
	down := f.down
	if down.Length() < 0.5 {
		// No one fall: judge by the longest edge.
		best := 0.0
		for i := range d.Outline {
			if e := d.Outline.Edge(i); e.Straight() && e.Chord() > best+1e-9 {
				best = e.Chord()
				down = e.B.Sub(e.A).Unit().Left().Scale(-1)
			}
		}
		if best == 0 {
			down = plane.Point{Y: -1}
		}
	}
	up := down.Scale(-1)
	low, high := f.region.Bounds()
	middle := low.Add(high).Scale(0.5)
	// Along the fall nothing dictates which side comes first: the far side from the exit.
	side := up.Left()
	if side.Dot(d.Exit.Sub(middle)) < -1e-9 {
		side = side.Scale(-1)
	}
	var out []struct {
		name string
		u, v plane.Point
	}
	if pin != "along fall" {
		out = append(out, struct {
			name string
			u, v plane.Point
		}{"across fall", side, up})
	}
	if pin != "across fall" {
		out = append(out, struct {
			name string
			u, v plane.Point
		}{"along fall", up, side})
	}
	return out
}

// setMat sets out every layer of mat and tissue, then upstands, kerbs and patches.
func setMat(ctx context.Context, d roof.Deck, spec roof.Spec, z sizes, net plane.Region, out *SetOut) error {
	side, end := spec.SideLapMM/1000, spec.EndLapMM/1000
	layers := append([]float64(nil), spec.Layers...)
	names := make([]string, len(layers))
	weights := append([]float64(nil), layers...)
	for i, g := range layers {
		names[i] = matName(g)
	}
	if spec.TissueGPerM2 > 0 {
		names = append(names, fmt.Sprintf("tissue %g g/m²", spec.TissueGPerM2))
		weights = append(weights, spec.TissueGPerM2)
	}
	for i, name := range names {
		r := z.roll(name, weights[i])
		if w := float64(r.width) / 1000; !(side >= 0 && side < w/2) {
			return fmt.Errorf("spec.side_lap_mm: a side lap of %g mm does not fit a roll %g m wide: give 50 to 100 mm", spec.SideLapMM, w)
		}
		if least := upMM(2 * (end + endStaggerM)); r.length < least {
			return fmt.Errorf("%s: a roll of %d mm is too short to lay: give rolls of %d mm or more", name, r.length, least)
		}
		z.rolls[name] = r
	}
	var dirs []string
	var bases []float64
	var fields []field
	for i, name := range names {
		fields = fieldsOf(d, net, max(end, side), float64(z.rolls[name].width)/1000, i+1)
		if i == 0 {
			dirs, bases = make([]string, len(fields)), make([]float64, len(fields))
			for k := range dirs {
				dirs[k] = spec.SetOut.MatDirection
			}
		}
		if err := ctx.Err(); err != nil {
			return fmt.Errorf("setting out mat on deck %q: %w", d.Name, err)
		}
		// Each layer's laps lie half a strip from those below; a third layer, where
		// there is one, a quarter.
		pitch := float64(z.rolls[name].width)/1000 - side
		shift := pitch / 2
		if i >= 2 {
			shift = pitch / 4
		}
		lay := func(pin string, offsets []float64) mattings {
			var sum mattings
			for k, f := range fields {
				way := dirs[k]
				if i > 0 {
					offsets = []float64{math.Mod(bases[k]+shift, pitch)}
				} else if way == "" {
					way = pin
				}
				m, tried := layMat(d, spec, f, way, offsets, i+1, name, z.rolls[name], side, end)
				sum.add(m, tried)
			}
			sum.all.boughtM2 = rollMetres(sum.all.pieces, z.rolls[name].width) * float64(z.rolls[name].width) / 1000
			return sum
		}
		sum := lay("", nil)
		if i == 0 && len(fields) > 1 {
			ways := []mattings{sum}
			for _, pin := range []string{"across fall", "along fall"} {
				if p := spec.SetOut.MatDirection; p == "" || p == pin {
					// From one first line in all fields too: what is cut off one then fits another.
					together, _ := layMat(d, spec, whole(fields), pin, nil, 1, name, z.rolls[name], side, end)
					ways = append(ways, lay(pin, nil), lay(pin, []float64{together.offsetM}))
				}
			}
			sum = bestOf(ways...)
		}
		for k, m := range sum.each {
			if i == 0 {
				bases[k], dirs[k] = m.offsetM, m.dir
			}
		}
		text := fmt.Sprintf("%s: %s, %s, %.1f m of lap, %.1f m² cut from the roll for %.1f m² laid", name, sum.name(), counted(len(sum.all.pieces), "strip"), sum.all.lapM, sum.all.boughtM2, sum.all.usedM2)
		out.Choices = append(out.Choices, Choice{About: fmt.Sprintf("mat layer %d", i+1), Text: text, Pinned: spec.SetOut.MatDirection != "" || spec.SetOut.MatOffsetM != nil, Candidates: sum.tried})
		out.Pieces = append(out.Pieces, sum.all.pieces...)
	}
	for k, f := range fields {
		if f.lowExit(d, dirs[k], float64(z.rolls[names[0]].width)/1000) {
			out.find("mat.exit", d.Name, "strips across the fall start at the low edge, and the exit is below the highest: lay along the fall, or leave by the high side")
		}
	}
	// Number through the layers, in laying order.
	n := 0
	for i := range out.Pieces {
		if out.Pieces[i].Kind == Mat {
			out.Pieces[i].Number = number(Mat, n)
			n++
		}
	}
	upstands(d, spec, names[0], z.rolls[names[0]].width, n, out)
	patches(d, names[0], out)
	return matStock(ctx, z, out)
}

// matName names a mat by its glass weight.
func matName(gPerM2 float64) string { return fmt.Sprintf("mat %g g/m²", gPerM2) }

// layMat weighs directions and offsets for one layer.
func layMat(d roof.Deck, spec roof.Spec, ground field, pin string, offsets []float64, layer int, name string, r roll, side, end float64) (matting, []Candidate) {
	widthM := float64(r.width) / 1000
	pitch := widthM - side
	dirs := []string{"across fall", "along fall"}
	if pin != "" {
		dirs = []string{pin}
	}
	var best matting
	found := false
	var tried []Candidate
	faces := ground.faces
	for _, dir := range dirs {
		try := offsets
		if try == nil {
			try = matOffsets(d, faces, dir, widthM, pitch)
			if o := spec.SetOut.MatOffsetM; o != nil {
				try = []float64{math.Mod(math.Mod(*o, pitch)+pitch, pitch)}
			}
		}
		for _, offset := range try {
			m := matting{dir: dir, widthM: widthM, reachM: min(handM, float64(r.length)/1000), offsetM: offset, name: fmt.Sprintf("strips %s, first line %.3f m in", dir, offset)}
			for _, f := range faces {
				if f.along.Length() > 0 {
					m.layFace(d, f, plane.Frame{U: f.along, V: f.along.Left()}, 0, pitch, side, end, layer, name)
					continue
				}
				axes := matAxes(d, f, dir)
				m.layFace(d, f, plane.Frame{U: axes[0].u, V: axes[0].v}, offset, pitch, side, end, layer, name)
			}
			for i := range m.pieces {
				m.pieces[i].Order = i + 1
			}
			switch {
			case ground.lowExit(d, dir, widthM):
				m.trapped = 1
			case d.Falls.Kind == plane.ToPoint && ground.exit && len(faces) == 1:
				m.trapped = beyondExit(d, matAxes(d, faces[0], dir)[0].v, m.pieces)
			}
			m.atOutlet = lapsAtOutlets(d, ground, m.pieces)
			m.boughtM2 = rollMetres(m.pieces, r.width) * widthM
			tried = append(tried, Candidate{Name: m.name, Direction: dir, OffsetM: round3(offset), Items: len(m.pieces), JointM: round3(m.lapM), WasteM2: round3(m.boughtM2 - m.usedM2)})
			if !found || m.better(best) {
				best, found = m, true
			}
		}
	}
	return best, shortlistMat(tried, best)
}

// slenderMM is the width under which a strip counts as slender.
const slenderMM = 250

// better: a way out first, then no slender strips, then no laps at outlets, then least mat off the roll, least lap, fewest strips.
func (m matting) better(o matting) bool {
	switch {
	case m.trapped != o.trapped:
		return m.trapped < o.trapped
	case m.slender != o.slender:
		return m.slender < o.slender
	case m.atOutlet != o.atOutlet:
		return m.atOutlet < o.atOutlet
	case math.Abs(m.boughtM2-o.boughtM2) > 0.05:
		return m.boughtM2 < o.boughtM2
	case math.Abs(m.lapM-o.lapM) > 0.01:
		return m.lapM < o.lapM
	}
	return len(m.pieces) < len(o.pieces)
}

func shortlistMat(tried []Candidate, best matting) []Candidate {
	sort.SliceStable(tried, func(i, j int) bool {
		a, b := tried[i], tried[j]
		if (a.Name == best.name) != (b.Name == best.name) {
			return a.Name == best.name
		}
		return a.WasteM2+0.01*a.JointM < b.WasteM2+0.01*b.JointM
	})
	var out []Candidate
	for i, c := range tried {
		if len(out) == 6 {
			break
		}
		if c.Chosen = i == 0; !c.Chosen {
			if c.Name == tried[0].Name {
				continue
			}
			c.Why = fmt.Sprintf("%+.1f m² off the roll, %+.1f m of lap, %+d strips", c.WasteM2-tried[0].WasteM2, c.JointM-tried[0].JointM, c.Items-tried[0].Items)
		}
		out = append(out, c)
	}
	return out
}

// matOffsets lists first-line positions: a whole strip at the start, a whole
// strip at the end, and strips' edges at opening edges.
func matOffsets(d roof.Deck, faces []face, dir string, widthM, pitch float64) []float64 {
	out := []float64{0}
	add := func(x float64) {
		x = math.Mod(math.Mod(x, pitch)+pitch, pitch)
		for _, y := range out {
			if math.Abs(x-y) < 0.005 {
				return
			}
		}
		if len(out) < 7 {
			out = append(out, x)
		}
	}
	for _, f := range faces {
		if f.along.Length() > 0 {
			continue
		}
		axes := matAxes(d, f, dir)
		fr := plane.Frame{U: axes[0].u, V: axes[0].v}
		local := fr.RegionIn(f.region)
		low, high := local.Bounds()
		add(high.Y - low.Y - widthM)
		for _, x := range d.Penetrations {
			if x.Kind == "outlet" && f.region.Contains(x.At) {
				add(fr.In(x.At).Y - low.Y - widthM/2)
			}
		}
		add(pitch / 2)
		for _, l := range local {
			if l.SignedArea() < 0 {
				lo, hi := l.Bounds()
				add(lo.Y - low.Y - widthM)
				add(hi.Y - low.Y)
			}
		}
	}
	return out
}

// layFace cuts one face into strips, lowest or farthest first.
func (m *matting) layFace(d roof.Deck, f face, fr plane.Frame, offsetM, pitch, side, end float64, layer int, name string) {
	local := fr.RegionIn(f.region)
	if len(local) == 0 {
		return
	}
	low, high := local.Bounds()
	start := low.Y + offsetM
	for start > low.Y+1e-9 {
		start -= pitch
	}
	// A first strip that only laps under the next is no strip.
	if start+m.widthM < low.Y+side+0.05 && start+pitch <= low.Y+1e-9 {
		start += pitch
	}
	firstPiece := len(m.pieces)
	var tiers []int
	var before []float64
	for k := 0; ; k++ {
		y0 := start + float64(k)*pitch
		if y0 >= high.Y-1e-6 || (k > 0 && y0+side >= high.Y-1e-6) {
			break
		}
		var ends []float64
		parts := local.Band(1, y0, y0+m.widthM).Parts()
		for _, p := range parts {
			lo, hi := p.Bounds()
			cuts := endLaps(lo.X, hi.X, end, m.reachM, before)
			ends = append(ends, cuts...)
			from := lo.X
			for i := 0; i <= len(cuts); i++ {
				to := hi.X
				if i < len(cuts) {
					to = cuts[i] + end/2
				}
				for _, q := range p.Region().Band(0, from, to).Parts() {
					if m.add(q, fr, layer, name, side, end, i > 0, y0 > low.Y+1e-9) {
						tiers = append(tiers, i)
					}
				}
				if i < len(cuts) {
					from = cuts[i] - end/2
					m.lapM += hi.Y - lo.Y
				}
			}
			if y0 > low.Y+1e-9 {
				m.lapM += hi.X - lo.X
			}
		}
		sort.Float64s(ends)
		before = ends
	}
	if d.Falls.Kind == plane.ToPoint {
		// Water comes from all sides: what lies nearer to the point goes down first.
		laid := m.pieces[firstPiece:]
		sort.SliceStable(laid, func(i, j int) bool { return laid[i].from(d.Falls.Point) < laid[j].from(d.Falls.Point)-1e-6 })
		return
	}
	if m.dir == "along fall" {
		// The lower lengths of all strips go down before the upper ones, or the upper
		// end of one would lie on its neighbour and face the water.
		m.byTier(firstPiece, tiers)
	}
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

func (m *matting) add(q plane.Polygon, fr plane.Frame, layer int, name string, side, end float64, endLapped, sideLapped bool) bool {
	lo, hi := q.Bounds()
	if hi.X-lo.X < 0.01 || hi.Y-lo.Y < 0.01 {
		return false
	}
	p := Piece{Kind: Mat, Role: "field", Layer: layer, Edge: -1, Material: name, LengthMM: upMM(hi.X - lo.X), WidthMM: min(upMM(hi.Y-lo.Y), int(m.widthM*1000)), AreaM2: q.Area()}
	p.place(fr, lo, hi)
	p.Shape = fr.LoopOut(q.Outer)
	for _, h := range q.Holes {
		p.Holes = append(p.Holes, fr.LoopOut(h))
	}
	if sideLapped {
		p.LapMM = side * 1000
	}
	if endLapped {
		p.EndLapMM = end * 1000
	}
	m.usedM2 += p.AreaM2
	if p.WidthMM < slenderMM {
		m.slender++
	}
	m.pieces = append(m.pieces, p)
	return true
}
