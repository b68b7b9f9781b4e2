package svg

import (
	"bytes"
	"encoding/xml"
	"flag"
	"io"
	"os"
	"path/filepath"
	"testing"

	"gelwright/scene"
)

var update = flag.Bool("update", false, "write the golden files anew")

// features are small scenes, one thing each.
func features() map[string]*scene.Scene {
	sheet := func(title string, items ...scene.Item) *scene.Scene {
		s := &scene.Scene{Title: title, WidthMM: 60, HeightMM: 40}
		s.Add(items...)
		return s
	}
	p := func(x, y float64) scene.Point { return scene.Point{X: x, Y: y} }
	var dashes []scene.Item
	for i, d := range scene.Dashes() {
		dashes = append(dashes, scene.Line(scene.Meta{Class: string(d)}, scene.Stroke{WidthMM: scene.Medium, Dash: d}, p(5, 5+6*float64(i)), p(55, 5+6*float64(i))))
	}
	hole := []scene.Path{scene.Rect(5, 5, 55, 35), scene.Circle(p(30, 20), 8).Reversed()}
	hatched := append([]scene.Item{scene.Shape{Meta: scene.Meta{ID: "strip-1", Class: "strip", Title: "Strip 1 <north>", Layer: "strips"}, Paths: hole, Filled: true, Fill: scene.SkyBlue.Tint(0.3), Stroke: scene.Pen(scene.Thick)}},
		scene.Diagonal(4).Cut(scene.Meta{Layer: "hatch"}, scene.Black, hole...)...)
	return map[string]*scene.Scene{
		"dashes":  sheet("Line types", dashes...),
		"hatch":   sheet("Hatch round a hole", hatched...),
		"arcs":    sheet("Arcs both ways", scene.Shape{Paths: []scene.Path{scene.Arc(p(20, 10), 10, 0, 270), scene.Arc(p(45, 20), 10, 0, -90)}, Stroke: scene.Pen(scene.Thick)}),
		"text":    sheet("Lettering", scene.Text{At: p(30, 20), Content: "Fall 1:40 & ø110", HeightMM: 3.5, Across: scene.Middle, Up: scene.Middle, AngleDeg: 20}, scene.Text{At: p(3, 3), Content: "Bold", HeightMM: 5, Bold: true}),
		"chain":   sheet("Chain dimension", scene.ChainDimension{From: p(10, 30), Stations: []float64{0, 20, 23, 40}, Labels: []string{"1000", "150", "850"}, OffsetMM: -12, FootMM: -2}.Items()...),
		"running": sheet("Running dimension", scene.RunningDimension{From: p(10, 8), Stations: []float64{12, 14, 40}, Labels: []string{"600", "700", "2000"}, OffsetMM: 10, FootMM: 2}.Items()...),
		"radius":  sheet("Radius", append([]scene.Item{scene.Shape{Paths: []scene.Path{scene.Arc(p(10, 5), 30, 0, 90)}, Stroke: scene.Pen(scene.Thick)}}, scene.Radius(scene.Meta{}, p(10, 5), 30, 45, "R 1500")...)...),
	}
}

func TestGolden(t *testing.T) {
	for name, s := range features() {
		t.Run(name, func(t *testing.T) {
			got := Bytes(s, Options{})
			file := filepath.Join("testdata", name+".svg")
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
				t.Errorf("differs from %s; look at it, then run go test ./scene/svg -update", file)
			}
			if cl := s.Clashes(0.05); len(cl) > 0 {
				t.Error(cl)
			}
		})
	}
}

func TestWellFormed(t *testing.T) {
	for name, s := range features() {
		d := xml.NewDecoder(bytes.NewReader(Bytes(s, Options{Fluid: true, IDPrefix: "a-"})))
		titles := 0
		for {
			tok, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if e, ok := tok.(xml.StartElement); ok && e.Name.Local == "title" {
				titles++
			}
		}
		if want := 1 + len(s.Pieces()); titles != want {
			t.Errorf("%s: %d titles, want one for the drawing and one for each named piece: %d", name, titles, want)
		}
	}
}
