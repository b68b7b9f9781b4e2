package drawing

import (
	"fmt"
	"sort"
	"strings"

	"gelwright/roof"
	"gelwright/scene"
)

// Sections draws the edges of a job in section, one for each that differs, on as
// many sheets as they take, at 1:5, or at 1:10 where that takes fewer.
func Sections(job *roof.Job) ([]*Sheet, error) {
	details := detailsOf(job)
	if len(details) == 0 {
		return nil, fmt.Errorf("sections of %q: no deck has an edge with a condition: give each edge one", job.Name)
	}
	var best sectionSheets
	for i, scale := range detailScales {
		tried, ok := sectionsAt(details, scale, formats[:], nil)
		if !ok {
			return nil, fmt.Errorf("sections of %q: the key of materials does not fit the sheet", job.Name)
		}
		if i == 0 || len(tried.rows) < len(best.rows) {
			best = tried
		}
		if len(best.rows) == 1 {
			break
		}
	}
	// What was tried last may not be what is taken.
	best, _ = sectionsAt(details, best.scale, formats[:], nil)
	var out []*Sheet
	for _, rows := range best.rows {
		name := "Edges in section"
		if len(out) > 0 {
			name += fmt.Sprintf(", part %d", len(out)+1)
		}
		s := emptySheet(TitleOf(job, name), best.layout, best.format, best.scale, best.area, best.key)
		s.drawRows(rows, best.columns)
		out = append(out, s)
	}
	return out, nil
}

// sectionsOn draws all edges in section on a half of a sheet, at the largest scale that it holds
// them at, with what the other half has no room for in its key; nil where it holds them at none.
// Where no scale holds them with their dimensions they stand without: a sheet less is worth more.
func sectionsOn(job *roof.Job, half Format, key []KeyEntry) *Sheet {
	for _, bare := range []bool{false, true} {
		for _, scale := range detailScales {
			if s := sectionsOnAt(job, half, key, scale, bare); s != nil {
				return s
			}
		}
	}
	return nil
}

func sectionsOnAt(job *roof.Job, half Format, key []KeyEntry, scale float64, bare bool) *Sheet {
	details := detailsOf(job)
	for _, d := range details {
		d.bare = bare
	}
	on, ok := sectionsAt(details, scale, []Format{half}, key)
	if !ok || len(on.rows) != 1 || widestOf(details) > on.area.Width() {
		return nil
	}
	high := 0.0
	for _, r := range on.rows[0] {
		high += r.high()
	}
	if high > on.area.Height() {
		return nil
	}
	t := TitleOf(job, "Edges in section")
	t.Seat = &half
	s := emptySheet(t, on.layout, on.format, on.scale, on.area, on.key)
	s.drawRows(on.rows[0], on.columns)
	return s
}

// sectionSheets is how details lie on sheets of one scale.
type sectionSheets struct {
	scale     float64
	layout    Layout
	format    Format
	columns   int
	area, key scene.Box
	rows      [][]row
}

// sectionsAt composes the details at a scale and packs them on sheets of the first format that is
// wide enough, or of the last, with more in the key than what they show; it fails when the key
// finds no room.
func sectionsAt(details []*detail, scale float64, formats []Format, more []KeyEntry) (sectionSheets, bool) {
	for _, d := range details {
		d.items = d.clear(scale)
		d.box = scene.BoxOf(d.items...)
	}
	// The tall ones stand together, which takes the fewest sheets.
	sort.SliceStable(details, func(i, j int) bool { return details[i].box.Height() > details[j].box.Height() })
	for i, d := range details {
		_, title, lettered := strings.Cut(d.title, "  ")
		if !lettered {
			title = d.title
		}
		d.id, d.title = fmt.Sprintf("section-%d", i+1), letter(i)+"  "+title
	}
	key := append(sectionKey(details), keyIn(speakerOfDetails(details), more)...)
	out := sectionSheets{scale: scale, layout: Layout{Key: key, Largest: scale}, format: formats[0],
		columns: 1}
	var ok bool
	out.area, out.key, ok = zones(out.format, out.layout)
	widest := widestOf(details)
	switch {
	case ok && widest > out.area.Width() && len(formats) > 1:
		out.format = formats[1]
		out.area, out.key, ok = zones(out.format, out.layout)
	case ok && widest <= out.area.Width()/2:
		out.columns = 2
	}
	out.rows = pack(details, out.columns, out.area)
	return out, ok
}

func widestOf(ds []*detail) float64 {
	w := 0.0
	for _, d := range ds {
		w = max(w, d.box.Width())
	}
	return w
}

// letter names the i-th section: A to Z, then AA and on.
func letter(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letter(i/26-1) + letter(i%26)
}

// row is details side by side, their decks level; up and down reach from the deck.
type row struct {
	details  []*detail
	up, down float64
}

func (r row) high() float64 { return r.up + r.down + detailHeadMM }

// pack fills sheets with rows from the top.
func pack(ds []*detail, columns int, area scene.Box) [][]row {
	var out [][]row
	left := 0.0
	for i := 0; i < len(ds); i += columns {
		r := row{details: ds[i:min(i+columns, len(ds))]}
		for _, d := range r.details {
			r.up, r.down = max(r.up, d.box.High.Y), max(r.down, -d.box.Low.Y)
		}
		if len(out) == 0 || r.high() > left {
			out = append(out, nil)
			left = area.Height()
		}
		out[len(out)-1] = append(out[len(out)-1], r)
		left -= r.high()
	}
	return out
}

// drawRows shares the room left over between the rows.
func (s *Sheet) drawRows(rows []row, columns int) {
	left := s.Figure.Height()
	for _, r := range rows {
		left -= r.high()
	}
	gap := max(0, min(left/float64(len(rows)+1), 25))
	cell := s.Figure.Width() / float64(columns)
	y := s.Figure.High.Y
	for i, r := range rows {
		if i > 0 {
			y -= gap
		}
		for k, d := range r.details {
			x0 := s.Figure.Low.X + cell*float64(k)
			origin := xy(x0+cell/2-d.box.Centre().X, y-detailHeadMM-r.up)
			s.Add(
				scene.Text{Meta: scene.Meta{Layer: "names"}, At: xy(x0+4, y-7), Content: d.title, HeightMM: scene.TextTitle, Bold: true},
				scene.Text{Meta: scene.Meta{Layer: "names"}, At: xy(x0+4, y-12), Content: d.where, HeightMM: scene.TextSmall},
				scene.Group{Meta: scene.Meta{ID: d.id, Class: "section", Title: "Section " + strings.Replace(d.title, "  ", ": ", 1) + ", " +
					d.where + ": " + d.spoken()}, Place: scene.Transform{Move: origin}, Items: d.items},
			)
		}
		y -= r.high()
	}
}

// detailHeadMM is the room for a detail's name.
const detailHeadMM = 13.5
