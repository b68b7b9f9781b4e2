package framing

import (
	"fmt"
	"math"

	"gelwright/plane"
	"gelwright/roof"
)

// What stays of a roof and what of it is renewed.

func InsulationStays(job *roof.Job) bool {
	if job.Spec.Insulation == nil || job.Spec.Build != "cold" || job.Work.Kind == "new" {
		return false
	}
	if job.Work.Kind == "overlay" {
		return true
	}
	for _, d := range job.Decks {
		if d.Base.Kind == "joists" {
			return false
		}
	}
	return true
}

// Renewal is a soft place of an old deck that is cut out and boarded anew.
type Renewal struct {
	Name string `json:"name"`
	// SoftM2 is what the survey found soft, CutM2 what is cut out: its rectangle, half a
	// joist bay more on every side, so that the cut ends on joists.
	SoftM2  float64     `json:"soft_m2"`
	CutM2   float64     `json:"cut_m2"`
	At      plane.Point `json:"at"` // its middle
	WideM   float64     `json:"wide_m"`
	HighM   float64     `json:"high_m"`
	Boards  int         `json:"boards"`
	NogginM float64     `json:"noggin_m"`
	Screws  int         `json:"screws"`
}

// Renewals lists what of a deck that stays is renewed, with what it takes (common practice:
// joists 400 mm apart where nobody has measured them, a tenth of the boards for cutting).
func Renewals(d *roof.Deck, b roof.Board) []Renewal {
	if d.Base.Kind != "sound deck" {
		return nil // boarded anew all over
	}
	bay := d.Base.JoistSpacingMM / 1000
	if bay <= 0 {
		bay = screwLineM
	}
	var out []Renewal
	for k, soft := range d.SoftAreas {
		low, high := soft.Bounds()
		w, h := high.X-low.X+bay, high.Y-low.Y+bay
		cut := w * h
		rows := math.Ceil(math.Max(w, h)/bay-1e-9) + 1
		out = append(out, Renewal{Name: fmt.Sprintf("soft area %d", k+1), SoftM2: soft.Area(), CutM2: cut, WideM: w, HighM: h,
			At:     plane.Point{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2},
			Boards: int(math.Ceil(1.1*cut/(b.LengthM*b.WidthM) - 1e-9)),
			// Both edges that run across the joists, and a joint between two pieces, lie on noggins.
			NogginM: 3 * math.Max(w, h), Screws: int(rows * Places(math.Min(w, h), b.EdgeFixMM/1000))})
	}
	return out
}
