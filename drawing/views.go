package drawing

import (
	"strings"

	"gelwright/plan"
	"gelwright/plane"
	"gelwright/scene"
	"gelwright/scene/svg"
)

// View is one drawing of a deck as a screen shows it: all of the deck at once, since a screen
// can be moved and enlarged, and without frame, title and key. It is drawn when it is asked for.
type View struct {
	// ID names it for good among the views of a plan: "set-out-of-boards.L".
	ID string
	// Name is what it shows: "Set-out of boards"; Deck the number of the deck.
	Name string
	Deck int
	// Office tells that nobody on the roof works from it.
	Office bool
	make   func(t Title) (*Sheet, error)
}

// screenFormats are the sheets on which a screen's drawing is laid out, the smallest first: large
// enough that the pieces of a hall are lettered, which an enlarged picture makes readable.
var screenFormats = [...]Format{
	{"screen", 297, 297}, {"large screen", 594, 594}, {"wide screen", 1188, 1188}}

// Views are the drawings of a plan for a screen, those of a deck together.
func Views(p *plan.Plan) []View {
	var out []View
	for i := range p.Decks {
		k := deckDrawings{p: p, deck: i, whole: true}
		k.ground()
		k.boards()
		k.covering()
		k.buckets()
		k.desk()
		for _, d := range k.list {
			name := strings.TrimSuffix(d.name, ", deck "+p.Decks[i].Name)
			out = append(out, View{ID: slug(name) + "." + p.Decks[i].Name, Name: name, Deck: i, Office: d.office, make: d.make})
		}
	}
	return out
}

// Draw makes the drawing on the smallest of the screen's sheets that letters all of it.
func (v *View) Draw(p *plan.Plan) (*Sheet, error) {
	var best *Sheet
	for i := range screenFormats {
		t := TitleOf(&p.Job, v.Name)
		t.Seat = &screenFormats[i]
		s, err := v.make(t)
		if err != nil && best == nil && i < len(screenFormats)-1 {
			continue
		}
		if err != nil {
			return best, err
		}
		if best == nil || len(s.Unplaced) < len(best.Unplaced) {
			best = s
		}
		if len(best.Unplaced) == 0 {
			break
		}
	}
	return best, nil
}

// ownLayers are what a page draws of a roof itself, and a sheet's frame and key.
var ownLayers = []string{"sheet", "key", "dimensions", "edges", "outline", "exit", "falls", "openings", "penetrations", "captions"}

// SVG writes a figure to be laid over a roof that a page has drawn: its pieces alone, the size left to the page.
func (s *Sheet) SVG(idPrefix string) []byte {
	return svg.Bytes(s.Scene, svg.Options{Fluid: true, IDPrefix: idPrefix, Skip: ownLayers})
}

// Metres is how the drawing lies on its sheet: a point of the plan, m, is at x·perM + at.X, at.Y − y·perM
// from the sheet's upper left corner, mm.
func (s *Sheet) Metres() (perM float64, at scene.Point) {
	zero := s.At(plane.Point{})
	one := s.At(plane.Point{X: 1})
	return one.X - zero.X, scene.Point{X: zero.X, Y: s.Format.HeightMM - zero.Y}
}
