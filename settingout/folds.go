package settingout

import (
	"math"
	"sort"

	"gelwright/plane"
)

// foldApartM is how far apart joints from the two sides of a fold line reach it, m.
const foldApartM = 0.100

// fold is a line at which boards end, in local coordinates, with the places where
// row lines of the bays on its left and right run out to it.
type fold struct {
	from, dir, left plane.Point
	length          float64
	rows            [2][]float64 // along the fold: [0] from its left, [1] from its right
}

// foldsOf works out where row lines reach the folds; they do not move while joints do.
func foldsOf(lines [][2]plane.Point, f plane.Frame, bays []bay, rows []row) []fold {
	var out []fold
	for _, l := range lines {
		a, b := f.In(l[0]), f.In(l[1])
		d := fold{from: a, dir: b.Sub(a).Unit(), length: a.Distance(b)}
		d.left = d.dir.Left()
		if math.Abs(d.dir.Y) > 0.02 {
			for i := 0; i+1 < len(rows); i++ {
				if rows[i+1].bay == rows[i].bay {
					d.addRow((rows[i].v1+rows[i+1].v0)/2, bays[rows[i].bay].region)
				}
			}
		}
		out = append(out, d)
	}
	return out
}

func (d *fold) addRow(y float64, bay plane.Region) {
	t := (y - d.from.Y) / d.dir.Y
	if t < 0 || t > d.length {
		return
	}
	p := d.from.Add(d.dir.Scale(t))
	for side, sign := range []float64{1, -1} {
		if bay.Contains(p.Add(d.left.Scale(sign * 0.02))) {
			d.rows[side] = append(d.rows[side], t)
		}
	}
}

// together counts the ends on one side of a fold that lie too close to one on the other.
// It sorts those of the first side.
func together(ends [2][]float64) int {
	count := 0
	sort.Float64s(ends[0])
	for _, t := range ends[1] {
		k := sort.SearchFloat64s(ends[0], t-foldApartM)
		if k < len(ends[0]) && ends[0][k] < t+foldApartM {
			count++
		}
	}
	return count
}

// addEnds adds where the joints of a run reach the fold.
func (d *fold) addEnds(u *run, joints []float64, ends *[2][]float64) {
	for _, x := range joints {
		add := func(y float64) {
			at := plane.Point{X: x, Y: y}.Sub(d.from)
			t, off := d.dir.Dot(at), d.left.Dot(at)
			if math.Abs(off) > 0.01 || t < 0 || t > d.length {
				return
			}
			side := 0
			if off < 0 {
				side = 1
			}
			ends[side] = append(ends[side], t)
		}
		if u.plain {
			add(u.low)
			add(u.high)
			continue
		}
		for _, iv := range chordsAt(u.shape, x) {
			add(iv[0])
			add(iv[1])
		}
	}
}
