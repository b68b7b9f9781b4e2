package dxf

import (
	"bytes"
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"

	"gelwright/scene"
)

// Options say how paper becomes the roof.
type Options struct {
	// Scale is the n of 1:n; 0 means 1.
	Scale float64
	// Origin is the paper point that becomes (0, 0).
	Origin scene.Point
	// Skip names layers that stay out, such as the sheet's frame.
	Skip []string
}

// Bytes returns the scene as a DXF file.
func Bytes(s *scene.Scene, o Options) []byte {
	w := &writer{scale: o.Scale, origin: o.Origin, skip: map[string]bool{}, layers: map[string]bool{"0": true}}
	if w.scale == 0 {
		w.scale = 1
	}
	for _, l := range o.Skip {
		w.skip[layerName(l)] = true
	}
	s.Walk(w)
	var b bytes.Buffer
	w.header(&b)
	w.tables(&b)
	group(&b, 0, "SECTION", 2, "BLOCKS", 0, "ENDSEC")
	group(&b, 0, "SECTION", 2, "ENTITIES")
	b.Write(w.body.Bytes())
	group(&b, 0, "ENDSEC", 0, "EOF")
	return b.Bytes()
}

type writer struct {
	body   bytes.Buffer
	scale  float64
	origin scene.Point
	skip   map[string]bool
	layers map[string]bool
	box    scene.Box
}

// group writes pairs of code and value.
func group(b *bytes.Buffer, pairs ...any) {
	for i := 0; i+1 < len(pairs); i += 2 {
		fmt.Fprintf(b, "%3d\r\n", pairs[i])
		switch v := pairs[i+1].(type) {
		case float64:
			b.WriteString(real(v))
		default:
			fmt.Fprint(b, v)
		}
		b.WriteString("\r\n")
	}
}

// real writes a millionth of a unit at most, always with a point, as R12 readers expect.
func real(v float64) string {
	r := math.Round(v*1e6) / 1e6
	if r == 0 {
		r = 0
	}
	s := strconv.FormatFloat(r, 'f', -1, 64)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	return s
}

// lineTypes maps dash patterns to names of line types.
func lineType(d scene.Dash) string {
	if d == scene.Solid {
		return "CONTINUOUS"
	}
	return strings.ToUpper(strings.ReplaceAll(string(d), " ", "_"))
}

func (w *writer) header(b *bytes.Buffer) {
	low, high := w.box.Low, w.box.High
	group(b, 0, "SECTION", 2, "HEADER",
		9, "$ACADVER", 1, "AC1009",
		9, "$INSBASE", 10, 0.0, 20, 0.0, 30, 0.0,
		9, "$EXTMIN", 10, low.X, 20, low.Y, 30, 0.0,
		9, "$EXTMAX", 10, high.X, 20, high.Y, 30, 0.0,
		9, "$LTSCALE", 40, 1.0,
		9, "$INSUNITS", 70, 4,
		0, "ENDSEC")
}

func (w *writer) tables(b *bytes.Buffer) {
	group(b, 0, "SECTION", 2, "TABLES")
	dashes := scene.Dashes()
	group(b, 0, "TABLE", 2, "LTYPE", 70, len(dashes)+1)
	group(b, 0, "LTYPE", 2, "CONTINUOUS", 70, 0, 3, "full line", 72, 65, 73, 0, 40, 0.0)
	for _, d := range dashes {
		p := d.Pattern(scene.Thin)
		sum := 0.0
		for _, v := range p {
			sum += v * w.scale
		}
		group(b, 0, "LTYPE", 2, lineType(d), 70, 0, 3, string(d), 72, 65, 73, len(p), 40, sum)
		for i, v := range p {
			if i%2 == 1 {
				v = -v
			}
			group(b, 49, v*w.scale)
		}
	}
	group(b, 0, "ENDTAB")
	names := make([]string, 0, len(w.layers))
	for l := range w.layers {
		names = append(names, l)
	}
	sort.Strings(names)
	group(b, 0, "TABLE", 2, "LAYER", 70, len(names))
	for _, l := range names {
		group(b, 0, "LAYER", 2, l, 70, 0, 62, 7, 6, "CONTINUOUS")
	}
	group(b, 0, "ENDTAB")
	group(b, 0, "TABLE", 2, "STYLE", 70, 1)
	group(b, 0, "STYLE", 2, "STANDARD", 70, 0, 40, 0.0, 41, 1.0, 50, 0.0, 71, 0, 42, 2.5, 3, "txt", 4, "")
	group(b, 0, "ENDTAB", 0, "ENDSEC")
}

// layerName keeps letters, digits, - and _, which R12 allows in a name.
func layerName(s string) string {
	if s == "" {
		return "0"
	}
	var b strings.Builder
	for _, r := range strings.ToUpper(s) {
		if r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' {
			b.WriteRune(r)
		} else {
			b.WriteByte('_')
		}
	}
	name := b.String()
	return name[:min(len(name), 31)]
}

func (w *writer) at(p scene.Point) scene.Point {
	q := p.Sub(w.origin).Scale(w.scale)
	w.box = w.box.Take(q)
	return q
}

func (w *writer) Open(scene.Meta) {}
func (w *writer) Close()          {}

func (w *writer) Shape(s scene.Shape) {
	layer := layerName(s.Layer)
	if w.skip[layer] || s.Stroke.WidthMM == 0 && !s.Filled {
		return
	}
	if s.Stroke.WidthMM == 0 && s.Fill.R > 90 {
		return // a tint
	}
	w.layers[layer] = true
	for _, p := range s.Paths {
		w.path(p, layer, lineType(s.Stroke.Dash))
	}
}

func (w *writer) path(p scene.Path, layer, ltype string) {
	segs := p.Segments()
	b := &w.body
	switch {
	case len(segs) == 0:
	case len(segs) == 1 && segs[0].Bulge == 0:
		a, e := w.at(segs[0].A), w.at(segs[0].B)
		if segs[0].Length() <= scene.DotLengthMM*1.01 {
			group(b, 0, "POINT", 8, layer, 10, a.X, 20, a.Y, 30, 0.0)
			return
		}
		group(b, 0, "LINE", 8, layer, 6, ltype, 10, a.X, 20, a.Y, 30, 0.0, 11, e.X, 21, e.Y, 31, 0.0)
	case len(segs) == 1:
		w.arc(segs[0], layer, ltype)
	case isCircle(p):
		c, r, _, _ := segs[0].Circle()
		m := w.at(c)
		w.box = w.box.Take(m.Sub(scene.Point{X: r * w.scale, Y: r * w.scale})).Take(m.Add(scene.Point{X: r * w.scale, Y: r * w.scale}))
		group(b, 0, "CIRCLE", 8, layer, 6, ltype, 10, m.X, 20, m.Y, 30, 0.0, 40, r*w.scale)
	default:
		closed := 0
		if p.Closed {
			closed = 1
		}
		group(b, 0, "POLYLINE", 8, layer, 6, ltype, 66, 1, 70, closed, 10, 0.0, 20, 0.0, 30, 0.0)
		for _, v := range p.Vertices {
			q := w.at(v.Point)
			group(b, 0, "VERTEX", 8, layer, 10, q.X, 20, q.Y, 30, 0.0)
			if v.Bulge != 0 {
				group(b, 42, v.Bulge)
			}
		}
		group(b, 0, "SEQEND", 8, layer)
	}
}

// isCircle reports whether the path is two half circles of the same turn.
func isCircle(p scene.Path) bool {
	return p.Closed && len(p.Vertices) == 2 && math.Abs(p.Vertices[0].Bulge) == 1 && p.Vertices[0].Bulge == p.Vertices[1].Bulge
}

// arc runs anticlockwise in this format, whichever way the segment was drawn.
func (w *writer) arc(s scene.Segment, layer, ltype string) {
	c, r, a0, sweep := s.Circle()
	if sweep < 0 {
		a0, sweep = a0+sweep, -sweep
	}
	w.at(s.A)
	w.at(s.B)
	m := w.at(c)
	deg := func(a float64) float64 {
		d := math.Mod(a*180/math.Pi, 360)
		if d < 0 {
			d += 360
		}
		return d
	}
	group(&w.body, 0, "ARC", 8, layer, 6, ltype, 10, m.X, 20, m.Y, 30, 0.0, 40, r*w.scale, 50, deg(a0), 51, deg(a0+sweep))
}

func (w *writer) Text(t scene.Text) {
	layer := layerName(t.Layer)
	if w.skip[layer] || t.Content == "" {
		return
	}
	w.layers[layer] = true
	q := w.at(t.At)
	o, _ := t.Origin()
	first := w.at(o)
	group(&w.body, 0, "TEXT", 8, layer, 10, first.X, 20, first.Y, 30, 0.0, 40, t.HeightMM*w.scale, 1, encode(t.Content), 50, t.AngleDeg, 7,
		"STANDARD")
	if t.Across != scene.Start || t.Up != scene.Start {
		up := map[scene.Align]int{scene.Start: 0, scene.Middle: 2, scene.End: 3}[t.Up]
		group(&w.body, 72, int(t.Across), 11, q.X, 21, q.Y, 31, 0.0, 73, up)
	}
}

// encode writes what ASCII lacks as \U+ and four hex digits, which later readers of R12 files understand.
func encode(s string) string {
	var b strings.Builder
	for _, r := range s {
		if r >= 32 && r < 127 {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, `\U+%04X`, r)
		}
	}
	return b.String()
}
