package document

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"gelwright/drawing"
	"gelwright/framing"
	"gelwright/plan"
	"gelwright/settingout"
)

// cutLists says what is bought and cut; what is cut once is numbered on its cutting diagram, and
// boards and lengths that are cut alike share a line, under the letter of theirs.
func (d *pack) cutLists() {
	d.begin("Cut lists",
		"Numbers are those of set-out, cutting diagrams and labels; bandage, torn off the roll where it is laid, and noggins have no labels. "+
			"What is cut several times has a letter on its diagram and its numbers here. 'Least for these pieces': they cannot be cut from "+
			"fewer; another layout may have other pieces, but none takes fewer than is said. Millimetres.")
	for i := range d.p.Decks {
		k := &d.p.Decks[i]
		d.drawn(k)
		for _, m := range k.Materials() {
			if len(m.Stock) > 0 && !onDiagram(m) {
				d.cutList(k, m)
			}
		}
		d.strips(k)
		for _, c := range k.Choices() {
			if text, _, _ := strings.Cut(c.Text, settingout.ToKeepRows); text != "" {
				d.write(capital(c.About)+": "+d.local(text)+".", sizeSmall, false, 0)
			}
		}
		for _, f := range k.Notes() {
			d.hanging("•", d.local(joinNonEmpty(": ", f.Where, f.Text)), sizeSmall, 5)
		}
	}
}

// onDiagram reports whether a material has cutting diagrams.
func onDiagram(m settingout.Material) bool {
	return m.Kind == settingout.Board || m.Kind == settingout.Trim
}

// drawn is what is bought of the materials that have cutting diagrams, and the numbers of what is
// cut several times.
func (d *pack) drawn(k *plan.Deck) {
	var rows [][]string
	first := true
	for _, m := range k.Materials() {
		if len(m.Stock) == 0 || !onDiagram(m) {
			continue
		}
		if first {
			d.heading("Deck "+k.Name+": boards and trims", 16)
			first = false
		}
		items, waste := cutKeys(k.Name, m.Kind)
		const nameMM = 56.0
		d.hanging(m.Name, fmt.Sprintf("%s to buy %s, %s, waste %s.%s", counted(m.Items, m.Unit), d.refs.mark(items), d.proof(m),
			with(d.num(m.WastePct, 1)+" %", d.refs.mark(waste)), takenWords(m)), sizeSmall, nameMM)
		name := m.Name
		for _, r := range severalRows(m, k.Pieces()) {
			rows = append(rows, append([]string{name}, r...))
			name = ""
		}
	}
	if len(rows) == 0 {
		return
	}
	d.table(table{columns: []column{{head: "cut several times", share: 36, bold: true}, {head: "", share: 8, bold: true},
		{head: "off", share: 8, number: true, bold: true}, {head: "place, size: pieces", share: 126}}, points: listPoints(rows)}, rows)
}

// severalRows are the patterns that more than one board or length is cut by.
func severalRows(m settingout.Material, pieces []settingout.Piece) [][]string {
	rows, _ := patternRows(m, pieces)
	var out [][]string
	for i, p := range drawing.Patterns(m, pieces) {
		if len(p.Stock) > 1 {
			out = append(out, []string{rows[i][0], rows[i][1], rows[i][4]})
		}
	}
	return out
}

// takenWords says what of a material is in hand already.
func takenWords(m settingout.Material) string {
	var taken []string
	for _, t := range m.Taken {
		words := fmt.Sprintf("%d × %s", t.Count, sizeOf(t.LengthMM, t.WidthMM))
		if t.Where != "" {
			words += " (" + t.Where + ")"
		}
		taken = append(taken, words)
	}
	if len(taken) == 0 {
		return ""
	}
	return " Taken of what is in hand: " + strings.Join(taken, ", ") + "."
}

// cutKeys are the figures behind a material's totals.
func cutKeys(deck string, kind settingout.Kind) (items, waste string) {
	at := "setout." + deck + "."
	switch kind {
	case settingout.Board:
		return at + "boards", at + "board_waste"
	case settingout.Mat:
		return at + "mat", at + "mat_waste"
	}
	return at + "trim_m", ""
}

// cutList is a material that has no diagram: what comes off its rolls.
func (d *pack) cutList(k *plan.Deck, m settingout.Material) {
	items, waste := cutKeys(k.Name, m.Kind)
	d.heading("Deck "+k.Name+": "+m.Name+", runs off the roll", 16)
	d.write(fmt.Sprintf("%s m² off the roll for %s m² of pieces %s, waste %s; %s.%s", d.num(m.Bought, 1), d.num(m.Used, 1),
		d.refs.mark(items), with(d.num(m.WastePct, 1)+" %", d.refs.mark(waste)), d.proof(m), takenWords(m)), sizeSmall, false, 0)
	d.rolls(m)
	rows, sloped := patternRows(m, k.Pieces())
	if sloped {
		d.write("Two figures, as 2400/900: a slope is cut; the lengths at both long sides × at both ends, 0 is a point. Their shapes are on "+
			"the cutting diagrams.", sizeSmall, false, 0)
	}
	from, run, pieces, keep := 19.0, 18.0, 80.0, 22.0
	if len(rows) > shortList {
		// A cell of many pieces is high: it has the room of what is short in small type.
		from, run, pieces, keep = 20, 14, 102, 16
	}
	d.table(table{columns: []column{{head: "", share: 7, bold: true}, {head: "off", share: 7, number: true, bold: true},
		{head: "from", share: from}, {head: "run", share: run}, {head: "cut, size: pieces", share: pieces}, {head: "keep", share: keep}},
		points: listPoints(rows)}, rows)
}

// shortList has so few lines that no width needs saving.
const shortList = 10

// listPoints is the size of type of a list: a long one is set small.
func listPoints(rows [][]string) float64 {
	const long = 15
	if len(rows) > long {
		return sizeTiny
	}
	return sizeSmall
}

// patternRows are the lines of a cut list, and whether a slope is cut in any.
func patternRows(m settingout.Material, pieces []settingout.Piece) (rows [][]string, sloped bool) {
	sizes := map[string]string{}
	for _, x := range pieces {
		if size := drawing.PieceSize(x); strings.Contains(size, "/") {
			sizes[x.Number] = size
		}
	}
	for _, p := range drawing.Patterns(m, pieces) {
		s := p.Stock[0]
		var numbers, cuts, keep []string
		for _, x := range p.Stock {
			numbers = append(numbers, fmt.Sprint(x.Number))
		}
		for i, c := range s.Cuts {
			var numbers []string
			for _, x := range p.Stock {
				numbers = append(numbers, x.Cuts[i].Piece)
			}
			place := ""
			if len(p.Stock) > 1 && len(s.Cuts) > 1 {
				place = strings.ToLower(letter(i)) + " "
			}
			size := sizeOf(c.LengthMM, c.WidthMM)
			if s := sizes[c.Piece]; s != "" {
				size, sloped = s, true
			}
			cuts = append(cuts, fmt.Sprintf("%s%s: %s", place, size, steps(numbers)))
		}
		for _, o := range s.Offcuts {
			keep = append(keep, sizeOf(o.LengthMM, o.WidthMM))
		}
		from := sizeOf(s.LengthMM, s.WidthMM)
		switch {
		case strings.HasPrefix(s.Where, settingout.OffcutOf("")):
			from += ", " + s.Where
		case s.InHand:
			from += joinNonEmpty(" ", ", in hand", s.Where)
		}
		rows = append(rows, []string{p.Name, fmt.Sprint(len(p.Stock)), from, runs(numbers), strings.Join(cuts, ";  "), strings.Join(keep, ", ")})
	}
	return rows, sloped
}

// counted puts a number before a unit that is named in the plural: "1 length", "3 lengths".
func counted(n int, units string) string {
	if n == 1 {
		units = strings.TrimSuffix(units, "s")
	}
	return fmt.Sprintf("%d %s", n, units)
}

// proof says how good the plan is known to be.
func (d *pack) proof(m settingout.Material) string { return m.Proof(d.num) }

// fewRolls stand in one column; more in two beside one another.
const fewRolls = 6

// rolls says which runs come off which roll, and what is left on it.
func (d *pack) rolls(m settingout.Material) {
	var rows [][]string
	for _, r := range m.Rolls {
		var numbers []string
		for _, n := range r.Runs {
			numbers = append(numbers, fmt.Sprint(n))
		}
		origin := "to buy"
		switch {
		case r.InHand && r.Bought:
			origin = r.Where
		case r.InHand:
			origin = joinNonEmpty(", ", "in hand", r.Where)
		}
		rows = append(rows, []string{fmt.Sprint(r.Number), d.num(float64(r.LengthMM)/1000, 2), origin, runs(numbers),
			d.num(float64(r.LeftMM)/1000, 2)})
	}
	if len(rows) == 0 {
		return
	}
	columns := []column{{head: "roll", share: 9, bold: true}, {head: "length m", share: 14, number: true},
		{head: "", share: 32}, {head: "runs, in this order", share: 80}, {head: "left on it m", share: 16, number: true}}
	if len(rows) > fewRolls {
		for i, share := range []float64{12, 16, 18, 34, 17} {
			columns[i].share = share
		}
		d.table(table{columns: append(columns, columns...)}, sideBySide(rows, len(columns)))
		return
	}
	d.table(table{columns: columns}, rows)
}

func letter(i int) string { return string(rune('A' + i%26)) }

// columnLetter names the i-th of a long list: A to Z, then AA and on.
func columnLetter(i int) string {
	if i < 26 {
		return letter(i)
	}
	return columnLetter(i/26-1) + letter(i)
}

// sizeOf writes a length, or a length and a width.
func sizeOf(lengthMM, widthMM int) string {
	if widthMM == 0 {
		return fmt.Sprint(lengthMM)
	}
	return fmt.Sprintf("%d×%d", lengthMM, widthMM)
}

// strips lists upstand and bandage pieces to cut and number before mixing, and noggins, in
// one table; pieces that are alike share a line. The mat of the field stands with its rolls.
func (d *pack) strips(k *plan.Deck) {
	groups := map[string][]settingout.Piece{}
	var names []string
	for _, x := range k.Pieces() {
		name := stripName(x)
		if name == "" {
			continue
		}
		if groups[name] == nil {
			names = append(names, name)
		}
		groups[name] = append(groups[name], x)
	}
	var rows [][]string
	for _, name := range names {
		sizes := alikeSizes(groups[name])
		if len(sizes) > mostTorn && groups[name][0].Kind == settingout.Bandage {
			sizes = torn(groups[name])
		}
		for i, row := range sizes {
			first := ""
			if i == 0 {
				first = name
			}
			rows = append(rows, append([]string{first}, row...))
		}
	}
	if len(rows) == 0 {
		return
	}
	d.heading("Deck "+k.Name+": strips, patches and noggins", 14)
	columns := []column{{head: "", share: 26, bold: true}, {head: "off", share: 8, number: true, bold: true},
		{head: "length mm", share: 13, number: true}, {head: "width mm", share: 12, number: true}, {head: "numbers", share: 40}}
	// A row of two halves is as high as its longer list: what is torn off by the drawing needs no full one.
	const most = 64
	for _, r := range rows {
		last := len(r) - 1
		if n, err := strconv.Atoi(r[1]); err == nil {
			r[last] = atMost(r[last], most, n)
		}
	}
	if longest(rows, len(columns)-1) > 30 {
		columns[0].share, columns[len(columns)-1].share = 22, 52
	}
	d.table(table{columns: append(columns, columns...), points: listPoints(rows)}, sideBySide(rows, len(columns)))
}

// mostTorn is how many lengths of one bandage are listed: it is torn off where it is laid, and a crew measures
// rather than looks for one of so many.
const mostTorn = 12

// torn is all strips of a bandage in one line.
func torn(pieces []settingout.Piece) [][]string {
	longest, wide := 0, 0
	for _, x := range pieces {
		longest, wide = max(longest, x.LengthMM), max(wide, x.WidthMM)
	}
	return [][]string{{fmt.Sprint(len(pieces)), fmt.Sprintf("≤ %d", longest), fmt.Sprint(wide), "each by its joint or edge"}}
}

// stripName is the group that a piece of a cut list is told in; "" where it is told elsewhere.
func stripName(x settingout.Piece) string {
	switch {
	case x.Kind == settingout.Mat && x.Upright:
		return "upstand, kerb mat"
	case x.Kind == settingout.Patch:
		return "patches"
	case framing.Trimmer(x):
		return "headers, of joist depth"
	case x.Kind == settingout.Noggin:
		return "noggins"
	case x.Kind == settingout.Bandage:
		return x.Material
	}
	return ""
}

// longest is how long the longest cell of a column is.
func longest(rows [][]string, column int) int {
	n := 0
	for _, r := range rows {
		n = max(n, len([]rune(r[column])))
	}
	return n
}

// sideBySide puts the second half of a list beside the first; rows are this wide.
func sideBySide(rows [][]string, wide int) [][]string {
	half := (len(rows) + 1) / 2
	out := make([][]string, half)
	for i := range half {
		out[i] = append(make([]string, 0, 2*wide), rows[i]...)
		if i+half < len(rows) {
			out[i] = append(out[i], rows[i+half]...)
		}
	}
	return out
}

// alikeSizes lists pieces by size, largest first, with their numbers.
func alikeSizes(pieces []settingout.Piece) [][]string {
	type size struct{ l, w int }
	var order []size
	by := map[size][]string{}
	for _, x := range pieces {
		s := size{x.LengthMM, x.WidthMM}
		if by[s] == nil {
			order = append(order, s)
		}
		by[s] = append(by[s], x.Number)
	}
	sort.SliceStable(order, func(i, j int) bool {
		return order[i].l > order[j].l || order[i].l == order[j].l && order[i].w > order[j].w
	})
	var rows [][]string
	for _, s := range order {
		rows = append(rows, []string{fmt.Sprint(len(by[s])), fmt.Sprint(s.l), fmt.Sprint(s.w), steps(by[s])})
	}
	return rows
}

// offcuts lists what is worth keeping, as stock for the next job.
func (d *pack) offcuts() {
	var rows [][]string
	type group struct{ deck, material string }
	type size struct{ l, w int }
	var groups []group
	order, from := map[group][]size{}, map[group]map[size][]string{}
	for _, o := range d.p.Kept() {
		g, is := group{o.Deck, o.Material}, size{o.LengthMM, o.WidthMM}
		if from[g] == nil {
			groups, from[g] = append(groups, g), map[size][]string{}
		}
		if from[g][is] == nil {
			order[g] = append(order[g], is)
		}
		from[g][is] = append(from[g][is], o.From)
	}
	for _, g := range groups {
		sizes := order[g]
		sort.SliceStable(sizes, func(i, j int) bool { return sizes[i].l*max(sizes[i].w, 1) > sizes[j].l*max(sizes[j].w, 1) })
		for _, s := range sizes {
			width := ""
			if s.w > 0 {
				width = fmt.Sprint(s.w)
			}
			rows = append(rows, []string{"", g.material, fmt.Sprint(len(from[g][s])), fmt.Sprint(s.l), width, runs(from[g][s]), g.deck, ""})
		}
	}
	if len(rows) == 0 {
		return
	}
	// Rows a little lower rather than a few alone on a page.
	leastMM := 6.0
	const headMM, lowMM, few = 36.0, 5.2, 5
	if over := headMM + leastMM*float64(len(rows)) - (bottom - top); over > 0 && over < few*leastMM {
		leastMM = lowMM
	}
	d.follow("Offcuts to keep",
		"Stock for the next job: write where each goes, and enter it in the firm file under offcuts. The list is also in lists/offcuts.csv.",
		30+6*float64(len(rows)))
	d.table(table{columns: []column{{head: "", share: 6, tick: true}, {head: "material", share: 56, bold: true},
		{head: "off", share: 9, number: true, bold: true}, {head: "length mm", share: 15, number: true},
		{head: "width mm", share: 14, number: true}, {head: "from no.", share: 28}, {head: "deck", share: 20},
		{head: "kept where", share: 26}}, leastMM: leastMM}, rows)
}
