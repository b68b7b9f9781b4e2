package rooffile

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gelwright/internal/form"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/survey"
)

// taped is the survey of an outline as it is written.
type taped struct {
	walk      string
	measured  []reading
	tolerance survey.Tolerance
	frame     survey.Frame
	walkAt    form.Value
}

// reading is one thing measured besides the walk, as it is written.
type reading struct {
	from, to, at  string
	line          []string
	lengthM       *float64
	alongM, leftM *float64
	insideDeg     *float64
	tolerance     float64
	value         form.Value
}

const mostReadings = 300

var readingTable = &form.Object[reading]{Doc: "One thing measured besides the sides: a length from corner to corner (or to " +
	"a nail), a corner by " +
	"its length along a line and its offset from it, or the angle inside a corner.",
	Fields: []form.Field[reading]{
		form.Text("from", "Where a length begins: a corner's letter, or a name for a nail.", func(r *reading) *string { return &r.from }, "A"),
		form.Text("to", "Where it ends.", func(r *reading) *string { return &r.to }, "C"),
		form.OptionalNumber("length_m", "The length.", span("m", 0.01, 500), func(r *reading) **float64 { return &r.lengthM }, 7.88),
		form.List("line", "The two corners of the line that an offset is taken from.", 2, form.TextItem("corners"),
			func(r *reading) *[]string { return &r.line }, []any{"A", "B"}),
		form.Text("at", "The corner that an offset or an angle is taken at.", func(r *reading) *string { return &r.at }, "D"),
		form.OptionalNumber("along_m", "How far along the line, from its first corner, the offset stands.", span("m", -500, 500),
			func(r *reading) **float64 { return &r.alongM }, 0.4),
		form.OptionalNumber("left_m", "How far to the left of the line, looking along it; to the right it is negative.", span("m", -500, 500),
			func(r *reading) **float64 { return &r.leftM }, 3.5),
		form.OptionalNumber("inside_deg", "The angle inside a corner of the outline.", span("", 1, 359),
			func(r *reading) **float64 { return &r.insideDeg }, 93.5),
		form.Number("tolerance_mm", "What two of three such readings keep, where this one is better or worse than the others.",
			span("mm", 0.1, 1000),
			func(r *reading) *float64 { return &r.tolerance }, 3),
	}}

var toleranceTable = &form.Object[survey.Tolerance]{Doc: "What two of three readings keep. Left out: 2 mm and 0.2 mm a " +
	"metre, square corners to 0.3°, " +
	"measured ones to 0.5° (common practice, no source).",
	Fields: []form.Field[survey.Tolerance]{
		scaled(form.Number("length_mm", "Of any length.", span("mm", 0.1, 200), func(t *survey.Tolerance) *float64 { return &t.LengthM }, 2),
			func(t *survey.Tolerance) *float64 { return &t.LengthM }),
		scaled(form.Number("per_m_mm", "And besides for each metre of it.", span("mm", 0, 50),
			func(t *survey.Tolerance) *float64 { return &t.LengthPerM }, 0.2), func(t *survey.Tolerance) *float64 { return &t.LengthPerM }),
		form.Number("square_deg", "Of a corner that looks square.", span("", 0.01, 10),
			func(t *survey.Tolerance) *float64 { return &t.SquareDeg }, 0.3),
		form.Number("angle_deg", "Of an angle that was measured.", span("", 0.01, 10),
			func(t *survey.Tolerance) *float64 { return &t.AngleDeg }, 0.5),
	}}

// scaled keeps in metres what is written in millimetres.
func scaled(f form.Field[survey.Tolerance], at func(*survey.Tolerance) *float64) form.Field[survey.Tolerance] {
	read, write := f.Read, f.Write
	f.Read = func(v form.Value, t *survey.Tolerance) {
		*at(t) *= 1000
		read(v, t)
		*at(t) /= 1000
	}
	f.Write = func(t *survey.Tolerance, path string, o form.Omit) any {
		c := *t
		*at(&c) = math.Round(*at(&c)*1e9) / 1e6
		return write(&c, path, o)
	}
	return f
}

var tapedTable = &form.Object[taped]{Doc: "The outline as the tape gave it, in place of its corners: the walk round it, diagonals and " +
	"offsets. The " +
	"corners are called A, B, C … in the order of the walk; the outline is the one that fits all of it best.",
	Fields: []form.Field[taped]{
		{Name: "walk", Required: true, Schema: form.Schema{"type": "string", "description": "The sides and turns as they are called " +
			"out, once round " +
			"and either way: lengths in metres (? for a side that cannot be reached), left and right for corners that look square, left 45° for " +
			"others, left free where only the side is known.", "examples": []any{"7.20 left 3.20 left 4.00 right 2.40 left 3.20 left 5.60 left"}},
			Read: func(v form.Value, t *taped) {
				t.walkAt = v
				if s, ok := v.Text(); ok {
					t.walk = s
				}
			},
			Write: func(t *taped, _ string, _ form.Omit) any { return t.walk }},
		form.List("measured", "What was measured besides.", mostReadings, form.Item[reading]{What: "readings", Schema: readingTable.Schema(),
			Read: func(v form.Value) (reading, bool) {
				r := reading{value: v}
				readingTable.Read(v, &r)
				return r, true
			},
			Write: func(r *reading, path string, o form.Omit) any { return readingTable.Write(r, path, o) }},
			func(t *taped) *[]reading { return &t.measured }),
		{Name: "tolerance", Schema: toleranceTable.Schema(),
			Read: func(v form.Value, t *taped) {
				t.tolerance = survey.Usual()
				toleranceTable.Read(v, &t.tolerance)
			},
			Write: func(t *taped, path string, o form.Omit) any {
				if t.tolerance == survey.Usual() {
					return nil
				}
				return toleranceTable.Write(&t.tolerance, path, o)
			}},
		pointField("start", "Where corner A lies on the drawing; left out, at [0, 0].", func(t *taped) *plane.Point { return &t.frame.Start }),
		form.Number("bearing_deg", "Direction of the side A–B, degrees anticlockwise from +x.", span("", -360, 360),
			func(t *taped) *float64 { return &t.frame.BearingDeg }, 0),
	}}

// drawnOrTaped puts the corners of a taped outline in the place of drawn ones; false where there is no outline.
func (d *deck) drawnOrTaped() bool {
	switch {
	case d.outline.Exists() && d.taped != nil:
		d.tapedAt.Fault("outline.twice", "the deck has both an outline and a survey", "Keep the survey, which gives the outline, or the outline")
		return false
	case d.outline.Exists():
		return true
	case d.taped == nil:
		d.value.Fault("field.missing", `field "outline" is missing, and no survey stands in its place`,
			`Add "outline: [[0, 0], [3.2, 0], [3.2, 5.6], [0, 5.6]]", or "survey: {walk: 3.20 left 5.60 left 3.20 left 5.60 left}"`)
		return false
	}
	d.outline = d.tapedAt
	s := d.taped.survey()
	if s == nil {
		return false
	}
	d.Survey = s
	for _, p := range s.Result.Outline() {
		d.corners = append(d.corners, plane.Vertex{Point: p})
	}
	if message, remedy := s.Result.Trouble(); message != "" {
		d.taped.walkAt.Fault("survey.open", message, remedy+"; gelwright survey shows the whole")
		return false
	}
	return true
}

// survey adjusts what is written; nil where it cannot be, which is told.
func (t *taped) survey() *roof.Survey {
	if t.walk == "" {
		return nil
	}
	walk, err := survey.Called(t.walk)
	if err != nil {
		t.walkAt.Fault("survey.walk", err.Error(), "Call the sides and turns once round: 7.20 left 3.20 left …")
		return nil
	}
	if t.tolerance == (survey.Tolerance{}) {
		t.tolerance = survey.Usual()
	}
	s := &roof.Survey{Walk: walk.String(), Tolerance: t.tolerance, Frame: t.frame}
	var at []form.Value
	for i := range t.measured {
		list, ok := t.measured[i].measurements(walk, t.tolerance)
		if !ok {
			return nil
		}
		for range list {
			at = append(at, t.measured[i].value)
		}
		s.Measured = append(s.Measured, list...)
	}
	if gap, known := walk.Gap(); known {
		s.GapM = &gap
	}
	n := survey.NetworkOf(walk, s.Measured, t.tolerance)
	// A survey has at most a few hundred readings: it takes no longer than the rest of the file.
	s.Result, err = survey.Adjust(context.Background(), n, t.tolerance, t.frame)
	var f *survey.Fault
	if errors.As(err, &f) {
		place := t.walkAt
		if own := len(n.Measurements) - len(s.Measured); f.Measurement >= own {
			place = at[f.Measurement-own]
		}
		place.Fault("survey.loose", f.Message, f.Remedy)
		return nil
	}
	return s
}

// measurements are what a reading says, one or two; ok is false where it says nothing, or too much.
func (r *reading) measurements(w survey.Walk, t survey.Tolerance) (list []survey.Measurement, ok bool) {
	length, offset, angle := r.lengthM != nil, r.alongM != nil || r.leftM != nil, r.insideDeg != nil
	if kinds := one(length) + one(offset) + one(angle); kinds != 1 {
		r.value.Fault("survey.reading", "a reading is a length_m, an offset (along_m, left_m) or an angle (inside_deg), one of them",
			"Write {from: A, to: C, length_m: 7.88}, {at: D, line: [A, B], along_m: 0.4, left_m: 3.5} or {at: B, inside_deg: 93}")
		return nil, false
	}
	switch {
	case length:
		list = r.length(t)
	case offset:
		list = r.offset(t)
	default:
		list = r.angle(w, t)
	}
	return list, list != nil
}

func one(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (r *reading) sd(valueM float64, t survey.Tolerance) float64 {
	if r.tolerance > 0 {
		return r.tolerance / 1000
	}
	return t.Of(valueM)
}

func (r *reading) length(t survey.Tolerance) []survey.Measurement {
	if r.from == "" || r.to == "" {
		r.value.Fault("survey.reading", "a length has no two ends", "Name them: {from: A, to: C, length_m: 7.88}")
		return nil
	}
	return []survey.Measurement{{Kind: survey.Length, From: r.from, To: r.to, Value: *r.lengthM, SD: r.sd(*r.lengthM, t)}}
}

func (r *reading) offset(t survey.Tolerance) []survey.Measurement {
	if r.at == "" || len(r.line) != 2 {
		r.value.Fault("survey.reading", "an offset needs the corner it is taken at and its line",
			"Write {at: D, line: [A, B], along_m: 0.4, left_m: 3.5}")
		return nil
	}
	var list []survey.Measurement
	add := func(k survey.Kind, x *float64) {
		if x != nil {
			list = append(list, survey.Measurement{Kind: k, From: r.line[0], To: r.line[1], At: r.at, Value: *x, SD: r.sd(*x, t)})
		}
	}
	add(survey.Along, r.alongM)
	add(survey.Offset, r.leftM)
	return list
}

func (r *reading) angle(w survey.Walk, t survey.Tolerance) []survey.Measurement {
	names := w.Names()
	i := slices.Index(names, r.at)
	if i < 0 {
		r.value.Fault("survey.reading", fmt.Sprintf("there is no corner %q", r.at), "The corners are "+strings.Join(names, ", "))
		return nil
	}
	n := len(names)
	value := *r.insideDeg
	if w.Clockwise() {
		value = 360 - value
	}
	return []survey.Measurement{{Kind: survey.Angle, At: r.at, From: names[(i+1)%n], To: names[(i+n-1)%n], Value: value, SD: t.AngleDeg}}
}

// tapedOf is a survey as it is written.
func tapedOf(s *roof.Survey) *taped {
	if s == nil {
		return nil
	}
	t := &taped{walk: s.Walk, tolerance: s.Tolerance, frame: s.Frame}
	walk, err := survey.Called(s.Walk)
	clockwise := err == nil && walk.Clockwise()
	for i := 0; i < len(s.Measured); i++ {
		m := &s.Measured[i]
		r := reading{}
		usual := s.Tolerance.Of(m.Value)
		switch m.Kind {
		case survey.Length:
			r.from, r.to, r.lengthM = m.From, m.To, &m.Value
		case survey.Angle:
			inside := m.Value
			if clockwise {
				inside = 360 - inside
			}
			r.at, r.insideDeg, usual = m.At, &inside, m.SD
		case survey.Along:
			r.at, r.line, r.alongM = m.At, []string{m.From, m.To}, &m.Value
			if i+1 < len(s.Measured) && s.Measured[i+1].Kind == survey.Offset && s.Measured[i+1].At == m.At && s.Measured[i+1].From == m.From {
				i++
				r.leftM = &s.Measured[i].Value
			}
		case survey.Offset:
			r.at, r.line, r.leftM = m.At, []string{m.From, m.To}, &m.Value
		}
		if m.SD != usual {
			r.tolerance = math.Round(m.SD*1e9) / 1e6
		}
		t.measured = append(t.measured, r)
	}
	return t
}
