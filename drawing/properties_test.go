package drawing

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/scene"
	"gelwright/scene/svg"
)

var update = flag.Bool("update", false, "write the golden files anew")

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("differs from %s; look at it, then run go test ./drawing -update", file)
	}
}

// Goldens are regression only; what they must show is checked by the other tests.
func TestGoldens(t *testing.T) {
	set, err := Survey(bay())
	Number(set)
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "bay-plan.svg", svg.Bytes(set[0].Scene, svg.Options{}))
	golden(t, "bay-plan.txt", []byte(set[0].Scene.Text()))
	golden(t, "bay-sections.svg", svg.Bytes(set[1].Scene, svg.Options{}))
	golden(t, "bay-sections.txt", []byte(set[1].Scene.Text()))
	golden(t, "pieces.svg", svg.Bytes(stripSheet(t).Scene, svg.Options{}))
}

// ISO 5455:1979 tables for reduction: 1:2, 1:5, 1:10 and their multiples by ten.
func TestScaleIsStandardAndTheFigureFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.Float64Range(0.3, 150).Draw(t, "w"), rapid.Float64Range(0.3, 100).Draw(t, "h")
		l := Layout{High: pt(w, h), Left: 20, Right: 10, Top: 10, Bottom: 20, Largest: 5, Key: make([]KeyEntry, rapid.IntRange(0, 14).Draw(t, "key"))}
		s, err := NewSheet(Title{Drawing: "x"}, l)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Contains([]float64{5, 10, 20, 50, 100, 200, 500, 1000}, s.Scale) {
			t.Fatalf("scale 1:%g is not one of ISO 5455", s.Scale)
		}
		a, b := s.At(pt(0, 0)), s.At(pt(w, h))
		if f := s.Figure.Grown(1e-6); a.X-20 < f.Low.X || a.Y-20 < f.Low.Y || b.X+10 > f.High.X || b.Y+10 > f.High.Y {
			t.Fatalf("figure %v–%v with its margins leaves %v", a, b, f)
		}
		for _, n := range scales {
			if n < s.Scale && n >= 5 {
				l.Only = n
				if _, err := NewSheet(Title{}, l); err == nil {
					t.Fatalf("1:%g was taken though 1:%g fits", s.Scale, n)
				}
			}
		}
	})
}

// Worked by hand: fall length over ratio.
func TestHeights(t *testing.T) {
	for _, c := range []struct {
		name string
		job  *roof.Job
		at   plane.Point
		want float64
	}{
		{"garage: 5.6 m at 1:40", garage(), pt(0, 0), 140},
		{"L: 3.2 m at 1:40 on either plane of the hip", wrapRound(), pt(3.2, 3.2), 80},
		{"hall: 10 m at 1:40", hall(), pt(15, 10), 250},
		{"bay: 0.9 m at 1:40 from the crown of the arc", bay(), pt(1, 0.9), 22.5},
	} {
		d := c.job.Decks[0]
		if got := heightsOf(d.Falls, d.Outline).aboveLowMM(c.at); math.Abs(got-c.want) > 0.1 {
			t.Errorf("%s: %.2f mm, want %.2f", c.name, got, c.want)
		}
	}
}

// contents gathers all lettering of a scene.
type contents struct{ all []string }

func (c *contents) Open(scene.Meta)   {}
func (c *contents) Close()            {}
func (c *contents) Shape(scene.Shape) {}
func (c *contents) Text(t scene.Text) { c.all = append(c.all, t.Content) }
func lettering(s *scene.Scene) []string {
	c := &contents{}
	s.Walk(c)
	return c.all
}

// The lettering that each plan must bear, worked by hand from the sample's numbers:
// the bay's arc is 1500 · 2 · acos(0.6) = 2782 mm long.
func TestPlansSayWhatTheyMust(t *testing.T) {
	for name, want := range map[string][]string{
		"garage":    {"3200", "5600", "2500", "700", "+140", "±0", "1:40", "drip", "kerb 50 high", "Exit", "17.5 %", "vent ø110", "joists 50 × 150 at 400", "1:50"},
		"bay":       {"R 1500, arc 2782", "2400", "900", "wall, upstand 150", "1:20"},
		"wrapround": {"7200", "5600", "4000", "2400", "1500 × 1000", "kerb 150", "fragile", "+80", "wall, upstand 150", "sill, upstand 75"},
		"hall":      {"30000", "20000", "RL01", "RL12", "+250", "12 off RL01 to RL12:", "1200 × 1200, kerb 150, fragile"},
		"courtyard": {"2915", "2121", "outlet ø100", "post 100 × 100", "step up, upstand 150 (main house)", "parapet, upstand 300"},
	} {
		s, err := RoofPlan(jobs()[name])
		if err != nil {
			t.Fatal(err)
		}
		got := lettering(s.Scene)
		for _, w := range want {
			if !slices.Contains(got, w) {
				t.Errorf("%s does not say %q", name, w)
			}
		}
		if len(s.Unplaced) > 0 {
			t.Errorf("%s: no room for %q", name, s.Unplaced)
		}
		for _, c := range got {
			if l := scene.Lacks(c); len(l) > 0 {
				t.Errorf("%s: the font lacks %q of %q", name, string(l), c)
			}
		}
	}
}

func TestTextFormNamesEveryEdge(t *testing.T) {
	for name, job := range jobs() {
		s, err := RoofPlan(job)
		if err != nil {
			t.Fatal(err)
		}
		text := s.Scene.Text()
		for _, d := range job.Decks {
			for i, e := range d.Edges {
				if w := fmt.Sprintf("Edge %d of %s: %s", i+1, d.Name, e.Condition); !strings.Contains(text, w) {
					t.Errorf("%s: the text form lacks %q", name, w)
				}
			}
		}
	}
}

// In black and white two conditions must differ in line type or number of ticks.
func TestConditionsLookDifferent(t *testing.T) {
	seen := map[string]roof.Condition{}
	for _, c := range roof.Conditions() {
		m, ok := marks[c]
		if !ok || conditionWords[c] == "" || edgeDetails[c] == nil {
			t.Errorf("%s has no mark, no words in the key, or no section", c)
		}
		k := fmt.Sprint(m.dash, "/", m.ticks)
		if other, twice := seen[k]; twice {
			t.Errorf("%s looks like %s", c, other)
		}
		seen[k] = c
	}
}

// Every section of every condition, alone, with small and large sizes.
func TestAnySectionIsLegible(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		job := garage()
		c := rapid.SampledFrom(roof.Conditions()).Draw(t, "condition")
		job.Spec.Build = rapid.SampledFrom([]string{"warm", "cold", "inverted", "uninsulated"}).Draw(t, "build")
		job.Spec.VCL = rapid.Bool().Draw(t, "vcl")
		job.Spec.Insulation = &roof.Insulation{Material: "PIR", ThicknessMM: rapid.SampledFrom([]float64{0, 40, 120, 200}).Draw(t, "insulation")}
		job.Decks[0].Base.Kind = rapid.SampledFrom([]string{"joists", "sound deck", "concrete"}).Draw(t, "base")
		e := roof.Edge{Condition: c, HeightMM: rapid.SampledFrom([]float64{0, 25, 50, 75, 150, 300, 450}).Draw(t, "height"), WidthMM: rapid.SampledFrom([]float64{0, 60, 90, 215}).Draw(t, "width"), LimitMM: 165}
		for i := range job.Decks[0].Edges {
			job.Decks[0].Edges[i] = e
		}
		sheets, err := Sections(job)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range sheets {
			if cl := s.Scene.Clashes(0.05); len(cl) > 0 {
				t.Fatal(cl)
			}
		}
	})
}

// Any plain roof: no lettering on a line or on other lettering.
func TestAnyPlanIsLegible(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		job := garage()
		w, h := float64(rapid.IntRange(5, 300).Draw(t, "w"))/10, float64(rapid.IntRange(5, 200).Draw(t, "h"))/10
		cx, cy := rapid.Float64Range(0.3, 0.7).Draw(t, "cx"), rapid.Float64Range(0.3, 0.7).Draw(t, "cy")
		d := &job.Decks[0]
		d.Outline = plane.RingOf(pt(0, 0), pt(w, 0), pt(w, h*cy), pt(w*cx, h*cy), pt(w*cx, h), pt(0, h))
		d.Edges = nil
		for i := range 6 {
			d.Edges = append(d.Edges, edges(rapid.SampledFrom(roof.Conditions()).Draw(t, fmt.Sprint("edge", i)))...)
		}
		d.Moisture = []roof.Moisture{{At: pt(w*0.2, h*0.2), Pct: 12}}
		d.Penetrations[0].At = pt(w*cx/2, h*cy/2)
		d.Exit = pt(0, h/2)
		d.Outline[0].Bulge = rapid.SampledFrom([]float64{0, 0.1, 0.4}).Draw(t, "bulge")
		d.Outline[2].X -= rapid.SampledFrom([]float64{0, 0.2}).Draw(t, "slant") * w
		d.Edges[1].Thresholds = []roof.Threshold{{FromM: h * cy * 0.3, ToM: h * cy * 0.6, UpstandMM: 75}}
		if rapid.Bool().Draw(t, "opening") {
			d.Openings = []roof.Opening{{Name: "RL1", Kind: "rooflight", Outline: plane.Rectangle(w*cx*0.6, h*cy*0.6, w*cx*0.9, h*cy*0.9), KerbMM: 150}}
		}
		s, err := RoofPlan(job)
		if err != nil {
			t.Fatal(err)
		}
		if cl := s.Scene.Clashes(0.05); len(cl) > 0 {
			t.Fatalf("%v", cl)
		}
	})
}

func TestSameJobSameBytes(t *testing.T) {
	draw := func() []byte {
		set, err := Survey(wrapRound())
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		for _, s := range set {
			b.Write(svg.Bytes(s.Scene, svg.Options{}))
			b.Write(s.DXF())
		}
		return b.Bytes()
	}
	if !bytes.Equal(draw(), draw()) {
		t.Error("the same job gave different bytes")
	}
}

func TestPlanInRealMillimetres(t *testing.T) {
	s, err := RoofPlan(wrapRound())
	if err != nil {
		t.Fatal(err)
	}
	raw := string(s.DXF())
	for _, xy := range []string{" 10\r\n7200.0\r\n 20\r\n3200.0", " 10\r\n3200.0\r\n 20\r\n5600.0"} {
		if !strings.Contains(raw, xy) {
			t.Errorf("the corner %q is missing", xy)
		}
	}
	if strings.Contains(raw, "Kitchen wrap-round") {
		t.Error("the title block is in the drawing exchange file")
	}
}

func TestBadJobsAreRefused(t *testing.T) {
	empty := &roof.Job{Name: "nothing"}
	if _, err := RoofPlan(empty); err == nil || !strings.Contains(err.Error(), "outline") {
		t.Errorf("no decks: %v", err)
	}
	if _, err := Sections(empty); err == nil {
		t.Error("no edges: sections were drawn")
	}
	far := garage()
	far.Decks[0].Outline[1].X = 1e9
	if _, err := RoofPlan(far); err == nil {
		t.Error("a roof of a million kilometres was drawn")
	}
	far.Decks[0].Outline[1].X = math.NaN()
	if _, err := RoofPlan(far); err == nil {
		t.Error("a corner without a number was drawn")
	}
	if _, err := BlankSheet(Title{}, "A5", nil); err == nil {
		t.Error("a sheet that is not there was drawn")
	}
	if _, err := SetOutSheet(garage(), 3, Title{}, 10, nil); err == nil {
		t.Error("a deck that is not there was drawn")
	}
}

func TestBlankSheets(t *testing.T) {
	for _, f := range formats {
		s, err := BlankSheet(Title{Drawing: "The day", Sheet: 1, Of: 1}, f.Name, make([]KeyEntry, 5))
		if err != nil {
			t.Fatal(err)
		}
		if cl := s.Scene.Clashes(0.05); len(cl) > 0 {
			t.Error(f.Name, cl)
		}
		if s.Figure.Width() < 160 || s.Figure.Height() < 120 {
			t.Errorf("%s leaves only %.0f × %.0f mm", f.Name, s.Figure.Width(), s.Figure.Height())
		}
	}
}

// A name too long for its place in the title block stands there in two lines, whole.
func TestLongTitlesAreNotCut(t *testing.T) {
	job := garage()
	name := "Buckets, mat layer 1, deck rear extension over the kitchen, part 3 of 4"
	job.Name, job.Site.Name = "Rear extension and garage at the Old Rectory, Lower Mill Lane", "The Old Rectory, Lower Mill Lane 4, Upper Netherby"
	s, err := SetOutSheet(job, 0, TitleOf(job, name), 12, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range s.Scene.Clashes(0.05) {
		t.Error(c)
	}
	all := strings.Join(lettering(s.Scene), " ")
	for _, want := range []string{name, job.Name, job.Site.Name} {
		if !strings.Contains(all, want) {
			t.Errorf("%q is not there whole", want)
		}
	}
}
