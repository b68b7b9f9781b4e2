package rooffile

import (
	"fmt"
	"math"

	"gelwright/internal/form"
	"gelwright/plane"
	"gelwright/roof"
)

// hole is an opening as it is written: a rectangle by two corners, a circle by
// centre and diameter, or its corners.
type hole struct {
	roof.Opening
	from, to, centre *plane.Point
	diameterM        float64
	corners          plane.Ring
}

// optionalPoint is a field of a point that may be left out.
func optionalPoint(name, doc string, at func(*hole) **plane.Point) form.Field[hole] {
	var held plane.Point
	f := pointField(name, doc, func(*hole) *plane.Point { return &held })
	f.Read = func(v form.Value, h *hole) {
		if p, ok := readPoint(v); ok {
			*at(h) = &p
		}
	}
	f.Write = func(h *hole, _ string, _ form.Omit) any {
		if p := *at(h); p != nil {
			return writePoint(*p)
		}
		return nil
	}
	return f
}

var openingTable = &form.Object[hole]{Doc: "A hole in the deck with a kerb: from and to, or centre and diameter_m, or corners.",
	Fields: []form.Field[hole]{
		form.Text("name", "Its name.", func(h *hole) *string { return &h.Name }, "RL1"),
		form.Word("kind", "What it is.", opening, func(h *hole) *string { return &h.Kind }).Elsewhere(passing),
		optionalPoint("from", "One corner of a rectangle.", func(h *hole) **plane.Point { return &h.from }),
		optionalPoint("to", "The opposite corner.", func(h *hole) **plane.Point { return &h.to }),
		optionalPoint("centre", "Middle of a round one.", func(h *hole) **plane.Point { return &h.centre }),
		form.Number("diameter_m", "Diameter of a round one.", span("m", 0.02, 50), func(h *hole) *float64 { return &h.diameterM }, 0.9),
		{Name: "corners", Schema: ringItem.Schema,
			Read: func(v form.Value, h *hole) {
				if r, ok := readRing(v); ok {
					h.corners = r
				}
			},
			Write: func(h *hole, path string, o form.Omit) any {
				if len(h.corners) == 0 {
					return nil
				}
				return ringItem.Write(&h.corners, path, o)
			}},
		form.Number("kerb_mm", "Height of the kerb above the finished roof.", span("mm", 0, 3000), func(h *hole) *float64 { return &h.KerbMM },
			150),
		form.YesNo("fragile", "Breaks under a foot: covered and marked before anyone goes up.", func(h *hole) *bool { return &h.Fragile }),
	}}

// readOpenings reads the openings of a deck.
func readOpenings(v form.Value) []roof.Opening {
	items, names := keyed(v, "openings", func(k string) string { return v.Path() + "[" + k + "]" },
		func(i, _ int) string { return fmt.Sprintf("opening %d", i+1) })
	if len(items) > 1000 {
		v.Fault("list.long", fmt.Sprintf("there are %d openings, more than 1000", len(items)), "Split the job")
		return nil
	}
	var out []roof.Opening
	for i, x := range items {
		h := hole{}
		x = x.Named(join(v.Where(), fmt.Sprintf("opening %q", names[i])))
		openingTable.Read(x, &h)
		h.Name = names[i]
		h.Outline = h.outline(x)
		if h.Outline != nil {
			out = append(out, h.Opening)
		}
	}
	return out
}

// outline makes the ring from whichever way it was given.
func (h *hole) outline(v form.Value) plane.Ring {
	ways := h.ways()
	switch {
	case ways == 0 && silent(v):
		v.Fault("opening.outline", "the opening does not say where it is",
			`Add "from: [1, 1]" and "to: [2, 2]", or "centre: [1.5, 1.5]" and "diameter_m: 0.6", or "corners: [[1, 1], [2, 1], [2, 2]]"`)
	case ways > 1:
		v.Fault("opening.outline", "the opening is given in more than one way", "Keep one: from and to, or centre and diameter_m, or corners")
	case h.from != nil && h.to != nil:
		return h.rectangle(v)
	case h.centre != nil && h.diameterM > 0:
		return plane.Circle(*h.centre, h.diameterM/2)
	case h.corners != nil:
		return h.corners
	case ways == 1:
		v.Fault("opening.outline", "half of the opening's place is missing", "Give from and to, or centre and diameter_m")
	}
	return nil
}

// ways counts in how many ways the place is given, wholly or in part.
func (h *hole) ways() int {
	ways := 0
	for _, w := range []bool{h.from != nil || h.to != nil, h.centre != nil || h.diameterM > 0, h.corners != nil} {
		if w {
			ways++
		}
	}
	return ways
}

// silent reports whether the file says nothing of an opening's place, not even what cannot be read.
func silent(v form.Value) bool {
	return v.IsMapping() && !v.Get("corners").Exists() && !v.Get("from").Exists() && !v.Get("centre").Exists()
}

// rectangle is the opening between two opposite corners.
func (h *hole) rectangle(v form.Value) plane.Ring {
	x0, x1 := math.Min(h.from.X, h.to.X), math.Max(h.from.X, h.to.X)
	y0, y1 := math.Min(h.from.Y, h.to.Y), math.Max(h.from.Y, h.to.Y)
	if x0 == x1 || y0 == y1 {
		v.Fault("opening.outline", "the opening has no width", "Give two opposite corners")
		return nil
	}
	return plane.Rectangle(x0, y0, x1, y1)
}

// writtenHole finds the shortest way to write an opening that reads back the same.
func writtenHole(o roof.Opening) hole {
	h := hole{Opening: o}
	r := o.Outline
	if len(r) == 4 {
		if p, q := r[0].Point, r[2].Point; same(r, plane.Rectangle(p.X, p.Y, q.X, q.Y)) && p.X < q.X && p.Y < q.Y {
			h.from, h.to = &p, &q
			return h
		}
	}
	if len(r) == 2 {
		c, d := r[0].Add(r[1].Point).Scale(0.5), r[1].X-r[0].X
		for _, places := range []float64{1e6, 1e9, 0} {
			if places > 0 {
				c, d = plane.Point{X: math.Round(c.X*places) / places, Y: math.Round(c.Y*places) / places}, math.Round(d*places)/places
			}
			if same(r, plane.Circle(c, d/2)) {
				h.centre, h.diameterM = &c, d
				return h
			}
		}
	}
	h.corners = r
	return h
}

func same(a, b plane.Ring) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// readPenetrations reads the penetrations of a deck.
func readPenetrations(v form.Value) []roof.Penetration {
	items, names := keyed(v, "penetrations", func(k string) string { return v.Path() + "[" + k + "]" },
		func(i, _ int) string { return fmt.Sprintf("penetration %d", i+1) })
	if len(items) > 1000 {
		v.Fault("list.long", fmt.Sprintf("there are %d penetrations, more than 1000", len(items)), "Split the job")
		return nil
	}
	out := make([]roof.Penetration, len(items))
	for i, x := range items {
		penetrationTable.Read(x.Named(join(v.Where(), fmt.Sprintf("penetration %q", names[i]))), &out[i])
		out[i].Name = names[i]
	}
	return out
}
