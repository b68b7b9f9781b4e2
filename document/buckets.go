package document

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gelwright/laying"
	"gelwright/mixing"
	"gelwright/scene/reading"
	"gelwright/working"
)

func passName(x laying.Pass) string {
	switch x.Kind {
	case "mat":
		return fmt.Sprintf("mat layer %d", x.Layer)
	case laying.CuttingIn:
		return "cutting in"
	case "top coat":
		if x.Layer > 1 {
			return fmt.Sprintf("top coat %d", x.Layer)
		}
		return "top coat"
	}
	return "bandage and details"
}

// wetDay is the buckets of one part of a pass: what hangs on the board together.
type wetDay struct {
	pass  laying.Pass
	day   int
	mixes []mixing.Mix
	// part of the schedule, nil for none.
	part *laying.PartTime
	// gang that lays them, empty where there is but one.
	gang string
	// gangs is how many lay it at the same time, where they are told together.
	gangs int
}

// name of the stretch: "Bandage and details, gang B".
func (w wetDay) name() string {
	switch {
	case w.gang == "":
		return capital(passName(w.pass))
	case w.gangs > 1:
		return capital(passName(w.pass)) + ", " + countWords(w.gangs, "gang")
	}
	return capital(passName(w.pass)) + ", gang " + w.gang
}

// wetDays parts the wet work by pass and part, in the order of work.
func (d *pack) wetDays() []wetDay {
	var out []wetDay
	for _, x := range d.p.Passes {
		if x.Plan == nil {
			continue
		}
		for i, m := range x.Plan.Mixes {
			part := d.p.Schedule.PartAt(x.Key(), m.Day, m.MixAtMin)
			gang := m.Gang
			if x.Kind == laying.CuttingIn {
				gang = "" // men with a pot each stand under one another on one sheet
			}
			if i == 0 || m.Day != x.Plan.Mixes[i-1].Day || part != out[len(out)-1].part || gang != out[len(out)-1].gang {
				out = append(out, wetDay{pass: x, day: m.Day, part: part, gang: gang})
			}
			last := &out[len(out)-1]
			last.mixes = append(last.mixes, m)
		}
	}
	return out
}

// bucketsWhy stands over the bucket tables.
const bucketsWhy = "Weigh the resin, measure the catalyst, stir 60 to 90 seconds, start the clock. ml and g are the same dose: use the " +
	"one you measure with. 'Lay within' counts from the moment the catalyst goes in, 'gels in' is of the bucket: spread out, it gels later " +
	"on a deck as warm. A dose holds for the deck and the pail that are named: measure both first, and where both are 3 or 6 °C colder " +
	"or warmer than that, take the ml of that column and lay it within its " +
	"minutes ('−6°, in 14'). Where only one of them is off, where it says 'no', or beyond 6 °C, do not mix this bucket as it stands: read " +
	"the dose card by both. A bucket's place is on its drawing."

// buckets is the bucket table: a sheet for each stretch of wet work, in order. Few buckets have
// figures that are read at arm's length; of many, those that are alike share a line.
func (d *pack) buckets() {
	sheets := d.bucketSheets()
	alike := d.alikeKeys()
	for i, s := range sheets {
		t, rows := d.bucketTable(s, d.bucketMarks(s, alike))
		leastMM := d.sheetHeadMM(s, alike) + t.measure(d.pages, rows[:max(min(len(rows), leastRows), min(keptTo(rows, 0), len(rows)))])
		if i == 0 {
			need := d.titleMM(bucketsWhy) + leastMM
			if !d.p.Schedule.Forecast() {
				need += d.framedMM(d.local(d.p.Schedule.Headline()))
			}
			d.follow("Buckets", bucketsWhy, need)
			if !d.p.Schedule.Forecast() {
				d.verdict()
			}
		} else if whole := d.sheetHeadMM(s, alike) + t.measure(d.pages, rows); d.y+whole > bottom &&
			(len(rows) <= fewRows+1 || d.y+leastMM > bottom) {
			d.page()
		}
		d.bucketSheet(i+1, len(sheets), s, alike, t, rows)
	}
	d.refused(len(sheets) == 0)
	if len(sheets) == 0 {
		return
	}
	d.room(8)
	d.write("Stop when it pulls strings. Never add catalyst to a half-mix, never catalyse the drum. What is left over goes, before it gels, "+
		"into dry sand or water outdoors.", sizeSmall, true, 0)
}

// refused says which passes have no bucket at the day's temperature, and what helps.
func (d *pack) refused(first bool) {
	type no struct{ what, why, mend string }
	var list []no
	for _, x := range d.p.Passes {
		if x.Refusal == "" {
			continue
		}
		var mend []string
		for _, r := range x.Remedies {
			mend = append(mend, r.Text)
		}
		n := no{capital(passName(x)) + ", deck " + x.Deck, d.local(capital(x.Refusal)) + ".", d.local(capital(strings.Join(mend, "; "))) + "."}
		if k := len(list) - 1; k >= 0 && list[k].why == n.why {
			list[k].what += "; " + strings.ToLower(n.what[:1]) + n.what[1:]
			continue
		}
		list = append(list, n)
	}
	if len(list) == 0 {
		return
	}
	if first {
		d.begin("Buckets", "At the temperature this was planned for no dose within the data sheet works.")
	}
	for _, n := range list {
		d.item(n.what+": no bucket", n.why+"\n"+n.mend)
	}
}

// alikeKeys gives every bucket the key of the first bucket with the same charge and
// the same gel, so that one working stands for all of them.
func (d *pack) alikeKeys() map[int]string {
	first := map[string]string{}
	out := map[int]string{}
	for _, x := range d.p.Passes {
		if x.Plan == nil {
			continue
		}
		for _, m := range x.Plan.Mixes {
			is := fmt.Sprintf("%s %.6f %.6f %.6f %.6f", x.Resin, m.ResinKG, m.CatalystML, m.Gel.LowMin, m.LayByMin)
			if first[is] == "" {
				first[is] = mixKey(x, m.Number)
			}
			out[m.Number] = first[is]
		}
	}
	return out
}

// mostWorked is how many workings of buckets a sheet prints: under a changing
// temperature each bucket has a dose of its own, and hundreds fill a book. Beyond it the
// first bucket is worked in print and the others in plan.json.
const mostWorked = 16

// workings counts the buckets of the sheet that differ in charge or gel.
func (w wetDay) workings(alike map[int]string) int {
	keys := map[string]bool{}
	for _, m := range w.mixes {
		keys[alike[m.Number]] = true
	}
	return len(keys)
}

// bucketMarks returns what refers to the workings of a bucket in its row: nothing where the line
// above the table does.
func (d *pack) bucketMarks(s bucketSheet, alike map[int]string) func(m mixing.Mix) string {
	if s.across > 0 || s.workings(alike) > mostWorked {
		return func(mixing.Mix) string { return "" }
	}
	return func(m mixing.Mix) string { return d.keyMarks(alike[m.Number]) }
}

// keyMarks refer to the dose of a bucket and to the time within which it is laid.
func (d *pack) keyMarks(key string) string {
	return d.refs.marks([]string{key + ".catalyst_ml", key + ".lay_by"})
}

// leastRows of a bucket table stand below its head.
const leastRows = 2

// sheetHeadMM is the room that stands over the table of a sheet: its band and what is said of it.
func (d *pack) sheetHeadMM(s bucketSheet, alike map[int]string) float64 {
	high := bandMM + 0.5 + d.framedMM(d.withheldWords(s.part))
	for _, w := range d.sheetWords(s, alike) {
		d.font(w.points, w.bold)
		high += lineMM(w.points) * float64(len(d.wrap(w.text, d.width())))
	}
	return high
}

// ownNote reports whether a note is of the sheet's own gang, or of all.
func (s *bucketSheet) ownNote(note string) bool {
	const begins = "gang "
	name, _, ok := strings.Cut(note, ":")
	return s.gang == "" || !ok || !strings.HasPrefix(strings.ToLower(name), begins) || name[len(begins):] == s.gang
}

// sheetLine is a line over the table of a sheet.
type sheetLine struct {
	text   string
	points float64
	bold   bool
}

// sheetWords are the lines over the table of a sheet, below its band and its verdict.
func (d *pack) sheetWords(s bucketSheet, alike map[int]string) []sheetLine {
	x := s.pass
	var out []sheetLine
	if s.part != nil && s.part.First != "" {
		out = append(out, sheetLine{"First: " + d.local(fewOf(s.part.First)) + ".", sizeText, true})
	}
	out = append(out, sheetLine{d.bucketNote(s, alike), sizeSmall, false})
	if x.Begins != "" && s.day == x.Plan.Mixes[0].Day {
		out = append(out, sheetLine{"Begins " + d.local(x.Begins) + ".", sizeSmall, true})
	}
	for _, note := range x.Plan.Notes {
		if strings.Contains(note, waitNote) || s.pots && strings.Contains(note, turnsNote) {
			continue // a wait stands between the buckets, a turn over its own
		}
		if s.ownNote(note) {
			out = append(out, sheetLine{d.local(capital(note)) + ".", sizeSmall, true})
		}
	}
	if over := d.matOver(&x); over != "" {
		out = append(out, sheetLine{over, sizeSmall, true})
	}
	if m := s.mixes[0]; s.gramless() && m.CatalystML > 0 {
		const words = "1 ml of catalyst weighs %s g. Write the hour of mixing under 'at'; where a bucket lies stands on its drawing."
		out = append(out, sheetLine{fmt.Sprintf(words, d.num(m.CatalystG/m.CatalystML, 2)), sizeSmall, false})
	}
	if s.steady {
		out = append(out, sheetLine{d.stateLine(s.mixes[0]), sizeText, true})
	}
	return out
}

func (d *pack) bucketSheet(n, of int, s bucketSheet, alike map[int]string, t table, rows [][]string) {
	x := s.pass
	where := d.partWords(s.wetDay)
	if len(d.p.Decks) > 1 {
		where = x.Deck + ", " + where
	}
	name := fmt.Sprintf("%d of %d   %s", n, of, s.name())
	d.band(name, where)
	d.withheld(s.part)
	for _, w := range d.sheetWords(s, alike) {
		d.write(w.text, w.points, w.bold, 0)
	}
	d.gap(0.5)
	again := func() {
		d.band(name+", continued", where)
		if s.steady {
			d.write(d.stateLine(s.mixes[0]), sizeText, true, 0)
		}
	}
	if s.across > 0 {
		d.sideBySide(t, rows, s.across, again)
		return
	}
	t.again = again
	d.table(t, rows)
}

// bucketNote says what is mixed, how sure it is laid in time, and where its workings stand that
// no row refers to.
func (d *pack) bucketNote(s bucketSheet, alike map[int]string) string {
	x := s.pass
	kg := 0.0
	for _, m := range s.mixes {
		kg += m.ResinKG
	}
	note := fmt.Sprintf("%s. %s, %s kg in all", x.Resin, capital(countWords(len(s.mixes), "bucket")), d.num(kg, 1))
	if x.AreaM2 > 0 {
		note += fmt.Sprintf("; all laid in time: %s %% sure; way out %s", working.Chance(x.Plan.ChanceDay), wayOut(x))
	}
	gangs := s.gangWords()
	if s.pots && gangs != "" {
		gangs = " Each man cuts in from a pot of his own: his letter stands before its number."
	}
	note += "." + gangs
	first := s.mixes[0]
	switch {
	case s.workings(alike) > mostWorked:
		note += fmt.Sprintf(" Bucket %d is worked in full %s; the others go the same way, each in plan.json as %s.", first.Number,
			d.keyMarks(alike[first.Number]), mixKey(x, first.Number))
	case s.across > 0:
		var marks []string
		for _, m := range s.mixes {
			for _, k := range strings.Fields(d.keyMarks(alike[m.Number])) {
				if !slices.Contains(marks, k) {
					marks = append(marks, k)
				}
			}
		}
		note += " Worked under " + marksTogether(marks) + "."
	}
	return note
}

// marksTogether puts references together that follow one another: "[39] to [66], [70]".
func marksTogether(marks []string) string {
	const least = 3
	var numbers []int
	for _, m := range marks {
		if n, err := strconv.Atoi(strings.Trim(m, "[]")); err == nil {
			numbers = append(numbers, n)
		}
	}
	slices.Sort(numbers)
	var out []string
	for from := 0; from < len(numbers); {
		to := from + 1
		for to < len(numbers) && numbers[to] == numbers[to-1]+1 {
			to++
		}
		if to-from >= least {
			out = append(out, fmt.Sprintf("[%d] to [%d]", numbers[from], numbers[to-1]))
			from = to
			continue
		}
		out = append(out, fmt.Sprintf("[%d]", numbers[from]))
		from++
	}
	return strings.Join(out, ", ")
}

// gangWords names the gangs that share a sheet, with their buckets; nothing elsewhere.
func (w wetDay) gangWords() string {
	if w.gang != "" || w.mixes[0].Gang == w.mixes[len(w.mixes)-1].Gang {
		return ""
	}
	var out, gangs []string
	of := map[string][]mixing.Mix{}
	for _, m := range w.mixes {
		if of[m.Gang] == nil {
			gangs = append(gangs, m.Gang)
		}
		of[m.Gang] = append(of[m.Gang], m)
	}
	for _, g := range gangs {
		out = append(out, g+" "+laying.NumbersOf(of[g]))
	}
	return " Each man cuts in from a pot of his own: " + strings.Join(out, "; ") + "."
}

// sideBySide sets a table in parts beside one another on every page, the left read before the right.
func (d *pack) sideBySide(t table, rows [][]string, parts int, again func()) {
	wide := len(t.columns)
	t = t.beside(parts)
	t.again = again
	empty := t.measure(d.pages, nil)
	t.widths(d.width())
	rowMM := 0.0
	for _, r := range rows {
		rowMM = max(rowMM, t.height(d.pages, r))
	}
	for len(rows) > 0 {
		fit := int((bottom - d.y - empty - 0.5) / rowMM)
		if fit < leastRows {
			d.page()
			again()
			continue
		}
		n := min(parts*fit, len(rows))
		high := (n + parts - 1) / parts
		var out [][]string
		for i := range high {
			row := rows[i][:wide:wide]
			for k := i + high; k < n; k += high {
				row = append(append(row, ""), rows[k]...)
			}
			out = append(out, row)
		}
		d.table(t, out)
		rows = rows[n:]
		if len(rows) > 0 {
			d.page()
			again()
		}
	}
}

// waitNote is what the plan says of a break in the work for warmth or shade.
const waitNote = ": wait until "

// turnsNote begins what the plan says of the turns of edges and field.
const turnsNote = "edges and field in turns"

// waitWords is the bar between two buckets that the crew waits between.
func (d *pack) waitWords(m mixing.Mix) string {
	return fmt.Sprintf("— Break of %s: no dose works at the day's temperature before %s —", laying.Lasting(m.WaitedMin),
		clockWords(m.MixAtMin))
}

// clockWords is a minute of the day as the clock shows it.
func clockWords(min float64) string {
	n := int(min + 0.5)
	return fmt.Sprintf("%02d:%02d", n/60, n%60)
}

// bandMM is the height of a band with the room below it.
const bandMM = 11.0

// band is black with white words: what is laid now, so that no two sheets are mixed up.
func (d *pack) band(name, where string) {
	const high = bandMM - 2
	d.f.SetFillColor(0, 0, 0)
	d.f.Rect(left, d.y, d.width(), high, "F")
	d.f.SetTextColor(255, 255, 255)
	d.as(reading.Subheading, name+" "+where, func() {
		d.font(sizeHead-1, true)
		d.text(left+2, d.y+6.4, name)
		room := d.width() - 8 - d.f.GetStringWidth(d.set(name))
		for points := sizeHead - 1; points > sizeSmall && d.f.GetStringWidth(d.set(where)) > room; points -= 0.5 {
			d.font(points, true)
		}
		d.text(pageWidth-right-2-d.f.GetStringWidth(d.set(where)), d.y+6.4, where)
	})
	d.f.SetTextColor(0, 0, 0)
	d.y += bandMM
}

func numbersWords(first, last int) string {
	if first == last {
		return fmt.Sprint(first)
	}
	return fmt.Sprintf("%d–%d", first, last)
}

func wayOut(x laying.Pass) string {
	if x.Plan.WayOut.Holds {
		return "checked after every bucket"
	}
	if x.Plan.WayOut.Trapped != "" {
		return "NOT open: " + x.Plan.WayOut.Trapped + " is cut off"
	}
	return "NOT open throughout"
}
