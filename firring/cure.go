package firring

import (
	"fmt"
	"math"

	"gelwright/plane"
	"gelwright/working"
)

// Station is one place along a joist of a deck as found.
type Station struct {
	At plane.Point `json:"at"`
	// FoundMM is the deck as found and FinishedMM as it will be, in the datum of
	// the readings; AddMM what the firring adds.
	FoundMM    float64 `json:"found_mm"`
	FinishedMM float64 `json:"finished_mm"`
	AddMM      float64 `json:"add_mm"`
	// Beyond marks a place outside the readings.
	Beyond bool `json:"beyond,omitempty"`
}

// Scribed is a firring cut to a deck as found: straight above, to the stations below.
type Scribed struct {
	Joist    int
	Stations []Station
}

// Cure is the firrings that bring a deck as found to its design.
type Cure struct {
	Firrings []Scribed
	// LiftMM is the height of the finished deck's lowest point above the readings' datum.
	LiftMM *working.Figure
	// MostMM is the greatest height added.
	MostMM float64
}

// cureLookM is how densely the deck between stations is searched for humps, m.
const cureLookM = 0.05

// CureOf returns, for every joist, the heights to add at stations of at most
// stationM so that the finished deck is the designed surface, which then falls at
// its design ratio everywhere, and no place is lower than leastMM above the deck
// as found, even where readings are low by their tolerance.
func CureOf(l *Levels, s plane.Surface, layout Layout, stationM, leastMM float64) (Cure, error) {
	if !(stationM > 0) || !(leastMM >= 0) || math.IsInf(leastMM, 0) {
		return Cure{}, fmt.Errorf("stations every %g m, least height %g mm: give a positive distance and zero or more", stationM, leastMM)
	}
	lines, err := layout.joists(s.Deck)
	if err != nil {
		return Cure{}, err
	}
	type run struct {
		joist int
		a, b  plane.Point
		f     plane.Facet
	}
	var runs []run
	ground := layout.ground(s)
	lift := math.Inf(-1)
	var hump plane.Point
	for _, j := range lines {
		for _, x := range ground.on(j) {
			if x.t[1]-x.t[0] < leastPieceM {
				continue
			}
			r := run{j.number, x.at(x.t[0]), x.at(x.t[1]), x.facet}
			runs = append(runs, r)
			for _, p := range along(r.a, r.b, cureLookM) {
				found, _ := l.HeightMM(p)
				if up := found - mmPerM*r.f.HeightM(p); up > lift {
					lift, hump = up, p
				}
			}
		}
	}
	if len(runs) == 0 {
		return Cure{}, fmt.Errorf("no joist at %g mm centres meets the deck: check spacing and offset", layout.SpacingMM)
	}
	found := lift
	lift += leastMM + l.ToleranceMM
	source := working.Source{Title: "geometry of the planes", Standing: working.Derived}
	c := Cure{LiftMM: liftOf.Figure("lowest point of the finished deck above the datum of the levels", "mm", source,
		working.Measured("e", fmt.Sprintf("deck as found over the design where most, at (%.2f, %.2f)", hump.X, hump.Y), found, "mm",
			"levels of the deck, by triangles between the readings"),
		working.AssumedFigure("h0", "least firring height", leastMM, "mm", "enough to nail without splitting; no survey gives it"),
		working.Measured("δ", "tolerance of a level", l.ToleranceMM, "mm", "levels of the deck"))}
	for _, r := range runs {
		out := Scribed{Joist: r.joist}
		for _, p := range along(r.a, r.b, stationM) {
			e, within := l.HeightMM(p)
			finished := lift + mmPerM*r.f.HeightM(p)
			out.Stations = append(out.Stations, Station{p, e, finished, finished - e, !within})
			c.MostMM = max(c.MostMM, finished-e)
		}
		c.Firrings = append(c.Firrings, out)
	}
	return c, nil
}

var liftOf = working.MustFormula("c = e + (h0 + δ)")

// along returns places from a to b, both included, at most stepM apart.
func along(a, b plane.Point, stepM float64) []plane.Point {
	n := max(1, int(math.Ceil(a.Distance(b)/stepM-1e-9)))
	out := make([]plane.Point, n+1)
	for k := range out {
		out[k] = a.Add(b.Sub(a).Scale(float64(k) / float64(n)))
	}
	return out
}
