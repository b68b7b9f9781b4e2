package scene

import (
	"math"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"pgregory.net/rapid"

	"gelwright/scene/lettering"
)

// ISO 3098-1: the nominal size of lettering is the height of its capitals.
func TestLetteringIsAsHighAsItsCapitals(t *testing.T) {
	for _, bold := range []bool{false, true} {
		var buf sfnt.Buffer
		f := lettering.Font(bold)
		i, err := f.GlyphIndex(&buf, 'H')
		if err != nil {
			t.Fatal(err)
		}
		b, _, err := f.GlyphBounds(&buf, i, fixed.I(2048), font.HintingNone)
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(-b.Min.Y) / 64 / 2048; math.Abs(got-capHeightEm) > 0.001 {
			t.Errorf("bold %v: capital H is %.4f em high, the constant says %.4f", bold, got, capHeightEm)
		}
		if e := Measure("H", 3.5, bold); math.Abs(e.RiseMM-3.5) > 0.02 {
			t.Errorf("bold %v: H at 3.5 mm rises %.3f mm", bold, e.RiseMM)
		}
	}
}

func TestFontsHaveTheSignsThatDrawingsUse(t *testing.T) {
	if l := Lacks("0123456789 ø°×·–−½²³±µ’äöüßéèêçñ€£∞≥≤→"); len(l) > 0 {
		t.Errorf("the Go fonts lack %q", string(l))
	}
	if l := Lacks("✓"); len(l) != 1 {
		t.Errorf("a tick is expected to be missing, Lacks says %q", string(l))
	}
}

// Worked by hand: a quarter circle of radius 10 about the origin.
func TestQuarterArc(t *testing.T) {
	s := Arc(Point{}, 10, 0, 90).Segments()[0]
	c, r, a0, sweep := s.Circle()
	for _, x := range []struct {
		what      string
		got, want float64
	}{{"x", c.X, 0}, {"y", c.Y, 0}, {"radius", r, 10}, {"start", a0, 0}, {"sweep", sweep, math.Pi / 2}, {"length", s.Length(), 5 * math.Pi}} {
		if math.Abs(x.got-x.want) > 1e-9 {
			t.Errorf("%s: got %g, want %g", x.what, x.got, x.want)
		}
	}
}

// Euclid: area of a circle, and a hole taken from it by its sense.
func TestAreaOfCircle(t *testing.T) {
	if a := Circle(Point{3, 4}, 10).SignedArea(); math.Abs(a-100*math.Pi) > 1 {
		t.Errorf("area %g, want %g", a, 100*math.Pi)
	}
	if a := Circle(Point{3, 4}, 10).Reversed().SignedArea(); a > 0 {
		t.Errorf("reversed circle has area %g, want it negative", a)
	}
}

// Property: parallel lines s apart, summed and times s, give the area; and every
// line's middle lies inside. Holds for any outline with a hole and any angle.
func TestHatchCoversItsAreaAndNoMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.Float64Range(20, 90).Draw(t, "w")
		h := rapid.Float64Range(20, 90).Draw(t, "h")
		r := rapid.Float64Range(2, 9).Draw(t, "r")
		angle := rapid.Float64Range(-180, 180).Draw(t, "angle")
		outer, hole := Rect(5, 7, 5+w, 7+h), Circle(Point{5 + w/2, 7 + h/2}, r)
		const spacing = 0.25
		var sum float64
		for _, it := range Parallel(angle, spacing).Cut(Meta{}, Black, outer, hole) {
			for _, p := range it.(Shape).Paths {
				a, b := p.Vertices[0].Point, p.Vertices[1].Point
				sum += a.Distance(b) * spacing
				m := a.Add(b).Scale(0.5)
				across := b.Sub(a).Unit().Left().Scale(1e-6)
				// A line may lie on the outline itself: then one side is inside.
				if !Holds(m.Add(across), outer, hole) && !Holds(m.Sub(across), outer, hole) {
					t.Fatalf("hatch line's middle %v lies outside", m)
				}
			}
		}
		want := w*h - math.Pi*r*r
		// One line more or less at either side: spacing times the greatest width.
		if math.Abs(sum-want) > spacing*2*math.Hypot(w, h) {
			t.Fatalf("lines cover %g mm², area is %g mm²", sum, want)
		}
	})
}

func TestHatchDotsLieInside(t *testing.T) {
	outer, hole := Rect(0, 0, 30, 20), Rect(10, 5, 20, 15)
	n := 0
	for _, it := range Dots(2).Cut(Meta{}, Black, outer, hole) {
		for _, p := range it.(Shape).Paths {
			n++
			if !Holds(p.Vertices[0].Point.Add(Point{1e-4, 0}), outer, hole) {
				t.Errorf("dot at %v lies outside", p.Vertices[0].Point)
			}
		}
	}
	// Two dots to each square of 2 × 2 mm: 500 mm² hold about 250.
	if n < 225 || n > 275 {
		t.Errorf("%d dots on 500 mm², want about 250", n)
	}
}

// Property: whatever the gaps of a chain, its labels stay clear of each other
// and of all its lines.
func TestChainLabelsNeverClash(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "n")
		c := ChainDimension{From: Point{100, 100}, AlongDeg: rapid.SampledFrom([]float64{0, 90, 180, -90, 30}).Draw(t, "along"),
			OffsetMM: rapid.SampledFrom([]float64{12, -12}).Draw(t, "offset"), Stations: []float64{0}}
		c.FootMM = c.OffsetMM / 4
		for range n {
			gap := rapid.Float64Range(2, 40).Draw(t, "gap")
			c.Stations = append(c.Stations, c.Stations[len(c.Stations)-1]+gap)
			c.Labels = append(c.Labels, Millimetres(gap*0.05))
		}
		s := &Scene{WidthMM: 1000, HeightMM: 1000}
		s.Add(Group{Place: Transform{Move: Point{300, 300}}, Items: c.Items()})
		if cl := s.Clashes(0.1); len(cl) > 0 {
			t.Fatalf("stations %v: %v", c.Stations, cl)
		}
	})
}

func TestRunningReadingsNeverClash(t *testing.T) {
	for _, off := range []float64{10, -10} {
		r := RunningDimension{From: Point{50, 100}, Stations: []float64{1, 2, 30, 31, 60}, Labels: []string{"50", "100", "1500", "1550", "3000"}, OffsetMM: off, FootMM: off / 4}
		s := &Scene{WidthMM: 200, HeightMM: 200}
		s.Add(r.Items()...)
		if cl := s.Clashes(0.1); len(cl) > 0 {
			t.Error(cl)
		}
	}
}

func TestClashesAreFound(t *testing.T) {
	for _, c := range []struct {
		name string
		with []Item
		want int
	}{
		{"alone", nil, 0},
		{"on a line", []Item{Line(Meta{}, Pen(Thin), Point{0, 51}, Point{100, 51})}, 1},
		{"under a line that stops short", []Item{Line(Meta{}, Pen(Thin), Point{0, 51}, Point{40, 51})}, 0},
		{"on lettering", []Item{Text{At: Point{52, 51}, Content: "there", HeightMM: 2.5}}, 1},
		{"beside lettering turned a quarter", []Item{Text{At: Point{48, 45}, Content: "there", HeightMM: 2.5, AngleDeg: 90}}, 0},
		{"off the sheet", []Item{Text{At: Point{98, 80}, Content: "there", HeightMM: 2.5}}, 1},
		{"on a backdrop", []Item{Line(Meta{Class: Backdrop}, Pen(Thin), Point{0, 51}, Point{100, 51})}, 0},
	} {
		s := &Scene{WidthMM: 100, HeightMM: 100}
		s.Add(Text{At: Point{50, 50}, Content: "here", HeightMM: 2.5})
		s.Add(c.with...)
		if got := s.Clashes(0.05); len(got) != c.want {
			t.Errorf("%s: %v, want %d", c.name, got, c.want)
		}
	}
}

func TestTextFormListsNamedPieces(t *testing.T) {
	s := &Scene{Title: "Roof plan", WidthMM: 100, HeightMM: 100}
	s.Add(Group{Meta: Meta{ID: "d", Title: "Deck main"}, Place: Transform{Move: Point{10, 20}}, Items: []Item{
		Shape{Paths: []Path{Rect(0, 0, 30, 20)}, Stroke: Pen(Thick)},
		Shape{Meta: Meta{ID: "o", Title: "Rooflight RL1"}, Paths: []Path{Rect(5, 5, 9, 9)}},
	}})
	if got, want := s.Text(), "Roof plan\n- Deck main\n- Rooflight RL1\n"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if b := s.Pieces()[0].Box; b.Low != (Point{10, 20}) || b.High != (Point{40, 40}) {
		t.Errorf("deck lies in %v", b)
	}
	if !strings.HasPrefix(s.Text(), s.Title) {
		t.Error("the text form begins with the title")
	}
}

// Property: a turn and a move change no length.
func TestTransformKeepsLengths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.Float64Range(-500, 500)
		pt := func(n string) Point { return Point{f.Draw(t, n+"x"), f.Draw(t, n+"y")} }
		a, b := Transform{Move: pt("m"), RotateDeg: f.Draw(t, "d")}, Transform{Move: pt("k"), RotateDeg: f.Draw(t, "e"), Scale: 2}
		p, q := pt("p"), pt("q")
		ab := a.After(b)
		if d := ab.Point(p).Distance(ab.Point(q)); math.Abs(d-2*p.Distance(q)) > 1e-6 {
			t.Fatalf("distance %g became %g", p.Distance(q), d)
		}
		if d := ab.Point(p).Distance(a.Point(b.Point(p))); d > 1e-6 {
			t.Fatalf("After differs from doing both by %g", d)
		}
	})
}
