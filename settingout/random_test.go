package settingout_test

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/settingout/proof"
)

// drawDeck draws a roof: a rectangle, L, T or U, a triangle or a bay with an arc,
// turned at will, with openings and a pipe, on joists or on a deck.
func drawDeck(t *rapid.T) roof.Deck {
	mm := func(low, high int, what string) float64 {
		return float64(rapid.IntRange(low, high).Draw(t, what)) / 1000
	}
	w, h := mm(2000, 11000, "width"), mm(2000, 9000, "depth")
	var ring plane.Ring
	kind := rapid.SampledFrom([]string{"rectangle", "L", "T", "U", "triangle", "bay"}).Draw(t, "kind")
	a, b := w*mm(300, 600, "a"), h*mm(300, 600, "b")
	p := func(x, y float64) plane.Point { return plane.Point{X: x, Y: y} }
	switch kind {
	case "L":
		ring = plane.RingOf(p(0, 0), p(w, 0), p(w, b), p(a, b), p(a, h), p(0, h))
	case "T":
		ring = plane.RingOf(p(0, 0), p(w, 0), p(w, b), p(w-a/2, b), p(w-a/2, h), p(a/2, h), p(a/2, b), p(0, b))
	case "U":
		ring = plane.RingOf(p(0, 0), p(w, 0), p(w, h), p(w-a/2, h), p(w-a/2, b), p(a/2, b), p(a/2, h), p(0, h))
	case "triangle":
		ring = plane.RingOf(p(0, 0), p(w, 0), p(a, h))
	case "bay":
		ring = plane.Ring{{Point: p(0, 0), Bulge: mm(100, 600, "bulge")}, {Point: p(w, 0)}, {Point: p(w, h)}, {Point: p(0, h)}}
	default:
		ring = plane.RingOf(p(0, 0), p(w, 0), p(w, h), p(0, h))
	}
	d := roof.Deck{Name: "random", Outline: ring}
	conditions := []roof.Condition{roof.Drip, roof.Kerb, roof.Wall, roof.Verge, roof.Parapet}
	for range ring {
		d.Edges = append(d.Edges, roof.Edge{Condition: rapid.SampledFrom(conditions).Draw(t, "condition"), HeightMM: 150})
	}
	if rapid.Bool().Draw(t, "opening") && kind != "triangle" && kind != "U" && kind != "T" {
		x, y := a*mm(200, 500, "ox"), b*mm(200, 500, "oy")
		d.Openings = append(d.Openings, roof.Opening{Name: "RL1", Kind: "rooflight", KerbMM: 150, Outline: plane.Rectangle(x, y, x+min(0.9, a*0.4), y+min(0.7, b*0.4))})
	}
	d.Base = roof.Base{Kind: "sound deck"}
	if rapid.Bool().Draw(t, "on joists") {
		d.Base = joists(rapid.SampledFrom([]float64{0, 90}).Draw(t, "bearing"))
		d.Base.JoistSpacingMM = rapid.SampledFrom([]float64{300, 400, 450, 600}).Draw(t, "spacing")
		d.Base.JoistOffsetMM = float64(rapid.IntRange(0, 300).Draw(t, "joist offset"))
	}
	down := rapid.SampledFrom([]plane.Point{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}}).Draw(t, "down")
	d.Falls = plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: down, Ratio: 40}}}
	if kind == "rectangle" && rapid.Bool().Draw(t, "folded") {
		// A ridge, or a slanting hip, and a movement joint across it.
		x, lean := w*mm(300, 700, "fold"), mm(-800, 800, "lean")
		if rapid.Bool().Draw(t, "square") {
			lean = 0
		}
		x0, x1 := min(max(x-lean, 0.4), w-0.4), min(max(x+lean, 0.4), w-0.4)
		d.Falls = plane.Falls{Kind: plane.Ridge, Line: [2]plane.Point{p(x0, 0), p(x1, h)}, Planes: []plane.FallPlane{{Down: plane.Point{X: -1}, Ratio: 40}, {Down: plane.Point{X: 1}, Ratio: 40}}}
		// Planes that fall square to a slanting valley would not meet in it.
		if x0 == x1 && rapid.IntRange(0, 3).Draw(t, "valley") == 0 {
			d.Falls.Kind = plane.Valley
			d.Falls.Planes[0], d.Falls.Planes[1] = d.Falls.Planes[1], d.Falls.Planes[0]
		}
		if min(w, h) > 4.5 && rapid.Bool().Draw(t, "movement joint") {
			d.MovementJoints = [][2]plane.Point{{p(0, h/2), p(w, h/2)}}
		}
	}
	if kind == "rectangle" && d.Falls.Kind == plane.OneWay && rapid.IntRange(0, 3).Draw(t, "to a point") == 0 {
		d.Falls = plane.Falls{Kind: plane.ToPoint, Point: p(w*mm(0, 1000, "point x"), h*mm(0, 1000, "point y")), Planes: []plane.FallPlane{{Ratio: 40}}}
	}
	if kind == "rectangle" && d.Falls.Kind == plane.OneWay && len(d.Openings) == 0 && rapid.Bool().Draw(t, "chimney") {
		// It stands on the west edge.
		y := h * mm(200, 500, "chimney y")
		d.Openings = append(d.Openings, roof.Opening{Name: "CH", Kind: "chimney", KerbMM: 150, Outline: plane.Rectangle(0, y, 0.6, y+min(0.9, h*0.3))})
	}
	// Nobody parts a small roof, or runs a joint past a chimney at arm's length.
	if d.Falls.Kind == plane.OneWay && kind != "triangle" && min(w, h) > 4.5 && (len(d.Openings) == 0 || d.Openings[0].Kind != "chimney") && rapid.IntRange(0, 2).Draw(t, "parted") == 0 {
		d.MovementJoints = drawJoints(t, ring, w, h)
	}
	d.Exit = p(w*mm(0, 1000, "exit x"), h*mm(0, 1000, "exit y"))
	return d
}

// drawJoints draws movement joints from side to side, square, slanting, crossing or
// ending at one another; some stop short of the edge, some reach past it.
func drawJoints(t *rapid.T, ring plane.Ring, w, h float64) [][2]plane.Point {
	share := func(low, high int, what string) float64 {
		return float64(rapid.IntRange(low, high).Draw(t, what)) / 1000
	}
	p := func(x, y float64) plane.Point { return plane.Point{X: x, Y: y} }
	// Near a re-entrant corner a joint runs into it and not past it.
	into := func(v float64, of func(plane.Point) float64) float64 {
		for _, c := range ring {
			if math.Abs(of(c.Point)-v) < 0.25 {
				return of(c.Point)
			}
		}
		return v
	}
	drawn := w * share(300, 700, "joint x")
	x := into(drawn, func(p plane.Point) float64 { return p.X })
	lean := 0.0
	if rapid.Bool().Draw(t, "slanting") && x == drawn {
		lean = share(-250, 250, "joint lean")
	}
	short := share(-60, 60, "short of the edge")
	upright := [2]plane.Point{p(x-lean, short), p(x+lean, h-short)}
	level := into(h*share(300, 700, "joint y"), func(p plane.Point) float64 { return p.Y })
	switch rapid.SampledFrom([]string{"one", "across", "crossing", "ending"}).Draw(t, "joints") {
	case "across":
		return [][2]plane.Point{{p(0, level), p(w, level)}}
	case "crossing":
		return [][2]plane.Point{upright, {p(0, level), p(w, level)}}
	case "ending":
		at := x - lean + 2*lean*(level-short)/(h-2*short)
		return [][2]plane.Point{{p(at, level), p(w, level)}, upright}
	}
	return [][2]plane.Point{upright}
}

func drawSpec(t *rapid.T) roof.Spec {
	s := usual(rapid.SampledFrom([][]float64{{450}, {600}, {450, 450}}).Draw(t, "layers"))
	if rapid.Bool().Draw(t, "narrow boards") {
		s.Board.LengthM, s.Board.WidthM = 2.4, 0.6
		s.Board.TongueAndGroove = true
	}
	s.SideLapMM = float64(rapid.SampledFrom([]int{50, 75, 100}).Draw(t, "side lap"))
	return s
}

// bounded keeps the random checks short unless the command line asks for more.
func bounded(t *testing.T, rounds string, f func(*rapid.T)) {
	t.Helper()
	checks := flag.Lookup("rapid.checks")
	if before := checks.Value.String(); before == checks.DefValue {
		if err := checks.Value.Set(rounds); err != nil {
			t.Fatal(err)
		}
		defer func() { _ = checks.Value.Set(before) }()
	}
	rapid.Check(t, f)
}

func TestRandomRoofsHold(t *testing.T) {
	bounded(t, "30", func(rt *rapid.T) {
		d, spec := drawDeck(rt), drawSpec(rt)
		s, err := settingout.Make(context.Background(), d, spec)
		if err != nil {
			rt.Fatal(err)
		}
		for _, f := range proof.Check(d, spec, s) {
			rt.Errorf("%v", f)
		}
	})
}

// turnDeck turns a deck a quarter anticlockwise about the origin.
func turnDeck(d roof.Deck) roof.Deck {
	turn := func(p plane.Point) plane.Point { return plane.Point{X: -p.Y, Y: p.X} }
	ring := func(r plane.Ring) plane.Ring {
		out := append(plane.Ring(nil), r...)
		for i := range out {
			out[i].Point = turn(out[i].Point)
		}
		return out
	}
	out := d
	out.Outline = ring(d.Outline)
	out.Openings = append([]roof.Opening(nil), d.Openings...)
	for i := range out.Openings {
		out.Openings[i].Outline = ring(d.Openings[i].Outline)
	}
	out.Falls.Planes = append([]plane.FallPlane(nil), d.Falls.Planes...)
	for i := range out.Falls.Planes {
		out.Falls.Planes[i].Down = turn(d.Falls.Planes[i].Down)
	}
	for i := range out.Falls.Line {
		out.Falls.Line[i] = turn(d.Falls.Line[i])
	}
	out.MovementJoints = nil
	for _, m := range d.MovementJoints {
		out.MovementJoints = append(out.MovementJoints, [2]plane.Point{turn(m[0]), turn(m[1])})
	}
	out.Exit = turn(d.Exit)
	if d.Base.Kind == "joists" {
		out.Base.JoistBearingDeg += 90
		// The first joist is counted from the lowest corner across the joists, which
		// is the other side of the deck when the joists turn from y to x.
		out.Base.JoistOffsetMM = offsetAfter(d, d.Base.JoistBearingDeg == 0)
	}
	return out
}

// mirrorDeck mirrors a deck in the y axis.
func mirrorDeck(d roof.Deck) roof.Deck {
	flip := func(p plane.Point) plane.Point { return plane.Point{X: -p.X, Y: p.Y} }
	ring := func(r plane.Ring) plane.Ring {
		out := r.Reversed()
		for i := range out {
			// Reversed turns the bulge's sign, mirroring turns it back.
			out[i].Point, out[i].Bulge = flip(out[i].Point), -out[i].Bulge
		}
		return out
	}
	out := d
	out.Outline = ring(d.Outline)
	n := len(d.Edges)
	out.Edges = make([]roof.Edge, n)
	for i := range out.Edges {
		out.Edges[i] = d.Edges[(2*n-2-i)%n]
	}
	out.Openings = append([]roof.Opening(nil), d.Openings...)
	for i := range out.Openings {
		out.Openings[i].Outline = ring(d.Openings[i].Outline)
	}
	out.Falls.Planes = append([]plane.FallPlane(nil), d.Falls.Planes...)
	for i := range out.Falls.Planes {
		out.Falls.Planes[i].Down = flip(d.Falls.Planes[i].Down)
	}
	if len(d.Falls.Planes) == 2 {
		// Left of the line becomes right: run the line the other way.
		out.Falls.Line = [2]plane.Point{flip(d.Falls.Line[1]), flip(d.Falls.Line[0])}
	}
	out.MovementJoints = nil
	for _, m := range d.MovementJoints {
		out.MovementJoints = append(out.MovementJoints, [2]plane.Point{flip(m[0]), flip(m[1])})
	}
	out.Exit = flip(d.Exit)
	out.Base.JoistOffsetMM = offsetAfter(d, d.Base.JoistBearingDeg == 90)
	return out
}

// offsetAfter is the first joist's offset when the deck is counted from its other
// side (flipped), unchanged otherwise.
func offsetAfter(d roof.Deck, flipped bool) float64 {
	if !flipped || d.Base.Kind != "joists" {
		return d.Base.JoistOffsetMM
	}
	low, high := d.Outline.Bounds()
	extent := (high.X - low.X) * 1000
	if d.Base.JoistBearingDeg == 0 {
		extent = (high.Y - low.Y) * 1000
	}
	rest := math.Mod(extent-d.Base.JoistOffsetMM, d.Base.JoistSpacingMM)
	return rest
}

func TestTurningAndMirroringChangeNoTotal(t *testing.T) {
	bounded(t, "10", func(rt *rapid.T) {
		d, spec := drawDeck(rt), drawSpec(rt)
		plain, err := settingout.Make(context.Background(), d, spec)
		if err != nil {
			rt.Fatal(err)
		}
		for k, other := range []roof.Deck{turnDeck(d), mirrorDeck(d)} {
			name := []string{"turned", "mirrored"}[k]
			s, err := settingout.Make(context.Background(), other, spec)
			if err != nil {
				rt.Fatal(err)
			}
			for i, f := range plain.Figures {
				// Where folds cross, the search improves row after row and may end at another
				// plan with as many boards: only what does not hang on joints must agree.
				if len(d.MovementJoints) > 0 && (strings.HasSuffix(f.Key, ".joints") || strings.HasSuffix(f.Key, ".fixings") || strings.HasSuffix(f.Key, ".bandage_m")) {
					continue
				}
				// A millimetre of rounding in each piece is let through.
				if g := s.Figures[i]; math.Abs(f.Value-g.Value) > 1e-3*max(1, f.Value) {
					rt.Errorf("%s: %s is %v, was %v", name, f.Name, g.Value, f.Value)
				}
			}
		}
	})
}

func TestSameInputGivesTheSameBytes(t *testing.T) {
	for _, a := range acceptanceRoofs() {
		if a.id != "R04" && a.id != "R06" {
			continue
		}
		var first []byte
		for k := 0; k < 2; k++ {
			s, err := settingout.Make(context.Background(), a.decks[0], usual(a.layers))
			if err != nil {
				t.Fatal(err)
			}
			text, err := json.Marshal(s)
			if err != nil {
				t.Fatal(err)
			}
			if k == 1 && !bytes.Equal(first, text) {
				t.Errorf("%s: two runs differ", a.id)
			}
			first = text
		}
	}
}

// The checker finds what is wrong with a plan that was spoilt on purpose.
func TestCheckerFindsSpoiltPlans(t *testing.T) {
	a := acceptanceRoofs()[8] // R09
	d, spec := a.decks[0], usual([]float64{450, 450})
	move := func(p *settingout.Piece, by plane.Point) {
		for i := range p.Shape {
			p.Shape[i] = p.Shape[i].Add(by)
		}
		p.Corner = p.Corner.Add(by)
	}
	first := func(s *settingout.SetOut, k settingout.Kind, n int) *settingout.Piece {
		for i := range s.Pieces {
			if s.Pieces[i].Kind == k {
				if n == 0 {
					return &s.Pieces[i]
				}
				n--
			}
		}
		return nil
	}
	noticed(t, d, spec, []spoiling{
		{"boards.cover", func(s *settingout.SetOut) { s.Pieces = s.Pieces[1:] }},
		{"boards.overlap", func(s *settingout.SetOut) { move(first(s, settingout.Board, 1), plane.Point{X: -0.2}) }},
		// Too little for points spread over the deck: seen along the sides.
		{"boards.overlap", func(s *settingout.SetOut) { move(first(s, settingout.Board, 1), plane.Point{X: -0.009}) }},
		{"boards.cover", func(s *settingout.SetOut) {
			p := first(s, settingout.Board, 1)
			a, b := p.Shape[0], p.Shape[1]
			u := b.Sub(a).Unit()
			v := u.Left()
			p.Shape = append(plane.Loop{a.Add(u.Scale(0.06)), b}, append(p.Shape[2:], a.Add(v.Scale(0.06)), a.Add(v.Scale(0.06)).Add(u.Scale(0.06)))...)
		}},
		{"boards.outside", func(s *settingout.SetOut) {
			p := first(s, settingout.Board, 0)
			low, high := d.Outline.Bounds()
			out := plane.Point{X: -0.3}
			if a, b := p.Bounds(); high.X-b.X < a.X-low.X {
				out.X = 0.3
			}
			move(p, out)
		}},
		{"mat.cover", func(s *settingout.SetOut) { *first(s, settingout.Mat, 1) = *first(s, settingout.Mat, 0) }},
		{"mat.lap", func(s *settingout.SetOut) { move(first(s, settingout.Mat, 0), plane.Point{Y: -0.02}) }},
		{"trim.cover", func(s *settingout.SetOut) { first(s, settingout.Trim, 3).LengthMM -= 200 }},
		{"trim.lap", func(s *settingout.SetOut) { first(s, settingout.Trim, 0).LengthMM -= 30 }},
		{"stock.missing", func(s *settingout.SetOut) { s.Materials[0].Stock[0].Cuts = s.Materials[0].Stock[0].Cuts[1:] }},
		{"stock.overlap", func(s *settingout.SetOut) {
			for i := range s.Materials[0].Stock {
				if cuts := s.Materials[0].Stock[i].Cuts; len(cuts) > 1 {
					cuts[1].XMM, cuts[1].YMM = cuts[0].XMM, cuts[0].YMM
					return
				}
			}
		}},
		{"bandage.joint", func(s *settingout.SetOut) {
			var keep []settingout.Piece
			for _, p := range s.Pieces {
				if p.Role != "board joint" {
					keep = append(keep, p)
				}
			}
			s.Pieces = keep
		}},
		{"fixings.none", func(s *settingout.SetOut) { s.Fixings[6].Edge, s.Fixings[6].Field = 0, 0 }},
		{"fixings.none", func(s *settingout.SetOut) { s.Fixings = s.Fixings[:6] }},
		{"noggin.outside", func(s *settingout.SetOut) { move(first(s, settingout.Noggin, 0), plane.Point{Y: -6}) }},
		{"noggin.bearing", func(s *settingout.SetOut) {
			for i := range s.Pieces {
				if p := &s.Pieces[i]; p.Role == "header" {
					move(p, plane.Point{X: 0.1})
					return
				}
			}
		}},
		{"bandage.outside", func(s *settingout.SetOut) {
			for i := range s.Pieces {
				if p := &s.Pieces[i]; p.Role == "flange" {
					move(p, p.Along.Scale(0.068))
					return
				}
			}
		}},
		{"bandage.length", func(s *settingout.SetOut) {
			for i := range s.Pieces {
				if p := &s.Pieces[i]; p.Role == "flange" {
					p.LengthMM += 50
					return
				}
			}
		}},
		{"mat.shingle", func(s *settingout.SetOut) {
			for i := range s.Pieces {
				if s.Pieces[i].Kind == settingout.Mat {
					s.Pieces[i].Order = 1000 - s.Pieces[i].Order
				}
			}
		}},
	})
}

// spoiling is something done to a sound plan, and the code under which the checker must
// notice it.
type spoiling struct {
	code  string
	spoil func(s *settingout.SetOut)
}

// noticed sets a deck out, asks that the checker finds nothing wrong, and then that it
// notices each spoiling of it.
func noticed(t *testing.T, d roof.Deck, spec roof.Spec, list []spoiling) {
	t.Helper()
	made, err := settingout.Make(context.Background(), d, spec)
	if err != nil {
		t.Fatal(err)
	}
	if faults := proof.Check(d, spec, made); len(faults) > 0 {
		t.Fatalf("the plan itself: %v", faults)
	}
	whole, err := json.Marshal(made)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range list {
		var s settingout.SetOut
		if err := json.Unmarshal(whole, &s); err != nil {
			t.Fatal(err)
		}
		c.spoil(&s)
		found := false
		var all []string
		for _, f := range proof.Check(d, spec, s) {
			found = found || f.Code == c.code
			all = append(all, fmt.Sprint(f))
		}
		if !found {
			t.Errorf("spoilt for %s, found only %v", c.code, all)
		}
	}
}
