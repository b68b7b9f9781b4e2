package document

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gelwright/laying"
	"gelwright/mixing"
	"gelwright/unit"
)

// bucketRun is buckets one after another that are mixed alike: one line of the table.
type bucketRun []mixing.Mix

// numbers of the run: "14–29", or "458, 460, 462" where others are mixed between them.
func (r bucketRun) numbers() string {
	last := r[len(r)-1].Number
	if last-r[0].Number == len(r)-1 {
		return numbersWords(r[0].Number, last)
	}
	var all []string
	for _, m := range r {
		all = append(all, fmt.Sprint(m.Number))
	}
	return runs(all)
}

// hours at which they are mixed: "08:47–09:05".
func (r bucketRun) hours() string {
	first, last := clockWords(r[0].MixAtMin), clockWords(r[len(r)-1].MixAtMin)
	if first == last {
		return first
	}
	return first + "–" + last
}

// together is the run as if it were one bucket: for what all of it covers.
func (r bucketRun) together() mixing.Mix {
	m := r[0]
	m.Parts = nil
	m.AreaM2 = 0
	for _, x := range r {
		m.Parts = append(m.Parts, x.Parts...)
		m.AreaM2 += x.AreaM2
	}
	return m
}

// stateWords is for what a bucket holds, as printed: temperatures, dose, time and ladder; equal for
// buckets of which nothing but the size differs.
func (d *pack) stateWords(m mixing.Mix) string {
	_, deckC, pailC := d.p.Schedule.At(m.Day, m.MixAtMin)
	words := []string{d.num(deckC, 0), d.num(pailC, 0), d.num(m.DosePct, 2), d.num(m.LayByMin, 0), d.num(m.Gel.LowMin, 0),
		d.num(m.Gel.HighMin, 0)}
	for _, r := range m.Ladder {
		if r.Refused != "" {
			words = append(words, "no")
			continue
		}
		words = append(words, d.num(r.DosePct, 2), d.num(r.LayByMin, 0))
	}
	return strings.Join(words, " ")
}

// syringeMarkML is as fine as a small dose is read, ml.
const syringeMarkML = 0.5

// chargeWords is what is weighed for a bucket, as printed; of the steps of its ladder what nobody can tell apart is alike.
func (d *pack) chargeWords(m mixing.Mix) string {
	words := []string{d.num(m.ResinKG, 2), d.dose(m.CatalystML, m.CatalystML), d.dose(m.CatalystG, m.CatalystML)}
	for _, r := range m.Ladder {
		ml := r.CatalystML
		if ml >= leastAlikeML {
			ml = syringeMarkML * math.Round(ml/syringeMarkML)
		}
		words = append(words, d.dose(ml, ml))
	}
	return strings.Join(words, " ")
}

// leastAlikeML is the dose from which half a millilitre is no more than its twentieth part, ml.
const leastAlikeML = 10

// dose prints ml or g of a dose of so many ml.
func (d *pack) dose(v, ml float64) string { return d.num(v, unit.DoseDecimals(ml)) }

// steady reports whether one line over the table can say temperatures, dose and times of all
// its buckets.
func (d *pack) steady(mixes []mixing.Mix) bool {
	for _, m := range mixes {
		if m.WaitedMin > 0 || d.stateWords(m) != d.stateWords(mixes[0]) {
			return false
		}
	}
	return true
}

// runsOf puts buckets together that follow one another and are mixed alike.
func (d *pack) runsOf(mixes []mixing.Mix) []bucketRun {
	var out []bucketRun
	is := func(m mixing.Mix) string { return m.Gang + " " + d.chargeWords(m) + d.stateWords(m) }
	for i, m := range mixes {
		if i > 0 && m.WaitedMin == 0 && m.Number == mixes[i-1].Number+1 && is(m) == is(mixes[i-1]) {
			out[len(out)-1] = append(out[len(out)-1], m)
			continue
		}
		out = append(out, bucketRun{m})
	}
	return out
}

// bucketType is the size of the rows of a bucket table: large figures where there is room.
type bucketType struct{ rowMM, airMM, main, next, small float64 }

var (
	largeBuckets = bucketType{rowMM: 6.5, airMM: cellPad, main: 13, next: 10, small: sizeSmall}
	denseBuckets = bucketType{rowMM: 4.6, airMM: 0.4, main: 9, next: 8.4, small: sizeTiny + 0.3}
)

// mostLarge are so many lines of all tables that large figures are worth their paper.
const mostLarge = 40

// sideBySideFrom is how many buckets of one state stand in two halves of the page, each bucket's
// place on its drawing, and threeFrom how many stand in three parts, dosed by volume alone.
const (
	sideBySideFrom = 25
	threeFrom      = 60
)

// acrossOf is how many parts of a table of so many buckets stand side by side.
func acrossOf(buckets int) int {
	switch {
	case buckets >= threeFrom:
		return 3
	case buckets >= sideBySideFrom:
		return 2
	}
	return 0
}

// bucketSheet is one stretch of wet work as it is laid out.
type bucketSheet struct {
	wetDay
	runs   []bucketRun
	steady bool
	// across is how many parts of the table stand side by side; none where a line takes the whole width.
	across int
	// pots tells that a line holds the pots of a man that are alike, with others mixed between them.
	pots bool
	kind bucketType
}

func (d *pack) bucketSheets() []bucketSheet {
	var out []bucketSheet
	lines := 0
	for _, w := range d.wetDays() {
		s := bucketSheet{wetDay: w, runs: d.runsOf(w.mixes), steady: d.steady(w.mixes), kind: largeBuckets}
		if !s.steady {
			// Where the state changes every column is needed: no room for a range of numbers and hours.
			s.runs = nil
			for _, m := range w.mixes {
				s.runs = append(s.runs, bucketRun{m})
			}
		}
		if w.pass.Kind == laying.CuttingIn && s.steady && len(w.mixes) >= sideBySideFrom {
			s.runs, s.pots = d.potsOf(w.mixes), true
		}
		if s.steady && !w.pass.Pieces() {
			s.across = acrossOf(len(w.mixes))
		}
		lines += len(s.runs)
		out = append(out, s)
	}
	for i := range out {
		out[i] = d.narrowed(out[i])
		switch s := &out[i]; {
		case lines > mostLarge:
			s.kind = denseBuckets
		case !s.steady:
			s.runs = alone(s.mixes)
		}
	}
	return out
}

// alone gives every bucket a line of its own: large figures beside temperatures and doses leave no room for the hours of several.
func alone(mixes []mixing.Mix) []bucketRun {
	var out []bucketRun
	for _, m := range mixes {
		out = append(out, bucketRun{m})
	}
	return out
}

// table of the sheet with its rows; marks returns the references of a bucket's figures.
func (d *pack) bucketTable(s bucketSheet, marks func(m mixing.Mix) string) (table, [][]string) {
	switch {
	case s.across > 0:
		return d.partTable(s)
	case s.steady:
		return d.steadyTable(s, marks)
	}
	return d.changingTable(s, marks)
}

// rungHead names a step of the ladder, ml, and within how many minutes it is laid: "−6°", "in 14".
func (d *pack) rungHead(r mixing.Rung, minutes string) string {
	head := fmt.Sprintf("%+.0f°", r.OffK)
	if r.OffK < 0 {
		head = fmt.Sprintf("−%.0f°", -r.OffK)
	}
	return head + "\n" + minutes
}

// rungMinutes are the minutes of a step for the head of its column, where no bucket has others.
func (d *pack) rungMinutes(r mixing.Rung) string {
	if r.Refused != "" {
		return ""
	}
	return "in " + d.num(r.LayByMin, 0)
}

// stateLine says what holds for all buckets of a sheet.
func (d *pack) stateLine(m mixing.Mix) string {
	_, deckC, pailC := d.p.Schedule.At(m.Day, m.MixAtMin)
	line := fmt.Sprintf("Deck %s °C, pail %s °C: %s %% by mass, %s ml per litre; gels in %s–%s min. LAY WITHIN %s MIN.",
		d.num(deckC, 0), d.num(pailC, 0), d.num(m.DosePct, 2), d.num(m.DoseMLPerL, 1), d.num(m.Gel.LowMin, 0), d.num(m.Gel.HighMin, 0),
		d.num(m.LayByMin, 0))
	var none []string
	for _, r := range m.Ladder {
		if r.Refused != "" {
			none = append(none, strings.TrimSpace(d.rungHead(r, "")))
		}
	}
	if len(none) > 0 {
		line += " " + strings.Join(none, ", ") + ": none."
	}
	return line
}

// dosed are the steps of a ladder at which a bucket may be mixed: no column of a table says 'no' all the way down.
func dosed(m mixing.Mix) []mixing.Rung {
	var out []mixing.Rung
	for _, r := range m.Ladder {
		if r.Refused == "" {
			out = append(out, r)
		}
	}
	return out
}

// steadyTable is for buckets of one state, which stands above it. What the figures leave goes to what a bucket covers.
func (d *pack) steadyTable(s bucketSheet, marks func(m mixing.Mix) string) (table, [][]string) {
	k := s.kind
	// As many cells stand side by side as the longest run has, up to four.
	cells, log := min(s.longestRun(), 4), 16.0
	if s.pots {
		cells = min(cells, 2) // few follow one another: what they cover needs the width
	}
	if cells > 1 {
		log = max(log, 8.5*float64(cells))
	}
	columns := []column{{head: "no.", bold: true, points: k.main - 1}, {head: "mix at", bold: true, points: k.next},
		{head: "resin\nkg", number: true, bold: true, points: k.main}, {head: "catalyst\nml", number: true, bold: true, points: k.main},
		{head: "or g", number: true, points: k.next}}
	for _, r := range dosed(s.mixes[0]) {
		columns = append(columns, column{head: d.rungHead(r, d.rungMinutes(r)), points: k.next})
	}
	covers := len(columns)
	columns = append(columns, column{head: "covers", points: min(k.small, sizeTiny+0.5)},
		column{head: "mixed at, gelled at", share: log, log: cells})
	var rows [][]string
	last := -1
	for _, r := range s.runs {
		if is := s.turn(r); s.pots && is != last {
			rows, last = append(rows, []string{acrossRow + s.turnLine(is)}), is
		}
		row := append(d.chargeCells(r, marks(r[0])), d.rungCells(dosed(r[0]), "")...)
		if s.pots && r[0].Gang != "" {
			row[0] = r[0].Gang + " " + row[0]
		}
		rows = append(rows, append(row, d.coversWords(s.pass, r.together()), r.logWords()))
	}
	t, _ := table{columns: columns, points: k.small, leastMM: k.rowMM, airMM: k.airMM, boxed: true}.byContent(d.pages, rows, covers)
	return t, rows
}

// tenths reports whether a dose of two figures is printed with a tenth: it takes more room than a whole one.
func tenths(mixes []mixing.Mix) bool {
	two := func(ml float64) bool { return ml > 9.9 && unit.DoseDecimals(ml) > 0 }
	for _, m := range mixes {
		if two(m.CatalystML) || slices.ContainsFunc(m.Ladder, func(r mixing.Rung) bool { return two(r.CatalystML) }) {
			return true
		}
	}
	return false
}

// longestRun is how many buckets share the fullest line.
func (s *bucketSheet) longestRun() int {
	n := 0
	for _, r := range s.runs {
		n = max(n, len(r))
	}
	return n
}

// partTable is a half or a third of a page for buckets of one state, a line each. A third has no room for grams
// and strips: a line above the table says how a dose is weighed, the drawing where a bucket lies.
func (d *pack) partTable(s bucketSheet) (table, [][]string) {
	const main, next, small = 9, 8, sizeTiny
	third := s.across > 2
	columns := []column{{head: "no.", bold: true, points: main}, {head: "mix at", bold: true, points: next},
		{head: "resin kg", number: true, bold: true, points: main}, {head: "ml", number: true, bold: true, points: main}}
	if !s.gramless() {
		columns = append(columns, column{head: "or g", number: true, points: next - 0.5})
	}
	for _, r := range dosed(s.mixes[0]) {
		minutes := d.rungMinutes(r)
		if third {
			minutes = strings.Replace(minutes, " ", "\n", 1) // else it runs into the next head
		}
		columns = append(columns, column{head: d.rungHead(r, minutes), points: small})
	}
	log := column{head: "at"}
	if !third {
		columns, log = append(columns, column{head: "on, + more", points: small}), column{head: "mixed\ngelled"}
	}
	columns = append(columns, log)
	var rows [][]string
	for _, m := range s.mixes {
		row := d.chargeCells(bucketRun{m}, "")
		if s.gramless() {
			row = row[:len(row)-1]
		}
		row = append(row, d.rungCells(dosed(m), "")...)
		if !third {
			row = append(row, placeWords(m))
		}
		rows = append(rows, append(row, ""))
	}
	t := table{columns: columns, points: small, leastMM: s.kind.rowMM, airMM: s.kind.airMM, boxed: true}
	partMM := (d.width() - partsMM*float64(s.across-1)) / float64(s.across)
	t, rows = t.said(d.pages, rows)
	// No number, hour or dose is broken: what stands in a column sets its width, and the cell to write in has what is left.
	for _, pad := range [...]float64{cellPad, 0.7, 0.4} {
		t.pad = pad
		fit, room := t.fitted(d.pages, rows, len(columns)-1, narrowHead, partMM)
		fit.columns[len(columns)-1].share = max(room, leastAtMM)
		if t = fit; room >= leastAtMM {
			break
		}
	}
	return t, rows
}

// leastAtMM is the least width of the cell that the hour of mixing is written into, mm.
const leastAtMM = 6.8

// gramless reports whether a dose stands in ml alone, for want of room: a line above the table says what one weighs.
func (s *bucketSheet) gramless() bool { return s.across > 2 || s.across == 2 && tenths(s.mixes) }

// partsMM stands between parts of a table side by side.
const partsMM = 1.4

// beside is a table in parts next to one another.
func (t table) beside(parts int) table {
	own := t.columns
	for range parts - 1 {
		t.columns = append(append(t.columns[:len(t.columns):len(t.columns)], column{share: partsMM}), own...)
	}
	return t
}

// narrowed leaves parts of a table side by side as far as no cell in them breaks: an hour or a dose over two
// lines is misread.
func (d *pack) narrowed(s bucketSheet) bucketSheet {
	for s.across > 2 {
		t, rows := d.partTable(s)
		if t.beside(s.across).unbroken(d.pages, rows) {
			break
		}
		s.across--
	}
	return s
}

// chargeCells are number, hour, resin and catalyst of a run.
func (d *pack) chargeCells(r bucketRun, marks string) []string {
	return []string{r.numbers(), r.hours(), d.num(r[0].ResinKG, 2), d.dose(r[0].CatalystML, r[0].CatalystML),
		with(d.dose(r[0].CatalystG, r[0].CatalystML), marks)}
}

// rungCells are the steps of a bucket's ladder, with the minutes on a line of their own or behind a stroke where no head says them.
func (d *pack) rungCells(rungs []mixing.Rung, minutes string) []string {
	var out []string
	for _, r := range rungs {
		switch {
		case r.Refused != "":
			out = append(out, "no")
		case minutes != "":
			out = append(out, d.dose(r.CatalystML, r.CatalystML)+minutes+d.num(r.LayByMin, 0))
		default:
			out = append(out, d.dose(r.CatalystML, r.CatalystML))
		}
	}
	return out
}

// placeWords names the first strip that a bucket of a field lies on; all of them, and where on
// them, are on the drawing.
func placeWords(m mixing.Mix) string {
	var names []string
	for _, c := range m.Parts {
		names = append(names, c.Name)
	}
	if names = once(names); len(names) > 1 {
		return names[0] + "+"
	}
	return strings.Join(names, "")
}

// changingTable is for buckets each with temperatures and a dose of its own. What a bucket covers stands in what the figures leave
// it, or below them where the table is lower so.
func (d *pack) changingTable(s bucketSheet, marks func(m mixing.Mix) string) (table, [][]string) {
	k := s.kind
	const logMM, leastCoversMM = 16.0, 15.0
	columns := []column{{head: "no.", bold: true, points: k.main - 1}, {head: "mix at", bold: true, points: k.next},
		{head: "deck /\npail °C", points: k.next - 0.5}, {head: "resin\nkg", number: true, bold: true, points: k.main},
		{head: "catalyst\nml", number: true, bold: true, points: k.main}, {head: "or g", number: true, points: k.next - 1},
		{head: "lay in,\nmin", number: true, bold: true, points: k.main - 1}}
	for _, r := range s.mixes[0].Ladder {
		// Millilitres and minutes: a raised dot between them is a decimal point to some, a stroke is not.
		columns = append(columns, column{head: d.rungHead(r, "ml, in min"), points: sizeTiny + 0.5})
	}
	covers := len(columns) + 3
	columns = append(columns, column{head: "ml per\nlitre", points: sizeTiny}, column{head: "%", points: sizeTiny},
		column{head: "gels in\nmin", points: sizeTiny}, column{head: "covers", points: sizeTiny},
		column{head: "mixed at, gelled at", share: logMM, log: 1})
	var rows [][]string
	for _, r := range s.runs {
		m := r[0]
		if m.WaitedMin > 0 {
			rows = append(rows, []string{acrossRow + d.waitWords(m)})
		}
		_, deckC, pailC := d.p.Schedule.At(m.Day, m.MixAtMin)
		row := []string{fmt.Sprint(m.Number), clockWords(m.MixAtMin), d.num(deckC, 0) + "/" + d.num(pailC, 0), d.num(m.ResinKG, 2),
			d.dose(m.CatalystML, m.CatalystML), with(d.dose(m.CatalystG, m.CatalystML), marks(m)), d.num(m.LayByMin, 0)}
		row = append(row, d.rungCells(m.Ladder, "/")...)
		rows = append(rows, append(row, d.num(m.DoseMLPerL, 1), d.num(m.DosePct, 2), d.num(m.Gel.LowMin, 0)+"–"+d.num(m.Gel.HighMin, 0),
			d.coversWords(s.pass, m), ""))
	}
	t := table{columns: columns, points: sizeSmall, leastMM: k.rowMM, airMM: k.airMM, boxed: true}
	beside, left := t.byContent(d.pages, rows, covers)
	t.columns = slices.Clone(columns)
	t.columns[covers].below, t.columns[covers].points = true, k.small
	under, _ := t.byContent(d.pages, rows, -1)
	if left >= leastCoversMM && beside.measure(d.pages, rows) <= under.measure(d.pages, rows) {
		return beside, rows
	}
	return under, rows
}

// logWords are the numbers of a run for the cells to write in; a bucket alone needs none.
func (r bucketRun) logWords() string {
	if len(r) == 1 {
		return ""
	}
	var out []string
	for _, m := range r {
		out = append(out, fmt.Sprint(m.Number))
	}
	return strings.Join(out, " ")
}
