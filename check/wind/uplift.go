package wind

import (
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/working"
)

// Fixing is what holds a layer down.
type Fixing struct {
	// Layer: "deck boards", "insulation and carrier boards".
	Layer string
	// ResistanceN is the design pull-out resistance Rd of one fastener, N.
	ResistanceN float64
	// Given is false when ResistanceN is a default that nobody has tested.
	Given bool
	// PerM2 is how many fasteners the specification gives by zone F, G, H, I.
	PerM2 [4]float64
	// TributaryM2 is the area one fastener holds; 1 or less uses cpe,1.
	TributaryM2 float64
	// DeadKPa is the weight that counts against uplift.
	DeadKPa float64
}

// Demand is the uplift in one zone and what it takes to hold it.
type Demand struct {
	Zone Zone
	// NetKPa is the characteristic uplift, positive upwards.
	NetKPa float64
	// Needed fasteners per m² and Given by the specification.
	Needed, Given float64
	Utilisation   float64
	Figure        *working.Figure
}

// internalPressure is the more onerous of +0.2 and −0.3 for uplift
// (EN 1991-1-4 7.2.9(6) note 2).
const internalPressure = 0.2

// deadFactor reduces the weight that holds the roof down (EN 1990 table A1.2(A), from memory).
const deadFactor = 0.9

var (
	uplift    = working.MustFormula("w = qp·(cpi − cpe)")
	fasteners = working.MustFormula("n = max(0, γQ·w − γG·g)/Rd")
)

// Demands returns the uplift and the fasteners for each zone:
// n = (γQ·qp·(cpi − cpe) − 0.9·g)/Rd per m².
func Demands(p Pressure, e Eaves, f Fixing, set country.Set) ([]Demand, error) {
	if !(f.ResistanceN > 0) {
		return nil, fmt.Errorf("resistance of one fastener %g N must be above zero: take it from a pull-out test or the supplier's data",
			f.ResistanceN)
	}
	var out []Demand
	for i, z := range Zones() {
		cpe, err := Coefficient(z, e, f.TributaryM2)
		if err != nil {
			return nil, err
		}
		rd := working.Measured("Rd", "design resistance of one fastener", f.ResistanceN/1000, "kN", "pull-out test or supplier's data")
		if !f.Given {
			rd = working.AssumedFigure("Rd", "design resistance of one fastener", f.ResistanceN/1000, "kN",
				"to be replaced by a pull-out test on this deck")
		}
		net := uplift.Figure("uplift, zone "+string(z), "kN/m²", en("5.2, 7.2.3, 7.2.9"), p.Figure,
			working.Constant("cpe", "external pressure coefficient, zone "+string(z), cpe, "", en("table 7.2")),
			working.Constant("cpi", "internal pressure coefficient", internalPressure, "", en("7.2.9(6) note 2")))
		needed := fasteners.Figure("fasteners needed, zone "+string(z), "per m²",
			working.Source{Title: "EN 1990:2002, equilibrium of uplift", Clause: "6.4.2", Standing: working.Remembered}, net,
			set.WindFactor.Figure("γQ"),
			working.Constant("γG", "part of the weight that counts", deadFactor, "",
				working.Source{Title: "EN 1990:2002", Clause: "table A1.2(A)", Standing: working.Remembered}),
			working.Measured("g", "weight that holds it down", f.DeadKPa, "kN/m²", "specified layers, thickness by density"), rd)
		given := f.PerM2[i]
		d := Demand{Zone: z, NetKPa: net.Value, Needed: needed.Value, Given: given, Figure: needed}
		if given > 0 {
			d.Utilisation = needed.Value / given
		}
		out = append(out, d)
	}
	return out, nil
}

// leastMapMS is no more than any national map of basic wind velocities gives, m/s (from memory):
// what fails there fails wherever the site is. clearUse is the use at which a fixing counts as
// sure whatever the map says.
const (
	leastMapMS = 20
	clearUse   = 0.6
)

// topOfMap is the worst that the national map may say, m/s.
func topOfMap(set country.Set) float64 {
	if set.BasicWind.Known {
		return set.BasicWind.Value
	}
	return country.WorstWindMS
}

// useAt is the use of one zone's fixings in another wind, m/s.
func useAt(basicMS float64, s Site, set country.Set, f Fixing, zone int) (float64, bool) {
	s.BasicMS = basicMS
	p, err := Peak(s, set)
	if err != nil {
		return 0, false
	}
	demands, err := Demands(p, Eaves{ParapetOverHeight: s.ParapetM / s.HeightM}, f, set)
	if err != nil {
		return 0, false
	}
	return demands[zone].Utilisation, true
}

// atMapTop looks whether a zone whose wind nobody read passes with room in hand even at
// the top of the map and, where the fastener is an assumption, at the same assumption.
func atMapTop(s Site, set country.Set, f Fixing, zone int, d Demand) (string, bool) {
	top := topOfMap(set)
	if s.Hill || s.BasicMS > top || d.Given == 0 {
		return "", false
	}
	use, ok := useAt(top, s, set, f, zone)
	if !ok || use >= clearUse {
		return "", false
	}
	return fmt.Sprintf("even at %g m/s it uses %.0f %% of its fixings", top, 100*use), true
}

// Check answers whether one fixed layer stays on, zone by zone.
func Check(s Site, set country.Set, f Fixing) ([]check.Result, Pressure, []Demand, error) {
	p, err := Peak(s, set)
	if err != nil {
		return nil, p, nil, err
	}
	e := Eaves{ParapetOverHeight: s.ParapetM / s.HeightM}
	demands, err := Demands(p, e, f, set)
	if err != nil {
		return nil, p, nil, err
	}
	var results []check.Result
	for i, d := range demands {
		r := check.Result{
			Key: "wind.uplift." + string(d.Zone), Title: "Will the " + f.Layer + " stay on in a gale?",
			Where: d.Zone.Words() + " (zone " + string(d.Zone) + ")", Utilisation: d.Utilisation,
			Working: []*working.Figure{d.Figure}, Clause: en("7.2.3"),
			Finding: fmt.Sprintf("uplift %.2f kN/m² needs %.1f fasteners per m²; the specification gives %.1f", d.NetKPa, d.Needed, d.Given),
		}
		judge(&r, s, set, f, i, d)
		if flag := set.WindFactor.Flag(); flag != "" {
			r.Flags = append(r.Flags, flag)
		}
		if set.AltitudeUK {
			r.Flags = append(r.Flags, "the UK annex replaces table 7.2 by its own, which is not held here: the Eurocode's own table is used")
		}
		if s.Hill {
			r.Verdict, r.CallFor = check.Ask, "a structural engineer: the site stands on a hill or escarpment and an orography factor is due"
		}
		if s.HeightM > 15 {
			r.CallFor = "a structural engineer: above 15 m the dynamic factor csCd must be looked at"
		}
		results = append(results, r)
	}
	return results, p, demands, nil
}

// judge gives the verdict on one zone. A wind that nobody read is the worst that the map may say:
// what holds in it holds, what does not is a question unless it fails in the least wind too.
func judge(r *check.Result, s Site, set country.Set, f Fixing, zone int, d Demand) {
	switch {
	case d.Utilisation > 1:
		r.Verdict = check.Fail
		centres := 1000 * math.Sqrt(1/math.Ceil(d.Needed))
		r.Remedies = []check.Remedy{{Text: fmt.Sprintf("fix the %s of the %s at %d per m² (about %d mm centres both ways)", d.Zone.Words(),
			f.Layer, int(math.Ceil(d.Needed)), 10*int(centres/10))}}
		if use, ok := useAt(leastMapMS, s, set, f, zone); !s.Given && ok && use <= 1 {
			r.Verdict, r.CallFor = check.Ask, "whoever can read the national wind map: the basic wind velocity of the site"
		}
	case !s.Given && !s.MapTopKnown:
		r.Verdict, r.CallFor = check.Ask, "whoever can read the national wind map: the basic wind velocity of the site"
	case !s.Given || !f.Given:
		r.Verdict = check.Caution
		if given, ok := atMapTop(s, set, f, zone, d); ok {
			r.Verdict = check.Pass
			r.Flags = append(r.Flags, given)
		}
	default:
		r.Verdict = check.Pass
	}
	if !s.Given {
		r.Flags = append(r.Flags, s.standIn())
	}
	if !f.Given {
		r.Flags = append(r.Flags, fmt.Sprintf("the fastener's %.0f N is an assumption: have a pull-out test made", f.ResistanceN))
	}
}

// standIn says what stands in for the map that nobody has read.
func (s Site) standIn() string {
	what := "the greatest of the national map (from memory)"
	if !s.MapTopKnown {
		what = "more than Europe's maps give for low ground, as no map is known here"
	}
	return fmt.Sprintf("basic wind velocity %.1f m/s stands in for the national map, %s: read the map and give it", s.BasicMS, what)
}
