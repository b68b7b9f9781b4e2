package pdf

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"gelwright/scene"
	"gelwright/scene/reading"
)

// Family is the name under which New registers the lettering.
const Family = "go"

// AddPage begins a page of the scene's size and draws the scene on it; what the paper says
// goes below in: the drawing's name as a heading of that kind, and the figure.
func AddPage(d *Document, s *scene.Scene, in *reading.Node, heading reading.Kind) {
	way := "P"
	size := fpdf.SizeType{Wd: s.WidthMM, Ht: s.HeightMM}
	if s.WidthMM > s.HeightMM {
		// The library swaps the sides of a landscape page.
		way, size = "L", fpdf.SizeType{Wd: s.HeightMM, Ht: s.WidthMM}
	}
	d.AddPageFormat(way, size)
	part := &reading.Node{Kind: reading.Section}
	in.Add(part)
	drawFigure(d, s, 0, 0, part, heading)
}

// Draw draws the scene on the present page of a document in millimetres, its
// upper left corner at (leftMM, topMM), as a figure below in.
func Draw(d *Document, s *scene.Scene, leftMM, topMM float64, in *reading.Node) {
	drawFigure(d, s, leftMM, topMM, in, reading.Figure)
}

func drawFigure(d *Document, s *scene.Scene, leftMM, topMM float64, in *reading.Node, heading reading.Kind) {
	w := &writer{f: d, left: leftMM, foot: topMM + s.HeightMM}
	if heading != reading.Figure {
		w.heading, w.unsaid = &reading.Node{Kind: heading, Text: s.Title}, s.Title
		in.Add(w.heading)
	}
	n := &reading.Node{Kind: reading.Figure, Picture: s}
	in.Add(n)
	d.SetLineJoinStyle("round")
	_, high := d.GetPageSize()
	d.boxes[n] = [4]float64{leftMM, high - topMM - s.HeightMM, leftMM + s.WidthMM, high - topMM}
	d.open, d.figure = n, true
	s.Walk(w)
	d.open, d.figure, d.after = nil, false, ending{}
	d.SetDashPattern(nil, 0)
	d.SetDrawColor(0, 0, 0)
	d.SetFillColor(0, 0, 0)
	d.SetTextColor(0, 0, 0)
}

// Bytes returns a document with one page for each scene.
func Bytes(date time.Time, title, author string, sheets ...*scene.Scene) ([]byte, error) {
	return BytesIn(Language, date, title, author, sheets...)
}

// BytesIn is Bytes of sheets that are lettered in another language than English, by its locale: "de-DE".
func BytesIn(locale string, date time.Time, title, author string, sheets ...*scene.Scene) ([]byte, error) {
	d := New(date, title, author)
	d.Language = locale
	for _, s := range sheets {
		AddPage(d, s, d.Says, reading.Title)
		d.Bookmark(s.Title, 0, 0)
	}
	var b bytes.Buffer
	if err := d.Output(&b); err != nil {
		return nil, fmt.Errorf("writing the drawings as PDF: %w", err)
	}
	return b.Bytes(), nil
}

type writer struct {
	f          *Document
	left, foot float64
	// heading is the drawing's name where it stands among the lettering, nil for none;
	// unsaid is what of it has not been met.
	heading *reading.Node
	unsaid  string
}

func (w *writer) Open(scene.Meta) {}
func (w *writer) Close()          {}

func (w *writer) xy(p scene.Point) (x, y float64) { return w.left + p.X, w.foot - p.Y }

func (w *writer) Shape(s scene.Shape) {
	f := w.f
	style := ""
	if s.Filled {
		f.SetFillColor(int(s.Fill.R), int(s.Fill.G), int(s.Fill.B))
		style = "F*"
	}
	if s.Stroke.WidthMM > 0 {
		c := s.Stroke.Colour
		f.SetDrawColor(int(c.R), int(c.G), int(c.B))
		f.SetLineWidth(s.Stroke.WidthMM)
		dash := s.Stroke.Dash.Pattern(s.Stroke.WidthMM)
		if dash != nil {
			f.SetLineCapStyle("butt")
		} else {
			f.SetLineCapStyle("round")
		}
		f.SetDashPattern(dash, 0)
		if style == "" {
			style = "D"
		} else {
			style = "B*"
		}
	}
	if style == "" {
		return
	}
	drawn := false
	for _, p := range s.Paths {
		drawn = w.path(p) || drawn
	}
	if drawn {
		f.DrawPath(style)
	}
}

func (w *writer) path(p scene.Path) bool {
	segs := p.Segments()
	if len(segs) == 0 {
		return false
	}
	w.f.MoveTo(w.xy(segs[0].A))
	for i, s := range segs {
		if s.Bulge != 0 && s.A != s.B {
			w.arc(s)
		} else if !p.Closed || i < len(segs)-1 {
			w.f.LineTo(w.xy(s.B))
		}
	}
	if p.Closed {
		w.f.ClosePath()
	}
	return true
}

// arc draws a circular arc as cubic curves of a quarter turn or less, with
// control points at 4/3·tan(θ/4) radii along the tangents (the usual choice;
// its greatest error is 0.027 % of the radius).
func (w *writer) arc(s scene.Segment) {
	c, r, a0, sweep := s.Circle()
	n := int(math.Ceil(math.Abs(sweep) / (math.Pi/2 + 1e-9)))
	step := sweep / float64(n)
	k := 4.0 / 3 * math.Tan(step/4) * r
	for i := range n {
		a, b := a0+step*float64(i), a0+step*float64(i+1)
		sa, ca := math.Sincos(a)
		sb, cb := math.Sincos(b)
		p := scene.Point{X: c.X + r*ca - k*sa, Y: c.Y + r*sa + k*ca}
		q := scene.Point{X: c.X + r*cb + k*sb, Y: c.Y + r*sb - k*cb}
		e := scene.Point{X: c.X + r*cb, Y: c.Y + r*sb}
		px, py := w.xy(p)
		qx, qy := w.xy(q)
		ex, ey := w.xy(e)
		w.f.CurveBezierCubicTo(px, py, qx, qy, ex, ey)
	}
}

func (w *writer) Text(t scene.Text) {
	if t.Content == "" {
		return
	}
	f := w.f
	style := ""
	if t.Bold {
		style = "B"
	}
	f.SetFont(Family, style, 10)
	f.SetFontUnitSize(scene.EmMM(t.HeightMM))
	f.SetTextColor(int(t.Colour.R), int(t.Colour.G), int(t.Colour.B))
	o, _ := t.Origin()
	x, y := w.xy(o)
	if t.AngleDeg == 0 {
		if w.heading != nil && t.Bold && strings.HasPrefix(w.unsaid, t.Content) {
			w.unsaid = strings.TrimSpace(strings.TrimPrefix(w.unsaid, t.Content))
			figure := f.open
			f.open = w.heading
			defer func() { f.open = figure }()
		}
		f.Text(x, y, t.Content)
		return
	}
	f.TransformBegin()
	f.TransformRotate(t.AngleDeg, x, y)
	f.Text(x, y, t.Content)
	f.TransformEnd()
}
