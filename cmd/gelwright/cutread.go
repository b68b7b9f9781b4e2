package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"gelwright/cutting"
	"gelwright/internal/words"
	"gelwright/unit"
)

// mostListBytes is more than any list of pieces to cut.
const mostListBytes = 8 << 20

// mostWhole is more pieces, and more millimetres, than anybody cuts; sums of them still fit.
const mostWhole = 1_000_000_000

// row is one line of a list of pieces: a name and whole numbers.
type row struct {
	name string
	v    []int
}

// list is a list of pieces as it is read: what its lines hold, the last columns being whole
// numbers of 1 or more.
type list struct {
	name   string
	head   []string
	things string
	rows   []row
	faults []string
}

// readRows reads a list whose lines are a name and whole numbers, headed as head says; the
// first line may be that heading. Fields are parted by commas, semicolons or tabs. All faults are
// reported at once.
func readRows(name string, r io.Reader, head, things string) ([]row, error) {
	raw, err := io.ReadAll(io.LimitReader(r, mostListBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(raw) > mostListBytes {
		return nil, fmt.Errorf("%s: more than %d MB: give a shorter list", name, mostListBytes>>20)
	}
	if !utf8.Valid(raw) || bytes.IndexByte(raw, 0) >= 0 {
		return nil, fmt.Errorf("%s: the file is not UTF-8 text. Save it as plain text in UTF-8", name)
	}
	text := strings.TrimPrefix(string(raw), "\ufeff")
	c := csv.NewReader(strings.NewReader(text))
	c.FieldsPerRecord, c.TrimLeadingSpace, c.Comment = -1, true, '#'
	first, _, _ := strings.Cut(text, "\n")
	for _, mark := range ";\t" {
		if !strings.Contains(first, ",") && strings.ContainsRune(first, mark) {
			c.Comma, c.TrimLeadingSpace = mark, mark != '\t'
			break
		}
	}
	l := list{name: name, head: strings.Split(head, ","), things: things}
	for n := 0; ; n++ {
		fields, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		line, _ := c.FieldPos(0)
		l.line(line, fields, n == 0)
	}
	if len(l.faults) > 0 {
		return nil, errors.New(strings.Join(l.faults, "\n"))
	}
	if len(l.rows) == 0 {
		return nil, fmt.Errorf("%s: no %s: write lines %s", name, things, head)
	}
	return l.rows, nil
}

// line takes up one line.
func (l *list) line(at int, fields []string, first bool) {
	head := strings.Join(l.head, ",")
	if len(fields) != len(l.head) {
		l.faults = append(l.faults, fmt.Sprintf("%s:%d: %d fields: write %s", l.name, at, len(fields), head))
		return
	}
	if first && l.heading(fields) {
		return
	}
	if first && noNumbers(fields[1:]) {
		l.faults = append(l.faults, fmt.Sprintf("%s:%d: the heading %s is not understood: write %s, or leave it out", l.name, at,
			strings.Join(fields, ","), head))
		return
	}
	if message, remedy := words.Illegible(fields[0], false); message != "" {
		l.faults = append(l.faults, fmt.Sprintf("%s:%d: name: %s. %s", l.name, at, message, remedy))
		return
	}
	x := row{name: fields[0], v: make([]int, len(fields)-1)}
	for i, f := range fields[1:] {
		v, ok := wholes([]string{f})
		what, _, _ := strings.Cut(l.head[i+1], "_")
		switch {
		case !ok:
			hint := ""
			if first {
				hint = "; a heading is written " + head
			}
			l.faults = append(l.faults, fmt.Sprintf("%s:%d: %s %q: write whole numbers%s", l.name, at, what, f, hint))
			return
		case v[0] < 1:
			l.faults = append(l.faults, fmt.Sprintf("%s:%d: %s %d: write 1 or more", l.name, at, what, v[0]))
			return
		case v[0] > mostWhole:
			l.faults = append(l.faults, fmt.Sprintf("%s:%d: %s %d: write %d or less", l.name, at, what, v[0], mostWhole))
			return
		}
		x.v[i] = v[0]
	}
	l.rows = append(l.rows, x)
}

// heading reports whether a line names the columns: each of its words is, or begins with,
// that of the column, as "Length (mm)" does.
func (l *list) heading(fields []string) bool {
	for i, f := range fields[1:] {
		word, _, _ := strings.Cut(l.head[i+1], "_")
		if !strings.HasPrefix(strings.ToLower(strings.TrimSpace(f)), word) {
			return false
		}
	}
	return true
}

// noNumbers reports whether no field begins as a number does: a line of words is a heading.
func noNumbers(fields []string) bool {
	for _, f := range fields {
		if f = strings.TrimSpace(f); f == "" || strings.ContainsAny(f[:1], "0123456789+-.") {
			return false
		}
	}
	return true
}

// wholes reads whole numbers; false when one is none.
func wholes(fields []string) ([]int, bool) {
	v := make([]int, len(fields))
	for i, f := range fields {
		var err error
		if v[i], err = strconv.Atoi(strings.TrimSpace(f)); err != nil {
			return nil, false
		}
	}
	return v, true
}

// readPieces reads name,length_mm,count.
func readPieces(name string, r io.Reader) ([]cutting.Piece, error) {
	rows, err := readRows(name, r, "name,length_mm,count", "pieces")
	var pieces []cutting.Piece
	for _, x := range rows {
		pieces = append(pieces, cutting.Piece{Name: x.name, LengthMM: x.v[0], Count: x.v[1]})
	}
	return pieces, err
}

// readPanels reads name,length_mm,width_mm,count.
func readPanels(name string, r io.Reader, rotate bool) ([]cutting.Panel, error) {
	rows, err := readRows(name, r, "name,length_mm,width_mm,count", "panels")
	var panels []cutting.Panel
	for _, x := range rows {
		panels = append(panels, cutting.Panel{Name: x.name, LengthMM: x.v[0], WidthMM: x.v[1], Count: x.v[2], Rotate: rotate})
	}
	return panels, err
}

// sold is what a text of stock says: SIZE, SIZE:COST or SIZE:COST:AVAILABLE.
type sold struct {
	name      string
	size      []int
	cost      float64
	available int
}

// parseSold reads one text of stock, its size in as many whole numbers as sizes says,
// parted by "x".
func parseSold(text string, sizes int) (sold, bool) {
	parts := strings.Split(strings.TrimSpace(text), ":")
	s := sold{name: parts[0], cost: 1, available: -1}
	dims := strings.FieldsFunc(strings.ToLower(parts[0]), func(r rune) bool { return sizes > 1 && (r == 'x' || r == '×') })
	var ok bool
	if s.size, ok = wholes(dims); !ok || len(dims) != sizes || len(parts) > 3 {
		return s, false
	}
	if len(parts) > 1 {
		if s.cost, ok = unit.Decimal(parts[1]); !ok {
			return s, false
		}
	}
	if len(parts) > 2 {
		var err error
		if s.available, err = strconv.Atoi(parts[2]); err != nil {
			return s, false
		}
	}
	return s, true
}

// soldTexts parts the texts of stock that flags gave, by commas or one flag each.
func soldTexts(flags []string) []string {
	var out []string
	for _, text := range strings.Split(strings.Join(flags, ","), ",") {
		if strings.TrimSpace(text) != "" {
			out = append(out, text)
		}
	}
	return out
}

// stocksOf reads the stock lengths asked for.
func stocksOf(flags []string) ([]cutting.Stock, error) {
	var out []cutting.Stock
	for _, text := range soldTexts(flags) {
		s, ok := parseSold(text, 1)
		if !ok {
			return nil, coded{exitUsage, fmt.Errorf("stock %q: write LENGTH_MM, LENGTH_MM:COST or LENGTH_MM:COST:AVAILABLE, as 3000:12.50:4", text)}
		}
		out = append(out, cutting.Stock{Name: s.name, LengthMM: s.size[0], Cost: s.cost, Available: s.available})
	}
	return out, nil
}

// sheetsOf reads the sheet sizes asked for.
func sheetsOf(flags []string) ([]cutting.Sheet, error) {
	var out []cutting.Sheet
	for _, text := range soldTexts(flags) {
		s, ok := parseSold(text, 2)
		if !ok {
			return nil, coded{exitUsage, fmt.Errorf("sheet %q: write LENGTHxWIDTH in mm, "+
				"LENGTHxWIDTH:COST or LENGTHxWIDTH:COST:AVAILABLE, as 2440x1220:28.50:4", text)}
		}
		out = append(out, cutting.Sheet{Name: s.name, LengthMM: s.size[0], WidthMM: s.size[1], Cost: s.cost, Available: s.available})
	}
	return out, nil
}
