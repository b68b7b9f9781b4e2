package document

import (
	"fmt"

	"gelwright/roof"
)

// survey is how the outlines were taped: whether they close, how far each corner may be off, what checks each reading.
func (d *pack) survey() {
	begun := false
	for i := range d.p.Job.Decks {
		k := &d.p.Job.Decks[i]
		if k.Survey == nil {
			continue
		}
		if !begun {
			d.follow("Survey", "The outline is the one that fits the tape best (least squares; tests after W. Baarda, 1968). A reading "+
				"that is checked by square corners only, or by nothing, may be wrong and not show.", 60+4.5*float64(len(k.Survey.Result.Measured)))
			begun = true
		}
		d.heading("Deck "+k.Name, 14)
		d.surveyed(k.Survey)
	}
}

func (d *pack) surveyed(s *roof.Survey) {
	r := &s.Result
	text := fmt.Sprintf("Called as %s. It closes: weighted squares %s of %s that chance allows once in twenty, %d readings to spare.",
		s.Walk, d.num(r.Squares, 1), d.num(r.Limit, 1), r.Spare)
	if r.Square {
		text += " Corners that look square are taken as square, because the tape does not deny it."
	}
	d.write(text, sizeText, false, 1)
	if message, remedy := r.Doubt(); message != "" {
		d.write(d.local("Still open: "+message+"; "+remedy+"."), sizeText, true, 1)
	}
	var rows [][]string
	at := r.Outline()
	for i, c := range r.Corners {
		rows = append(rows, []string{c.Name, d.num(at[i].X, 3), d.num(at[i].Y, 3), d.num(c.InsideDeg, 1), d.num(c.ErrorM*1000, 1)})
	}
	d.table(table{columns: []column{{head: "corner", share: 16, bold: true}, {head: "x m", share: 20, number: true},
		{head: "y m", share: 20, number: true}, {head: "inside °", share: 20, number: true},
		{head: "standard error mm", share: 30, number: true}}, points: sizeText}, rows)
	rows = nil
	for i := range r.Measured {
		m := &r.Measured[i]
		unit, decimals, scale, fine := "m", 3, 1000.0, 0
		if m.Angle {
			unit, decimals, scale, fine = "°", 1, 1, 1
		}
		name, shows := m.Name, "—"
		if m.Assumed {
			name += ", by eye"
		} else if m.LeastBlunder > 0 {
			shows = d.num(m.LeastBlunder*scale, fine)
		}
		rows = append(rows, []string{name, d.num(m.Value, decimals) + " " + unit, d.num(m.Adjusted, decimals), shows, string(m.Checked)})
	}
	d.table(table{columns: []column{{head: "reading", share: 30, bold: true}, {head: "read", share: 20, number: true},
		{head: "adjusted", share: 18, number: true}, {head: "would show from mm, °", share: 26, number: true}, {head: "checked", share: 40}},
		points: sizeText}, rows)
}
