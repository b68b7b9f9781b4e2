package drawing

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gelwright/plan"
	"gelwright/plane"
	"gelwright/scene"
	"gelwright/settingout"
)

// detailPieces are the strips of bandage, patches and upstand mats of a deck.
func detailPieces(d *plan.Deck) []settingout.Piece {
	var out []settingout.Piece
	for _, x := range d.SetOut.Pieces {
		if detailLook(x) >= 0 {
			out = append(out, x)
		}
	}
	return out
}

// detailLooks are how the kinds of detail are told apart, in the order of the key.
var detailLooks = [...]struct {
	words string
	hatch scene.Hatch
	tint  *scene.Colour
}{
	{"bandage on a joint of boards", scene.Diagonal(1.2), nil},
	{"bandage on a hip, valley or ridge", scene.Cross(45, 1.4), nil},
	{"bandage on a flange, kerb or joint batten", scene.Parallel(0, 1), nil},
	{"patch: corner, outlet, pipe", scene.Dots(1.2), nil},
	{"mat of an upstand or kerb, folded down outward", scene.Hatch{}, tint(2)},
}

// detailLook is the index of a piece's look, or -1 where it is no detail.
func detailLook(x settingout.Piece) int {
	switch {
	case x.Kind == settingout.Bandage && x.Role == "board joint":
		return 0
	case x.Kind == settingout.Bandage && x.Role == "fold":
		return 1
	case x.Kind == settingout.Bandage:
		return 2
	case x.Kind == settingout.Patch:
		return 3
	case x.Kind == settingout.Mat && x.Upright:
		return 4
	}
	return -1
}

// detailSheet shows bandage, patches and upstand mats, those in one line under a range
// of numbers.
func detailSheet(p *plan.Plan, i int, w *part, t Title) (*Sheet, error) {
	d := &p.Decks[i]
	pieces := w.cut(detailPieces(d), p.Job.Decks[i].Outline)
	used := map[int]bool{}
	for _, x := range pieces {
		used[detailLook(x)] = true
	}
	crowded := len(pieces) > manyDetails
	key := []KeyEntry{{Words: "strips in one line bear the range of their numbers; lengths stand in the cut lists"}}
	if crowded {
		key[0].Words = "a line bears the numbers of its strips; what lies round openings and on movement joints goes by their names"
	}
	for k, l := range detailLooks {
		if used[k] {
			key = append(key, KeyEntry{Words: l.words, Sign: sign(l.tint, l.hatch, "")})
		}
	}
	names := lineNames(pieces, crowded)
	var shapes []LabelledShape
	// Wide ground first, that narrow strips and patches lie on.
	for _, look := range [...]int{4, 2, 1, 0, 3} {
		for k, x := range pieces {
			if detailLook(x) != look {
				continue
			}
			l := detailLooks[look]
			shapes = append(shapes, LabelledShape{ID: x.Number, Label: names[k], Shape: x.Shape, Holes: x.Holes, Tint: l.tint, Hatch: l.hatch,
				Class: "detail",
				Title: fmt.Sprintf("%s, %s, %d × %d mm", x.Number, x.Role, x.LengthMM, x.WidthMM)})
		}
	}
	if w == nil {
		low, high := p.Job.Decks[i].Outline.Bounds()
		w = &part{low: low, high: high}
	}
	if w.of == 0 {
		w = w.around(groundOf(shapes)...)
	}
	s, err := setOutPart(&p.Job, i, w, t, min(w.roomMM(), 11), key)
	if err != nil {
		return nil, err
	}
	PlacePieces(s, shapes)
	return s, nil
}

// manyDetails are more on a sheet than can be lettered each: then what lies round an opening or on
// a movement joint goes by its name, as the bucket table calls it.
const manyDetails = 150

// lineNames gives the longest piece of those that lie in one line the range of all their
// numbers, and the others none; on a crowded sheet a movement joint bears its name instead.
func lineNames(pieces []settingout.Piece, crowded bool) []string {
	by := map[namedLine][]int{}
	var order []namedLine
	for i, x := range pieces {
		l, ok := lineOf(i, x, crowded)
		if !ok {
			continue
		}
		if by[l] == nil {
			order = append(order, l)
		}
		by[l] = append(by[l], i)
	}
	out := make([]string, len(pieces))
	for _, l := range order {
		best := by[l][0]
		var numbers []string
		for _, i := range by[l] {
			numbers = append(numbers, pieces[i].Number)
			if pieces[i].LengthMM > pieces[best].LengthMM {
				best = i
			}
		}
		if out[best] = numberRuns(numbers); crowded && pieces[best].MovementJoint() {
			out[best] = pieces[best].Serves
		}
	}
	return out
}

// namedLine is what strips that share a name have in common.
type namedLine struct {
	kind, role string
	edge       int
	opening    string
	turn, off  int
}

// lineOf is the line of the i-th piece; false for one that goes by the name of what it lies round.
func lineOf(i int, x settingout.Piece, crowded bool) (namedLine, bool) {
	l := namedLine{kind: string(x.Kind), role: x.Role, edge: x.Edge, opening: x.Opening}
	switch {
	case crowded && (x.Opening != "" || x.Role == "joint end" || x.Kind == settingout.Patch && x.Edge < 0):
		return l, false
	case crowded && x.MovementJoint():
		return namedLine{opening: x.Serves}, true
	case x.Kind != settingout.Patch:
		mid := middle(x)
		a := math.Mod(math.Atan2(x.Along.Y, x.Along.X)+2*math.Pi, math.Pi)
		if a > math.Pi-0.01 {
			a = 0
		}
		n := plane.Point{X: -math.Sin(a), Y: math.Cos(a)}
		l.turn, l.off = int(math.Round(a*180/math.Pi)), int(math.Round((mid.X*n.X+mid.Y*n.Y)/0.05))
	case x.Edge < 0 && x.Opening == "":
		l.off = i // corner patches stand far apart
	}
	return l, true
}

func middle(x settingout.Piece) plane.Point {
	low, high := x.Bounds()
	return plane.Point{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2}
}

// nameNoggins letters the noggins of one line with the range of their numbers.
func (s *Sheet) nameNoggins(noggins []settingout.Piece) {
	for i, name := range lineNames(noggins, false) {
		if name == "" {
			continue
		}
		b := words(name)
		b.layer = "pieces"
		s.beside(s.At(middle(noggins[i])), b, 0.8, 70, nil)
	}
}

// numberRuns shortens numbers that are in order: "J3–J7, J9".
func numberRuns(numbers []string) string {
	parts := func(n string) (string, int) {
		k := len(n)
		for k > 0 && n[k-1] >= '0' && n[k-1] <= '9' {
			k--
		}
		v, err := strconv.Atoi(n[k:])
		if err != nil {
			return n, -1
		}
		return n[:k], v
	}
	var out []string
	for i := 0; i < len(numbers); i++ {
		k := i
		letters, v := parts(numbers[i])
		for k+1 < len(numbers) {
			l, next := parts(numbers[k+1])
			if v < 0 || l != letters || next != v+k-i+1 {
				break
			}
			k++
		}
		switch {
		case k > i+1:
			out = append(out, numbers[i]+"–"+numbers[k])
			i = k
		default:
			out = append(out, numbers[i])
		}
	}
	return strings.Join(out, ", ")
}
