package rooffile

import (
	"fmt"
	"math"

	"gelwright/internal/form"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/unit"
)

var metre = &unit.Metre

// edge is an edge as it is written: its condition and, for a curve, its arc.
type edge struct {
	roof.Edge
	arc   *arc
	value form.Value
}

// arc is a curve as it is written: one of four ways.
type arc struct {
	radiusM, riseM, bulge float64
	through               plane.Point
	inward                bool
	given                 []string
	value                 form.Value
}

// way wraps a field so that the arc remembers which way it was given.
func way(f form.Field[arc]) form.Field[arc] {
	read := f.Read
	f.Read = func(v form.Value, a *arc) {
		read(v, a)
		a.given = append(a.given, f.Name)
	}
	return f
}

var arcTable = &form.Object[arc]{Doc: "A curved edge, given one way: radius_m, rise_m, bulge or through.", Fields: []form.Field[arc]{
	way(form.Number("radius_m", "Radius; the smaller arc of the two is meant.", span("m", 0.05, 2000),
		func(a *arc) *float64 { return &a.radiusM }, 1.5)),
	way(form.Number("rise_m", "How far the arc stands off its chord at the middle (sagitta).", span("m", 0.001, 500),
		func(a *arc) *float64 { return &a.riseM }, 0.6)),
	way(form.Number("bulge", "Rise over half the chord, as drawing exchange files have it; negative curves inward.", span("", -10, 10),
		func(a *arc) *float64 { return &a.bulge }, 0.5)),
	way(pointField("through", "A point that the arc passes through.", func(a *arc) *plane.Point { return &a.through })),
	form.YesNo("inward", "The arc curves into the roof, not out of it.", func(a *arc) *bool { return &a.inward }),
}}

var thresholdTable = &form.Object[roof.Threshold]{Doc: "A door sill along the edge; distances run along the edge from its first corner.",
	Fields: []form.Field[roof.Threshold]{
		form.Number("from_m", "Start along the edge.", span("m", 0, 2000), func(t *roof.Threshold) *float64 { return &t.FromM }, 1.5),
		form.Number("to_m", "End along the edge.", span("m", 0, 2000), func(t *roof.Threshold) *float64 { return &t.ToM }, 2.4).Need(),
		form.Number("upstand_mm", "Height of the sill above the finished deck.", span("mm", 0, 1000),
			func(t *roof.Threshold) *float64 { return &t.UpstandMM }, 150).Need(),
	}}

var edgeTable = &form.Object[edge]{Doc: "An edge that needs more than its condition.", Fields: edgeFields()}

// conditions is how the words of an edge are explained to an editor.
var conditions = roof.Conditions()

func edgeFields() []form.Field[edge] {
	return []form.Field[edge]{
		form.Word("condition", "What happens at the edge: drip to a gutter, verge, kerb (raised), wall, parapet, tuck under tiles, box "+
			"gutter, step up or step down to another deck, joins an existing laminate.", conditions,
			func(e *edge) *roof.Condition { return &e.Condition }).Need(),
		{Name: "arc", Schema: arcTable.Schema(),
			Read: func(v form.Value, e *edge) {
				e.arc = &arc{value: v}
				arcTable.Read(v, e.arc)
			},
			Write: func(e *edge, path string, o form.Omit) any {
				if e.arc == nil {
					return nil
				}
				return arcTable.Write(e.arc, path, o)
			}},
		form.Number("height_mm", "Height of the upstand, or of the raised trim, above the finished deck.", span("mm", 0, 3000),
			func(e *edge) *float64 { return &e.HeightMM }, 150),
		form.Number("width_mm", "Width of a kerb's or parapet's top that is laminated over.", span("mm", 0, 2000),
			func(e *edge) *float64 { return &e.WidthMM }, 215),
		form.Text("to", "Name of the deck on the other side of a step or box gutter.", func(e *edge) *string { return &e.To }, "lower"),
		form.List("thresholds", "Door sills along the edge.", 50, form.ObjectItem("thresholds", thresholdTable),
			func(e *edge) *[]roof.Threshold { return &e.Thresholds }),
		form.Number("limit_mm", "Height above the present surface of what limits the upstand: a sill, a weep hole, a cavity tray.",
			span("mm", 0, 3000), func(e *edge) *float64 { return &e.LimitMM }, 165),
		form.Word("cavity_tray", "Is there a cavity tray above? Leave out when nobody has looked.", []string{"yes", "no"},
			func(e *edge) *string { return &e.CavityTray }),
		form.YesNo("shared", "A party wall or a neighbour's parapet.", func(e *edge) *bool { return &e.Shared }),
		form.Remark("note", "A remark.", func(e *edge) *string { return &e.Note }, "fascia out of line by 15 mm"),
	}
}

// edgeItem is an edge of the list: a bare word, or a group of fields.
var edgeItem = form.Item[edge]{What: "edges",
	Schema: form.Schema{"description": "The edge from this corner to the next: a word, or fields.", "anyOf": []any{
		form.Schema{"enum": words(conditions)}, edgeTable.Schema()}},
	Read: func(v form.Value) (edge, bool) {
		e := edge{value: v}
		if v.IsMapping() {
			edgeTable.Read(v, &e)
			return e, true
		}
		w, ok := form.ReadWord(v, conditions)
		e.Condition = w
		if !ok {
			// The entry counts as an edge, so that the next ones keep their numbers.
			e.Condition = ""
		}
		return e, true
	},
	Write: func(e *edge, path string, o form.Omit) any {
		m := edgeTable.Write(e, path, o)
		if len(m) == 1 {
			return string(e.Condition)
		}
		return m
	}}

func words(list []roof.Condition) []any {
	out := make([]any, len(list))
	for i, c := range list {
		out[i] = string(c)
	}
	return out
}

// bulgeOf returns the arc's bulge on an edge from a to b, positive to the right of
// the way. outward is 1 on an anticlockwise outline, where the right is outside,
// and −1 on a clockwise one.
func (c *arc) bulgeOf(a, b plane.Point, outward float64) (float64, bool) {
	if len(c.given) != 1 {
		c.value.Fault("arc.ways", fmt.Sprintf("the arc is given in %d ways", len(c.given)), "Give one of radius_m, rise_m, bulge, through")
		return 0, false
	}
	half := a.Distance(b) / 2
	if half == 0 {
		return 0, false
	}
	bulge := 0.0
	switch c.given[0] {
	case "bulge":
		bulge = c.bulge
	case "rise_m":
		bulge = c.riseM / half
	case "radius_m":
		if c.radiusM < half*(1-1e-9) {
			c.value.Fault("arc.radius", fmt.Sprintf("a radius of %.3f m cannot span a chord of %.3f m", c.radiusM, 2*half),
				fmt.Sprintf("The radius must be %.3f m or more; measure the rise instead and give rise_m", half))
			return 0, false
		}
		bulge = (c.radiusM - math.Sqrt(max(0, c.radiusM*c.radiusM-half*half))) / half
	case "through":
		return c.bulgeThrough(a, b)
	}
	if math.Abs(bulge) > 10 || bulge == 0 {
		c.value.Fault("arc.bulge", "the arc is straight, or nearly a whole circle",
			"Check the rise against the chord; leave arc out of a straight edge")
		return 0, false
	}
	if c.inward {
		bulge = -bulge
	}
	return bulge * outward, true
}

// bulgeThrough finds the arc from a to b through a third point: the angle that the
// chord subtends there is half the arc outside (Euclid, Elements III.20).
func (c *arc) bulgeThrough(a, b plane.Point) (float64, bool) {
	p, q := a.Sub(c.through), b.Sub(c.through)
	turn := math.Atan2(p.Cross(q), p.Dot(q))
	if p.Length() < 1e-6 || q.Length() < 1e-6 || math.Abs(math.Sin(turn)) < 1e-9 {
		c.value.Fault("arc.through", "no arc passes through that point and both corners",
			"Measure a point near the middle of the curve, off the chord")
		return 0, false
	}
	// On a half circle the chord is seen under 90°, which is bulge 1.
	bulge := math.Tan((math.Pi - math.Abs(turn)) / 2)
	if turn > 0 {
		bulge = -bulge
	}
	return bulge, math.Abs(bulge) <= 10
}
