package weather

import (
	"math"

	"gelwright/elementary"
	"gelwright/working"
)

// Boards are bare roof boards in the open: what rain they take up and how they dry. The
// values are assumed for wood-based boards of about 600 kg/m³; the time they give is held
// against common practice, one to three drying days after a soaking.
type Boards struct {
	// StartPct is the moisture they are laid with, % of dry mass.
	StartPct float64
	// OuterKGPerM2 is the dry mass of the outer part that resin and a pin meter meet, kg/m²:
	// 6 mm of 600 kg/m³.
	OuterKGPerM2 float64
	// UptakeKGPerM2 is what a wet face takes up in an hour, growing with the root of time,
	// kg/m² (0.003 kg/(m²·√s), of the size of published water absorption coefficients of
	// plywood and oriented strand board, from memory).
	UptakeKGPerM2 float64
	// FilmKGPerM2 is the water that stays on the face, kg/m²; more runs off.
	FilmKGPerM2 float64
	// DryPerKPaH is the share of the water inside, as an exponent, that leaves in an hour
	// for each kPa by which the vapour pressure at the face is above the air's.
	DryPerKPaH float64
}

// BareBoards are the usual boards.
func BareBoards() Boards {
	return Boards{StartPct: 12, OuterKGPerM2: 3.6, UptakeKGPerM2: 0.18, FilmKGPerM2: 0.3, DryPerKPaH: 0.07}
}

// BoardsSpread is the standard deviation of the logarithm of how fast boards dry, and 0.6
// of it that of what they take up (assumed: no two boards are alike, nor is sun and air on
// them).
const BoardsSpread = 0.5

// MoistureLimit is the moisture of boards above which nothing is laminated, %.
func MoistureLimit() *working.Figure {
	return habit("", "highest moisture of the boards", 18, "%")
}

// longestWet is how many quarters rain on boards is followed: five days.
const longestWet = 5 * 96

// Damp is for every moment what keeps bare boards from being laminated.
type Damp struct {
	// Since is the index of the latest moment of rain that still counts: boards laid dry
	// before it and bare since are too wet now; −1 for none.
	Since []int32
	// Pct is about the moisture of boards that had all the rain followed, %.
	Pct []float32
}

// Damp follows bare boards through moments by the quarter hour. luck is their place in a
// standard normal distribution: above 0 they dry faster and drink less.
func (b Boards) Damp(m []Moment, limitPct, luck float64, site Site) Damp {
	d := Damp{make([]int32, len(m)), make([]float32, len(m))}
	for i := range d.Since {
		d.Since[i], d.Pct[i] = -1, float32(b.StartPct)
	}
	wet := false
	for i := range m {
		wet = wet || m[i].RainMMPerH > 0
	}
	if !wet {
		return d
	}
	uptake := b.UptakeKGPerM2 * elementary.Exp(-0.6*BoardsSpread*luck)
	w := wetting{b: b, limit: (limitPct - b.StartPct) / 100 * b.OuterKGPerM2, root: uptake * uptake / 4, leaves: make([]float64, len(m)),
		dries: make([]float64, len(m))}
	rate := b.DryPerKPaH * elementary.Exp(BoardsSpread*luck) / 4
	for i := range m {
		kPa := max(0, SaturationHPa(m[i].SurfaceC)-SaturationHPa(m[i].DewPointC)) / 10
		w.leaves[i] = FilmLeavesKGPerM2H(kPa, m[i].WindMS*site.windFactor(), m[i].AirC) / 4
		w.dries[i] = elementary.Exp(-rate * kPa)
	}
	for r := range m {
		// Spells are followed from their first quarter, long ones from each hour.
		if m[r].RainMMPerH > 0 && (r == 0 || m[r-1].RainMMPerH == 0 || r%4 == 0) {
			w.follow(m, r, &d)
		}
	}
	return d
}

// FilmLeavesKGPerM2H is how fast a film of water evaporates where the vapour pressure at it
// is so many kPa above that of the air, kg/(m²·h): mass is carried as heat is (Lewis).
func FilmLeavesKGPerM2H(kPa, windMS, airC float64) float64 {
	const airJPerM3K, vapourJPerKgK = 1200, 461.5
	return 3600 * ConvectionWPerM2K(windMS) / airJPerM3K * kPa * 1000 / (vapourJPerKgK * (airC + zeroC))
}

// wetting is boards followed from one rain on.
type wetting struct {
	b     Boards
	limit float64 // kg/m² of water inside that is too much
	root  float64 // uptake² in a quarter hour, (kg/m²)²
	// by moment: what leaves a wet face, and the share of the water inside that stays
	leaves, dries []float64
}

// follow wets boards that are dry at r and marks every moment at which they are too wet.
func (w *wetting) follow(m []Moment, r int, d *Damp) {
	inside, film := 0.0, 0.0
	for i := r; i < len(m) && i < r+longestWet; i++ {
		if film > 0.02 || inside > w.limit {
			d.Since[i] = int32(r)
			pct := w.b.StartPct + 100*inside/w.b.OuterKGPerM2
			d.Pct[i] = float32(max(float64(d.Pct[i]), pct))
		}
		film += m[i].RainMMPerH / 4
		if film == 0 {
			inside *= w.dries[i]
			if inside < 0.01 {
				return
			}
			continue
		}
		drunk := min(film, math.Sqrt(inside*inside+w.root)-inside)
		inside += drunk
		film = max(0, min(film-drunk, w.b.FilmKGPerM2)-w.leaves[i])
	}
}
