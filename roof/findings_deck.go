package roof

import (
	"fmt"
	"math"
	"strings"

	"gelwright/plane"
	"gelwright/working"
)

// deck raises what one deck gives rise to.
func (f *finder) deck(d *Deck, path string) {
	where := fmt.Sprintf("deck %q", d.Name)
	f.taped(d, where)
	f.fall(d, where)
	for i := range d.Edges {
		f.lowSide(d, i)
		f.upstand(d, i, fmt.Sprintf("%s.edges[%d]", path, i))
		if e := d.Outline.Edge(i); !e.Straight() {
			radius, _ := e.Arc()
			f.add("edge.arc", d.EdgeWhere(i), fmt.Sprintf("the edge is an arc of %.3f m length and %.3f m radius", e.Length(), radius),
				"ask for flexible trim, or slit the flange every 25 to 50 mm and laminate it; allow twice the bandage", tradePractice)
		}
	}
	f.corners(d)
	f.movement(d, where)
	f.gutters(d, where)
	f.holes(d, where)
	f.posts(d, where)
	f.joists(d, where)
	f.moisture(d, where)
}

// Falls: design 1:40 so that no place of the finished roof is below 1:80.
const (
	designRatio   = 40
	finishedRatio = 80
)

func (f *finder) fall(d *Deck, where string) {
	flattest := 0.0
	for _, p := range d.Falls.Planes {
		flattest = max(flattest, p.Ratio)
	}
	gutter := false
	for _, e := range d.Edges {
		gutter = gutter || e.Condition == StepUp
	}
	switch {
	case d.Falls.Kind == plane.Level:
		f.add("fall.none", where, "the deck is level: water stands", "firrings or tapered insulation to 1:40", bs6229Fall)
	case flattest > finishedRatio:
		f.add("fall.flat", where, fmt.Sprintf("1:%g is flatter than the finished 1:80", flattest), "firrings or tapered insulation to 1:40",
			bs6229Fall)
	case flattest > designRatio && !gutter:
		f.add("fall.design", where, fmt.Sprintf("1:%g passes 1:80 as a finished fall and fails 1:40 as a design fall", flattest),
			"design to 1:40, or survey the levels and show that no place is flatter than 1:80 when finished", bs6229Fall)
	}
	if d.Falls.Kind == plane.Hip {
		f.add("fall.hip", where, "two planes meet at a hip", "cut boards along the hip and let no joint run in line across it; bandage the "+
			"hip 150 mm wide", tradePractice)
	}
	var gutters []string
	for i, e := range d.Edges {
		if e.Condition == Drip {
			gutters = append(gutters, fmt.Sprintf("edge %d (%.2f m)", i+1, d.Outline.Edge(i).Length()))
		}
	}
	if len(gutters) > 1 {
		f.add("gutters.count", where, fmt.Sprintf("%d drip edges, each with a gutter: %s", len(gutters), strings.Join(gutters, ", ")),
			"give each its own outlet, or take the gutter round the corner", geometry)
	}
}

// lowSide compares the way of the water with the condition of the edge.
func (f *finder) lowSide(d *Deck, i int) {
	side, e := d.Outline.Edge(i), d.Edges[i]
	middle := side.At(0.5)
	outward := side.Tangent(0.5).Left().Scale(-1)
	// Just inside, so that a point on a ridge or hip falls on its own side.
	down := downAt(d.Falls, middle.Sub(outward.Scale(0.01)))
	run := down.Dot(outward)
	low := run > 0.5
	switch {
	case low && e.Condition == Drip:
		f.add("edge.drip_low", d.EdgeWhere(i), "the drip edge lies on the low side, facing "+compass(outward),
			"check that the gutter hangs there and the drip reaches 10 to 20 mm into it", geometry)
	case low && (e.Condition == Kerb || e.Condition == Verge) && d.Falls.Kind != plane.ToPoint:
		f.add("edge.low_kerb", d.EdgeWhere(i), "a "+string(e.Condition)+" on the low side is a dam", "make it a drip edge, or turn the fall",
			geometry)
	case run < -0.5 && e.Condition == Kerb:
		f.add("edge.high_kerb", d.EdgeWhere(i), "the high side is the raised edge facing "+compass(outward),
			"nothing to do; water runs away from it", geometry)
	case run < -0.5 && e.Condition == Drip:
		f.add("edge.drip_high", d.EdgeWhere(i), "the drip edge lies on the high side: no water reaches it",
			"make it a raised edge, or turn the fall", geometry)
	}
}

// compass names the direction on the drawing, where up is north.
func compass(v plane.Point) string {
	names := []string{"east", "north-east", "north", "north-west", "west", "south-west", "south", "south-east"}
	return names[(int(math.Round(math.Atan2(v.Y, v.X)/(math.Pi/4)))+8)%8]
}

// upstandMM is what BS 6229 asks above the finished roof.
const upstandMM = 150

// Reduced sills need drainage and shelter (from memory).
var thresholds = working.Source{Title: "warranty guidance on low thresholds", Standing: working.Remembered}

func (f *finder) upstand(d *Deck, i int, path string) {
	e, where := d.Edges[i], d.EdgeWhere(i)
	if e.Condition == Tuck && f.assumed(path+".height_mm") {
		f.add("upstand.tuck", where, "how high does the upstand rise under the tiles or slates?",
			"measure it: 150 mm vertically at least, with a tilting fillet", tradePractice)
	}
	if e.Condition == Wall && e.CavityTray == "" {
		f.add("cavity_tray.ask", where, "is there a cavity tray above this wall, with weep holes?",
			"look, and set cavity_tray to yes or no; without one water in the cavity runs in behind the flashing", tradePractice)
	}
	if e.Condition == Wall || e.Condition == Tuck || e.Condition == Parapet {
		if e.HeightMM > 0 && e.HeightMM < upstandMM {
			f.add("upstand.low", where, fmt.Sprintf("an upstand of %g mm is below %d mm", e.HeightMM, upstandMM),
				"raise it to 150 mm above the finished roof", bs6229)
		}
	}
	if e.Condition == Parapet && e.Shared && e.WidthMM > 0 {
		f.add("parapet.shared_width", where, fmt.Sprintf("the laminate runs over all %g mm of a shared parapet, and half of the parapet is "+
			"the neighbour's: ask", e.WidthMM), "have the neighbour's word in writing to go over their half, or set width_mm to the middle of "+
			"the parapet and finish under the coping there", working.Source{Title: "Party Wall etc. Act 1996 (England and Wales)",
			Standing: working.Remembered})
	}
	f.limit(e, where)
	for _, s := range e.Thresholds {
		if s.UpstandMM < upstandMM {
			f.add("threshold.low", where, fmt.Sprintf("the sill from %g to %g m stands %g mm above the deck: %g < %d", s.FromM, s.ToM, s.UpstandMM,
				s.UpstandMM, upstandMM), "go the reduced-threshold way: 75 mm at least, a drained channel before the door and a canopy; or raise "+
				"the sill, and record who decided", thresholds)
		}
	}
}

// limit asks what is left of the height below a sill or weep hole when the new
// build-up lies on the present surface.
func (f *finder) limit(e Edge, where string) {
	if e.LimitMM == 0 {
		return
	}
	s, text := f.job.Spec, []string{fmt.Sprintf("%g", e.LimitMM)}
	left := e.LimitMM
	take := func(mm float64, what string) {
		left -= mm
		text = append(text, fmt.Sprintf("%g (%s)", mm, what))
	}
	take(s.Board.ThicknessMM, "boards")
	if s.Insulation != nil && (s.Build == "warm" || s.Build == "inverted") {
		take(s.Insulation.ThicknessMM, "insulation")
	}
	sum := strings.Join(text, " − ")
	if left < upstandMM {
		f.add("upstand.limit", where, fmt.Sprintf("%s = %g mm left above the finished roof: %g < %d", sum, left, left, upstandMM),
			"lower the build-up or the deck, raise what limits it, or strip", bs6229)
		return
	}
	f.add("upstand.limit_kept", where, fmt.Sprintf("%s = %g mm left above the finished roof, %d are wanted: enough", sum, left, upstandMM),
		"measure it again before the boards are ordered", bs6229)
}

// corners flags what preformed pieces, made for 90°, do not fit.
func (f *finder) corners(d *Deck) {
	n := len(d.Outline)
	for i := range n {
		before, after := d.Outline.Edge((i+n-1)%n).Tangent(1), d.Outline.Edge(i).Tangent(0)
		turn := math.Atan2(before.Cross(after), before.Dot(after)) * 180 / math.Pi
		inside := 180 - turn
		where := fmt.Sprintf("deck %q, corner %d of %d (%s to %s)", d.Name, i+1, n, d.Edges[(i+n-1)%n].Condition, d.Edges[i].Condition)
		if turn < -5 {
			f.add("corner.reentrant", where, fmt.Sprintf("a re-entrant corner of %.0f°, where laminate splits first", inside),
				"two extra layers, 300 mm each way, before the main mat; or a movement joint there", tradePractice)
		}
		if math.Abs(math.Abs(turn)-90) > 2 && math.Abs(turn) > 2 {
			f.add("corner.angle", where, fmt.Sprintf("the corner measures %.2f°, not 90°", inside),
				fmt.Sprintf("no preformed corner fits: mitre the trims at %.2f° and laminate over a shaped fillet", inside/2), geometry)
		}
	}
}

func (f *finder) movement(d *Deck, where string) {
	limitM2, limitM, colour := float64(largeM2), float64(longM), ""
	if dark(f.job.Spec.TopCoat.Colour) {
		limitM2, limitM, colour = largeM2*darkPart, longM*darkPart, " of a dark roof"
	}
	low, high := d.Outline.Bounds()
	longest := max(high.X-low.X, high.Y-low.Y)
	if a := d.Outline.Area(); a > limitM2 {
		f.add("movement.area", where, fmt.Sprintf("%.4g m² is above the %g m²%s in one piece", a, limitM2, colour),
			"plan movement joints into bays, and ask for the system's approval at this size", tradePractice)
	}
	if longest > limitM {
		f.add("movement.length", where, fmt.Sprintf("a side of %.4g m is above the %g m%s", longest, limitM, colour),
			"plan movement joints, or take a lighter colour", tradePractice)
	}
	if len(d.MovementJoints) > 0 {
		bays := d.Bays()
		f.add("movement.bays", where, fmt.Sprintf("%d movement joints make %d bays of %.3g m² on average", len(d.MovementJoints), bays,
			d.Outline.Area()/float64(bays)), "laminate each bay in one go from one batch, the top coat of one face from one batch", geometry)
	}
}

// Bays counts the pieces that movement joints part the deck into: one, and one more
// for each joint and for each crossing of two joints, where joints run from side to
// side.
func (d *Deck) Bays() int {
	n := 1 + len(d.MovementJoints)
	for i, a := range d.MovementJoints {
		for _, b := range d.MovementJoints[:i] {
			if at, hit := plane.Cross(a, b); hit && a[0].Sub(a[1]).Cross(b[0].Sub(b[1])) != 0 &&
				d.Outline.Outline().Holds(at, 0) {
				n++
			}
		}
	}
	return n
}

// gutterMM is the least width that a hand can work in.
const gutterMM = 300

// gutters looks at gutters within the roof and at roofs enclosed by upstands.
func (f *finder) gutters(d *Deck, where string) {
	open := false
	for i, e := range d.Edges {
		open = open || e.Condition.TakesWater() || e.Condition == Kerb || e.Condition == Verge || e.Condition == Joins
		if e.Condition != BoxGutter {
			continue
		}
		f.add("gutter.internal", d.EdgeWhere(i), "water falls into a gutter within the roof",
			"it needs an overflow that shows, and capacity for a rarer storm than an eaves gutter",
			working.Source{Title: "BS EN 12056-3", Standing: working.Remembered})
		for k := range f.job.Decks {
			if g := &f.job.Decks[k]; g.Name == e.To {
				f.gutterWidth(g)
			}
		}
	}
	if !open {
		f.enclosed(d, where)
	}
}

// enclosed looks at the outlets of a roof that upstands enclose.
func (f *finder) enclosed(d *Deck, where string) {
	outlets, overflows := 0, 0
	for _, p := range d.Penetrations {
		switch p.Kind {
		case "outlet":
			outlets++
		case "overflow":
			overflows++
		}
	}
	if outlets == 0 && overflows == 0 {
		return
	}
	switch {
	case overflows > 0:
		f.add("overflow.present", where, fmt.Sprintf("enclosed by upstands: %d outlet and %d overflow", outlets, overflows),
			"keep both clear; the overflow's sill lies above the outlet and below the lowest upstand", bs6229)
	case outlets < 2:
		f.add("overflow.missing", where, "enclosed by upstands with one outlet and no overflow", "add an overflow or a second outlet", bs6229)
	}
}

func (f *finder) gutterWidth(g *Deck) {
	low, high := g.Outline.Bounds()
	width := 1000 * min(high.X-low.X, high.Y-low.Y)
	where := fmt.Sprintf("deck %q", g.Name)
	if width >= gutterMM {
		f.add("gutter.width", where, fmt.Sprintf("the gutter is %.0f mm wide, %d mm are wanted to work in: enough", width, gutterMM),
			"keep the width clear of trims and insulation", tradePractice)
		return
	}
	f.add("gutter.narrow", where, fmt.Sprintf("the gutter is %.0f mm wide: too narrow to roll a laminate in", width),
		"widen it to 300 mm, or line it with a preformed piece", tradePractice)
}

func (f *finder) holes(d *Deck, where string) {
	for i := range d.Openings {
		o := &d.Openings[i]
		piece := fmt.Sprintf("%s, opening %q", where, o.Name)
		if o.Fragile {
			f.add("rooflight.fragile", piece, "it breaks under a foot",
				"cover it and mark it before anyone goes up; rails round it while the kerb is laminated", workAtHeight)
		}
		if o.Kind == "chimney" {
			f.chimney(d, o, piece)
		}
	}
}

func (f *finder) chimney(d *Deck, o *Opening, piece string) {
	if d.BackAtEdge(o) {
		f.add("chimney.upstands", piece, "a chimney at the high edge has an apron and two side upstands; its back is the wall it stands on",
			"150 mm upstand on each face that stands in the roof, lead over it; carry the upstand of the wall round on to its sides", tradePractice)
		return
	}
	f.add("chimney.upstands", piece, "a chimney has an apron, two side upstands and a back",
		"150 mm upstand on each face, lead over it; a saddle behind it where it is wider than 600 mm across the fall, and water led past it",
		tradePractice)
}

// againstM is how near a side stands to an edge that it is built against, m: a tape's reading.
const againstM = 0.01

// BackAtEdge reports whether an opening's high side stands against an edge of the deck over which no water
// comes, so that none runs down behind it.
func (d *Deck) BackAtEdge(o *Opening) bool {
	low, high := o.Outline.Bounds()
	down, ring, found := downAt(d.Falls, low.Add(high).Scale(0.5)), o.Outline, false
	if ring.SignedArea() < 0 {
		ring = ring.Reversed()
	}
	for i := range ring {
		side := ring.Edge(i)
		// Outward of a side is to its right; high sides face against the water.
		if side.Tangent(0.5).Left().Dot(down) < 0.5 {
			continue
		}
		for _, part := range [...]float64{0.1, 0.5, 0.9} {
			n, _, distance := d.Outline.Nearest(side.At(part))
			if distance > againstM || !d.Edges[n].Condition.sheds() {
				return false
			}
			found = true
		}
	}
	return found
}

// sheds reports whether nothing runs on to the deck over such an edge where it is the high one.
func (c Condition) sheds() bool { return c == Wall || c == Parapet || c == Kerb || c == Verge }

func (f *finder) posts(d *Deck, where string) {
	var names []string
	for _, p := range d.Penetrations {
		if p.Kind == "post" {
			names = append(names, p.Name)
		}
	}
	if len(names) > 0 {
		f.add("posts.through", where, fmt.Sprintf("%d posts pass through the laminate: %s", len(names), strings.Join(names, ", ")),
			"fix them to the face or the kerb; if they must stand there, on a plinth 150 mm high with two layers of bandage and a sleeve",
			tradePractice)
	}
}

// Moisture of the deck, % (common practice): above wetPct nothing is laminated.
const (
	wetPct = 18
	// WetPart is the share of wet readings, %, above which all of a deck is stripped.
	WetPart = 25
)

// Wet lists the moisture readings at which nothing may be laminated.
func (d *Deck) Wet() []Moisture {
	var out []Moisture
	for _, m := range d.Moisture {
		if m.Pct > wetPct {
			out = append(out, m)
		}
	}
	return out
}

// WetShare is the share of a deck's moisture readings that are wet, of how many.
func (d *Deck) WetShare() (share float64, of int) {
	if of = len(d.Moisture); of == 0 {
		return 0, 0
	}
	return float64(len(d.Wet())) / float64(of), of
}

func (f *finder) moisture(d *Deck, where string) {
	if wet := len(d.Wet()); wet > 0 {
		share, _ := d.WetShare()
		part := 100 * share
		text := fmt.Sprintf("%d of %d readings above %d %% = %.0f %%", wet, len(d.Moisture), wetPct, part)
		switch {
		case part > WetPart:
			f.add("moisture.wet", where, text, "strip it all", tradePractice)
		case part == WetPart:
			f.add("moisture.wet", where, text+": at the limit", "strip the wet part at least, and core beside it before deciding on the rest",
				tradePractice)
		default:
			f.add("moisture.wet", where, text, "strip the wet part, dry it to 18 % or less, and measure again", tradePractice)
		}
	}
	if len(d.SoftAreas) > 0 {
		sum := 0.0
		for _, r := range d.SoftAreas {
			sum += r.Area()
		}
		f.add("deck.soft", where, fmt.Sprintf("%.2f m² of the deck are soft", sum), "cut back to sound board on joists and renew", tradePractice)
	}
}
