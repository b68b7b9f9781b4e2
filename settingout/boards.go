package settingout

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"gelwright/firring"
	"gelwright/plane"
	"gelwright/roof"
)

// boarding is a deck's boards as set out one way.
type boarding struct {
	f       plane.Frame
	name    string
	dir     string
	offsetM float64
	g       grid
	bays    []bay // local
	spec    roof.Board
	folds   []fold
	rows    []row
	sheets  []sheet
	blanks  []blank
	conform bool // long edges run across the joists
	parted  bool // row lines lie on corners of the deck, which no one offset gives
	cut     boardCut
	hand    []InHand
	// courses are the rows with the ways to lay them; way and style are the one taken.
	courses *courses
	way     way
	style   []int
	// leastByArea is a number of boards below which no boarding of the deck comes, least one
	// below which none comes that keeps the rules.
	leastByArea, least int
	score
}

// score is what boards set out one way come to.
type score struct {
	broken broken
	count  int // boards
	// ripM is how much of the drips has a ripped board along it, m: trims are nailed and
	// ladders lean there, so a whole board goes to the drip and the ripping to the wall.
	ripM   float64
	cuts   int
	jointM float64
	laidM2 float64
	// fixed counts fixings. print is a sum over pieces that no turning or mirroring
	// changes: it decides between equals, so that the choice does not hang on which
	// corner is tried first.
	fixed int
	print float64
	// spare is the sum of squares of the room left on boards: of two plans with as
	// many boards, the one whose waste lies together is nearer to one board less.
	spare float64
}

// ripApartM is a length of drip with a ripped board that decides between two boardings, m.
const ripApartM = 0.3

// better orders boardings: rules kept, fewest boards, whole boards at the drips, fewest
// cuts, least joint.
func (b *score) better(o *score) bool {
	switch {
	case b.broken.total() != o.broken.total():
		return b.broken.total() < o.broken.total()
	case b.count != o.count:
		return b.count < o.count
	case math.Abs(b.ripM-o.ripM) > ripApartM:
		return b.ripM < o.ripM
	case b.cuts != o.cuts:
		return b.cuts < o.cuts
	case math.Abs(b.jointM-o.jointM) > 1e-6:
		return b.jointM < o.jointM
	case math.Abs(b.laidM2-o.laidM2) > 1e-4:
		return b.laidM2 > o.laidM2
	case b.fixed != o.fixed:
		return b.fixed < o.fixed
	}
	return b.print < o.print-0.01
}

func rulesFor(b roof.Board, kerf int) (boardRules, error) {
	r := boardRules{kerf: kerf, length: b.LengthM, width: b.WidthM, gap: b.GapMM / 1000, least: b.MinPieceM, stagger: b.StaggerM,
		glued: b.TongueAndGroove}
	if !(r.length > 0.3) || !(r.width > 0.1) {
		return r, fmt.Errorf("spec.board: a board of %g m by %g m cannot be set out: give length_m and width_m", b.LengthM, b.WidthM)
	}
	r.least = min(max(r.least, 0.05), r.length/2)
	r.stagger = min(max(r.stagger, 0), r.length/2)
	r.pitch = r.width
	if !r.glued {
		r.pitch += r.gap
	}
	return r, nil
}

// bearings returns the grid of joists in a frame whose first axis runs across them.
func bearings(d roof.Deck, f plane.Frame, gap float64) grid {
	b := d.Base
	if b.Kind != "joists" || !(b.JoistSpacingMM > 0) {
		return grid{free: true}
	}
	width := b.JoistWidthMM / 1000
	if !(width > 0) {
		width = usualJoistM
	}
	g := grid{spacing: b.JoistSpacingMM / 1000, width: width, play: max(0, (width-gap)/2-leastBearingM)}
	// Joists that touch bear everywhere: joints step from one to the next all the same.
	g.play = min(g.play, g.spacing/2-0.001)
	across := firring.LayoutOf(b).Across()
	if math.Abs(f.U.Dot(across)) < 0.999 {
		return grid{free: true}
	}
	low := math.Inf(1)
	for _, s := range d.Outline.Sides(chordToleranceM) {
		low = min(low, across.Dot(s.A))
	}
	g.first = low + b.JoistOffsetMM/1000
	if f.U.Dot(across) < 0 {
		g.first = -g.first
	}
	return g
}

// positive returns p or −p, whichever points towards +x, or +y when neither.
func positive(p plane.Point) plane.Point {
	if p.X < -1e-9 || (math.Abs(p.X) <= 1e-9 && p.Y < 0) {
		return p.Scale(-1)
	}
	return p
}

// boardAxes lists the directions boards may run, the lawful or pinned ones only.
func boardAxes(d roof.Deck, spec roof.Spec) (axes []plane.Point, conform bool) {
	var across *plane.Point
	if d.Base.Kind == "joists" && d.Base.JoistSpacingMM > 0 {
		a := firring.LayoutOf(d.Base).Across()
		across = &a
	}
	switch spec.SetOut.BoardDirection {
	case "x":
		a := plane.Point{X: 1}
		return []plane.Point{a}, across == nil || math.Abs(a.Dot(*across)) > 0.999
	case "y":
		a := plane.Point{Y: 1}
		return []plane.Point{a}, across == nil || math.Abs(a.Dot(*across)) > 0.999
	}
	if across != nil {
		return []plane.Point{*across}, true
	}
	longest := plane.Point{X: 1}
	best := 0.0
	for i := range d.Outline {
		e := d.Outline.Edge(i)
		if e.Straight() && e.Chord() > best+1e-9 {
			best, longest = e.Chord(), e.B.Sub(e.A).Unit()
		}
	}
	longest = positive(longest)
	return []plane.Point{longest, positive(longest.Left())}, true
}

// corners of the compass a frame may start from.
func framesFor(axis plane.Point, start string) []plane.Frame {
	var out []plane.Frame
	for _, su := range []float64{1, -1} {
		for _, sv := range []float64{1, -1} {
			f := plane.Frame{U: axis.Scale(su), V: positive(axis.Left()).Scale(sv)}
			if start == "" || startOf(f) == start {
				out = append(out, f)
			}
		}
	}
	return out
}

// startOf names the corner in which a frame's work begins.
func startOf(f plane.Frame) string {
	d := f.U.Add(f.V)
	ns, ew := "s", "w"
	if d.Y < 0 {
		ns = "n"
	}
	if d.X < 0 {
		ew = "e"
	}
	return ns + ew
}

// lattices gives each bay the line its rows are counted from, so that row lines
// of neighbouring bays do not meet across a fold; offset shifts them all. swap
// exchanges the bays that keep the lattice with those half a board off it.
func lattices(bays []bay, lines [][2]plane.Point, f plane.Frame, pitch, offset float64, swap bool) []float64 {
	adjacent := neighbours(bays, lines, f)
	origin := make([]float64, len(bays))
	shade := make([]int, len(bays))
	for i := range shade {
		shade[i] = -1
	}
	for i := range bays {
		if shade[i] >= 0 {
			continue
		}
		group := []int{i}
		shade[i] = 0
		if swap && len(adjacent[i]) > 0 {
			shade[i] = 1
		}
		low := math.Inf(1)
		for k := 0; k < len(group); k++ {
			at := group[k]
			lo, _ := bays[at].region.Bounds()
			low = min(low, lo.Y)
			for _, o := range adjacent[at] {
				if shade[o] < 0 {
					shade[o] = 1 - shade[at]
					group = append(group, o)
				}
			}
		}
		for _, k := range group {
			origin[k] = low + offset - pitch + float64(shade[k])*pitch/2
		}
	}
	return origin
}

// neighbours lists for each bay those that face it across a line that rows end at.
func neighbours(bays []bay, lines [][2]plane.Point, f plane.Frame) [][]int {
	adjacent := make([][]int, len(bays))
	at := func(p plane.Point) int {
		return slices.IndexFunc(bays, func(b bay) bool { return b.region.Contains(p) })
	}
	for _, line := range lines {
		a, b := f.In(line[0]), f.In(line[1])
		dir := b.Sub(a).Unit()
		if math.Abs(dir.Y) < 0.02 {
			continue
		}
		steps := int(a.Distance(b)/0.25) + 1
		for k := 0; k < steps; k++ {
			p := a.Add(b.Sub(a).Scale((float64(k) + 0.5) / float64(steps)))
			i, j := at(p.Add(dir.Left().Scale(0.02))), at(p.Sub(dir.Left().Scale(0.02)))
			if i >= 0 && j >= 0 && i != j && !slices.Contains(adjacent[i], j) {
				adjacent[i] = append(adjacent[i], j)
				adjacent[j] = append(adjacent[j], i)
			}
		}
	}
	return adjacent
}

// settle takes the way that was found: it cuts the rows and counts again.
func (b *boarding) settle(r boardRules) {
	b.rows = b.courses.laid(&b.way)
	b.sheets = sheetsOf(b.rows, r)
	b.blanks = make([]blank, len(b.sheets))
	full, wide := upMM(r.length), upMM(r.width)
	for i, s := range b.sheets {
		b.blanks[i] = blankOf(s, full, wide, i)
	}
}

// blankOf is the blank that a sheet is cut from.
func blankOf(s sheet, full, wide, id int) blank {
	return blank{min(upMM(s.high.X-s.low.X), full), min(upMM(s.high.Y-s.low.Y), wide), id}
}

// printOf is a blank's part of a score's print.
func printOf(k blank) float64 { return float64(k.length) * float64(k.length) * float64(k.width) / 1e6 }

// centroid is the centre of area of all bays.
func centroid(bays []bay) plane.Point {
	var sum plane.Point
	var area float64
	for _, b := range bays {
		for _, l := range b.region {
			for i, p := range l {
				q := l[(i+1)%len(l)]
				k := p.Cross(q) / 2
				area += k
				sum = sum.Add(p.Add(q).Scale(k / 3))
			}
		}
	}
	if area == 0 {
		return plane.Point{}
	}
	return sum.Scale(1 / area)
}

// cutsOf counts saw cuts: one for length, one for width, and one for each further
// side that is not the rectangle's own; a curve, a chain of sides that turn little,
// is one cut.
func cutsOf(s sheet, k blank, full, wide int) int {
	n := 0
	if k.length < full {
		n++
	}
	if k.width < wide {
		n++
	}
	box := (s.high.X - s.low.X) * (s.high.Y - s.low.Y)
	if s.plain || box-s.shape.Area() <= 1e-5 {
		return n
	}
	for _, l := range s.shape.Region() {
		before := plane.Point{}
		for i, p := range l {
			q := l[(i+1)%len(l)]
			if onRectangle(p, q, s) {
				before = plane.Point{}
				continue
			}
			way := q.Sub(p).Unit()
			if before == (plane.Point{}) || before.Dot(way) < math.Cos(math.Pi/12) {
				n++
			}
			before = way
		}
	}
	return n
}

// onRectangle reports whether the side from p to q lies on the sheet's bounds.
func onRectangle(p, q plane.Point, s sheet) bool {
	on := func(a, b, c float64) bool { return math.Abs(a-c) < 1e-6 && math.Abs(b-c) < 1e-6 }
	return on(p.X, q.X, s.low.X) || on(p.X, q.X, s.high.X) || on(p.Y, q.Y, s.low.Y) || on(p.Y, q.Y, s.high.Y)
}

func axisName(a plane.Point) string {
	switch {
	case math.Abs(a.X) > 0.9999:
		return "x"
	case math.Abs(a.Y) > 0.9999:
		return "y"
	}
	return fmt.Sprintf("%.1f°", math.Atan2(a.Y, a.X)*180/math.Pi)
}

func cornerName(c string) string {
	names := map[string]string{"sw": "south-west", "se": "south-east", "nw": "north-west", "ne": "north-east"}
	return names[c]
}

func round3(x float64) float64 { return math.Round(x*1000) / 1000 }

// shortlist keeps the chosen candidate and the best few others, best first.
func shortlist(all []Candidate, chosen string) []Candidate {
	sort.SliceStable(all, func(i, j int) bool {
		a, b := all[i], all[j]
		switch {
		case (a.Name == chosen) != (b.Name == chosen):
			return a.Name == chosen
		case a.Items != b.Items:
			return a.Items < b.Items
		case a.Cuts != b.Cuts:
			return a.Cuts < b.Cuts
		}
		return a.JointM < b.JointM
	})
	var out []Candidate
	for i, c := range all {
		if len(out) == 8 {
			break
		}
		c.Chosen = i == 0
		if !c.Chosen && len(out) > 0 {
			if c.Name == out[0].Name || c.like(out[len(out)-1]) {
				continue
			}
			c.Why = whyNot(out[0], c)
		}
		out = append(out, c)
	}
	return out
}

// FewerIfBroken says which rejected layout takes fewer boards, which rule it breaks and where, and what is written into the
// roof file to have it all the same; "" where there is none.
func (c Choice) FewerIfBroken() string { return strings.TrimPrefix(fewerIfBroken(c.Candidates), "; ") }

// fewerIfBroken says what takes fewer boards where a rule may be broken, and which.
func fewerIfBroken(tried []Candidate) string {
	if len(tried) == 0 {
		return ""
	}
	for _, c := range tried[1:] {
		if c.Items < tried[0].Items && len(c.Breaks) > 0 && c.Pin != "" {
			return fmt.Sprintf("; %s would do where a rule may be broken (%s): %s", counted(c.Items, "board"), strings.Join(c.Breaks, "; "), c.Pin)
		}
	}
	return ""
}

// like reports whether two candidates differ by less than anybody would choose by.
func (c Candidate) like(o Candidate) bool {
	return c.Items == o.Items && c.Cuts == o.Cuts && math.Abs(c.JointM-o.JointM) < 0.1 && len(c.Breaks) == len(o.Breaks)
}

func whyNot(best, c Candidate) string {
	switch {
	case c.Items > best.Items:
		return fmt.Sprintf("takes %d more", c.Items-best.Items)
	case c.Items < best.Items && len(c.Breaks) > 0 && c.Pin != "":
		return strings.Join(c.Breaks, "; ") + "; to have it all the same: " + c.Pin
	case len(c.Breaks) > len(best.Breaks):
		return strings.Join(c.Breaks, "; ")
	case c.Cuts > best.Cuts:
		return fmt.Sprintf("%d more cuts", c.Cuts-best.Cuts)
	case c.JointM > best.JointM:
		return fmt.Sprintf("%.1f m more joint", c.JointM-best.JointM)
	}
	return "no better"
}
