package settingout

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"

	"gelwright/cutting"
)

// rollMetres is how much roll the pieces take, by rows of pieces side by side.
func rollMetres(pieces []Piece, width int) float64 {
	return float64(runLength(shelve(pieces, allOf(pieces), width, byLength))) / 1000
}

func runLength(shelves []shelf) int {
	sum := 0
	for _, s := range shelves {
		sum += s.length
	}
	return sum
}

func allOf(pieces []Piece) []int {
	out := make([]int, len(pieces))
	for i := range out {
		out[i] = i
	}
	return out
}

// shelf is one length cut off the roll and the pieces that lie side by side in it.
type shelf struct {
	length, used int
	cuts         []Cut
	ids          []int
}

// byLength and byWidth are the orders in which pieces are laid on the roll; true
// when a comes before b.
func byLength(a, b Piece) bool {
	if a.LengthMM != b.LengthMM {
		return a.LengthMM > b.LengthMM
	}
	return a.WidthMM > b.WidthMM
}

func byWidth(a, b Piece) bool {
	if a.WidthMM != b.WidthMM {
		return a.WidthMM > b.WidthMM
	}
	return a.LengthMM > b.LengthMM
}

// shelve lays pieces side by side across the roll, each where it wastes least; what
// is left beside a narrow field strip takes upstands, kerbs and patches.
func shelve(pieces []Piece, ids []int, width int, before func(a, b Piece) bool) []shelf {
	order := append([]int(nil), ids...)
	sort.SliceStable(order, func(i, j int) bool { return before(pieces[order[i]], pieces[order[j]]) })
	var out []shelf
	// spare is room left beside or behind what is already placed in a shelf.
	type spare struct{ shelf, x, y, length, width int }
	var spares []spare
	for _, id := range order {
		p := pieces[id]
		l, w := p.LengthMM, min(p.WidthMM, width)
		best, waste := -1, math.MaxInt
		for i, s := range spares {
			if s.length >= l && s.width >= w {
				if v := s.width*s.length - l*w; v < waste {
					best, waste = i, v
				}
			}
		}
		if best >= 0 {
			s := spares[best]
			out[s.shelf].cuts = append(out[s.shelf].cuts, Cut{Piece: p.Number, XMM: s.x, YMM: s.y, LengthMM: l, WidthMM: w})
			out[s.shelf].ids = append(out[s.shelf].ids, id)
			// Edge to edge: the strip beside it and the rest of the length.
			spares[best] = spare{s.shelf, s.x + l, s.y, s.length - l, s.width}
			if s.width-w >= 50 {
				spares = append(spares, spare{s.shelf, s.x, s.y + w, l, s.width - w})
			}
			continue
		}
		out = append(out, shelf{length: l, used: w, cuts: []Cut{{Piece: p.Number, LengthMM: l, WidthMM: w}}, ids: []int{id}})
		if width-w >= 50 {
			spares = append(spares, spare{len(out) - 1, 0, w, l, width - w})
		}
	}
	return out
}

// runsMost bounds the pieces laid by every order; more are laid by length alone.
const runsMost = 1500

// runsOf lays pieces on the roll in the order that takes least of it.
func runsOf(pieces []Piece, ids []int, width int) []shelf {
	best := shelve(pieces, ids, width, byLength)
	if len(ids) > runsMost {
		return best
	}
	if s := shelve(pieces, ids, width, byWidth); runLength(s) < runLength(best) {
		best = s
	}
	return best
}

// matStock lays all pieces of a material side by side in runs, cuts the runs from
// rolls, and sums both.
func matStock(ctx context.Context, z sizes, out *SetOut) error {
	byName := map[string][]int{}
	var names []string
	for i, p := range out.Pieces {
		if p.Kind != Mat && p.Kind != Patch {
			continue
		}
		if byName[p.Material] == nil {
			names = append(names, p.Material)
		}
		byName[p.Material] = append(byName[p.Material], i)
	}
	sort.Strings(names)
	for _, name := range names {
		r := z.rolls[name]
		m := Material{Name: name, Kind: Mat, Unit: "m²", BoundUnit: "m²"}
		hand := z.handOf(name)
		ids := m.fromPieces(byName[name], hand, r, out)
		m.runs(runsOf(out.Pieces, ids, r.width), r, z, out)
		m.boundRuns(ctx, ids, r, out)
		if err := m.cutRolls(ctx, z, hand, out); err != nil {
			return err
		}
		m.sum(r)
		out.Materials = append(out.Materials, m)
	}
	return nil
}

// handOf returns what is in hand of a material.
func (s sizes) handOf(material string) []InHand {
	var out []InHand
	for _, h := range s.inHand {
		if h.serves(material) && h.Count > 0 {
			out = append(out, h)
		}
	}
	return out
}

// fromPieces cuts what it can from pieces of mat in hand that are narrower than the
// roll, largest first, each piece of mat where least is left; it returns what must
// come off a roll.
func (m *Material) fromPieces(ids []int, hand []InHand, r roll, out *SetOut) []int {
	type loose struct {
		h    int
		cuts []Cut
		ids  []int
		free [][4]int // x, y, length, width
	}
	var list []loose
	for i, h := range hand {
		if h.WidthMM == 0 || h.WidthMM >= r.width {
			continue
		}
		for k := 0; k < min(h.Count, len(ids)); k++ {
			list = append(list, loose{h: i, free: [][4]int{{0, 0, h.LengthMM, h.WidthMM}}})
		}
	}
	if len(list) == 0 {
		return ids
	}
	order := append([]int(nil), ids...)
	sort.SliceStable(order, func(i, j int) bool { return byLength(out.Pieces[order[i]], out.Pieces[order[j]]) })
	var rest []int
	for _, id := range order {
		p := out.Pieces[id]
		best, at, waste := -1, -1, math.MaxInt
		for i := range list {
			for k, f := range list[i].free {
				if v := f[2]*f[3] - p.LengthMM*p.WidthMM; f[2] >= p.LengthMM && f[3] >= p.WidthMM && v < waste {
					best, at, waste = i, k, v
				}
			}
		}
		if best < 0 {
			rest = append(rest, id)
			continue
		}
		l := &list[best]
		f := l.free[at]
		l.cuts = append(l.cuts, Cut{Piece: p.Number, XMM: f[0], YMM: f[1], LengthMM: p.LengthMM, WidthMM: p.WidthMM})
		l.ids = append(l.ids, id)
		l.free[at] = [4]int{f[0] + p.LengthMM, f[1], f[2] - p.LengthMM, f[3]}
		l.free = append(l.free, [4]int{f[0], f[1] + p.WidthMM, p.LengthMM, f[3] - p.WidthMM})
	}
	counts := map[int]int{}
	for _, l := range list {
		if len(l.cuts) == 0 {
			continue
		}
		h := hand[l.h]
		n := len(m.Stock) + 1
		m.Stock = append(m.Stock, Stock{Number: n, LengthMM: h.LengthMM, WidthMM: h.WidthMM, Cuts: l.cuts, InHand: true, Where: h.Where})
		for _, id := range l.ids {
			out.Pieces[id].Stock = n
			m.Used += out.Pieces[id].AreaM2
		}
		m.TakenItems++
		m.TakenQuantity += float64(h.LengthMM) * float64(h.WidthMM) / 1e6
		counts[l.h]++
	}
	for i, h := range hand {
		if n := counts[i]; n > 0 {
			hand[i].Count -= n
			m.Taken = append(m.Taken, Taken{LengthMM: h.LengthMM, WidthMM: h.WidthMM, Count: n, Where: h.Where})
		}
	}
	sort.Ints(rest)
	return rest
}

// runs writes the runs as stock.
func (m *Material) runs(shelves []shelf, r roll, z sizes, out *SetOut) {
	for _, s := range shelves {
		n := len(m.Stock) + 1
		m.Stock = append(m.Stock, Stock{Number: n, LengthMM: s.length, WidthMM: r.width, Cuts: s.cuts,
			Offcuts: runOffcuts(s, r.width, z.keep, out)})
		for _, id := range s.ids {
			out.Pieces[id].Stock = n
			m.Used += out.Pieces[id].AreaM2
		}
	}
}

// runOffcuts are the rectangles left in a run that are worth keeping.
func runOffcuts(s shelf, width, keep int, out *SetOut) []Offcut {
	taken := make([]rect, 0, len(s.cuts))
	for _, c := range s.cuts {
		taken = append(taken, rect{c.XMM, c.YMM, c.LengthMM, c.WidthMM})
	}
	var inside []rect
	for i, id := range s.ids {
		if r, ok := spareWithin(out.Pieces[id], 0, keep); ok {
			inside = append(inside, rect{s.cuts[i].XMM + r.x, s.cuts[i].YMM + r.y, r.l, r.w})
		}
	}
	return offcutsOf(leftovers(taken, s.length, width, 0, keep), inside)
}

// boundRuns proves how much must come off rolls for these pieces, laid along the
// roll: cut into slices of 10 mm, each slice is a row of widths side by side, so the
// fewest rows (one-dimensional, by widths) bound the length.
func (m *Material) boundRuns(ctx context.Context, ids []int, r roll, out *SetOut) {
	const slice = 10
	counts := map[int]int{}
	var area int64
	for _, id := range ids {
		p := out.Pieces[id]
		w := min(p.WidthMM, r.width)
		area += int64(p.LengthMM) * int64(w)
		counts[w] += p.LengthMM / slice
	}
	have := 0
	for _, s := range m.Stock {
		if !s.InHand {
			have += s.LengthMM
		}
	}
	least := float64(area) / float64(r.width)
	m.Method = "area of the pieces over the roll's width"
	if l := apart(out.Pieces, ids, r.width); l > least {
		least, m.Method = l, "lengths of pieces of which no two lie side by side"
	}
	if float64(have) > least {
		p := cutting.Problem{Stocks: []cutting.Stock{{Name: "slice", LengthMM: r.width, Cost: 1, Available: -1}}}
		var widths []int
		for w := range counts {
			widths = append(widths, w)
		}
		sort.Sort(sort.Reverse(sort.IntSlice(widths)))
		for _, w := range widths {
			p.Pieces = append(p.Pieces, cutting.Piece{Name: fmt.Sprint(w), LengthMM: w, Count: counts[w]})
		}
		plan, err := cutting.Solve(ctx, p)
		if err == nil {
			out.cutFault(m.Name, cutting.Verify(p, plan))
		}
		if err == nil && plan.LowerBound*slice > least {
			least = plan.LowerBound * slice
			m.Method = "widths side by side in every slice of the roll, one-dimensional cutter; pieces along the roll"
		}
	}
	least = math.Min(least, float64(have))
	m.Bound = round3(least / 1000 * float64(r.width) / 1000)
	m.Gap = max(0, (float64(have)-least)/math.Max(float64(have), 1e-9))
	m.Optimal = m.Gap < 1e-6
}

// apart is the greatest sum of lengths, mm, of pieces of which no two fit side by
// side on the roll: those wider than half of it, and one narrower piece with those
// that leave it no room.
func apart(pieces []Piece, ids []int, width int) float64 {
	longest := map[int]int{}
	lengths := map[int]int{}
	for _, id := range ids {
		w := min(pieces[id].WidthMM, width)
		longest[w] = max(longest[w], pieces[id].LengthMM)
		lengths[w] += pieces[id].LengthMM
	}
	best := 0
	for w, l := range longest {
		sum := 0
		for o, length := range lengths {
			if 2*o > width && o+w > width && o != w {
				sum += length
			}
		}
		if 2*w > width {
			l = lengths[w]
		}
		best = max(best, sum+l)
	}
	return float64(best)
}

// cutRolls cuts the runs, each in one piece, from rolls: those in hand first, then the
// choice of the rolls sold that the order list takes too. What is set aside for waste
// (Supply.MatSparePct) stays on the rolls, also of the decks before.
func (m *Material) cutRolls(ctx context.Context, z sizes, hand []InHand, out *SetOut) error {
	r := z.rolls[m.Name]
	var lengths, numbers []int
	total := 0
	for _, s := range m.Stock {
		if !s.InHand {
			lengths = append(lengths, s.LengthMM)
			numbers = append(numbers, s.Number)
			total += s.LengthMM
		}
	}
	if len(lengths) == 0 {
		return nil
	}
	kinds := []barKind{{length: r.length, cost: 1, available: -1}}
	var begun []rollBin
	need := z.spareMM[m.Name] + total + m.spareMM(z.sparePct)
	for i, h := range hand {
		if h.WidthMM != 0 && h.WidthMM < r.width {
			continue
		}
		kinds = append(kinds, barKind{length: h.LengthMM, available: h.Count, hand: i})
		for range min(h.Count, len(lengths)) {
			begun = append(begun, rollBin{length: h.LengthMM, left: h.LengthMM, hand: i})
		}
		need -= h.LengthMM * h.Count
	}
	cut, err := cutBars(ctx, lengths, kinds, 0, 0)
	if err != nil {
		return fmt.Errorf("%s: %w", m.Name, err)
	}
	out.cutFault(m.Name, cut.fault)
	// No roll is longer than the whole one, so that no choice takes fewer.
	m.RollBound = int(math.Ceil(cut.bound - 1e-6))
	bins, ok := chooseRolls(ctx, lengths, max(0, need), r.sold, begun)
	if !ok {
		bins = wholeRolls(cut.bars, kinds, lengths, begun)
	}
	m.listRolls(bins, lengths, numbers, hand, r.width)
	return nil
}

// wholeRolls are the rolls of a cutting plan, with what is in hand used up first.
func wholeRolls(bars []barCut, kinds []barKind, lengths []int, begun []rollBin) []rollBin {
	bins := slices.Clone(begun)
	for _, b := range bars {
		at := -1
		if b.kind > 0 {
			at = slices.IndexFunc(bins, func(o rollBin) bool { return o.hand == kinds[b.kind].hand && len(o.runs) == 0 })
		}
		if at < 0 {
			at = len(bins)
			bins = append(bins, rollBin{length: kinds[b.kind].length, left: kinds[b.kind].length, hand: -1})
		}
		for _, j := range b.pieces {
			bins[at].runs = append(bins[at].runs, j)
			bins[at].left -= lengths[j]
		}
	}
	useFirst(bins, lengths)
	return slices.DeleteFunc(bins, func(o rollBin) bool { return len(o.runs) == 0 })
}

// listRolls writes the rolls that are used, those in hand first, and those bought.
func (m *Material) listRolls(bins []rollBin, lengths, numbers []int, hand []InHand, width int) {
	for _, b := range bins {
		if b.hand >= 0 && len(b.runs) == 0 {
			continue
		}
		c := RollCut{Number: len(m.Rolls) + 1, LengthMM: b.length, WidthMM: width, Bought: true, LeftMM: b.left}
		if b.hand >= 0 {
			h := hand[b.hand]
			c.InHand, c.Bought, c.Where = true, h.Bought, h.Where
			m.takeRoll(h)
		} else {
			m.Items++
		}
		for _, j := range b.runs {
			c.Runs = append(c.Runs, numbers[j])
			if c.InHand && !c.Bought {
				m.TakenQuantity += float64(lengths[j]) * float64(width) / 1e6
			}
		}
		sort.Ints(c.Runs)
		m.Rolls = append(m.Rolls, c)
	}
}

// takeRoll counts a roll in hand as taken.
func (m *Material) takeRoll(h InHand) {
	if !h.Bought {
		m.TakenItems++
	}
	t := Taken{LengthMM: h.LengthMM, WidthMM: h.WidthMM, Count: 1, Where: h.Where, Bought: h.Bought}
	if n := len(m.Taken); n > 0 {
		if last := m.Taken[n-1]; last.LengthMM == t.LengthMM && last.Where == t.Where && last.Bought == t.Bought && last.WidthMM == t.WidthMM {
			m.Taken[n-1].Count++
			return
		}
	}
	m.Taken = append(m.Taken, t)
}

// sum totals what was cut off rolls and used.
func (m *Material) sum(r roll) {
	var loose float64
	for _, s := range m.Stock {
		if s.InHand {
			loose += float64(s.LengthMM) * float64(s.WidthMM) / 1e6
		} else {
			m.Bought += float64(s.LengthMM) * float64(r.width) / 1e6
		}
	}
	m.Bought, m.Used, m.TakenQuantity = round3(m.Bought+loose), round3(m.Used), round3(m.TakenQuantity)
	m.WastePct = wastePct(m.Bought, m.Used)
}
