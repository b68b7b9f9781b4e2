package tracing

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"gelwright/plane"
	"gelwright/survey"
)

// Points takes corners from lines "x,y" or "name,x,y" in the given unit, in order round the roof; a first line of words is a heading.
func Points(r io.Reader, unit string) (Traced, error) {
	scale, known := metres[unit]
	if !known {
		return Traced{}, &Fault{0, "a list of points does not say its unit", "Say it: mm, cm, m, in or ft"}
	}
	var ring plane.Ring
	err := rows(r, func(line int, cells []string) *Fault {
		if len(cells) == 3 {
			cells = cells[1:]
		}
		if len(cells) != 2 {
			return &Fault{line, fmt.Sprintf("%d values in a line", len(cells)), "Write x,y or name,x,y"}
		}
		x, okX := number(cells[0])
		y, okY := number(cells[1])
		if !okX || !okY {
			return &Fault{line, fmt.Sprintf("%.40q is no point", strings.Join(cells, ",")), "Write x,y or name,x,y"}
		}
		ring = append(ring, plane.Vertex{Point: plane.Point{X: x * scale, Y: y * scale}})
		return nil
	})
	if err != nil {
		return Traced{}, err
	}
	if n := len(ring); n > 1 && ring[0].Point.Distance(ring[n-1].Point) < joinM {
		ring = ring[:n-1]
	}
	t, err := sorted([]loop{{ring: ring, line: 1}}, nil, nil)
	t.Unit = unit
	return t, err
}

// Lengths takes lines "from,to,length" in the given unit: first the sides in order, once round, then diagonals and what else was taped.
func Lengths(r io.Reader, unit string) (survey.Walk, []survey.Measurement, error) {
	scale, known := metres[unit]
	if !known {
		return nil, nil, &Fault{0, "a list of lengths does not say its unit", "Say it: mm, cm, m, in or ft"}
	}
	tape := survey.Usual()
	var corners []string
	var walk survey.Walk
	var more []survey.Measurement
	closed := false
	err := rows(r, func(line int, cells []string) *Fault {
		if len(cells) != 3 {
			return &Fault{line, fmt.Sprintf("%d values in a line", len(cells)), "Write from,to,length"}
		}
		x, ok := number(cells[2])
		if !ok || x*scale <= 0 || x*scale > 500 {
			return &Fault{line, fmt.Sprintf("%.40q is no length", cells[2]), "Write from,to,length"}
		}
		from, to := cells[0], cells[1]
		if len(corners) == 0 {
			corners = append(corners, from)
		}
		if !closed && from == corners[len(corners)-1] {
			walk = append(walk, survey.Leg{LengthM: x * scale, Turn: survey.Free})
			if closed = to == corners[0]; !closed {
				corners = append(corners, to)
			}
			return nil
		}
		if !closed {
			return &Fault{line, fmt.Sprintf("the side %s–%s does not begin at %s", from, to, corners[len(corners)-1]),
				"List the sides in order once round, then the diagonals"}
		}
		more = append(more, survey.Measurement{Kind: survey.Length, From: called(corners, from), To: called(corners, to), Value: x * scale,
			SD: tape.Of(x * scale)})
		return nil
	})
	switch {
	case err != nil:
		return nil, nil, err
	case !closed:
		return nil, nil, &Fault{0, "the sides do not come round to where they began", "List the last side back to the first corner"}
	}
	return walk, more, nil
}

// called is a corner by the letter that it has in the walk; other points keep their names.
func called(corners []string, name string) string {
	if i := slices.Index(corners, name); i >= 0 {
		return survey.CornerName(i)
	}
	return name
}

func number(text string) (float64, bool) {
	x, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	return x, err == nil && x > -1e9 && x < 1e9
}

// rows reads comma-separated lines, the heading left out; semicolons part them where there are any.
func rows(r io.Reader, take func(line int, cells []string) *Fault) error {
	data, err := io.ReadAll(io.LimitReader(r, 1<<20))
	if err != nil {
		return err
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	in := csv.NewReader(strings.NewReader(text))
	in.FieldsPerRecord, in.TrimLeadingSpace, in.Comment = -1, true, '#'
	if strings.Contains(text, ";") {
		in = semicolons(text)
	}
	for first := true; ; first = false {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			return nil
		}
		line, _ := in.FieldPos(0)
		if err != nil {
			return &Fault{line, "this is no line of a CSV file: " + err.Error(), "Write one point or length a line"}
		}
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		if _, isNumber := number(cells[len(cells)-1]); first && !isNumber {
			continue
		}
		if f := take(line, cells); f != nil {
			return f
		}
	}
}

// semicolons reads lines parted by semicolons, in which a comma is the decimal mark.
func semicolons(text string) *csv.Reader {
	in := csv.NewReader(strings.NewReader(strings.ReplaceAll(text, ",", ".")))
	in.FieldsPerRecord, in.TrimLeadingSpace, in.Comment, in.Comma = -1, true, '#', ';'
	return in
}

// Taped reports whether a list holds lengths, "from,to,length", and not points.
func Taped(data []byte) bool {
	taped := false
	// The first line that is no heading decides; what is wrong with the list is told when it is read.
	_ = rows(strings.NewReader(string(data)), func(_ int, cells []string) *Fault {
		if len(cells) == 3 {
			_, isNumber := number(cells[1])
			taped = !isNumber
		}
		return &Fault{}
	})
	return taped
}
