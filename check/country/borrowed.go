package country

import (
	"strings"

	"gelwright/check"
	"gelwright/internal/iso3166"
	"gelwright/working"
)

// mapTops are the greatest basic wind velocities of national maps, m/s, as far as known (all from
// memory). They stand in where nobody has read the map: the worst that it may say.
var mapTops = map[string]float64{"GB": 31, "GB-ENG": 27, "GB-WLS": 27, "GB-NIR": 28, "IE": 28, "DE": 30, "FR": 28, "BE": 26, "NL": 29.5,
	"LU": 26, "DK": 27, "NO": 31, "ES": 29, "PT": 30, "IT": 31}

// WorstWindMS stands in for a country whose map is not known: more than the maps of Europe give for low ground, m/s.
const WorstWindMS = 31

func mapTop(code string) Value {
	top, ok := mapTops[code]
	if !ok {
		return missing("greatest basic wind velocity of the national map", "m/s")
	}
	return known("greatest basic wind velocity of the national map", top, "m/s", "national map of basic wind velocities", "", mem)
}

// eurocodes are the countries whose building rules are the Eurocodes (CEN members, from memory).
const eurocodes = " AT BE BG CH CY CZ DE DK EE ES FI FR GB GR HR HU IE IS IT LI LT LU LV MK MT NL NO PL PT RO RS SE SI SK TR "

// carriage are the parties to the agreement on the carriage of dangerous goods by road (ADR, from memory).
const carriage = eurocodes + "AD AL AM AZ BA BY GE KZ MC MD ME MA NG RU SM TJ TN UA UZ UG "

// Eurocodes reports whether the country builds by the Eurocodes, Carriage whether it keeps to ADR.
func (s Set) Eurocodes() bool { return among(eurocodes, s.Code) }

// Carriage reports whether dangerous goods ride by ADR.
func (s Set) Carriage() bool { return among(carriage, s.Code) }

func among(list, code string) bool { return strings.Contains(list, " "+iso3166.Country(code)+" ") }

// strange lists the subjects on which no rule of the country's own is held, each with what
// stands in. It looks at the values themselves, so it cannot say of a value what is not so.
func (s Set) strange() []string {
	r := Recommended()
	var out []string
	add := func(foreign bool, words string) {
		if foreign {
			out = append(out, words)
		}
	}
	add(s.AirDensity.Source == r.AirDensity.Source, "wind (EN 1991-1-4 with its recommended values)")
	add(s.RoofImposed.Source == r.RoofImposed.Source, "loads (EN 1991-1-1 with its recommended values)")
	add(!s.SnowFormulaUK, "snow (what the site's map says, drifts by EN 1991-1-3)")
	add(s.RoofImposed.Source == r.RoofImposed.Source, "timber (EN 1995-1-1 with its recommended factors)")
	add(!s.Rain.Known, "rain (EN 12056-3's value where no statistics are held)")
	add(s.LeastFall.Source == r.LeastFall.Source, "falls and upstands (practice of flat roofs)")
	add(!s.UNew.Known, "heat loss (no target: give it)")
	return out
}

// borrowed is a sentence on what is not the country's own; empty where all of it is.
func (s Set) borrowed() string {
	of := s.strange()
	if len(of) == 0 {
		return ""
	}
	text := "no rules of its own are held for " + s.Place
	if s.National {
		text = "some rules of its own are held for " + s.Place + ", but none"
	}
	text += " on " + strings.Join(of, "; ")
	if !s.Eurocodes() {
		text += ". The Eurocodes are not the rules there: its own code decides"
	}
	return text
}

// Heading names the rules in a line: the country's own, or that none are held.
func (s Set) Heading() string {
	switch {
	case s.borrowed() == "":
		return s.Name
	case s.National:
		return s.Name + ", where held; see By whose rules is it checked?"
	}
	return s.Place + ": no rules of its own are held; " + s.Name
}

// RulesKey is the key of the check whose rules the others ask by.
const RulesKey = "country.rules"

// Rules says, before all other checks, by whose rules they ask where those are not the country's
// own; ok is false where they are.
func (s Set) Rules() (r check.Result, ok bool) {
	text := s.borrowed()
	if text == "" {
		return r, false
	}
	r = check.Result{Key: RulesKey, Title: "By whose rules is it checked?", Verdict: check.Caution, Finding: text,
		Clause:  working.Source{Title: "rules held here", Standing: working.Derived},
		CallFor: "building control of the place: for its wind, loads, falls and heat loss before anything is ordered"}
	if !s.National {
		r.Verdict = check.Ask
		r.CallFor = "building control, or a structural engineer of the place: which wind, loads, falls and heat loss are asked there?"
	}
	return r, true
}
