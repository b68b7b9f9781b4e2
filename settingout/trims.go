package settingout

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"gelwright/plane"
	"gelwright/roof"
)

// Trim lengths, common practice: closing pieces of 0.5 m or more, of 0.3 m at least
// where that cannot be; joints 150 mm clear of corners and board joints. Below a
// radius of 3 m straight pieces that keep within 10 mm of the arc would be shorter
// than half a metre: such an edge takes a flexible trim.
const (
	trimLikedMM   = 500
	trimLeastMM   = 300
	trimClearMM   = 150
	trimFlangeMM  = 75
	cornerLegMM   = 150
	cornerSlack   = 5.0  // degrees a preformed corner may be off 90°
	arcToleranceM = 0.01 // how far a segmented trim may leave the arc
	straightOnDeg = 0.5  // between edges that go straight on
	rigidFromM    = 3.0  // least radius of an edge with rigid trim
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

// flexibleName ends the name of a trim that bends along a curved edge.
const flexibleName = ", flexible"

// trimOn names the trim of an edge; one bent too sharply for a rigid trim takes a
// flexible one. Corners are named by trimFor: they are the same for both.
func trimOn(d roof.Deck, edge int) string {
	name := trimFor(conditionOf(d, edge))
	if name != "" && bent(d.Outline.Edge(edge)) {
		name += flexibleName
	}
	return name
}

// Flexible reports whether a piece is a trim that bends along a curved edge.
func (p Piece) Flexible() bool {
	return p.Kind == Trim && strings.HasSuffix(p.Material, flexibleName)
}

// bent reports whether an edge is curved too sharply for a rigid trim.
func bent(e plane.Edge) bool {
	if e.Straight() {
		return false
	}
	radius, _ := e.Arc()
	return radius < rigidFromM
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

// trims sets out and cuts the trims. Where several lengths are sold, edges are
// divided by each in turn, and the division that costs least is kept.
func trims(ctx context.Context, d roof.Deck, spec roof.Spec, z sizes, out *SetOut) error {
	z = z.pricedFor(trimNames(d, out.MovementJoints))
	what := "m bought"
	if z.priced {
		what = "in price"
	}
	var best division
	found, at := false, 0
	var tried []Candidate
	for i := len(z.trims) - 1; i >= 0; i-- {
		c, err := divided(ctx, d, spec, z, z.trims[i], out)
		if err != nil {
			return fmt.Errorf("deck %q: %w", d.Name, err)
		}
		pieces := len(c.out.Of(Trim))
		tried = append(tried, Candidate{Name: fmt.Sprintf("edges divided by %.1f m", float64(z.trims[i])/1000), Items: pieces, WasteM2: 0,
			JointM: 0, Why: fmt.Sprintf("%s, cost %.2f", counted(pieces, "trim"), c.cost)})
		if !found || len(c.out.Findings) < len(best.out.Findings) || len(c.out.Findings) == len(best.out.Findings) && c.cost < best.cost-1e-9 {
			best, found, at = c, true, len(tried)-1
		}
	}
	*out = best.out
	if len(tried) > 1 {
		tried[at].Chosen = true
		out.Choices = append(out.Choices, Choice{About: "trims", Text: fmt.Sprintf("%s: %.2f %s", tried[at].Name, best.cost, what),
			Candidates: tried})
	}
	if best.cost > best.stubs+1e-9 {
		out.Choices = append(out.Choices, Choice{About: "closing pieces of trims",
			Text: fmt.Sprintf("of %d mm or more: %.2f %s; with pieces down to %d mm it would be %.2f", trimLikedMM, best.cost, what, trimLeastMM,
				best.stubs)})
	}
	return nil
}

// trimNames lists the trims that a deck's edges and movement joints take, each once.
func trimNames(d roof.Deck, joints []MovementJoint) []string {
	var names []string
	for i := range d.Outline {
		if name := trimOn(d, i); name != "" && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	for _, j := range joints {
		if name := j.cover(); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// setTrims lays trims along every edge that takes one, and round what stands on it,
// and forms the corners.
func (r *trimRunner) setTrims() {
	d, out := r.d, r.out
	n := len(d.Outline)
	for i := 0; i < n; i++ {
		material := trimOn(d, i)
		if material == "" {
			continue
		}
		e := d.Outline.Edge(i)
		free := freeStretches(d, i, out.MovementJoints)
		for _, f := range free {
			ends := [2]float64{openingMitreDeg, openingMitreDeg}
			if !carriesOn(d, i) {
				ends = [2]float64{}
			}
			for k, joint := range f.joint {
				if joint {
					ends[k] = 0
				}
			}
			if f.from < 1e-6 {
				ends[0] = mitreDeg(d, i)
			}
			if f.to > e.Length()-1e-6 {
				ends[1] = mitreDeg(d, (i+1)%n)
			}
			as := Piece{Role: string(conditionOf(d, i)), Edge: i, Material: material}
			if f.from < 1e-6 && goesOn(d, i, out.MovementJoints) {
				// The same trim goes straight on: the first piece laps over the edge before.
				f.from = -float64(r.lap) / 1000
				as.EndLapMM = float64(r.lap)
			}
			r.run(e, f.from, f.to, ends, as)
		}
		if !e.Straight() {
			radius, _ := e.Arc()
			how := "trim with its flange slit, or in straight segments"
			if bent(e) {
				how = fmt.Sprintf("flexible trim (radius under %g m)", rigidFromM)
			}
			out.find("trim.arc", edgeName(d, i), "the edge is curved to a radius of %.3f m: %s, double bandage along its flange", radius, how)
		}
	}
	corners := openingCorners(d)
	for _, o := range standing(d) {
		out.find("trim.opening", edgeName(d, o.edge), "%s stands on the edge from %.3f to %.3f m: trim, bandage and upstand stop there",
			o.opening.Name, o.from, o.to)
		if !carriesOn(d, o.edge) || o.opening.Kind != "chimney" {
			continue
		}
		for k, f := range o.faces {
			ends := [2]float64{openingMitreDeg, openingMitreDeg}
			if k > 0 {
				ends[0] = 90 - turnDeg(o.faces[k-1], f)/2
			}
			if k+1 < len(o.faces) {
				ends[1] = 90 - turnDeg(f, o.faces[k+1])/2
			}
			r.run(f, 0, f.Length(), ends, Piece{Role: "face of " + o.opening.Name, Edge: -1, Opening: o.opening.Name,
				Material: trimFor(conditionOf(d, o.edge))})
		}
	}
	setCorners(d, corners, out)
	r.caps(out.MovementJoints)
}

// goesOn reports whether the trim of the edge before runs straight on along this one.
func goesOn(d roof.Deck, edge int, joints []MovementJoint) bool {
	n := len(d.Outline)
	before := (edge + n - 1) % n
	e, b := d.Outline.Edge(edge), d.Outline.Edge(before)
	if before == edge || !e.Straight() || !b.Straight() || trimOn(d, before) != trimOn(d, edge) ||
		math.Abs(interiorDeg(d.Outline, edge)-180) > straightOnDeg {
		return false
	}
	free := freeStretches(d, before, joints)
	last := free[len(free)-1]
	for _, j := range joints {
		for _, p := range [2]plane.Point{j.From, j.To} {
			if p.Distance(e.A) < jointCornerM {
				return false
			}
		}
	}
	return last.to > b.Length()-1e-6
}

// divide divides a stretch of an edge, or remembers how it did before: the stretches of
// a deck come in the same order whatever is wished for them.
func (r *trimRunner) divide(e plane.Edge, from float64, total int) (lengths []int, clean bool) {
	key := trimKey{len(r.runs), total, r.shortest, r.wishes[len(r.runs)]}
	if known, ok := r.known[key]; ok {
		return known.lengths, known.clean
	}
	var avoid []int
	for _, x := range boardJointsOn(e, r.out.Joints) {
		if x -= int(math.Round(from * 1000)); x > 0 && x < total {
			avoid = append(avoid, x)
		}
	}
	lengths, clean = trimLengths(undivided{total: total, lap: r.lap, stock: r.stock, avoid: avoid}, r.shortest, r.wishes[len(r.runs)])
	r.known[key] = trimsKnown{lengths, clean}
	return lengths, clean
}

// run lays the trims of one stretch of an edge, from and to in m along it.
func (r *trimRunner) run(e plane.Edge, from, to float64, ends [2]float64, as Piece) {
	l := e.Length()
	total := upMM(to - from)
	if total < 1 {
		return
	}
	lengths, clean := r.divide(e, from, total)
	r.runs = append(r.runs, trimRun{material: as.Material, lengths: lengths})
	where := r.d.Name + ", " + as.Role
	if as.Edge >= 0 {
		where = edgeName(r.d, as.Edge)
	}
	if !clean {
		r.out.find("trim.joint", where, "a trim joint could not be kept %d mm from corners and board joints", trimClearMM)
	}
	if least := slices.Min(lengths); len(lengths) > 1 && least < trimLikedMM {
		r.out.find("trim.short", where, "a closing piece of %d mm: the edge cannot be divided into pieces of %d mm or more", least, trimLikedMM)
	}
	place := func(mm int) float64 {
		// The last millimetre of a stretch is rounding.
		return math.Min(from+(to-from)*float64(mm)/float64(total), l) / l
	}
	at := 0
	for k, length := range lengths {
		r.count++
		p := as
		p.Number, p.Kind, p.Order, p.LengthMM, p.WidthMM = number(Trim, r.count-1), Trim, r.count, length, trimFlangeMM
		t0, t1 := place(at), place(at+length)
		p.Along, p.Corner = e.Tangent(t0), e.At(t0)
		if k > 0 {
			p.EndLapMM = float64(r.lap)
		}
		if p.EndLapMM > 0 && DownAt(r.d.Falls, p.Corner).Dot(p.Along) > against {
			// Water comes along the edge from the piece before: the upper lies over the lower.
			p.Note = fmt.Sprintf("goes under %s at the lap", number(Trim, r.count-2))
		}
		p.Shape = stripAlong(e, t0, t1, 0, trimFlangeMM/1000.0)
		if k == 0 {
			p.CutEnds[0] = ends[0]
		}
		if k == len(lengths)-1 {
			p.CutEnds[1] = ends[1]
		}
		mitre(&p, e, k == 0, k == len(lengths)-1)
		p.AreaM2 = p.Shape.SignedArea()
		p.Cuts = r.cuts(p)
		if !e.Straight() {
			radius, _ := e.Arc()
			bend := fmt.Sprintf("bend to radius %.3f m: slit the flange every 25 to 50 mm, or segments of %.2f m to stay within %.0f mm", radius,
				segmentFor(radius, arcToleranceM), arcToleranceM*1000)
			if bent(e) {
				bend = fmt.Sprintf("flexible trim, bend to radius %.3f m; where there is none slit the flange of a rigid one every 25 to 50 mm", radius)
			}
			p.Note = joinNote(p.Note, bend)
		}
		r.out.Pieces = append(r.out.Pieces, p)
		at += length - r.lap
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

// cuts counts saw cuts: none for a whole length, one for each mitre.
func (r *trimRunner) cuts(p Piece) int {
	n := 1
	for _, l := range r.z.trims {
		if p.LengthMM == l {
			n = 0
		}
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
