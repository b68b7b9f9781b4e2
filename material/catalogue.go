package material

import (
	"fmt"
	"math"
	"sort"
	"strings"
)

// Catalogue is everything that can be named in a specification or an order.
type Catalogue struct {
	Resins     []Resin      `json:"resins"`
	Catalysts  []Catalyst   `json:"catalysts"`
	Mats       []Mat        `json:"mats"`
	Boards     []Board      `json:"boards"`
	Trims      []Trim       `json:"trims"`
	Corners    []Corner     `json:"corners"`
	Insulation []Insulation `json:"insulation"`
	// Others are items with nothing special about them: fixings, tools, protection.
	Others []Item `json:"others"`
}

// Generic returns the built-in catalogue: a fresh copy at each call, so that a firm's
// file may be laid over it. It names what a thing does and no maker.
func Generic() Catalogue {
	return Catalogue{
		Resins: genericResins(), Catalysts: genericCatalysts(), Mats: genericMats(), Boards: genericBoards(),
		Trims: genericTrims(), Corners: genericCorners(), Insulation: genericInsulation(), Others: genericOthers(),
	}
}

// NotFoundError says that a catalogue lacks what was asked for, and what it has.
type NotFoundError struct {
	What  string   // "resin", "deck board"
	Asked string   // as asked for
	Have  []string // what there is, sorted
}

func (e *NotFoundError) Error() string {
	if len(e.Have) == 0 {
		return fmt.Sprintf("material: no %s %q: the catalogue has none; add it to the firm's file", e.What, e.Asked)
	}
	return fmt.Sprintf("material: no %s %q: there is %s; choose one or add it to the firm's file", e.What, e.Asked, strings.Join(e.Have, ", "))
}

func pick[T any](all []T, what, asked string, is func(T) bool, name func(T) string) (T, error) {
	have := make([]string, 0, len(all))
	seen := map[string]bool{}
	for _, x := range all {
		if is(x) {
			return x, nil
		}
		if n := name(x); !seen[n] {
			seen[n] = true
			have = append(have, n)
		}
	}
	sort.Strings(have)
	var none T
	return none, &NotFoundError{What: what, Asked: asked, Have: have}
}

// Resin returns a laminating resin or a top coat by key.
func (c Catalogue) Resin(key string) (Resin, error) {
	return pick(c.Resins, "resin", key, func(r Resin) bool { return r.Key == key }, func(r Resin) string { return r.Key })
}

// Catalyst returns a peroxide by key.
func (c Catalogue) Catalyst(key string) (Catalyst, error) {
	return pick(c.Catalysts, "catalyst", key, func(x Catalyst) bool { return x.Key == key }, func(x Catalyst) string { return x.Key })
}

// Mat returns the main mat of a weight, g/m².
func (c Catalogue) Mat(gPerM2 float64) (Mat, error) {
	return c.reinforcement("main", fmt.Sprintf("%g g/m²", gPerM2), func(m Mat) bool { return m.GPerM2 == gPerM2 })
}

// Tissue returns the surface tissue of a weight, g/m².
func (c Catalogue) Tissue(gPerM2 float64) (Mat, error) {
	return c.reinforcement("tissue", fmt.Sprintf("%g g/m²", gPerM2), func(m Mat) bool { return m.GPerM2 == gPerM2 })
}

// Bandage returns the bandage of a width, mm.
func (c Catalogue) Bandage(widthMM float64) (Mat, error) {
	return c.reinforcement("bandage", fmt.Sprintf("%g mm", widthMM), func(m Mat) bool { return math.Abs(m.WidthM*1000-widthMM) < 0.5 })
}

func (c Catalogue) reinforcement(use, asked string, is func(Mat) bool) (Mat, error) {
	name := func(m Mat) string { return fmt.Sprintf("%g g/m²", m.GPerM2) }
	if use == "bandage" {
		name = func(m Mat) string { return fmt.Sprintf("%g mm", m.WidthM*1000) }
	}
	var of []Mat
	for _, m := range c.Mats {
		if m.Use == use {
			of = append(of, m)
		}
	}
	return pick(of, use+" mat", asked, is, name)
}

// Board returns the board of a material, thickness (mm) and size (m).
func (c Catalogue) Board(materialName string, thicknessMM, lengthM, widthM float64, tongueAndGroove bool) (Board, error) {
	label := func(m string, t, l, w float64, tg bool) string {
		s := fmt.Sprintf("%s %g mm %.0f × %.0f", m, t, l*1000, w*1000)
		if tg {
			s += " tongued and grooved"
		}
		return s
	}
	same := func(a, b float64) bool { return math.Abs(a-b) < 5e-4 }
	return pick(c.Boards, "deck board", label(materialName, thicknessMM, lengthM, widthM, tongueAndGroove), func(b Board) bool {
		return strings.EqualFold(b.Material, materialName) && same(b.ThicknessMM, thicknessMM) && same(b.LengthM, lengthM) &&
			same(b.WidthM, widthM) && b.TongueAndGroove == tongueAndGroove
	}, func(b Board) string { return label(b.Material, b.ThicknessMM, b.LengthM, b.WidthM, b.TongueAndGroove) })
}

// Trim returns the trim of a function.
func (c Catalogue) Trim(function string) (Trim, error) {
	return pick(c.Trims, "trim", function, func(t Trim) bool { return t.Function == function }, func(t Trim) string { return t.Function })
}

// Corner returns the preformed corner for trims of a function.
func (c Catalogue) Corner(function string, internal bool) (Corner, error) {
	label := func(f string, in bool) string {
		if in {
			return f + ", internal"
		}
		return f + ", external"
	}
	return pick(c.Corners, "preformed corner", label(function, internal),
		func(k Corner) bool { return k.Function == function && k.Internal == internal },
		func(k Corner) string { return label(k.Function, k.Internal) })
}

// InsulationOf returns the insulation of a material: "PIR", "EPS", "mineral wool".
func (c Catalogue) InsulationOf(materialName string) (Insulation, error) {
	return pick(c.Insulation, "insulation", materialName, func(i Insulation) bool { return strings.EqualFold(i.Material, materialName) },
		func(i Insulation) string { return i.Material })
}

// Items returns everything that can be bought, in the order of an order list.
func (c Catalogue) Items() []Item {
	var all []Item
	for _, b := range c.Boards {
		all = append(all, b.Item)
	}
	for _, i := range c.Insulation {
		all = append(all, i.Item)
	}
	for _, t := range c.Trims {
		all = append(all, t.Item)
	}
	for _, k := range c.Corners {
		all = append(all, k.Item)
	}
	for _, r := range c.Resins {
		all = append(all, r.item())
	}
	for _, x := range c.Catalysts {
		all = append(all, x.item())
	}
	for _, m := range c.Mats {
		all = append(all, m.Item)
	}
	all = append(all, c.Others...)
	rank := map[Kind]int{}
	for i, k := range Kinds() {
		rank[k] = i
	}
	sort.SliceStable(all, func(i, j int) bool { return rank[all[i].Kind] < rank[all[j].Kind] })
	return all
}

// Item returns anything that can be bought by its key.
func (c Catalogue) Item(key string) (Item, error) {
	return pick(c.Items(), "item", key, func(i Item) bool { return i.Key == key }, func(i Item) string { return i.Key })
}
