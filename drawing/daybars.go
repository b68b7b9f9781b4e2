package drawing

import (
	"fmt"
	"math"
	"strings"

	"gelwright/programme"
	"gelwright/scene"
)

// stage draws one row of bars.
func (p *dayPicture) stage(r workRow, top, high float64) {
	mid, half := p.bars(top, high)
	worst := 1.0
	for _, b := range r.bars {
		worst = math.Min(worst, b.Call.P)
	}
	words := r.name
	if p.narrow {
		// The name stands over its bar.
		cut, h := fit(fmt.Sprintf("%s  %s, %.0f %% sure", words, p.hm(r.bars[0].From), 100*worst), p.box.Width(), false)
		p.text(p.box.Low.X, top-p.usual/2-0.8, cut, h, scene.Start, false)
	} else {
		cut, h := fit(words, p.nameMM-3, false)
		p.text(p.box.Low.X+1, mid, cut, h, scene.Start, false)
		p.text(p.box.High.X-1, mid, fmt.Sprintf("%.0f %%", 100*worst), p.usual, scene.End, worst < 0.9)
	}
	p.add(scene.Line(scene.Meta{Class: scene.Backdrop}, scene.Stroke{WidthMM: scene.Hairline, Colour: scene.MiddleGrey},
		scene.Point{X: p.box.Low.X, Y: top}, scene.Point{X: p.box.High.X, Y: top}))
	level := 0
	lastNumber, lastTick := math.Inf(-1), math.Inf(-1)
	for k, b := range r.bars {
		p.bar(b, mid, half, k == 0, k == len(r.bars)-1)
		for i, t := range b.Ticks {
			x := p.x(t.At)
			yl := mid - half - 0.9 - 0.8*float64(level%p.tickLevels)
			m := scene.Meta{Title: fmt.Sprintf("bucket %d, mix %s, lay by %s", t.Number, p.hm(t.At), p.hm(t.LayBy))}
			if x-lastTick < 1 && p.narrow {
				continue // too close to tell apart on a phone
			}
			lastTick = x
			p.add(scene.Line(m, scene.Pen(scene.Thin), scene.Point{X: x, Y: mid - half}, scene.Point{X: x, Y: mid + half}),
				scene.Line(scene.Meta{Class: scene.Backdrop}, scene.Pen(scene.Hairline), scene.Point{X: x, Y: mid - half}, scene.Point{X: x, Y: yl},
					scene.Point{X: p.x(t.LayBy), Y: yl}))
			level++
			number := fmt.Sprint(t.Number)
			w := scene.Measure(number, p.small, false).WidthMM
			if !p.narrow && (x-lastNumber > w+1.2 || k == 0 && i == 0) {
				p.text(x-0.2, mid+half+p.small/2+0.4, number, p.small, scene.Start, false)
				lastNumber = x + w - 0.2
			}
		}
	}
}

// bar draws one stage: wet work hatched, dry work grey, what must stay dry after it,
// and from when to when it may start.
func (p *dayPicture) bar(b programme.Bar, mid, half float64, first, last bool) {
	x0, x1 := p.x(b.From), p.x(b.To)
	m := scene.Meta{ID: "stage-" + b.Key, Class: "stage", Title: fmt.Sprintf("%s, %s to %s, chance of success %.0f %%", b.Name, p.hm(b.From),
		p.hm(b.To), 100*b.Call.P)}
	box := scene.Rect(x0, mid-half, x1, mid+half)
	switch {
	case b.Wet:
		wet := x0
		if !b.LeadTo.IsZero() && b.LeadTo.After(b.From) {
			wet = p.x(b.LeadTo)
		}
		p.add(scene.Shape{Paths: []scene.Path{box}, Filled: true, Fill: scene.White})
		p.add(scene.Diagonal(1.6).Cut(scene.Meta{}, scene.Black, scene.Rect(wet, mid-half, x1, mid+half))...)
	default:
		p.add(scene.Shape{Paths: []scene.Path{box}, Filled: true, Fill: scene.MiddleGrey})
	}
	p.add(scene.Shape{Meta: m, Stroke: scene.Pen(scene.Thick), Paths: []scene.Path{box}})
	if last && !b.SafeByLate.IsZero() {
		x := p.x(b.SafeByLate)
		p.add(scene.Line(scene.Meta{Title: b.Name + " to be kept dry until " + p.near(b.SafeByLate, b.To)},
			scene.Stroke{WidthMM: scene.Medium, Dash: scene.Dashed}, scene.Point{X: x1, Y: mid}, scene.Point{X: x, Y: mid}))
		// What is safe on another day only has no end on this one.
		if b.SafeByLate.Before(p.d.To) {
			p.add(scene.Line(scene.Meta{}, scene.Pen(scene.Medium), scene.Point{X: x, Y: mid - half*0.7}, scene.Point{X: x, Y: mid + half*0.7}))
		}
	}
	if b.Latest.After(b.Earliest) && first {
		p.add(startRange(p.x(b.Earliest), p.x(b.Latest), mid-half-0.9)...)
	}
	if b.Hold != "" && !b.From.After(b.Start) {
		d := diamond(scene.Point{X: x0, Y: mid}, 1.7)
		d.Meta = scene.Meta{ID: "hold-" + b.Key, Class: "hold", Title: "hold point before " + b.Name + ": " + b.Hold}
		p.add(d)
	}
}

// diamond is a hold point.
func diamond(at scene.Point, r float64) scene.Shape {
	return scene.Shape{Paths: []scene.Path{scene.Polygon(at.Add(scene.Point{X: -r}), at.Add(scene.Point{Y: -r}), at.Add(scene.Point{X: r}),
		at.Add(scene.Point{Y: r}))},
		Filled: true, Fill: scene.White, Stroke: scene.Pen(scene.Thick)}
}

// startRange marks from when to when a start serves.
func startRange(x0, x1, y float64) []scene.Item {
	at := func(x, dy float64) scene.Point { return scene.Point{X: x, Y: y + dy} }
	return []scene.Item{scene.Line(scene.Meta{Title: "earliest to latest start"}, scene.Pen(scene.Medium), at(x0, 0.9), at(x0, -0.9)),
		scene.Line(scene.Meta{}, scene.Pen(scene.Medium), at(x0, 0), at(x1, 0)),
		scene.Line(scene.Meta{}, scene.Pen(scene.Medium), at(x1, 0.9), at(x1, -0.9))}
}

// wrapWords breaks a sentence into lines of at most wide mm.
func wrapWords(words string, wide, high float64, bold bool) []string {
	var out []string
	line := ""
	// Broken at plain spaces only: a figure keeps its unit.
	for _, w := range strings.Split(words, " ") {
		next := strings.TrimSpace(line + " " + w)
		if line != "" && scene.Measure(next, high, bold).WidthMM > wide {
			out, line = append(out, line), w
			continue
		}
		line = next
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}
