package dxf

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"gelwright/scene"
)

// readBack is run by Debian's Python with python3-ezdxf, an independent reader
// (version 0.18.1 when this was written): it audits the file and lists what it holds.
const readBack = `
import json, sys, ezdxf
from ezdxf.lldxf.encoding import decode_dxf_unicode
doc = ezdxf.readfile(sys.argv[1])
audit = doc.audit()
out = {"version": doc.dxfversion, "errors": [str(e.message) for e in audit.errors], "units": doc.header.get("$INSUNITS", 0), "layers": sorted(l.dxf.name for l in doc.layers), "entities": []}
for e in doc.modelspace():
    d = {"type": e.dxftype(), "layer": e.dxf.layer, "ltype": e.dxf.linetype.upper()}
    if d["type"] == "LINE": d["n"] = [e.dxf.start.x, e.dxf.start.y, e.dxf.end.x, e.dxf.end.y]
    elif d["type"] == "CIRCLE": d["n"] = [e.dxf.center.x, e.dxf.center.y, e.dxf.radius]
    elif d["type"] == "ARC": d["n"] = [e.dxf.center.x, e.dxf.center.y, e.dxf.radius, e.dxf.start_angle, e.dxf.end_angle]
    elif d["type"] == "POLYLINE": d["n"] = [v for p in e.vertices for v in (p.dxf.location[0], p.dxf.location[1], p.dxf.get("bulge", 0))]; d["closed"] = e.is_closed
    elif d["type"] == "TEXT": d["text"] = decode_dxf_unicode(e.dxf.text); d["n"] = [e.dxf.height, e.dxf.rotation]
    elif d["type"] == "POINT": d["n"] = [e.dxf.location.x, e.dxf.location.y]
    out["entities"].append(d)
json.dump(out, sys.stdout)
`

type entity struct {
	Type, Layer, Ltype, Text string
	Closed                   bool
	N                        []float64
}

type file struct {
	Version  string
	Errors   []string
	Units    int
	Layers   []string
	Entities []entity
}

// read needs /usr/bin/python3 with ezdxf: the test fails without it and says how to install it.
func read(t *testing.T, raw []byte) file {
	t.Helper()
	const python = "/usr/bin/python3"
	if out, err := exec.Command(python, "-c", "import ezdxf").CombinedOutput(); err != nil {
		t.Fatalf("this test reads the file back with ezdxf and needs `%s -c 'import ezdxf'` to work (%v: %s). Install it: apt-get install python3-ezdxf", python, err, bytes.TrimSpace(out))
	}
	name := filepath.Join(t.TempDir(), "roof.dxf")
	if err := os.WriteFile(name, raw, 0o644); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python, "-c", readBack, name)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("ezdxf: %v\n%s", err, stderr.String())
	}
	var f file
	if err := json.Unmarshal(out, &f); err != nil {
		t.Fatal(err)
	}
	return f
}

func sample() *scene.Scene {
	p := func(x, y float64) scene.Point { return scene.Point{X: x, Y: y} }
	s := &scene.Scene{WidthMM: 210, HeightMM: 297}
	s.Add(
		scene.Shape{Meta: scene.Meta{Layer: "sheet"}, Paths: []scene.Path{scene.Rect(0, 0, 210, 297)}, Stroke: scene.Pen(0.7)},
		scene.Shape{Meta: scene.Meta{Layer: "outline"}, Stroke: scene.Pen(0.5), Paths: []scene.Path{{Closed: true, Vertices: []scene.Vertex{{Point: p(20, 20), Bulge: 0.5}, {Point: p(68, 20)}, {Point: p(68, 26)}, {Point: p(20, 26)}}}}},
		scene.Line(scene.Meta{Layer: "joints"}, scene.Stroke{WidthMM: 0.25, Dash: scene.Chain}, p(30, 20), p(30, 26)),
		scene.Shape{Meta: scene.Meta{Layer: "pipes"}, Stroke: scene.Pen(0.25), Paths: []scene.Path{scene.Circle(p(40, 22), 1.1)}},
		scene.Shape{Meta: scene.Meta{Layer: "pipes"}, Stroke: scene.Pen(0.25), Paths: []scene.Path{scene.Arc(p(40, 22), 3, 10, 100)}},
		scene.Shape{Meta: scene.Meta{Layer: "pipes"}, Stroke: scene.Pen(0.25), Paths: []scene.Path{scene.Arc(p(40, 22), 3, 10, -100)}},
		scene.Text{Meta: scene.Meta{Layer: "words"}, At: p(44, 23), Content: "Pipe ø110, fall 1°", HeightMM: 2.5, Across: scene.Middle, Up: scene.Middle, AngleDeg: 30},
	)
	s.Add(scene.Dots(1).Cut(scene.Meta{Layer: "dots"}, scene.Black, scene.Rect(20, 20.3, 21, 21.3))...)
	return s
}

// Independent program: ezdxf reads the file without an audit error and gives the
// coordinates back in real millimetres (1:50, so 48 mm on paper are 2400).
func TestReadBackByEzdxf(t *testing.T) {
	f := read(t, Bytes(sample(), Options{Scale: 50, Origin: scene.Point{X: 20, Y: 20}, Skip: []string{"sheet"}}))
	if f.Version != "AC1009" || f.Units != 4 || len(f.Errors) != 0 {
		t.Errorf("version %s, units %d, errors %v; want AC1009, 4 (mm), none", f.Version, f.Units, f.Errors)
	}
	want := []entity{
		{Type: "POLYLINE", Layer: "OUTLINE", Ltype: "CONTINUOUS", Closed: true, N: []float64{0, 0, 0.5, 2400, 0, 0, 2400, 300, 0, 0, 300, 0}},
		{Type: "LINE", Layer: "JOINTS", Ltype: "CHAIN", N: []float64{500, 0, 500, 300}},
		{Type: "CIRCLE", Layer: "PIPES", Ltype: "CONTINUOUS", N: []float64{1000, 100, 55}},
		{Type: "ARC", Layer: "PIPES", Ltype: "CONTINUOUS", N: []float64{1000, 100, 150, 10, 110}},
		{Type: "ARC", Layer: "PIPES", Ltype: "CONTINUOUS", N: []float64{1000, 100, 150, 270, 10}},
		{Type: "TEXT", Layer: "WORDS", Ltype: "BYLAYER", Text: "Pipe ø110, fall 1°", N: []float64{125, 30}},
	}
	if len(f.Entities) < len(want) {
		t.Fatalf("%d entities: %+v", len(f.Entities), f.Entities)
	}
	for i, w := range want {
		g := f.Entities[i]
		if g.Type != w.Type || g.Layer != w.Layer || g.Text != w.Text || g.Closed != w.Closed || (w.Ltype != "" && g.Ltype != w.Ltype) || !near(g.N, w.N) {
			t.Errorf("entity %d:\n got %+v\nwant %+v", i, g, w)
		}
	}
	for _, e := range f.Entities[len(want):] {
		if e.Type != "POINT" || e.Layer != "DOTS" {
			t.Errorf("unexpected %+v", e)
		}
	}
	if len(f.Entities) == len(want) {
		t.Error("the dots are missing")
	}
	for _, l := range f.Layers {
		if l == "SHEET" {
			t.Error("the sheet's frame was to stay out")
		}
	}
}

func near(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if math.Abs(a[i]-b[i]) > 1e-4 {
			return false
		}
	}
	return true
}

func TestSameBytesTwice(t *testing.T) {
	if !bytes.Equal(Bytes(sample(), Options{}), Bytes(sample(), Options{})) {
		t.Error("the same scene gave different bytes")
	}
}
