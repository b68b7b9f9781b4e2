package firring

import (
	"fmt"
	"math"
	"sort"

	"gelwright/plane"
	"gelwright/working"
)

// Pond is water that stands after rain.
type Pond struct {
	// Cells of the grid, and the same as polygons.
	Cells []int           `json:"-"`
	Area  []plane.Polygon `json:"area"`
	// AreaM2 on plan.
	AreaM2 float64 `json:"area_m2"`
	// Deepest is where DepthMM is.
	Deepest plane.Point `json:"deepest"`
	// LevelMM is the water level, in the datum of the readings.
	LevelMM float64 `json:"level_mm"`
	// DepthMM at most and VolumeL (litres), each with bounds from the tolerance.
	// Stored they are their value and bounds; the working is in the register.
	DepthMM *working.Figure `json:"-"`
	VolumeL *working.Figure `json:"-"`
	// Certain reports whether the pond is there even if every reading is as wrong as allowed.
	Certain bool `json:"certain"`
}

// Ponds returns where water stands on the measured surface, deepest first, cells
// of depth below leastMM left out.
//
// A depth is the level of the spill less the level of the bottom, each uncertain
// by ± toleranceMM, so it is bounded by ± 2·toleranceMM; the bounds of the volume
// take all depths of the pond so.
func Ponds(g Grid, d Drains, toleranceMM, leastMM float64) ([]Pond, error) {
	if !(toleranceMM >= 0) || !(leastMM >= 0) {
		return nil, fmt.Errorf("ponds: tolerance %g mm and least depth %g mm: give zero or more", toleranceMM, leastMM)
	}
	filled, _, err := g.Filled(d)
	if err != nil {
		return nil, err
	}
	least := max(leastMM, 1e-6)
	wet := func(i int) bool { return filled.MM[i]-g.MM[i] > least }
	seen := make([]bool, len(g.MM))
	var out []Pond
	for i := range g.MM {
		if seen[i] || !wet(i) {
			continue
		}
		seen[i] = true
		cells := []int{i}
		for k := 0; k < len(cells); k++ {
			g.neighbours(cells[k], func(j int) {
				if !seen[j] && wet(j) {
					seen[j] = true
					cells = append(cells, j)
				}
			})
		}
		sort.Ints(cells)
		p, err := pondOf(g, filled, cells, toleranceMM)
		if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].DepthMM.Value > out[b].DepthMM.Value })
	return out, nil
}

func pondOf(g, filled Grid, cells []int, toleranceMM float64) (Pond, error) {
	cellM2 := g.StepM * g.StepM
	p := Pond{Cells: cells, AreaM2: float64(len(cells)) * cellM2}
	var depth, litres, lowL, highL float64
	for _, i := range cells {
		d := filled.MM[i] - g.MM[i]
		if d > depth {
			depth, p.Deepest, p.LevelMM = d, g.At(i), filled.MM[i]
		}
		// A millimetre over a square metre is a litre.
		litres += d * cellM2
		lowL += max(0, d-2*toleranceMM) * cellM2
		highL += (d + 2*toleranceMM) * cellM2
	}
	var err error
	if p.Area, err = plane.Union(g.rowsOf(cells)); err != nil {
		return p, fmt.Errorf("pond at (%.2f, %.2f): %w", p.Deepest.X, p.Deepest.Y, err)
	}
	p.Certain = depth > 2*toleranceMM
	source := working.Source{Title: "R. Barnes, C. Lehman, D. Mulla: Priority-flood, Computers & Geosciences 62 (2014)",
		Clause: "pp. 117–127, doi 10.1016/j.cageo.2013.04.024", Standing: working.Published}
	p.DepthMM = pondDepth.Figure("depth of standing water", "mm", source,
		working.Measured("s", "level at which it spills", p.LevelMM, "mm", "levels of the deck, flooded from the edges"),
		working.Measured("e", "level of the deck there", p.LevelMM-depth, "mm", "levels of the deck")).Between(max(0, depth-2*toleranceMM),
		depth+2*toleranceMM).
		Noting(fmt.Sprintf("levels are held to ± %s mm, so the depth to twice that", working.Number(toleranceMM)))
	p.VolumeL = pondVolume.Run("standing water", litres, "l", source, p.DepthMM,
		working.Measured("a", "area of a cell", cellM2, "m²", "grid over the deck"),
		working.Measured("N", "cells under water", float64(len(cells)), "", "grid over the deck")).Between(lowL, highL)
	return p, nil
}

// rowsOf returns rectangles over the runs of neighbouring cells in each row; cells
// must be in order.
func (g Grid) rowsOf(cells []int) []plane.Polygon {
	var out []plane.Polygon
	for k := 0; k < len(cells); {
		end := k + 1
		for end < len(cells) && cells[end] == cells[end-1]+1 && cells[end]%g.Columns != 0 {
			end++
		}
		a, b, h := g.At(cells[k]), g.At(cells[end-1]), g.StepM/2
		out = append(out, plane.Polygon{Outer: []plane.Point{
			{X: a.X - h, Y: a.Y - h}, {X: b.X + h, Y: a.Y - h}, {X: b.X + h, Y: a.Y + h}, {X: a.X - h, Y: a.Y + h}}})
		k = end
	}
	return out
}

// Contour is a line of equal height; closed when its ends are equal.
type Contour struct {
	MM   float64       `json:"mm"`
	Line []plane.Point `json:"line"`
}

// mostContours bounds the lines of a drawing.
const mostContours = 1000

// Contours returns the lines of equal height at every multiple of stepMM, by
// marching squares between the middles of cells (linear along their sides; a
// saddle is decided by the mean of its four corners).
func Contours(g Grid, stepMM float64) ([]Contour, error) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, z := range g.MM {
		if !math.IsNaN(z) {
			low, high = min(low, z), max(high, z)
		}
	}
	if !(stepMM > 0) || (high-low)/stepMM > mostContours {
		return nil, fmt.Errorf("contours every %g mm between %g and %g mm: give a positive step with at most %d lines", stepMM, low, high,
			mostContours)
	}
	var out []Contour
	for k := math.Ceil(low / stepMM); k*stepMM <= high; k++ {
		for _, line := range chain(g.march(k * stepMM)) {
			out = append(out, Contour{k * stepMM, line})
		}
	}
	return out, nil
}

// march returns the stretches of one contour.
func (g Grid) march(level float64) [][2]plane.Point {
	var out [][2]plane.Point
	for r := 0; r+1 < g.Rows; r++ {
		for c := 0; c+1 < g.Columns; c++ {
			n := r*g.Columns + c
			ids := [4]int{n, n + 1, n + 1 + g.Columns, n + g.Columns}
			var z [4]float64
			var sum float64
			for i, id := range ids {
				z[i] = g.MM[id]
				sum += z[i]
			}
			if math.IsNaN(sum) {
				continue
			}
			var cuts []plane.Point
			for i := range 4 {
				// A side is always cut from its lower-numbered cell, so that the two squares agree to the bit.
				a, b := ids[i], ids[(i+1)%4]
				if a > b {
					a, b = b, a
				}
				za, zb := g.MM[a], g.MM[b]
				if (za >= level) != (zb >= level) {
					cuts = append(cuts, g.At(a).Add(g.At(b).Sub(g.At(a)).Scale((level-za)/(zb-za))))
				}
			}
			switch {
			case len(cuts) == 2:
				out = append(out, [2]plane.Point{cuts[0], cuts[1]})
			case len(cuts) == 4 && (sum/4 >= level) == (z[0] >= level):
				out = append(out, [2]plane.Point{cuts[0], cuts[1]}, [2]plane.Point{cuts[2], cuts[3]})
			case len(cuts) == 4:
				out = append(out, [2]plane.Point{cuts[3], cuts[0]}, [2]plane.Point{cuts[1], cuts[2]})
			}
		}
	}
	return out
}

// chain joins stretches end to end into lines.
func chain(parts [][2]plane.Point) [][]plane.Point {
	at := map[plane.Point][]int{}
	for i, s := range parts {
		at[s[0]] = append(at[s[0]], i)
		at[s[1]] = append(at[s[1]], i)
	}
	used := make([]bool, len(parts))
	grow := func(line []plane.Point) []plane.Point {
		for {
			end := line[len(line)-1]
			next := -1
			for _, i := range at[end] {
				if !used[i] {
					next = i
					break
				}
			}
			if next < 0 {
				return line
			}
			used[next] = true
			far := parts[next][0]
			if far == end {
				far = parts[next][1]
			}
			line = append(line, far)
		}
	}
	var out [][]plane.Point
	for i := range parts {
		if used[i] {
			continue
		}
		used[i] = true
		line := grow([]plane.Point{parts[i][0], parts[i][1]})
		for a, b := 0, len(line)-1; a < b; a, b = a+1, b-1 {
			line[a], line[b] = line[b], line[a]
		}
		out = append(out, grow(line))
	}
	return out
}

var (
	pondDepth  = working.MustFormula("d = s − e")
	pondVolume = working.Method("V", "Σ d·a over the cells under water")
)
