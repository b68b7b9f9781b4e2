package laminate

import (
	"fmt"
	"math"

	"gelwright/working"
)

// Coat is a waxed top coat over an area.
type Coat struct {
	// Key is the lasting prefix of its figures: "topcoat.main".
	Key, Name string
	AreaM2    *working.Figure
	// KGPerM2 of each coat, liquid; 0.5 to 0.6 is the habit for a wear layer.
	KGPerM2 *working.Figure
	Coats   int
	// LiquidKGPerL and CuredGPerCM3 are densities, StyreneFraction the share by
	// mass, all of the data sheet.
	LiquidKGPerL, CuredGPerCM3, StyreneFraction float64
	// Sheet is where these come from; From knows whether the coats were written by somebody.
	Sheet working.Source
	From  working.Giver
}

// Film is what a top coat takes and the film it leaves.
type Film struct {
	Coat Coat
	// KG for all coats and the whole area; Litres of it.
	KG, Litres *working.Figure
	// WetMM is the film of one coat as a wet-film comb reads it; DryMM of all coats
	// cured: less by the styrene that evaporates and by shrinkage.
	WetMM, DryMM *working.Figure
	// StyreneLossKG leaves into the air.
	StyreneLossKG *working.Figure
}

var (
	coatLoss    = working.MustFormula("e = 0.445·S^1.675/1000")
	coatMass    = working.MustFormula("M = A·w·n")
	coatLitres  = working.MustFormula("V = M/ρl")
	wetFilm     = working.MustFormula("hw = w/ρl")
	dryFilm     = working.MustFormula("hd = w·n/ρc·(1 − e)")
	lostStyrene = working.MustFormula("Me = M·e")
)

// MakeFilm computes a top coat.
//
// The loss of styrene while the film is open is taken from the emission factor for
// gel coat in 40 CFR 63 subpart VVVV, table 3: 0.445·(% styrene)^1.675 kg for each
// 1000 kg. The true loss differs with wind and wax, so the dry film has a range
// from no loss to one and a half times that.
func MakeFilm(c Coat) (*Film, error) {
	if err := checkCoat(c); err != nil {
		return nil, fmt.Errorf("laminate: top coat %q: %w", c.Name, err)
	}
	ρl := working.Constant("ρl", "density of liquid top coat", c.LiquidKGPerL, "kg/l", c.Sheet.OrUnsaid())
	ρc := working.Constant("ρc", "density of cured top coat", c.CuredGPerCM3, "g/cm³", c.Sheet.OrUnsaid())
	s := working.Constant("S", "styrene by mass", 100*c.StyreneFraction, "%", c.Sheet.OrUnsaid())
	n := working.From(c.From, "n", "coats", float64(c.Coats), "", "spec.top_coat.coats")
	loss := coatLoss.Figure("styrene lost to the air, by mass of top coat", "",
		working.Source{Title: "40 CFR 63 subpart VVVV", Clause: "table 3, gel coat equation", Standing: working.Published}, s)
	f := &Film{Coat: c}
	f.KG = coatMass.Figure("top coat, "+c.Name, "kg", algebra, c.AreaM2.As("A"), c.KGPerM2.As("w"), n).Keyed(c.Key + ".mass")
	f.Litres = coatLitres.Figure("top coat, "+c.Name, "l", algebra, f.KG, ρl).Keyed(c.Key + ".litres")
	f.WetMM = wetFilm.Figure("wet film of one coat, "+c.Name, "mm", algebra, c.KGPerM2.As("w"), ρl).Keyed(c.Key + ".wet_film")
	whole := c.KGPerM2.Value * n.Value / ρc.Value
	f.DryMM = dryFilm.Figure("dry film of all coats, "+c.Name, "mm", algebra, n, c.KGPerM2.As("w"), loss, ρc).
		Between(whole*(1-math.Min(1.5*loss.Value, c.StyreneFraction)), whole).Keyed(c.Key + ".dry_film")
	f.StyreneLossKG = lostStyrene.Figure("styrene lost to the air, "+c.Name, "kg", algebra, f.KG, loss).Keyed(c.Key + ".styrene")
	return f, nil
}

func checkCoat(c Coat) error {
	switch {
	case c.AreaM2 == nil || !(c.AreaM2.Value >= 0) || !finite(c.AreaM2.Value):
		return fmt.Errorf("its area is missing or negative: give m²")
	case c.KGPerM2 == nil || !(c.KGPerM2.Value > 0 && c.KGPerM2.Value <= 2):
		return fmt.Errorf("give the weight of one coat, 0.4 to 0.8 kg/m²")
	case c.Coats < 1 || c.Coats > 6:
		return fmt.Errorf("%d coats: give 1 or 2", c.Coats)
	case !(c.LiquidKGPerL > 0.8 && c.LiquidKGPerL < 2.5):
		return fmt.Errorf("liquid density %g kg/l: the data sheet has 1.1 to 1.4", c.LiquidKGPerL)
	case !(c.CuredGPerCM3 > 0.8 && c.CuredGPerCM3 < 2.5):
		return fmt.Errorf("cured density %g g/cm³: the data sheet has 1.2 to 1.5", c.CuredGPerCM3)
	case !(c.StyreneFraction >= 0 && c.StyreneFraction <= 0.6):
		return fmt.Errorf("styrene fraction %g: give a fraction, 0.3 to 0.45", c.StyreneFraction)
	}
	return nil
}
