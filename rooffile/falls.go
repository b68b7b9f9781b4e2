package rooffile

import (
	"fmt"

	"gelwright/internal/form"
	"gelwright/plane"
)

// fall is the fall as it is written.
type fall struct {
	kind        plane.FallKind
	down        plane.FallPlane
	line        [][2]plane.Point
	left, right *plane.FallPlane
	toPoint     *plane.Point
}

// direction is a compass word and where it points on plan.
type direction struct {
	word string
	down plane.Point
}

var directions = []direction{
	{"north", plane.Point{X: 0, Y: 1}}, {"north-east", plane.Point{X: 1, Y: 1}}, {"east", plane.Point{X: 1, Y: 0}},
	{"south-east", plane.Point{X: 1, Y: -1}},
	{"south", plane.Point{X: 0, Y: -1}}, {"south-west", plane.Point{X: -1, Y: -1}}, {"west", plane.Point{X: -1, Y: 0}},
	{"north-west", plane.Point{X: -1, Y: 1}},
}

func directionWords() []string {
	out := make([]string, len(directions))
	for i, d := range directions {
		out[i] = d.word
	}
	return out
}

var ratio = form.Range{Min: 0, Max: 1000}

var planeTable = &form.Object[plane.FallPlane]{Doc: "One plane of a fall.", Fields: []form.Field[plane.FallPlane]{
	towardsField(func(p *plane.FallPlane) *plane.Point { return &p.Down }).Need(),
	form.Number("ratio", "The n of 1:n: 40 falls 25 mm in a metre.", ratio, func(p *plane.FallPlane) *float64 { return &p.Ratio }, 40).Need(),
}}

// towardsField reads a compass word or a vector that points downhill.
func towardsField[T any](at func(*T) *plane.Point) form.Field[T] {
	enum := make([]any, len(directions))
	for i, d := range directions {
		enum[i] = d.word
	}
	return form.Field[T]{Name: "towards", Schema: form.Schema{"description": "Downhill on the drawing: a word, where north is up, or [dx, " +
		"dy].", "anyOf": []any{form.Schema{"enum": enum}, pointSchema()}},
		Read: func(v form.Value, t *T) {
			if v.IsList() {
				p, ok := readPoint(v)
				if ok && p.Length() < 1e-9 {
					v.Fault("fall.direction", "[0, 0] points nowhere", "Write a direction, for example south or [0, -1]")
					return
				}
				if ok {
					*at(t) = p
				}
				return
			}
			w, ok := form.ReadWord(v, directionWords())
			for _, d := range directions {
				if ok && d.word == w {
					*at(t) = d.down
				}
			}
		},
		Write: func(t *T, _ string, _ form.Omit) any {
			p := *at(t)
			if p == (plane.Point{}) {
				return nil
			}
			for _, d := range directions {
				if d.down == p {
					return d.word
				}
			}
			return writePoint(p)
		}}
}

var fallKinds = []plane.FallKind{plane.OneWay, plane.Ridge, plane.Hip, plane.Valley, plane.ToPoint, plane.Level}

var fallTable = &form.Object[fall]{Doc: "Where the water runs: towards and ratio for one plane; kind, line, left and right for two; " +
	"to_point and ratio for an outlet.", Fields: []form.Field[fall]{
	form.Word("kind", "How the planes meet; one way when left out.", fallKinds, func(f *fall) *plane.FallKind { return &f.kind }),
	towardsField(func(f *fall) *plane.Point { return &f.down.Down }),
	form.Number("ratio", "The n of 1:n: 40 falls 25 mm in a metre.", form.Range{Min: 0, Max: 1000},
		func(f *fall) *float64 { return &f.down.Ratio }, 40),
	{Name: "line", Schema: lineSchema(),
		Read: func(v form.Value, f *fall) {
			if l, ok := lineItem.Read(v); ok {
				f.line = [][2]plane.Point{l}
			}
		},
		Write: func(f *fall, path string, o form.Omit) any {
			if len(f.line) == 0 {
				return nil
			}
			return lineItem.Write(&f.line[0], path, o)
		}},
	form.OptionalGroup("left", planeTable, func(f *fall) **plane.FallPlane { return &f.left }),
	form.OptionalGroup("right", planeTable, func(f *fall) **plane.FallPlane { return &f.right }),
	{Name: "to_point", Schema: pointSchema(),
		Read: func(v form.Value, f *fall) {
			if p, ok := readPoint(v); ok {
				f.toPoint = &p
			}
		},
		Write: func(f *fall, _ string, _ form.Omit) any {
			if f.toPoint == nil {
				return nil
			}
			return writePoint(*f.toPoint)
		}},
}}

// falls turns the fall as written into the one the engine knows.
func (f *fall) falls(v form.Value) plane.Falls {
	kind := f.kind
	if kind == "" {
		kind = plane.OneWay
		if f.toPoint != nil {
			kind = plane.ToPoint
		}
	}
	out := plane.Falls{Kind: kind}
	switch kind {
	case plane.Level:
	case plane.OneWay:
		if f.down.Down == (plane.Point{}) {
			v.Fault("fall.direction", "the fall does not say where the water runs", `Add "towards: south", or "towards: [0, -1]"`)
		}
		out.Planes = []plane.FallPlane{f.down}
	case plane.ToPoint:
		if f.toPoint == nil {
			v.Fault("fall.point", "the fall does not say which point the water runs to", `Add "to_point: [1.5, 2]"`)
			return out
		}
		out.Planes, out.Point = []plane.FallPlane{{Ratio: f.down.Ratio}}, *f.toPoint
	default:
		if len(f.line) == 0 {
			v.Fault("fall.line", fmt.Sprintf("the %s has no line", kind), `Add "line: [[0, 2], [3, 2]]"`)
			return out
		}
		out.Line = f.line[0]
		across := out.Line[1].Sub(out.Line[0]).Unit().Left()
		if kind == plane.Valley {
			across = across.Scale(-1)
		}
		out.Planes = []plane.FallPlane{f.side(f.left, across), f.side(f.right, across.Scale(-1))}
	}
	if kind != plane.ToPoint && f.toPoint != nil {
		v.Fault("fall.point", fmt.Sprintf("a fall of kind %q runs to no point", kind), "Leave to_point out, or leave kind out")
	}
	return out
}

// side returns a plane as written, or the one square to the line.
func (f *fall) side(given *plane.FallPlane, down plane.Point) plane.FallPlane {
	if given != nil {
		return *given
	}
	// Square lines give clean directions: no minus zero, no last-digit dust.
	return plane.FallPlane{Down: plane.Point{X: down.X + 0, Y: down.Y + 0}, Ratio: f.down.Ratio}
}

// written turns a fall back into what is written.
func written(x plane.Falls) *fall {
	f := &fall{kind: x.Kind}
	switch x.Kind {
	case plane.Level:
	case plane.ToPoint:
		f.kind, f.toPoint = "", &x.Point
		if len(x.Planes) > 0 {
			f.down.Ratio = x.Planes[0].Ratio
		}
	case plane.OneWay, "":
		f.kind = ""
		if len(x.Planes) > 0 {
			f.down = x.Planes[0]
		}
	default:
		f.line = [][2]plane.Point{x.Line}
		if len(x.Planes) == 2 {
			f.left, f.right = &x.Planes[0], &x.Planes[1]
		}
	}
	return f
}
