package settingout

import (
	"fmt"
	"math"

	"gelwright/plane"
	"gelwright/roof"
)

// upstandReachMM is the longest upstand piece that one person turns up, mm.
const upstandReachMM = 3000

// KerbThicknessMM is the thickness of a timber kerb round an opening, over whose top the
// laminate goes to the inner edge (common practice).
const KerbThicknessMM = 50

// What stands under the trim of a kerb or verge, from the outside in: a fascia, a batten that holds the trim's face clear of it,
// and on the deck's edge a timber (common practice, no source), mm.
const (
	FasciaMM     = 20
	BattenMM     = 25
	BattenDeepMM = 50
	// leastEdgeTimberMM is the width of that timber where the survey gives the kerb's top no width, or less than it takes.
	leastEdgeTimberMM = 50
)

// FlashingLapMM is how far a flashing laps down over an upstand (common practice, no source), mm.
const FlashingLapMM = 75

// EdgeBearerMM is the width of the timber that stands beside the insulation under an open edge of a warm roof, as high as it is:
// what the edge's own timber and battens are screwed into (common practice, no source), mm.
const EdgeBearerMM = 50

// OpenEdge reports whether the boards end in the open there, over nothing that holds a trim.
func OpenEdge(e roof.Edge) bool {
	switch e.Condition {
	case roof.Drip, roof.Verge, roof.Kerb, roof.StepDown:
		return true
	}
	return false
}

// EdgeTimberMM is the width of the timber of a kerb or verge, mm: what the width of its top leaves beside batten and fascia.
func EdgeTimberMM(e roof.Edge) float64 {
	return math.Max(leastEdgeTimberMM, e.WidthMM-FasciaMM-BattenMM)
}

// kerbReachMM is how far the mat of an opening's kerb goes up, and over its top; a
// chimney has no top to go over.
func kerbReachMM(o roof.Opening) int {
	up := o.KerbMM
	if o.Kind != "chimney" {
		up += KerbThicknessMM
	}
	return max(1, int(math.Round(up)))
}

// upstands cuts the mat that turns up at walls and goes over kerbs, and the
// kerbs of openings; n is how many mat pieces there are already.
func upstands(d roof.Deck, spec roof.Spec, material string, rollMM, n int, out *SetOut) {
	u := &uprights{d: d, out: out, material: material, rollMM: rollMM, n: n, endMM: int(math.Round(spec.EndLapMM))}
	for layer := 1; layer <= max(spec.UpstandLayers, 1); layer++ {
		u.layer = layer
		u.joints()
		for i := range d.Outline {
			if i >= len(d.Edges) {
				break
			}
			u.edge(i)
		}
		for _, o := range d.Openings {
			u.opening(o)
		}
	}
}

// uprights lays the mat that goes up at edges, kerbs and joints, a layer at a time.
type uprights struct {
	d             roof.Deck
	out           *SetOut
	material      string
	rollMM, endMM int
	n, layer      int
}

// upright is what one edge asks for: the role and where it stands, how high it goes up, mm,
// and +1 where the deck lies to the left of the edge, −1 to the right.
type upright struct {
	role    string
	edge    int
	opening string
	upMM    int
	inward  float64
}

// joints lays over the feet of raised movement joints.
func (u *uprights) joints() {
	for _, j := range u.out.MovementJoints {
		first := len(u.out.Pieces)
		for _, e := range j.feet() {
			u.lay(e, stretch{to: e.Length()}, upright{jointRole, -1, "", JointHighMM + JointBattenMM, 1})
		}
		for k := first; k < len(u.out.Pieces); k++ {
			u.out.Pieces[k].Serves = j.Name
		}
	}
}

// edge lays up the upstand or kerb of an edge of the deck.
func (u *uprights) edge(i int) {
	e, line := u.d.Edges[i], u.d.Outline.Edge(i)
	up := int(math.Round(e.HeightMM + e.WidthMM))
	switch {
	case e.Condition.HasUpstand():
		first := len(u.out.Pieces)
		for _, s := range freeStretches(u.d, i, u.out.MovementJoints) {
			u.lay(line, s, upright{"upstand", i, "", max(up, 1), 1})
		}
		for _, t := range e.Thresholds {
			for k := first; k < len(u.out.Pieces); k++ {
				sillNote(&u.out.Pieces[k], line, t)
			}
		}
	// A raised-edge trim that is not laminated over takes no mat of its own: the
	// field's laminate ends on the trim's flange.
	case e.Condition == roof.Kerb && e.WidthMM > 0:
		for _, s := range freeStretches(u.d, i, u.out.MovementJoints) {
			u.lay(line, s, upright{"kerb", i, "", up, 1})
		}
	}
}

// opening lays up the kerb of an opening, but for what stands along the outline.
func (u *uprights) opening(o roof.Opening) {
	ring := o.Outline
	if ring.SignedArea() < 0 {
		ring = ring.Reversed()
	}
	for i := range ring {
		e := ring.Edge(i)
		if e.Chord() < 0.01 || alongOutline(u.d, e) {
			continue
		}
		// The deck lies to the right of an opening's anticlockwise side.
		u.lay(e, stretch{to: e.Length()}, upright{"kerb", -1, o.Name, kerbReachMM(o), -1})
	}
}

// lay parts a stretch of an edge into pieces of even length that one can reach.
func (u *uprights) lay(e plane.Edge, s stretch, as upright) {
	width := min(as.upMM+matOnDeckMM, u.rollMM)
	total := int(math.Ceil((s.to-s.from)*1000 - 0.1))
	pieces := 1
	for total+(pieces-1)*u.endMM > pieces*upstandReachMM {
		pieces++
	}
	sum := total + (pieces-1)*u.endMM
	at := 0
	for k := 0; k < pieces; k++ {
		l := (sum + k) / pieces
		place := func(mm int) float64 {
			return (s.from + (s.to-s.from)*math.Min(1, float64(mm)/float64(total))) / e.Length()
		}
		t0, t1 := place(at), place(at+l)
		p := Piece{Kind: Mat, Number: number(Mat, u.n), Order: u.n + 1, Material: u.material, Role: as.role, Edge: as.edge, Opening: as.opening,
			Layer: u.layer, Upright: true, LengthMM: l, WidthMM: width, Along: e.Tangent(t0), Corner: e.At(t0)}
		p.Shape = stripAlong(e, t0, t1, -as.inward*float64(as.upMM)/1000, as.inward*matOnDeckMM/1000)
		if p.Shape.SignedArea() < 0 {
			p.Shape = reversed(p.Shape)
		}
		if k > 0 {
			p.EndLapMM = float64(u.endMM)
		}
		p.AreaM2 = float64(p.LengthMM) * float64(p.WidthMM) / 1e6
		u.out.Pieces = append(u.out.Pieces, p)
		u.n++
		at += l - u.endMM
	}
}

// sillNote says where an upstand piece is cut down under a door sill.
func sillNote(p *Piece, e plane.Edge, t roof.Threshold) {
	at, _ := along(e, p.Corner)
	from := at * e.Length()
	lo, hi := max(t.FromM-from, 0), min(t.ToM-from, float64(p.LengthMM)/1000)
	if hi-lo > 0.005 {
		p.Note = joinNote(p.Note, fmt.Sprintf("cut down to %.0f mm from %.3f to %.3f m for the sill", t.UpstandMM, lo, hi))
		p.Cuts++
	}
}

func reversed(l []plane.Point) []plane.Point {
	out := make([]plane.Point, len(l))
	for i, p := range l {
		out[len(l)-1-i] = p
	}
	return out
}

// patchMM is the side of a corner patch.
const patchMM = 150

// patches reinforces opening corners, re-entrant corners, outlets and pipes.
func patches(d roof.Deck, material string, out *SetOut) {
	n := 0
	add := func(at plane.Point, side int, role, serves string, layers int) {
		h := float64(side) / 2000
		for k := 0; k < layers; k++ {
			n++
			out.Pieces = append(out.Pieces, Piece{Kind: Patch, Number: number(Patch, n-1), Order: n, Role: role, Serves: serves, Edge: -1,
				Material: material, Layer: 1,
				LengthMM: side, WidthMM: side, AreaM2: float64(side) * float64(side) / 1e6, Along: plane.Point{X: 1},
				Corner: at.Sub(plane.Point{X: h, Y: h}),
				Shape: []plane.Point{at.Add(plane.Point{X: -h, Y: -h}), at.Add(plane.Point{X: h, Y: -h}), at.Add(plane.Point{X: h, Y: h}),
					at.Add(plane.Point{X: -h, Y: h})},
				Note: fmt.Sprintf("patch %d of %d", k+1, layers)})
		}
	}
	for _, o := range d.Openings {
		for i, v := range o.Outline {
			if o.Outline[i].Bulge == 0 {
				add(v.Point, patchMM, "kerb corner", o.Name, 2)
			}
		}
	}
	for i := range d.Outline {
		if interiorDeg(d.Outline, i) > 185 {
			add(d.Outline[i].Point, 2*patchMM, "re-entrant corner", fmt.Sprintf("corner %d", i+1), 2)
		}
	}
	for _, x := range d.Penetrations {
		size := int(max(x.DiameterMM, x.WidthMM, x.DepthMM)) + 2*patchMM
		switch x.Kind {
		case "outlet":
			add(x.At, size, "outlet", x.Name, 2)
		case "overflow":
			add(x.At, size, "overflow", x.Name, 1)
		default:
			add(x.At, size, x.Kind, x.Name, 1)
		}
	}
}
