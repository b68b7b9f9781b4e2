package rooffile

import (
	"fmt"

	"gelwright/internal/form"
	"gelwright/plane"
)

var coordinate = form.Range{Unit: "m", Min: -2000, Max: 2000, Measure: metre}

// readPoint reads [x, y].
func readPoint(v form.Value) (plane.Point, bool) {
	p, _, ok := readCorner(v, false)
	return p, ok
}

// readCorner reads [x, y], or [x, y, bulge] where that is allowed.
func readCorner(v form.Value, bulge bool) (p plane.Point, b float64, ok bool) {
	if !v.IsList() {
		v.Fault("type.point", "a point is wanted", "Write [x, y] in metres")
		return p, 0, false
	}
	xy := v.Items("coordinates")
	if len(xy) != 2 && (!bulge || len(xy) != 3) {
		v.Fault("type.point", fmt.Sprintf("a point has two coordinates, and here are %d", len(xy)), "Write [x, y] in metres")
		return p, 0, false
	}
	x, okX := xy[0].Number(coordinate)
	y, okY := xy[1].Number(coordinate)
	okB := true
	if len(xy) == 3 {
		b, okB = xy[2].Number(form.Range{Min: -10, Max: 10})
	}
	return plane.Point{X: x, Y: y}, b, okX && okY && okB
}

func writePoint(p plane.Point) any { return []any{p.X, p.Y} }

func pointSchema() form.Schema {
	return form.Schema{"type": "array", "items": form.NumberSchema(coordinate), "minItems": 2, "maxItems": 2,
		"description": "[x, y] in metres, x east and y north.", "examples": []any{[]any{1.2, 3.9}}}
}

func cornerSchema() form.Schema {
	s := pointSchema()
	s["maxItems"], s["description"] = 3, "[x, y] in metres; a third number is the bulge of the edge that leaves the corner."
	return s
}

// pointField is a field of one point that is read into at.
func pointField[T any](name, doc string, at func(*T) *plane.Point) form.Field[T] {
	s := pointSchema()
	s["description"] = doc + " [x, y] in metres."
	return form.Field[T]{Name: name, Schema: s,
		Read: func(v form.Value, t *T) {
			if p, ok := readPoint(v); ok {
				*at(t) = p
			}
		},
		Write: func(t *T, path string, o form.Omit) any {
			if p := *at(t); !o.Defaulted[path] && (p != plane.Point{} || o.Keep[path]) {
				return writePoint(p)
			}
			return nil
		}}
}

// cornerItem is a corner of a list, with its bulge when there is one.
var cornerItem = form.Item[plane.Vertex]{What: "corners", Schema: cornerSchema(),
	Read: func(v form.Value) (plane.Vertex, bool) {
		p, b, ok := readCorner(v, true)
		return plane.Vertex{Point: p, Bulge: b}, ok
	},
	Write: func(v *plane.Vertex, _ string, _ form.Omit) any {
		if v.Bulge != 0 {
			return []any{v.X, v.Y, v.Bulge}
		}
		return []any{v.X, v.Y}
	}}

// ringItem is a list of corners.
var ringItem = form.Item[plane.Ring]{What: "outlines", Schema: form.Schema{"type": "array", "items": cornerSchema(), "minItems": 2,
	"maxItems": maxCorners, "description": "Corners in order."},
	Read: func(v form.Value) (plane.Ring, bool) { return readRing(v) },
	Write: func(r *plane.Ring, path string, o form.Omit) any {
		out := make([]any, len(*r))
		for i := range *r {
			out[i] = cornerItem.Write(&(*r)[i], path, o)
		}
		return out
	}}

const maxCorners = 500

// readRing reads a list of corners with optional bulges and turns it anticlockwise.
func readRing(v form.Value) (plane.Ring, bool) {
	var r plane.Ring
	all := true
	items := v.Items("corners")
	if len(items) > maxCorners {
		v.Fault("list.long", fmt.Sprintf("there are %d corners, more than %d", len(items), maxCorners), "Use arcs for curves")
		return nil, false
	}
	for i, x := range items {
		c, ok := cornerItem.Read(x.Named(join(v.Where(), fmt.Sprintf("corner %d", i+1))))
		r, all = append(r, c), all && ok
	}
	if !all {
		return nil, false
	}
	if len(r) < 2 || len(r) == 2 && r[0].Bulge == 0 && r[1].Bulge == 0 {
		v.Fault("outline.corners", fmt.Sprintf("%d corners make no outline", len(r)), "Give three corners at least")
		return nil, false
	}
	if r.SignedArea() < 0 {
		r = r.Reversed()
	}
	return r, true
}

func join(where, piece string) string {
	if where == "" {
		return piece
	}
	return where + ", " + piece
}

// lineItem is a line of two points.
var lineItem = form.Item[[2]plane.Point]{What: "lines", Schema: lineSchema(),
	Read: func(v form.Value) ([2]plane.Point, bool) {
		var line [2]plane.Point
		ends := v.Items("points")
		if len(ends) != 2 {
			v.Fault("type.line", fmt.Sprintf("a line has two ends, and here are %d", len(ends)), "Write [[x, y], [x, y]] in metres")
			return line, false
		}
		a, okA := readPoint(ends[0])
		b, okB := readPoint(ends[1])
		return [2]plane.Point{a, b}, okA && okB
	},
	Write: func(l *[2]plane.Point, _ string, _ form.Omit) any {
		return []any{writePoint(l[0]), writePoint(l[1])}
	}}

func lineSchema() form.Schema {
	return form.Schema{"type": "array", "items": pointSchema(), "minItems": 2, "maxItems": 2, "description": "[[x, y], [x, y]] in metres.",
		"examples": []any{[]any{[]any{0, 10}, []any{30, 10}}}}
}
