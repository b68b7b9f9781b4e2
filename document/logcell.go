package document

import "strings"

// A bucket that is mixed like those before it shares their line, and has a cell of its own to
// write in.

// logAcross is how many of a log's cells stand side by side: fewer and wider ones for a few, as the column has them.
func logAcross(n, wide int) int {
	const few, narrow = 16, 6
	if n <= few {
		return wide
	}
	return narrow
}

// logMM is the height of a log's cells for so many rows of the least height.
func (t *table) logMM(i int, cell string) float64 {
	n := len(strings.Fields(cell))
	across := logAcross(n, t.columns[i].log)
	return t.leastMM * float64((n+across-1)/across)
}

// logCell draws the cells of a log, each with its number in a corner.
func (t *table) logCell(p *pages, i int, x float64, cell string, h float64) {
	words := strings.Fields(cell)
	if len(words) == 0 {
		return
	}
	across := logAcross(len(words), t.columns[i].log)
	lines := (len(words) + across - 1) / across
	wide, high := t.w[i]/float64(across), h/float64(lines)
	p.f.SetDrawColor(150, 150, 150)
	p.f.SetLineWidth(0.18)
	p.font(sizeTiny, false)
	for k, w := range words {
		at, y := x+wide*float64(k%across), p.y+high*float64(k/across)
		p.f.Rect(at, y, wide, high, "D")
		p.textWithin(at+0.5, y+2.4, x+t.w[i], w)
	}
}
