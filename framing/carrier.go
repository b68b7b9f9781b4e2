package framing

import (
	"context"
	"fmt"
	"math"
	"sort"
	"strings"

	"gelwright/check/country"
	"gelwright/check/wind"
	"gelwright/firring"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
)

// Places of the screws that go through carrier board and insulation: common practice.
const (
	// inBoardM is how far a line of screws stays from a board's edge, inJoistM from a
	// joist's face, m.
	inBoardM, inJoistM = 0.010, 0.005
	// edgeLineM is how far in from a board's edge a line of screws into the structural
	// deck stands; freeEndM how far a board may reach past its last line before it gets
	// one, m.
	edgeLineM, freeEndM = 0.025, 0.150
	// leastLineM is the shortest line of screws that is counted, and a shifted one's, m.
	leastLineM, leastAsideM = 0.04, 0.1
	// closestM is how close screws stand at most, m.
	closestM = 0.075
	// deckScrewShare is what a screw into the structural deck's boards is taken to hold of
	// one in a joist: a pull-out test says more.
	deckScrewShare = 0.5
	// leastLines of screws hold a board: on one it can tip.
	leastLines = 2
)

// carriers makes a set-out that of boards over the insulation. No joist is touched by
// them, but only joists hold their screws: long edges run across the joists and ends meet
// on them, as below, while no noggins are set.
func carriers(ctx context.Context, d roof.Deck, spec roof.Spec, given settingout.Given, s settingout.SetOut) (settingout.SetOut, error) {
	var pieces []settingout.Piece
	for _, p := range s.Pieces {
		if p.Kind != settingout.Noggin {
			pieces = append(pieces, p)
		}
	}
	s.Pieces = pieces
	var materials []settingout.Material
	for _, x := range s.Materials {
		if x.Kind != settingout.Noggin {
			materials = append(materials, x)
		}
	}
	s.Materials = materials
	for i := range s.Joints {
		if s.Joints[i].Support == "noggin" {
			s.Joints[i].Support = "deck below"
		}
	}
	var findings []settingout.Finding
	for _, f := range s.Findings {
		switch f.Code {
		case "edge.bearing", "opening.joist": // the structural deck's
			continue
		case "board.unsupported":
			f.Text = "some carrier boards' ends cannot fall on joists: they are screwed along the end into the structural deck"
		case "board.direction":
			f.Text = "the pinned direction lays the carrier boards along the joists: their ends are screwed into the structural deck"
		}
		findings = append(findings, f)
	}
	s.Findings = findings
	return s, dearer(ctx, d, spec, given, &s)
}

// mostComparedM2 is the deck up to which boards are also set out regardless of joists, to
// say what their ends on joists cost.
const mostComparedM2 = 300

// dearer remarks on boards that lie on joists and take more than boards that need not.
func dearer(ctx context.Context, d roof.Deck, spec roof.Spec, given settingout.Given, s *settingout.SetOut) error {
	if d.Outline.Area() > mostComparedM2 {
		return nil
	}
	on := 0
	for _, x := range s.Materials {
		if x.Kind == settingout.Board {
			on += x.Items
		}
	}
	d.Base.Kind = "sound deck"
	off, err := settingout.FewerBoards(ctx, d, spec, given, on)
	if err != nil {
		return err
	}
	if on > off {
		s.Findings = append(s.Findings, settingout.Finding{Code: "board.on-joists", Where: d.Name, Text: fmt.Sprintf(
			"carrier boards that meet on joists take %d, wherever they meet %d: only on joists do screws through the insulation hold both ends",
			on, off)})
	}
	return nil
}

// uplifts is how many fasteners a square metre needs in each zone.
func uplifts(site wind.Site, set country.Set, b roof.Board, zones []settingout.Zone) ([]float64, error) {
	out := make([]float64, len(zones))
	if len(zones) == 0 {
		return out, nil
	}
	_, _, demands, err := wind.Check(site, set,
		wind.Fixing{Layer: "boards", ResistanceN: assumedScrewN, TributaryM2: 1, DeadKPa: b.ThicknessMM * 0.0064, PerM2: [4]float64{1, 1, 1, 1}})
	if err != nil {
		return nil, err
	}
	for i, z := range zones {
		for _, w := range demands {
			if string(w.Zone) == z.Name {
				out[i] = w.Needed
			}
		}
	}
	return out, nil
}

// screwLine is a line of screws in one board.
type screwLine struct {
	from, to plane.Point
	// at is its place across the joists, m.
	at float64
	// joist tells whether it stands in one, or in the structural deck between.
	joist bool
}

// carrier is one board with what it may be screwed to.
type carrier struct {
	poly plane.Polygon
	u, n plane.Point // along and across the joists
	// low and high are its extent across the joists.
	low, high float64
}

// chords are the stretches of the line at a place across the joists that lie in the board,
// with marginM of board on both sides of the line.
func (c carrier) chords(at, marginM float64) [][2]float64 {
	clip := func(at float64) [][2]float64 {
		var out [][2]float64
		a, b := c.poly.Extent(c.u)
		base := c.n.Scale(at)
		for _, r := range c.poly.ClipLine(base.Add(c.u.Scale(a-1)), base.Add(c.u.Scale(b+1))) {
			out = append(out, [2]float64{c.u.Dot(r[0]), c.u.Dot(r[1])})
		}
		return out
	}
	out := clip(at)
	if marginM > 0 {
		out = common(common(out, clip(at-marginM)), clip(at+marginM))
	}
	return out
}

// common is where both lists of stretches overlap.
func common(a, b [][2]float64) [][2]float64 {
	var out [][2]float64
	for _, p := range a {
		for _, q := range b {
			if lo, hi := max(p[0], q[0]), min(p[1], q[1]); hi-lo > 1e-9 {
				out = append(out, [2]float64{lo, hi})
			}
		}
	}
	return out
}

func (c carrier) line(at float64, iv [2]float64, joist bool) screwLine {
	base := c.n.Scale(at)
	return screwLine{base.Add(c.u.Scale(iv[0])), base.Add(c.u.Scale(iv[1])), at, joist}
}

// onJoist lists the lines of screws from the board into a joist: down its middle, or
// beside it where the board ends there, clear of the joist's face and of the board's edge.
func (c carrier) onJoist(j settingout.Support) []screwLine {
	middle, reach := c.n.Dot(j.From), max(0, j.WidthMM/2000-inJoistM)
	if middle < c.low-reach || middle > c.high+reach {
		return nil
	}
	a, b := c.u.Dot(j.From), c.u.Dot(j.To)
	joist := [][2]float64{{min(a, b) - 0.05, max(a, b) + 0.05}}
	const step = 0.0025
	var out []screwLine
	var done [][2]float64
	for k := 0.0; k*step <= reach+1e-9; k++ {
		for _, side := range []float64{1, -1} {
			if k == 0 && side < 0 {
				continue
			}
			at, least := middle+side*k*step, leastLineM
			if k > 0 {
				least = leastAsideM
			}
			for _, iv := range firring.Without(common(c.chords(at, inBoardM), joist), done) {
				if iv[1]-iv[0] >= least {
					out = append(out, c.line(at, iv, true))
					done = append(done, iv)
				}
			}
		}
	}
	return out
}

// standsAt lists the different places across the joists at which lines stand.
func standsAt(lines []screwLine) []float64 {
	var out []float64
	for _, l := range lines {
		known := false
		for _, x := range out {
			known = known || math.Abs(x-l.at) < inBoardM
		}
		if !known {
			out = append(out, l.at)
		}
	}
	sort.Float64s(out)
	return out
}

// ends adds lines into the structural deck along those sides of a board that no joist is
// near, and further ones where it would hang on fewer than two.
func (c carrier) ends(lines []screwLine) []screwLine {
	width := c.high - c.low
	add := func(at, margin, least float64) bool {
		found := false
		for _, iv := range c.chords(at, margin) {
			if iv[1]-iv[0] >= least {
				lines, found = append(lines, c.line(at, iv, false)), true
			}
		}
		return found
	}
	in := min(edgeLineM, width/3)
	for _, at := range []float64{c.low + in, c.high - in} {
		end := at - in
		if at > (c.low+c.high)/2 {
			end = at + in
		}
		near := math.Inf(1)
		for _, x := range standsAt(lines) {
			near = min(near, math.Abs(x-end))
		}
		if near > freeEndM {
			add(at, min(inBoardM, in/2), leastAsideM)
		}
	}
	// Sides that end in a point have no line there: the farthest that has room is taken.
	for len(standsAt(lines)) < leastLines {
		const tries = 40
		best, far := math.NaN(), -1.0
		for k := 1; k < tries; k++ {
			at := c.low + width*float64(k)/tries
			apart := math.Inf(1)
			for _, x := range standsAt(lines) {
				apart = min(apart, math.Abs(x-at))
			}
			for _, iv := range c.chords(at, 0) {
				if iv[1]-iv[0] >= leastLineM && apart > max(far, inBoardM)+1e-9 {
					best, far = at, apart
				}
			}
		}
		if math.IsNaN(best) || !add(best, 0, leastLineM) {
			break
		}
	}
	return lines
}

// fixed counts the screws of one board.
type fixed struct {
	edge, field int
	zones       []int
	// holds is their number in terms of screws into joists, inDeck those that are not.
	holds  float64
	inDeck int
}

func fix(lines []screwLine, spec roof.Board, zones []settingout.Zone, share float64) fixed {
	f := fixed{zones: make([]int, len(zones))}
	for _, l := range lines {
		centres := math.Max(spec.FieldFixMM, 50)
		if !l.joist {
			centres = math.Min(centres, math.Max(spec.EdgeFixMM, 50))
		}
		byZone, n := settingout.FixAlong(zones, l.from, l.to, max(centres/1000*share, closestM))
		for z, count := range byZone {
			f.zones[z] += count
		}
		if l.joist {
			f.edge, f.field = f.edge+min(2, n), f.field+max(0, n-2)
			f.holds += float64(n)
			continue
		}
		f.edge, f.inDeck = f.edge+n, f.inDeck+n
		f.holds += deckScrewShare * float64(n)
	}
	return f
}

// holding is what the boards of a deck may be screwed to, and what must hold them down.
type holding struct {
	deck   string
	joists []settingout.Support
	// intoDeck: a deck stands in for joists, which holds screws anywhere.
	intoDeck bool
	board    roof.Board
	zones    []settingout.Zone
	// perM2 is how many fasteners a square metre needs in each zone.
	perM2 []float64
}

// screws counts the screws that go through carrier board and insulation: along every joist
// under a board, one near each end of the crossing and the field spacing between, and into
// the structural deck where a board's end has no joist.
func (h *holding) screws(ctx context.Context, s *settingout.SetOut) error {
	index := map[string]int{}
	for i, f := range s.Fixings {
		index[f.Board] = i
		s.Fixings[i].Edge, s.Fixings[i].Field, s.Fixings[i].Zones = 0, 0, make([]int, len(h.zones))
	}
	var edges, weak []string
	inDeck := 0
	for k := range s.Pieces {
		b := &s.Pieces[k]
		i, ok := index[b.Number]
		if b.Kind != settingout.Board || !ok || len(h.joists) == 0 {
			continue
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		f, enough, err := h.fix(b)
		if err != nil {
			return fmt.Errorf("deck %q, board %s: %w", h.deck, b.Number, err)
		}
		s.Fixings[i].Edge, s.Fixings[i].Field, s.Fixings[i].Zones = f.edge, f.field, f.zones
		if !enough {
			weak = append(weak, b.Number)
		}
		if f.inDeck > 0 && !h.intoDeck {
			edges = append(edges, b.Number)
			inDeck += f.inDeck
			b.Note = joinNote(b.Note, intoDeckNote)
		}
	}
	if len(edges) > 0 {
		s.Findings = append(s.Findings, settingout.Finding{Code: "board.ends-off-joists", Where: h.deck, Text: fmt.Sprintf(
			"no joist lies under an end of %s: %d screws along those ends go into the structural deck and are counted half; noggins below the "+
				"deck there hold better, or have a pull-out test made", ListOf(edges), inDeck)})
	}
	if len(weak) > 0 {
		s.Findings = append(s.Findings, settingout.Finding{Code: "board.uplift", Where: h.deck, Text: fmt.Sprintf(
			"%s cannot take as many screws as the uplift asks for: glue as well, or take larger boards there", ListOf(weak))})
	}
	s.CountZones(h.zones)
	return nil
}

// fix counts the screws of one board, set closer where it would else hold less than its
// zones' uplift asks for, and says whether they are enough.
func (h *holding) fix(b *settingout.Piece) (f fixed, enough bool, err error) {
	c, lines := onJoists(*b, h.joists)
	all := c.ends(lines)
	for n := range all {
		all[n].joist = all[n].joist || h.intoDeck
	}
	f = fix(all, h.board, h.zones, 1)
	// Most boards hold what the worst zone would ask of them.
	want := 0.0
	if worst := c.poly.Area() * most(h.perM2); f.holds < worst {
		if want, err = needed(c.poly, h.zones, h.perM2); err != nil {
			return f, false, err
		}
	}
	for share := 0.9; f.holds < want && share > 0.2; share *= 0.9 {
		f = fix(all, h.board, h.zones, share)
	}
	return f, f.holds >= want, nil
}

// onJoists is a board on its joists, of which there is at least one, and the lines of screws
// that stand in them.
func onJoists(board settingout.Piece, joists []settingout.Support) (c carrier, lines []screwLine) {
	c = carrier{poly: plane.Polygon{Outer: board.Shape, Holes: board.Holes}, u: joists[0].To.Sub(joists[0].From).Unit()}
	c.n = c.u.Left()
	c.low, c.high = c.poly.Extent(c.n)
	for _, j := range joists {
		lines = append(lines, c.onJoist(j)...)
	}
	return c, lines
}

// joistScrews counts what stands in the joists alone: over an old deck the screws between
// them hold nothing. The pieces are left as they are.
func joistScrews(ctx context.Context, s *settingout.SetOut, joists []settingout.Support, spec roof.Board, zones []settingout.Zone) {
	shapes := map[string]settingout.Piece{}
	for _, p := range s.Of(settingout.Board) {
		shapes[p.Number] = p
	}
	for i := range s.Fixings {
		p, ok := shapes[s.Fixings[i].Board]
		if !ok || len(joists) == 0 || ctx.Err() != nil {
			continue
		}
		_, lines := onJoists(p, joists)
		f := fix(lines, spec, zones, 1)
		s.Fixings[i].Edge, s.Fixings[i].Field, s.Fixings[i].Zones = f.edge, f.field, f.zones
	}
	s.CountZones(zones)
}

func most(list []float64) (out float64) {
	for _, v := range list {
		out = max(out, v)
	}
	return out
}

// needed is how many fasteners the uplift on a board asks for.
func needed(board plane.Polygon, zones []settingout.Zone, perM2 []float64) (float64, error) {
	sum := 0.0
	low, high := board.Bounds()
	for i, z := range zones {
		for _, a := range z.Area {
			if l, h := a.Bounds(); l.X >= high.X || l.Y >= high.Y || h.X <= low.X || h.Y <= low.Y || perM2[i] <= 0 {
				continue
			}
			part, err := plane.Intersection([]plane.Polygon{board}, []plane.Polygon{a})
			if err != nil {
				return 0, err
			}
			sum += perM2[i] * plane.TotalArea(part)
		}
	}
	return sum, nil
}

func joinNote(a, b string) string {
	if a == "" {
		return b
	}
	return a + ", " + b
}

// list names a few numbers, or counts them.
func ListOf(numbers []string) string {
	if len(numbers) > 6 {
		return fmt.Sprintf("%s and %d more boards", strings.Join(numbers[:5], ", "), len(numbers)-5)
	}
	return strings.Join(numbers, ", ")
}
