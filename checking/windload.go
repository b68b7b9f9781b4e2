package checking

import (
	"fmt"
	"math"

	"gelwright/check/country"
	"gelwright/check/wind"
	"gelwright/framing"
	"gelwright/plane"
	"gelwright/roof"
)

// oneStoreyM is how far a wall rises above a roof where nobody has said, m.
const oneStoreyM = 2.5

// Level is how high a deck lies above the site's datum, m.
type Level struct {
	Deck string
	M    float64
}

// LevelsOf lists how high the decks of a roof lie.
func LevelsOf(decks []roof.Deck) []Level {
	out := make([]Level, len(decks))
	for i, d := range decks {
		out[i] = Level{d.Name, d.LevelM}
	}
	return out
}

// wallRiseM returns how far a wall rises above the deck: to the deck it steps up to,
// or one storey of 2.5 m.
func wallRiseM(d *roof.Deck, e roof.Edge, levels []Level) float64 {
	for _, o := range levels {
		if o.Deck == e.To && o.M > d.LevelM {
			return o.M - d.LevelM
		}
	}
	best := math.Inf(1)
	for _, o := range levels {
		if rise := o.M - d.LevelM; rise > 0.1 && e.Condition == roof.Wall {
			best = math.Min(best, rise)
		}
	}
	if !math.IsInf(best, 1) {
		return best
	}
	return oneStoreyM
}

// wallWhy says on what the wall above a deck rests: empty where every rise is that of a
// deck drawn above.
func wallWhy(d *roof.Deck, levels []Level) string {
	for _, e := range d.Edges {
		if e.Condition == roof.Wall && wallRiseM(d, e, levels) == oneStoreyM {
			return fmt.Sprintf("the walls' height is not in the roof file: one storey of %g m is taken", oneStoreyM)
		}
	}
	return ""
}

// away returns the depth of the deck square to an edge, m.
func away(d *roof.Deck, edge int) float64 {
	e := d.Outline.Edge(edge)
	inward := e.B.Sub(e.A).Unit().Left()
	depth := 0.0
	for _, p := range d.Outline.Chords(0.01) {
		depth = math.Max(depth, p.Sub(e.A).Dot(inward))
	}
	return depth
}

// wind asks whether trims and boards stay on in a gale.
func (out *DeckChecks) wind(in *DeckChecksInput, set country.Set) error {
	d, site, b := &in.Deck, in.Wind, in.Spec.Board
	site.From = in.Origin
	site.From = in.Origin
	if d.Base.Kind == "concrete" {
		return nil
	}
	results, pressure, demands, err := wind.Check(site, set, in.Framing.Value.Holds)
	if err != nil {
		return err
	}
	trim := wind.Trim{ExposedM: 0.15, CloutSpacingMM: framing.CloutMM, DiameterMM: 3, PenetrationMM: b.ThicknessMM,
		DensityKGPerM3: boardDensityKGPerM3}
	trims, err := wind.CheckTrim(pressure, trim, set)
	if err != nil {
		return err
	}
	wind.SoftenTrim(&trims, site, trim, set)
	out.AnswerOn(d.Name, in.Several, trims)
	// The zones are those that the boards were fixed by.
	for i, z := range in.SetOut.Value.Given.Zones {
		if len(z.Area) == 0 {
			continue
		}
		out.Zones = append(out.Zones, WindZone{Zone: z.Name, Words: wind.Zone(z.Name).Words(), AreaM2: plane.TotalArea(z.Area), Area: z.Area,
			NetKPa: demands[i].NetKPa, FastenersPerM2: demands[i].Needed})
		r := results[i]
		r.Where = "deck " + d.Name + ", " + r.Where
		for _, f := range r.Working {
			f.Key = "check.wind." + d.Name + "." + z.Name
		}
		out.Answer(r, "")
	}
	return nil
}

// WindZone is a zone of one deck with its uplift.
type WindZone struct {
	Zone           string          `json:"zone"`
	Words          string          `json:"words"`
	AreaM2         float64         `json:"area_m2"`
	NetKPa         float64         `json:"uplift_kpa"`
	FastenersPerM2 float64         `json:"fasteners_per_m2"`
	Area           []plane.Polygon `json:"area"`
}
