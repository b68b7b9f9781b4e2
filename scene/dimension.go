package scene

import "strconv"

// ChainDimension is a row of linear dimensions that share one dimension line.
type ChainDimension struct {
	Meta
	// From is station 0 and AlongDeg the direction in which stations count.
	From     Point
	AlongDeg float64
	// Stations in rising order, mm on paper from From; one label for each gap.
	Stations []float64
	Labels   []string
	// OffsetMM of the dimension line from From, positive to the left of the
	// direction; extension lines start at FootMM on the same scale.
	OffsetMM, FootMM float64
	// HeightMM of the lettering; 0 means 2.5.
	HeightMM float64
}

const (
	dimOvershootMM = 1.5 // extension line beyond the dimension line
	dimTextGapMM   = 0.8 // lettering above its line
	dimTickMM      = 1.6 // half length of the oblique stroke
)

func (c ChainDimension) height() float64 {
	if c.HeightMM == 0 {
		return TextSmall
	}
	return c.HeightMM
}

// place is where one label sits: on the line, or lifted outside it and moved
// along where the gap is too narrow.
type place struct {
	at, seat float64 // middle of the gap, middle of the label, along the line
	lifted   bool
}

// places puts every label that fits its gap on the line, and lifts the others to
// one outer row, moved apart where they would touch.
func (c ChainDimension) places() []place {
	out := make([]place, len(c.Labels))
	var at, half []float64
	for i, l := range c.Labels {
		w := Measure(l, c.height(), false).WidthMM
		mid := (c.Stations[i] + c.Stations[i+1]) / 2
		out[i] = place{at: mid, seat: mid}
		if w+3 > c.Stations[i+1]-c.Stations[i] {
			out[i].lifted = true
			at, half = append(at, mid), append(half, w/2+0.7)
		}
	}
	seats := Spread(at, half)
	for i := range out {
		if out[i].lifted {
			out[i].seat, seats = seats[0], seats[1:]
		}
	}
	return out
}

// RoomMM returns how far the dimension reaches outward from its line.
func (c ChainDimension) RoomMM() float64 {
	for _, p := range c.places() {
		if p.lifted {
			return c.liftMM() + c.height()/2 + 0.5
		}
	}
	return dimTextGapMM + c.height() + 0.5
}

// elbowMM is where a leader bends, clear of labels on the line; liftMM the middle
// of the outer row.
func (c ChainDimension) elbowMM() float64 { return dimTextGapMM + c.height() + 0.7 }
func (c ChainDimension) liftMM() float64  { return c.elbowMM() + 1.8 + c.height()/2 }

// Items draws the row.
func (c ChainDimension) Items() []Item {
	along := Point{1, 0}.Turned(c.AlongDeg)
	left := along.Left()
	out := 1.0
	if c.OffsetMM < 0 {
		out = -1
	}
	at := func(s, o float64) Point { return c.From.Add(along.Scale(s)).Add(left.Scale(o)) }
	read := Readable(c.AlongDeg)
	up := 1.0
	if read != c.AlongDeg && (c.AlongDeg > 90 || c.AlongDeg <= -90) {
		up = -1
	}
	tick := Point{dimTickMM, 0}.Turned(read + 45)
	var lines, ticks []Path
	n := len(c.Stations)
	lines = append(lines, Polyline(at(c.Stations[0], c.OffsetMM), at(c.Stations[n-1], c.OffsetMM)))
	for _, s := range c.Stations {
		lines = append(lines, Polyline(at(s, c.FootMM), at(s, c.OffsetMM+out*dimOvershootMM)))
		m := at(s, c.OffsetMM)
		ticks = append(ticks, Polyline(m.Sub(tick), m.Add(tick)))
	}
	var texts []Item
	for i, p := range c.places() {
		d := c.OffsetMM + up*(dimTextGapMM+c.height()/2)
		if p.lifted {
			d = c.OffsetMM + out*c.liftMM()
			lines = append(lines, Polyline(at(p.at, c.OffsetMM), at(p.at, c.OffsetMM+out*c.elbowMM()), at(p.seat, d-out*(c.height()/2+0.6))))
		}
		texts = append(texts, Text{At: at(p.seat, d), Content: c.Labels[i], HeightMM: c.height(), Across: Middle, Up: Middle, AngleDeg: read})
	}
	g := Group{Meta: c.Meta, Items: []Item{
		Shape{Paths: lines, Stroke: Pen(Hairline)},
		Shape{Paths: ticks, Stroke: Pen(Medium)},
	}}
	g.Items = append(g.Items, texts...)
	return []Item{g}
}

// RunningDimension measures every station from one origin, as a tape laid once
// along the edge reads: a ring at the origin, an arrow at each station, the
// reading written along its extension line (ISO 129-1, parallel running form).
type RunningDimension struct {
	Meta
	From             Point
	AlongDeg         float64
	Stations         []float64 // mm on paper, rising, without the origin
	Labels           []string  // one for each station
	OffsetMM, FootMM float64
	HeightMM         float64
}

// Items draws the running dimension. Readings closer than their lettering are
// spread along the line and joined to their stations by leaders.
func (r RunningDimension) Items() []Item {
	h := r.HeightMM
	if h == 0 {
		h = TextSmall
	}
	along := Point{1, 0}.Turned(r.AlongDeg)
	left := along.Left()
	out := 1.0
	if r.OffsetMM < 0 {
		out = -1
	}
	at := func(s, o float64) Point { return r.From.Add(along.Scale(s)).Add(left.Scale(o)) }
	stations := append([]float64{0}, r.Stations...)
	labels := append([]string{"0"}, r.Labels...)
	last := stations[len(stations)-1]
	lines := []Path{Polyline(at(0, r.OffsetMM), at(last, r.OffsetMM))}
	heads := []Path{Circle(at(0, r.OffsetMM), 0.9)}
	half := make([]float64, len(stations))
	for i := range half {
		half[i] = h/2 + 0.45
	}
	seats := Spread(stations, half)
	read := Readable(r.AlongDeg + 90)
	var texts []Item
	for i, s := range stations {
		elbow := r.OffsetMM + out*2
		lines = append(lines, Polyline(at(s, r.FootMM), at(s, r.OffsetMM), at(seats[i], elbow)))
		if i > 0 {
			tip := at(s, r.OffsetMM)
			heads = append(heads, Polyline(tip.Add(Point{-2, 0.5}.Turned(r.AlongDeg)), tip, tip.Add(Point{-2, -0.5}.Turned(r.AlongDeg))))
		}
		across := Start
		outward := left.Scale(out)
		if outward.Dot(Point{1, 0}.Turned(read)) < 0 {
			across = End
		}
		texts = append(texts, Text{At: at(seats[i], elbow+out*0.8), Content: labels[i], HeightMM: h, Across: across, Up: Middle, AngleDeg: read})
	}
	g := Group{Meta: r.Meta, Items: []Item{Shape{Paths: lines, Stroke: Pen(Hairline)}, Shape{Paths: heads, Stroke: Pen(Thin)}}}
	g.Items = append(g.Items, texts...)
	return []Item{g}
}

// Spread moves things that lie at rising positions apart so that none overlaps
// the next, each crowd kept about its own centre: the least sum of squared moves
// (pool adjacent violators). half is half the room of each.
func Spread(at, half []float64) []float64 {
	// Shifted by the room before it, each thing only has to stay in order.
	shift := make([]float64, len(at))
	for i := 1; i < len(at); i++ {
		shift[i] = shift[i-1] + half[i-1] + half[i]
	}
	type run struct {
		sum float64
		n   int
	}
	var runs []run
	for i, a := range at {
		runs = append(runs, run{a - shift[i], 1})
		for k := len(runs); k > 1 && runs[k-1].sum/float64(runs[k-1].n) < runs[k-2].sum/float64(runs[k-2].n); k = len(runs) {
			runs = append(runs[:k-2], run{runs[k-2].sum + runs[k-1].sum, runs[k-2].n + runs[k-1].n})
		}
	}
	var out []float64
	for _, r := range runs {
		for range r.n {
			out = append(out, r.sum/float64(r.n)+shift[len(out)])
		}
	}
	return out
}

// Radius returns an arrow from inside the arc to its line, with the label along
// it. centre and radius are in paper mm, angleDeg the direction of the arrow.
func Radius(m Meta, centre Point, radiusMM, angleDeg float64, label string) []Item {
	dir := Point{1, 0}.Turned(angleDeg)
	tip := centre.Add(dir.Scale(radiusMM))
	w := Measure(label, TextSmall, false).WidthMM
	tail := tip.Sub(dir.Scale(max(w+5, 8)))
	mid := tip.Sub(dir.Scale(3.2 + w/2))
	read := Readable(angleDeg)
	above := Point{0, dimTextGapMM}.Turned(read)
	return []Item{Group{Meta: m, Items: []Item{
		Line(Meta{}, Pen(Hairline), tail, tip),
		Arrowhead(tip, angleDeg, 2.5),
		Text{At: mid.Add(above), Content: label, HeightMM: TextSmall, Across: Middle, AngleDeg: read},
	}}}
}

// Arrowhead returns a filled head of lengthMM whose tip lies at tip, flying
// towards angleDeg.
func Arrowhead(tip Point, angleDeg, lengthMM float64) Shape {
	w := lengthMM * 0.18
	return Shape{Filled: true,
		Paths: []Path{Polygon(tip, tip.Add(Point{-lengthMM, w}.Turned(angleDeg)), tip.Add(Point{-lengthMM, -w}.Turned(angleDeg)))}}
}

// Millimetres returns a length in metres as whole millimetres, as drawings state them.
func Millimetres(m float64) string {
	v := int64(m*1000 + 0.5)
	if m < 0 {
		v = -int64(-m*1000 + 0.5)
	}
	return strconv.FormatInt(v, 10)
}
