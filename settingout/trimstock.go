package settingout

import (
	"context"
	"fmt"
	"math"
	"sort"
	"strconv"

	"gelwright/cutting"
)

// trimStock cuts the trims of each kind from stock lengths, first from what is in
// hand, and counts corners. It returns what the lengths bought of each kind cost:
// their prices, or their metres where no price is known.
func trimStock(ctx context.Context, z sizes, out *SetOut) (map[string]float64, error) {
	kinds := map[string][]int{}
	var names []string
	for i, p := range out.Pieces {
		if p.Kind != Trim {
			continue
		}
		if kinds[p.Material] == nil {
			names = append(names, p.Material)
		}
		kinds[p.Material] = append(kinds[p.Material], i)
	}
	sort.Strings(names)
	hand := append([]InHand(nil), z.inHand...)
	cost := map[string]float64{}
	for _, name := range names {
		m, c, err := lengthStock(ctx, name, kinds[name], z, hand, out)
		if err != nil {
			return nil, err
		}
		cost[name] = c
		out.Materials = append(out.Materials, m)
	}
	counts := map[string]int{}
	for _, p := range out.Pieces {
		if p.Kind == Corner {
			counts[p.Material]++
		}
	}
	names = names[:0]
	for k := range counts {
		names = append(names, k)
	}
	sort.Strings(names)
	for _, k := range names {
		c := counts[k]
		out.Materials = append(out.Materials, Material{Name: k, Kind: Corner, Unit: "pieces", Items: c, Bought: float64(c), Used: float64(c),
			Bound: float64(c), Optimal: true, Method: "counted"})
	}
	return cost, nil
}

// lengthStock cuts the trims with these indices from lengths in hand, at no cost,
// and from lengths bought, and takes what it used out of hand.
func lengthStock(ctx context.Context, name string, ids []int, z sizes, hand []InHand, out *SetOut) (Material, float64, error) {
	m := Material{Name: name, Kind: Trim, Unit: "lengths"}
	var bars []barKind
	costs := z.costsOf(name)
	for i, l := range z.trims {
		c := costs[i]
		if len(z.trims) == 1 {
			c = 1
		}
		bars = append(bars, barKind{length: l, cost: c, available: -1})
	}
	bought := len(bars)
	for i, h := range hand {
		if h.serves(name) && h.Count > 0 {
			bars = append(bars, barKind{length: h.LengthMM, available: h.Count, hand: i})
		}
	}
	lengths := make([]int, len(ids))
	for i, id := range ids {
		lengths[i] = out.Pieces[id].LengthMM
		m.Used += float64(lengths[i]) / 1000
	}
	cut, err := cutBars(ctx, lengths, bars, z.kerf, z.keep)
	if err != nil {
		return m, 0, fmt.Errorf("%s: %w", name, err)
	}
	out.cutFault(name, cut.fault)
	taken := map[int]int{}
	var cost float64
	for i, bar := range cut.bars {
		k := bars[bar.kind]
		s := Stock{Number: i + 1, LengthMM: k.length}
		if bar.kind < bought {
			m.Items++
			m.Bought += float64(k.length) / 1000
			cost += costs[bar.kind]
		} else {
			s.InHand, s.Where = true, hand[k.hand].Where
			m.TakenItems++
			m.TakenQuantity += float64(k.length) / 1000
			taken[k.hand]++
		}
		x := 0
		for _, j := range bar.pieces {
			s.Cuts = append(s.Cuts, Cut{Piece: out.Pieces[ids[j]].Number, XMM: x, LengthMM: lengths[j]})
			out.Pieces[ids[j]].Stock = i + 1
			x += lengths[j] + z.kerf
		}
		if left := k.length - x; left >= z.keep {
			s.Offcuts = []Offcut{{XMM: x, LengthMM: left}}
		}
		m.Stock = append(m.Stock, s)
	}
	for i, n := range taken {
		m.Taken = append(m.Taken, Taken{LengthMM: hand[i].LengthMM, WidthMM: hand[i].WidthMM, Count: n, Where: hand[i].Where,
			Bought: hand[i].Bought})
		hand[i].Count -= n
	}
	sortTaken(m.Taken)
	m.Used, m.Bought, m.TakenQuantity = round3(m.Used), round3(m.Bought), round3(m.TakenQuantity)
	m.WastePct = wastePct(m.Bought+m.TakenQuantity, m.Used)
	m.Bound, m.Gap, m.Optimal = round3(cut.bound), cut.gap, cut.optimal
	m.BoundUnit, m.Method = "lengths", "exact one-dimensional cutter"
	switch {
	case len(z.trims) > 1 && z.priced:
		m.BoundUnit = "price"
	case len(z.trims) > 1:
		m.BoundUnit = "m"
	default:
		m.Bound = math.Ceil(cut.bound - 1e-6)
	}
	return m, cost, nil
}

// barKind is one kind of bar, length or roll to cut from; hand is its index in
// what is in hand.
type barKind struct {
	length, available int
	cost              float64
	hand              int
}

type barCut struct {
	kind   int
	pieces []int
}

// barsCut is a one-dimensional plan with what is proven about its cost.
type barsCut struct {
	fault      error // the plan does not add up
	bars       []barCut
	bound, gap float64
	optimal    bool
}

// cutBars cuts lengths from bars of several kinds by the exact cutter.
func cutBars(ctx context.Context, lengths []int, bars []barKind, kerf, keep int) (barsCut, error) {
	p := cutting.Problem{KerfMM: kerf, KeepMM: keep}
	for i, b := range bars {
		p.Stocks = append(p.Stocks, cutting.Stock{Name: strconv.Itoa(i), LengthMM: b.length, Cost: b.cost, Available: b.available})
	}
	queue := map[int][]int{}
	for i, l := range lengths {
		queue[l] = append(queue[l], i)
	}
	of := make([]int, 0, len(queue))
	for l := range queue {
		of = append(of, l)
	}
	sort.Sort(sort.Reverse(sort.IntSlice(of)))
	for _, l := range of {
		p.Pieces = append(p.Pieces, cutting.Piece{Name: strconv.Itoa(l), LengthMM: l, Count: len(queue[l])})
	}
	plan, err := cutting.Solve(ctx, p)
	if err != nil {
		return barsCut{}, fmt.Errorf("cutting %d lengths: %w", len(lengths), err)
	}
	out := barsCut{bound: plan.LowerBound, gap: plan.Gap, optimal: plan.Optimal, fault: cutting.Verify(p, plan)}
	for _, b := range plan.Bars {
		kind, err := strconv.Atoi(b.Stock)
		if err != nil {
			return barsCut{}, fmt.Errorf("cutting %d lengths: stock %q: %w", len(lengths), b.Stock, err)
		}
		for k := 0; k < b.Count; k++ {
			bar := barCut{kind: kind}
			for _, c := range b.Cuts {
				take := min(c.Count, len(queue[c.LengthMM]))
				bar.pieces = append(bar.pieces, queue[c.LengthMM][:take]...)
				queue[c.LengthMM] = queue[c.LengthMM][take:]
			}
			out.bars = append(out.bars, bar)
		}
	}
	// What is bought comes first, so that its numbers do not hang on what is in hand.
	sort.SliceStable(out.bars, func(i, j int) bool {
		return bars[out.bars[i].kind].available < 0 && bars[out.bars[j].kind].available >= 0
	})
	return out, nil
}

// cutLengths cuts lengths from stock of one length: for each stock length the
// indices cut from it, and the proven least number of stock lengths.
func cutLengths(ctx context.Context, lengths []int, stock, kerf int) (bars [][]int, least int, err error) {
	cut, err := cutBars(ctx, lengths, []barKind{{length: stock, cost: 1, available: -1}}, kerf, 0)
	if err != nil {
		return nil, 0, err
	}
	for _, b := range cut.bars {
		bars = append(bars, b.pieces)
	}
	return bars, int(math.Ceil(cut.bound - 1e-6)), cut.fault
}

func sortTaken(list []Taken) {
	sort.SliceStable(list, func(i, j int) bool {
		a, b := list[i], list[j]
		switch {
		case a.LengthMM != b.LengthMM:
			return a.LengthMM > b.LengthMM
		case a.WidthMM != b.WidthMM:
			return a.WidthMM > b.WidthMM
		}
		return a.Where < b.Where
	})
}
