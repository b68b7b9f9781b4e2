package settingout

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
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
		down = outOfLongest(d)
	}
	up := down.Scale(-1)
	middle := centroid([]bay{{f.region}})
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

// outOfLongest is the way out over the longest straight edge, where there is no one fall;
// of edges as long the farthest from the exit, so that one lays towards it.
func outOfLongest(d roof.Deck) plane.Point {
	down, longest, far := plane.Point{Y: -1}, 0.0, 0.0
	for i := range d.Outline {
		e := d.Outline.Edge(i)
		if !e.Straight() {
			continue
		}
		l, off := e.Chord(), e.At(0.5).Distance(d.Exit)
		if l > longest+1e-6 || l > longest-1e-6 && off > far+1e-6 {
			longest, far = max(l, longest), off
			down = e.B.Sub(e.A).Unit().Left().Scale(-1)
		}
	}
	return down
}

// matLayer is one layer of mat or tissue to be laid.
type matLayer struct {
	d    roof.Deck
	spec roof.Spec
	// number counts layers from 1, the lowest; a tissue comes last.
	number      int
	name        string
	roll        roll
	sideM, endM float64 // laps
	// ctx ends the search for the best way; what was laid by then is not used.
	ctx context.Context
}

func (l *matLayer) widthM() float64 { return float64(l.roll.width) / 1000 }

// pitchM is how far strips lie from line to line.
func (l *matLayer) pitchM() float64 { return l.widthM() - l.sideM }

// matLayers lists the layers of a specification, tissue last, each with the roll it is cut
// from, which z then knows.
func matLayers(d roof.Deck, spec roof.Spec, z sizes) ([]matLayer, error) {
	var out []matLayer
	add := func(name string, gPerM2 float64) error {
		l := matLayer{d: d, spec: spec, number: len(out) + 1, name: name, roll: z.roll(name, gPerM2), sideM: spec.SideLapMM / 1000,
			endM: spec.EndLapMM / 1000}
		if !(l.sideM >= 0 && l.sideM < l.widthM()/2) {
			return fmt.Errorf("spec.side_lap_mm: a side lap of %g mm does not fit a roll %g m wide: give 50 to 100 mm", spec.SideLapMM, l.widthM())
		}
		if least := upMM(2 * (l.endM + endStaggerM)); l.roll.length < least {
			return fmt.Errorf("%s: a roll of %d mm is too short to lay: give rolls of %d mm or more", name, l.roll.length, least)
		}
		z.rolls[name] = l.roll
		out = append(out, l)
		return nil
	}
	for _, g := range spec.Layers {
		if err := add(matName(g), g); err != nil {
			return nil, err
		}
	}
	if g := spec.TissueGPerM2; g > 0 {
		if err := add(fmt.Sprintf("tissue %g g/m²", g), g); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// setMat sets out every layer of mat and tissue, then upstands, kerbs and patches.
func setMat(ctx context.Context, d roof.Deck, spec roof.Spec, z sizes, net plane.Region, out *SetOut) error {
	layers, err := matLayers(d, spec, z)
	if err != nil {
		return err
	}
	var below matWays
	var fields []field
	for i := range layers {
		l := &layers[i]
		l.ctx = ctx
		fields = fieldsOf(d, net, max(l.endM, l.sideM), l.widthM(), l.number)
		if err := ctx.Err(); err != nil {
			return fmt.Errorf("setting out mat on deck %q: %w", d.Name, err)
		}
		var sum mattings
		if i == 0 {
			sum, below = l.layFirst(fields)
		} else {
			sum = l.layOver(fields, below)
		}
		text := fmt.Sprintf("%s: %s, %s, %.1f m of lap, %.1f m² cut from the roll for %.1f m² laid",
			l.name, sum.name(), counted(len(sum.all.pieces), "strip"), sum.all.lapM, sum.all.boughtM2, sum.all.usedM2)
		pinned := spec.SetOut.MatDirection != "" || spec.SetOut.MatOffsetM != nil
		out.Choices = append(out.Choices, Choice{About: fmt.Sprintf("mat layer %d", l.number), Text: text, Pinned: pinned, Candidates: sum.tried})
		out.Pieces = append(out.Pieces, sum.all.pieces...)
	}
	lowest := &layers[0]
	for k, f := range fields {
		if f.lowExit(d, below.dirs[k], lowest.widthM()) {
			out.find("mat.exit", d.Name,
				"strips across the fall start at the low edge, and the exit is below the highest: lay along the fall, or leave by the high side")
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
	upstands(d, spec, lowest.name, lowest.roll.width, n, out)
	patches(d, lowest.name, out)
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("setting out mat on deck %q: %w", d.Name, err)
	}
	return matStock(ctx, z, out)
}

// matWays are the direction and the first line, m, of the lowest layer in each field.
type matWays struct {
	dirs  []string
	bases []float64
}

// layFields lays every field of a layer: way and offsets give what is tried in each.
func (l *matLayer) layFields(fields []field, way func(k int) string, offsets func(k int) []float64) mattings {
	var sum mattings
	for k, f := range fields {
		m, tried := l.weigh(f, way(k), offsets(k))
		sum.add(m, tried)
	}
	sum.all.boughtM2 = rollMetres(sum.all.pieces, l.roll.width) * l.widthM()
	return sum
}

// layFirst lays the lowest layer, each field its own way or all of them one way.
func (l *matLayer) layFirst(fields []field) (mattings, matWays) {
	pinned := l.spec.SetOut.MatDirection
	lay := func(pin string, offsets []float64) mattings {
		if pinned != "" {
			pin = pinned
		}
		return l.layFields(fields, func(int) string { return pin }, func(int) []float64 { return offsets })
	}
	sum := lay("", nil)
	if len(fields) > 1 {
		ways := []mattings{sum}
		for _, pin := range []string{"across fall", "along fall"} {
			if pinned == "" || pinned == pin {
				// From one first line in all fields too: what is cut off one then fits another.
				together, _ := l.weigh(whole(fields), pin, nil)
				ways = append(ways, lay(pin, nil), lay(pin, []float64{together.offsetM}))
			}
		}
		sum = bestOf(ways...)
	}
	var taken matWays
	for _, m := range sum.each {
		taken.dirs, taken.bases = append(taken.dirs, m.dir), append(taken.bases, m.offsetM)
	}
	return sum, taken
}

// layOver lays a layer above the lowest, the same way: its laps lie half a strip from those
// below; a third layer's, where there is one, a quarter.
func (l *matLayer) layOver(fields []field, below matWays) mattings {
	pitch := l.pitchM()
	shift := pitch / 2
	if l.number > 2 {
		shift = pitch / 4
	}
	return l.layFields(fields, func(k int) string { return below.dirs[k] },
		func(k int) []float64 { return []float64{within(below.bases[k]+shift, pitch)} })
}

// matName names a mat by its glass weight.
func matName(gPerM2 float64) string { return fmt.Sprintf("mat %g g/m²", gPerM2) }

// weigh weighs directions and offsets for the layer in one field.
func (l *matLayer) weigh(ground field, pin string, offsets []float64) (matting, []Candidate) {
	widthM, pitch := l.widthM(), l.pitchM()
	dirs := []string{"across fall", "along fall"}
	if pin != "" {
		dirs = []string{pin}
	}
	var best matting
	found := false
	var tried []Candidate
	for _, dir := range dirs {
		try := offsets
		if try == nil {
			try = matOffsets(l.d, ground.faces, dir, widthM, pitch)
			if o := l.spec.SetOut.MatOffsetM; o != nil {
				try = []float64{math.Mod(math.Mod(*o, pitch)+pitch, pitch)}
			}
		}
		for _, offset := range try {
			if found && l.ctx.Err() != nil {
				return best, tried
			}
			m := l.layWay(ground, dir, offset)
			tried = append(tried, Candidate{Name: m.name, Direction: dir, OffsetM: round3(offset), Items: len(m.pieces),
				JointM: round3(m.lapM), WasteM2: round3(m.boughtM2 - m.usedM2)})
			if !found || m.better(best) {
				best, found = m, true
			}
		}
	}
	return best, shortlistMat(tried, best)
}

// layWay lays the layer in one field, in one direction from one first line.
func (l *matLayer) layWay(ground field, dir string, offset float64) matting {
	m := matting{dir: dir, widthM: l.widthM(), reachM: min(handM, float64(l.roll.length)/1000), offsetM: offset}
	m.name = fmt.Sprintf("strips %s, first line %.3f m in", dir, offset)
	for _, f := range ground.faces {
		if f.along.Length() > 0 {
			m.layFace(l, f, plane.Frame{U: f.along, V: f.along.Left()}, 0)
			continue
		}
		axes := matAxes(l.d, f, dir)
		m.layFace(l, f, plane.Frame{U: axes[0].u, V: axes[0].v}, offset)
	}
	for i := range m.pieces {
		m.pieces[i].Order = i + 1
	}
	switch {
	case ground.lowExit(l.d, dir, m.widthM):
		m.trapped = 1
	case l.d.Falls.Kind == plane.ToPoint && ground.exit && len(ground.faces) == 1:
		m.trapped = beyondExit(l.d, matAxes(l.d, ground.faces[0], dir)[0].v, m.pieces)
	}
	m.atOutlet = lapsAtOutlets(l.d, ground, m.pieces)
	m.boughtM2 = rollMetres(m.pieces, l.roll.width) * m.widthM
	return m
}

// slenderMM is the width under which a strip counts as slender.
const slenderMM = 250

// better: a way out first, then no slender strips, then no laps at outlets, then least mat
// off the roll, least lap, fewest strips, least mat laid: nothing that hangs on how the
// roof is drawn.
func (m matting) better(o matting) bool {
	switch {
	case m.trapped != o.trapped:
		return m.trapped < o.trapped
	case m.slender != o.slender:
		return m.slender < o.slender
	case m.atOutlet != o.atOutlet:
		return m.atOutlet < o.atOutlet
	case inSteps(m.boughtM2, 0.05) != inSteps(o.boughtM2, 0.05):
		return m.boughtM2 < o.boughtM2
	case inSteps(m.lapM, 0.01) != inSteps(o.lapM, 0.01):
		return m.lapM < o.lapM
	case len(m.pieces) != len(o.pieces):
		return len(m.pieces) < len(o.pieces)
	case inSteps(m.usedM2, 0.001) != inSteps(o.usedM2, 0.001):
		return m.usedM2 < o.usedM2
	}
	return inSteps(m.offsetM, 0.001) < inSteps(o.offsetM, 0.001)
}

// inSteps counts the steps in x, so that differences that nobody would choose by are none. The
// steps begin off the round numbers that roofs are measured in: the last digits of a sum
// lift nothing over.
func inSteps(x, step float64) float64 { return math.Floor(x/step + 0.2718) }

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
			first := tried[0]
			c.Why = fmt.Sprintf("%+.1f m² off the roll, %+.1f m of lap, %+d strips", c.WasteM2-first.WasteM2, c.JointM-first.JointM,
				c.Items-first.Items)
		}
		out = append(out, c)
	}
	return out
}

// within brings a first line within the pitch, to a tenth of a millimetre: what lies on a
// line lies on it wherever the roof is drawn.
func within(x, pitch float64) float64 {
	x = math.Round(math.Mod(math.Mod(x, pitch)+pitch, pitch)*1e4) / 1e4
	if x > pitch-1e-5 {
		return 0
	}
	return x
}

// offsetsTried bounds the first lines that openings ask for.
const offsetsTried = 4

// matOffsets lists first-line positions: a whole strip at the start, a whole strip at the
// end, an outlet under a strip's middle, half a strip; and strips' edges at the edges of
// openings, those along the most of openings first.
func matOffsets(d roof.Deck, faces []face, dir string, widthM, pitch float64) []float64 {
	out := []float64{0}
	add := func(x float64) bool {
		x = within(x, pitch)
		for _, y := range out {
			if off := math.Abs(x - y); min(off, pitch-off) < 0.005 {
				return false
			}
		}
		out = append(out, x)
		return true
	}
	edges := map[float64]float64{} // metres of opening by offset
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
				edges[within(lo.Y-low.Y-widthM, pitch)] += hi.X - lo.X
				edges[within(hi.Y-low.Y, pitch)] += hi.X - lo.X
			}
		}
	}
	at := slices.Collect(maps.Keys(edges))
	slices.SortFunc(at, func(a, b float64) int {
		return cmp.Or(cmp.Compare(inSteps(edges[b], 0.001), inSteps(edges[a], 0.001)), cmp.Compare(a, b))
	})
	tried := 0
	for _, x := range at {
		if tried < offsetsTried && add(x) {
			tried++
		}
	}
	return out
}
