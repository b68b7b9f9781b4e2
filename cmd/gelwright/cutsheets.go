package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"gelwright/cutting"
	"gelwright/scene"
	"gelwright/scene/svg"
)

// sheetOrder is what the command line asks of sheets.
type sheetOrder struct {
	sheets     []string
	rotate     bool
	kerf, keep int
	asJSON     bool
	out        string
}

// cutSheets reads panels, cuts them from sheets and prints or draws the plan.
func cutSheets(ctx context.Context, name string, in io.Reader, w io.Writer, o sheetOrder) error {
	p := cutting.SheetProblem{KerfMM: o.kerf, KeepLengthMM: o.keep, KeepWidthMM: o.keep}
	for _, text := range strings.Split(strings.Join(o.sheets, ","), ",") {
		if strings.TrimSpace(text) == "" {
			continue
		}
		s, err := parseSheet(text)
		if err != nil {
			return coded{exitUsage, err}
		}
		p.Sheets = append(p.Sheets, s)
	}
	panels, err := readPanels(name, in, o.rotate)
	if err != nil {
		return coded{exitFaults, err}
	}
	p.Panels = panels
	plan, err := cutting.SolveSheets(ctx, p)
	if err != nil {
		return coded{exitFaults, err}
	}
	if o.out != "" {
		if err := write(o.out, svg.Bytes(drawSheets(plan), svg.Options{})); err != nil {
			return err
		}
	}
	if o.asJSON {
		raw, err := json.MarshalIndent(plan, "", " ")
		if err != nil {
			return err
		}
		_, err = fmt.Fprintln(w, string(raw))
		return err
	}
	return printSheets(w, plan)
}

func printSheets(w io.Writer, plan cutting.SheetPlan) error {
	sheets, bought, used := 0, 0.0, 0.0
	for _, s := range plan.Sheets {
		sheets += s.Count
		bought += float64(s.Count) * float64(s.LengthMM) * float64(s.WidthMM) / 1e6
		var lines []string
		for _, q := range s.Placed {
			used += float64(s.Count) * float64(q.LengthMM) * float64(q.WidthMM) / 1e6
			turned := ""
			if q.Turned {
				turned = " turned"
			}
			lines = append(lines, fmt.Sprintf("%s %d × %d%s at %d, %d", q.Panel, q.LengthMM, q.WidthMM, turned, q.XMM, q.YMM))
		}
		for _, r := range s.Offcuts {
			lines = append(lines, fmt.Sprintf("left %d × %d at %d, %d", r.LengthMM, r.WidthMM, r.XMM, r.YMM))
		}
		if _, err := fmt.Fprintf(w, "%4d × sheet %d × %d mm\n        %s\n", s.Count, s.LengthMM, s.WidthMM, strings.Join(lines, "\n        ")); err != nil {
			return err
		}
	}
	proof := fmt.Sprintf("at most %.1f %% above the least (bound %g)", 100*plan.Gap, plan.LowerBound)
	if plan.Optimal {
		proof = "proven least"
	}
	waste := 0.0
	if bought > 0 {
		waste = 100 * (bought - used) / bought
	}
	_, err := fmt.Fprintf(w, "%d sheets, %.3f m², %.3f m² used, waste %.1f %%, cost %g, %s; %s\n", sheets, bought, used, waste, plan.Cost, proof, plan.Note)
	return err
}

// parseSheet reads LENGTHxWIDTH[:COST[:AVAILABLE]], mm.
func parseSheet(text string) (cutting.Sheet, error) {
	bad := func() (cutting.Sheet, error) {
		return cutting.Sheet{}, fmt.Errorf("sheet %q: write LENGTHxWIDTH in mm, LENGTHxWIDTH:COST or LENGTHxWIDTH:COST:AVAILABLE, as 2440x1220:28.50:4", text)
	}
	parts := strings.Split(strings.TrimSpace(text), ":")
	size := strings.FieldsFunc(strings.ToLower(parts[0]), func(r rune) bool { return r == 'x' || r == '×' })
	if len(parts) > 3 || len(size) != 2 {
		return bad()
	}
	length, err1 := strconv.Atoi(strings.TrimSpace(size[0]))
	width, err2 := strconv.Atoi(strings.TrimSpace(size[1]))
	if err1 != nil || err2 != nil {
		return bad()
	}
	s := cutting.Sheet{Name: parts[0], LengthMM: length, WidthMM: width, Cost: 1, Available: -1}
	var err error
	if len(parts) > 1 {
		if s.Cost, err = strconv.ParseFloat(parts[1], 64); err != nil {
			return bad()
		}
	}
	if len(parts) > 2 {
		if s.Available, err = strconv.Atoi(parts[2]); err != nil {
			return bad()
		}
	}
	return s, nil
}

// readPanels reads name,length_mm,width_mm,count; a first line without numbers is a head.
func readPanels(name string, r io.Reader, rotate bool) ([]cutting.Panel, error) {
	c := csv.NewReader(io.LimitReader(r, 8<<20))
	c.FieldsPerRecord, c.TrimLeadingSpace, c.Comment = -1, true, '#'
	var panels []cutting.Panel
	var faults []string
	for {
		row, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		line, _ := c.FieldPos(0)
		if len(row) != 4 {
			faults = append(faults, fmt.Sprintf("%s:%d: %d fields: write name,length_mm,width_mm,count", name, line, len(row)))
			continue
		}
		var v [3]int
		ok := true
		for i := range v {
			v[i], err = strconv.Atoi(strings.TrimSpace(row[i+1]))
			ok = ok && err == nil
		}
		if !ok {
			if len(panels) == 0 && line == 1 {
				continue
			}
			faults = append(faults, fmt.Sprintf("%s:%d: length %q, width %q and count %q must be whole numbers", name, line, row[1], row[2], row[3]))
			continue
		}
		panels = append(panels, cutting.Panel{Name: row[0], LengthMM: v[0], WidthMM: v[1], Count: v[2], Rotate: rotate})
	}
	if len(faults) > 0 {
		return nil, errors.New(strings.Join(faults, "\n"))
	}
	if len(panels) == 0 {
		return nil, fmt.Errorf("%s: no panels: write lines name,length_mm,width_mm,count", name)
	}
	return panels, nil
}

// The cutting diagram is an A4 column page as long as it need be, mm.
const (
	pageWideMM   = 210.0
	pageMarginMM = 10.0
	captionMM    = 8.0
)

// drawSheets draws every way of cutting to one scale, two beside each other.
func drawSheets(plan cutting.SheetPlan) *scene.Scene {
	const across = (pageWideMM - 3*pageMarginMM) / 2
	longest := 1
	for _, s := range plan.Sheets {
		longest = max(longest, s.LengthMM)
	}
	k := across / float64(longest)
	type row struct{ high float64 }
	var rows []row
	for i, s := range plan.Sheets {
		if i%2 == 0 {
			rows = append(rows, row{})
		}
		rows[i/2].high = max(rows[i/2].high, float64(s.WidthMM)*k+captionMM+4)
	}
	total := 2 * pageMarginMM
	for _, r := range rows {
		total += r.high
	}
	page := &scene.Scene{Title: "Cutting of sheets", Description: fmt.Sprintf("%d ways of cutting, scale 1:%.0f", len(plan.Sheets), 1/k), WidthMM: pageWideMM, HeightMM: total}
	y := total - pageMarginMM
	for i, s := range plan.Sheets {
		x := pageMarginMM + float64(i%2)*(across+pageMarginMM)
		page.Add(drawSheet(s, i, x, y, k))
		if i%2 == 1 {
			y -= rows[i/2].high
		}
	}
	return page
}

// drawSheet draws one way of cutting below its caption, its upper left corner at x, y.
func drawSheet(s cutting.CutSheet, index int, x, y, k float64) scene.Group {
	g := scene.Group{Meta: scene.Meta{ID: fmt.Sprintf("sheet-%d", index+1), Title: fmt.Sprintf("%d sheets of %d × %d mm", s.Count, s.LengthMM, s.WidthMM)}}
	g.Items = append(g.Items, scene.Text{At: scene.Point{X: x, Y: y - 4}, Content: fmt.Sprintf("%d off, %d × %d mm", s.Count, s.LengthMM, s.WidthMM), HeightMM: 2.5, Bold: true})
	base := y - captionMM - float64(s.WidthMM)*k
	at := func(r cutting.Rect) scene.Path {
		return scene.Rect(x+float64(r.XMM)*k, base+float64(r.YMM)*k, x+float64(r.XMM+r.LengthMM)*k, base+float64(r.YMM+r.WidthMM)*k)
	}
	g.Items = append(g.Items, scene.Shape{Paths: []scene.Path{at(cutting.Rect{LengthMM: s.LengthMM, WidthMM: s.WidthMM})}, Stroke: scene.Pen(scene.Thick), Filled: true, Fill: scene.LightGrey})
	for _, q := range s.Placed {
		g.Items = append(g.Items, scene.Shape{Meta: scene.Meta{Title: fmt.Sprintf("%s %d × %d mm", q.Panel, q.LengthMM, q.WidthMM)}, Paths: []scene.Path{at(q.Rect)}, Stroke: scene.Pen(scene.Thin), Filled: true, Fill: scene.White})
		for n, text := range []string{q.Panel, fmt.Sprintf("%d × %d", q.LengthMM, q.WidthMM)} {
			high := 2.0
			if box := scene.Measure(text, high, false); box.WidthMM > float64(q.LengthMM)*k-1 || 2.6*high > float64(q.WidthMM)*k {
				continue
			}
			g.Items = append(g.Items, scene.Text{At: scene.Point{X: x + (float64(q.XMM)+float64(q.LengthMM)/2)*k, Y: base + (float64(q.YMM)+float64(q.WidthMM)/2)*k + 0.4 - float64(n)*2.8}, Content: text, HeightMM: high, Across: scene.Middle})
		}
	}
	return g
}
