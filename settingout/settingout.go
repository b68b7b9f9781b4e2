package settingout

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"slices"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/working"
)

// Given is what a set-out takes into account beside deck and specification. Its
// zero value is the usual stock, nothing in hand, and one wind zone.
type Given struct {
	Supply Supply
	// Zones of wind uplift, by which fixings are counted.
	Zones []Zone
}

// Make sets out one deck from the usual stock with nothing in hand; see MakeFrom.
func Make(ctx context.Context, d roof.Deck, spec roof.Spec) (SetOut, error) {
	return MakeFrom(ctx, d, spec, Given{})
}

// MakeFrom sets out one deck: boards, trims, corners, bandage and mat, with their cut
// lists. What is in hand is cut first. Choices pinned in spec.SetOut are kept; all else
// is chosen for the fewest boards, then cuts, and the least mat. A done context is an
// error: what had been found by then would hang on the machine's speed.
func MakeFrom(ctx context.Context, d roof.Deck, spec roof.Spec, given Given) (SetOut, error) {
	w, err := begin(d, spec, given)
	if err != nil {
		return w.out, err
	}
	if err := w.search(ctx, nil); err != nil {
		return w.out, err
	}
	err = w.lay(ctx)
	return w.out, err
}

// MakeTwo sets out a deck that is boarded twice: the boards of the lower, and all of the
// upper. Of the lower only boards, what carries them and their fixings are set out, from
// the usual stock with nothing in hand. Where the two ask the same, the boards are
// chosen once.
func MakeTwo(ctx context.Context, lower, upper roof.Deck, spec roof.Spec, given Given) (SetOut, SetOut, error) {
	under, err := begin(lower, spec, Given{})
	if err != nil {
		return under.out, SetOut{}, err
	}
	over, err := begin(upper, spec, given)
	if err != nil {
		return under.out, over.out, err
	}
	if err := under.search(ctx, nil); err != nil {
		return under.out, over.out, err
	}
	if err := over.search(ctx, &under); err != nil {
		return under.out, over.out, err
	}
	if err := over.lay(ctx); err != nil {
		return under.out, over.out, err
	}
	err = under.onlyBoards(&over)
	return under.out, over.out, err
}

// FewerBoards returns with how few boards a deck can be boarded, as far as is found,
// and n at once where fewer than n cannot be.
func FewerBoards(ctx context.Context, d roof.Deck, spec roof.Spec, given Given, n int) (int, error) {
	w, err := begin(d, spec, given)
	if err != nil {
		return n, err
	}
	r, err := rulesFor(spec.Board, w.z.kerf)
	if err != nil {
		return n, err
	}
	if n <= leastByArea(w.net.Area(), r, w.z.handOf(boardName(spec.Board))) {
		return n, nil
	}
	w.quick = true
	err = w.search(ctx, nil)
	return w.boards.count, err
}

// work is a deck being set out.
type work struct {
	d     roof.Deck
	spec  roof.Spec
	z     sizes
	zones []Zone
	// net is boarded; ground is the same without the slots of movement joints.
	net, ground plane.Region
	laid        plane.Region // the deck less its openings, up to its edges
	boards      boarding
	tried       []Candidate
	quick       bool // no hunt for one board less
	out         SetOut
}

// begin checks what is given and takes openings and joints out of the deck.
func begin(d roof.Deck, spec roof.Spec, given Given) (work, error) {
	w := work{d: d, spec: spec, zones: given.Zones, out: SetOut{Deck: d.Name}}
	var err error
	if w.z, err = given.Supply.sizesOf(); err != nil {
		return w, err
	}
	if len(d.Outline) < 2 {
		return w, fmt.Errorf("deck %q: the outline has %d corners: give at least three, or two with arcs", d.Name, len(d.Outline))
	}
	if a := d.Outline.SignedArea(); !(a > 0) || math.IsInf(a, 0) {
		return w, fmt.Errorf("deck %q: the outline has no area or runs clockwise: give its corners anticlockwise", d.Name)
	}
	if len(spec.Layers) == 0 {
		return w, fmt.Errorf("deck %q: spec.layers_g_per_m2 is empty: give at least one layer of mat", d.Name)
	}
	lateral := func(edge int) float64 {
		if conditionOf(d, edge).HasUpstand() {
			return spec.Board.WallGapMM / 1000
		}
		return 0
	}
	around := func(o roof.Opening) float64 {
		if o.Kind == "chimney" {
			return spec.Board.WallGapMM / 1000
		}
		return 0
	}
	if w.out.MovementJoints, w.out.Findings, err = movementJoints(d); err != nil {
		return w, err
	}
	if w.net, err = netDeck(d, lateral, around, slots(w.out.MovementJoints, boardSlot)); err != nil {
		return w, err
	}
	w.ground = w.net
	if len(w.out.MovementJoints) > 0 {
		w.ground, err = netDeck(d, lateral, around, nil)
	}
	return w, err
}

// search chooses the boards, or takes those of a deck that asks the same; known may be nil.
func (w *work) search(ctx context.Context, known *work) error {
	if known != nil && w.asks(known) {
		w.boards, w.tried = known.boards, known.tried
		return nil
	}
	var err error
	w.boards, w.tried, err = setBoards(ctx, w.d, w.spec, w.net, w.z, w.quick)
	return err
}

// asks reports whether the search for boards would find what o's has found.
func (w *work) asks(o *work) bool {
	type question struct {
		outline plane.Ring
		falls   plane.Falls
		base    roof.Base
		net     plane.Region
		board   roof.Board
		setOut  roof.Pins
		kerf    int
		hand    []InHand
	}
	of := func(w *work) question {
		return question{w.d.Outline, w.d.Falls, w.d.Base, w.net, w.spec.Board, w.spec.SetOut, w.z.kerf, w.z.handOf(boardName(w.spec.Board))}
	}
	return reflect.DeepEqual(of(w), of(o))
}

// board sets the boards found, with what carries them.
func (w *work) board() {
	boardPieces(w.boards, w.d, w.spec, w.z, w.zones, w.ground, &w.out)
	w.out.boardedM2 = w.net.Area()
	b, pin := &w.boards, w.spec.SetOut
	w.out.Choices = append(w.out.Choices, Choice{
		About: "boards",
		Text: fmt.Sprintf("%s: %s, %s, %.1f m of end joint", b.name, counted(b.count, "board"), counted(b.cuts, "saw cut"), b.jointM) +
			b.keeping(pin) + fewerIfBroken(w.tried),
		Pinned:     pin.BoardDirection != "" || pin.BoardStart != "" || pinnedRows(pin),
		Candidates: w.tried,
	})
}

// onlyBoards sets the boards found of a deck that lies below another.
func (w *work) onlyBoards(over *work) error {
	w.board()
	nogginStock(&w.out)
	w.out.Pieces = inOrder(w.out.Pieces)
	w.laid = over.laid
	if !reflect.DeepEqual(w.d.Outline, over.d.Outline) || !reflect.DeepEqual(w.d.Openings, over.d.Openings) {
		if err := w.whole(); err != nil {
			return err
		}
	}
	w.out.Figures = figures(w.d, w.spec, w.z, w.laid, &w.out)
	return nil
}

// whole works out the deck up to its edges.
func (w *work) whole() (err error) {
	w.laid, err = netDeck(w.d, func(int) float64 { return 0 }, func(roof.Opening) float64 { return 0 }, nil)
	return err
}

// lay sets the boards found and all that lies on them.
func (w *work) lay(ctx context.Context) error {
	w.board()
	if err := trims(ctx, w.d, w.spec, w.z, &w.out); err != nil {
		return err
	}
	if err := setBandage(w.d, w.spec, &w.out); err != nil {
		return err
	}
	if err := w.whole(); err != nil {
		return err
	}
	fields := w.laid
	if len(w.out.MovementJoints) > 0 {
		nothing, whole := func(int) float64 { return 0 }, func(roof.Opening) float64 { return 0 }
		var err error
		if fields, err = netDeck(w.d, nothing, whole, slots(w.out.MovementJoints, fieldSlot)); err != nil {
			return err
		}
	}
	if err := setMat(ctx, w.d, w.spec, w.z, fields, &w.out); err != nil {
		return err
	}
	w.out.cutAtJoints()
	nogginStock(&w.out)
	w.out.Pieces = inOrder(w.out.Pieces)
	w.out.Figures = figures(w.d, w.spec, w.z, w.laid, &w.out)
	return ctx.Err()
}

// counted prints a number with its word: "1 board", "7 boards".
func counted(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}

// inOrder sorts pieces by kind, keeping their order within it.
func inOrder(pieces []Piece) []Piece {
	out := make([]Piece, 0, len(pieces))
	for _, k := range []Kind{Board, Trim, Corner, Bandage, Mat, Patch, Noggin} {
		for _, p := range pieces {
			if p.Kind == k {
				out = append(out, p)
			}
		}
	}
	return out
}

var (
	boardArea    = working.MustFormula("a = l·w")
	boardsByArea = working.MustFormula("Na = ⌈Ab/(g²·(l + k)·(w + k)) − 0.001⌉")
	boardsCut    = working.Method("N", "pieces cut from whole boards, the exact two-dimensional cutter")
	boardWaste   = working.Method("wb", "100·(bought − laid)/bought, by the area of the pieces")
	screwsSet    = working.Method("Nf", "sum over boards of edge and field fixings")
	trimOf       = working.Method("Lt", "sum of trims, laps included")
	capOf        = working.Method("Lc", "sum of pieces, laps included, crossings left out")
	matWaste     = working.Method("wm", "100·(Mc − Mu)/Mc before they are rounded")
	rollsCut     = working.Method("Nr", "runs, each in one piece, cut from rolls as they are sold")
)

// figures sums what was set out, each total with its working.
func figures(d roof.Deck, spec roof.Spec, z sizes, laid plane.Region, out *SetOut) []*working.Figure {
	geometry := working.Source{Title: "set-out, piece by piece", Standing: working.Derived}
	key := func(s string) string { return "setout." + d.Name + "." + s }
	of := "set-out of deck " + d.Name + ", piece by piece"
	read := func(symbol, name string, v float64, unit, k string) *working.Figure {
		return working.Measured(symbol, name+" on deck "+d.Name, v, unit, of).Keyed(key(k))
	}
	area := working.Measured("A", "net area of deck "+d.Name, round3(laid.Area()), "m²",
		"outline of the deck less its openings").Keyed(key("net_area"))
	list := []*working.Figure{area}
	var trimM, capM, bandM, matM2, matUsed float64
	trims, corners := 0, 0
	for _, m := range out.Materials {
		switch m.Kind {
		case Board:
			length := working.Measured("l", "length of a board", spec.Board.LengthM, "m", "boards as specified")
			width := working.Measured("w", "width of a board", spec.Board.WidthM, "m", "boards as specified")
			stock := boardArea.Figure("area of one board", "m²", geometry, length, width)
			least := boardsByArea.Figure("boards by area alone, whatever the layout", "boards", geometry, byAreaInputs(d, spec, z, out, length,
				width)...).Keyed(key("boards_by_area"))
			bound := working.Constant("nb", "least number for these pieces", m.Bound, "boards",
				working.Source{Title: m.Method, Standing: working.Derived})
			count := boardsCut.Run("boards on deck "+d.Name, float64(m.Items), "boards", geometry,
				append([]*working.Figure{area, stock, bound, least}, byLengths(m)...)...).Keyed(key("boards"))
			waste := boardWaste.Run("board waste on deck "+d.Name, round3(m.WastePct), "%", geometry, count, stock, area).Keyed(key("board_waste"))
			list = append(list, count, waste)
		case Mat:
			matM2 += m.Bought
			matUsed += m.Used
		}
	}
	for _, p := range out.Pieces {
		switch p.Kind {
		case Trim:
			if p.Role == jointRole {
				capM += float64(p.LengthMM) / 1000
				break
			}
			trimM += float64(p.LengthMM) / 1000
			trims++
		case Bandage:
			bandM += float64(p.LengthMM) / 1000
		case Corner:
			corners++
		}
	}
	for i, glass := range spec.Layers {
		if i > 0 && slices.Contains(spec.Layers[:i], glass) {
			continue
		}
		if f := rollFigure(d.Name, glass, z, out); f != nil {
			list = append(list, f)
		}
	}
	screws := 0
	for _, f := range out.Fixings {
		screws += f.Edge + f.Field
	}
	joints := 0.0
	for _, j := range out.Joints {
		if j.Support != jointRole {
			joints += j.LengthM()
		}
	}
	lap := working.Measured("u", "trim lap", spec.TrimLapMM, "mm", "trims as specified")
	used := read("Mu", "mat laid", round3(matUsed), "m²", "mat_laid").Noting("laps, upstands and patches included")
	cut := read("Mc", "mat cut from the roll", round3(matM2), "m²", "mat").Noting("roll length by width")
	list = append(list,
		read("J", "board joints", round3(joints), "m", "joints"),
		screwsSet.Run("board fixings on deck "+d.Name, float64(screws), "", geometry,
			working.Measured("e", "edge centres", spec.Board.EdgeFixMM, "mm", "boards as specified"),
			working.Measured("c", "field centres", spec.Board.FieldFixMM, "mm", "boards as specified")).Keyed(key("fixings")),
		trimOf.Run("trim on deck "+d.Name, round3(trimM), "m", geometry, lap).Keyed(key("trim_m")),
		read("Nt", "trim pieces", float64(trims), "", "trim_pieces"),
		read("Nc", "corners", float64(corners), "", "corners"),
		read("B", "bandage", round3(bandM), "m", "bandage_m"),
		used, cut,
	)
	if waste := wastePct(matM2, matUsed); cut.Value > 0 {
		list = append(list, matWaste.Run("mat waste on deck "+d.Name, round3(waste), "%", geometry, cut, used).Keyed(key("mat_waste")))
	} else {
		list = append(list, read("wm", "mat waste", round3(waste), "%", "mat_waste"))
	}
	if n := len(out.MovementJoints); n > 0 {
		sum := 0.0
		for _, j := range out.MovementJoints {
			sum += j.LengthM()
		}
		line := read("Lm", "movement joints", round3(sum), "m", "movement_joints")
		list = append(list, line, capOf.Run("joint cap and strip on deck "+d.Name, round3(capM), "m", geometry, line,
			lap).Keyed(key("joint_cap_m")))
	}
	return list
}

// byLengths is the bound by the lengths between joists, where that is more than by area.
func byLengths(m Material) []*working.Figure {
	if m.LayoutBound == 0 {
		return nil
	}
	source := working.Source{Title: "linear programme of the lengths along the rows", Standing: working.Derived}
	const name = "least number for any layout with its end joints on joists"
	return []*working.Figure{working.Constant("nl", name, float64(m.LayoutBound), "boards", source)}
}

// byAreaInputs are what the number of boards by area is worked out of.
func byAreaInputs(d roof.Deck, spec roof.Spec, z sizes, out *SetOut, length, width *working.Figure) []*working.Figure {
	r, _ := rulesFor(spec.Board, z.kerf)
	boarded := lessHand(out.boardedM2, r, z.handOf(boardName(spec.Board)))
	return []*working.Figure{
		working.Measured("Ab", "boarded area of deck "+d.Name, round3(max(0, boarded)), "m²",
			"net area less the gaps at walls, joints and folds, and less what boards in hand cover"),
		length, width,
		working.Measured("k", "saw cut", float64(z.kerf)/1000, "m", "saw of the firm"),
		working.Measured("g", "gain of the narrowest piece where the gap between boards is wider than the saw cut", round3(r.gain()), "",
			"spec.board.gap_mm and stock.saw_kerf_mm"),
	}
}

var rollSource = working.Source{Title: "usual roll, or the firm's", Standing: working.CommonPractice}

// rollFigure is the number of whole rolls the runs of one glass weight are cut from.
func rollFigure(deck string, glassGPerM2 float64, z sizes, out *SetOut) *working.Figure {
	for _, m := range out.Materials {
		if m.Name != matName(glassGPerM2) || len(m.Rolls) == 0 {
			continue
		}
		exact := working.Source{Title: "exact one-dimensional cutter, every run in one piece", Standing: working.Derived}
		inputs := []*working.Figure{working.Constant("l", "length of a whole roll", float64(z.rolls[m.Name].length)/1000, "m", rollSource),
			working.Constant("nb", "proven least number of whole rolls for these runs", float64(m.RollBound), "rolls", exact),
			working.Measured("Lb", "length of the rolls bought", float64(m.boughtMM())/1000, "m", "rolls of the cut list")}
		if begun := len(m.Rolls) - m.Items; begun > 0 {
			inputs = append(inputs, working.Measured("nh", "rolls in hand or begun on another deck, used first", float64(begun), "rolls",
				"stock in hand"))
		}
		return rollsCut.Run("rolls of "+m.Name+" on deck "+deck, float64(m.Items), "rolls", exact,
			inputs...).Keyed(fmt.Sprintf("setout.%s.rolls.%g", deck, glassGPerM2))
	}
	return nil
}

// boughtMM is the length of the rolls bought, mm.
func (m *Material) boughtMM() int {
	sum := 0
	for _, r := range m.Rolls {
		if !r.InHand {
			sum += r.LengthMM
		}
	}
	return sum
}

// Bounds returns the least rectangle round a piece on plan.
func (p Piece) Bounds() (low, high plane.Point) { return p.Shape.Bounds() }
