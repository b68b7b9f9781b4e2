package drawing

import (
	"fmt"
	"strings"

	"gelwright/scene"
)

// sizesLeftOut are the sizes that found no room on their pieces: "397×1220: SB9, SB15", or "".
func (s *Sheet) sizesLeftOut() string {
	var order, out []string
	of := map[string][]string{}
	for _, p := range s.unsized {
		if of[p.Sub] == nil {
			order = append(order, p.Sub)
		}
		of[p.Sub] = append(of[p.Sub], p.Label)
	}
	for _, size := range order {
		out = append(out, strings.ReplaceAll(size, " × ", "×")+": "+numberRuns(of[size]))
	}
	return strings.Join(out, "; ")
}

// tellUnplaced says on the sheet which lettering found no room, so that nobody
// takes a piece without a number for one that needs none, and which sizes.
func (s *Sheet) tellUnplaced() {
	var full, partly, brief []string
	if n := len(s.Unplaced); n > 0 {
		full = append(full, fmt.Sprintf("Not lettered for want of room (%d): %s", n, numberRuns(s.Unplaced)))
		partly = append(partly, full...)
		brief = append(brief, fmt.Sprintf("%d not lettered for want of room: see the cut list", n))
	}
	if sizes := s.sizesLeftOut(); sizes != "" {
		full = append(full, "Sizes left out for want of room, mm: "+sizes)
		const elsewhere = "A number alone: its size is in the cut list"
		partly, brief = append(partly, elsewhere), append(brief, elsewhere)
	}
	if len(full) == 0 {
		return
	}
	full, partly, brief = s.title.In.SayAll(full), s.title.In.SayAll(partly), s.title.In.SayAll(brief)
	const most = 7
	f := s.Figure.Grown(-1)
	for _, told := range []string{strings.Join(full, ". "), strings.Join(partly, ". "), strings.Join(brief, ". ")} {
		for _, wide := range [...]float64{120, 80, 50} {
			lines := wrap(told, scene.TextSmall, wide)
			if len(lines) <= most && s.tellWithin(f, lines) {
				return
			}
		}
		if s.tellInKey(wrap(told, scene.TextSmall, keyColumn-2)) {
			return
		}
	}
	// The margin over the frame is always free, left of its centring mark.
	frame := frameOf(s.Format)
	b := wordsOn("names", wrap(strings.Join(brief, ". "), scene.TextSmall, frame.Width()/2-4))
	w, h := b.size()
	s.Scene.Add(b.items(scene.Point{X: frame.Low.X + w/2, Y: frame.High.Y + 1 + h/2}, 0)...)
}

// tellInKey writes lines where the key has room left.
func (s *Sheet) tellInKey(lines []string) bool {
	const stepMM = 2
	if !s.key.Set {
		return false
	}
	free := s.Space.Within
	s.Space.Within = s.key
	defer func() { s.Space.Within = free }()
	for low := s.key; low.High.Y > s.key.Low.Y; low.High.Y -= stepMM {
		if s.tellWithin(low, lines) {
			return true
		}
	}
	return false
}

// tellWithin writes lines along the upper or the lower edge of a box, where there is room.
func (s *Sheet) tellWithin(f scene.Box, lines []string) bool {
	const stepMM = 5
	b := wordsOn("names", lines)
	w, h := b.size()
	for _, y := range [...]float64{f.High.Y - h/2, f.Low.Y + h/2} {
		for x := f.Low.X + w/2; x <= f.High.X-w/2; x += stepMM {
			if c := (scene.Point{X: x, Y: y}); s.Space.FreeQuad(b.quad(c, 0, 0)) {
				s.Add(b.items(c, 0)...)
				return true
			}
		}
	}
	return false
}

// wordsOn is lines of small lettering on a layer.
func wordsOn(layer string, lines []string) block {
	b := words(lines...)
	b.layer = layer
	return b
}
