package svg

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gelwright/scene"
)

// Options say how the file is used.
type Options struct {
	// Fluid leaves out the size in millimetres, so that a page sets it.
	Fluid bool
	// IDPrefix stands before every id, where several drawings share a page.
	IDPrefix string
	// Skip names layers that stay out, such as the sheet's frame.
	Skip []string
}

// Bytes returns the scene as an SVG file.
func Bytes(s *scene.Scene, o Options) []byte {
	w := &writer{height: s.HeightMM, prefix: o.IDPrefix, skip: o.Skip}
	b := &w.b
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg"`)
	if !o.Fluid {
		fmt.Fprintf(b, ` width="%smm" height="%smm"`, num(s.WidthMM), num(s.HeightMM))
	}
	fmt.Fprintf(b,
		` viewBox="0 0 %s %s" role="graphics-document document" font-family="Go, 'Go Regular', Lucida Grande, Arial, sans-serif" `+
			`fill="none" stroke-linecap="round" stroke-linejoin="round">`+"\n", num(s.WidthMM), num(s.HeightMM))
	fmt.Fprintf(b, "<title>%s</title>\n", escape(s.Title))
	if s.Description != "" {
		fmt.Fprintf(b, "<desc>%s</desc>\n", escape(s.Description))
	}
	s.Walk(w)
	b.WriteString("</svg>\n")
	return b.Bytes()
}

type writer struct {
	b      bytes.Buffer
	height float64
	prefix string
	skip   []string
	// muted counts the open groups that stay out.
	muted int
}

// out reports whether an item of a layer stays out.
func (w *writer) out(layer string) bool {
	return w.muted > 0 || layer != "" && slices.Contains(w.skip, layer)
}

// num writes thousandths of a millimetre at most, without a negative zero.
func num(v float64) string {
	r := math.Round(v*1000) / 1000
	if r == 0 {
		r = 0
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}

// escaper is made once: a drawing has thousands of names.
var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

func escape(s string) string { return escaper.Replace(s) }

func colour(c scene.Colour) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

func (w *writer) pt(p scene.Point) string { return num(p.X) + " " + num(w.height-p.Y) }

// attributes writes identity, class and layer; a titled item is a symbol to a reader.
func (w *writer) attributes(m scene.Meta) {
	if m.ID != "" {
		fmt.Fprintf(&w.b, ` id="%s"`, escape(w.prefix+m.ID))
	}
	if m.Class != "" {
		fmt.Fprintf(&w.b, ` class="%s"`, escape(m.Class))
	}
	if m.Layer != "" {
		fmt.Fprintf(&w.b, ` data-layer="%s"`, escape(m.Layer))
	}
	if m.Title != "" {
		w.b.WriteString(` role="graphics-symbol img"`)
	}
}

// end closes a leaf, with its title inside if it has one.
func (w *writer) end(name string, m scene.Meta) {
	if m.Title == "" {
		w.b.WriteString("/>\n")
		return
	}
	fmt.Fprintf(&w.b, "><title>%s</title></%s>\n", escape(m.Title), name)
}

func (w *writer) Open(m scene.Meta) {
	if w.out(m.Layer) {
		w.muted++
		return
	}
	w.b.WriteString("<g")
	w.attributes(m)
	w.b.WriteString(">\n")
	if m.Title != "" {
		fmt.Fprintf(&w.b, "<title>%s</title>\n", escape(m.Title))
	}
}

func (w *writer) Close() {
	if w.muted > 0 {
		w.muted--
		return
	}
	w.b.WriteString("</g>\n")
}

func (w *writer) Shape(s scene.Shape) {
	if w.out(s.Layer) {
		return
	}
	w.b.WriteString("<path")
	w.attributes(s.Meta)
	w.b.WriteString(` d="`)
	for i, p := range s.Paths {
		if i > 0 {
			w.b.WriteByte(' ')
		}
		w.path(p)
	}
	w.b.WriteByte('"')
	if s.Filled {
		fmt.Fprintf(&w.b, ` fill="%s" fill-rule="evenodd"`, colour(s.Fill))
	}
	if s.Stroke.WidthMM > 0 {
		fmt.Fprintf(&w.b, ` stroke="%s" stroke-width="%s"`, colour(s.Stroke.Colour), num(s.Stroke.WidthMM))
		if d := s.Stroke.Dash.Pattern(s.Stroke.WidthMM); d != nil {
			parts := make([]string, len(d))
			for i, v := range d {
				parts[i] = num(v)
			}
			fmt.Fprintf(&w.b, ` stroke-dasharray="%s" stroke-linecap="butt"`, strings.Join(parts, " "))
		}
	}
	w.end("path", s.Meta)
}

func (w *writer) path(p scene.Path) {
	segs := p.Segments()
	if len(segs) == 0 {
		return
	}
	w.b.WriteString("M" + w.pt(segs[0].A))
	for i, s := range segs {
		last := p.Closed && i == len(segs)-1
		if s.Bulge != 0 && s.A != s.B {
			_, r, _, sweep := s.Circle()
			large, way := 0, 0
			if math.Abs(sweep) > math.Pi {
				large = 1
			}
			if sweep < 0 { // the page's y runs down, so the turn looks the other way
				way = 1
			}
			fmt.Fprintf(&w.b, "A%s %s 0 %d %d %s", num(r), num(r), large, way, w.pt(s.B))
		} else if !last {
			w.b.WriteString("L" + w.pt(s.B))
		}
	}
	if p.Closed {
		w.b.WriteByte('Z')
	}
}

func (w *writer) Text(t scene.Text) {
	if w.out(t.Layer) {
		return
	}
	o, e := t.Origin()
	w.b.WriteString("<text")
	w.attributes(t.Meta)
	fmt.Fprintf(&w.b, ` x="%s" y="%s" font-size="%s" fill="%s"`, num(o.X), num(w.height-o.Y), num(scene.EmMM(t.HeightMM)), colour(t.Colour))
	if t.Bold {
		w.b.WriteString(` font-weight="bold"`)
	}
	if t.AngleDeg != 0 {
		fmt.Fprintf(&w.b, ` transform="rotate(%s %s %s)"`, num(-t.AngleDeg), num(o.X), num(w.height-o.Y))
	}
	// A viewer without the Go fonts fits its own to the room that was planned.
	fmt.Fprintf(&w.b, ` textLength="%s" lengthAdjust="spacingAndGlyphs"`, num(e.WidthMM))
	w.b.WriteByte('>')
	if t.Title != "" {
		fmt.Fprintf(&w.b, "<title>%s</title>", escape(t.Title))
	}
	w.b.WriteString(escape(t.Content) + "</text>\n")
}
