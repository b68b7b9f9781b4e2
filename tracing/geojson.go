package tracing

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gelwright/plane"
)

// feature is any object of GeoJSON.
type feature struct {
	Type        string          `json:"type"`
	Name        string          `json:"name"`
	Features    []feature       `json:"features"`
	Geometry    *feature        `json:"geometry"`
	Geometries  []feature       `json:"geometries"`
	Coordinates json.RawMessage `json:"coordinates"`
	Properties  map[string]any  `json:"properties"`
}

// GeoJSON takes polygons (RFC 7946). Positions are degrees of longitude and latitude where all of them can be, and are laid flat about
// their middle; otherwise projected metres.
func GeoJSON(data []byte) (Traced, error) {
	var root feature
	if err := json.Unmarshal(data, &root); err != nil {
		return Traced{}, &Fault{lineOf(data, err), "this is no GeoJSON: " + err.Error(), "Save the outline as GeoJSON polygons"}
	}
	var c polygons
	c.take(&root, "")
	if c.fault != nil {
		return Traced{}, c.fault
	}
	unit := "m"
	if c.degrees() {
		unit = "degrees"
		c.flatten()
	}
	t, err := sorted(c.loops, nil, c.left)
	t.Unit = unit
	return t, err
}

// lineOf is where a fault of JSON stands.
func lineOf(data []byte, err error) int {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	at := int64(-1)
	if errors.As(err, &syntax) {
		at = syntax.Offset
	} else if errors.As(err, &kind) {
		at = kind.Offset
	}
	if at < 0 || at > int64(len(data)) {
		return 0
	}
	return 1 + strings.Count(string(data[:at]), "\n")
}

type polygons struct {
	loops []loop
	left  []Left
	fault *Fault
}

func (c *polygons) take(f *feature, name string) {
	if n, ok := f.Properties["name"].(string); ok && n != "" {
		name = n
	} else if f.Name != "" && name == "" {
		name = f.Name
	}
	switch f.Type {
	case "FeatureCollection":
		for i := range f.Features {
			c.take(&f.Features[i], name)
		}
	case "Feature":
		if f.Geometry != nil {
			c.take(f.Geometry, name)
		}
	case "GeometryCollection":
		for i := range f.Geometries {
			c.take(&f.Geometries[i], name)
		}
	case "Polygon":
		var rings [][][]float64
		if coordinates(c, f, "a Polygon has no list of rings", &rings) {
			c.rings(rings, name)
		}
	case "MultiPolygon":
		var list [][][][]float64
		if coordinates(c, f, "a MultiPolygon has no list of polygons", &list) {
			c.rings(slices.Concat(list...), name)
		}
	default:
		c.left = append(c.left, Left{0, fmt.Sprintf("a %.30s is no polygon", f.Type)})
	}
}

// coordinates reads those of a geometry; what is wrong is told.
func coordinates[T any](c *polygons, f *feature, wrong string, into *T) bool {
	if err := json.Unmarshal(f.Coordinates, into); err != nil {
		c.fault = &Fault{0, wrong, "Write coordinates as RFC 7946 has them"}
		return false
	}
	return true
}

func (c *polygons) rings(rings [][][]float64, name string) {
	for _, r := range rings {
		var ring plane.Ring
		for _, p := range r {
			if len(p) < 2 || math.Abs(p[0]) > 1e9 || math.Abs(p[1]) > 1e9 {
				c.fault = &Fault{0, "a position has no two coordinates", "Write [x, y]"}
				return
			}
			ring = append(ring, plane.Vertex{Point: plane.Point{X: p[0], Y: p[1]}})
		}
		if n := len(ring); n > 1 && ring[0] == ring[n-1] {
			ring = ring[:n-1]
		}
		c.loops = append(c.loops, loop{ring: ring, layer: name, line: len(c.loops) + 1})
	}
}

// degrees reports whether every position can be longitude and latitude and none is further than a roof reaches from the others: a roof
// in metres spans more than a degree, one in degrees far less.
func (c *polygons) degrees() bool {
	low, high := c.bounds()
	return low.X >= -180 && high.X <= 180 && low.Y >= -90 && high.Y <= 90 && high.X-low.X < 0.1 && high.Y-low.Y < 0.1
}

func (c *polygons) bounds() (low, high plane.Point) {
	low, high = plane.Point{X: math.Inf(1), Y: math.Inf(1)}, plane.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, l := range c.loops {
		for _, v := range l.ring {
			low.X, low.Y = min(low.X, v.X), min(low.Y, v.Y)
			high.X, high.Y = max(high.X, v.X), max(high.Y, v.Y)
		}
	}
	return low, high
}

// flatten lays degrees flat about their middle by the radii of curvature of the ellipsoid of WGS 84 (a = 6 378 137 m,
// f = 1/298.257 223 563): over a roof the plane errs by less than a tenth of a millimetre.
func (c *polygons) flatten() {
	const a, f = 6378137.0, 1 / 298.257223563
	const e2 = f * (2 - f)
	low, high := c.bounds()
	middle := low.Add(high).Scale(0.5)
	sin, cos := math.Sincos(middle.Y * math.Pi / 180)
	w := math.Sqrt(1 - e2*sin*sin)
	east, north := a/w*cos*math.Pi/180, a*(1-e2)/(w*w*w)*math.Pi/180
	for _, l := range c.loops {
		for i := range l.ring {
			p := l.ring[i].Point.Sub(middle)
			l.ring[i].Point = plane.Point{X: p.X * east, Y: p.Y * north}
		}
	}
}
