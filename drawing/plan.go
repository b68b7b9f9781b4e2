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

// planLargest is the largest scale a roof plan is drawn at: details are sections.
const planLargest = 20

// RoofPlan draws what the roof is: outline with the condition of every edge,
// openings, penetrations, falls and heights, joists, movement joints, moisture
// readings, the exit, and its dimensions.
func RoofPlan(job *roof.Job) (*Sheet, error) {
	return roofPlan(job, TitleOf(job, "Roof plan"), roofPlanKey(job))
}

// roofPlanKey is the key of the plan.
func roofPlanKey(job *roof.Job) []KeyEntry { return append(keyFor(job.Decks), planKey(job.Decks)...) }

func roofPlan(job *roof.Job, t Title, key []KeyEntry) (*Sheet, error) {
	if len(job.Decks) == 0 {
		return nil, fmt.Errorf("roof plan of %q: the job has no deck: give at least one outline", job.Name)
	}
	low, high := plane.Point{X: math.Inf(1), Y: math.Inf(1)}, plane.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, d := range job.Decks {
		if len(d.Outline) < 2 {
			return nil, fmt.Errorf("roof plan of %q: deck %q has no outline: give its corners", job.Name, d.Name)
		}
		a, b := d.Outline.Bounds()
		low = plane.Point{X: min(low.X, a.X), Y: min(low.Y, a.Y)}
		high = plane.Point{X: max(high.X, b.X), Y: max(high.Y, b.Y)}
	}
	x, y := plansFor(job.Decks)
	s, err := roofPlanSheet(t, planExtent{low, high, x, y}, key, job.Site.BearingDeg)
	if err != nil {
		return nil, err
	}
	for _, d := range job.Decks {
		s.drawDeck(d)
	}
	s.dimensions(low, x, y)
	s.cornerLetters(job.Decks)
	for _, d := range job.Decks {
		s.nameDeck(d)
	}
	return s, nil
}

// planExtent is the figure of a plan and the chains of dimensions beside it.
type planExtent struct {
	low, high plane.Point
	x, y      chainPlan
}

// roofPlanSheet asks for more room as the scale gets smaller, since narrow dimensions lift.
func roofPlanSheet(t Title, e planExtent, key []KeyEntry, bearingDeg float64) (*Sheet, error) {
	return largest(func(n float64) (*Sheet, error) {
		return NewSheet(t, Layout{Low: e.low, High: e.high, Left: e.y.room(n), Bottom: e.x.room(n), Right: e.x.edge, Top: e.y.edge, Key: key,
			Largest: n, Only: n, North: true, NorthDeg: bearingDeg})
	}, planLargest)
}

// drawDeck draws everything that has its fixed place; lettering follows.
func (s *Sheet) drawDeck(d roof.Deck) {
	ccw := d.Outline.SignedArea() > 0
	outline := s.Ring(d.Outline)
	id := slug(d.Name)
	for i, a := range d.SoftAreas {
		s.Add(scene.Shape{Meta: scene.Meta{ID: fmt.Sprintf("soft-%s-%d", id, i), Class: "soft", Title: "Soft place in the deck",
			Layer: "survey"}, Paths: []scene.Path{s.Ring(a)}, Filled: true, Fill: scene.LightGrey,
			Stroke: scene.Stroke{WidthMM: scene.Thin, Dash: scene.Dotted}})
	}
	for i, a := range d.AntiSlip {
		s.Add(scene.Shape{Meta: scene.Meta{ID: fmt.Sprintf("grip-%s-%d", id, i), Class: "anti-slip", Title: "Anti-slip area",
			Layer: "anti-slip"}, Paths: []scene.Path{s.Ring(a)}, Stroke: scene.Stroke{WidthMM: scene.Thin, Dash: scene.DoubleChain}})
		s.Add(scene.Dots(3).Cut(scene.Meta{Class: scene.Backdrop, Layer: "anti-slip"}, scene.DarkGrey, s.Ring(a))...)
	}
	for i, j := range d.MovementJoints {
		s.Add(scene.Shape{Meta: scene.Meta{ID: fmt.Sprintf("joint-%s-%d", id, i), Class: "joint",
			Title: "Movement joint, " + scene.Millimetres(j[0].Distance(j[1])) + " mm", Layer: "joints"},
			Stroke: scene.Pen(scene.Thin), Paths: twin(s.At(j[0]), s.At(j[1]))})
	}
	if len(d.Falls.Planes) > 1 && d.Falls.Line[0] != d.Falls.Line[1] {
		s.Add(scene.Line(scene.Meta{ID: "fall-line-" + id, Class: "fall-line",
			Title: fmt.Sprintf("%s line of %s", upperFirst(string(d.Falls.Kind)), d.Name), Layer: "falls"},
			scene.Stroke{WidthMM: scene.Medium, Dash: scene.Chain}, s.At(d.Falls.Line[0]), s.At(d.Falls.Line[1])))
	}
	s.Add(scene.Shape{Meta: scene.Meta{ID: "deck-" + id, Class: "deck", Title: deckTitle(d), Layer: "outline"},
		Paths: []scene.Path{outline}, Stroke: scene.Pen(scene.Thick)})
	for i := range d.Outline {
		if i < len(d.Edges) {
			s.edgeMark(d.Name, i, d.Outline.Edge(i), d.Edges[i], ccw)
			s.thresholds(d.Name, i, d.Outline.Edge(i), d.Edges[i], ccw)
		}
	}
	for i, o := range d.Openings {
		s.drawOpening(id, i, o)
	}
	for i, p := range d.Penetrations {
		s.drawPenetration(id, i, p)
	}
	for i, m := range d.Moisture {
		c := s.At(m.At)
		s.Add(scene.Group{Meta: scene.Meta{ID: fmt.Sprintf("moisture-%s-%d", id, i), Class: "moisture",
			Title: fmt.Sprintf("Moisture reading %g %%", m.Pct), Layer: "survey"}, Items: []scene.Item{
			scene.Shape{Stroke: scene.Pen(scene.Thin), Paths: crossAt(c, 1)}}})
	}
	s.drawExit(id, d)
}

// twin returns two lines close together: a joint, which a ridge may run along
// without hiding either.
func twin(a, b scene.Point) []scene.Path {
	n := b.Sub(a).Unit().Left().Scale(0.6)
	return []scene.Path{scene.Polyline(a.Add(n), b.Add(n)), scene.Polyline(a.Sub(n), b.Sub(n))}
}

func crossAt(c scene.Point, r float64) []scene.Path {
	return []scene.Path{
		scene.Polyline(c.Add(scene.Point{X: -r, Y: -r}), c.Add(scene.Point{X: r, Y: r})),
		scene.Polyline(c.Add(scene.Point{X: -r, Y: r}), c.Add(scene.Point{X: r, Y: -r}))}
}

func deckTitle(d roof.Deck) string {
	return fmt.Sprintf("Deck %s, %.2f m², %d edges", d.Name, d.Outline.Area(), len(d.Outline))
}

// drawOpening draws a pale pane within its frame.
func (s *Sheet) drawOpening(deck string, i int, o roof.Opening) {
	s.Add(scene.Shape{Meta: scene.Meta{ID: fmt.Sprintf("opening-%s-%d", deck, i), Class: "opening " + slug(o.Kind), Title: openingTitle(o),
		Layer: "openings"},
		Paths: []scene.Path{s.Ring(o.Outline)}, Filled: true, Fill: scene.LightGrey, Stroke: scene.Pen(scene.Thick)})
}

func openingSize(o roof.Opening) string {
	a, b := o.Outline.Bounds()
	return scene.Millimetres(b.X-a.X) + " × " + scene.Millimetres(b.Y-a.Y)
}

func openingTitle(o roof.Opening) string {
	t := fmt.Sprintf("%s %s, %s mm, kerb %.0f mm", upperFirst(o.Kind), o.Name, openingSize(o), o.KerbMM)
	if o.Fragile {
		t += ", fragile"
	}
	return t
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// drawPenetration draws what passes through: at least 2 mm on paper, an outlet
// with a filled centre, a pipe or flue with a cross.
func (s *Sheet) drawPenetration(deck string, i int, p roof.Penetration) {
	c := s.At(p.At)
	var shape scene.Path
	r := max(s.MM(p.DiameterMM/1000)/2, 1)
	if p.DiameterMM > 0 || p.WidthMM == 0 {
		shape = scene.Circle(c, r)
	} else {
		w, h := max(s.MM(p.WidthMM/1000)/2, 1), max(s.MM(p.DepthMM/1000)/2, 1)
		r = min(w, h)
		shape = scene.Rect(c.X-w, c.Y-h, c.X+w, c.Y+h)
	}
	items := []scene.Item{scene.Shape{Paths: []scene.Path{shape}, Filled: true, Fill: scene.White, Stroke: scene.Pen(scene.Medium)}}
	if p.Kind == "outlet" || p.Kind == "overflow" {
		items = append(items, scene.Shape{Paths: []scene.Path{scene.Circle(c, r/2)}, Filled: true})
	} else {
		items = append(items, scene.Shape{Stroke: scene.Pen(scene.Hairline), Paths: crossAt(c, r*0.7)})
	}
	s.Add(scene.Group{Meta: scene.Meta{ID: fmt.Sprintf("penetration-%s-%d", deck, i), Class: "penetration " + slug(p.Kind),
		Title: upperFirst(p.Kind) + " " + strings.Join(penetrationWords(p), ", "), Layer: "penetrations"}, Items: items})
}

func penetrationWords(p roof.Penetration) []string {
	size := fmt.Sprintf("ø%.0f", p.DiameterMM)
	if p.DiameterMM == 0 {
		size = fmt.Sprintf("%.0f × %.0f", p.WidthMM, p.DepthMM)
	}
	name := p.Name
	if name == "" {
		name = p.Kind
	}
	return []string{name + " " + size}
}

// drawExit draws an arrow that leaves the roof at the exit.
func (s *Sheet) drawExit(id string, d roof.Deck) {
	c := s.At(d.Exit)
	// Outward by the nearest edge.
	best, dir := math.Inf(1), scene.Point{Y: -1}
	ccw := d.Outline.SignedArea() > 0
	for i := range d.Outline {
		e := s.sheetEdge(d.Outline.Edge(i))
		for k := range 21 {
			t := float64(k) / 20
			if dist := c.Distance(scene.Point(e.At(t))); dist < best-1e-9 {
				best, dir = dist, outward(e, t)
				if !ccw {
					dir = dir.Scale(-1)
				}
			}
		}
	}
	a := dir.AngleDeg()
	p := func(x, y float64) scene.Point { return scene.Point{X: x, Y: y}.Turned(a).Add(c) }
	// A ladder seen from above: two stiles and rungs, with an arrow head beyond.
	paths := []scene.Path{scene.Polyline(p(-3, 1.6), p(3.8, 1.6)), scene.Polyline(p(-3, -1.6), p(3.8, -1.6))}
	for k := range 4 {
		x := -2.2 + 1.8*float64(k)
		paths = append(paths, scene.Polyline(p(x, 1.6), p(x, -1.6)))
	}
	s.Add(scene.Group{Meta: scene.Meta{ID: "exit-" + id, Class: "exit", Title: "Exit from " + d.Name, Layer: "exit"}, Items: []scene.Item{
		scene.Shape{Paths: paths, Stroke: scene.Pen(scene.Medium)},
		scene.Arrowhead(p(7, 0), a, 2.8),
	}})
}

// nameDeck letters the deck: what is tied to a place first, what can move last.
func (s *Sheet) nameDeck(d roof.Deck) {
	ccw := d.Outline.SignedArea() > 0
	for _, o := range d.Openings {
		s.nameOpening(o)
	}
	exit := s.words("Exit")
	exit.bold, exit.high, exit.layer = true, scene.TextUsual, "exit"
	s.slanted(d, ccw)
	s.beside(s.At(d.Exit), exit, 3.5, 40, nil)
	for i := range d.Outline {
		if i < len(d.Edges) {
			s.nameThresholds(d.Outline.Edge(i), d.Edges[i], ccw)
			s.edgeName(d.Outline.Edge(i), d.Edges[i], ccw)
		}
	}
	for _, p := range d.Penetrations {
		b := s.words(penetrationWords(p)...)
		b.layer = "penetrations"
		s.beside(s.At(p.At), b, max(s.MM(p.DiameterMM/1000)/2, 1)+1, 40, nil)
	}
	s.cornerHeights(d)
	for _, m := range d.Moisture {
		b := words(plain(s.locale, m.Pct) + " %")
		b.layer = "survey"
		s.beside(s.At(m.At), b, 1.8, 30, nil)
	}
	s.fallArrows(d)
	s.joists(d)
	s.deckName(d)
}

// nameOpening letters an opening inside it, in full when that fits, else by name
// with its size in the key.
func (s *Sheet) nameOpening(o roof.Opening) {
	path := s.Ring(o.Outline)
	at, _ := poleOfInaccessibility(0.2, path)
	full := []string{o.Name, openingSize(o), fmt.Sprintf("kerb %.0f", o.KerbMM)}
	if o.Fragile {
		full = append(full, "fragile")
	}
	b := words(o.Name)
	b.bold, b.layer = true, "openings"
	for _, lines := range [][]string{full, {o.Name}} {
		b.lines = lines
		if q := b.quad(at, 0, 0.5); inside(q, corners([]scene.Path{path})) && s.Space.FreeQuad(q) {
			s.Add(b.items(at, 0)...)
			return
		}
	}
	if s.numbers {
		least := b
		least.high = scene.TextLeast
		if q := least.quad(at, 0, -0.1); inside(q, corners([]scene.Path{path})) && s.Space.FreeQuad(q) {
			s.Add(least.items(at, 0)...)
			return
		}
	}
	w, h := b.size()
	low, high := o.Outline.Bounds()
	half := s.At(high).Sub(s.At(low)).Scale(0.5)
	mid := s.At(low).Add(half)
	for _, d := range [...]scene.Point{{Y: half.Y + h/2 + 0.4}, {Y: -half.Y - h/2 - 0.4}, {X: half.X + w/2 + 0.8}, {X: -half.X - w/2 - 0.8}} {
		if c := mid.Add(d); s.Space.FreeQuad(b.quad(c, 0, 0.2)) {
			s.Add(b.items(c, 0)...)
			return
		}
	}
	s.leader(at, b, 0, 60, nil)
}

// cornerHeights writes heights above the lowest corner at corners, at the ends
// of the fall line and at the low point.
func (s *Sheet) cornerHeights(d roof.Deck) {
	h := heightsOf(d.Falls, d.Outline)
	if !h.known {
		return
	}
	inner := centroid(d.Outline)
	seen := map[plane.Point]bool{}
	at := func(p plane.Point) {
		key := plane.Point{X: math.Round(p.X * 100), Y: math.Round(p.Y * 100)}
		if seen[key] {
			return
		}
		seen[key] = true
		b := words(signed(h.aboveLowMM(p)))
		b.layer = "falls"
		s.height(s.At(p), s.At(inner), s.Ring(d.Outline), b)
	}
	for _, v := range d.Outline {
		at(v.Point)
	}
	if len(d.Falls.Planes) > 1 {
		at(d.Falls.Line[0])
		at(d.Falls.Line[1])
	}
	if d.Falls.Kind == plane.ToPoint {
		at(d.Falls.Point)
	}
	for i := range d.Outline {
		if e := d.Outline.Edge(i); !e.Straight() {
			at(e.At(0.5))
		}
	}
}

func signed(mm float64) string {
	v := math.Round(mm)
	if v == 0 {
		return "±0"
	}
	return fmt.Sprintf("%+.0f", v)
}

func centroid(r plane.Ring) plane.Point {
	var c plane.Point
	for _, v := range r {
		c = c.Add(v.Point)
	}
	return c.Scale(1 / float64(len(r)))
}

// height writes a height inside the outline close to its corner: a small filled
// triangle whose tip stands at the level (ISO 129-1), and the figure.
func (s *Sheet) height(corner, inner scene.Point, outline scene.Path, b block) {
	w, _ := b.size()
	var cands []scene.Point
	for _, c := range near(corner, 14, 1.2) {
		if c.Distance(corner) > 2.5 {
			cands = append(cands, c)
		}
	}
	sort.SliceStable(cands, func(i, j int) bool {
		score := func(c scene.Point) float64 {
			return c.Distance(corner) - 0.2*c.Sub(corner).Unit().Dot(inner.Sub(corner).Unit())
		}
		return score(cands[i]) < score(cands[j])
	})
	rings := corners([]scene.Path{outline})
	for _, c := range cands {
		// The sign stands left of the figure.
		q := quadAt(c, w+4.2, 3.6, 0)
		if !inside(q, rings) || !s.Space.FreeQuad(q) {
			continue
		}
		tip := c.Add(scene.Point{X: -w/2 - 0.6, Y: -1.2})
		s.Add(scene.Shape{Meta: scene.Meta{Layer: "falls"}, Filled: true,
			Paths: []scene.Path{scene.Polygon(tip, tip.Add(scene.Point{X: 1, Y: 1.9}), tip.Add(scene.Point{X: -1, Y: 1.9}))}})
		s.Add(b.items(c.Add(scene.Point{X: 1.6}), 0)...)
		return
	}
	s.leader(corner, b, 0, 40, nil)
}
