package drawing

import (
	"fmt"
	"slices"
	"strings"

	"gelwright/plan"
	"gelwright/plane"
	"gelwright/scene"
	"gelwright/settingout"
)

// Pattern is one way of cutting a board or a length, with all that are cut so.
type Pattern struct {
	// Name is found again on the cutting diagram and in the cut list: "A".
	Name string
	// Stock lists every board or length cut by it, in order of number.
	Stock []settingout.Stock
}

// Patterns gathers what is cut alike, in the order of the first of each. Pieces give the
// shapes behind the cuts: blanks of one size from which different shapes are cut are
// not alike.
func Patterns(m settingout.Material, pieces []settingout.Piece) []Pattern {
	var out []Pattern
	shapes := map[string]string{}
	if m.Kind == settingout.Board {
		for _, p := range pieces {
			if p.Kind == settingout.Board {
				shapes[p.Number] = shapeOf(p).alikeKey()
			}
		}
	}
	at := map[string]int{}
	for _, s := range m.Stock {
		var b strings.Builder
		fmt.Fprint(&b, s.LengthMM, "x", s.WidthMM, s.InHand, s.Where)
		for _, c := range s.Cuts {
			fmt.Fprint(&b, "|", c.XMM, ",", c.YMM, ",", c.LengthMM, ",", c.WidthMM, shapes[c.Piece])
		}
		k, known := at[b.String()]
		if !known {
			k = len(out)
			at[b.String()] = k
			out = append(out, Pattern{Name: letters(k)})
		}
		out[k].Stock = append(out[k].Stock, s)
	}
	return out
}

// letters counts A … Z, AA, AB …
func letters(n int) string {
	name := ""
	for n++; n > 0; n = (n - 1) / 26 {
		name = string(rune('A'+(n-1)%26)) + name
	}
	return name
}

// cutPart is what of one deck is cut: its boards, its lengths, or both.
type cutPart struct {
	deck            string
	boards, lengths []settingout.Material
	// structural where boards of a structural deck lie below carrier boards.
	structural bool
	// pieces of the deck, whose shapes are cut.
	pieces []settingout.Piece
}

// cutting is the diagrams that share sheets: of one deck, of some of its materials, or of all decks.
type cutting struct {
	name  string
	parts []cutPart
	// least is the smallest scale allowed, as n of 1:n; zero for any.
	least float64
	// format and scale are set by laid.
	format Format
	scale  float64
}

// mixed reports whether boards and lengths stand on common sheets.
func (c *cutting) mixed() bool {
	return slices.ContainsFunc(c.parts, func(p cutPart) bool { return len(p.lengths) > 0 })
}

// cuttings lists what is to be drawn, deck by deck: boards at the largest scale at which one sheet, or a few where shapes are cut,
// holds them all, else at 1:50, lengths together. Decks share sheets where that takes fewer and none is drawn smaller.
func cuttings(p *plan.Plan) []cutting {
	var out []cutting
	all := cutting{name: "Cutting of boards and trims, all decks"}
	for _, d := range p.Decks {
		part := cutPart{deck: d.Name, pieces: d.Pieces(), structural: d.Structural != nil}
		for _, m := range d.Materials() {
			switch {
			case len(m.Stock) == 0:
			case m.Kind == settingout.Board:
				part.boards = append(part.boards, m)
			case m.Kind == settingout.Trim:
				part.lengths = append(part.lengths, m)
			}
		}
		if len(part.boards)+len(part.lengths) > 0 {
			all.parts = append(all.parts, part)
			out = append(out, part.cuttings()...)
		}
	}
	if len(all.parts) > 1 && all.savesSheets(out) {
		return []cutting{all}
	}
	return out
}

// cuttings of one deck: boards and lengths together where they share well, else each material of boards by itself.
func (part cutPart) cuttings() []cutting {
	named := func(what string, boards, lengths []settingout.Material) cutting {
		return cutting{name: "Cutting of " + what + ", deck " + part.deck,
			parts: []cutPart{{deck: part.deck, boards: boards, lengths: lengths, pieces: part.pieces, structural: part.structural}}}
	}
	both := named("boards and trims", part.boards, part.lengths)
	if len(part.boards) > 0 && len(part.lengths) > 0 && both.sharesWell() {
		return []cutting{both}
	}
	var out []cutting
	for _, m := range part.boards {
		what := "boards"
		if len(part.boards) > 1 {
			what = part.called(m)
		}
		out = append(out, named(what, []settingout.Material{m}, nil))
	}
	if len(part.lengths) > 0 {
		out = append(out, named("trims", nil, part.lengths))
	}
	return out
}

// called is what a material of boards is called on a drawing.
func (part cutPart) called(m settingout.Material) string {
	switch {
	case !part.structural:
		return m.Name
	case strings.HasPrefix(m.Name, "structural"):
		return "structural deck"
	}
	return "carrier boards"
}

// savesSheets reports whether the decks together take fewer sheets than apart, none of them at a smaller scale.
func (c *cutting) savesSheets(apart []cutting) bool {
	sheets, smallest := 0, 0.0
	for i := range apart {
		sheets += len(apart[i].laid())
		smallest = max(smallest, apart[i].scale)
	}
	c.least = smallest
	n := len(c.laid())
	return n > 0 && n < sheets
}

// sharesWell reports whether boards and lengths on common sheets take one, or no more than the
// boards alone and as large.
func (c *cutting) sharesWell() bool {
	n := len(c.laid())
	apart := 0
	for _, p := range c.parts {
		for _, m := range p.boards {
			alone := cutting{parts: []cutPart{{deck: p.deck, boards: []settingout.Material{m}, pieces: p.pieces}}}
			apart += len(alone.laid())
			if alone.scale < c.scale && n != 1 {
				return false
			}
		}
	}
	return n == 1 || n > 0 && n <= apart
}

// CuttingSheets draws to scale how boards and trims are cut, pieces numbered and
// offcuts worth keeping hatched; what is cut alike is drawn once.
func CuttingSheets(p *plan.Plan) ([]*Sheet, error) {
	var out []*Sheet
	for _, c := range cuttings(p) {
		for k, blocks := range c.laid() {
			name := c.name
			if k > 0 {
				name = fmt.Sprintf("%s, %d", c.name, k+1)
			}
			s, err := c.sheet(TitleOf(&p.Job, name), blocks)
			if err != nil {
				return nil, fmt.Errorf("drawing %q: %w", name, err)
			}
			out = append(out, s)
		}
	}
	return out, nil
}

// diagram is one board or length with its caption, placed on a sheet.
type diagram struct {
	pattern Pattern
	part    *cutPart
	heading string // of the deck or the material, above the first of its boards or lengths
	prefix  string // of the names in the drawing, where decks share a sheet: their pieces' numbers begin anew
	x, y    float64
}

// Room round a diagram on paper, mm.
const (
	captionMM = 9.0
	besideMM  = 6.0
	barMM     = 5.0
)

// unplaced lists a diagram of every pattern of all materials, for the key.
func (c *cutting) unplaced() []diagram {
	var out []diagram
	for i := range c.parts {
		p := &c.parts[i]
		for _, m := range append(slices.Clone(p.boards), p.lengths...) {
			for _, x := range Patterns(m, p.pieces) {
				out = append(out, diagram{pattern: x, part: p})
			}
		}
	}
	return out
}

// keyOf a sheet with these diagrams.
func keyOf(diagrams []diagram) []KeyEntry {
	e := []KeyEntry{{Words: "piece with its number and size, mm", Sign: sign(tint(1), scene.Hatch{}, "")}}
	var shaped, sloped, curved, keep, small, capital bool
	for _, d := range diagrams {
		alike, s := len(d.pattern.Stock), d.pattern.Stock[0]
		keep = keep || len(s.Offcuts) > 0
		small = small || alike > 1 && len(s.Cuts) > 1
		capital = capital || alike > 1 && len(s.Cuts) == 1
		for _, cut := range s.Cuts {
			shape := d.part.shape(cut)
			shaped = shaped || !shape.whole()
			sloped = sloped || strings.Contains(shape.words(), "/")
			curved = curved || shape.curved()
		}
	}
	add := func(yes bool, k KeyEntry) {
		if yes {
			e = append(e, k)
		}
	}
	add(shaped, KeyEntry{Words: "blank from which a shape is cut; along a side of the shape stands its length",
		Sign: sign(nil, scene.Hatch{}, scene.Dashed)})
	add(sloped, KeyEntry{Words: slopedWords})
	add(curved, KeyEntry{Words: "a curve is marked by its ordinates on the set-out"})
	add(keep, KeyEntry{Words: "offcut worth keeping", Sign: sign(nil, scene.Diagonal(2.2), "")})
	e = append(e, KeyEntry{Words: "waste", Sign: sign(nil, scene.Hatch{}, "")})
	add(small, KeyEntry{Words: "small letters: places in a pattern that is cut several times; the cut list has their numbers"})
	add(capital, KeyEntry{Words: "a capital in place of a number: cut several times; the cut list has their numbers"})
	return e
}

// shape of the piece that is cut, as it lies on its stock.
func (part *cutPart) shape(cut settingout.Cut) cutShape {
	k := slices.IndexFunc(part.pieces, func(p settingout.Piece) bool { return p.Number == cut.Piece })
	if k < 0 || part.pieces[k].Kind != settingout.Board {
		return cutShape{longMM: float64(cut.LengthMM), wideMM: float64(cut.WidthMM)}
	}
	if cut.Turned {
		return shapeOf(part.pieces[k]).turned()
	}
	return shapeOf(part.pieces[k])
}

// mostShaped is how many sheets of shapes are drawn at the larger scale.
const mostShaped = 2

// try is a format, by its place in formats, and a scale to lay diagrams out at.
type try struct {
	format int
	scale  float64
}

// tries in the order of preference, none at a smaller scale than is allowed.
func (c *cutting) tries() []try {
	out := []try{{0, 20}, {1, 20}, {0, 50}, {1, 50}}
	if c.mixed() {
		out = []try{{0, 20}, {0, 50}, {1, 50}, {1, 100}}
	}
	return slices.DeleteFunc(out, func(t try) bool { return c.least > 0 && t.scale > c.least })
}

// shaped reports whether a piece is cut to another shape than its blank's.
func (d diagram) shaped() bool {
	return slices.ContainsFunc(d.pattern.Stock[0].Cuts, func(cut settingout.Cut) bool { return !d.part.shape(cut).whole() })
}

// laid chooses sheet and scale and lays the diagrams out, sheet by sheet.
func (c *cutting) laid() [][]diagram {
	var best [][]diagram
	diagrams := c.unplaced()
	key, shaped := keyOf(diagrams), slices.ContainsFunc(diagrams, diagram.shaped)
	for _, t := range c.tries() {
		f := formats[t.format]
		figure, _, ok := zones(f, Layout{Key: key})
		if !ok {
			continue
		}
		sheets, fits := c.flow(figure, t.scale)
		if !fits {
			continue
		}
		few := len(sheets) == 1 || c.mixed() && len(sheets) <= 2
		// The figures of shapes find room at 1:20, but hardly at 1:50.
		few = few || shaped && t.scale == 20 && len(sheets) <= mostShaped
		if few || best == nil || t.scale > 20 && len(sheets) < len(best) {
			c.format, c.scale = f, t.scale
			best = sheets
		}
		if few {
			break
		}
	}
	return best
}

// sheet draws the diagrams of one sheet.
func (c *cutting) sheet(t Title, blocks []diagram) (*Sheet, error) {
	l := Layout{Key: keyOf(c.unplaced()), Largest: c.scale, Only: c.scale}
	figure, key, ok := zones(c.format, l)
	if !ok {
		return nil, fmt.Errorf("the key does not fit %s", c.format.Name)
	}
	// Room is kept for the longest key; each sheet tells of what is on it.
	l.Key = keyOf(blocks)
	s := emptySheet(t, l, c.format, c.scale, figure, key)
	s.Origin = figure.Low
	for _, b := range blocks {
		s.stock(b)
	}
	var shapes []LabelledShape
	var blanks []scene.Path
	var all []cutMark
	for _, b := range blocks {
		cuts, rest, marks := b.cuts(s)
		shapes, blanks, all = append(shapes, cuts...), append(blanks, rest...), append(all, marks...)
	}
	blank := scene.Shape{Meta: scene.Meta{Class: "blank", Layer: "pieces"}, Paths: blanks,
		Stroke: scene.Stroke{WidthMM: scene.Thin, Dash: scene.Dashed}}
	if len(blanks) > 0 {
		s.Space.Add(blank)
	}
	for _, x := range shapes {
		s.Space.Add(scene.Shape{Paths: x.paths(s), Stroke: scene.Pen(scene.Thin)})
	}
	seated, left := s.seatMarks(all)
	placePieces(s, shapes)
	s.Scene.Add(seated...)
	if len(blanks) > 0 {
		s.Scene.Add(blank)
	}
	for _, m := range left {
		b := words(m.words)
		b.layer = "pieces"
		s.leader(m.at, b, 0, 40, nil)
	}
	s.tellUnplaced()
	return s, nil
}

// high of a diagram's board or bar, mm on paper.
func (b diagram) high(scale float64) float64 {
	if w := b.pattern.Stock[0].WidthMM; w > 0 {
		return float64(w) / scale
	}
	return barMM
}

// stock draws the outline of one board or length, with its caption.
func (s *Sheet) stock(b diagram) {
	wide, high := float64(b.pattern.Stock[0].LengthMM)/s.Scale, b.high(s.Scale)
	s.Add(scene.Shape{Meta: scene.Meta{Layer: "stock"}, Paths: []scene.Path{scene.Rect(b.x, b.y, b.x+wide, b.y+high)},
		Stroke: scene.Pen(scene.Thick)})
	words, size := fit(s.say(captionOf(b.pattern)), max(wide, captionWide(b.pattern)), true)
	s.Add(scene.Text{Meta: scene.Meta{Layer: "captions"}, At: scene.Point{X: b.x, Y: b.y + high + 1.6}, Content: words,
		HeightMM: min(size, scene.TextSmall), Bold: true})
	if b.heading != "" {
		s.Add(scene.Text{Meta: scene.Meta{Layer: "captions"}, At: scene.Point{X: b.x, Y: b.y + high + 7}, Content: s.say(b.heading),
			HeightMM: scene.TextUsual, Bold: true})
	}
}

// cuts are the pieces and offcuts of one board or length, with the blanks of those that
// are cut to a shape, and the figures these are marked by.
func (b diagram) cuts(s *Sheet) (shapes []LabelledShape, blanks []scene.Path, marks []cutMark) {
	stock := b.pattern.Stock[0]
	k := 1 / s.Scale
	// place turns millimetres on the stock into a plan point, so that the pieces are
	// lettered as those of a set-out are.
	place := func(xMM, yMM float64) plane.Point { return s.plan(scene.Point{X: b.x + xMM*k, Y: b.y + yMM*k}) }
	rect := func(x, y, l, w int) []plane.Point {
		across := float64(w)
		if stock.WidthMM == 0 {
			across = barMM / k
		}
		x0, y0 := float64(x), float64(y)
		return []plane.Point{place(x0, y0), place(x0+float64(l), y0), place(x0+float64(l), y0+across), place(x0, y0+across)}
	}
	for i, cut := range stock.Cuts {
		shape := b.part.shape(cut)
		label, sub := cut.Piece, shape.words()
		if len(b.pattern.Stock) > 1 {
			label = strings.ToLower(letters(i))
			if len(stock.Cuts) == 1 {
				label = b.pattern.Name
			}
		}
		if stock.WidthMM == 0 {
			label, sub = label+"  "+sub, ""
		}
		piece := LabelledShape{ID: b.prefix + b.pattern.Name + "-" + cut.Piece, Label: label, Sub: sub,
			// A letter of a pattern, or a number that two decks on the sheet have, names no piece.
			Sized: len(b.pattern.Stock) == 1 && b.prefix == "",
			Shape: rect(cut.XMM, cut.YMM, cut.LengthMM, cut.WidthMM), Tint: tint(1), Class: "cut",
			Title: fmt.Sprintf("%s, %s mm, from %d", cut.Piece, shape.words(), stock.Number)}
		if !shape.whole() {
			blanks = append(blanks, piece.paths(s)...)
			on := func(q plane.Point) plane.Point { return place(float64(cut.XMM)+q.X, float64(cut.YMM)+q.Y) }
			ring := func(pts []plane.Point) []plane.Point {
				out := make([]plane.Point, len(pts))
				for i, q := range pts {
					out[i] = on(q)
				}
				return out
			}
			piece.Shape = ring(shape.outline)
			for _, h := range shape.holes {
				piece.Holes = append(piece.Holes, ring(h))
			}
			marks = append(marks, shape.marks(func(q plane.Point) scene.Point { return s.At(on(q)) })...)
		}
		shapes = append(shapes, piece)
	}
	// The letters of patterns begin anew with each material; the pieces' numbers do not.
	beside := b.prefix + b.pattern.Name
	if len(stock.Cuts) > 0 {
		beside += "-" + stock.Cuts[0].Piece
	}
	for i, o := range stock.Offcuts {
		shapes = append(shapes, LabelledShape{ID: fmt.Sprintf("%s-keep-%d", beside, i), Label: sizeWords(o.LengthMM, o.WidthMM),
			Shape: rect(o.XMM, o.YMM, o.LengthMM, o.WidthMM), Hatch: scene.Diagonal(2.2), Class: "offcut",
			Title: fmt.Sprintf("Offcut to keep, %s mm", sizeWords(o.LengthMM, o.WidthMM))})
	}
	return shapes, blanks, marks
}

// captionWideMM is the room that a caption has over a short offcut, mm on paper.
const captionWideMM = 44

// captionWide is the room that the caption of a pattern takes: what lies at hand is told whole, so that it is found.
func captionWide(p Pattern) float64 {
	if !p.Stock[0].InHand {
		return captionWideMM
	}
	return max(captionWideMM, scene.Measure(captionOf(p), scene.TextSmall, true).WidthMM)
}

// captionOf says which boards a pattern is for: "A: 7", "B: 3 off, 1, 4, 9".
func captionOf(p Pattern) string {
	own := ""
	if s := p.Stock[0]; s.InHand {
		own = ", in hand"
		if s.Where != "" {
			own += ": " + s.Where
		}
	}
	if len(p.Stock) == 1 {
		return fmt.Sprintf("%s   no. %d%s", p.Name, p.Stock[0].Number, own)
	}
	var numbers []string
	for i := 0; i < len(p.Stock); i++ {
		k := i
		for k+1 < len(p.Stock) && p.Stock[k+1].Number == p.Stock[k].Number+1 {
			k++
		}
		if k > i+1 {
			numbers = append(numbers, fmt.Sprintf("%d–%d", p.Stock[i].Number, p.Stock[k].Number))
			i = k
			continue
		}
		numbers = append(numbers, fmt.Sprint(p.Stock[i].Number))
	}
	return fmt.Sprintf("%s   %d alike, no. %s%s", p.Name, len(p.Stock), strings.Join(numbers, ", "), own)
}

func sizeWords(lengthMM, widthMM int) string {
	if widthMM == 0 {
		return fmt.Sprint(lengthMM)
	}
	return fmt.Sprintf("%d × %d", lengthMM, widthMM)
}
