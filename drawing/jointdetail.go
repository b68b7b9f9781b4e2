package drawing

import (
	"fmt"

	"gelwright/roof"
)

// Sizes of a raised movement joint: common practice, no standard gives them.
const (
	jointGapMM    = 10.0
	jointBattenMM = 38.0
	jointHighMM   = 50.0
)

// movementJoint is the raised joint between two fields: a batten on either side of a gap
// that goes down to the insulation or the joists, and a cap that slides.
func (d *detail) movementJoint(job *roof.Job, dk roof.Deck) {
	d.deckUpTo(job, dk, 0, "")
	const far = 190.0
	y := 0.0
	for i, l := range layersOf(job, dk) {
		from := jointGapMM
		if i > 0 {
			from = 0 // only the boards are parted
		}
		o := "r"
		if i > 0 {
			o = "lr"
		}
		if l.thickMM == joistShownMM {
			o += "b"
		}
		d.cut(rectangle(l.stuff, from, y-l.thickMM, far, y, o))
		if l.vcl {
			d.line("vapour control layer", metalPen, xy(0, y+1.5), xy(far, y+1.5))
		}
		y -= l.thickMM
	}
	d.breakLine(xy(far, y), xy(far, 12))
	const f = 20.0
	a, b := -jointBattenMM, jointGapMM+jointBattenMM
	d.cut(rectangle(timber, a, 0, 0, jointHighMM, ""), rectangle(timber, jointGapMM, 0, b, jointHighMM, ""))
	d.laminate(xy(-reachMM, skinMM), xy(a-f, skinMM), xy(a-skinMM, f), xy(a-skinMM, jointHighMM+skinMM), xy(0, jointHighMM+skinMM))
	d.laminate(xy(far, skinMM), xy(b+f, skinMM), xy(b+skinMM, f), xy(b+skinMM, jointHighMM+skinMM), xy(jointGapMM, jointHighMM+skinMM))
	const over = 12.0
	d.line("cap", metalPen, xy(a-over, jointHighMM-18), xy(a-over, jointHighMM+over), xy(b+over, jointHighMM+over), xy(b+over, jointHighMM-18))
	d.noteRight(b+over, jointHighMM-6, "cap, fixed on one side only, so that it slides")
	d.noteRight(b-12, jointHighMM*0.5, fmt.Sprintf("treated battens %.0f × %.0f, one to each field", jointBattenMM, jointHighMM))
	d.noteRight(b+f+8, skinMM, "laminate up and over each batten, not across the gap")
	d.noteRight(jointGapMM/2, -job.Spec.Board.ThicknessMM/2, fmt.Sprintf("gap %.0f, boards parted; the supplier's own joint comes first", jointGapMM))
	d.width(jointHighMM+over, 4, 0, jointGapMM)
	d.heightOf(a-skinMM-f, 5, jointHighMM, a)
}
