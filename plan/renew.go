package plan

import (
	"fmt"
	"math"
	"strings"

	"gelwright/plane"
	"gelwright/roof"
)

// What stays of a roof and what of it is renewed.

// InsulationStays reports whether the roof file's insulation is there already: in a cold
// roof it lies between the joists, and where the deck above it stays - an overlay, or boards
// over a sound deck - none can be put in from above. It counts in the checks of heat and
// damp, is not ordered, and takes no time.
func (p *Plan) InsulationStays() bool { return insulationStays(&p.Job) }

func insulationStays(job *roof.Job) bool {
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

// renewals lists what of a deck that stays is renewed, with what it takes (common practice:
// joists 400 mm apart where nobody has measured them, a tenth of the boards for cutting).
func renewals(d *roof.Deck, b roof.Board) []Renewal {
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
			NogginM: 3 * math.Max(w, h), Screws: int(rows * places(math.Min(w, h), b.EdgeFixMM/1000))})
	}
	return out
}

// renew books the boards, noggins and screws of what is renewed.
func (o *taker) renew(d *TakeOffDeck, prefix, boardKey string) {
	if len(d.Renewals) == 0 {
		return
	}
	screw := o.deckScrew(onJoistsScrew(o.in.Spec.Board))
	for _, r := range d.Renewals {
		o.use(prefix+r.Name, boardKey, "piece", float64(r.Boards))
		o.use(prefix+r.Name, "timber.noggin.100x50", "m", r.NogginM)
		o.use(prefix+r.Name, screw, "piece", float64(r.Screws))
	}
}

// renew writes the steps by which a deck that stays is made sound and dry.
func (w *writer) renew(d *MethodDeck) {
	job := &d.Deck
	for _, r := range d.Renewals {
		w.do(fmt.Sprintf("Deck %s, %s: cut out %.1f × %.1f m around (%.2f, %.2f) back to the middle of sound joists, look at the joists, set noggins under every free edge, and renew it with %s of %g mm level with the old deck; screw at %g mm.", d.Deck.Name, r.Name, r.WideM, r.HighM, r.At.X, r.At.Y, w.in.Spec.Board.Material, w.in.Spec.Board.ThicknessMM, w.in.Spec.Board.EdgeFixMM),
			fmt.Sprintf("%.2f m² are soft; a soft deck holds no screw. Pack or plane to the old deck's thickness.", r.SoftM2))
	}
	if d.structural() != nil || job.Base.Kind != "sound deck" {
		return
	}
	var at []string
	for _, x := range job.Wet() {
		at = append(at, fmt.Sprintf("(%.2f, %.2f) %.0f %%", x.At.X, x.At.Y, x.Pct))
	}
	if len(at) > 0 {
		w.do(fmt.Sprintf("Deck %s: lift the old covering where the deck is wet - %s -, find and stop the leak, dry it to 18 %% or less and measure again; board that does not dry or is soft is renewed like the soft areas, and is not in the order.", d.Deck.Name, strings.Join(at, ", ")),
			"Wet sealed in rots the deck.")
	}
}
