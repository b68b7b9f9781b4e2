package drawing

import (
	"fmt"
	"slices"
	"strings"

	"gelwright/scene"
)

// Week is the work of a week for one sheet: who stands where, what is done there, how sure it is, and what is fetched for it.
type Week struct {
	// Name of the week, "2026-W23"; Days are its seven days as they are said, "Mon 1 Jun".
	Name string
	Days [7]string
	Rows []WeekRow
	// Fetch is what is bought for the roofs that begin in the week; Roofs where those of the week are and whom to ring; Warnings what is
	// wrong with it.
	Fetch    []WeekFetch
	Roofs    []WeekFetch
	Warnings []string
	// Locale sets the words' decimal mark; Firm stands in the title block.
	Firm string
}

// WeekRow is a crew's week; Mark and Name are empty for the days for which nobody is named.
type WeekRow struct {
	Mark, Name string
	People     int
	Days       [7][]WeekStand
}

// WeekStand is a roof on a day: its name, where it is, which part of the day, the work, how sure it is, and a note. What is empty
// is left out.
type WeekStand struct {
	Title, Site, Part, Work, Chance, Note string
}

// WeekFetch is what is bought for a roof, or what is to be known of it: a line each.
type WeekFetch struct {
	Title string
	Lines []string
}

// Measures of the sheet, mm.
const (
	weekCrewMM   = 24.0
	weekHeadMM   = 8.0
	weekLineMM   = 4.1
	weekFootMM   = 46.0 // the least; it grows where rows leave it room
	weekPadMM    = 1.2
	weekLeastRow = 3 // lines of a row: below that nobody can write in it
)

// WeekSheet draws a week on one sheet: crews as rows, days as columns, under them what is fetched and lines to write on. It is
// black on white; a roof is its name, a crew its mark. What finds no room is said at the foot of its cell, and none is dropped
// silently; more crews than rows of three lines fit are refused.
func WeekSheet(w *Week) (*Sheet, error) {
	w.spell()
	s, err := BlankSheet(Title{Job: "Week " + w.Name, Site: w.Days[0] + " to " + w.Days[6], Drawing: "Crews and roofs of the week",
		DrawnBy: w.Firm, Date: w.Days[0], Sheet: 1, Of: 1}, "A4 landscape", nil)
	if err != nil {
		return nil, err
	}
	b := s.Figure
	grid := scene.Box{Low: scene.Point{X: b.Low.X, Y: b.Low.Y + w.footMM(b)}, High: b.High, Set: true}
	rows, err := w.rowLines(grid.Height() - weekHeadMM)
	if err != nil {
		return nil, err
	}
	s.Add(w.table(grid, rows)...)
	s.Add(w.foot(scene.Box{Low: b.Low, High: scene.Point{X: b.High.X, Y: grid.Low.Y}, Set: true})...)
	return s, nil
}

// rowLines shares the room out among the rows, in lines: each what it wants, what is left in equal parts to write in; where they
// want more than there is, the ones that want most give way.
func (w *Week) rowLines(roomMM float64) ([]int, error) {
	room := int(roomMM / weekLineMM)
	if len(w.Rows) == 0 {
		return nil, nil
	}
	if len(w.Rows)*weekLeastRow > room {
		return nil, fmt.Errorf("week %s: %d crews do not fit one sheet, %d do. Put away crews that do not work that week", w.Name, len(w.Rows),
			room/weekLeastRow)
	}
	lines, sum := make([]int, len(w.Rows)), 0
	for i := range w.Rows {
		lines[i] = weekLeastRow
		for d := range w.Rows[i].Days {
			lines[i] = max(lines[i], len(cellLines(w.Rows[i].Days[d], weekColumnMM))+1)
		}
		sum += lines[i]
	}
	for sum > room {
		most := 0
		for i := range lines {
			if lines[i] > lines[most] {
				most = i
			}
		}
		lines[most]--
		sum--
	}
	for i := 0; sum < room && sum > 0; i++ {
		lines[i%len(lines)]++
		sum++
	}
	return lines, nil
}

// weekColumnMM is the width of a day's column on A4 landscape between its margins, less the padding.
const weekColumnMM = (297-bindingMM-marginMM-weekCrewMM)/7 - 2*weekPadMM - 1

// cellLine is a line of a cell.
type cellLine struct {
	words string
	bold  bool
}

// broken is a text in lines that are no wider than wide; a word that is wider is cut.
func broken(words string, wide float64, bold bool) (out []cellLine) {
	for _, line := range wrapWords(words, wide, scene.TextSmall, bold) {
		for scene.Measure(line, scene.TextSmall, bold).WidthMM > wide && len([]rune(line)) > 2 { // one word that is wider than the column
			r := []rune(line)
			n := len(r) - 1
			for n > 1 && scene.Measure(string(r[:n]), scene.TextSmall, bold).WidthMM > wide {
				n--
			}
			out = append(out, cellLine{string(r[:n]), bold})
			line = string(r[n:])
		}
		out = append(out, cellLine{line, bold})
	}
	return out
}

// cellLines are the lines of what stands in a cell.
func cellLines(stands []WeekStand, wide float64) []cellLine {
	var out []cellLine
	add := func(words string, bold bool) { out = append(out, broken(words, wide, bold)...) }
	for _, x := range stands {
		title := x.Title
		if x.Part != "" {
			title += " (" + x.Part + ")"
		}
		add(title, true)
		for _, more := range []string{x.Site, x.Work, x.Chance, x.Note} {
			if more != "" {
				add(more, false)
			}
		}
	}
	return out
}

// table draws crews and days.
func (w *Week) table(b scene.Box, rows []int) []scene.Item {
	column := (b.Width() - weekCrewMM) / 7
	top := b.High.Y - weekHeadMM
	var items []scene.Item
	var thin, thick []scene.Path
	for d, name := range w.Days {
		x := b.Low.X + weekCrewMM + column*float64(d)
		items = append(items, scene.Text{At: scene.Point{X: x + weekPadMM, Y: top + 2.6}, Content: name, HeightMM: scene.TextUsual, Bold: true})
		thin = append(thin, scene.Polyline(scene.Point{X: x, Y: b.Low.Y}, scene.Point{X: x, Y: b.High.Y}))
	}
	thick = append(thick, scene.Polyline(scene.Point{X: b.Low.X, Y: top}, scene.Point{X: b.High.X, Y: top}))
	if len(rows) == 0 {
		items = append(items, scene.Text{At: scene.Point{X: b.Low.X + 2, Y: top - 8}, Content: "No crew is named and nobody stands on a roof.",
			HeightMM: scene.TextUsual})
	}
	y := top
	for i := range rows {
		high := float64(rows[i]) * weekLineMM
		items = append(items, w.Rows[i].head(b.Low.X, y)...)
		for d := range w.Days {
			items = append(items, cellText(w.Rows[i].Days[d], b.Low.X+weekCrewMM+column*float64(d), y, rows[i])...)
		}
		y -= high
		thin = append(thin, scene.Polyline(scene.Point{X: b.Low.X, Y: y}, scene.Point{X: b.High.X, Y: y}))
	}
	thick = append(thick, scene.Polyline(scene.Point{X: b.Low.X, Y: b.Low.Y}, scene.Point{X: b.High.X, Y: b.Low.Y}))
	return append(items, scene.Shape{Stroke: scene.Pen(scene.Hairline), Paths: thin},
		scene.Shape{Stroke: scene.Pen(scene.Medium), Paths: thick})
}

// head names a crew at the left of its row.
func (r *WeekRow) head(x, y float64) []scene.Item {
	if r.Mark == "" {
		return []scene.Item{scene.Text{At: scene.Point{X: x + weekPadMM, Y: y - 4.5}, Content: "no crew yet", HeightMM: scene.TextSmall}}
	}
	hands := fmt.Sprintf("%d hands", r.People)
	if r.People == 1 {
		hands = "1 hand"
	}
	name, high := fit(r.Name, weekCrewMM-2*weekPadMM-scene.Measure(r.Mark, scene.TextUsual, true).WidthMM-4, false)
	wide := scene.Measure(r.Mark, scene.TextUsual, true).WidthMM + 2
	box := scene.Polyline(scene.Point{X: x + weekPadMM, Y: y - 6.4}, scene.Point{X: x + weekPadMM + wide, Y: y - 6.4},
		scene.Point{X: x + weekPadMM + wide, Y: y - 1.2}, scene.Point{X: x + weekPadMM, Y: y - 1.2}, scene.Point{X: x + weekPadMM, Y: y - 6.4})
	return []scene.Item{scene.Shape{Stroke: scene.Pen(scene.Medium), Paths: []scene.Path{box}},
		scene.Text{At: scene.Point{X: x + weekPadMM + 1, Y: y - 5.3}, Content: r.Mark, HeightMM: scene.TextUsual, Bold: true},
		scene.Text{At: scene.Point{X: x + weekPadMM + wide + 1.4, Y: y - 5}, Content: name, HeightMM: high},
		scene.Text{At: scene.Point{X: x + weekPadMM, Y: y - 10}, Content: hands, HeightMM: scene.TextSmall}}
}

// cellText letters a cell of so many lines; what finds no room is counted in its last one.
func cellText(stands []WeekStand, x, y float64, room int) []scene.Item {
	lines := cellLines(stands, weekColumnMM)
	if most := room - 1; len(lines) > most {
		left := len(lines) - (most - 1)
		lines = append(lines[:most-1:most-1], cellLine{fmt.Sprintf("… %d more lines", left), true})
	}
	var items []scene.Item
	for i, l := range lines {
		items = append(items, scene.Text{At: scene.Point{X: x + weekPadMM, Y: y - weekLineMM*(float64(i)+1)}, Content: l.words,
			HeightMM: scene.TextSmall, Bold: l.bold})
	}
	return items
}

// The foot's columns as shares of its width: what is fetched, where the roofs are, and lines to write on.
const (
	weekFetchShare = 0.44
	weekRoofsShare = 0.36
)

// footLines are the lines of the foot's two columns.
func (w *Week) footLines(wide float64) (fetch, roofs []cellLine) {
	for _, warning := range w.Warnings {
		fetch = append(fetch, broken(warning, wide*weekFetchShare-4, true)...)
	}
	for _, f := range w.Fetch {
		fetch = append(fetch, broken(f.Title, wide*weekFetchShare-4, true)...)
		fetch = append(fetch, broken(strings.Join(f.Lines, "; "), wide*weekFetchShare-4, false)...)
	}
	for _, f := range w.Roofs {
		roofs = append(roofs, broken(f.Title, wide*weekRoofsShare-4, true)...)
		for _, l := range f.Lines {
			roofs = append(roofs, broken(l, wide*weekRoofsShare-4, false)...)
		}
	}
	return fetch, roofs
}

// footMM is the height of the foot: what its lines want, where the crews' rows leave it.
func (w *Week) footMM(b scene.Box) float64 {
	fetch, roofs := w.footLines(b.Width())
	want := 9.5 + weekLineMM*float64(max(len(fetch), len(roofs)))
	rows := 0
	for i := range w.Rows {
		lines := weekLeastRow
		for d := range w.Rows[i].Days {
			lines = max(lines, len(cellLines(w.Rows[i].Days[d], weekColumnMM))+1)
		}
		rows += lines
	}
	return max(weekFootMM, min(want, b.Height()-weekHeadMM-weekLineMM*float64(max(rows, weekLeastRow))))
}

// foot letters what is fetched at the left, where the roofs are and whom to ring beside it, and lines to write on at the right.
func (w *Week) foot(b scene.Box) []scene.Item {
	at := func(x, y float64) scene.Point { return scene.Point{X: b.Low.X + x, Y: b.High.Y - y} }
	second, third := b.Width()*weekFetchShare, b.Width()*(weekFetchShare+weekRoofsShare)
	fetch, roofs := w.footLines(b.Width())
	if len(fetch) == 0 {
		fetch = append(fetch, cellLine{"nothing that a plan knows of", false})
	}
	most := int((b.Height() - 8) / weekLineMM)
	var items []scene.Item
	for _, c := range []struct {
		x           float64
		head, where string
		lines       []cellLine
	}{{1, "To fetch", "see Order of each roof", fetch}, {second + 2, "Where, and whom to ring", "see the sheets of the jobs", roofs},
		{third + 2, "Notes", "", nil}} {
		items = append(items, scene.Text{At: at(c.x, 5.5), Content: c.head, HeightMM: scene.TextUsual, Bold: true})
		if len(c.lines) > most {
			left := len(c.lines) - most + 1
			c.lines = append(c.lines[:most-1:most-1], cellLine{fmt.Sprintf("… %d more lines: %s", left, c.where), true})
		}
		for i, l := range c.lines {
			items = append(items, scene.Text{At: at(c.x, 9.5+weekLineMM*float64(i)), Content: l.words, HeightMM: scene.TextSmall, Bold: l.bold})
		}
	}
	rules := []scene.Path{scene.Polyline(at(second, 1), at(second, b.Height())), scene.Polyline(at(third, 1), at(third, b.Height()))}
	for y := 13.0; y < b.Height()-1; y += 7.5 {
		rules = append(rules, scene.Polyline(at(third+2, y), at(b.Width()-1, y)))
	}
	return append(items, scene.Shape{Stroke: scene.Pen(scene.Hairline), Paths: rules})
}

// texts are all texts of the week that somebody typed.
func (w *Week) texts() []*string {
	out := []*string{&w.Firm}
	for i := range w.Rows {
		out = append(out, &w.Rows[i].Mark, &w.Rows[i].Name)
		for d := range w.Rows[i].Days {
			for n := range w.Rows[i].Days[d] {
				x := &w.Rows[i].Days[d][n]
				out = append(out, &x.Title, &x.Site, &x.Work, &x.Chance, &x.Note)
			}
		}
	}
	for _, list := range [][]WeekFetch{w.Roofs, w.Fetch} {
		for i := range list {
			out = append(out, &list[i].Title)
			for n := range list[i].Lines {
				out = append(out, &list[i].Lines[n])
			}
		}
	}
	return out
}

// spell puts a ? in place of each letter that the lettering lacks, and says at the foot which these are: a name that cannot be printed
// is not to look like one that can.
func (w *Week) spell() {
	var lacks []string
	for _, s := range w.texts() {
		for _, r := range scene.Lacks(*s) {
			*s = strings.ReplaceAll(*s, string(r), "?")
			if name := fmt.Sprintf("U+%04X", r); !slices.Contains(lacks, name) {
				lacks = append(lacks, name)
			}
		}
	}
	const most = 6
	if n := len(lacks); n > most {
		lacks = append(lacks[:most:most], fmt.Sprintf("and %d more", n-most))
	}
	if len(lacks) > 0 {
		w.Warnings = append(w.Warnings, fmt.Sprintf("This sheet's lettering lacks some letters (%s): they stand as ?. The office's page "+
			"shows them.", strings.Join(lacks, ", ")))
	}
}
