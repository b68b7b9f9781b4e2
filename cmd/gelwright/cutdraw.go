package main

import (
	"fmt"

	"gelwright/cutting"
	"gelwright/scene"
)

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
	page := &scene.Scene{Title: "Cutting of sheets", Description: fmt.Sprintf("%d ways of cutting, scale 1:%.0f", len(plan.Sheets), 1/k),
		WidthMM: pageWideMM, HeightMM: total}
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
	g := scene.Group{Meta: scene.Meta{ID: fmt.Sprintf("sheet-%d", index+1),
		Title: fmt.Sprintf("%d sheets of %d × %d mm", s.Count, s.LengthMM, s.WidthMM)}}
	g.Items = append(g.Items, scene.Text{At: scene.Point{X: x, Y: y - 4},
		Content: fmt.Sprintf("%d off, %d × %d mm", s.Count, s.LengthMM, s.WidthMM), HeightMM: 2.5, Bold: true})
	base := y - captionMM - float64(s.WidthMM)*k
	at := func(r cutting.Rect) scene.Path {
		return scene.Rect(x+float64(r.XMM)*k, base+float64(r.YMM)*k, x+float64(r.XMM+r.LengthMM)*k, base+float64(r.YMM+r.WidthMM)*k)
	}
	g.Items = append(g.Items, scene.Shape{Paths: []scene.Path{at(cutting.Rect{LengthMM: s.LengthMM, WidthMM: s.WidthMM})},
		Stroke: scene.Pen(scene.Thick), Filled: true, Fill: scene.LightGrey})
	for _, q := range s.Placed {
		g.Items = append(g.Items, scene.Shape{Meta: scene.Meta{Title: fmt.Sprintf("%s %d × %d mm", q.Panel, q.LengthMM, q.WidthMM)},
			Paths: []scene.Path{at(q.Rect)}, Stroke: scene.Pen(scene.Thin), Filled: true, Fill: scene.White})
		for n, text := range []string{q.Panel, fmt.Sprintf("%d × %d", q.LengthMM, q.WidthMM)} {
			high := 2.0
			if box := scene.Measure(text, high, false); box.WidthMM > float64(q.LengthMM)*k-1 || 2.6*high > float64(q.WidthMM)*k {
				continue
			}
			g.Items = append(g.Items, scene.Text{At: scene.Point{X: x + (float64(q.XMM)+float64(q.LengthMM)/2)*k,
				Y: base + (float64(q.YMM)+float64(q.WidthMM)/2)*k + 0.4 - float64(n)*2.8}, Content: text, HeightMM: high, Across: scene.Middle})
		}
	}
	return g
}
