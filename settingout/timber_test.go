package settingout_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
)

func deckOf(t *testing.T, id string) (roof.Deck, settingout.SetOut) {
	t.Helper()
	for _, l := range acceptanceSetOuts() {
		if l.roof.id == id {
			return l.deck, l.plan
		}
	}
	t.Fatalf("no roof %s", id)
	return roof.Deck{}, settingout.SetOut{}
}

func between(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.Abs(got-want) > tol {
		t.Errorf("%s: %.4f, want %.4f", what, got, want)
	}
}

// R02 is 3.6 m wide: ten joists at 400 mm from its west edge, the last with its middle on
// the east one. Behind a gap of 10 mm at a wall a joist of 47 mm still has 13.5 mm under
// the boards.
func TestTheEndJoistCarriesTheBoards(t *testing.T) {
	_, s := deckOf(t, "R02")
	if len(s.Supports) != 10 {
		t.Fatalf("%d joists", len(s.Supports))
	}
	for k, x := range s.Supports {
		between(t, "joist", x.From.X, 0.4*float64(k), 1e-9)
		between(t, "its length", x.From.Distance(x.To), 2.2, 0.0101) // less the gap at the tuck
	}
	d, _ := deckOf(t, "R02")
	d.Edges = edgesOf(roof.Drip, roof.Wall, roof.Wall, roof.Wall)
	if s := setOutFrom(t, d, usual([]float64{450}), settingout.Supply{}); len(s.Supports) != 10 {
		t.Errorf("%d joists between walls", len(s.Supports))
	}
	// An L: at x = 3.2 the joist's middle is on the edge beside the notch; it carries the
	// boards there too.
	l, s := deckOf(t, "R04")
	high := 0.0
	for _, x := range s.Supports {
		if math.Abs(x.From.X-3.2) < 1e-9 {
			high = max(high, x.From.Y, x.To.Y)
		}
	}
	between(t, "the joist beside the notch reaches", high, l.Outline[4].Y, 1e-6)
}

// R09: rooflights 1 m square at x = 2 and 6 m, joists of 47 mm at 400 mm. Joists at 2.0
// and 3.2 m pass the first: headers from 2.0235 to 3.1765 m, 1153 mm, carry those at 2.4
// and 2.8 m. At x = 2 the joist carries the boards' edge; at x = 3 it is 176.5 mm off, and
// a trimming piece of 1 m stands between the headers.
func TestHeadersRunFromJoistToJoist(t *testing.T) {
	_, s := deckOf(t, "R09")
	headers, pieces := 0, 0
	for _, p := range s.Of(settingout.Noggin) {
		low, high := p.Bounds()
		x := 2.0
		if p.Serves == "RL2" {
			x = 6
		}
		switch p.Role {
		case "header":
			headers++
			between(t, p.Number+" from", low.X, x+0.0235, 1e-4)
			between(t, p.Number+" to", high.X, x+1.1765, 1e-4)
			if y := (low.Y + high.Y) / 2; math.Abs(y-1.9765) > 1e-3 && math.Abs(y-3.0235) > 1e-3 {
				t.Errorf("%s lies at y = %.4f", p.Number, y)
			}
			if p.LengthMM != 1153 || !strings.Contains(p.Note, "engineer") || !strings.Contains(p.Note, "2 joists") {
				t.Errorf("%s: %d mm, %q", p.Number, p.LengthMM, p.Note)
			}
		case "trimming piece":
			pieces++
			between(t, p.Number+" at", low.X, x+1, 1e-4)
			between(t, p.Number+" from", low.Y, 2, 1e-4)
			between(t, p.Number+" to", high.Y, 3, 1e-4)
		}
	}
	if headers != 4 || pieces != 2 {
		t.Errorf("%d headers, %d trimming pieces", headers, pieces)
	}
	said := 0
	for _, f := range s.Findings {
		if f.Code == "opening.joist" && strings.Contains(f.Text, "24 mm") {
			said++
		}
	}
	if said != 2 {
		t.Errorf("joists standing 24 mm in %d openings are remarked on", said)
	}
}

// A rooflight can be moved off the joist that stands in it; a chimney cannot, the joist gives way.
func TestNobodyMovesAChimney(t *testing.T) {
	d, _ := deckOf(t, "R09")
	d.Openings = slices.Clone(d.Openings)
	for kind, moved := range map[string]bool{"rooflight": true, "chimney": false} {
		for i := range d.Openings {
			d.Openings[i].Kind = kind
		}
		said := 0
		for _, f := range setOutFrom(t, d, usual([]float64{450}), settingout.Supply{}).Findings {
			if f.Code != "opening.joist" {
				continue
			}
			said++
			if strings.Contains(f.Text, "move the opening") != moved || strings.Contains(f.Text, "a joiner trims it") == moved {
				t.Errorf("%s: %s", kind, f.Text)
			}
		}
		if said != 2 {
			t.Errorf("%s: %d joists in openings are remarked on", kind, said)
		}
	}
}

// R08 is 5 m wide between parapets with its last joist at 4.8 m: noggins beyond it end at
// the boards' gap, 4.99 − 4.8235 = 167 mm. On R05's hypotenuse they are cut on the slope,
// atan(4/3) = 53.13° off square.
func TestNogginsEndWhereTheDeckDoes(t *testing.T) {
	_, s := deckOf(t, "R08")
	short := 0
	for _, p := range s.Of(settingout.Noggin) {
		if _, high := p.Bounds(); high.X > 4.991 {
			t.Errorf("%s reaches x = %.3f", p.Number, high.X)
		}
		if p.LengthMM == 167 {
			short++
		}
	}
	if short == 0 {
		t.Error("no noggin at the east edge")
	}
	_, s = deckOf(t, "R05")
	skew := 0
	for _, p := range s.Of(settingout.Noggin) {
		for _, v := range p.Shape {
			if v.X/4+v.Y/3 > 1+1e-3 {
				t.Errorf("%s reaches past the slope at %v", p.Number, v)
			}
		}
		if strings.Contains(p.Note, "skew") {
			skew++
			between(t, p.Number+" skew", max(math.Abs(p.CutEnds[0]), math.Abs(p.CutEnds[1])), 53.1, 0.1)
		}
	}
	if skew == 0 {
		t.Error("no skew noggin at the slope")
	}
}

// A kerb of 150 mm: 75 mm on the deck, 150 up and 50 over its top are 275 mm. A chimney
// has no top to go over; a raised edge without a width to laminate takes no mat.
func TestKerbMatGoesOverTheTop(t *testing.T) {
	d, _ := deckOf(t, "R09")
	spec := usual([]float64{450})
	for kind, want := range map[string]int{"rooflight": 275, "hatch": 275, "chimney": 225} {
		for i := range d.Openings {
			d.Openings[i].Kind = kind
		}
		n := 0
		s := setOutFrom(t, d, spec, settingout.Supply{})
		for _, p := range s.Of(settingout.Mat) {
			if p.Opening == "" {
				if p.Role == "kerb" {
					t.Errorf("%s: kerb mat %s on a raised edge without a width", kind, p.Number)
				}
				continue
			}
			n++
			if p.WidthMM != want {
				t.Errorf("%s: kerb mat %s is %d mm wide, want %d", kind, p.Number, p.WidthMM, want)
			}
		}
		if n != 8 {
			t.Errorf("%s: %d kerb mats", kind, n)
		}
	}
}

// R05, worked by hand: the strip along the 4 m leg lies 37.5 to 112.5 mm off it and ends
// on the slope at x = 4 − 0.0375·4/3 = 3.95 m; along the 3 m leg at y = 3 − 0.0375·3/4 =
// 2.972 m; along the slope its long side runs from (0, 3 − 0.0375/0.8) to
// (4 − 0.0375/0.6, 0): 4.922 m.
func TestFlangeBandageEndsAtTheDeck(t *testing.T) {
	d, s := deckOf(t, "R05")
	want := map[int]float64{}
	for i := range d.Outline {
		switch l := d.Outline.Edge(i).Length(); {
		case math.Abs(l-4) < 1e-6:
			want[i] = 3950
		case math.Abs(l-3) < 1e-6:
			want[i] = 2972
		default:
			want[i] = 4922
		}
	}
	n := 0
	for _, p := range s.Of(settingout.Bandage) {
		if p.Role != "flange" {
			continue
		}
		n++
		between(t, p.Number, float64(p.LengthMM), want[p.Edge], 1.5)
		for _, v := range p.Shape {
			if !plane.ContainsAny([]plane.Polygon{{Outer: d.Outline.Chords(0.001)}}, v) {
				if e, _, far := d.Outline.Nearest(v); far > 0.001 {
					t.Errorf("%s reaches %.0f mm past edge %d", p.Number, far*1000, e+1)
				}
			}
		}
	}
	if n != 3 {
		t.Errorf("%d flange strips", n)
	}
}
