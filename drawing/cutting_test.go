package drawing_test

import (
	"bytes"
	"fmt"
	"image"
	"image/draw"
	stdpng "image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"gelwright/drawing"
	"gelwright/internal/examples"
	"gelwright/scene"
	"gelwright/scene/png"
	"gelwright/settingout"
)

// Every board and length is in one pattern, and patterns differ.
func TestPatternsHoldEveryStockOnce(t *testing.T) {
	stock := func(n, piece int) settingout.Stock {
		return settingout.Stock{Number: n, LengthMM: 2440, WidthMM: 1220, Cuts: []settingout.Cut{{LengthMM: piece, WidthMM: 1220}}}
	}
	got := drawing.Patterns(settingout.Material{Stock: []settingout.Stock{stock(1, 2440), stock(2, 1200), stock(3, 2440), stock(4, 700)}}, nil)
	if len(got) != 3 || got[0].Name != "A" || len(got[0].Stock) != 2 || got[0].Stock[1].Number != 3 || got[2].Name != "C" {
		t.Errorf("patterns %+v", got)
	}
	var many []settingout.Stock
	for i := range 30 {
		many = append(many, stock(i+1, 100+i))
	}
	if p := drawing.Patterns(settingout.Material{Stock: many}, nil); p[25].Name != "Z" || p[26].Name != "AA" || p[29].Name != "AD" {
		t.Errorf("names %s %s %s", p[25].Name, p[26].Name, p[29].Name)
	}
}

// Every pattern is drawn on the sheets once, to scale and inside the frame.
func TestCuttingSheets(t *testing.T) {
	for _, name := range []string{"r01-garage", "r04-l-shape"} {
		p := examples.Plan(t, name)
		sheets, err := drawing.CuttingSheets(p)
		if err != nil {
			t.Fatal(err)
		}
		if len(sheets) == 0 {
			t.Fatalf("%s: no sheets", name)
		}
		drawn := map[string]scene.Box{}
		for _, s := range sheets {
			for _, x := range s.Scene.Pieces() {
				if x.Class != "cut" {
					continue
				}
				number, _, _ := strings.Cut(x.Title, ",")
				if _, twice := drawn[number]; twice {
					t.Errorf("%s: %s is drawn twice", name, number)
				}
				drawn[number] = x.Box
				if b := s.Figure.Grown(1); x.Box.Low.X < b.Low.X || x.Box.Low.Y < b.Low.Y || x.Box.High.X > b.High.X || x.Box.High.Y > b.High.Y {
					t.Errorf("%s: %s is drawn off the sheet's figure", name, number)
				}
			}
		}
		for _, d := range p.Decks {
			for _, m := range d.SetOut.Materials {
				if m.Kind != settingout.Board && m.Kind != settingout.Trim {
					continue
				}
				for _, pattern := range drawing.Patterns(m, d.Pieces()) {
					for _, c := range pattern.Stock[0].Cuts {
						b, ok := drawn[c.Piece]
						if !ok {
							t.Errorf("%s: %s is not drawn", name, c.Piece)
							continue
						}
						if m.Kind == settingout.Board {
							long, across := float64(c.LengthMM), float64(c.WidthMM)
							ratio := long / b.Width()
							if r := across / b.Height(); r/ratio > 1.01 || ratio/r > 1.01 {
								t.Errorf("%s: %s is drawn %.1f × %.1f mm for %g × %g", name, c.Piece, b.Width(), b.Height(), long, across)
							}
						}
					}
				}
			}
		}
	}
}

// Decks share sheets where that takes fewer: every cut of every deck is drawn once, under a name of its own.
func TestDecksShareCuttingSheets(t *testing.T) {
	for name, want := range map[string]int{"r10-terrace": 2, "r11-three-levels": 5} {
		p := examples.Plan(t, name)
		sheets, err := drawing.CuttingSheets(p)
		if err != nil || len(sheets) != want {
			t.Fatalf("%s: %d sheets, %v, not %d", name, len(sheets), err, want)
		}
		drawn, cuts := map[string]bool{}, 0
		for _, s := range sheets {
			for _, x := range s.Scene.Pieces() {
				if x.Class != "cut" {
					continue
				}
				if cuts++; drawn[x.ID] {
					t.Errorf("%s: %s is the name of two cuts", name, x.ID)
				}
				drawn[x.ID] = true
			}
		}
		planned := 0
		for _, d := range p.Decks {
			for _, m := range d.Materials() {
				if m.Kind != settingout.Board && m.Kind != settingout.Trim {
					continue
				}
				for _, pattern := range drawing.Patterns(m, d.Pieces()) {
					planned += len(pattern.Stock[0].Cuts)
				}
			}
		}
		if cuts != planned {
			t.Errorf("%s: %d cuts are drawn, %d are planned", name, cuts, planned)
		}
	}
}

// Every piece that is cut ahead has one label; its code holds reference, deck and number.
func TestLabels(t *testing.T) {
	p := examples.Plan(t, "r04-l-shape")
	labels := drawing.Labels(p)
	seen := map[string]bool{}
	for _, l := range labels {
		if seen[l.Code] {
			t.Errorf("%s is there twice", l.Code)
		}
		seen[l.Code] = true
		if l.Number == "" || l.Size == "" || l.Place == "" {
			t.Errorf("label %+v lacks something", l)
		}
	}
	want := len(p.Decks[0].Firrings)
	for _, x := range p.Decks[0].Pieces() {
		if x.Kind == settingout.Board || x.Kind == settingout.Trim || x.Kind == settingout.Corner {
			want++
			if !seen["FR-04/L/"+x.Number] {
				t.Errorf("%s has no label", x.Number)
			}
		}
	}
	if len(labels) != want {
		t.Errorf("%d labels for %d pieces", len(labels), want)
	}
	sheets, err := drawing.LabelSheets(p)
	if err != nil || len(sheets) != (want+23)/24 {
		t.Fatalf("%d sheets, %v", len(sheets), err)
	}
	// Lettering stays on its label, off the code and its quiet zone (ISO/IEC 18004: four
	// modules of white).
	var codes, words []scene.Box
	for _, x := range sheets[0].Pieces() {
		if x.Class == "code" {
			codes = append(codes, x.Box)
		}
	}
	v := &texts{}
	sheets[0].Walk(v)
	words = v.boxes
	if len(codes) != 24 {
		t.Fatalf("%d codes on the first sheet", len(codes))
	}
	// Nothing is cut off: the letters of every label stand on its sheet.
	var all strings.Builder
	for _, s := range sheets {
		said := &texts{}
		s.Walk(said)
		all.WriteString(strings.ReplaceAll(strings.Join(said.said, ""), " ", ""))
	}
	for _, l := range labels {
		for _, w := range []string{l.Size, l.Place} {
			if !strings.Contains(all.String(), strings.ReplaceAll(w, " ", "")) {
				t.Errorf("label %s does not say %q whole", l.Number, w)
			}
		}
	}
	for _, c := range codes {
		module := c.Width() / 25
		for _, w := range words {
			q := c.Grown(3.9 * module)
			if w.Low.X < q.High.X && w.High.X > q.Low.X && w.Low.Y < q.High.Y && w.High.Y > q.Low.Y {
				t.Errorf("lettering at %v lies on the quiet zone of a code", w.Low)
			}
		}
	}
	for _, w := range words {
		if int(w.Low.X/70) != int(w.High.X/70) || w.High.X > 210-4 || w.Low.Y < 2 {
			t.Errorf("lettering from %v to %v leaves its label", w.Low, w.High)
		}
	}
}

// An independent reader (zbarimg of Debian's zbar-tools) reads every code of a sheet
// from the picture of its label.
func TestCodesAreRead(t *testing.T) {
	tool, err := exec.LookPath("zbarimg")
	if err != nil {
		t.Skip("zbarimg is missing; to run this test: apt-get install zbar-tools")
	}
	p := examples.Plan(t, "r01-garage")
	sheets, err := drawing.LabelSheets(p)
	if err != nil {
		t.Fatal(err)
	}
	const pixels = 12
	raw, err := png.Bytes(sheets[0], pixels)
	if err != nil {
		t.Fatal(err)
	}
	whole, err := stdpng.Decode(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	var paths []string
	labels := drawing.Labels(p)
	few := min(len(labels), 24)
	for i := range few {
		x, y := i%3*70*pixels, int(float64(i/3)*297/8*pixels)
		cut := image.NewGray(image.Rect(0, 0, 70*pixels, 37*pixels))
		draw.Draw(cut, cut.Bounds(), whole, image.Pt(x, y), draw.Src)
		var b bytes.Buffer
		if err := stdpng.Encode(&b, cut); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, fmt.Sprintf("%02d.png", i))
		if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		paths = append(paths, path)
	}
	out, err := exec.Command(tool, append([]string{"-q", "--raw", "--nodbus"}, paths...)...).Output()
	if err != nil {
		t.Fatalf("zbarimg: %v, having read %q", err, out)
	}
	read := strings.Fields(string(out))
	if len(read) != few {
		t.Fatalf("%d of %d codes read: %v", len(read), few, read)
	}
	for i, code := range read {
		if code != labels[i].Code {
			t.Errorf("label %d reads %q, want %q", i+1, code, labels[i].Code)
		}
	}
}

type texts struct {
	boxes []scene.Box
	said  []string
}

func (v *texts) Shape(scene.Shape) {}
func (v *texts) Open(scene.Meta)   {}
func (v *texts) Close()            {}
func (v *texts) Text(t scene.Text) {
	v.said = append(v.said, t.Content)
	var b scene.Box
	for _, q := range t.Quad(0) {
		b = b.Take(q)
	}
	v.boxes = append(v.boxes, b)
}
