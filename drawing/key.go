package drawing

import (
	"math"

	"gelwright/scene"
)

// drawKey flows north arrow, bar scale and key entries down the columns of the
// key's place.
func (s *Sheet) drawKey(l Layout) {
	if !s.key.Set {
		return
	}
	x, y := s.key.Low.X, s.key.High.Y
	seat := func(high float64) scene.Point {
		if y-high < s.key.Low.Y-1e-6 {
			x += keyColumn + keyGapMM
			y = s.key.High.Y
		}
		y -= high
		return scene.Point{X: x, Y: y}
	}
	switch {
	case l.North:
		at := seat(northMM)
		s.north(at.Add(scene.Point{X: 4, Y: northMM / 2}), l.NorthDeg)
		if !l.NoBarScale {
			s.barScale(at.Add(scene.Point{X: 11, Y: 4}))
		}
	case !l.NoBarScale:
		s.barScale(seat(barScaleMM))
	}
	if l.KeyPlan != nil {
		s.Scene.Add(l.KeyPlan.items(seat(keyPlanMM))...)
	}
	for _, e := range l.Key {
		high := e.roomMM()
		at := seat(high).Add(scene.Point{Y: high - keyRowMM})
		items := append([]scene.Item{}, e.Sign...)
		for i, l := range e.lines() {
			items = append(items, scene.Text{At: scene.Point{X: signWidth(e.Sign), Y: 1.6 - float64(i)*keyLeadMM}, Content: l,
				HeightMM: scene.TextSmall})
		}
		s.Scene.Add(scene.Group{Meta: scene.Meta{Layer: "key", Class: "key"}, Place: scene.Transform{Move: at}, Items: items})
	}
}

const keyLeadMM = 3.8

// lines of the entry's words within its column; a word too long for it is cut.
func (e KeyEntry) lines() []string {
	wide := keyColumn - signWidth(e.Sign)
	out := wrap(e.Words, scene.TextSmall, wide)
	for i := range out {
		if scene.Measure(out[i], scene.TextSmall, false).WidthMM > wide {
			out[i], _ = fit(out[i], wide, false)
		}
	}
	return out
}

// roomMM is the height of the entry.
func (e KeyEntry) roomMM() float64 { return keyRowMM + float64(len(e.lines())-1)*keyLeadMM }

func signWidth(sign []scene.Item) float64 {
	if len(sign) == 0 {
		return 0
	}
	return keySignMM
}

// north draws the arrow to true north. bearingDeg is the true bearing of the
// sheet's upward direction, so north lies that much anticlockwise of upward.
func (s *Sheet) north(at scene.Point, bearingDeg float64) {
	p := func(x, y float64) scene.Point { return scene.Point{X: x, Y: y}.Turned(bearingDeg).Add(at) }
	name := p(0, 9.4)
	s.Scene.Add(scene.Group{Meta: scene.Meta{Layer: "key", Class: "north", Title: "North arrow"}, Items: []scene.Item{
		scene.Shape{Filled: true, Paths: []scene.Path{scene.Polygon(p(0, 6.5), p(-2, -5), p(0, -3.4))}},
		scene.Shape{Stroke: scene.Pen(scene.Thin), Paths: []scene.Path{scene.Polygon(p(0, 6.5), p(2, -5), p(0, -3.4))}},
		scene.Text{At: name, Content: "N", HeightMM: scene.TextUsual, Bold: true, Across: scene.Middle, Up: scene.Middle},
	}})
}

// barScale draws a bar that stays true when the sheet is printed to fit a page.
func (s *Sheet) barScale(at scene.Point) {
	// The longest bar of 1, 2 or 5 steps of ten that is no more than 40 mm long.
	stepM := 0.001
	for _, m := range []float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50} {
		if m*1000/s.Scale*4 <= 40 {
			stepM = m
		}
	}
	step := stepM * 1000 / s.Scale
	var fill, frame []scene.Item
	y := at.Y + 2
	for i := range 4 {
		x := at.X + 2 + float64(i)*step
		r := []scene.Path{scene.Rect(x, y, x+step, y+2)}
		if i%2 == 0 {
			fill = append(fill, scene.Shape{Filled: true, Paths: r})
		}
		frame = append(frame, scene.Shape{Stroke: scene.Pen(scene.Thin), Paths: r})
	}
	items := append(fill, frame...)
	for _, i := range []int{0, 2, 4} {
		words := scene.Millimetres(float64(i) * stepM)
		if i == 4 {
			words += " mm"
		}
		items = append(items, scene.Text{At: scene.Point{X: at.X + 2 + float64(i)*step, Y: y + 3.2}, Content: words,
			HeightMM: scene.TextSmall, Across: barAlign(i)})
	}
	s.Scene.Add(scene.Group{Meta: scene.Meta{Layer: "key", Class: "bar-scale", Title: "Bar scale"}, Items: items})
}

func barAlign(i int) scene.Align {
	switch i {
	case 0:
		return scene.Start
	case 4:
		return scene.End
	}
	return scene.Middle
}

// poleOfInaccessibility returns the point inside an outline with holes that is
// farthest from every edge, and that distance, to within precisionMM: a grid
// refined where a better point may still hide (Garcia-Castellanos and Lombardo,
// Poles of inaccessibility, 2007, in the quadtree form).
func poleOfInaccessibility(precisionMM float64, paths ...scene.Path) (scene.Point, float64) {
	rings := corners(paths)
	box := scene.Box{}
	for _, q := range rings[0] {
		box = box.Take(q)
	}
	size := min(box.Width(), box.Height())
	if !(size > 0) {
		return box.Low, 0
	}
	best, bestD := box.Centre(), clearance(box.Centre(), rings)
	type cell struct {
		c    scene.Point
		half float64
	}
	var cells []cell
	for x := box.Low.X + size/2; x < box.High.X+size/2; x += size {
		for y := box.Low.Y + size/2; y < box.High.Y+size/2; y += size {
			cells = append(cells, cell{scene.Point{X: x, Y: y}, size / 2})
		}
	}
	for len(cells) > 0 {
		var next []cell
		ds := make([]float64, len(cells))
		for i, c := range cells {
			ds[i] = clearance(c.c, rings)
			if ds[i] > bestD+1e-9 {
				best, bestD = c.c, ds[i]
			}
		}
		for i, c := range cells {
			if ds[i]+c.half*math.Sqrt2 <= bestD+precisionMM {
				continue
			}
			h := c.half / 2
			for _, d := range [4]scene.Point{{X: -h, Y: -h}, {X: h, Y: -h}, {X: -h, Y: h}, {X: h, Y: h}} {
				next = append(next, cell{c.c.Add(d), h})
			}
		}
		cells = next
		if len(cells) > 4096 {
			break
		}
	}
	return best, bestD
}

// corners returns paths as chains of points, once, for many questions.
func corners(paths []scene.Path) [][]scene.Point {
	out := make([][]scene.Point, len(paths))
	for i, p := range paths {
		out[i] = p.Points(0.05)
	}
	return out
}

// clearance is the distance of p from the nearest edge, negative outside.
func clearance(p scene.Point, rings [][]scene.Point) float64 {
	d := math.Inf(1)
	for _, pts := range rings {
		for i, a := range pts {
			d = min(d, distanceToLine(p, a, pts[(i+1)%len(pts)]))
		}
	}
	if !holds(p, rings) {
		return -d
	}
	return d
}

// holds is scene.Holds on points already made.
func holds(p scene.Point, rings [][]scene.Point) bool {
	in := false
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (a.Y <= p.Y) != (b.Y <= p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
				in = !in
			}
		}
	}
	return in
}

func distanceToLine(p, a, b scene.Point) float64 {
	v := b.Sub(a)
	l := v.Dot(v)
	if l == 0 {
		return p.Distance(a)
	}
	t := max(0, min(1, p.Sub(a).Dot(v)/l))
	return p.Distance(a.Add(v.Scale(t)))
}
