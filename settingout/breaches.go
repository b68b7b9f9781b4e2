package settingout

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gelwright/plane"
	"gelwright/roof"
)

// breaches are the rows, from 1, in which a boarding breaks each rule, and the narrowest
// strip.
type breaches struct {
	corner                              string
	stagger, short, unsupported, narrow []int
	inLine                              int
	staggerM, leastM, narrowestM        float64
}

// breaches finds where a boarding breaks the rules of its rows.
func (b *boarding) breaches(r boardRules) breaches {
	out := breaches{corner: cornerName(startOf(b.f)), inLine: b.broken.inLine, staggerM: r.stagger, leastM: r.least, narrowestM: math.Inf(1)}
	c := b.courses
	for n := range c.lanes {
		l := &c.lanes[n]
		row := l.row + 1
		if high := b.narrowest(n); high < leastRipM-1e-6 {
			out.narrow = addRow(out.narrow, row)
			out.narrowestM = min(out.narrowestM, high)
		}
		if !l.jointed {
			if l.run.b-l.run.a < r.least-1e-9 && l.run.plain {
				out.short = addRow(out.short, row)
			}
			continue
		}
		k := c.moves.list[b.way.at[n]].broken
		if k.stagger > 0 {
			out.stagger = addRow(out.stagger, row)
		}
		if k.short > 0 {
			out.short = addRow(out.short, row)
		}
		if k.unsupported > 0 {
			out.unsupported = addRow(out.unsupported, row)
		}
	}
	return out
}

// narrowest is how wide a lane's narrowest strip is, m.
func (b *boarding) narrowest(lane int) float64 {
	u := b.courses.lanes[lane].run
	out := u.high - u.low
	for _, x := range b.courses.laying(&b.way, lane).sizes {
		if b.courses.laying(&b.way, lane).narrow > 0 {
			out = min(out, float64(x&(1<<32-1))/1000)
		}
	}
	return out
}

func addRow(rows []int, row int) []int {
	if n := len(rows); n > 0 && rows[n-1] == row {
		return rows
	}
	return append(rows, row)
}

// words says which rule is broken in which rows.
func (b breaches) words() []string {
	var out []string
	if len(b.narrow) > 0 {
		out = append(out, fmt.Sprintf("%s: a strip %.0f mm wide, the least is %.0f mm", b.rows(b.narrow), b.narrowestM*1000, leastRipM*1000))
	}
	if len(b.stagger) > 0 {
		out = append(out, fmt.Sprintf("%s: joints closer than %.2f m to those of the next row", b.rows(b.stagger), b.staggerM))
	}
	if len(b.short) > 0 {
		out = append(out, fmt.Sprintf("%s: a piece shorter than %.2f m", b.rows(b.short), b.leastM))
	}
	if len(b.unsupported) > 0 {
		out = append(out, b.rows(b.unsupported)+": joints off the joists")
	}
	if b.inLine > 0 {
		out = append(out, fmt.Sprintf("joints in line across a fold at %d places", b.inLine))
	}
	return out
}

// rowsNamed bounds the rows that are named one by one.
const rowsNamed = 6

// rows names rows as they are counted from the corner where the work begins.
func (b breaches) rows(rows []int) string {
	word := "row "
	if len(rows) > 1 {
		word = "rows "
	}
	var list []string
	for i, r := range rows {
		if i == rowsNamed {
			list = append(list, "…")
			break
		}
		list = append(list, fmt.Sprint(r))
	}
	return word + strings.Join(list, ", ") + " from the " + b.corner
}

// pin is what a person writes in the roof file to have this boarding.
func (b *boarding) pin() string {
	direction := ""
	if b.dir == "x" || b.dir == "y" {
		direction = "board_direction: " + b.dir + ", "
	}
	if b.parted {
		var rows []string
		for i, w := range b.rows {
			if i == 0 || w.v0 > b.rows[i-1].v0+1e-6 {
				rows = append(rows, strconv.FormatFloat(math.Round((w.v1-w.v0)*1e4)/1e4, 'f', -1, 64))
			}
		}
		return fmt.Sprintf("set_out: {%sboard_start: %s, board_rows_m: [%s]}", direction, startOf(b.f), strings.Join(rows, ", "))
	}
	return fmt.Sprintf("set_out: {%sboard_start: %s, board_offset_m: %g}", direction, startOf(b.f), round3(b.offsetM))
}

// ToKeepRows begins what is written in the roof file to have the same rows again: a choice's text is for the crew up to it.
const ToKeepRows = "; to keep these rows: "

// keeping says how parted rows are kept, which no offset gives, where a person has not fixed them.
func (b *boarding) keeping(p roof.Pins) string {
	if !b.parted || pinnedRows(p) {
		return ""
	}
	return ToKeepRows + b.pin()
}

// dripsOf lists the straight edges of a deck at which water leaves it.
func dripsOf(d roof.Deck) [][2]plane.Point {
	var out [][2]plane.Point
	for i := range d.Outline {
		if e := d.Outline.Edge(i); e.Straight() && conditionOf(d, i) == roof.Drip {
			out = append(out, [2]plane.Point{e.A, e.B})
		}
	}
	return out
}

// ripM is how much of the drips that run along the rows has a ripped board beside it, m.
func (s *boardSearch) ripM(f plane.Frame, rows []row) float64 {
	sum := 0.0
	for _, drip := range s.drips {
		p, q := f.In(drip[0]), f.In(drip[1])
		if math.Abs(p.Y-q.Y) > 0.02*math.Abs(p.X-q.X) {
			continue
		}
		y, from, to := (p.Y+q.Y)/2, min(p.X, q.X), max(p.X, q.X)
		for i := range rows {
			for _, u := range rows[i].runs {
				if u.high-u.low > s.r.width-0.002 || min(math.Abs(u.low-y), math.Abs(u.high-y)) > 0.02 {
					continue
				}
				sum += max(0, min(u.b, to)-max(u.a, from))
			}
		}
	}
	return sum
}
