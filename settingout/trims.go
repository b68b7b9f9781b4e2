package settingout

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"

	"gelwright/plane"
	"gelwright/roof"
)

// Trim lengths, mm, common practice: 3.0 m stock, no closing piece under 0.3 m,
// joints 150 mm clear of corners and board joints.
const (
	trimStockMM   = 3000
	trimLeastMM   = 300
	trimClearMM   = 150
	trimFlangeMM  = 75
	cornerLegMM   = 150
	cornerSlack   = 5.0  // degrees a preformed corner may be off 90°
	arcToleranceM = 0.01 // how far a segmented trim may leave the arc
)

// trimFor names the trim of an edge condition; "" where there is none.
func trimFor(c roof.Condition) string {
	switch c {
	case roof.Drip, roof.StepDown, roof.BoxGutter:
		return "trim drip"
	case roof.Verge:
		return "trim verge"
	case roof.Kerb:
		return "trim kerb"
	case roof.Wall, roof.Parapet, roof.Tuck, roof.StepUp:
		return "trim wall fillet"
	}
	return ""
}

func conditionOf(d roof.Deck, edge int) roof.Condition {
	if edge < 0 || edge >= len(d.Edges) {
		return ""
	}
	return d.Edges[edge].Condition
}

// interiorDeg is the angle inside the deck at corner i, degrees.
func interiorDeg(ring plane.Ring, i int) float64 {
	n := len(ring)
	in, out := ring.Edge((i+n-1)%n).Tangent(1), ring.Edge(i).Tangent(0)
	turn := math.Atan2(in.Cross(out), in.Dot(out)) * 180 / math.Pi
	return 180 - turn
}

// setTrims lays trims along every edge that takes one, and forms the corners.
func setTrims(d roof.Deck, spec roof.Spec, out *SetOut) {
	lap := int(math.Round(spec.TrimLapMM))
	n := len(d.Outline)
	count := 0
	for i := 0; i < n; i++ {
		material := trimFor(conditionOf(d, i))
		if material == "" {
			continue
		}
		e := d.Outline.Edge(i)
		total := upMM(e.Length())
		if total < 1 {
			continue
		}
		lengths, clean := trimLengths(total, lap, boardJointsOn(e, out.Joints))
		if !clean {
			out.find("trim.joint", edgeName(d, i), "a trim joint could not be kept %d mm from corners and board joints", trimClearMM)
		}
		at := 0
		for k, l := range lengths {
			count++
			p := Piece{
				Number: number(Trim, count-1), Kind: Trim, Role: string(conditionOf(d, i)), Edge: i, Order: count, Material: material,
				LengthMM: l, WidthMM: trimFlangeMM, Along: e.Tangent(float64(at) / float64(total)), Corner: e.At(float64(at) / float64(total)),
			}
			if k > 0 {
				p.EndLapMM = float64(lap)
			}
			p.Shape = stripAlong(e, float64(at)/float64(total), math.Min(1, float64(at+l)/float64(total)), 0, trimFlangeMM/1000.0)
			if k == 0 {
				p.CutEnds[0] = mitreDeg(d, i)
			}
			if k == len(lengths)-1 {
				p.CutEnds[1] = mitreDeg(d, (i+1)%n)
			}
			mitre(&p, e, k == 0, k == len(lengths)-1)
			p.AreaM2 = loop(p.Shape).area()
			p.Cuts = trimCuts(p)
			if !e.Straight() {
				r, _ := e.Arc()
				p.Note = fmt.Sprintf("bend to radius %.3f m: slit the flange every 25 to 50 mm, or segments of %.2f m to stay within %.0f mm", r, segmentFor(r, arcToleranceM), arcToleranceM*1000)
			}
			out.Pieces = append(out.Pieces, p)
			at += l - lap
		}
		if !e.Straight() {
			out.find("trim.arc", edgeName(d, i), "the edge is curved: flexible or slit trim, double bandage along its flange")
		}
	}
	behindOpenings(d, out)
	setCorners(d, out)
}

// behindOpenings remarks where an opening stands against an edge: the trim is cut
// out there and the opening's own kerb takes over.
func behindOpenings(d roof.Deck, out *SetOut) {
	for _, o := range d.Openings {
		for k := range o.Outline {
			e := o.Outline.Edge(k)
			if e.Chord() < 0.01 || !alongOutline(d, e) {
				continue
			}
			for i := range d.Outline {
				edge := d.Outline.Edge(i)
				t0, off0 := along(edge, e.A)
				t1, off1 := along(edge, e.B)
				if off0 > 0.005 || off1 > 0.005 || math.Abs(t1-t0) < 1e-6 || trimFor(conditionOf(d, i)) == "" {
					continue
				}
				l := edge.Length()
				out.find("trim.opening", edgeName(d, i), "%s stands against the edge from %.3f to %.3f m: cut the trim out there", o.Name, min(t0, t1)*l, max(t0, t1)*l)
			}
		}
	}
}

// segmentFor is the straight length that stays within tolerance of an arc, m.
func segmentFor(radiusM, toleranceM float64) float64 {
	toleranceM = min(toleranceM, radiusM)
	return 2 * math.Sqrt(2*radiusM*toleranceM-toleranceM*toleranceM)
}

func edgeName(d roof.Deck, i int) string {
	return fmt.Sprintf("%s, edge %d (%s)", d.Name, i+1, conditionOf(d, i))
}

func trimCuts(p Piece) int {
	n := 0
	if p.LengthMM < trimStockMM {
		n++
	}
	for _, c := range p.CutEnds {
		if c != 0 {
			n++
		}
	}
	return n
}

// mitreDeg is how far off square trims are cut at corner i, degrees: half the turn.
func mitreDeg(d roof.Deck, i int) float64 {
	n := len(d.Outline)
	if trimFor(conditionOf(d, (i+n-1)%n)) == "" || trimFor(conditionOf(d, i)) == "" {
		return 0
	}
	m := 90 - interiorDeg(d.Outline, i)/2
	if math.Abs(m) < 2.5 {
		return 0
	}
	return math.Round(m*100) / 100
}

// mitre moves the inner corners of a trim's shape to the mitre lines.
func mitre(p *Piece, e plane.Edge, first, last bool) {
	if !e.Straight() || len(p.Shape) != 4 {
		return
	}
	d := e.B.Sub(e.A).Unit()
	w := trimFlangeMM / 1000.0
	limit := e.Chord() / 2
	if first {
		p.Shape[3] = p.Shape[3].Add(d.Scale(min(w*math.Tan(p.CutEnds[0]*math.Pi/180), limit)))
	}
	if last {
		p.Shape[2] = p.Shape[2].Sub(d.Scale(min(w*math.Tan(p.CutEnds[1]*math.Pi/180), limit)))
	}
}

// stripAlong returns the band from inner to outer distance (m, inward positive)
// along part of an edge, anticlockwise.
func stripAlong(e plane.Edge, t0, t1, fromM, toM float64) []plane.Point {
	steps := 1
	if !e.Straight() {
		r, a := e.Arc()
		steps = max(1, int(math.Ceil(a*(t1-t0)/(2*math.Acos(1-min(chordToleranceM, r/2)/r)))))
	}
	var near, far []plane.Point
	for k := 0; k <= steps; k++ {
		t := t0 + (t1-t0)*float64(k)/float64(steps)
		p, n := e.At(t), e.Tangent(t).Left()
		near = append(near, p.Add(n.Scale(fromM)))
		far = append(far, p.Add(n.Scale(toM)))
	}
	for k := len(far) - 1; k >= 0; k-- {
		near = append(near, far[k])
	}
	return near
}

// boardJointsOn returns where board joints run out to an edge, mm along it.
func boardJointsOn(e plane.Edge, joints []Joint) []int {
	var out []int
	for _, j := range joints {
		for _, p := range [2]plane.Point{j.From, j.To} {
			if t, off := along(e, p); off < 0.03 {
				out = append(out, int(math.Round(t*e.Length()*1000)))
			}
		}
	}
	sort.Ints(out)
	return out
}

// along returns the fraction of the edge nearest to p, and how far off p lies, m.
func along(e plane.Edge, p plane.Point) (t, offM float64) {
	if e.Straight() {
		d := e.B.Sub(e.A)
		l2 := d.Dot(d)
		if l2 == 0 {
			return 0, p.Distance(e.A)
		}
		t = min(max(p.Sub(e.A).Dot(d)/l2, 0), 1)
		return t, p.Distance(e.A.Add(d.Scale(t)))
	}
	c := e.Centre()
	_, a := e.Arc()
	from, to := e.A.Sub(c), p.Sub(c)
	turn := math.Atan2(from.Cross(to), from.Dot(to))
	if e.Bulge < 0 {
		turn = -turn
	}
	if turn < 0 {
		turn += 2 * math.Pi
	}
	t = turn / a
	if t > 1 {
		if p.Distance(e.A) < p.Distance(e.B) {
			t = 0
		} else {
			t = 1
		}
	}
	return t, p.Distance(e.At(t))
}

// trimLengths divides an edge into trims: whole lengths and one closing piece,
// its place in the run and, where need be, its neighbours' lengths chosen so that
// no joint comes within the clear distance of a corner or a board joint.
// clean is false where that is impossible; then the plainest division is given.
func trimLengths(total, lap int, avoid []int) (lengths []int, clean bool) {
	if total <= trimStockMM {
		return []int{total}, true
	}
	mirrored := make([]int, len(avoid))
	for i, x := range avoid {
		mirrored[len(avoid)-1-i] = total - x
	}
	least := (total - lap + trimStockMM - lap - 1) / (trimStockMM - lap)
	for n := least; n <= least+1; n++ {
		// All pieces together cover total plus the laps between them.
		sum := total + (n-1)*lap
		for _, step := range []int{0, 10, 20, 50} {
			for slot := n - 1; slot >= 0; slot-- {
				if l, ok := trimRun(n, sum, lap, slot, step, total, avoid); ok {
					return l, true
				}
				// The same from the other end of the edge.
				if l, ok := trimRun(n, sum, lap, slot, step, total, mirrored); ok {
					slices.Reverse(l)
					return l, true
				}
			}
		}
	}
	sum := total + (least-1)*lap
	for k := 0; k < least; k++ {
		lengths = append(lengths, (sum+k)/least)
	}
	return lengths, false
}

// trimRun tries whole lengths with the closing piece in one slot; a joint too
// near something draws its own piece back in steps, which lengthens the closing piece.
func trimRun(n, sum, lap, slot, step, total int, avoid []int) ([]int, bool) {
	l := make([]int, n)
	for k := range l {
		l[k] = trimStockMM
	}
	l[slot] = sum - (n-1)*trimStockMM
	near := func(end int) bool {
		middle := end - lap/2
		if middle < trimClearMM || total-middle < trimClearMM {
			return true
		}
		i := sort.SearchInts(avoid, middle-trimClearMM+1)
		return i < len(avoid) && avoid[i] < middle+trimClearMM
	}
	if l[slot] < trimLeastMM {
		// A closing piece too short takes from a neighbour.
		other := (slot + 1) % n
		need := trimLeastMM - l[slot]
		l[slot] += need
		l[other] -= need
	}
	for round := 0; round < 400; round++ {
		end, ok := 0, true
		for k := 0; k < n-1; k++ {
			end += l[k]
			if k > 0 {
				end -= lap
			}
			if !near(end) {
				continue
			}
			ok = false
			if step == 0 {
				return nil, false
			}
			// Draw back this joint: shorten k, lengthen the next that has room.
			if k == slot {
				if l[k+1]-step < trimLeastMM || l[k]+step > trimStockMM {
					return nil, false
				}
				l[k] += step
				l[k+1] -= step
				break
			}
			give := slot
			if l[give]+step > trimStockMM || l[k]-step < trimLeastMM {
				return nil, false
			}
			l[k] -= step
			l[give] += step
			break
		}
		if ok {
			for _, v := range l {
				if v < trimLeastMM || v > trimStockMM {
					return nil, false
				}
			}
			return l, true
		}
	}
	return nil, false
}

// setCorners places a corner piece wherever two trims meet at an angle.
func setCorners(d roof.Deck, out *SetOut) {
	n := len(d.Outline)
	count := 0
	for i := 0; i < n; i++ {
		before, after := (i+n-1)%n, i
		a, b := trimFor(conditionOf(d, before)), trimFor(conditionOf(d, after))
		if a == "" || b == "" {
			continue
		}
		deg := interiorDeg(d.Outline, i)
		if math.Abs(deg-180) < cornerSlack && a == b {
			continue
		}
		side := "external"
		// Seen from the deck a convex corner is external to drips and kerbs, internal to walls.
		wallBoth := a == "trim wall fillet" && b == "trim wall fillet"
		if (deg > 180) != wallBoth {
			side = "internal"
		}
		preformed := math.Abs(deg-90) <= cornerSlack || math.Abs(deg-270) <= cornerSlack
		pair := cornerPair(a, b)
		p := Piece{
			Kind: Corner, Number: number(Corner, count), Order: count + 1, Edge: after, Serves: fmt.Sprintf("corner %d", i+1),
			LengthMM: cornerLegMM, WidthMM: cornerLegMM, Corner: d.Outline[i].Point,
		}
		in, ou := d.Outline.Edge(before).Tangent(1), d.Outline.Edge(after).Tangent(0)
		p.Along = ou
		leg, v := cornerLegMM/1000.0, d.Outline[i].Point
		w := trimFlangeMM / 1000.0
		switch {
		case math.Abs(deg-180) < cornerSlack:
			p.Role, p.Material = "site-formed junction", "site-formed corner"
			p.Shape = []plane.Point{v.Sub(in.Scale(leg)), v.Add(ou.Scale(leg)), v.Add(ou.Scale(leg)).Add(ou.Left().Scale(w)), v.Sub(in.Scale(leg)).Add(in.Left().Scale(w))}
		default:
			tip := v.Sub(in.Scale(leg)).Add(ou.Scale(leg))
			if deg > 180 {
				tip = v.Add(in.Left().Add(ou.Left()).Scale(w))
			}
			p.Shape = []plane.Point{v, v.Add(ou.Scale(leg)), tip, v.Sub(in.Scale(leg))}
			if preformed {
				p.Role = "preformed " + side + " corner"
				p.Material = fmt.Sprintf("corner %s %s", side, pair)
			} else {
				p.Role = "site-formed " + side + " corner"
				p.Material = "site-formed corner"
				p.Note = fmt.Sprintf("%.2f° inside the deck: form by hand over a shaped fillet, mitre %.2f°", deg, 90-deg/2)
				out.find("corner.site-formed", fmt.Sprintf("%s, corner %d", d.Name, i+1), "the corner is %.2f°, no preformed piece fits: form it on site", deg)
			}
		}
		p.AreaM2 = math.Abs(loop(p.Shape).area())
		out.Pieces = append(out.Pieces, p)
		count++
	}
}

// cornerPair names the trims that meet. A corner between two kinds is handed: the
// hand is that on which the first-named trim lies, seen from outside the deck.
func cornerPair(before, after string) string {
	a, b := before[len("trim "):], after[len("trim "):]
	switch {
	case a == b:
		return a
	case a < b:
		return a + " to " + b + ", right hand"
	}
	return b + " to " + a + ", left hand"
}

// trimStock cuts the trims of each kind from stock lengths.
func trimStock(ctx context.Context, out *SetOut) error {
	kinds := map[string][]int{}
	var names []string
	for i, p := range out.Pieces {
		if p.Kind != Trim {
			continue
		}
		if kinds[p.Material] == nil {
			names = append(names, p.Material)
		}
		kinds[p.Material] = append(kinds[p.Material], i)
	}
	sort.Strings(names)
	for _, name := range names {
		var blanks []blank
		used := 0.0
		for _, i := range kinds[name] {
			blanks = append(blanks, blank{out.Pieces[i].LengthMM, 1, i})
			used += float64(out.Pieces[i].LengthMM) / 1000
		}
		m, err := lengthStock(ctx, name, Trim, blanks, trimStockMM, out)
		if err != nil {
			return err
		}
		m.Unit, m.Used, m.Bought = "lengths", round3(used), float64(m.Items)*trimStockMM/1000
		m.WastePct = wastePct(m.Bought, m.Used)
		out.Materials = append(out.Materials, m)
	}
	// Corners are counted by kind.
	counts := map[string]int{}
	for _, p := range out.Pieces {
		if p.Kind == Corner {
			counts[p.Material]++
		}
	}
	names = names[:0]
	for k := range counts {
		names = append(names, k)
	}
	sort.Strings(names)
	for _, k := range names {
		c := counts[k]
		out.Materials = append(out.Materials, Material{Name: k, Kind: Corner, Unit: "pieces", Items: c, Bought: float64(c), Used: float64(c), Bound: float64(c), Optimal: true, Method: "counted"})
	}
	return nil
}

// lengthStock cuts blanks from stock of one length.
func lengthStock(ctx context.Context, name string, kind Kind, blanks []blank, length int, out *SetOut) (Material, error) {
	lengths := make([]int, len(blanks))
	for i, b := range blanks {
		lengths[i] = b.length
	}
	bars, least, err := cutLengths(ctx, lengths, length)
	if err != nil {
		return Material{}, fmt.Errorf("%s: %w", name, err)
	}
	n := len(bars)
	m := Material{Name: name, Kind: kind, Items: n, Bound: float64(least), Method: "exact one-dimensional cutter"}
	for i, bar := range bars {
		s := Stock{Number: i + 1, LengthMM: length}
		x := 0
		for _, k := range bar {
			s.Cuts = append(s.Cuts, Cut{Piece: out.Pieces[blanks[k].id].Number, XMM: x, LengthMM: blanks[k].length})
			out.Pieces[blanks[k].id].Stock = i + 1
			x += blanks[k].length + kerfMM
		}
		if left := length - x; left >= 500 {
			s.Offcuts = []Offcut{{XMM: x, LengthMM: left}}
		}
		m.Stock = append(m.Stock, s)
	}
	m.Gap = (float64(n) - m.Bound) / math.Max(1, float64(n))
	m.Optimal = m.Gap == 0
	return m, nil
}
