package drawing

import (
	"gelwright/scene"
	"gelwright/settingout"
)

// headingMM is the room of a heading over the first diagram of a material, mm on paper.
const headingMM = 7.0

// flowing is sheets that are being filled row by row.
type flowing struct {
	figure scene.Box
	sheets [][]diagram
	now    []diagram
	row    []placing
	y      float64
}

// placing is a diagram in the row that is being filled, with the room it takes.
type placing struct {
	diagram
	wide, high float64
}

// endRow seats the row below what is there, on a sheet of its own where the room is used up; a heading over one lowers all.
func (f *flowing) endRow() {
	high, headed := 0.0, 0.0
	for _, s := range f.row {
		high = max(high, s.high)
		if s.heading != "" {
			headed = headingMM
		}
	}
	if f.y-high-headed < f.figure.Low.Y+3 {
		f.endSheet()
	}
	x := f.figure.Low.X + 3
	for _, s := range f.row {
		s.x, s.y = x, f.y-headed-s.high
		f.now = append(f.now, s.diagram)
		x += s.wide + besideMM
	}
	f.y -= high + headed
	f.row = nil
}

func (f *flowing) endSheet() {
	if len(f.now) > 0 {
		f.sheets = append(f.sheets, f.now)
	}
	f.now, f.y = nil, f.figure.High.Y-4
}

// free reports whether things so wide stand in the present row beside one another.
func (f *flowing) free(wide float64) bool {
	for _, s := range f.row {
		wide += s.wide + besideMM
	}
	return wide <= f.figure.Width()-6+1e-9
}

// group seats what is cut of one material under its heading. Lengths stay together: a row holds them all or they begin one.
// It fails when no sheet would hold one of them.
func (f *flowing) group(diagrams []diagram, heading string, n float64) bool {
	if len(diagrams) == 0 {
		return true
	}
	// A heading reaches over the boards beside its own, which have none; lengths of two materials stand in one row.
	headingWide := scene.Measure(heading, scene.TextUsual, true).WidthMM
	lengths := diagrams[0].pattern.Stock[0].WidthMM == 0
	var seats []placing
	together := -besideMM
	for k, d := range diagrams {
		s := placing{diagram: d, wide: max(float64(d.pattern.Stock[0].LengthMM)/n, captionWide(d.pattern)), high: d.high(n) + captionMM}
		if k == 0 {
			s.heading = heading
			if lengths {
				s.wide = max(s.wide, headingWide)
			}
		}
		if s.wide > f.figure.Width()-6 || s.high+headingMM > f.figure.Height()-8 {
			return false
		}
		seats, together = append(seats, s), together+besideMM+s.wide
	}
	if lengths && len(f.row) > 0 && (f.row[0].pattern.Stock[0].WidthMM > 0 || !f.free(together)) {
		f.endRow()
	}
	for k, s := range seats {
		wide := s.wide
		if k == 0 {
			wide = max(wide, headingWide)
		}
		if len(f.row) > 0 && !f.free(wide) {
			f.endRow()
		}
		f.row = append(f.row, s)
	}
	return true
}

// flow fills sheets row by row, deck after deck; it does not fit when a single board is too large.
func (c *cutting) flow(figure scene.Box, n float64) ([][]diagram, bool) {
	f := flowing{figure: figure}
	f.endSheet()
	for i := range c.parts {
		p := &c.parts[i]
		deck, prefix := "", ""
		if len(c.parts) > 1 {
			deck, prefix = "Deck "+p.deck+": ", p.deck+"-"
		}
		of := func(m settingout.Material) []diagram {
			var out []diagram
			for _, x := range Patterns(m, p.pieces) {
				out = append(out, diagram{pattern: x, part: p, prefix: prefix})
			}
			return out
		}
		for _, m := range p.boards {
			// The letters of patterns begin anew with each material: beside another it is named.
			heading := deck + p.called(m)
			if len(c.parts) == 1 && len(p.boards) == 1 {
				heading = ""
			}
			if !f.group(of(m), heading, n) {
				return nil, false
			}
		}
		for _, m := range p.lengths {
			if !f.group(of(m), deck+m.Name, n) {
				return nil, false
			}
		}
	}
	if len(f.row) > 0 {
		f.endRow()
	}
	f.endSheet()
	return f.sheets, true
}
