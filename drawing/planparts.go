package drawing

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/scene"
)

// planKey explains the signs that this roof's plan uses, and lists openings too
// small to letter in full.
func planKey(decks []roof.Deck) []KeyEntry {
	p := func(x, y float64) scene.Point { return scene.Point{X: x, Y: y} }
	line := func(st scene.Stroke) []scene.Item {
		return []scene.Item{scene.Line(scene.Meta{}, st, p(0.5, 2.5), p(14, 2.5))}
	}
	var falls, joints, valley, wet, soft, grip bool
	var openings []roof.Opening
	for _, d := range decks {
		falls = falls || heightsOf(d.Falls, d.Outline).known
		joints = joints || len(d.MovementJoints) > 0
		valley = valley || len(d.Falls.Planes) > 1
		wet = wet || len(d.Moisture) > 0
		soft = soft || len(d.SoftAreas) > 0
		grip = grip || len(d.AntiSlip) > 0
		openings = append(openings, d.Openings...)
	}
	var out []KeyEntry
	add := func(yes bool, words string, sign []scene.Item) {
		if yes {
			out = append(out, KeyEntry{words, sign})
		}
	}
	add(falls, "height above lowest, mm",
		[]scene.Item{scene.Shape{Filled: true, Paths: []scene.Path{scene.Polygon(p(7, 1.4), p(8, 3.3), p(6, 3.3))}}})
	add(falls, "fall: water runs this way", fallSign())
	add(valley, "ridge, hip or valley", line(scene.Stroke{WidthMM: scene.Medium, Dash: scene.Chain}))
	add(joints, "movement joint", []scene.Item{scene.Shape{Stroke: scene.Pen(scene.Thin), Paths: twin(p(0.5, 2.5), p(14, 2.5))}})
	add(wet, "moisture reading", []scene.Item{scene.Shape{Stroke: scene.Pen(scene.Thin), Paths: crossAt(p(7, 2.5), 1)}})
	add(soft, "soft place in the deck",
		[]scene.Item{scene.Shape{Paths: []scene.Path{scene.Rect(1, 0.5, 13, 4.5)}, Filled: true, Fill: scene.LightGrey,
			Stroke: scene.Stroke{WidthMM: scene.Thin, Dash: scene.Dotted}}})
	add(grip, "anti-slip top coat", line(scene.Stroke{WidthMM: scene.Thin, Dash: scene.DoubleChain}))
	for _, w := range crossWords(decks) {
		out = append(out, KeyEntry{Words: w})
	}
	for _, w := range openingList(openings) {
		out = append(out, KeyEntry{Words: w})
	}
	return out
}

// openingList groups openings of one size and kerb: "RL01–RL12 (12): 1200 × 1200, kerb 150".
func openingList(all []roof.Opening) []string {
	groups := map[string][]string{}
	var order []string
	for _, o := range all {
		k := fmt.Sprintf("%s, kerb %.0f", openingSize(o), o.KerbMM)
		if o.Fragile {
			k += ", fragile"
		}
		if groups[k] == nil {
			order = append(order, k)
		}
		groups[k] = append(groups[k], o.Name)
	}
	var out []string
	for _, k := range order {
		n := groups[k]
		name := n[0]
		if len(n) > 1 {
			name = fmt.Sprintf("%d off %s to %s", len(n), n[0], n[len(n)-1])
		}
		line := name + ": " + k
		if scene.Measure(line, scene.TextSmall, false).WidthMM <= keyColumn {
			out = append(out, line)
			continue
		}
		out = append(out, name+":", k)
	}
	return out
}

// fallArrows puts one arrow with its ratio on each plane of the falls, where it
// is farthest from everything else. It returns how many it drew.
func (s *Sheet) fallArrows(d roof.Deck) (drawn int) {
	h := heightsOf(d.Falls, d.Outline)
	if !h.known {
		return 0
	}
	paths := s.holed(d)
	for i, pl := range d.Falls.Planes {
		label := "1:" + plain(s.locale, pl.Ratio)
		long := 18.0
		if d.Falls.Kind == plane.ToPoint {
			return s.arrowsToPoint(d, label)
		}
		angle := scene.Point(pl.Down).AngleDeg()
		title := fmt.Sprintf("Fall %s of %s, towards the %s of the plan", label, d.Name, wayWords(angle))
		placed := false
		for _, size := range []float64{long, 12, 8} {
			mine := func(c scene.Point) bool { return len(d.Falls.Planes) < 2 || h.side(s.plan(c)) == i }
			placed = s.seek(paths, mine, size+6, 13, angle, func(c scene.Point) {
				s.fallArrow(fmt.Sprintf("fall-%s-%d", slug(d.Name), i), c, angle, size, label, title)
			})
			if placed {
				drawn++
				break
			}
		}
	}
	return drawn
}

// fallSign is the key's picture of a fall.
func fallSign() []scene.Item {
	return []scene.Item{scene.Line(scene.Meta{}, scene.Pen(scene.Medium), scene.Point{X: 0.5, Y: 2.5}, scene.Point{X: 12, Y: 2.5}),
		scene.Arrowhead(scene.Point{X: 14, Y: 2.5}, 0, 3)}
}

// wayWords name a direction on the sheet.
func wayWords(angleDeg float64) string {
	ways := [...]string{"right", "upper right", "top", "upper left", "left", "lower left", "foot", "lower right"}
	return ways[int(math.Round(math.Mod(angleDeg+360, 360)/45))%8]
}

// plan is the inverse of At.
func (s *Sheet) plan(p scene.Point) plane.Point {
	return plane.Point(p.Sub(s.Origin).Scale(s.Scale / 1000))
}

func (s *Sheet) fallArrow(id string, c scene.Point, angle, long float64, label, title string) {
	dir := scene.Point{X: 1}.Turned(angle)
	a, b := c.Sub(dir.Scale(long/2)), c.Add(dir.Scale(long/2))
	read := scene.Readable(angle)
	s.Add(scene.Group{Meta: scene.Meta{ID: id, Class: "fall", Title: title, Layer: "falls"}, Items: []scene.Item{
		scene.Line(scene.Meta{}, scene.Pen(scene.Medium), a, b.Sub(dir.Scale(2))),
		scene.Arrowhead(b, angle, 3.5),
		scene.Text{At: c.Add(scene.Point{Y: 1}.Turned(read)), Content: label, HeightMM: scene.TextUsual, Across: scene.Middle, AngleDeg: read},
	}})
}

// arrowsToPoint puts an arrow on the way from each corner to the low point, and
// returns how many there are.
func (s *Sheet) arrowsToPoint(d roof.Deck, label string) (drawn int) {
	rings := corners(s.holed(d))
	low := s.At(d.Falls.Point)
	for i, v := range d.Outline {
		c := s.At(v.Point).Add(low).Scale(0.5)
		angle := low.Sub(c).AngleDeg()
		q := quadAt(c, 14, 9, angle)
		if inside(q, rings) && s.Space.FreeQuad(q) {
			s.fallArrow(fmt.Sprintf("fall-%s-%d", slug(d.Name), i), c, angle, 12, label, fmt.Sprintf("Fall %s of %s to the outlet", label, d.Name))
			drawn++
		}
	}
	return drawn
}

// holed returns the deck's outline with its openings on paper.
func (s *Sheet) holed(d roof.Deck) []scene.Path {
	paths := []scene.Path{s.Ring(d.Outline)}
	for _, o := range d.Openings {
		paths = append(paths, s.Ring(o.Outline))
	}
	return paths
}

// seek looks for a free place of w × h, turned by angleDeg, inside paths where
// mine holds, the roomiest first, and draws there.
func (s *Sheet) seek(paths []scene.Path, mine func(scene.Point) bool, w, h, angleDeg float64, draw func(scene.Point)) bool {
	rings := corners(paths)
	box := scene.Box{}
	for _, p := range rings[0] {
		box = box.Take(p)
	}
	type seat struct {
		c scene.Point
		d float64
	}
	step := max(2, min(box.Width(), box.Height())/24)
	var seats []seat
	for x := box.Low.X + step/2; x < box.High.X; x += step {
		for y := box.Low.Y + step/2; y < box.High.Y; y += step {
			c := scene.Point{X: x, Y: y}
			if d := clearance(c, rings); d > 0 && mine(c) {
				seats = append(seats, seat{c, d})
			}
		}
	}
	sort.SliceStable(seats, func(i, j int) bool { return seats[i].d > seats[j].d })
	for _, t := range seats {
		q := quadAt(t.c, w, h, angleDeg)
		if inside(q, rings) && s.Space.FreeQuad(q) {
			draw(t.c)
			return true
		}
	}
	return false
}

// joists marks the way the joists run, with their spacing and section.
func (s *Sheet) joists(d roof.Deck) {
	b := d.Base
	if b.JoistSpacingMM == 0 {
		return
	}
	var parts []string
	if b.JoistWidthMM > 0 && b.JoistDepthMM > 0 {
		parts = append(parts, fmt.Sprintf("%.0f × %.0f", b.JoistWidthMM, b.JoistDepthMM))
	}
	parts = append(parts, fmt.Sprintf("at %.0f", b.JoistSpacingMM))
	label := s.say("joists " + strings.Join(parts, " "))
	angle := scene.Readable(b.JoistBearingDeg)
	w := scene.Measure(label, scene.TextSmall, false).WidthMM + 6
	s.seek(s.holed(d), func(scene.Point) bool { return true }, w+6, 12, angle, func(c scene.Point) {
		dir := scene.Point{X: 1}.Turned(angle)
		a, e := c.Sub(dir.Scale(w/2)), c.Add(dir.Scale(w/2))
		s.Add(scene.Group{Meta: scene.Meta{ID: "joists-" + slug(d.Name), Class: "joists", Title: upperFirst(label) + " mm centres",
			Layer: "structure"}, Items: []scene.Item{
			scene.Line(scene.Meta{}, scene.Pen(scene.Hairline), a, e),
			scene.Line(scene.Meta{}, scene.Pen(scene.Thin), a.Add(scene.Point{X: 1.5, Y: 1}.Turned(angle)), a,
				a.Add(scene.Point{X: 1.5, Y: -1}.Turned(angle))),
			scene.Line(scene.Meta{}, scene.Pen(scene.Thin), e.Add(scene.Point{X: -1.5, Y: 1}.Turned(angle)), e,
				e.Add(scene.Point{X: -1.5, Y: -1}.Turned(angle))),
			scene.Text{At: c.Add(scene.Point{Y: 0.9}.Turned(angle)), Content: label, HeightMM: scene.TextSmall, Across: scene.Middle,
				AngleDeg: angle},
		}})
	})
}

// deckName writes the deck's name and area where there is room for it.
func (s *Sheet) deckName(d roof.Deck) {
	net := d.Outline.Area()
	for _, o := range d.Openings {
		net -= o.Outline.Area()
	}
	b := words(upperFirst(d.Name), num(s.locale, net, 2)+" m²")
	b.bold, b.high, b.lead, b.layer = true, scene.TextUsual, 5.6, "names"
	w, h := b.size()
	s.seek(s.holed(d), func(scene.Point) bool { return true }, w+2, h+2, 0, func(c scene.Point) { s.Add(b.items(c, 0)...) })
}
