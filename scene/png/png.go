package png

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"gelwright/scene"
	"gelwright/scene/lettering"
)

// maxPixels bounds a picture: an A0 sheet at 10 px/mm.
const maxPixels = 11890 * 8410

// Bytes returns the scene as a PNG file at pxPerMM pixels to the millimetre.
func Bytes(s *scene.Scene, pxPerMM float64) ([]byte, error) {
	img, err := Image(s, pxPerMM)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		return nil, fmt.Errorf("writing the drawing as PNG: %w", err)
	}
	return b.Bytes(), nil
}

// Image paints the scene on white.
func Image(s *scene.Scene, pxPerMM float64) (*image.RGBA, error) {
	w, h := math.Round(s.WidthMM*pxPerMM), math.Round(s.HeightMM*pxPerMM)
	if !(w >= 1 && h >= 1 && w*h <= maxPixels) {
		return nil, fmt.Errorf("a picture of %.0f × %.0f mm at %g px/mm has %g pixels: ask for between 1 and %d", s.WidthMM, s.HeightMM,
			pxPerMM, w*h, maxPixels)
	}
	img := image.NewRGBA(image.Rect(0, 0, int(w), int(h)))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	s.Walk(&painter{img: img, k: pxPerMM, foot: s.HeightMM})
	return img, nil
}

type painter struct {
	img  *image.RGBA
	k    float64 // px a mm
	foot float64
	buf  sfnt.Buffer
}

func (p *painter) Open(scene.Meta) {}
func (p *painter) Close()          {}

// px is a point in pixels, y down.
type px struct{ x, y float64 }

func (p *painter) at(q scene.Point) px { return px{q.X * p.k, (p.foot - q.Y) * p.k} }

// fill paints polygons in one colour. All of one turn add up; one of the other
// turn cuts a hole.
func (p *painter) fill(polygons [][]px, c scene.Colour) {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, g := range polygons {
		for _, q := range g {
			x0, y0, x1, y1 = min(x0, q.x), min(y0, q.y), max(x1, q.x), max(y1, q.y)
		}
	}
	area := image.Rect(int(math.Floor(x0))-1, int(math.Floor(y0))-1, int(math.Ceil(x1))+1, int(math.Ceil(y1))+1)
	if x0 > x1 || area.Intersect(p.img.Bounds()).Empty() || area.Dx() > 40000 || area.Dy() > 40000 {
		return
	}
	z := vector.NewRasterizer(area.Dx(), area.Dy())
	for _, g := range polygons {
		for i, q := range g {
			x, y := float32(q.x-float64(area.Min.X)), float32(q.y-float64(area.Min.Y))
			if i == 0 {
				z.MoveTo(x, y)
			} else {
				z.LineTo(x, y)
			}
		}
		z.ClosePath()
	}
	mask := image.NewAlpha(image.Rect(0, 0, area.Dx(), area.Dy()))
	z.Draw(mask, mask.Bounds(), image.Opaque, image.Point{})
	blend(p.img, mask, area.Min, c)
}

// blend lays colour over the picture where the mask is.
func blend(img *image.RGBA, mask *image.Alpha, at image.Point, c scene.Colour) {
	b := mask.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			a := uint32(mask.Pix[y*mask.Stride+x])
			q := image.Pt(x+at.X, y+at.Y)
			if a == 0 || !q.In(img.Rect) {
				continue
			}
			old := img.RGBAAt(q.X, q.Y)
			mix := func(o, n uint8) uint8 { return uint8((uint32(o)*(255-a) + uint32(n)*a + 127) / 255) }
			img.SetRGBA(q.X, q.Y, color.RGBA{mix(old.R, c.R), mix(old.G, c.G), mix(old.B, c.B), 255})
		}
	}
}

// tolerance of chords, px.
const chordPx = 0.15

func (p *painter) Shape(s scene.Shape) {
	if s.Filled {
		var polys [][]px
		for i, path := range s.Paths {
			// The first path is the outline; the others wind the other way.
			if (path.SignedArea() > 0) != (i == 0) {
				path = path.Reversed()
			}
			polys = append(polys, p.line(path))
		}
		p.fill(polys, s.Fill)
	}
	if s.Stroke.WidthMM > 0 {
		var polys [][]px
		dash := s.Stroke.Dash.Pattern(s.Stroke.WidthMM)
		for _, path := range s.Paths {
			pts := p.line(path)
			if path.Closed && len(pts) > 0 {
				pts = append(pts, pts[0])
			}
			for _, run := range dashes(pts, dash, p.k) {
				polys = append(polys, outline(run, s.Stroke.WidthMM*p.k, dash == nil)...)
			}
		}
		p.fill(polys, s.Stroke.Colour)
	}
}

func (p *painter) line(path scene.Path) []px {
	var out []px
	for _, q := range path.Points(chordPx / p.k) {
		out = append(out, p.at(q))
	}
	return out
}

// dashes cuts a line into the runs that are drawn.
func dashes(pts []px, pattern []float64, k float64) [][]px {
	if pattern == nil || len(pts) < 2 {
		return [][]px{pts}
	}
	var out [][]px
	i, left := 0, pattern[0]*k
	run := []px{pts[0]}
	for j := 0; j+1 < len(pts); j++ {
		a, b := pts[j], pts[j+1]
		rest := math.Hypot(b.x-a.x, b.y-a.y)
		for rest > left {
			t := left / rest
			a = px{a.x + (b.x-a.x)*t, a.y + (b.y-a.y)*t}
			rest -= left
			if i%2 == 0 {
				out = append(out, append(run, a))
			}
			i++
			left = max(pattern[i%len(pattern)]*k, 0.05)
			run = []px{a}
		}
		left -= rest
		run = append(run, b)
	}
	if i%2 == 0 {
		out = append(out, run)
	}
	return out
}

// outline returns polygons of one turn that together cover a line of the given
// width: a box for each piece, a disc at each corner, and at the ends if round.
func outline(pts []px, width float64, roundEnds bool) [][]px {
	r := max(width, 0.7) / 2
	var out [][]px
	for i := 0; i+1 < len(pts); i++ {
		a, b := pts[i], pts[i+1]
		l := math.Hypot(b.x-a.x, b.y-a.y)
		if l == 0 {
			continue
		}
		nx, ny := (b.y-a.y)/l*r, -(b.x-a.x)/l*r
		out = append(out, []px{{a.x - nx, a.y - ny}, {a.x + nx, a.y + ny}, {b.x + nx, b.y + ny}, {b.x - nx, b.y - ny}})
	}
	for i, q := range pts {
		if inner := i > 0 && i+1 < len(pts); inner || roundEnds {
			out = append(out, disc(q, r))
		}
	}
	return out
}

// disc turns the same way as the boxes of outline.
func disc(c px, r float64) []px {
	n := min(max(int(math.Ceil(2*math.Pi*math.Sqrt(r/(8*chordPx))))*2, 8), 64)
	out := make([]px, n)
	for i := range out {
		s, co := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out[i] = px{c.x + r*co, c.y + r*s}
	}
	return out
}

// glyphPPEM is the size at which letter outlines are read.
const glyphPPEM = 2048

func (p *painter) Text(t scene.Text) {
	o, _ := t.Origin()
	start := p.at(o)
	sin, cos := math.Sincos(-t.AngleDeg * math.Pi / 180)
	k := scene.EmMM(t.HeightMM) * p.k / glyphPPEM / 64
	f := lettering.Font(t.Bold)
	var polys [][]px
	pen := 0.0
	for _, r := range t.Content {
		idx, err := f.GlyphIndex(&p.buf, r)
		if err != nil {
			continue
		}
		segs, err := f.LoadGlyph(&p.buf, idx, fixed.I(glyphPPEM), nil)
		if err != nil {
			continue
		}
		at := func(q fixed.Point26_6) px {
			x, y := pen+float64(q.X)*k, float64(q.Y)*k
			return px{start.x + cos*x - sin*y, start.y + sin*x + cos*y}
		}
		polys = append(polys, glyph(segs, at)...)
		adv, err := f.GlyphAdvance(&p.buf, idx, fixed.I(glyphPPEM), 0)
		if err == nil {
			pen += float64(adv) * k
		}
	}
	p.fill(polys, t.Colour)
}

// glyph returns a letter's outlines as polygons; the font winds its holes itself.
func glyph(segs sfnt.Segments, at func(fixed.Point26_6) px) [][]px {
	var out [][]px
	var cur []px
	var last px
	for _, s := range segs {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			if cur != nil {
				out = append(out, cur)
			}
			last = at(s.Args[0])
			cur = []px{last}
		case sfnt.SegmentOpLineTo:
			last = at(s.Args[0])
			cur = append(cur, last)
		case sfnt.SegmentOpQuadTo:
			c, e := at(s.Args[0]), at(s.Args[1])
			for i := 1; i <= 5; i++ {
				u := float64(i) / 5
				v := 1 - u
				cur = append(cur, px{v*v*last.x + 2*u*v*c.x + u*u*e.x, v*v*last.y + 2*u*v*c.y + u*u*e.y})
			}
			last = e
		case sfnt.SegmentOpCubeTo:
			c, d, e := at(s.Args[0]), at(s.Args[1]), at(s.Args[2])
			for i := 1; i <= 7; i++ {
				u := float64(i) / 7
				v := 1 - u
				cur = append(cur, px{
					v*v*v*last.x + 3*v*v*u*c.x + 3*v*u*u*d.x + u*u*u*e.x,
					v*v*v*last.y + 3*v*v*u*c.y + 3*v*u*u*d.y + u*u*u*e.y})
			}
			last = e
		}
	}
	if cur != nil {
		out = append(out, cur)
	}
	return out
}
