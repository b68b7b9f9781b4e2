package drawing

import (
	"fmt"
	"slices"

	"gelwright/laying"
	"gelwright/plan"
	"gelwright/plane"
	"gelwright/scene"
	"gelwright/settingout"
)

// planDrawing is one drawing of a plan, made when its number is known.
type planDrawing struct {
	name string
	make func(t Title) (*Sheet, error)
	// office tells that the crew does not work from it.
	office bool
	// deck it shows, and seat is the half of a sheet that holds all of the deck as large as a
	// whole one would; nil where there is none.
	deck int
	seat *seat
}

func planDrawings(p *plan.Plan) []planDrawing {
	var list []planDrawing
	for i := range p.Decks {
		k := deckDrawings{p: p, deck: i, half: deckSeat(&p.Job, i)}
		k.ground()
		k.boards()
		k.covering()
		k.buckets()
		k.desk()
		list = append(list, k.list...)
	}
	return list
}

// deckDrawings collects the drawings of one deck.
type deckDrawings struct {
	p    *plan.Plan
	deck int
	half *seat
	// whole draws all of the deck at once, however many pieces it has.
	whole bool
	list  []planDrawing
}

func (k *deckDrawings) at(what string) string { return what + ", deck " + k.p.Decks[k.deck].Name }

func (k *deckDrawings) add(office bool, what string, draw func(p *plan.Plan, i int, t Title) (*Sheet, error)) {
	k.list = append(k.list, planDrawing{name: k.at(what), make: func(t Title) (*Sheet, error) { return draw(k.p, k.deck, t) },
		office: office, deck: k.deck, seat: k.half})
}

// parts adds a drawing in as many parts as its pieces need.
func (k *deckDrawings) parts(what string, pieces int, draw func(w *part, t Title) (*Sheet, error)) {
	parts := []*part{nil}
	if !k.whole {
		parts = partsOf(k.p, k.deck, pieces)
	}
	for _, w := range parts {
		k.list = append(k.list, planDrawing{name: w.name(k.at(what)), make: func(t Title) (*Sheet, error) { return draw(w, t) },
			deck: k.deck, seat: k.half})
	}
}

// ground is how the deck's falls are made and as found.
func (k *deckDrawings) ground() {
	d := &k.p.Decks[k.deck]
	if len(d.Firrings) > 0 {
		k.add(false, "Firrings", firringSheet)
	}
	if len(d.Tapered) > 0 {
		k.add(false, "Tapered insulation", taperSheet)
	}
	if len(d.JointsProposed) > 0 {
		k.add(false, "Movement joints proposed", jointSheet)
	}
	if d.Levels != nil {
		k.add(true, "Measured levels and standing water", levelSheet)
	}
}

// boards are the layers of boards.
func (k *deckDrawings) boards() {
	d := &k.p.Decks[k.deck]
	if d.Structural != nil {
		k.parts("Structural deck", len(d.Structural.Of(settingout.Board)),
			func(w *part, t Title) (*Sheet, error) { return boardSheet(k.p, k.deck, d.Structural, w, t) })
	}
	if n := len(d.SetOut.Of(settingout.Board)); n > 0 {
		name := "Set-out of boards"
		if d.Structural != nil {
			name = "Carrier boards"
		}
		k.parts(name, n, func(w *part, t Title) (*Sheet, error) { return boardSheet(k.p, k.deck, &d.SetOut, w, t) })
	}
}

// covering is what lies on the boards: trims, bandage and mat.
func (k *deckDrawings) covering() {
	d := &k.p.Decks[k.deck]
	if n := len(d.SetOut.Of(settingout.Trim)); n > 0 {
		k.numbered("Set-out of trims", n, func(w *part, t Title) (*Sheet, error) { return trimSheet(k.p, k.deck, w, t) })
	}
	if n := len(detailPieces(d)); n > 0 {
		k.parts("Bandage and details", n, func(w *part, t Title) (*Sheet, error) { return detailSheet(k.p, k.deck, w, t) })
	}
	for layer := 1; layer <= len(k.p.Job.Spec.Layers); layer++ {
		k.parts(fmt.Sprintf("Set-out of mat, layer %d", layer), len(fieldStrips(d, layer)),
			func(w *part, t Title) (*Sheet, error) { return matSheet(k.p, k.deck, layer, w, t) })
	}
}

func (k *deckDrawings) buckets() {
	for n := range k.p.Passes {
		x := &k.p.Passes[n]
		if x.Deck != k.p.Decks[k.deck].Name || x.Plan == nil || x.Pieces() {
			continue
		}
		draw := func(w *part, t Title) (*Sheet, error) { return bucketSheet(k.p, k.deck, x, w, t) }
		k.numbered("Buckets, "+passWords(x), len(x.Plan.Mixes), draw)
	}
}

// desk is what nobody on the roof works from.
func (k *deckDrawings) desk() {
	d := &k.p.Decks[k.deck]
	if len(d.Zones) > 0 {
		k.add(true, "Wind zones", windSheet)
	}
	if len(d.Drains) > 0 {
		k.add(true, "Where the water goes", waterSheet)
	}
}

func passWords(x *laying.Pass) string {
	if x.Kind == "mat" {
		return fmt.Sprintf("mat layer %d", x.Layer)
	}
	return fmt.Sprintf("%s %d", x.Kind, x.Layer)
}

// tint returns one of four light tints that a mono printer turns into different greys.
func tint(i int) *scene.Colour {
	tints := [...]scene.Colour{{R: 255, G: 255, B: 255}, {R: 226, G: 239, B: 250}, {R: 246, G: 222, B: 178}, {R: 190, G: 214, B: 202}}
	return &tints[i%len(tints)]
}

func sign(t *scene.Colour, h scene.Hatch, dash scene.Dash) []scene.Item {
	box := scene.Rect(1, 0.5, 13, 4.5)
	var items []scene.Item
	if t != nil {
		items = append(items, scene.Shape{Paths: []scene.Path{box}, Filled: true, Fill: *t})
	}
	items = append(items, h.Cut(scene.Meta{}, scene.Black, box)...)
	st := scene.Pen(scene.Thin)
	st.Dash = dash
	return append(items, scene.Shape{Paths: []scene.Path{box}, Stroke: st})
}

// boardSheet shows one layer of boards, with noggins and joists below them.
func boardSheet(p *plan.Plan, i int, out *settingout.SetOut, w *part, t Title) (*Sheet, error) {
	d := &p.Decks[i]
	var boards []settingout.Piece
	var shapes []LabelledShape
	for _, b := range out.Of(settingout.Board) {
		if w.holds(b.Shape) {
			boards = append(boards, b)
			shapes = append(shapes, LabelledShape{ID: b.Number, Label: b.Number, Sub: PieceSize(b), Sized: true, Shape: b.Shape, Holes: b.Holes,
				Class: "board", Title: fmt.Sprintf("Board piece %s, %s mm, from board %d", b.Number, PieceSize(b), b.Stock)})
		}
	}
	var noggins []settingout.Piece
	for _, n := range out.Of(settingout.Noggin) {
		if w.holds(n.Shape) {
			noggins = append(noggins, n)
		}
	}
	key := []KeyEntry{
		{Words: fmt.Sprintf("board piece with its number and size, mm (%s mm %s)", plain(t.Locale, p.Job.Spec.Board.ThicknessMM),
			p.Job.Spec.Board.Material), Sign: sign(tint(0), scene.Hatch{}, "")}}
	if slopedAmong(shapes) {
		key = append(key, KeyEntry{Words: slopedWords})
	}
	if len(noggins) > 0 {
		key = append(key, KeyEntry{Words: "noggin; the numbers of those in one line stand together", Sign: sign(nil, scene.Diagonal(1.2), "")})
	}
	if len(out.Supports) > 0 {
		key = append(key,
			KeyEntry{Words: "joist, centre line",
				Sign: []scene.Item{scene.Line(scene.Meta{}, scene.Stroke{WidthMM: scene.Hairline, Dash: scene.Chain}, scene.Point{X: 0, Y: 2.5},
					scene.Point{X: 14, Y: 2.5})}})
	}
	if curve := curveWords(p.Job.Decks[i]); curve != "" {
		key = append(key, KeyEntry{Words: curve})
	}
	w = w.around(groundOf(shapes)...)
	s, err := setOutPart(&p.Job, i, w, t, w.roomMM(), key)
	if err != nil {
		return nil, err
	}
	for _, n := range noggins {
		s.Add(hatched(s, n.Shape, scene.Diagonal(1.2), "noggin "+n.Number)...)
	}
	low, high := plane.BoundsOf(d.Net)
	if w != nil {
		low, high = w.low, w.high
	}
	s.boardRows(low, high, boards)
	placePieces(s, shapes)
	s.nameNoggins(noggins)
	if w.all() {
		s.ordinates(p.Job.Decks[i])
	}
	s.tellUnplaced()
	for _, line := range out.Supports {
		for _, l := range w.clip(line.From, line.To) {
			s.AddClear(scene.Meta{Class: "joist", Layer: "joists"}, scene.Stroke{WidthMM: scene.Hairline, Dash: scene.Chain}, s.At(l[0]), s.At(l[1]))
		}
	}
	return s, nil
}

func hatched(s *Sheet, shape []plane.Point, h scene.Hatch, title string) []scene.Item {
	pts := make([]scene.Point, len(shape))
	for i, q := range shape {
		pts[i] = s.At(q)
	}
	path := scene.Polygon(pts...)
	g := scene.Group{Meta: scene.Meta{Title: title, Layer: "hatch"}}
	g.Items = append(g.Items, h.Cut(scene.Meta{}, scene.Black, path)...)
	g.Items = append(g.Items, scene.Shape{Paths: []scene.Path{path}, Stroke: scene.Pen(scene.Hairline)})
	return []scene.Item{g}
}

func trimSheet(p *plan.Plan, i int, w *part, t Title) (*Sheet, error) {
	d := &p.Decks[i]
	key := []KeyEntry{
		{Words: "trim with its number and length, mm", Sign: sign(tint(1), scene.Hatch{}, "")},
		{Words: "corner piece", Sign: sign(nil, scene.Cross(45, 1.4), "")},
	}
	var shapes []LabelledShape
	for _, c := range d.SetOut.Of(settingout.Trim) {
		if !w.holds(c.Shape) {
			continue
		}
		kind := "Trim"
		if c.Flexible() {
			kind = "Flexible trim"
		}
		label := fmt.Sprintf("%s  %d", c.Number, c.LengthMM)
		if under := underAt(c); under != "" {
			label += ", " + under
		}
		where := fmt.Sprintf("edge %d", c.Edge+1)
		if c.MovementJoint() {
			kind, where = upperFirst(c.Material), c.Serves
		}
		shapes = append(shapes, LabelledShape{ID: c.Number, Label: label, Shape: c.Shape, Tint: tint(1), Class: "trim",
			Title: fmt.Sprintf("%s %s, %s, %d mm, %s", kind, c.Number, c.Role, c.LengthMM, where)})
	}
	for _, c := range d.SetOut.Of(settingout.Corner) {
		if !w.holds(c.Shape) {
			continue
		}
		shapes = append(shapes, LabelledShape{ID: c.Number, Label: c.Number, Shape: c.Shape, Hatch: scene.Cross(45, 1.4), Class: "corner",
			Title: fmt.Sprintf("%s, %s", c.Number, c.Role)})
	}
	s, err := setOutPart(&p.Job, i, w.around(groundOf(shapes)...), t, w.roomMM(), key)
	if err != nil {
		return nil, err
	}
	PlacePieces(s, shapes)
	return s, nil
}

// keyed draws a sheet whose key tells of arrows, and again without where it turns out to
// have none.
func keyed(draw func(arrows bool) (s *Sheet, drawn int, err error)) (*Sheet, error) {
	s, drawn, err := draw(true)
	if err == nil && drawn == 0 {
		s, _, err = draw(false)
	}
	return s, err
}

// matSheet shows the strips of a layer as they lie: what is laid later over what is
// laid before.
func matSheet(p *plan.Plan, i, layer int, w *part, t Title) (*Sheet, error) {
	return keyed(func(arrows bool) (*Sheet, int, error) { return matSheetWith(p, i, layer, w, t, arrows) })
}

// fieldStrips are the strips of a layer that lie on the deck.
func fieldStrips(d *plan.Deck, layer int) []settingout.Piece {
	var out []settingout.Piece
	for _, m := range d.SetOut.Of(settingout.Mat) {
		if m.Layer == layer && !m.Upright {
			out = append(out, m)
		}
	}
	return out
}

// matSheetWith returns the sheet, its key telling of arrows or not, and how many arrows
// there are on it.
func matSheetWith(p *plan.Plan, i, layer int, w *part, t Title, arrows bool) (*Sheet, int, error) {
	d := &p.Decks[i]
	strips := fieldStrips(d, layer)
	order, buckets := layingOrder(p, d.Name, layer)
	all := inLayingOrder(strips, order)
	// A part shows its own strips, with their places in the order of all.
	var laid []settingout.Piece
	var place []int
	var ground [][]plane.Point
	for k, m := range all {
		if w.holds(m.Shape) {
			laid, place, ground = append(laid, m), append(place, k), append(ground, m.Shape)
		}
	}
	w = w.around(ground...)
	tucks := tucksOf(p, d.Name, layer, laid)
	lapped := len(laid) > 1 && p.Job.Spec.SideLapMM > 0
	tell := matTells{buckets: len(buckets) > 0, dashed: lapped, both: lapped, read: len(laid) > 1, arrows: arrows && len(laid) > 1}
	s, tell, err := matGround(p, matDrawing{i, layer, laid, tucks}, w, t, tell)
	if err != nil {
		return nil, 0, err
	}
	var shapes []LabelledShape
	var steps []step
	for k, m := range laid {
		label := m.Number
		if len(all) > 1 {
			label += " · " + Ordinal(place[k]+1)
			if k > 0 && place[k] == place[k-1]+1 {
				steps = append(steps, step{[]int{k - 1}, []int{k}})
			}
		}
		shapes = append(shapes, LabelledShape{ID: m.Number, Label: label,
			Sub: with(fmt.Sprintf("%d × %d", m.LengthMM, m.WidthMM), buckets[m.Number]), Shape: m.Shape, Holes: m.Holes,
			Tint: tint(slices.IndexFunc(strips, func(x settingout.Piece) bool { return x.Number == m.Number }) % 2), Class: "mat",
			Title: fmt.Sprintf("Mat strip %s, %d × %d mm, layer %d, laid %s", m.Number, m.LengthMM, m.WidthMM, layer, Ordinal(place[k]+1))})
	}
	// What is laid later lies on top, but for what is pushed under.
	drawn := slices.Clone(shapes)
	for _, k := range tucks {
		raise(drawn, k.over, k.under)
	}
	PlacePieces(s, drawn)
	if tell.dashed {
		for _, x := range drawn[:len(drawn)-1] {
			s.Scene.Add(scene.Shape{Meta: scene.Meta{Class: "edge-beneath", Layer: "pieces"}, Paths: x.paths(s),
				Stroke: scene.Stroke{WidthMM: scene.Hairline, Dash: scene.Dashed}})
		}
	}
	return s, s.stepArrows(shapes, steps), nil
}

// matDrawing is the strips of a layer on a sheet, and which of them are pushed under others.
type matDrawing struct {
	deck, layer int
	laid        []settingout.Piece
	tucks       []tuck
}

// matGround returns the sheet with the edges of its strips: what is drawn of a lap depends on the
// scale, and the room for the key on what is drawn.
func matGround(p *plan.Plan, m matDrawing, w *part, t Title, tell matTells) (*Sheet, matTells, error) {
	for {
		s, err := setOutPart(&p.Job, m.deck, w, t, w.roomMM(), matKey(p, m.layer, m.laid, m.tucks, tell))
		if err != nil {
			return nil, tell, err
		}
		lap, now := s.MM(p.Job.Spec.SideLapMM/1000), tell
		now.dashed, now.both = tell.dashed && lap >= seenMM, tell.both && lap >= readMM
		now.read = tell.read && s.stripEdges(m.laid, p.Job.Spec.SideLapMM)
		if now == tell {
			return s, tell, nil
		}
		tell = now
	}
}

// seenMM is how far apart on paper two edges are told apart, one of them dashed.
const seenMM = 0.9

// matTells is what the key of a mat sheet has to tell: that buckets are named, that
// covered edges are dashed, that edges are measured, both of a lap, and of arrows.
type matTells struct{ buckets, dashed, read, both, arrows bool }

func matKey(p *plan.Plan, layer int, laid []settingout.Piece, tucks []tuck, tell matTells) []KeyEntry {
	words := "strip: number; cut size, mm"
	if len(laid) > 1 {
		words = "strip: number, place in the order of laying; cut size, mm"
	}
	if tell.buckets {
		words += "; its buckets"
	}
	key := []KeyEntry{{Words: fmt.Sprintf("%s (%g g/m²)", words, p.Job.Spec.Layers[layer-1]), Sign: sign(tint(1), scene.Hatch{}, "")}}
	if len(laid) > 1 {
		lap := fmt.Sprintf("laps %s mm (sides), %s mm (ends); the later lies on top",
			plain(p.Job.Site.Locale, p.Job.Spec.SideLapMM), plain(p.Job.Site.Locale, p.Job.Spec.EndLapMM))
		if tell.dashed {
			lap += ", the edge beneath is dashed"
		}
		readings := "at the side: edges, mm; at a lap the upper one's"
		if tell.both {
			readings = "at the side: edges, mm; two close together are a lap"
		}
		key = append(key, KeyEntry{Words: lap})
		if words := tuckWords(tucks); words != "" {
			key = append(key, KeyEntry{Words: words})
		}
		if tell.read {
			key = append(key, KeyEntry{Words: readings})
		}
	}
	if tell.arrows {
		key = append(key, KeyEntry{Words: "to the strip laid next, where they touch", Sign: arrowSign()})
	}
	return key
}

// bucketSheet shows what each bucket covers, in the order they are mixed.
func bucketSheet(p *plan.Plan, i int, x *laying.Pass, w *part, t Title) (*Sheet, error) {
	return keyed(func(arrows bool) (*Sheet, int, error) { return bucketSheetWith(p, i, x, w, t, arrows) })
}

// bucketSheetWith returns the sheet, its key telling of arrows or not, and how many
// arrows there are on it.
func bucketSheetWith(p *plan.Plan, i int, x *laying.Pass, w *part, t Title, arrows bool) (*Sheet, int, error) {
	words := "bucket: its number; kg of resin on the largest of its ground"
	if w.numbersAlone() {
		words = "bucket: its number; its kg of resin stand in the bucket table"
	}
	key := []KeyEntry{{Words: words, Sign: sign(tint(2), scene.Hatch{}, "")}}
	if arrows {
		key = append(key, KeyEntry{Words: "to the next bucket, where they touch", Sign: arrowSign()})
	}
	key = append(key,
		KeyEntry{Words: fmt.Sprintf("in the order of the numbers; ends at the exit, the way to it is %s",
			map[bool]string{true: "open after every bucket", false: "NOT open throughout"}[x.Plan.WayOut.Holds])})
	if apart := bucketsApart(x, w); apart != "" {
		key = append(key, KeyEntry{Words: apart})
	}
	var shapes []LabelledShape
	var steps []step
	var before []int // the ground of the bucket before, where it is on the sheet
	for n, m := range x.Plan.Mixes {
		var here []int
		largest, most := -1, 0.0
		for k, part := range m.Parts {
			if !w.holds(part.Shape) {
				continue
			}
			if a := (plane.Polygon{Outer: part.Shape}).Area(); a > most {
				largest, most = len(shapes), a
			}
			here = append(here, len(shapes))
			shapes = append(shapes, LabelledShape{ID: fmt.Sprintf("bucket-%d-%d", m.Number, k), Label: fmt.Sprint(m.Number), Shape: part.Shape,
				Tint: tint(1 + n%3), Class: "bucket",
				Title: fmt.Sprintf("Bucket %d, %.2f kg with %s, on %s", m.Number, m.ResinKG, doseML(m.CatalystML), part.Name)})
		}
		if largest >= 0 && !w.numbersAlone() {
			shapes[largest].Sub = num(t.Locale, m.ResinKG, 1) + " kg"
			if len(here) < len(m.Parts) && !w.all() {
				shapes[largest].Sub += " in all"
			}
		}
		// On a part the order leaves the sheet and comes back.
		if len(before) > 0 && len(here) > 0 {
			steps = append(steps, step{before, here})
		}
		before = here
	}
	s, err := setOutPart(&p.Job, i, w.around(groundOf(shapes)...), t, min(w.roomMM(), 12), key)
	if err != nil {
		return nil, 0, err
	}
	PlacePieces(s, shapes)
	return s, s.stepArrows(shapes, steps), nil
}
