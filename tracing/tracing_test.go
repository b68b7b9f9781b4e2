package tracing

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gelwright/plane"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > within {
		t.Errorf("%s: %.7g, want %.7g within %g", what, got, want, within)
	}
}

func fixture(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// The same roof as written by four writers of others is read back to a tenth of a millimetre: testdata/README.md.
func TestDrawingsOfOthers(t *testing.T) {
	// 7.2 × 3.2 + 3.2 × 2.4 less what a quarter of a circle leaves of a square of 0.8 m (worked by hand).
	area := 7.2*3.2 + 3.2*2.4 - 0.8*0.8*(1-math.Pi/4)
	around := 6.4 + 0.8*math.Pi/2 + 2.4 + 4 + 2.4 + 3.2 + 5.6
	for _, c := range []struct{ name, layer, unit string }{{"makerjs.dxf", "0", "mm"}, {"dxf-writer.dxf", "roof", "mm"}, {"tarikjabiri.dxf", "0", "mm"},
		{"ezdxf-block.dxf", "0", "m"}} {
		got, err := DXF(fixture(t, c.name), "", "")
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if len(got.Outlines) != 1 || len(got.Outlines[0].Openings) != 2 || got.Unit != c.unit || got.Outlines[0].Layer != c.layer {
			t.Fatalf("%s: %+v", c.name, got)
		}
		o := got.Outlines[0]
		near(t, c.name+" area", o.Ring.Area(), area, 2e-4)
		near(t, c.name+" round", o.Ring.Perimeter(), around, 2e-4)
		near(t, c.name+" rooflight", o.Openings[0].Ring.Area(), 1.2*0.9, 1e-6)
		near(t, c.name+" round one", o.Openings[1].Ring.Area(), math.Pi*0.09, 1e-4)
		if len(o.Ring) != 7 || !o.Openings[1].Round || o.Openings[0].Round {
			t.Errorf("%s: %d corners, %+v", c.name, len(o.Ring), o.Openings)
		}
		arcs := 0
		for i := range o.Ring {
			if e := o.Ring.Edge(i); !e.Straight() {
				r, _ := e.Arc()
				near(t, c.name+" radius", r, 0.8, 1e-4)
				arcs++
			}
		}
		if arcs != 1 {
			t.Errorf("%s: %d arcs", c.name, arcs)
		}
	}
	got, _ := DXF(fixture(t, "ezdxf-block.dxf"), "", "")
	if len(got.Left) != 1 || got.Left[0].Line != 2268 || !strings.Contains(got.Left[0].What, "SPLINE") {
		t.Errorf("left out %v", got.Left)
	}
}

func TestTheUnitIsAskedFor(t *testing.T) {
	data := fixture(t, "ezdxf-r12-inches.dxf")
	var f *Fault
	if _, err := DXF(data, "", ""); !errors.As(err, &f) || !strings.Contains(err.Error(), "in which unit") {
		t.Errorf("%v", err)
	}
	got, err := DXF(data, "in", "")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "longest side", got.Outlines[0].Ring.Edge(0).Length(), 6.4008, 1e-4)
}

// drawn is a DXF of entities in metres.
func drawn(blocks string, entities ...string) []byte {
	text := "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n6\n0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n" + blocks + "0\nENDSEC\n0\nSECTION\n2\nENTITIES\n" +
		strings.Join(entities, "") + "0\nENDSEC\n0\nEOF\n"
	return []byte(text)
}

func line(x0, y0, x1, y1 float64) string {
	return fmt.Sprintf("0\nLINE\n8\nroof\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n", x0, y0, x1, y1)
}

// A block turned over, scaled, turned and set in rows keeps its arcs on the right side.
func TestBlocksTurnedOver(t *testing.T) {
	block := "0\nBLOCK\n2\nB\n10\n1\n20\n1\n0\nLWPOLYLINE\n8\nroof\n70\n1\n10\n1\n20\n1\n10\n5\n20\n1\n42\n0.2\n10\n5\n20\n3\n10\n1\n20\n3\n0\nENDBLK\n"
	segment := func() float64 {
		r := plane.Ring{{Point: plane.Point{X: 1, Y: 1}}, {Point: plane.Point{X: 5, Y: 1}, Bulge: 0.2}, {Point: plane.Point{X: 5, Y: 3}}, {Point: plane.Point{X: 1, Y: 3}}}
		return r.Area()
	}()
	for name, c := range map[string]struct {
		insert string
		area   float64
		n      int
	}{
		"over":   {"0\nINSERT\n2\nB\n8\nroof\n10\n2\n20\n3\n41\n-1\n42\n1\n50\n30\n", segment, 1},
		"twice":  {"0\nINSERT\n2\nB\n8\nroof\n10\n2\n20\n3\n41\n2\n42\n2\n50\n-77\n", 4 * segment, 1},
		"below":  {"0\nINSERT\n2\nB\n8\nroof\n10\n2\n20\n3\n230\n-1\n", segment, 1},
		"in row": {"0\nINSERT\n2\nB\n8\nroof\n10\n2\n20\n3\n70\n3\n71\n2\n44\n10\n45\n8\n", segment, 6},
	} {
		got, err := DXF(drawn(block, c.insert), "", "")
		if err != nil || len(got.Outlines) != c.n {
			t.Errorf("%s: %v, %d outlines", name, err, len(got.Outlines))
			continue
		}
		for _, o := range got.Outlines {
			near(t, name, o.Ring.Area(), c.area, 1e-3)
		}
	}
	got, err := DXF(drawn(block, "0\nINSERT\n2\nB\n8\nroof\n41\n2\n42\n1\n"), "", "")
	if err == nil || len(got.Left) != 1 || !strings.Contains(err.Error(), "scaled unevenly") {
		t.Errorf("uneven: %v %v", err, got.Left)
	}
	loop := "0\nBLOCK\n2\nB\n0\nINSERT\n2\nB\n0\nINSERT\n2\nB\n0\nENDBLK\n"
	if _, err := DXF(drawn(loop, "0\nINSERT\n2\nB\n", line(0, 0, 3, 0), line(3, 0, 3, 3), line(3, 3, 0, 0)), "", ""); err != nil {
		t.Errorf("a block within itself: %v", err)
	}
}

func TestLooseLines(t *testing.T) {
	// Ends that miss each other by half a millimetre, one side drawn backwards, one in two parts, one line that leads away.
	got, err := DXF(drawn("", line(0, 0, 4, 0), line(4, 3, 4, 0.0004), line(4, 3, 2, 3), line(2, 3, 0, 3), line(0, 0, 0, 3), line(9, 9, 12, 9)), "", "")
	if err != nil || len(got.Outlines) != 1 || len(got.Outlines[0].Ring) != 4 {
		t.Fatalf("%v %+v", err, got)
	}
	near(t, "area", got.Outlines[0].Ring.Area(), 12, 0.002)
	if len(got.Left) != 1 || !strings.Contains(got.Left[0].What, "do not close, from (9.000, 9.000)") {
		t.Errorf("left %v", got.Left)
	}
	// A second copy, a hole, a hole in the hole, and a pipe.
	square := func(x0, y0, x1, y1 float64) string {
		return line(x0, y0, x1, y0) + line(x1, y0, x1, y1) + line(x1, y1, x0, y1) + line(x0, y1, x0, y0)
	}
	got, err = DXF(drawn("", square(0, 0, 8, 6), "0\nCIRCLE\n8\nroof\n10\n7\n20\n5\n40\n0.055\n", square(1, 1, 3, 3), square(1.5, 1.5, 2, 2)), "", "roof")
	if err != nil || len(got.Outlines) != 1 || len(got.Outlines[0].Openings) != 1 || len(got.Left) != 2 {
		t.Errorf("%v %+v", err, got)
	}
	if _, err := DXF(drawn("", square(0, 0, 8, 6)), "", "walls"); err == nil || !strings.Contains(err.Error(), "roof") {
		t.Errorf("%v", err)
	}
}

func TestNoDrawing(t *testing.T) {
	for text, says := range map[string]string{
		"AC1032 rest": "closed form", "AutoCAD Binary DXF\r\n": "binary form", "hello\nworld\n": "no group code", "0\n": "cut off",
		string(drawn("")): "no closed outline", string(drawn("", line(0, 0, 1, 0))): "do not close",
	} {
		if _, err := DXF([]byte(text), "m", ""); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%.20q: %v, want %q", text, err, says)
		}
	}
}

// Lengths of a degree of latitude and of longitude on the ellipsoid of WGS 84: 110.574 and 111.320 km at the equator, 111.132 and
// 78.847 km at 45°, 111.412 and 55.800 km at 60° (from memory).
func TestDegreesLaidFlat(t *testing.T) {
	for _, c := range []struct{ lat, north, east float64 }{{0, 110574, 111320}, {45, 111132, 78847}, {60, 111412, 55800}} {
		text := fmt.Sprintf(`{"type":"Feature","properties":{"name":"porch"},"geometry":{"type":"Polygon","coordinates":[[[7,%f],[7.0001,%f],[7.0001,%f],[7,%f],[7,%f]]]}}`,
			c.lat-0.00005, c.lat-0.00005, c.lat+0.00005, c.lat+0.00005, c.lat-0.00005)
		got, err := GeoJSON([]byte(text))
		if err != nil || got.Unit != "degrees" || got.Outlines[0].Layer != "porch" {
			t.Fatal(err, got)
		}
		r := got.Outlines[0].Ring
		near(t, "east", r.Edge(0).Length(), c.east*0.0001, 0.0012)
		near(t, "north", r.Edge(1).Length(), c.north*0.0001, 0.0012)
	}
	got, err := GeoJSON([]byte(`{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"MultiPolygon","coordinates":[[[[500000,100],[500006,100],[500006,104],[500000,104],[500000,100]],[[500001,101],[500002,101],[500002,102],[500001,102],[500001,101]]]]}},{"type":"Feature","geometry":{"type":"Point","coordinates":[1,2]}}]}`))
	if err != nil || got.Unit != "m" || len(got.Outlines) != 1 || len(got.Outlines[0].Openings) != 1 || len(got.Left) != 1 {
		t.Fatalf("%v %+v", err, got)
	}
	near(t, "area", got.Outlines[0].Ring.Area(), 24, 1e-9)
	for text, says := range map[string]string{"{": "no GeoJSON", `{"type":"Polygon","coordinates":[[[1]]]}`: "no two coordinates", `{"type":"Polygon","coordinates":7}`: "no list of rings",
		`{"type":"Point"}`: "no closed outline"} {
		if _, err := GeoJSON([]byte(text)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", text, err)
		}
	}
}

func TestListsOfPointsAndLengths(t *testing.T) {
	got, err := Points(strings.NewReader("corner,x,y\nA,0,0\nB,7200,0\nC,7200,3200\nD,0,3200\nA,0,0\n"), "mm")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "area", got.Outlines[0].Ring.Area(), 7.2*3.2, 1e-9)
	if got, err = Points(strings.NewReader("0;0\n7,2;0\n7,2;3,2\n0;3,2\n"), "m"); err != nil {
		t.Fatal(err)
	}
	near(t, "area", got.Outlines[0].Ring.Area(), 7.2*3.2, 1e-9)
	list := "from,to,length\nP,Q,7.2\nQ,R,3.2\nR,S,7.2\nS,P,3.2\nP,R,7.879\nnail,S,1.5\n"
	if !Taped([]byte(list)) || Taped([]byte("A,0,0\n")) {
		t.Error("lengths and points are not told apart")
	}
	walk, more, err := Lengths(strings.NewReader(list), "m")
	if err != nil || walk.String() != "7.2 free 3.2 free 7.2 free 3.2" || len(more) != 2 || more[0].From != "A" || more[0].To != "C" || more[1].From != "nail" {
		t.Errorf("%v %v %v", walk, more, err)
	}
	for text, says := range map[string]string{"P,Q,7.2\nR,S,1\n": "line 2", "P,Q,7.2\nQ,R,3\n": "come round", "P,Q,-1\n": "no length", "P,Q\n1,2,3,4\n": "line 2"} {
		if _, _, err := Lengths(strings.NewReader(text), "m"); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v", text, err)
		}
	}
	for text, says := range map[string]string{"0,0\n1\n": "line 2", "0,0\n1,x\n": "line 2", "0,0\n1,1\n": "no closed outline"} {
		if _, err := Points(strings.NewReader(text), "m"); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v", text, err)
		}
	}
	if _, err := Points(strings.NewReader("0,0\n"), ""); err == nil {
		t.Error("no unit")
	}
}

func FuzzDXF(f *testing.F) {
	f.Add(string(drawn("", line(0, 0, 3, 0), line(3, 0, 3, 3), line(3, 3, 0, 0))))
	f.Add("0\nSECTION\n2\nENTITIES\n0\nPOLYLINE\n70\n1\n0\nVERTEX\n10\n1\n20\n2\n42\n1e9\n0\nSEQEND\n0\nENDSEC\n")
	f.Fuzz(func(t *testing.T, text string) {
		got, err := DXF([]byte(text), "m", "")
		if err != nil {
			return
		}
		for _, o := range got.Outlines {
			if a := o.Ring.SignedArea(); !(a > 0) {
				t.Errorf("area %g", a)
			}
		}
	})
}

func FuzzGeoJSON(f *testing.F) {
	f.Add(`{"type":"Polygon","coordinates":[[[7,50],[7.0001,50],[7.0001,50.0001],[7,50]]]}`)
	f.Fuzz(func(t *testing.T, text string) {
		if got, err := GeoJSON([]byte(text)); err == nil && len(got.Outlines) == 0 {
			t.Error("no outline and no error")
		}
	})
}
