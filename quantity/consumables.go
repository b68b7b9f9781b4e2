package quantity

import (
	"fmt"
	"math"

	"gelwright/working"
)

// RuleUse is a quantity that follows from a rule and not from pieces.
type RuleUse struct {
	MaterialKey string
	Unit        string
	Figure      *working.Figure
}

// Work is what the consumables depend on.
type Work struct {
	LaminateM2 float64 // area laid, each layer counted
	TopCoatM2  float64 // area coated, each coat counted
	ResinKG    float64 // laminating resin mixed
	TopCoatKG  float64
	// CatalystKG that the buckets take, already among the pieces.
	CatalystKG float64
	Mixes      int
	People     int
	Days       int
	// Pots are the mixes of these from which edges are cut in by brush, Coats the most coats that a deck gets.
	Pots, Coats int
	// LeastML is the least dose of catalyst of all mixes, ml; 0 where nothing is mixed.
	LeastML float64
	// Gangs mix at the same time, each with its own scale, dispenser and paddle; 0 is taken as 1.
	Gangs int
	// Warm says that the day is known to be 15 °C or more and that every bucket could be
	// mixed: then no cold day's dose is kept in reserve.
	Warm bool
	// From knows whether somebody has written how many people work.
	From working.Giver
	// Catalysts are those the buckets take; none is the generic one in all of them.
	Catalysts []CatalystUse
}

// CatalystUse is one catalyst by its key, what the buckets take of it, and the resin and top
// coat that are mixed with it, kg.
type CatalystUse struct {
	Key                 string
	KG, ResinKG, CoatKG float64
}

func (w Work) check() error {
	for _, c := range w.Catalysts {
		if c.Key == "" || !(c.KG >= 0 && c.ResinKG >= 0 && c.CoatKG >= 0) || math.IsInf(c.KG+c.ResinKG+c.CoatKG, 0) {
			return fmt.Errorf("quantity: catalyst %q: %g kg for %g kg of resin and %g kg of top coat: give its key, and 0 or more", c.Key, c.KG,
				c.ResinKG, c.CoatKG)
		}
	}
	for _, v := range []float64{w.LaminateM2, w.TopCoatM2, w.ResinKG, w.TopCoatKG, w.CatalystKG} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return fmt.Errorf("quantity: %g of area or mass: give 0 or more", v)
		}
	}
	if w.People < 1 || w.Days < 1 || min(w.Mixes-w.Pots, w.Pots, w.Coats, w.Gangs) < 0 || max(w.People, w.Gangs) > 1000 || w.Days > 10000 {
		return fmt.Errorf("quantity: %d people in %d gangs for %d days with %d mixes: give at least one of each", w.People, w.Gangs, w.Days,
			w.Mixes)
	}
	return nil
}

// Consumables returns what is used up or worn by the work, by the trade's rules of
// thumb: acetone 0.15 to 0.25 l/m² and no less than 5 l, a sleeve for 10 to 15 m²
// of laminate and one for 25 m² of top coat, a brush for 10 m², four pairs of gloves a
// person a day; catalyst bought for 3 % where the day is cold or not known, else the
// buckets' own and a fifth or one small bottle more; where edges are cut in, a brush for each
// man and coat, and pots used again like buckets. The keys are those
// of the generic catalogue.
func Consumables(w Work) ([]RuleUse, error) {
	if err := w.check(); err != nil {
		return nil, err
	}
	A := working.Measured("A", "area laid, each layer counted", w.LaminateM2, "m²", "strips of mat as laid")
	C := working.Measured("C", "area coated, each coat counted", w.TopCoatM2, "m²", "coats of the plan")
	n := working.From(w.From, "n", "people", float64(w.People), "", "crew.people")
	d := working.Measured("d", "days of laying", float64(w.Days), "", bucketsOfPlan)
	per := func(symbol, name string, m2 float64) *working.Figure {
		return working.Constant(symbol, name, m2, "m²", habit(name))
	}
	rate := working.Constant("a", "acetone for each m²", 0.2, "l/m²", habit("acetone 0.15 to 0.25 l/m²")).Between(0.15, 0.25)
	least := working.Constant("amin", "least acetone", 5, "l", habit("never less than 5 l on site"))
	sleeve := per("s", "laminate to a roller sleeve, 10 to 15 m²", 12.5)
	coat := per("sc", "top coat to a roller sleeve", 25)
	brush := per("b", "laminate to a brush", 10)
	gloves := working.Constant("h", "pairs of gloves for a person a day", 4, "pair", habit("four pairs of gloves a person a day"))
	uses := []RuleUse{
		rule("acetone", "l", "acetone", acetoneUse, rate, A, least),
		rule("tool.roller-sleeve", "piece", "roller sleeves", sleeveUse, A, sleeve),
		rule("tool.topcoat-sleeve", "piece", "top coat sleeves", coatSleeves, C, coat),
		rule("tool.brush", "piece", "brushes", brushUse, A, brush),
		rule("protection.gloves", "pair", "gloves", gloveUse, gloves, n, d),
	}
	catalysts := w.Catalysts
	if len(catalysts) == 0 {
		catalysts = []CatalystUse{{"catalyst.mekp", w.CatalystKG, w.ResinKG, w.TopCoatKG}}
	}
	for _, c := range catalysts {
		uses = append(uses, catalystReserve(w, c))
	}
	return append(uses, kit(w, n, d)...), nil
}

// The rules of thumb.
var (
	acetoneUse     = working.MustFormula("N = max(a·A, amin)")
	sleeveUse      = working.MustFormula("N = ⌈A/s⌉")
	coatSleeves    = working.MustFormula("N = ⌈C/sc⌉")
	brushUse       = working.MustFormula("N = ⌈A/b⌉")
	gloveUse       = working.MustFormula("N = h·n·d")
	warmReserve    = working.MustFormula("N = max(b, 0.2k)")
	mixedKG        = working.MustFormula("m = mr + mc")
	coldReserve    = working.MustFormula("N = max(0, 0.01·c·m − k)")
	bucketUse      = working.MustFormula("N = max(2, ⌈b/4⌉)")
	onePerPerson   = working.MustFormula("N = n")
	onePerGang     = working.MustFormula("N = g")
	perTenM2       = working.MustFormula("N = max(2, ⌈A/10⌉)")
	brushesCutting = working.MustFormula("N = n·c")
	perPersonDay   = working.MustFormula("N = n·d")
	derived        = working.Source{Title: "buckets added up", Standing: working.Derived}
)

const bucketsOfPlan = "buckets of the plan"

func habit(title string) working.Source {
	return working.Source{Title: title, Standing: working.CommonPractice}
}

func rule(key, unit, name string, formula *working.Formula, inputs ...*working.Figure) RuleUse {
	return RuleUse{MaterialKey: key, Unit: unit, Figure: formula.Figure(name, unit, habit("rule of thumb for "+name), inputs...)}
}

// smallBottleKG is the least catalyst kept in reserve: the smallest bottle sold.
const smallBottleKG = 0.1

// catalystReserve is what is bought beyond the buckets' own: enough for 3 % where the day
// is cold, not known, or has no bucket yet; on a warm day a fifth or one small bottle.
func catalystReserve(w Work, c CatalystUse) RuleUse {
	used := working.Measured("k", "catalyst in the buckets", c.KG, "kg", bucketsOfPlan)
	if w.Warm && w.Mixes > 0 {
		bottle := working.Constant("b", "one small bottle", smallBottleKG, "kg", habit("one small bottle or a fifth in reserve"))
		return rule(c.Key, "kg", "catalyst reserve on a day of 15 °C or more", warmReserve, bottle, used)
	}
	m := mixedKG.Figure("resin and top coat mixed", "kg", derived,
		working.Measured("mr", "resin mixed", c.ResinKG, "kg", bucketsOfPlan),
		working.Measured("mc", "top coat mixed", c.CoatKG, "kg", bucketsOfPlan))
	pct := working.Constant("c", "catalyst bought for", 3, "%", habit("2 % nominal, buy for 3 %"))
	return rule(c.Key, "kg", "catalyst reserve for a cold day", coldReserve, m, pct, used)
}

// syringeML is the dose below which a dispenser's marks are too coarse, ml (common practice, no source).
const syringeML = 20

// kit is the tools and protection without which nobody starts.
func kit(w Work, n, d *working.Figure) []RuleUse {
	mixes := working.Measured("b", "buckets mixed, but for those of cutting in", float64(w.Mixes-w.Pots), "", bucketsOfPlan)
	A := working.Measured("A", "area laid", w.LaminateM2, "m²", "strips of mat as laid")
	fixed := func(key, unit, name string, value float64, why string) RuleUse {
		return RuleUse{MaterialKey: key, Unit: unit, Figure: working.AssumedFigure("N", name, value, unit, why)}
	}
	gangs := working.Measured("g", "gangs that mix at the same time", float64(w.Gangs), "", bucketsOfPlan)
	mixing := func(key, name, why string) RuleUse {
		if w.Gangs > 1 {
			return rule(key, "piece", name+", one for each gang", onePerGang, gangs)
		}
		return fixed(key, "piece", name, 1, why)
	}
	out := cutting(w, n)
	if w.LeastML > 0 && w.LeastML < syringeML {
		out = append(out, mixing("tool.syringe", "syringe", fmt.Sprintf("the least dose is %.1f ml", w.LeastML)))
	}
	return append(out,
		rule("tool.bucket", "piece", "mixing buckets, peeled when hard and used again", bucketUse, mixes),
		rule("tool.roller-frame", "piece", "roller frames", onePerPerson, n),
		rule("tool.consolidating-roller", "piece", "consolidating rollers, one for each man who lays", onePerPerson, n),
		rule("tool.blades", "piece", "knife blades: glass blunts them", perTenM2, A),
		fixed("tool.chalk-line", "piece", "chalk line", 1, "lines of boards and strips are struck"),
		fixed("tool.thermometer", "piece", "thermometer for deck, pail and air", 1, "a dose holds for the deck and the pail that are named"),
		fixed("tool.hygrometer", "piece", "hygrometer that gives the dew point", 1, "the deck is kept above the dew point"),
		fixed("tool.moisture-meter", "piece", "moisture meter with pins", 1, "the deck is laminated at 18 % or less"),
		mixing("tool.scale", "scale", "resin is weighed"),
		mixing("tool.catalyst-dispenser", "catalyst dispenser", "catalyst is measured"),
		mixing("tool.stirrer", "stirring paddle", "one, washed after each bucket"),
		rule("tool.abrasive.40", "piece", "abrasive discs", perTenM2, A),
		rule("protection.goggles", "piece", "sealed goggles", onePerPerson, n),
		rule("protection.mask.a2p3", "piece", "half masks A2P3", onePerPerson, n),
		rule("protection.overall", "piece", "overalls", perPersonDay, n, d),
		fixed("protection.eyewash", "piece", "eyewash at the mixing point", 2, "two bottles of 500 ml within reach of where catalyst is poured"),
		fixed("protection.extinguisher", "piece", "extinguishers", 2, "two of 6 kg on the roof"),
		rule("waste.bags", "piece", "rubble bags", perTenM2, A),
		fixed("waste.metal-bin", "piece", "lidded metal bin with water", 1, "rags with catalyst can take fire by themselves"))
}

// cutting is pots and brushes for cutting in; none where nobody cuts in.
func cutting(w Work, n *working.Figure) []RuleUse {
	if w.Pots == 0 {
		return nil
	}
	pots := working.Measured("b", "pots mixed for cutting in", float64(w.Pots), "", bucketsOfPlan)
	coats := working.Measured("c", "coats", float64(w.Coats), "", "coats of the plan")
	return []RuleUse{
		rule("tool.pot", "piece", "pots for cutting in, peeled when hard and used again", bucketUse, pots),
		rule("tool.brush.cutting-in", "piece", "brushes for cutting in, one for each man and coat", brushesCutting, n, coats),
	}
}
