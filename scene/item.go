package scene

// Line widths of ISO 128-2, mm.
const (
	Hairline = 0.18 // dimensions, hatches
	Thin     = 0.25 // symbols, leaders
	Medium   = 0.35 // lettering, secondary edges
	Thick    = 0.5  // outlines
	Heavy    = 0.7  // cut faces
)

// Lettering heights of ISO 3098-1, mm.
const (
	TextLeast = 1.8 // numbers alone, where nothing larger has room
	TextSmall = 2.5
	TextUsual = 3.5
	TextTitle = 5.0
	TextLarge = 7.0
)

// Colour is red, green and blue; the zero colour is black.
type Colour struct{ R, G, B uint8 }

// The palette of Okabe and Ito (Color Universal Design, 2008), which people with
// any kind of colour vision tell apart, and three greys.
var (
	Black      = Colour{}
	White      = Colour{255, 255, 255}
	Orange     = Colour{230, 159, 0}
	SkyBlue    = Colour{86, 180, 233}
	Green      = Colour{0, 158, 115}
	Yellow     = Colour{240, 228, 66}
	Blue       = Colour{0, 114, 178}
	Vermilion  = Colour{213, 94, 0}
	Purple     = Colour{204, 121, 167}
	LightGrey  = Colour{235, 235, 235}
	MiddleGrey = Colour{200, 200, 200}
	DarkGrey   = Colour{110, 110, 110}
)

// Tint returns the colour thinned with white: share 1 is the colour itself, 0 white.
func (c Colour) Tint(share float64) Colour {
	mix := func(v uint8) uint8 { return uint8(255 - (255-float64(v))*share + 0.5) }
	return Colour{mix(c.R), mix(c.G), mix(c.B)}
}

// Dash names a line type of ISO 128-2.
type Dash string

const (
	Solid       Dash = ""
	Dashed      Dash = "dashed"       // type 02
	Dotted      Dash = "dotted"       // type 07
	Chain       Dash = "chain"        // type 04, long dash and dot
	DoubleChain Dash = "double chain" // type 05, long dash and two dots
	LongDash    Dash = "long dash"    // type 03, dash and space
)

// Pattern returns dash and gap lengths in mm for a line of widthMM; nil is a
// full line. ISO 128-2 table 4 gives the lengths in line widths; they are taken
// at 0.25 mm at least, so that a hairline's dashes stay visible, and the long
// dash is shortened from 24 to 18 widths for short edges.
func (d Dash) Pattern(widthMM float64) []float64 {
	w := max(widthMM, Thin)
	units, known := dashUnits[d]
	if !known {
		return nil
	}
	out := make([]float64, len(units))
	for i, u := range units {
		out[i] = u * w
	}
	return out
}

var dashUnits = map[Dash][]float64{
	Dashed:      {12, 3},
	Dotted:      {1, 3},
	Chain:       {18, 3, 1, 3},
	DoubleChain: {18, 3, 1, 3, 1, 3},
	LongDash:    {18, 9},
}

// Dashes lists all dash patterns that are not full lines, in a fixed order.
func Dashes() []Dash { return []Dash{Dashed, Dotted, Chain, DoubleChain, LongDash} }

// Meta is what an item is, beside how it looks.
type Meta struct {
	// ID is unique in the scene: "strip-7".
	ID string
	// Class holds words for a style sheet or a page: "strip bay-2".
	Class string
	// Title is the name that a screen reader speaks: "Strip 7, 1.0 × 3.2 m".
	Title string
	// Layer gathers items for drawing programs: "outline", "dimensions".
	Layer string
}

// Stroke is how a line is drawn; zero width draws none.
type Stroke struct {
	WidthMM float64
	Dash    Dash
	Colour  Colour
}

// Pen returns a full black line.
func Pen(widthMM float64) Stroke { return Stroke{WidthMM: widthMM} }

// Item is a Shape, a Text or a Group.
type Item interface{ meta() Meta }

// Shape is one or more paths with a line and a fill. When filled, the first path
// is the outline and the others are holes in it.
type Shape struct {
	Meta
	Paths  []Path
	Stroke Stroke
	Filled bool
	Fill   Colour
}

// Align says which part of a text lies at its point.
type Align int

const (
	Start Align = iota
	Middle
	End
)

// Text is one line of lettering.
type Text struct {
	Meta
	At       Point
	Content  string
	HeightMM float64 // of the capitals
	// Across is the horizontal anchor; Up the vertical: Start is the base line,
	// Middle half the height of the capitals, End their top.
	Across, Up Align
	AngleDeg   float64
	Bold       bool
	Colour     Colour
}

// Group holds items that belong together, moved as one.
type Group struct {
	Meta
	Place Transform
	Items []Item
}

func (s Shape) meta() Meta { return s.Meta }
func (t Text) meta() Meta  { return t.Meta }
func (g Group) meta() Meta { return g.Meta }

// Scene is one sheet.
type Scene struct {
	// Title and Description name the whole for a screen reader.
	Title, Description string
	WidthMM, HeightMM  float64
	Items              []Item
}

// Add puts items on top of what is there.
func (s *Scene) Add(items ...Item) { s.Items = append(s.Items, items...) }

// Line returns a shape of open paths through the points.
func Line(m Meta, st Stroke, points ...Point) Shape {
	return Shape{Meta: m, Stroke: st, Paths: []Path{Polyline(points...)}}
}

// Transform turns and scales about the origin, then moves. The zero Transform
// leaves things where they are.
type Transform struct {
	Move      Point
	RotateDeg float64
	// Scale of lengths and lettering; line widths stay. 0 means 1.
	Scale float64
}

func (t Transform) scale() float64 {
	if t.Scale == 0 {
		return 1
	}
	return t.Scale
}

// Point returns p moved.
func (t Transform) Point(p Point) Point {
	return p.Scale(t.scale()).Turned(t.RotateDeg).Add(t.Move)
}

// Path returns the path moved; bulges stay, as a turn does not change them.
func (t Transform) Path(p Path) Path {
	out := Path{Closed: p.Closed, Vertices: make([]Vertex, len(p.Vertices))}
	for i, v := range p.Vertices {
		out.Vertices[i] = Vertex{t.Point(v.Point), v.Bulge}
	}
	return out
}

// After returns the transform that applies u first and then t.
func (t Transform) After(u Transform) Transform {
	return Transform{Move: t.Point(u.Move), RotateDeg: t.RotateDeg + u.RotateDeg, Scale: t.scale() * u.scale()}
}

// shape and text return the item as it lies on the sheet.
func (t Transform) shape(s Shape) Shape {
	out := s
	out.Paths = make([]Path, len(s.Paths))
	for i, p := range s.Paths {
		out.Paths[i] = t.Path(p)
	}
	return out
}

func (t Transform) text(x Text) Text {
	x.At = t.Point(x.At)
	x.AngleDeg += t.RotateDeg
	x.HeightMM *= t.scale()
	return x
}

// Visitor receives a scene in drawing order, every item where it lies on the sheet.
type Visitor interface {
	Shape(Shape)
	Text(Text)
	// Open and Close stand round the items of a group.
	Open(Meta)
	Close()
}

// Walk shows the scene to v. Items without a layer of their own take their group's.
func (s *Scene) Walk(v Visitor) { walk(s.Items, Transform{}, "", v) }

func walk(items []Item, at Transform, layer string, v Visitor) {
	for _, it := range items {
		switch x := it.(type) {
		case Shape:
			x = at.shape(x)
			x.Layer = orLayer(x.Layer, layer)
			v.Shape(x)
		case Text:
			x = at.text(x)
			x.Layer = orLayer(x.Layer, layer)
			v.Text(x)
		case Group:
			l := orLayer(x.Layer, layer)
			v.Open(x.Meta)
			walk(x.Items, at.After(x.Place), l, v)
			v.Close()
		}
	}
}

func orLayer(own, group string) string {
	if own != "" {
		return own
	}
	return group
}
