package proof

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"gelwright/settingout"
)

// stock: every counted piece is cut exactly once, cuts do not overlap and stay on
// the stock, and nothing used is more than what is bought.
func (c *checker) stock() {
	saw := c.given.Supply.KerfMM
	if saw == 0 {
		saw = 3
	}
	pieces := map[string]settingout.Piece{}
	want := map[string]string{}
	for _, p := range c.plan.Pieces {
		if _, twice := pieces[p.Number]; twice {
			c.fault("piece.number", p.Number, "is given twice")
		}
		pieces[p.Number] = p
		switch p.Kind {
		case settingout.Board, settingout.Trim, settingout.Mat, settingout.Patch:
			want[p.Number] = p.Material
		}
	}
	for _, m := range c.plan.Materials {
		have := m.Bought + m.TakenQuantity
		if m.Kind == settingout.Mat {
			have = m.Bought
		}
		if m.Used > have+1e-3 {
			c.fault("stock.short", m.Name, "%.3f %s used, %.3f bought and taken", m.Used, m.Unit, have)
		}
		c.inHand(m)
		c.rolls(m)
		kerf := 0
		if m.Kind == settingout.Board || m.Kind == settingout.Trim {
			kerf = saw
		}
		for _, s := range m.Stock {
			c.cuts(m, s, kerf, pieces, want)
		}
	}
	var missing []string
	for number := range want {
		missing = append(missing, number)
	}
	sort.Strings(missing)
	for _, number := range missing {
		c.fault("stock.missing", number, "is cut from nothing")
	}
}

// cuts checks what is cut from one board, trim or run of mat: that it is wanted, fits,
// and shares no material with another. want loses what is cut.
func (c *checker) cuts(m settingout.Material, s settingout.Stock, kerf int, pieces map[string]settingout.Piece, want map[string]string) {
	for i, cut := range s.Cuts {
		p, ok := pieces[cut.Piece]
		if !ok || p.Material != m.Name {
			c.fault("stock.piece", cut.Piece, "is cut from %s but belongs to %q", m.Name, p.Material)
		}
		if want[cut.Piece] == "" {
			c.fault("stock.piece", cut.Piece, "is cut twice or not wanted")
		}
		delete(want, cut.Piece)
		c.inBounds(m, s, cut, p)
		for _, o := range s.Cuts[i+1:] {
			apartX := cut.XMM+cut.LengthMM+kerf <= o.XMM || o.XMM+o.LengthMM+kerf <= cut.XMM
			apartY := s.WidthMM > 0 && (cut.YMM+cut.WidthMM+kerf <= o.YMM || o.YMM+o.WidthMM+kerf <= cut.YMM)
			if !apartX && !apartY {
				c.fault("stock.overlap", cut.Piece+" and "+o.Piece, "share material on %s %d", m.Name, s.Number)
			}
		}
	}
}

// inBounds checks that a cut holds its piece and lies on its stock.
func (c *checker) inBounds(m settingout.Material, s settingout.Stock, cut settingout.Cut, p settingout.Piece) {
	l, w := cut.LengthMM, cut.WidthMM
	if p.LengthMM > l && p.LengthMM > w || m.Kind != settingout.Trim && min(p.LengthMM, p.WidthMM) > min(l, w) {
		c.fault("stock.piece", cut.Piece, "needs %d by %d mm, %d by %d are cut", p.LengthMM, p.WidthMM, l, w)
	}
	if cut.XMM < 0 || cut.YMM < 0 || cut.XMM+l > s.LengthMM || cut.YMM+w > max(s.WidthMM, 0) && s.WidthMM > 0 {
		c.fault("stock.bounds", cut.Piece, "leaves its stock")
	}
}

// trimSold reports whether trims of a length are sold.
func (c *checker) trimSold(lengthMM int) bool {
	if len(c.given.Supply.TrimLengthsM) == 0 {
		return lengthMM == 3000
	}
	return slices.ContainsFunc(c.given.Supply.TrimLengthsM, func(l float64) bool { return int(math.Round(l*1000)) == lengthMM })
}

// inHand: no more is taken from stock in hand than lies there, and what is bought is
// of a size that is sold.
func (c *checker) inHand(m settingout.Material) {
	type size struct{ l, w int }
	have, want, bought := map[size]int{}, map[size]int{}, 0
	for _, h := range c.given.Supply.InHand {
		if slices.Contains(h.Materials, m.Name) {
			have[size{h.LengthMM, h.WidthMM}] += h.Count
		}
	}
	for _, s := range m.Stock {
		switch {
		case s.InHand:
			want[size{s.LengthMM, s.WidthMM}]++
		case m.Kind == settingout.Trim:
			bought++
			if !c.trimSold(s.LengthMM) {
				c.fault("stock.size", m.Name, "no trims of %d mm are sold", s.LengthMM)
			}
		case m.Kind == settingout.Board:
			bought++
			if float64(s.LengthMM) > c.spec.Board.LengthM*1000+0.5 || float64(s.WidthMM) > c.spec.Board.WidthM*1000+0.5 {
				c.fault("stock.size", m.Name, "no boards of %d by %d mm are sold", s.LengthMM, s.WidthMM)
			}
		}
	}
	if m.Kind != settingout.Mat && bought != m.Items && len(m.Stock) > 0 {
		c.fault("stock.count", m.Name, "%d are bought, %d are cut", m.Items, bought)
	}
	for s, n := range want {
		if n > have[s] {
			c.fault("stock.in-hand", m.Name, "%d pieces of %d by %d mm are taken, %d are in hand", n, s.l, s.w, have[s])
		}
	}
}

// rolls: every run that is not cut from a loose piece comes off one roll, whole, and
// rolls in hand are not used twice.
func (c *checker) rolls(m settingout.Material) {
	if m.Kind != settingout.Mat {
		return
	}
	length := map[int]int{}
	for _, s := range m.Stock {
		if !s.InHand {
			length[s.Number] = s.LengthMM
		}
	}
	begun := map[int]int{}
	bought := 0
	for _, r := range m.Rolls {
		left := r.LengthMM
		for _, n := range r.Runs {
			l, ok := length[n]
			if !ok {
				c.fault("rolls.run", m.Name, "run %d is cut twice or is no run", n)
			}
			delete(length, n)
			left -= l
		}
		if left < 0 || left != r.LeftMM {
			c.fault("rolls.length", fmt.Sprintf("%s, roll %d", m.Name, r.Number), "%d mm are left, %d stated", left, r.LeftMM)
		}
		if r.InHand {
			begun[r.LengthMM]++
		} else {
			bought++
		}
	}
	if len(length) > 0 {
		c.fault("rolls.missing", m.Name, "%d runs come off no roll", len(length))
	}
	if bought != m.Items {
		c.fault("rolls.count", m.Name, "%d rolls are bought, %d are begun", m.Items, bought)
	}
	for l, n := range begun {
		if have := c.partRolls(m.Name, l); n > have {
			c.fault("stock.in-hand", m.Name, "%d part rolls of %d mm are taken, %d are in hand", n, l, have)
		}
	}
}

// partRolls counts the rolls of a material, begun and of one length, that are in hand.
func (c *checker) partRolls(name string, lengthMM int) int {
	have := 0
	for _, h := range c.given.Supply.InHand {
		for _, x := range h.Materials {
			if x == name && h.LengthMM == lengthMM {
				have += h.Count
			}
		}
	}
	return have
}
