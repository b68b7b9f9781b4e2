package document

import (
	"math"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/scene"
)

// miniature draws all decks on one small plan: outline, openings, falls, exits and
// how large it is. It has no scale; the roof plan among the drawings has.
func (d *pack) miniature(wide, high float64) *scene.Scene {
	s := &scene.Scene{Title: "Roof at a glance", WidthMM: wide, HeightMM: high}
	decks := d.p.Job.Decks
	low, top := decks[0].Outline.Bounds()
	for _, k := range decks {
		l, h := k.Outline.Bounds()
		low = plane.Point{X: min(low.X, l.X), Y: min(low.Y, l.Y)}
		top = plane.Point{X: max(top.X, h.X), Y: max(top.Y, h.Y)}
	}
	const rim, words = 4.0, 8.0
	k := min((wide-2*rim)/math.Max(top.X-low.X, 1e-3), (high-2*rim-words)/math.Max(top.Y-low.Y, 1e-3))
	origin := scene.Point{X: (wide - k*(top.X-low.X)) / 2, Y: words + (high-words-k*(top.Y-low.Y))/2}
	at := func(p plane.Point) scene.Point {
		return origin.Add(scene.Point{X: k * (p.X - low.X), Y: k * (p.Y - low.Y)})
	}
	ring := func(r plane.Ring) scene.Path {
		p := scene.Path{Closed: true}
		for _, v := range r {
			p.Vertices = append(p.Vertices, scene.Vertex{Point: at(v.Point), Bulge: v.Bulge})
		}
		return p
	}
	for i := range decks {
		deck := &decks[i]
		s.Add(scene.Shape{Paths: []scene.Path{ring(deck.Outline)}, Stroke: scene.Pen(scene.Thick), Filled: true,
			Fill: scene.Colour{R: 244, G: 244, B: 244}})
		for e, edge := range deck.Edges {
			if edge.Condition.TakesWater() {
				s.Add(gutter(deck.Outline.Edge(e), at))
			}
		}
		for _, o := range deck.Openings {
			l, h := o.Outline.Bounds()
			s.Add(scene.Shape{Paths: []scene.Path{ring(o.Outline)}, Stroke: scene.Pen(scene.Thin), Filled: true, Fill: scene.White},
				scene.Line(scene.Meta{}, scene.Pen(scene.Hairline), at(l), at(h)),
				scene.Line(scene.Meta{}, scene.Pen(scene.Hairline), at(plane.Point{X: l.X, Y: h.Y}), at(plane.Point{X: h.X, Y: l.Y})))
		}
		for _, p := range deck.Penetrations {
			s.Add(scene.Shape{Paths: []scene.Path{scene.Circle(at(p.At), 0.9)}, Stroke: scene.Pen(scene.Thin)})
		}
		d.fallArrows(s, deck, at, k)
		exit := at(deck.Exit)
		s.Add(scene.Shape{Filled: true,
			Paths: []scene.Path{scene.Polygon(exit.Add(scene.Point{X: -1.6, Y: -1.3}), exit.Add(scene.Point{X: 1.6, Y: -1.3}),
				exit.Add(scene.Point{Y: 1.7}))}})
	}
	size := d.num(top.X-low.X, 2) + " × " + d.num(top.Y-low.Y, 2) + " m over all"
	s.Add(scene.Text{At: scene.Point{X: wide / 2, Y: 4}, HeightMM: 2.2, Across: scene.Middle, Bold: true, Content: d.in.Say(size)},
		scene.Text{At: scene.Point{X: wide / 2, Y: 0.6}, HeightMM: 1.9, Across: scene.Middle,
			Content: d.in.Say("▲ exit    grey edge: water leaves here")})
	return s
}

// gutter lines an edge that water leaves by, outside the outline.
func gutter(e plane.Edge, at func(plane.Point) scene.Point) scene.Item {
	var pts []scene.Point
	for n := 0; n <= 12; n++ {
		t := float64(n) / 12
		p := at(e.At(t))
		out := e.Tangent(t).Left()
		pts = append(pts, p.Sub(scene.Point{X: out.X, Y: out.Y}.Unit().Scale(1.3)))
	}
	return scene.Line(scene.Meta{}, scene.Stroke{WidthMM: 1.2, Colour: scene.DarkGrey}, pts...)
}

// fallArrows draws one arrow down each plane, with its ratio.
func (d *pack) fallArrows(s *scene.Scene, deck *roof.Deck, at func(plane.Point) scene.Point, k float64) {
	f := deck.Falls
	if f.Kind == plane.Level {
		return
	}
	for i, p := range f.Planes {
		where, room, ok := roomiest(deck, func(q plane.Point) float64 {
			if len(f.Planes) < 2 {
				return math.Inf(1)
			}
			// How far q lies on this plane's side of the ridge, hip or valley.
			along := f.Line[1].Sub(f.Line[0])
			off := along.Unit().Cross(q.Sub(f.Line[0]))
			if i == 1 {
				off = -off
			}
			return off
		})
		if !ok || room*k < 2.5 {
			continue
		}
		c := at(where)
		ratio := "1:" + d.num(p.Ratio, 0)
		if p.Down == (plane.Point{}) {
			s.Add(scene.Text{At: c, Content: ratio, HeightMM: 2.2, Across: scene.Middle, Up: scene.Middle})
			continue
		}
		way := scene.Point{X: p.Down.X, Y: p.Down.Y}.Unit()
		long := min(room*k*0.9, 9.0)
		tip := c.Add(way.Scale(long))
		s.Add(scene.Line(scene.Meta{}, scene.Pen(scene.Medium), c.Sub(way.Scale(long)), tip), scene.Arrowhead(tip, way.AngleDeg(), 2.4))
		if room*k > 4 {
			s.Add(scene.Text{At: c.Add(way.Left().Scale(2.6)), Content: ratio, HeightMM: 2.2, Across: scene.Middle, Up: scene.Middle,
				AngleDeg: scene.Readable(way.AngleDeg())})
		}
	}
}

// roomiest finds, on a grid of the deck, the place farthest from its edges and openings
// and from what reach measures; where reach is not positive the place is not allowed.
func roomiest(deck *roof.Deck, reach func(plane.Point) float64) (best plane.Point, room float64, ok bool) {
	low, high := deck.Outline.Bounds()
	whole := []plane.Polygon{{Outer: deck.Outline.Chords(0.01)}}
	const n = 16
	for i := 1; i < n; i++ {
		for j := 1; j < n; j++ {
			p := plane.Point{X: low.X + (high.X-low.X)*float64(i)/n, Y: low.Y + (high.Y-low.Y)*float64(j)/n}
			if reach(p) <= 0 || !plane.ContainsAny(whole, p) {
				continue
			}
			_, _, far := deck.Outline.Nearest(p)
			far = math.Min(far, reach(p))
			for _, o := range deck.Openings {
				_, _, to := o.Outline.Nearest(p)
				if plane.ContainsAny([]plane.Polygon{{Outer: o.Outline.Chords(0.01)}}, p) {
					to = 0
				}
				far = math.Min(far, to)
			}
			if far > room+1e-9 {
				best, room, ok = p, far, true
			}
		}
	}
	return best, room, ok
}
