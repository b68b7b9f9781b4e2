package margin

import (
	"fmt"
	"strings"

	"gelwright/drawing"
	"gelwright/plan"
	"gelwright/settingout"
)

// View is a drawing of the roof as SVG. A point of the plan at x, y metres lies at AtX + PerM·x, AtY − PerM·y of its
// picture, whose size is WideMM by HighMM; pieces bear ids that begin with "piece-". Deck is the index of the deck.
type View struct {
	ID     string  `json:"id"`
	Name   string  `json:"name" said:"yes"`
	Deck   int     `json:"deck"`
	SVG    string  `json:"svg"`
	WideMM float64 `json:"wide_mm"`
	HighMM float64 `json:"high_mm"`
	PerM   float64 `json:"per_m"`
	AtX    float64 `json:"at_x"`
	AtY    float64 `json:"at_y"`
	// Unlettered names what found no room on it.
	Unlettered []string `json:"unlettered" said:"yes"`
}

// pieceID stands before the ids of a drawing on a page.
const pieceID = "piece-"

func (s *Sheet) view(id string) (*View, error) {
	p, err := s.planned()
	if err != nil {
		return nil, err
	}
	for i := range s.views {
		v := &s.views[i]
		if v.ID != id {
			continue
		}
		d, err := v.Draw(p)
		if err != nil {
			return nil, fmt.Errorf("drawing %q: %w", v.Name, err)
		}
		perM, at := d.Metres()
		return &View{ID: v.ID, Name: v.Name, Deck: v.Deck, SVG: string(d.SVG(pieceID)), WideMM: d.Format.WidthMM, HighMM: d.Format.HeightMM,
			PerM: perM, AtX: at.X, AtY: at.Y, Unlettered: append([]string{}, d.Unplaced...)}, nil
	}
	return nil, &Refusal{Kind: "asked", Message: fmt.Sprintf("there is no drawing %q", id), Faults: []Fault{}}
}

// PieceAsk asks for a piece of a deck, or a bucket, by its number; Deck is the index of the deck.
type PieceAsk struct {
	Deck   int    `json:"deck"`
	Number string `json:"number"`
}

// Piece is what is known of a board, strip, trim, corner or bucket.
type Piece struct {
	Number string `json:"number"`
	Title  string `json:"title" said:"yes"`
	Facts  []Fact `json:"facts"`
	// Neighbours are the numbers of the pieces that it meets or laps.
	Neighbours []string `json:"neighbours" said:"yes"`
	// Shape on the plan, m, for the page to mark; more than one where a bucket covers several places.
	Shapes [][][2]float64 `json:"shapes"`
	// Figure is the key of its working; empty for none.
	Figure string `json:"figure"`
}

// Fact is a line about a piece.
type Fact struct {
	Name  string `json:"name" said:"yes"`
	Value string `json:"value" said:"yes"`
}

func (s *Sheet) piece(q PieceAsk) (*Piece, error) {
	p, err := s.planned()
	if err != nil {
		return nil, err
	}
	if q.Deck >= 0 && q.Deck < len(p.Decks) {
		d := &p.Decks[q.Deck]
		for _, out := range []*settingout.SetOut{&d.SetOut, d.Structural} {
			if out == nil {
				continue
			}
			for i := range out.Pieces {
				if out.Pieces[i].Number == q.Number {
					return pieceOf(p, d, out, &out.Pieces[i]), nil
				}
			}
		}
		if b := bucketOf(p, d.Name, q.Number); b != nil {
			return b, nil
		}
	}
	return nil, &Refusal{Kind: "asked", Message: fmt.Sprintf("there is no piece %q", q.Number), Faults: []Fault{}}
}

func pieceOf(p *plan.Plan, d *plan.Deck, out *settingout.SetOut, x *settingout.Piece) *Piece {
	b := &Piece{Number: x.Number, Title: upper(string(x.Kind)) + " " + x.Number, Neighbours: []string{},
		Shapes: [][][2]float64{loopOf(x.Shape)}}
	add := func(name, value string) {
		if value != "" {
			b.Facts = append(b.Facts, Fact{name, value})
		}
	}
	add("is", x.Role)
	add("size", drawing.PieceSize(*x)+" mm")
	add("of", x.Material)
	if x.Stock > 0 {
		add("cut from", fmt.Sprintf("number %d of it", x.Stock))
	}
	if x.AreaM2 > 0 {
		add("area", fixed(x.AreaM2, 2)+" m²")
	}
	if x.LapMM > 0 {
		add("side lap", fixed(x.LapMM, 0)+" mm")
	}
	if x.EndLapMM > 0 {
		add("end lap", fixed(x.EndLapMM, 0)+" mm")
	}
	add("laid", "number "+itoa(x.Order)+" of its kind")
	for _, f := range out.Fixings {
		if f.Board == x.Number {
			add("fixings", fmt.Sprintf("%d at edges, %d in the field", f.Edge, f.Field))
		}
	}
	for _, j := range out.Joints {
		switch x.Number {
		case j.A:
			b.Neighbours = append(b.Neighbours, j.B)
		case j.B:
			b.Neighbours = append(b.Neighbours, j.A)
		}
	}
	if x.Serves != "" {
		b.Neighbours = append(b.Neighbours, strings.Split(x.Serves, "/")...)
	}
	if hours := hoursOf(p, d.Name, x.Number); hours != "" {
		add("laid at", hours)
	}
	add("note", x.Note)
	return b
}
