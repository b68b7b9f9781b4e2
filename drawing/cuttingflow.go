package drawing

import "gelwright/scene"

// flowing is sheets that are being filled row by row.
type flowing struct {
	figure      scene.Box
	sheets      [][]diagram
	now         []diagram
	x, y, rowMM float64
}

func (f *flowing) begin() { f.now, f.x, f.y, f.rowMM = nil, f.figure.Low.X+3, f.figure.High.Y-4, 0 }

func (f *flowing) end() {
	if len(f.now) > 0 {
		f.sheets = append(f.sheets, f.now)
	}
	f.begin()
}

func (f *flowing) row() { f.x, f.y, f.rowMM = f.figure.Low.X+3, f.y-f.rowMM, 0 }

// besides reports whether something so wide stands in the present row.
func (f *flowing) besides(wide float64) bool { return f.x+wide <= f.figure.High.X-3+1e-9 }

// seat gives a diagram the next place; it fails when no sheet would hold it.
func (f *flowing) seat(wide, high float64, d diagram) bool {
	if wide > f.figure.Width()-6 || high > f.figure.Height()-8 {
		return false
	}
	if !f.besides(wide) {
		f.row()
	}
	if f.y-high < f.figure.Low.Y+3 {
		f.end()
	}
	d.x, d.y = f.x, f.y-high
	f.now = append(f.now, d)
	f.x += wide + besideMM
	f.rowMM = max(f.rowMM, high)
	return true
}

// bars seats the lengths of a material below what is there, its name over the first of them.
func (f *flowing) bars(name string, patterns []Pattern, n float64) bool {
	const headingMM = 7
	if len(f.now) > 0 {
		f.row()
	}
	headed := 0.0 // where the row lies that the name stands over
	for k, p := range patterns {
		d, high, wide := diagram{pattern: p}, barMM+captionMM, max(float64(p.Stock[0].LengthMM)/n, captionWideMM)
		if k == 0 {
			d.heading = name
		}
		if k == 0 || f.y == headed && f.besides(wide) {
			high += headingMM
		}
		if !f.seat(wide, high, d) {
			return false
		}
		if k == 0 {
			headed = f.y
		}
	}
	return true
}

// flow fills sheets row by row; it does not fit when a single board is too large.
func (c *cutting) flow(figure scene.Box, n float64) ([][]diagram, bool) {
	f := flowing{figure: figure}
	f.begin()
	for _, m := range c.boards {
		for _, p := range Patterns(m, c.pieces) {
			s := p.Stock[0]
			if !f.seat(max(float64(s.LengthMM)/n, captionWideMM), float64(s.WidthMM)/n+captionMM, diagram{pattern: p}) {
				return nil, false
			}
		}
	}
	for _, m := range c.lengths {
		if !f.bars(m.Name, Patterns(m, c.pieces), n) {
			return nil, false
		}
	}
	f.end()
	return f.sheets, true
}
