package drawing

import (
	"fmt"

	"gelwright/roof"
	"gelwright/settingout"
)

// Sizes of a movement joint, as it is set out.
const (
	jointGapMM    = float64(settingout.JointGapMM)
	jointBattenMM = float64(settingout.JointBattenMM)
	jointHighMM   = float64(settingout.JointHighMM)
)

// beyondJoint draws the deck on both sides of the gap, and returns how far it reaches.
func (d *detail) beyondJoint(job *roof.Job, dk roof.Deck) (far float64) {
	d.deckUpTo(job, dk, 0, "")
	far = 190
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
	return far
}

// raisedJoint is the raised joint between two fields: a batten on either side of a gap
// that goes down to the insulation or the joists, and a cap that slides.
func (d *detail) raisedJoint(job *roof.Job, dk roof.Deck) {
	far := d.beyondJoint(job, dk)
	const f = 20.0
	a, b := -jointBattenMM, jointGapMM+jointBattenMM
	d.cut(rectangle(timber, a, 0, 0, jointHighMM, ""), rectangle(timber, jointGapMM, 0, b, jointHighMM, ""))
	d.laminate(xy(-reachMM, skinMM), xy(a-f, skinMM), xy(a-skinMM, f), xy(a-skinMM, jointHighMM+skinMM), xy(0, jointHighMM+skinMM))
	d.laminate(xy(far, skinMM), xy(b+f, skinMM), xy(b+skinMM, f), xy(b+skinMM, jointHighMM+skinMM), xy(jointGapMM, jointHighMM+skinMM))
	const over = float64(settingout.JointCapOverMM)
	d.line("cap", metalPen, xy(a-over, jointHighMM-18), xy(a-over, jointHighMM+over), xy(b+over, jointHighMM+over), xy(b+over, jointHighMM-18))
	d.noteRight(b+over, jointHighMM-6, "cap, fixed on one side only, so that it slides")
	d.noteRight(b-12, jointHighMM*0.5, fmt.Sprintf("treated battens %.0f × %.0f, one to each field", jointBattenMM, jointHighMM))
	d.noteRight(b+f+8, skinMM, "laminate up and over each batten, not across the gap")
	d.noteRight(jointGapMM/2, -job.Spec.Board.ThicknessMM/2, fmt.Sprintf("gap %.0f, boards parted; the supplier's own joint comes first",
		jointGapMM))
	d.width(jointHighMM+over, 4, 0, jointGapMM)
	d.heightOf(a-skinMM-f, 5, jointHighMM, a)
}

// flushJoint is the joint across the water: the laminate ends on both sides of the gap,
// under a flexible strip that is free over it.
func (d *detail) flushJoint(job *roof.Job, dk roof.Deck) {
	far := d.beyondJoint(job, dk)
	const half, bed = settingout.JointStripMM / 2.0, 2 * skinMM
	mid := jointGapMM / 2
	d.laminate(xy(-reachMM, skinMM), xy(0, skinMM))
	d.laminate(xy(far, skinMM), xy(jointGapMM, skinMM))
	d.line("flexible strip", metalPen, xy(mid-half, bed), xy(-8, bed), xy(mid, bed+8), xy(jointGapMM+8, bed), xy(mid+half, bed))
	d.noteRight(mid, bed+8, "flexible strip, bedded on both sides, free over the gap")
	d.noteRight(jointGapMM+30, skinMM, "laminate ends at the gap on both sides")
	d.noteRight(mid, -job.Spec.Board.ThicknessMM/2,
		fmt.Sprintf("gap %.0f with backing rod, boards parted; the supplier's own joint comes first", jointGapMM))
	d.width(bed+8, 4, 0, jointGapMM)
	d.width(bed+8, 17, mid-half, mid+half)
}
