package tracing

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"gelwright/plane"
)

// pair is a group of a drawing exchange file: its code, its value, and the line of the value.
type pair struct {
	code  int
	value string
	line  int
}

func (p *pair) number() (float64, bool) {
	x, err := strconv.ParseFloat(strings.TrimSpace(p.value), 64)
	return x, err == nil && !math.IsNaN(x) && math.Abs(x) < 1e9
}

// pairs parts a file into groups.
func pairs(data []byte) ([]pair, error) {
	switch {
	case bytes.HasPrefix(data, []byte("AC10")):
		return nil, &Fault{1, "this is a drawing in a closed form", "Save it as DXF, text form"}
	case bytes.Contains(data[:min(len(data), 64)], []byte("Binary DXF")):
		return nil, &Fault{1, "this is a DXF in its binary form", "Save it as DXF, text form"}
	}
	var out []pair
	s := bufio.NewScanner(bytes.NewReader(data))
	s.Buffer(nil, 1<<20)
	for line := 1; s.Scan(); line += 2 {
		text := strings.TrimPrefix(strings.TrimSpace(s.Text()), "\ufeff")
		code, err := strconv.Atoi(text)
		if err != nil {
			if text == "" && !s.Scan() {
				break
			}
			return nil, &Fault{line, fmt.Sprintf("%.20q is no group code of a DXF", text), "Save the drawing as DXF, text form"}
		}
		if !s.Scan() {
			return nil, &Fault{line, "the file ends in the middle of a group", "Save it again; it was cut off"}
		}
		out = append(out, pair{code, strings.TrimRight(s.Text(), "\r"), line + 1})
	}
	if err := s.Err(); err != nil {
		return nil, &Fault{0, "a line is longer than a DXF may have", "Save the drawing as DXF, text form"}
	}
	return out, nil
}

// entity is one thing drawn: its kind and its groups.
type entity struct {
	kind   string
	groups []pair
	line   int
	// vertices of a POLYLINE.
	vertices []entity
}

func (e *entity) get(code int, otherwise float64) float64 {
	for i := range e.groups {
		if e.groups[i].code == code {
			if x, ok := e.groups[i].number(); ok {
				return x
			}
		}
	}
	return otherwise
}

func (e *entity) text(code int) string {
	for _, g := range e.groups {
		if g.code == code {
			return strings.TrimSpace(g.value)
		}
	}
	return ""
}

func (e *entity) flag(code, bit int) bool { return int(e.get(code, 0))&bit != 0 }

// metres are the units that a file may name in $INSUNITS (DXF reference, header variables), and those that may be asked for.
var metres = map[string]float64{"in": 0.0254, "ft": 0.3048, "mm": 0.001, "cm": 0.01, "m": 1}

var insunits = map[int]string{1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}

// Units are the words for a unit.
func Units() []string { return []string{"mm", "cm", "m", "in", "ft"} }

// drawing is a file parted into what is drawn and its blocks.
type drawing struct {
	unit     string
	entities []entity
	blocks   map[string]*block
}

type block struct {
	base     plane.Point
	entities []entity
}

// reader parts groups into header, blocks and entities.
type reader struct {
	d                 *drawing
	list              []pair
	section, variable string
	into              *[]entity
}

func read(list []pair) *drawing {
	r := &reader{d: &drawing{blocks: map[string]*block{}}, list: list}
	for i := 0; i < len(list); {
		if p := list[i]; p.code == 0 {
			i = r.begins(i)
		} else {
			r.header(p)
			i++
		}
	}
	return r.d
}

// begins takes what begins at group i and returns where the next thing begins.
func (r *reader) begins(i int) int {
	e, next := one(r.list, i)
	switch {
	case e.kind == "SECTION":
		r.section, r.into = e.text(2), nil
		if r.section == "ENTITIES" {
			r.into = &r.d.entities
		}
		if r.section == "HEADER" {
			// Its variables follow with no beginning of their own.
			return i + 1
		}
	case e.kind == "ENDSEC":
		r.section, r.into = "", nil
	case r.section == "BLOCKS" && e.kind == "BLOCK":
		b := &block{base: plane.Point{X: e.get(10, 0), Y: e.get(20, 0)}}
		r.d.blocks[e.text(2)], r.into = b, &b.entities
	case r.section == "BLOCKS" && e.kind == "ENDBLK":
		r.into = nil
	case r.into != nil:
		r.entity(e)
	}
	return next
}

// entity keeps what is drawn, a vertex with its polyline.
func (r *reader) entity(e entity) {
	if n := len(*r.into); e.kind == "VERTEX" && n > 0 && (*r.into)[n-1].kind == "POLYLINE" {
		(*r.into)[n-1].vertices = append((*r.into)[n-1].vertices, e)
	} else if e.kind != "SEQEND" {
		*r.into = append(*r.into, e)
	}
}

// header takes the unit from the header's variables.
func (r *reader) header(p pair) {
	if p.code == 9 {
		r.variable = strings.TrimSpace(p.value)
	}
	if r.section == "HEADER" && r.variable == "$INSUNITS" && p.code == 70 {
		if x, ok := p.number(); ok {
			r.d.unit = insunits[int(x)]
		}
	}
}

// one gathers the groups of the entity that begins at i.
func one(list []pair, i int) (entity, int) {
	e := entity{kind: strings.ToUpper(strings.TrimSpace(list[i].value)), line: list[i].line}
	for i++; i < len(list) && list[i].code != 0; i++ {
		e.groups = append(e.groups, list[i])
	}
	return e, i
}

// DXF takes the outlines of a drawing. unit is the unit of its coordinates, needed where the file names none; layer, when not empty,
// is the only layer that counts.
func DXF(data []byte, unit, layer string) (Traced, error) {
	list, err := pairs(data)
	if err != nil {
		return Traced{}, err
	}
	d := read(list)
	if unit == "" {
		unit = d.unit
	}
	scale, known := metres[unit]
	if !known {
		return Traced{}, &Fault{0, "the drawing does not say in which unit it is drawn", "Say it: mm, cm, m, in or ft"}
	}
	c := &collector{d: d, only: layer, layers: map[string]bool{}}
	c.take(d.entities, placing{xx: scale, yy: scale}, 0, "")
	if layer != "" && !c.layers[layer] {
		return Traced{}, &Fault{0, fmt.Sprintf("there is no layer %q with lines on it", layer), "The layers are " + strings.Join(c.named(), ", ")}
	}
	t, err := sorted(c.loops, c.loose, c.left)
	t.Unit = unit
	return t, err
}
