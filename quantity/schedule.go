package quantity

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"gelwright/material"
	"gelwright/working"
)

// PieceUse is what one numbered piece takes of one material.
type PieceUse struct {
	// Number of the piece on the drawings: "B12", "T3", "S4.2".
	Number      string  `json:"number"`
	MaterialKey string  `json:"material"`
	Quantity    float64 `json:"quantity"`
	Unit        string  `json:"unit"`
}

// Line is one material of the schedule.
type Line struct {
	// Key is lasting: "quantity." and the material key.
	Key         string        `json:"key"`
	MaterialKey string        `json:"material"`
	Description string        `json:"description"`
	Kind        material.Kind `json:"kind"`
	Unit        string        `json:"unit"`
	// Net is what the pieces take; WastePct the allowance; Gross what must be to hand.
	Net      float64 `json:"net"`
	WastePct float64 `json:"waste_pct"`
	Gross    float64 `json:"gross"`
	// Pieces it is for, sorted; empty for consumables that follow from a rule.
	Pieces []string `json:"pieces"`
	// Order is the packs to buy, largest first; Ordered what they hold, Surplus what
	// they hold beyond Gross.
	Order   []PackCount `json:"order"`
	Ordered float64     `json:"ordered"`
	Surplus float64     `json:"surplus"`
	// Priced says that every pack had a price; then the costs are of the packs and
	// of the surplus in them, in minor units of money.
	Priced           bool  `json:"priced"`
	CostMinor        int64 `json:"cost_minor,omitempty"`
	SurplusCostMinor int64 `json:"surplus_cost_minor,omitempty"`
	// Proven says that no other choice of packs does better; see Cover.
	Proven   bool     `json:"proven"`
	Hazards  []string `json:"hazards,omitempty"`
	Storage  string   `json:"storage,omitempty"`
	Carriage string   `json:"carriage,omitempty"`
	// Points under the small-load rule for what is ordered; see Points.
	Points float64 `json:"carriage_points,omitempty"`
	MassKG float64 `json:"mass_kg,omitempty"`
	Note   string  `json:"note,omitempty"`
	// Figure is the gross quantity with its working.
	Figure *working.Figure `json:"-"`
	// PointsFigure is nil for goods that are not dangerous to carry.
	PointsFigure *working.Figure `json:"-"`
}

// Schedule is all lines in the order of an order list.
type Schedule struct {
	Lines []Line `json:"lines"`
	// CostMinor of all priced lines; Unpriced names the materials without a price.
	CostMinor int64    `json:"cost_minor"`
	Unpriced  []string `json:"unpriced,omitempty"`
	MassKG    float64  `json:"mass_kg"`
	// Load is the dangerous goods of one delivery of everything.
	Load Load `json:"load"`
	// Notes in words: small-load rule, contingency.
	Notes []string `json:"notes,omitempty"`
}

// Waste is an allowance for a material, or for a whole kind, beyond what the pieces
// take, per cent.
type Waste struct {
	Pct float64
	// Source of the figure; the zero value is taken as common practice.
	Source working.Source
}

// Prices by pack, minor units of money.
type Prices map[PriceKey]int64

// PriceKey names a pack by the material's key and the quantity in it.
type PriceKey struct {
	Material string
	Quantity float64
}

// Input is everything a schedule is made from.
type Input struct {
	Items []material.Item
	Uses  []PieceUse
	// Rules are consumables already reckoned: see Consumables.
	Rules []RuleUse
	// WasteOf a material key goes before WasteOfKind; neither is no allowance.
	WasteOf     map[string]Waste
	WasteOfKind map[material.Kind]Waste
	Prices      Prices
	// InHand is stock by material key, taken off what is ordered, never off what is used.
	InHand map[string]float64
	// CutFrom are the packs, by what they hold, that a cut list takes of a material: they are
	// what is ordered, where each is a pack that is sold.
	CutFrom map[string][]float64
	// KeepSpare adds one smallest pack of these materials as contingency where the
	// surplus is below a tenth of the gross.
	KeepSpare []string
}

// Make returns the schedule, or every fault of the input in one error.
func Make(in Input) (*Schedule, error) {
	items := map[string]material.Item{}
	for _, i := range in.Items {
		items[i.Key] = i
	}
	g := gathered{lines: map[string]*Line{}, items: items}
	for _, u := range in.Uses {
		g.add(u.MaterialKey, u.Unit, u.Quantity, u.Number, nil)
	}
	for _, r := range in.Rules {
		g.add(r.MaterialKey, r.Unit, r.Figure.Value, "", r.Figure)
	}
	for _, k := range sortedKeys(in.InHand) {
		if q := in.InHand[k]; !(q >= 0) || math.IsInf(q, 0) {
			g.faults = append(g.faults, fmt.Sprintf("stock in hand of %q is %g: give what there is, 0 or more", k, q))
		}
	}
	keys := sortedKeys(g.lines)
	for _, k := range keys {
		in.allow(g.lines[k], g.pieces[k], g.rules[k], &g.faults)
	}
	if len(g.faults) > 0 {
		return nil, fmt.Errorf("quantity: %s", strings.Join(g.faults, "; "))
	}
	s := &Schedule{}
	for _, k := range keys {
		l := g.lines[k]
		if err := in.order(l, items[k]); err != nil {
			return nil, err
		}
		s.Lines = append(s.Lines, *l)
	}
	s.sum(items)
	return s, nil
}

// gathered is lines in the making, by material key.
type gathered struct {
	lines  map[string]*Line
	rules  map[string][]*working.Figure
	items  map[string]material.Item
	faults []string
	// pieces is what the pieces of a material take, rules not counted.
	pieces map[string]float64
}

func (g *gathered) add(key, unit string, quantity float64, piece string, rule *working.Figure) {
	where := "piece " + piece
	if rule != nil {
		where = "rule for " + rule.Name
	}
	item, known := g.items[key]
	switch {
	case !known:
		g.faults = append(g.faults, fmt.Sprintf("%s names material %q, which is not in the catalogue: add it to the firm's file", where, key))
		return
	case unit != item.Unit:
		g.faults = append(g.faults, fmt.Sprintf("%s takes %q in %q, but it is measured in %q", where, key, unit, item.Unit))
		return
	case !(quantity >= 0) || math.IsInf(quantity, 0):
		g.faults = append(g.faults, fmt.Sprintf("%s takes %g %s of %q: give 0 or more", where, quantity, unit, key))
		return
	}
	l := g.lines[key]
	if l == nil {
		l = &Line{Key: "quantity." + key, MaterialKey: key, Description: item.Name, Kind: item.Kind, Unit: unit,
			Hazards: append([]string(nil), item.Hazards...), Storage: item.Storage, Note: item.Note, Pieces: []string{}}
		g.lines[key] = l
	}
	l.Net += quantity
	if rule == nil {
		if g.pieces == nil {
			g.pieces = map[string]float64{}
		}
		g.pieces[key] += quantity
	}
	if piece != "" && quantity > 0 {
		l.Pieces = append(l.Pieces, piece)
	}
	if rule != nil {
		if g.rules == nil {
			g.rules = map[string][]*working.Figure{}
		}
		g.rules[key] = append(g.rules[key], rule.As("N"))
	}
}

var (
	netOfRules = working.MustFormula("N = Σ N")
	netOfBoth  = working.MustFormula("N = p + Σ N")
	grossOf    = working.MustFormula("G = N·(1 + w/100)")
)

// allow adds waste and makes the line's figure.
func (in *Input) allow(l *Line, pieces float64, rules []*working.Figure, faults *[]string) {
	sort.Slice(l.Pieces, func(i, j int) bool { return numberLess(l.Pieces[i], l.Pieces[j]) })
	l.Pieces = unique(l.Pieces)
	w, ok := in.WasteOf[l.MaterialKey]
	if !ok {
		w = in.WasteOfKind[l.Kind]
	}
	if !(w.Pct >= 0 && w.Pct <= 200) {
		*faults = append(*faults, fmt.Sprintf("waste of %q is %g %%: give 0 to 200", l.MaterialKey, w.Pct))
		return
	}
	if w.Source.Title == "" {
		w.Source = working.Source{Title: "waste allowance", Standing: working.CommonPractice}
	}
	over := fmt.Sprintf("sum over %d pieces", len(l.Pieces))
	if len(l.Pieces) == 1 {
		over = "one piece"
	}
	net := working.Measured("N", "net, "+l.Description, l.Net, l.Unit, over)
	switch {
	case len(rules) > 0 && len(l.Pieces) == 0:
		net = netOfRules.Figure("net, "+l.Description, l.Unit, rules[0].Source, rules...)
	case len(rules) > 0:
		net = netOfBoth.Figure("net, "+l.Description, l.Unit, working.Source{Title: "pieces and rules", Standing: working.Derived},
			append([]*working.Figure{working.Measured("p", l.Description+" in pieces", pieces, l.Unit, over)}, rules...)...)
	}
	l.Net = net.Keyed(l.Key + ".net").Value
	pct := working.Constant("w", "waste allowance", w.Pct, "%", w.Source)
	l.WastePct = w.Pct
	l.Figure = grossOf.Figure(l.Description, l.Unit, working.Source{Title: "net and allowance", Standing: working.Derived}, net,
		pct).Keyed(l.Key)
	l.Gross = l.Figure.Value
}

// order buys packs for what is not in hand.
func (in *Input) order(l *Line, item material.Item) error {
	need := math.Max(0, l.Gross-in.InHand[l.MaterialKey])
	packs := make([]PricedPack, 0, len(item.Packs))
	for _, p := range item.Packs {
		priced := PricedPack{Name: p.Name, Quantity: p.Quantity}
		if c, ok := in.Prices[PriceKey{l.MaterialKey, p.Quantity}]; ok {
			priced.CostMinor, priced.Priced = c, true
		}
		packs = append(packs, priced)
	}
	if len(packs) == 0 {
		single := PricedPack{Name: l.Unit, Quantity: 1} // sold loose
		if c, ok := in.Prices[PriceKey{l.MaterialKey, 1}]; ok {
			single.CostMinor, single.Priced = c, true
		}
		packs = append(packs, single)
	}
	c, err := Cover(need, packs)
	if err != nil {
		return fmt.Errorf("quantity: %s: %w", l.Description, err)
	}
	if cut, ok := Count(need, in.CutFrom[l.MaterialKey], packs); ok {
		cut.Proven = c.Proven && cut.Priced && cut.CostMinor == c.CostMinor
		c = cut
	}
	if in.spare(l.MaterialKey) && need > 0 && c.Surplus < 0.1*l.Gross {
		if c, err = Cover(need+0.1*l.Gross, packs); err != nil {
			return fmt.Errorf("quantity: %s: %w", l.Description, err)
		}
		c.Surplus = c.Total - need
		l.Note = strings.TrimPrefix(l.Note+"; a tenth kept as contingency", "; ")
	}
	l.Order, l.Ordered, l.Surplus, l.Priced, l.CostMinor, l.Proven = c.Packs, c.Total, c.Surplus, c.Priced, c.CostMinor, c.Proven
	if c.Priced && c.Total > 0 {
		l.SurplusCostMinor = int64(math.Round(float64(c.CostMinor) * c.Surplus / c.Total))
	}
	l.MassKG = l.Ordered * item.KGPerUnit
	return l.carry(item)
}

func (in *Input) spare(key string) bool {
	for _, k := range in.KeepSpare {
		if k == key {
			return true
		}
	}
	return false
}

func (s *Schedule) sum(items map[string]material.Item) {
	rank := map[material.Kind]int{}
	for i, k := range material.Kinds() {
		rank[k] = i
	}
	sort.SliceStable(s.Lines, func(i, j int) bool { return rank[s.Lines[i].Kind] < rank[s.Lines[j].Kind] })
	var points []*working.Figure
	for _, l := range s.Lines {
		s.MassKG += l.MassKG
		if l.Priced {
			s.CostMinor += l.CostMinor
		} else {
			s.Unpriced = append(s.Unpriced, l.MaterialKey)
		}
		if l.PointsFigure != nil {
			points = append(points, l.PointsFigure)
		}
	}
	s.Load = loadOf(points)
	if s.Load.Finding != "" {
		s.Notes = append(s.Notes, s.Load.Finding)
	}
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

func unique(sorted []string) []string {
	out := sorted[:0]
	for i, s := range sorted {
		if i == 0 || s != sorted[i-1] {
			out = append(out, s)
		}
	}
	return out
}

// numberLess orders piece numbers as people do: B2 before B10.
func numberLess(a, b string) bool {
	for a != "" && b != "" {
		da, db := digits(a), digits(b)
		if da > 0 && db > 0 {
			na, nb := strings.TrimLeft(a[:da], "0"), strings.TrimLeft(b[:db], "0")
			if na != nb {
				if len(na) != len(nb) {
					return len(na) < len(nb)
				}
				return na < nb
			}
			if da != db {
				return da < db
			}
			a, b = a[da:], b[db:]
			continue
		}
		if a[0] != b[0] {
			return a[0] < b[0]
		}
		a, b = a[1:], b[1:]
	}
	return len(a) < len(b)
}

func digits(s string) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}
