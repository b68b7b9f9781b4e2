package pdf

import (
	"bytes"
	"fmt"
	"math"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"gelwright/scene"
)

// Family is the name under which Prepare registers the lettering.
const Family = "go"

// New returns an empty document in millimetres, dated as told, without page
// breaks of its own, its fonts registered.
func New(date time.Time, title string) *fpdf.Fpdf {
	f := fpdf.New("P", "mm", "A4", "")
	f.SetCreationDate(date)
	f.SetModificationDate(date)
	f.SetCatalogSort(true)
	f.SetProducer("gelwright", true)
	f.SetTitle(title, true)
	f.SetAutoPageBreak(false, 0)
	f.SetMargins(0, 0, 0)
	Prepare(f)
	return f
}

// Prepare registers the fonts that Draw letters with. Call it once a document.
func Prepare(f *fpdf.Fpdf) {
	f.AddUTF8FontFromBytes(Family, "", bytes.Clone(scene.FontTTF(false)))
	f.AddUTF8FontFromBytes(Family, "B", bytes.Clone(scene.FontTTF(true)))
}

// AddPage begins a page of the scene's size and draws the scene on it.
func AddPage(f *fpdf.Fpdf, s *scene.Scene) {
	way := "P"
	size := fpdf.SizeType{Wd: s.WidthMM, Ht: s.HeightMM}
	if s.WidthMM > s.HeightMM {
		// The library swaps the sides of a landscape page.
		way, size = "L", fpdf.SizeType{Wd: s.HeightMM, Ht: s.WidthMM}
	}
	f.AddPageFormat(way, size)
	Draw(f, s, 0, 0)
}

// Draw draws the scene on the present page of a document in millimetres, its
// upper left corner at (leftMM, topMM).
func Draw(f *fpdf.Fpdf, s *scene.Scene, leftMM, topMM float64) {
	f.SetLineJoinStyle("round")
	s.Walk(&writer{f: f, left: leftMM, foot: topMM + s.HeightMM})
	f.SetDashPattern(nil, 0)
	f.SetDrawColor(0, 0, 0)
	f.SetFillColor(0, 0, 0)
	f.SetTextColor(0, 0, 0)
}

// Bytes returns a document with one page for each scene.
func Bytes(date time.Time, title string, sheets ...*scene.Scene) ([]byte, error) {
	f := New(date, title)
	for _, s := range sheets {
		AddPage(f, s)
		f.Bookmark(s.Title, 0, 0)
	}
	var b bytes.Buffer
	if err := f.Output(&b); err != nil {
		return nil, fmt.Errorf("writing the drawings as PDF: %w", err)
	}
	return b.Bytes(), nil
}

type writer struct {
	f          *fpdf.Fpdf
	left, foot float64
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
		f.Text(x, y, t.Content)
		return
	}
	f.TransformBegin()
	f.TransformRotate(t.AngleDeg, x, y)
	f.Text(x, y, t.Content)
	f.TransformEnd()
}
