package settingout

import (
	"fmt"
	"maps"
	"math"
	"sort"
)

// Supply is what the merchant sells and what the firm has in hand. Its zero value
// is the usual stock: trims of 3.0 m, rolls 1.0 m wide of 30 kg, a saw that takes
// 3 mm, offcuts kept from 0.5 m on. All defaults of stock are set in this file.
type Supply struct {
	// TrimLengthsM are the lengths trims are sold in, m.
	TrimLengthsM []float64
	// TrimCost is the price of a trim of each length, in any one currency; without
	// a price for every length the metres bought are what counts.
	TrimCost []float64
	// TrimCostOf are prices by the trim's name as the set-out has it, "trim drip", for
	// trims that are not priced alike; they go before TrimCost. A deck's trims are
	// chosen by price when every one of them has a price for every length.
	TrimCostOf map[string][]float64
	// Rolls are the rolls each mat or tissue is sold in.
	Rolls []RollSize
	// MatSparePct of what is cut off rolls stays on them, to make good what is spoilt, %.
	// SpareMM is what the decks before set aside so, by material.
	MatSparePct float64
	SpareMM     map[string]int
	// KerfMM is lost at each saw cut, KeepMM the shortest offcut worth keeping.
	KerfMM, KeepMM int
	// InHand is cut before anything is bought, at no cost.
	InHand []InHand
}

// RollSize is the roll a material comes in.
type RollSize struct {
	// Material as the set-out names it: "mat 450 g/m²".
	Material string
	// WidthM and LengthM of a whole roll; 0 is the usual.
	WidthM, LengthM float64
	// Sold are the lengths that it is sold in, the whole roll among them; none is the whole roll alone.
	Sold []SoldRoll
}

// SoldRoll is a length in which a roll is sold, m, and its price in any one currency, 0 where
// it is not known. Prices count where each length has one.
type SoldRoll struct{ LengthM, Cost float64 }

// InHand is a length, a piece of board or a part of a roll that the firm has.
type InHand struct {
	// Materials it may be used for, as the set-out names them: "trim kerb".
	Materials []string
	// LengthMM lies along a board's stiff way or a roll's length. WidthMM is 0 for
	// lengths; for mat 0 is the roll's whole width.
	LengthMM, WidthMM int
	Count             int
	// Where it lies, in words.
	Where string
	// Bought marks what is left of another deck of the same job: a roll begun, an offcut.
	Bought bool
}

// LeastKeepMM is the narrowest piece of board or mat that is kept, mm (common practice, no source).
const LeastKeepMM = 150

const (
	usualTrimMM   = 3000
	usualRollM    = 1.000
	usualRollKG   = 30.0 // gives the roll's length from the glass weight
	usualKerfMM   = 3
	usualKeepMM   = 500
	longestTrimMM = 12000
)

// sizes is a Supply with every default taken, in whole millimetres.
type sizes struct {
	trims  []int // ascending
	costs  []float64
	costOf map[string][]float64
	kerf   int
	keep   int
	rolls  map[string]roll
	inHand []InHand
	// sparePct and spareMM are Supply's.
	sparePct float64
	spareMM  map[string]int
	priced   bool // costs are prices, else metres
}

// pricedFor settles what the trims with these names are counted by: prices where
// each has one for every length, else metres.
func (s sizes) pricedFor(names []string) sizes {
	all := len(names) > 0
	for _, name := range names {
		all = all && (s.priced || s.costOf[name] != nil)
	}
	if s.priced = all; all {
		return s
	}
	s.costs, s.costOf = nil, nil
	for _, mm := range s.trims {
		s.costs = append(s.costs, float64(mm)/1000)
	}
	return s
}

// costsOf is what each length of a trim costs: its price, or its metres.
func (s sizes) costsOf(name string) []float64 {
	if c := s.costOf[name]; c != nil {
		return c
	}
	return s.costs
}

// roll is a material's roll, mm, and the kinds it is sold in, longest first.
type roll struct {
	width, length int
	sold          []rollKind
}

// sizesOf takes the defaults; it is an error when a size cannot be cut from.
func (s Supply) sizesOf() (sizes, error) {
	out := sizes{kerf: s.KerfMM, keep: s.KeepMM, rolls: map[string]roll{}, inHand: append([]InHand(nil), s.InHand...),
		sparePct: s.MatSparePct, spareMM: s.SpareMM}
	if out.kerf == 0 {
		out.kerf = usualKerfMM
	}
	if out.keep == 0 {
		out.keep = usualKeepMM
	}
	if out.kerf < 0 || out.kerf > 20 || out.keep < 0 {
		return out, fmt.Errorf("stock: a saw cut of %d mm or an offcut of %d mm cannot be: give 0 to 20 mm and 50 mm or more", out.kerf, out.keep)
	}
	if err := out.takeTrims(s); err != nil {
		return out, err
	}
	for _, r := range s.Rolls {
		out.rolls[r.Material] = roll{int(math.Round(r.WidthM * 1000)), int(math.Round(r.LengthM * 1000)), r.kinds()}
	}
	for _, h := range s.InHand {
		if h.LengthMM < 1 || h.WidthMM < 0 || h.Count < 0 {
			return out, fmt.Errorf("stock in hand: %d pieces of %d by %d mm for %v: give whole sizes and counts", h.Count, h.LengthMM, h.WidthMM,
				h.Materials)
		}
	}
	return out, nil
}

// kinds are the lengths a roll is sold in, longest first, priced where all are.
func (r RollSize) kinds() []rollKind {
	var out []rollKind
	priced := true
	for _, l := range r.Sold {
		if mm := int(math.Round(l.LengthM * 1000)); mm >= usualKeepMM {
			out = append(out, rollKind{mm, l.Cost})
			priced = priced && l.Cost > 0
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].length > out[j].length })
	for i := range out {
		if !priced {
			out[i].cost = 0
		}
	}
	return out
}

// takeTrims takes the lengths of trims, ascending, with what they cost.
func (s *sizes) takeTrims(from Supply) error {
	metres := from.TrimLengthsM
	if len(metres) == 0 {
		metres = []float64{usualTrimMM / 1000.0}
	}
	order := make([]int, len(metres)) // of the lengths, ascending
	for i, l := range metres {
		if mm := int(math.Round(l * 1000)); mm < 2*trimLeastMM || mm > longestTrimMM {
			return fmt.Errorf("stock.trim_lengths_m: trims of %g m cannot be set out: give 0.6 to 12 m", l)
		}
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return metres[order[i]] < metres[order[j]] })
	var kept []int
	for _, i := range order {
		mm := int(math.Round(metres[i] * 1000))
		if n := len(s.trims); n > 0 && s.trims[n-1] == mm {
			continue
		}
		s.trims, kept = append(s.trims, mm), append(kept, i)
	}
	// taken are the costs of the lengths kept; nil without one for every length.
	taken := func(name string, costs []float64) ([]float64, error) {
		if len(costs) == 0 || len(costs) != len(metres) {
			return nil, nil
		}
		var out []float64
		for _, i := range kept {
			if !(costs[i] > 0) {
				return nil, fmt.Errorf("stock: the price of a %s of %g m is %g: give more than 0 or no prices", name, metres[i], costs[i])
			}
			out = append(out, costs[i])
		}
		return out, nil
	}
	var err error
	if s.costs, err = taken("trim", from.TrimCost); err != nil {
		return err
	}
	s.priced, s.costOf = s.costs != nil, map[string][]float64{}
	names := make([]string, 0, len(from.TrimCostOf))
	for name := range from.TrimCostOf {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		if s.costOf[name], err = taken(name, from.TrimCostOf[name]); err != nil {
			return err
		}
	}
	return nil
}

// roll returns the roll of a mat or tissue of this weight.
func (s sizes) roll(material string, gPerM2 float64) roll {
	r := s.rolls[material]
	if r.width <= 0 {
		r.width = int(usualRollM * 1000)
	}
	if r.length <= 0 && gPerM2 > 0 {
		r.length = 1000 * int(usualRollKG*1000/gPerM2/(float64(r.width)/1000)) // whole metres
	}
	if len(r.sold) == 0 {
		r.sold = []rollKind{{length: r.length}}
	}
	return r
}

// serves reports whether it may be used for the material.
func (h InHand) serves(material string) bool {
	for _, m := range h.Materials {
		if m == material {
			return true
		}
	}
	return false
}

// OffcutOf says where an offcut of boards or trims of a deck lies, BegunOn a roll.
func OffcutOf(deck string) string { return "offcut of deck " + deck }

// BegunOn says where a roll comes from that a deck began.
func BegunOn(deck string) string { return "begun on deck " + deck }

// Less returns the supply for the next deck of a job: what this set-out took from
// stock is gone, and its offcuts and the rolls it began are to be used first.
func (s Supply) Less(plan SetOut) Supply {
	out := s
	out.InHand = append([]InHand(nil), s.InHand...)
	out.SpareMM = map[string]int{}
	maps.Copy(out.SpareMM, s.SpareMM)
	for i := range plan.Materials {
		m := &plan.Materials[i]
		if m.Kind == Mat {
			out.SpareMM[m.Name] += m.spareMM(s.MatSparePct)
		}
		out.lessTaken(m)
		if m.Kind == Board || m.Kind == Trim {
			out.InHand = append(out.InHand, offcutsInHand(*m, plan.Deck)...)
		}
		for _, r := range m.Rolls {
			if r.LeftMM >= usualKeepMM {
				h := InHand{Materials: []string{m.Name}, LengthMM: r.LeftMM, Count: 1, Where: r.Where, Bought: r.Bought}
				if h.Bought && h.Where == "" {
					h.Where = BegunOn(plan.Deck)
				}
				out.InHand = append(out.InHand, h)
			}
		}
	}
	return out
}

// lessTaken takes off what was taken of a material.
func (s *Supply) lessTaken(m *Material) {
	for _, t := range m.Taken {
		for i := range s.InHand {
			if h := &s.InHand[i]; h.serves(m.Name) && h.LengthMM == t.LengthMM && h.WidthMM == t.WidthMM && h.Where == t.Where &&
				h.Bought == t.Bought {
				n := min(h.Count, t.Count)
				h.Count -= n
				t.Count -= n
			}
		}
	}
}

// spareMM is what is set aside on the rolls, mm.
func (m *Material) spareMM(pct float64) int {
	total := 0
	for _, s := range m.Stock {
		if !s.InHand {
			total += s.LengthMM
		}
	}
	return int(math.Ceil(float64(total) * pct / 100))
}

// offcutsInHand are the offcuts of a deck's boards or trims as stock for the next.
func offcutsInHand(m Material, deck string) []InHand {
	var out []InHand
	at := map[[2]int]int{}
	for _, s := range m.Stock {
		for _, o := range s.Offcuts {
			is := [2]int{o.LengthMM, o.WidthMM}
			i, known := at[is]
			if !known {
				i = len(out)
				at[is] = i
				out = append(out, InHand{Materials: []string{m.Name}, LengthMM: o.LengthMM, WidthMM: o.WidthMM, Where: OffcutOf(deck), Bought: true})
			}
			out[i].Count++
		}
	}
	return out
}
