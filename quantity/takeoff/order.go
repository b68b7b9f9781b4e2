package takeoff

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"gelwright/check"
	"gelwright/framing"
	"gelwright/laying"
	"gelwright/material"
	"gelwright/quantity"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/steps"
	"gelwright/working"
)

// trimNames are the trims that the set-out knows.
var trimNames = [...]string{
	"trim drip", "trim verge", "trim kerb", "trim wall fillet",
	"trim drip, flexible", "trim verge, flexible", "trim kerb, flexible", "trim wall fillet, flexible",
}

// trimKey maps the set-out's name of a trim to the catalogue.
func trimKey(name string) string {
	switch name {
	case "trim drip":
		return "trim.drip"
	case "trim verge", "trim kerb":
		return "trim.raised-edge"
	case "trim wall fillet":
		return "trim.wall-fillet"
	case "joint cap":
		return "trim.joint-cap"
	case "flexible joint strip":
		return "trim.joint-strip"
	case "trim drip, flexible":
		return "trim.flexible-drip"
	case "trim verge, flexible", "trim kerb, flexible":
		return "trim.flexible-raised-edge"
	case "trim wall fillet, flexible":
		return "trim.flexible-wall-fillet"
	}
	return ""
}

// adHoc returns an item for something set out that the catalogue lacks: a corner
// between two kinds of trim, formed on site or ordered by its description.
func adHoc(name string) material.Item {
	key := strings.NewReplacer(" ", "-", ",", "").Replace(name)
	kind := material.KindCorner
	note := "not a stock piece in every range: ask the supplier, or form it on site"
	return material.Item{Key: key, Name: strings.ToUpper(name[:1]) + name[1:], Kind: kind, Unit: "piece", Standing: working.CommonPractice,
		Note: note}
}

// Input is a roof worked out piece by piece, and what the pieces are made of.
type Input struct {
	Decks     []Deck
	Catalogue material.Catalogue
	Spec      roof.Spec
	Work      roof.Work
	// InsulationStays says that the insulation is there already and none is bought.
	InsulationStays bool
}

// Deck is a deck worked out.
type Deck struct {
	Deck     roof.Deck
	Geometry steps.Made[runoff.Geometry]
	Falls    steps.Made[runoff.Falls]
	SetOut   steps.Made[framing.SetOut]
	Framing  steps.Made[framing.Framing]
	Renewals []framing.Renewal
}

// TakeOff is what the pieces of a roof use, before anything is mixed.
type TakeOff struct {
	Items []material.Item
	Uses  []quantity.PieceUse
	// TakenM2 is mat cut from the firm's own rolls and pieces, by key.
	TakenM2 map[string]float64
	// Packs are the rolls of the cut lists that are bought, m² in each, by key.
	Packs map[string][]float64
	// Counted are goods that are bought as counted, with no allowance.
	Counted map[string]quantity.Waste
	Notes   []string
}

// taker gathers what the pieces use.
type taker struct {
	in      *Input
	items   []material.Item
	known   map[string]bool
	uses    []quantity.PieceUse
	takenM2 map[string]float64
	packs   map[string][]float64
	counted map[string]quantity.Waste
	// timbers are what a screw's key is for, in the order in which it was asked for.
	timbers map[string][]string
}

func (o *taker) use(number, key, unit string, q float64) {
	if q > 0 {
		o.uses = append(o.uses, quantity.PieceUse{Number: number, MaterialKey: key, Quantity: q, Unit: unit})
	}
}

func (o *taker) item(i material.Item) string {
	if !o.known[i.Key] {
		o.known[i.Key] = true
		o.items = append(o.items, i)
	}
	return i.Key
}

// Make books what the pieces of every deck use.
func Make(_ context.Context, in Input) (TakeOff, error) {
	o := &taker{in: &in, items: in.Catalogue.Items(), known: map[string]bool{}, takenM2: map[string]float64{},
		packs: map[string][]float64{}, counted: map[string]quantity.Waste{},
		timbers: map[string][]string{}}
	for _, i := range o.items {
		o.known[i.Key] = true
	}
	for i := range in.Decks {
		d, prefix := &in.Decks[i], ""
		if len(in.Decks) > 1 {
			prefix = d.Deck.Name + " "
		}
		if err := o.deck(d, prefix); err != nil {
			return TakeOff{}, fmt.Errorf("deck %q: %w", d.Deck.Name, err)
		}
	}
	notes := takenNotes(in.Decks)
	if layer := in.Spec.Insulation; in.InsulationStays {
		notes = append(notes, fmt.Sprintf("no insulation: the %g mm of %s lie between the joists below a deck that stays, and count as there "+
			"already; what is wet or missing of them is put in from below", layer.ThicknessMM, layer.Material))
	}
	return TakeOff{Items: o.items, Uses: o.uses, TakenM2: o.takenM2, Packs: o.packs, Counted: o.counted, Notes: notes}, nil
}

// OrderInput is what the pieces and the buckets use, what things cost and what is in hand.
type OrderInput struct {
	TakeOff steps.Made[TakeOff]
	Buckets steps.Made[laying.Buckets]
	// Keys of the catalogue; Catalyst goes into the resin and CoatCatalyst into the top coat.
	Resin, Coat, Catalyst, CoatCatalyst string
	People                              int
	Warm                                bool // the day is known to be 15 °C or more
	Waste                               roof.Waste
	Origin                              roof.Origin // of spec.waste_pct and crew
	Prices                              quantity.Prices
	InHand                              map[string]float64
	Offcuts                             []Offcut
	Mats                                []material.Mat
}

// Ordered is the order with its figures.
type Ordered struct {
	Schedule *quantity.Schedule
	check.Notes
}

// MakeOrder makes the schedule from the pieces, the buckets and the rules.
func MakeOrder(_ context.Context, in OrderInput) (Ordered, error) {
	var out Ordered
	taken, wet := &in.TakeOff.Value, &in.Buckets.Value
	work := quantity.Work{From: in.Origin, ResinKG: wet.ResinKG, TopCoatKG: wet.CoatKG, CatalystKG: wet.CatalystG / 1000, Mixes: wet.Buckets,
		People: max(1, in.People), Days: laying.DaysOf(wet.Passes), Warm: in.Warm}
	for _, p := range wet.Passes {
		work.Warm = work.Warm && p.Plan != nil
		switch p.Kind {
		case "mat":
			work.LaminateM2 += p.AreaM2
		case "top coat":
			work.TopCoatM2 += p.AreaM2
		}
	}
	work.Pots, work.Coats = pots(wet.Passes)
	work.LeastML = leastML(wet.Passes)
	work.Catalysts, work.Gangs = in.catalysts(), gangs(wet.Passes)
	rules, err := quantity.Consumables(work)
	if err != nil {
		return out, err
	}
	uses := append(slices.Clip(taken.Uses), in.mixed()...)
	s, err := quantity.Make(quantity.Input{Items: taken.Items, Uses: uses, Rules: rules, Prices: in.Prices, InHand: in.inHand(),
		WasteOf: taken.Counted, CutFrom: in.cutFrom(),
		WasteOfKind: map[material.Kind]quantity.Waste{
			material.KindFixing:    {Pct: in.Waste.Fixings, Source: in.allowance("fixings")},
			material.KindAdhesive:  {Pct: in.Waste.Adhesive, Source: in.allowance("adhesive")},
			material.KindMat:       {Pct: in.Waste.Mat, Source: in.allowance("mat")},
			material.KindAggregate: {Pct: 20, Source: working.Source{Title: "aggregate broadcast and swept up", Standing: working.CommonPractice}},
			material.KindMembrane: {Pct: 10, Source: working.Source{Title: "laps and turn-ups of the control layer",
				Standing: working.CommonPractice}},
			material.KindInsulation: {Pct: 5, Source: working.Source{Title: "cutting of insulation boards", Standing: working.CommonPractice}},
		},
		KeepSpare: []string{in.Resin, in.Coat}})
	if err != nil {
		return out, err
	}
	s.Notes = append(s.Notes, taken.Notes...)
	out.Schedule = s
	for _, l := range s.Lines {
		out.Figure(l.Figure)
		out.Figure(l.PointsFigure)
	}
	return out, nil
}

// cutFrom are the rolls of the cut lists, but of goods that the firm has whole in hand: the
// cut list does not know of these.
func (in *OrderInput) cutFrom() map[string][]float64 {
	out := map[string][]float64{}
	for k, list := range in.TakeOff.Value.Packs {
		if in.InHand[k] == 0 {
			out[k] = list
		}
	}
	return out
}

// mixed is resin, top coat and catalyst by bucket; where no bucket could be mixed at this
// temperature, by the pieces, with catalyst at 2 %.
func (in *OrderInput) mixed() []quantity.PieceUse {
	var out []quantity.PieceUse
	use := func(number, key string, kg float64) {
		if kg > 0 {
			out = append(out, quantity.PieceUse{Number: number, MaterialKey: key, Quantity: kg, Unit: "kg"})
		}
	}
	for _, p := range in.Buckets.Value.Passes {
		key, catalyst := in.Resin, in.Catalyst
		if p.Coat() {
			key, catalyst = in.Coat, in.CoatCatalyst
		}
		if p.Plan != nil {
			for _, x := range p.Plan.Mixes {
				n := fmt.Sprintf("mix %d", x.Number)
				use(n, key, x.ResinKG)
				use(n, catalyst, x.CatalystG/1000)
			}
			continue
		}
		for _, c := range p.Cells {
			use(c.Name, key, c.ResinKG)
			use(c.Name, catalyst, c.ResinKG*0.02)
		}
	}
	return out
}

// pots is how many mixes are for cutting in, and in how many coats.
func pots(passes []laying.Pass) (mixes, coats int) {
	for _, p := range passes {
		if p.Plan != nil && p.Kind == laying.CuttingIn {
			mixes, coats = mixes+len(p.Plan.Mixes), max(coats, p.Layer)
		}
	}
	return mixes, coats
}

// leastML is the least dose of catalyst, ml; 0 where nothing is mixed.
func leastML(passes []laying.Pass) float64 {
	least := 0.0
	for _, p := range passes {
		if p.Plan == nil {
			continue
		}
		for _, m := range p.Plan.Mixes {
			if least == 0 || m.CatalystML < least {
				least = m.CatalystML
			}
		}
	}
	return least
}

// gangs is how many gangs mix at the same time in some pass.
func gangs(passes []laying.Pass) int {
	most := 1
	for _, p := range passes {
		if p.Plan == nil || p.Kind == laying.CuttingIn {
			continue // who cuts in has a pot of his own, and weighs it where the others do
		}
		names := map[string]bool{}
		for _, x := range p.Plan.Mixes {
			if x.Gang != "" {
				names[x.Gang] = true
			}
		}
		most = max(most, len(names))
	}
	return most
}

// catalysts is what the buckets take of each catalyst.
func (in *OrderInput) catalysts() []quantity.CatalystUse {
	wet := &in.Buckets.Value
	resin, coat := quantity.CatalystUse{Key: in.Catalyst, ResinKG: wet.ResinKG}, quantity.CatalystUse{Key: in.CoatCatalyst, CoatKG: wet.CoatKG}
	for _, p := range wet.Passes {
		to := &resin
		if p.Coat() {
			to = &coat
		}
		if p.Plan == nil {
			continue
		}
		for _, x := range p.Plan.Mixes {
			to.KG += x.CatalystG / 1000
		}
	}
	if resin.Key != coat.Key {
		return []quantity.CatalystUse{resin, coat}
	}
	resin.KG, resin.CoatKG = resin.KG+coat.KG, coat.CoatKG
	return []quantity.CatalystUse{resin}
}

// allowance is an allowance for waste with its standing: given only where the file gives it.
func (in *OrderInput) allowance(field string) working.Source {
	source := in.Origin.Source("spec.waste_pct." + field)
	if source.Standing == working.Assumed {
		why, _ := in.Origin.Silent("spec.waste_pct." + field)
		return working.Source{Title: why, Clause: "spec.waste_pct." + field + ", not in the file", Standing: working.CommonPractice}
	}
	return source
}
