package drawing

import (
	"fmt"
	"math"
	"strings"

	"gelwright/plan"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/scene"
	"gelwright/scene/code"
	"gelwright/settingout"
)

// The sheet of labels: A4 in three columns of eight, 70 × 37.1 mm each, with no gap.
const (
	labelColumns = 3
	labelRows    = 8
	labelWideMM  = 210.0 / labelColumns
	labelHighMM  = 297.0 / labelRows
	labelRimMM   = 4.5 // printers leave the edge of the paper white
	qrMostMM     = 28.0
)

// Label is what is stuck on one piece.
type Label struct {
	// Code is what the square holds: job reference, deck and piece number, parted by "/".
	Code string
	// Number is large; Size, Place and Job are lines beside the square.
	Number, Size, Place, Job string
}

// Labels lists a label for every piece that is cut ahead, carried to its place and mistaken
// for another: firrings, boards, trims, corners. Mat and bandage are cut where they are laid,
// noggins are all alike.
func Labels(p *plan.Plan) []Label {
	job := p.Job.Reference
	if job == "" {
		job = slug(p.Job.Name)
	}
	words := p.Job.Reference
	if words == "" {
		words = p.Job.Name
	}
	var out []Label
	for i := range p.Decks {
		d := &p.Decks[i]
		add := func(number, size, place string) {
			if len(p.Decks) > 1 {
				place = d.Name + ": " + place
			}
			out = append(out, Label{Code: job + "/" + d.Name + "/" + number, Number: number, Size: size, Place: place, Job: words})
		}
		for _, f := range d.Firrings {
			add(f.Number, firringSize(f), firringPlace(f))
		}
		for _, x := range d.Pieces() {
			switch x.Kind {
			case settingout.Board, settingout.Trim, settingout.Corner:
				add(x.Number, PieceSize(x), placeOf(p.Job.Decks[i].Edges, x, stackOf(d, x)))
			}
		}
	}
	return out
}

// firringSize is a firring's length and heights, and the timber it is cut from where a
// skew end makes that longer.
func firringSize(f runoff.Firring) string {
	size := fmt.Sprintf("%.0f × %.0f–%.0f", f.LengthM*1000, min(f.FromMM, f.ToMM), max(f.FromMM, f.ToMM))
	if math.Abs(f.FromMM-f.ToMM) < 0.5 {
		size = fmt.Sprintf("%.0f × %.0f", f.LengthM*1000, f.FromMM)
	}
	if long := f.CutMM(); long > f.LengthMM() {
		size += fmt.Sprintf(" of %d", long)
	}
	return size
}

// firringPlace says how a firring lies, with what of its note goes on two lines.
func firringPlace(f runoff.Firring) string {
	words := "firring, thin end low"
	if math.Abs(f.FromMM-f.ToMM) < 0.5 {
		words = "packing of one height"
	}
	for k := range f.SkewDeg {
		if a := math.Round(math.Abs(f.SkewDeg[k])); a > 0 {
			end := "thick end"
			switch {
			case math.Abs(f.FromMM-f.ToMM) < 0.05:
				end = "one end"
			case (f.FromMM < f.ToMM) == (k == 0):
				end = "thin end"
			}
			words += fmt.Sprintf("; %s skew %.0f°", end, a)
		}
	}
	if strings.HasPrefix(f.Note, "set in") {
		words += "; set in"
	}
	return words
}

// LabelSheets draws the labels, 24 to a sheet of A4.
func LabelSheets(p *plan.Plan) ([]*scene.Scene, error) {
	labels, in := Labels(p), p.Job.Site.Said
	var sheets []*scene.Scene
	for i, l := range labels {
		l.Size, l.Place = in.Say(l.Size), in.Say(l.Place)
		seat := i % (labelColumns * labelRows)
		if seat == 0 {
			sheets = append(sheets, labelSheet(in.Say(fmt.Sprintf("Labels, sheet %d", len(sheets)+1))))
		}
		x := labelWideMM * float64(seat%labelColumns)
		y := 297 - labelHighMM*float64(seat/labelColumns+1)
		items, err := l.items()
		if err != nil {
			return nil, fmt.Errorf("label %s: %w", l.Number, err)
		}
		sheets[len(sheets)-1].Add(scene.Group{Meta: scene.Meta{Title: in.Say("Label") + " " + l.Number + ", " + l.Size, Class: "label"},
			Place: scene.Transform{Move: scene.Point{X: x, Y: y}}, Items: items})
	}
	return sheets, nil
}

// labelSheet begins a sheet with grey crosses where the labels meet, to cut plain
// paper by.
func labelSheet(title string) *scene.Scene {
	s := &scene.Scene{Title: title, WidthMM: 210, HeightMM: 297}
	var cross []scene.Path
	for i := 0; i <= labelColumns; i++ {
		for k := 0; k <= labelRows; k++ {
			x, y := labelWideMM*float64(i), labelHighMM*float64(k)
			cross = append(cross, scene.Polyline(scene.Point{X: x - 2, Y: y}, scene.Point{X: x + 2, Y: y}),
				scene.Polyline(scene.Point{X: x, Y: y - 2}, scene.Point{X: x, Y: y + 2}))
		}
	}
	s.Add(scene.Shape{Paths: cross, Stroke: scene.Stroke{WidthMM: scene.Hairline, Colour: scene.MiddleGrey}})
	return s
}

// items draws one label from its lower left corner.
func (l Label) items() ([]scene.Item, error) {
	square, err := code.Square(l.Code, scene.Point{X: labelRimMM - 1, Y: (labelHighMM - qrMostMM) / 2}, qrMostMM)
	if err != nil {
		return nil, fmt.Errorf("shorten the job's reference: %w", err)
	}
	x := labelRimMM + qrMostMM
	wide := labelWideMM - labelRimMM - x
	large := 10.5
	for large > 4 && scene.Measure(l.Number, large, true).WidthMM > wide {
		large -= 0.5
	}
	top := labelHighMM - labelRimMM - 1
	items := []scene.Item{square, scene.Text{At: scene.Point{X: x, Y: top}, Content: l.Number, HeightMM: large, Bold: true, Up: scene.End}}
	y := top - large - 2
	line := func(text string, high float64, bold bool) {
		for _, w := range wrap(text, high, wide/boldWider) {
			items = append(items, scene.Text{At: scene.Point{X: x, Y: y}, Content: w, HeightMM: high, Bold: bold, Up: scene.End})
			y -= high * labelLead
		}
	}
	size, place, job := l.heights(wide, y-labelRimMM)
	line(l.Size, size, true)
	line(l.Place, place, false)
	line(l.Job, job, false)
	return items, nil
}

// labelLead is line height over lettering height.
const labelLead = 1.4

// heights of size, place and job at which all of them find room, the usual ones first:
// nothing is cut off.
func (l Label) heights(wide, high float64) (size, place, job float64) {
	const least = 0.6
	for k := 1.0; k > least; k -= 0.05 {
		size, place, job = 3*k, 2.5*k, 2.2*k
		need := 0.0
		fits := true
		for _, w := range []struct {
			text string
			high float64
			bold bool
		}{{l.Size, size, true}, {l.Place, place, false}, {l.Job, job, false}} {
			for _, line := range wrap(w.text, w.high, wide/boldWider) {
				need += w.high * labelLead
				fits = fits && scene.Measure(line, w.high, w.bold).WidthMM <= wide
			}
		}
		if fits && need <= high {
			break
		}
	}
	return size, place, job
}

// stackOf names the stack a board is cut from, where there are two of them and each is
// numbered from 1.
func stackOf(d *plan.Deck, x settingout.Piece) string {
	if d.Structural == nil || x.Kind != settingout.Board {
		return ""
	}
	for _, b := range d.Structural.Of(settingout.Board) {
		if b.Number == x.Number {
			return "structural "
		}
	}
	return "carrier "
}

// underAt says which trim a trim goes under at its lap: "under T7".
func underAt(x settingout.Piece) string {
	rest, ok := strings.CutPrefix(x.Note, "goes under ")
	if !ok || x.Kind != settingout.Trim {
		return ""
	}
	number, _, _ := strings.Cut(rest, " ")
	return "under " + number
}

// placeOf says in a few words where a piece goes; stack stands before a board's number.
func placeOf(edges []roof.Edge, x settingout.Piece, stack string) string {
	words := x.Role
	switch x.Kind {
	case settingout.Board:
		words = fmt.Sprintf("%sboard %d", stack, x.Stock)
		if x.Role != "field" {
			words += ", " + x.Role
		}
	case settingout.Trim:
		words = x.Role + " trim"
		switch {
		case x.Flexible():
			words = "flexible " + words
		case x.MovementJoint():
			words = x.Material + ", " + x.Serves
		}
		if under := underAt(x); under != "" {
			words += ", " + under
		}
	case settingout.Corner:
		// What it joins and its hand stand in its material alone.
		if x.Material != "" {
			words = strings.TrimPrefix(x.Material, "corner ")
		}
	}
	switch {
	case x.Opening != "":
		words += " at " + x.Opening
	case x.Edge >= 0 && x.Edge < len(edges):
		words += fmt.Sprintf(", edge %d", x.Edge+1)
	case x.Serves != "":
		words += ", " + x.Serves
	}
	return words
}
