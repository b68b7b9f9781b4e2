package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"gelwright/cutting"
)

// mostListBytes is more than any list of pieces to cut.
const mostListBytes = 8 << 20

// row is one line of a list of pieces: a name and whole numbers.
type row struct {
	name string
	v    []int
}

// readRows reads a list whose lines are a name and whole numbers, headed as head says; a
// first line without numbers is a head. All faults are reported at once; what names the
// numbers of a line at fault.
func readRows(name string, r io.Reader, head, things string, what func(fields []string) string) ([]row, error) {
	c := csv.NewReader(io.LimitReader(r, mostListBytes))
	c.FieldsPerRecord, c.TrimLeadingSpace, c.Comment = -1, true, '#'
	columns := strings.Count(head, ",") + 1
	var rows []row
	var faults []string
	for {
		fields, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		line, _ := c.FieldPos(0)
		if len(fields) != columns {
			faults = append(faults, fmt.Sprintf("%s:%d: %d fields: write %s", name, line, len(fields), head))
			continue
		}
		v, ok := wholes(fields[1:])
		switch {
		case ok:
			rows = append(rows, row{name: fields[0], v: v})
		case len(rows) > 0 || line > 1:
			faults = append(faults, fmt.Sprintf("%s:%d: %s must be whole numbers", name, line, what(fields)))
		}
	}
	if len(faults) > 0 {
		return nil, errors.New(strings.Join(faults, "\n"))
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("%s: no %s: write lines %s", name, things, head)
	}
	return rows, nil
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
	rows, err := readRows(name, r, "name,length_mm,count", "pieces", func(f []string) string {
		return fmt.Sprintf("length %q and count %q", f[1], f[2])
	})
	var pieces []cutting.Piece
	for _, x := range rows {
		pieces = append(pieces, cutting.Piece{Name: x.name, LengthMM: x.v[0], Count: x.v[1]})
	}
	return pieces, err
}

// readPanels reads name,length_mm,width_mm,count.
func readPanels(name string, r io.Reader, rotate bool) ([]cutting.Panel, error) {
	rows, err := readRows(name, r, "name,length_mm,width_mm,count", "panels", func(f []string) string {
		return fmt.Sprintf("length %q, width %q and count %q", f[1], f[2], f[3])
	})
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
	var err error
	if len(parts) > 1 {
		if s.cost, err = strconv.ParseFloat(parts[1], 64); err != nil {
			return s, false
		}
	}
	if len(parts) > 2 {
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
