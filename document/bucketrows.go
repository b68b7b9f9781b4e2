package document

import (
	"fmt"
	"strings"

	"gelwright/mixing"
)

// bucketRun is buckets one after another that are mixed alike: one line of the table.
type bucketRun []mixing.Mix

// numbers of the run: "14–29, 16 alike".
func (r bucketRun) numbers() string {
	if len(r) == 1 {
		return fmt.Sprint(r[0].Number)
	}
	return fmt.Sprintf("%d–%d", r[0].Number, r[len(r)-1].Number)
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

// chargeWords is what is weighed for a bucket, as printed.
func (d *pack) chargeWords(m mixing.Mix) string {
	words := []string{d.num(m.ResinKG, 2), d.num(m.CatalystML, 0), d.num(m.CatalystG, 0)}
	for _, r := range m.Ladder {
		words = append(words, d.num(r.CatalystML, 0))
	}
	return strings.Join(words, " ")
}

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
		if i > 0 && m.WaitedMin == 0 && is(m) == is(mixes[i-1]) {
			out[len(out)-1] = append(out[len(out)-1], m)
			continue
		}
		out = append(out, bucketRun{m})
	}
	return out
}

// bucketType is the size of the rows of a bucket table: large figures where there is room.
type bucketType struct{ rowMM, main, next, small float64 }

var (
	largeBuckets = bucketType{rowMM: 6.5, main: 13, next: 10, small: sizeSmall}
	denseBuckets = bucketType{rowMM: 5, main: 9.8, next: 8.8, small: sizeTiny + 0.3}
)

// mostLarge are so many lines of all tables that large figures are worth their paper.
const mostLarge = 40

// sideBySideFrom is how many buckets of one state stand in two halves of the page, each bucket's
// place on its drawing.
const sideBySideFrom = 25

// bucketSheet is one stretch of wet work as it is laid out.
type bucketSheet struct {
	wetDay
	runs   []bucketRun
	steady bool
	// pairs tells that the table stands in two halves.
	pairs bool
	kind  bucketType
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
		s.pairs = s.steady && !w.pass.Pieces() && len(w.mixes) >= sideBySideFrom
		lines += len(s.runs)
		out = append(out, s)
	}
	for i := range out {
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
	case s.pairs:
		return d.pairTable(s)
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
	return fmt.Sprintf("Deck %s °C, pail %s °C: %s %% by mass, %s ml per litre; gels in %s–%s min. LAY WITHIN %s MIN.",
		d.num(deckC, 0), d.num(pailC, 0), d.num(m.DosePct, 2), d.num(m.DoseMLPerL, 1), d.num(m.Gel.LowMin, 0), d.num(m.Gel.HighMin, 0),
		d.num(m.LayByMin, 0))
}

// steadyTable is for buckets of one state, which stands above it.
func (d *pack) steadyTable(s bucketSheet, marks func(m mixing.Mix) string) (table, [][]string) {
	k := s.kind
	covers, log, number, hours, gram := 54.0, 20.0, 20.0, 30.5, 21.5
	if len(s.runs) < len(s.mixes) {
		covers, log = 40, 34
	}
	// What is saved where figures are small or bear no references goes to what a bucket covers.
	if k == denseBuckets {
		number, hours, covers = 17.5, 27.5, covers+5.5
	}
	if marks(s.mixes[0]) == "" {
		gram, covers = 10, covers+11.5
	}
	columns := []column{{head: "no.", share: number, bold: true, points: k.main - 1},
		{head: "mix at", share: hours, bold: true, points: k.next},
		{head: "resin kg", share: 14, number: true, bold: true, points: k.main},
		{head: "cata-\nlyst, ml", share: 13, number: true, bold: true, points: k.main},
		{head: "or g", share: gram, number: true, points: k.next}}
	for _, r := range s.mixes[0].Ladder {
		columns = append(columns, column{head: d.rungHead(r, d.rungMinutes(r)), share: 9.8, points: k.next})
	}
	t := table{columns: append(columns, column{head: "covers", share: covers, points: min(k.small, sizeTiny+0.5)},
		column{head: "mixed at, gelled at", share: log, log: true}),
		points: k.small, leastMM: k.rowMM, boxed: true}
	var rows [][]string
	for _, r := range s.runs {
		row := append(d.chargeCells(r, marks(r[0])), d.rungCells(r[0], "")...)
		rows = append(rows, append(row, d.coversWords(s.pass, r.together()), r.logWords()))
	}
	return t, rows
}

// pairTable is half of a page for buckets of one state, a line each.
func (d *pack) pairTable(s bucketSheet) (table, [][]string) {
	const main, next, small = 9, 8, sizeTiny
	columns := []column{{head: "no.", share: 8.2, bold: true, points: main}, {head: "mix at", share: 10.9, bold: true, points: next},
		{head: "resin kg", share: 10, number: true, bold: true, points: main},
		{head: "ml", share: 8.2, number: true, bold: true, points: main},
		{head: "or g", share: 7.2, number: true, points: next - 0.5}}
	for _, r := range s.mixes[0].Ladder {
		columns = append(columns, column{head: d.rungHead(r, d.rungMinutes(r)), share: 6.9, points: small})
	}
	columns = append(columns, column{head: "on, + more", share: 11, points: small}, column{head: "mixed\ngelled", share: 9.5})
	var rows [][]string
	for _, m := range s.mixes {
		row := append(d.chargeCells(bucketRun{m}, ""), d.rungCells(m, "")...)
		rows = append(rows, append(row, placeWords(m), ""))
	}
	return table{columns: columns, points: small, leastMM: s.kind.rowMM, boxed: true}, rows
}

// chargeCells are number, hour, resin and catalyst of a run.
func (d *pack) chargeCells(r bucketRun, marks string) []string {
	return []string{r.numbers(), r.hours(), d.num(r[0].ResinKG, 2), d.num(r[0].CatalystML, 0), with(d.num(r[0].CatalystG, 0), marks)}
}

// rungCells are the steps of a bucket's ladder, with the minutes on a line of their own or behind a stroke where no head says them.
func (d *pack) rungCells(m mixing.Mix, minutes string) []string {
	var out []string
	for _, r := range m.Ladder {
		switch {
		case r.Refused != "":
			out = append(out, "no")
		case minutes != "":
			out = append(out, d.num(r.CatalystML, 0)+minutes+d.num(r.LayByMin, 0))
		default:
			out = append(out, d.num(r.CatalystML, 0))
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

// changingTable is for buckets each with temperatures and a dose of its own.
func (d *pack) changingTable(s bucketSheet, marks func(m mixing.Mix) string) (table, [][]string) {
	k := s.kind
	// Millilitres and minutes: a raised dot between them is a decimal point to some, a stroke is not.
	between, unit, rung, gram := "\n", "ml, min", 9.0, 9.0
	if k == denseBuckets {
		between, unit, rung = "/", "ml/min", 11.2
	}
	if marks(s.mixes[0]) != "" {
		gram = 18.5
	}
	// An hour broken over two lines is misread: where buckets share a line, "129–130" and "12:25–12:32" have room in one.
	number, hours, dose, covers := 10.0, 13.0, 8.0, 23.0
	if len(s.runs) < len(s.mixes) {
		number, hours, dose, covers, rung = 17, 24, 8.6, 17, 10.2
	}
	columns := []column{{head: "no.", share: number, bold: true, points: k.main - 1},
		{head: "mix at", share: hours, bold: true, points: k.next},
		{head: "deck / pail °C", share: 13, points: k.next - 0.5}, {head: "resin kg", share: 13, number: true, bold: true, points: k.main},
		{head: "cata-\nlyst, ml", share: 11, number: true, bold: true, points: k.main},
		{head: "or g", share: gram, number: true, points: k.next - 1},
		{head: "lay\nin, min", share: 9, number: true, bold: true, points: k.main - 1}}
	for _, r := range s.mixes[0].Ladder {
		columns = append(columns, column{head: d.rungHead(r, unit), share: rung, points: sizeTiny + 0.5})
	}
	columns = append(columns, column{head: "ml per litre", share: dose, points: sizeTiny}, column{head: "%", share: dose, points: sizeTiny},
		column{head: "gels in min", share: 10, points: sizeTiny}, column{head: "covers", share: covers, points: sizeTiny},
		column{head: "mixed at, gelled at", share: 18, log: true})
	var rows [][]string
	for _, r := range s.runs {
		m := r[0]
		if m.WaitedMin > 0 {
			rows = append(rows, []string{acrossRow + d.waitWords(m)})
		}
		_, deckC, pailC := d.p.Schedule.At(m.Day, m.MixAtMin)
		row := []string{fmt.Sprint(m.Number), clockWords(m.MixAtMin), d.num(deckC, 0) + "/" + d.num(pailC, 0), d.num(m.ResinKG, 2),
			d.num(m.CatalystML, 0), with(d.num(m.CatalystG, 0), marks(m)), d.num(m.LayByMin, 0)}
		row = append(row, d.rungCells(m, between)...)
		rows = append(rows, append(row, d.num(m.DoseMLPerL, 1), d.num(m.DosePct, 2), d.num(m.Gel.LowMin, 0)+"–"+d.num(m.Gel.HighMin, 0),
			d.coversWords(s.pass, m), ""))
	}
	return table{columns: columns, points: sizeSmall, leastMM: k.rowMM, boxed: true}, rows
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
