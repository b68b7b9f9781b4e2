package drawing

import (
	"fmt"
	"math"
	"strings"
	"time"

	"gelwright/programme"
	"gelwright/scene"
)

// dayStyle is how large a day is drawn: for a sheet of paper, or for a phone.
type dayStyle struct {
	small, usual   float64 // heights of lettering, mm
	nameMM, showMM float64 // columns left and right of the clock
	topMM, rowMM   float64 // rain band; one stage
	hours          int     // between the clock's figures
	tickLevels     int
}

var (
	sheetStyle = dayStyle{small: scene.TextSmall, usual: scene.TextUsual, nameMM: 50, showMM: 19, topMM: 15, rowMM: 10, hours: 1,
		tickLevels: 3}
	phoneStyle = dayStyle{small: 3.2, usual: 3.5, nameMM: 13, showMM: 3, topMM: 15, rowMM: 13, hours: 3, tickLevels: 3}
)

// DaySheet draws one day of a programme, sunrise to midnight, on A4: rain and wind,
// the temperatures that decide, the stages and buckets on the same clock, and one
// sentence.
func DaySheet(t Title, d *programme.Day) (*Sheet, error) {
	if len(d.Instants) < 2 {
		return nil, fmt.Errorf("drawing %q: the day has no weather. Give a forecast that holds it", t.Drawing)
	}
	s, err := BlankSheet(t, "A4 landscape", nil)
	if err != nil {
		return nil, err
	}
	footKey(s, dayKey())
	p := dayPicture{d: d, dayStyle: sheetStyle}
	foot := s.Figure.Low.Y
	lines := wrapWords(s.say(d.Next), s.Figure.Width()-4, scene.TextUsual, true)
	y := foot + float64(len(lines))*5.5 - 3
	for i, l := range lines {
		s.Add(scene.Text{Meta: scene.Meta{ID: fmt.Sprintf("next-%d", i+1), Class: "next"},
			At: scene.Point{X: s.Figure.Low.X + 2, Y: y - 5.5*float64(i)}, Content: l, HeightMM: scene.TextUsual, Bold: true})
	}
	b := s.Figure
	b.Low.Y = foot + float64(len(lines))*5.5 + 4
	s.Add(p.draw(b)...)
	s.Scene.Description = d.Next
	return s, nil
}

// DayPhone draws the same day for a phone: 90 mm wide, lettering that is read at arm's
// length, the sentence first.
func DayPhone(job string, d *programme.Day) *scene.Scene {
	const wide, margin = 90.0, 3.0
	s := &scene.Scene{Title: job + ", " + d.From.In(d.Zone).Format("Monday 2 January"), Description: d.Next, WidthMM: wide}
	p := dayPicture{d: d, dayStyle: phoneStyle, narrow: true}
	head := wrapWords(s.Title, wide-2*margin, 4.2, true)
	text := wrapWords(d.Next, wide-2*margin, 3.5, false)
	high := 60 + float64(len(p.rows()))*p.rowMM + p.topMM
	s.HeightMM = high + float64(len(head))*7 + float64(len(text))*6 + 4*margin
	y := s.HeightMM - margin
	for _, l := range head {
		y -= 7
		s.Add(scene.Text{At: scene.Point{X: margin, Y: y + 1.5}, Content: l, HeightMM: 4.2, Bold: true})
	}
	for _, l := range text {
		y -= 6
		s.Add(scene.Text{Meta: scene.Meta{Class: "next"}, At: scene.Point{X: margin, Y: y + 1}, Content: l, HeightMM: 3.5})
	}
	s.Add(p.draw(scene.Box{Low: scene.Point{X: margin, Y: margin}, High: scene.Point{X: wide - margin, Y: y - margin}, Set: true})...)
	return s
}

// footKey draws a key in the room left of the title block, so that the picture has the
// whole width of the sheet.
func footKey(s *Sheet, entries []KeyEntry) {
	f := frameOf(s.Format)
	pitch := min(keyRowMM, (blockRows*blockRowMM-1)/float64(len(entries)))
	y := f.Low.Y + blockRows*blockRowMM - pitch - 0.5
	for _, e := range entries {
		s.Add(scene.Group{Meta: scene.Meta{Layer: "key"}, Place: scene.Transform{Move: scene.Point{X: f.Low.X + 3, Y: y}}, Items: e.Sign},
			scene.Text{Meta: scene.Meta{Layer: "key"}, At: scene.Point{X: f.Low.X + 3 + keySignMM + 1, Y: y + 2.5}, Content: s.say(e.Words),
				HeightMM: scene.TextSmall, Up: scene.Middle})
		y -= pitch
	}
}

func dayKey() []KeyEntry {
	at := func(x, y float64) scene.Point { return scene.Point{X: x, Y: y} }
	sample := func(st scene.Stroke) []scene.Item {
		return []scene.Item{scene.Line(scene.Meta{}, st, at(0, 2.5), at(14, 2.5))}
	}
	return []KeyEntry{
		{"deck, with nine courses of ten",
			append([]scene.Item{scene.Shape{Paths: []scene.Path{scene.Rect(0, 1, 14, 4)}, Filled: true, Fill: scene.LightGrey}},
				sample(scene.Pen(scene.Heavy))...)},
		{"air; dew point; least and highest deck",
			[]scene.Item{scene.Line(scene.Meta{}, scene.Stroke{WidthMM: scene.Medium, Dash: scene.Dashed}, at(0, 4.2), at(14, 4.2)),
				scene.Line(scene.Meta{}, scene.Stroke{WidthMM: scene.Medium, Dash: scene.Chain, Colour: scene.Blue}, at(0, 2.5), at(14, 2.5)),
				scene.Line(scene.Meta{}, scene.Stroke{WidthMM: scene.Thin, Dash: scene.LongDash, Colour: scene.Vermilion}, at(0, 0.8), at(14, 0.8))}},
		{"hold point; earliest to latest start", append([]scene.Item{diamond(at(2.5, 2.5), 1.6)}, startRange(6, 13, 2.5)...)},
		{"keep dry until; bucket and its usable time",
			[]scene.Item{scene.Line(scene.Meta{}, scene.Stroke{WidthMM: scene.Medium, Dash: scene.Dashed}, at(0, 2.5), at(6, 2.5)),
				scene.Line(scene.Meta{}, scene.Pen(scene.Medium), at(6, 1.2), at(6, 3.8)),
				scene.Line(scene.Meta{}, scene.Pen(scene.Medium), at(9, 1.2), at(9, 3.8)),
				scene.Line(scene.Meta{}, scene.Pen(scene.Thin), at(9, 2.5), at(14, 2.5))}},
	}
}

// dayPicture places one day in a box.
type dayPicture struct {
	d *programme.Day
	dayStyle
	narrow bool
	box    scene.Box
	items  []scene.Item
}

// workRow is the bars of one kind of work, its parts side by side.
type workRow struct {
	name string
	bars []programme.Bar
}

func (p *dayPicture) rows() []workRow {
	var out []workRow
	for _, b := range p.d.Bars {
		name, _, _ := strings.Cut(b.Name, ", part ")
		if n := len(out); n > 0 && out[n-1].name == name {
			out[n-1].bars = append(out[n-1].bars, b)
			continue
		}
		out = append(out, workRow{name, []programme.Bar{b}})
	}
	return out
}

func (p *dayPicture) add(items ...scene.Item) { p.items = append(p.items, items...) }

// x is where a time lies.
func (p *dayPicture) x(t time.Time) float64 {
	left, right := p.box.Low.X+p.nameMM, p.box.High.X-p.showMM
	u := float64(t.Sub(p.d.From)) / float64(p.d.To.Sub(p.d.From))
	return left + (right-left)*math.Max(0, math.Min(1, u))
}

func (p *dayPicture) left() float64  { return p.box.Low.X + p.nameMM }
func (p *dayPicture) right() float64 { return p.box.High.X - p.showMM }

func (p *dayPicture) text(x, y float64, words string, high float64, across scene.Align, bold bool) {
	p.add(scene.Text{At: scene.Point{X: x, Y: y}, Content: words, HeightMM: high, Across: across, Up: scene.Middle, Bold: bold})
}

func (p *dayPicture) draw(b scene.Box) []scene.Item {
	p.box = b
	rows := p.rows()
	axis := p.small + 3
	rowMM := p.rowMM
	bottom := b.Low.Y + float64(len(rows))*rowMM
	if room := b.Height() - p.topMM - axis - 45; float64(len(rows))*rowMM > room {
		rowMM = math.Max(5, room/float64(len(rows)))
		bottom = b.Low.Y + float64(len(rows))*rowMM
	}
	curves := scene.Box{Low: scene.Point{X: p.left(), Y: bottom + axis}, High: scene.Point{X: p.right(), Y: b.High.Y - p.topMM - 3}, Set: true}
	p.clock(curves, b.Low.Y, bottom)
	p.rainAndWind(b.High.Y-p.topMM, b.High.Y)
	p.temperatures(curves)
	for i, r := range rows {
		p.stage(r, bottom-float64(i)*rowMM, rowMM)
	}
	p.now(curves, bottom, rowMM, len(rows))
	return p.items
}

// now draws the present as a line through curves and bars that spares the lettering.
func (p *dayPicture) now(curves scene.Box, bottom, rowMM float64, rows int) {
	if p.d.Now.IsZero() || p.d.Now.Before(p.d.From) || p.d.Now.After(p.d.To) {
		return
	}
	x := p.x(p.d.Now)
	st := scene.Stroke{WidthMM: scene.Heavy, Colour: scene.Vermilion}
	m := scene.Meta{ID: "now", Title: "now, " + p.hm(p.d.Now)}
	top := curves.High.Y - p.small - 2
	if p.narrow {
		top -= p.small + 1.2 // sunset stands under sunrise there
	}
	p.add(scene.Line(m, st, scene.Point{X: x, Y: curves.Low.Y + p.small + 2}, scene.Point{X: x, Y: top}))
	for i := range rows {
		mid, half := p.bars(bottom-float64(i)*rowMM, rowMM)
		p.add(scene.Line(scene.Meta{}, st, scene.Point{X: x, Y: mid - half}, scene.Point{X: x, Y: mid + half}))
	}
}

// bars is the middle and half the height of the bars in a row.
func (p *dayPicture) bars(top, high float64) (mid, half float64) {
	half = math.Min(2.2, high/4)
	if p.narrow {
		return top - p.usual - 2.2 - (high-p.usual-2.2)/2, half
	}
	return top - high/2, half
}

func (p *dayPicture) hm(t time.Time) string { return t.In(p.d.Zone).Format("15:04") }

// near is the clock time of t, with its day where that is not the day of another.
func (p *dayPicture) near(t, other time.Time) string {
	if t.In(p.d.Zone).Format(time.DateOnly) == other.In(p.d.Zone).Format(time.DateOnly) {
		return p.hm(t)
	}
	return t.In(p.d.Zone).Format("Mon 2 Jan 15:04")
}

// clock draws the hours through all bands, with their figures between them.
func (p *dayPicture) clock(curves scene.Box, low, bottom float64) {
	y := bottom + (curves.Low.Y-bottom)/2
	for t := p.d.From; !t.After(p.d.To); t = t.Add(time.Hour) {
		x := p.x(t)
		grid := scene.Meta{Class: scene.Backdrop}
		st := scene.Stroke{WidthMM: scene.Hairline, Colour: scene.MiddleGrey}
		p.add(scene.Line(grid, st, scene.Point{X: x, Y: low}, scene.Point{X: x, Y: bottom}),
			scene.Line(grid, st, scene.Point{X: x, Y: curves.Low.Y}, scene.Point{X: x, Y: p.box.High.Y}))
		h := t.In(p.d.Zone).Hour()
		if t.Equal(p.d.To) {
			h = 24
		}
		if h%p.hours == 0 {
			p.text(x, y, fmt.Sprintf("%02d", h), p.small, scene.Middle, false)
		}
	}
	if !p.narrow {
		p.text(p.box.Low.X+1, y, "hour, local time", p.small, scene.Start, false)
		p.text(p.box.High.X-1, y, "chance", p.small, scene.End, false)
	}
	if p.d.Light.Polar == "" {
		for _, s := range []struct {
			name string
			t    time.Time
		}{{"sunrise", p.d.Light.Rise}, {"sunset", p.d.Light.Set}} {
			if s.t.Before(p.d.From) || s.t.After(p.d.To) {
				continue
			}
			x := p.x(s.t)
			p.add(scene.Line(scene.Meta{Title: s.name + " " + p.hm(s.t), Class: scene.Backdrop},
				scene.Stroke{WidthMM: scene.Thin, Dash: scene.Dotted}, scene.Point{X: x, Y: curves.Low.Y}, scene.Point{X: x, Y: curves.High.Y}))
			across, dx, dy := scene.Start, 1.0, p.small/2+0.8
			if s.name == "sunset" {
				across, dx = scene.End, -1
				if p.narrow {
					dy += p.small + 1.2
				}
			}
			p.text(x+dx, curves.High.Y-dy, s.name+" "+p.hm(s.t), p.small, across, false)
		}
	}
}

// rainAndWind draws the chance of rain as columns and the wind as figures.
func (p *dayPicture) rainAndWind(low, high float64) {
	if p.narrow {
		p.text(p.left()-1, low+3, "rain", p.small, scene.End, false)
		p.text(p.left()-1, high-p.small/2, "m/s", p.small, scene.End, false)
	} else {
		p.text(p.box.Low.X+1, high-p.small/2-0.3, "wind, m/s", p.small, scene.Start, false)
		p.text(p.box.Low.X+1, low+(high-low-p.small-2)/2, "chance of rain, %", p.small, scene.Start, false)
		p.text(p.left()-1, low+0.3, "0", p.small, scene.End, false)
		p.text(p.left()-1, high-p.small-2.2, "100", p.small, scene.End, false)
	}
	top := high - p.small - 2
	frame := []scene.Path{scene.Polyline(scene.Point{X: p.left(), Y: low}, scene.Point{X: p.right(), Y: low}),
		scene.Polyline(scene.Point{X: p.left(), Y: top}, scene.Point{X: p.right(), Y: top})}
	p.add(scene.Shape{Stroke: scene.Pen(scene.Thin), Paths: frame})
	every := 4 * max(1, p.hours)
	if !p.narrow {
		every = 4
	}
	for i, q := range p.d.Instants {
		if q.Rain > 0 && i+1 < len(p.d.Instants) {
			p.add(scene.Shape{Meta: scene.Meta{Title: fmt.Sprintf("%s: chance of rain %.0f %%", p.hm(q.Time), 100*q.Rain)}, Filled: true,
				Fill:  scene.SkyBlue,
				Paths: []scene.Path{scene.Rect(p.x(q.Time), low, p.x(p.d.Instants[i+1].Time), low+(top-low)*math.Min(1, q.Rain))}})
		}
		if i%every == 0 && p.x(q.Time)+3 < p.right() {
			p.text(p.x(q.Time)+0.3, high-p.small/2-0.3, fmt.Sprintf("%.0f", q.Wind.Likely), p.small, scene.Start, false)
		}
	}
}

// temperatures draws deck, air and dew point with their ranges, and hatches where the
// deck is within the margin of the dew point.
func (p *dayPicture) temperatures(b scene.Box) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, q := range p.d.Instants {
		low = math.Min(low, math.Min(q.Dew.Low, math.Min(q.Air.Low, q.Deck.Low)))
		high = math.Max(high, math.Max(q.Air.High, q.Deck.High))
	}
	step := 5.0
	if high-low > 35 {
		step = 10
	}
	low, high = step*math.Floor(low/step), step*math.Ceil((high+0.5)/step)
	// The last tenth stays free for names.
	y := func(c float64) float64 { return b.Low.Y + (b.Height()-p.small-3)*(c-low)/(high-low) }
	for c := low; c <= high+0.01; c += step {
		p.add(scene.Line(scene.Meta{Class: scene.Backdrop}, scene.Stroke{WidthMM: scene.Hairline, Colour: scene.MiddleGrey},
			scene.Point{X: b.Low.X, Y: y(c)}, scene.Point{X: b.High.X, Y: y(c)}))
		p.text(b.Low.X-1, y(c), fmt.Sprintf("%.0f", c), p.small, scene.End, false)
	}
	if p.narrow {
		p.text(b.Low.X-1, b.High.Y-p.small/2-0.5, "°C", p.small, scene.End, false)
	} else {
		p.text(p.box.Low.X+1, b.Centre().Y, "temperature, °C", p.small, scene.Start, false)
	}
	band := func(of func(programme.Instant) programme.Band) scene.Path {
		var pts []scene.Point
		for _, q := range p.d.Instants {
			pts = append(pts, scene.Point{X: p.x(q.Time), Y: y(of(q).High)})
		}
		for i := len(p.d.Instants) - 1; i >= 0; i-- {
			q := p.d.Instants[i]
			pts = append(pts, scene.Point{X: p.x(q.Time), Y: y(of(q).Low)})
		}
		return scene.Polygon(pts...)
	}
	line := func(of func(programme.Instant) programme.Band) []scene.Point {
		var pts []scene.Point
		for _, q := range p.d.Instants {
			pts = append(pts, scene.Point{X: p.x(q.Time), Y: y(of(q).Likely)})
		}
		return pts
	}
	deck := func(q programme.Instant) programme.Band { return q.Deck }
	air := func(q programme.Instant) programme.Band { return q.Air }
	dew := func(q programme.Instant) programme.Band { return q.Dew }
	back := func(name string) scene.Meta { return scene.Meta{Class: scene.Backdrop, Title: name} }
	p.add(scene.Shape{Meta: back("deck, nine in ten"), Filled: true, Fill: scene.LightGrey, Paths: []scene.Path{band(deck)}})
	p.add(scene.Shape{Meta: back("dew point, nine in ten"), Filled: true, Fill: scene.SkyBlue.Tint(0.35), Paths: []scene.Path{band(dew)}})
	p.margin(y, b)
	p.add(scene.Line(back("air"), scene.Stroke{WidthMM: scene.Medium, Dash: scene.Dashed}, line(air)...),
		scene.Line(back("dew point"), scene.Stroke{WidthMM: scene.Medium, Dash: scene.Chain, Colour: scene.Blue}, line(dew)...),
		scene.Line(back("deck"), scene.Pen(scene.Heavy), line(deck)...))
	p.limitLines(y, b, low, high)
	if p.narrow {
		return
	}
	// Names at the right end, moved apart.
	last := p.d.Instants[len(p.d.Instants)-1]
	names := []struct {
		words string
		at    float64
	}{{"dew point", y(last.Dew.Likely)}, {"deck", y(last.Deck.Likely)}, {"air", y(last.Air.Likely)}}
	if names[1].at < names[0].at {
		names[0], names[1] = names[1], names[0]
	}
	if names[2].at < names[1].at {
		names[1], names[2] = names[2], names[1]
	}
	if names[1].at < names[0].at {
		names[0], names[1] = names[1], names[0]
	}
	at := scene.Spread([]float64{names[0].at, names[1].at, names[2].at}, []float64{1.9, 1.9, 1.9})
	for i, n := range names {
		p.text(b.High.X+1.2, at[i], n.words, p.small, scene.Start, false)
	}
}

// limitLines marks 5 and 35 °C, where they lie in the picture: no laminating beyond.
func (p *dayPicture) limitLines(y func(float64) float64, b scene.Box, low, high float64) {
	for _, c := range []float64{5, 35} {
		if c > low && c < high {
			p.add(scene.Line(scene.Meta{Class: scene.Backdrop, Title: fmt.Sprintf("limit of the deck, %.0f °C", c)},
				scene.Stroke{WidthMM: scene.Thin, Dash: scene.LongDash, Colour: scene.Vermilion}, scene.Point{X: b.Low.X, Y: y(c)},
				scene.Point{X: b.High.X, Y: y(c)}))
		}
	}
}

// margin hatches the room between deck and dew point where it is too narrow.
func (p *dayPicture) margin(y func(float64) float64, b scene.Box) {
	var run []programme.Instant
	longest, from, to := 0, 0.0, 0.0
	flush := func() {
		if len(run) > 1 {
			var pts []scene.Point
			for _, q := range run {
				pts = append(pts, scene.Point{X: p.x(q.Time), Y: y(math.Max(q.Deck.Likely, q.Dew.Likely)) + 0.6})
			}
			for i := len(run) - 1; i >= 0; i-- {
				pts = append(pts, scene.Point{X: p.x(run[i].Time), Y: y(math.Min(run[i].Deck.Likely, run[i].Dew.Likely)) - 0.6})
			}
			m := scene.Meta{Class: scene.Backdrop, Title: fmt.Sprintf("deck within %.3g K of the dew point, %s to %s", p.d.MarginK,
				p.hm(run[0].Time), p.hm(run[len(run)-1].Time))}
			p.add(scene.Diagonal(1.2).Cut(m, scene.Black, scene.Polygon(pts...))...)
			if len(run) > longest {
				longest, from, to = len(run), p.x(run[0].Time), p.x(run[len(run)-1].Time)
			}
		}
		run = nil
	}
	for _, q := range p.d.Instants {
		if q.Margin.Likely < p.d.MarginK {
			run = append(run, q)
			continue
		}
		flush()
	}
	flush()
	if longest == 0 {
		return
	}
	words := fmt.Sprintf("hatched: deck within %.3g K of the dew point", p.d.MarginK)
	if p.narrow {
		words = fmt.Sprintf("hatched: dew within %.3g K", p.d.MarginK)
	}
	half := scene.Measure(words, p.small, false).WidthMM / 2
	x := math.Max(b.Low.X+half+1, math.Min((from+to)/2, b.High.X-half-1))
	p.text(x, b.Low.Y+p.small/2+0.8, words, p.small, scene.Middle, false)
}
