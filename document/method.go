package document

import (
	"fmt"

	"gelwright/plan"
)

// method is numbered steps, one act a step, with its reason, and hold points.
func (d *pack) method() {
	d.follow("Method", "In the order of work. Hold points stop the job until somebody has signed.", leastSectionMM)
	stage := ""
	for _, s := range d.p.Method {
		h := d.stepHeight(s)
		if s.Stage != stage {
			stage = s.Stage
			d.heading(stage, h)
		}
		d.room(h)
		if s.Hold {
			d.holdPoint(s)
		} else {
			d.step(s)
		}
	}
}

const (
	stepIndent = 9.0
	holdPad    = 3.0
)

// stepHeight is the room a step takes, all of it, so that none is parted over pages.
func (d *pack) stepHeight(s plan.Step) float64 {
	if s.Hold {
		d.font(sizeText, true)
		h := lineMM(sizeText) * float64(len(d.wrap(fmt.Sprintf("%d  %s", s.Number, d.local(s.Act)), d.width()-2*holdPad)))
		if s.Record != "" {
			d.font(sizeSmall, false)
			h += lineMM(sizeSmall) * float64(len(d.wrap("Record: "+d.local(s.Record), d.width()-holdPad)))
		}
		return h + 13
	}
	d.font(sizeText, false)
	h := lineMM(sizeText) * float64(len(d.wrap(d.act(s), d.width()-stepIndent)))
	if s.Why != "" {
		d.font(sizeSmall, false)
		h += lineMM(sizeSmall) * float64(len(d.wrap(d.local(s.Why), d.width()-stepIndent)))
	}
	return h + 1
}

func (d *pack) act(s plan.Step) string { return with(d.local(s.Act), d.refs.marks(s.Figures)) }

func (d *pack) step(s plan.Step) {
	h := lineMM(sizeText)
	number, act := d.listed(fmt.Sprint(s.Number), joinNonEmpty("\n", d.act(s), d.local(s.Why)))
	d.font(sizeText, true)
	d.f.In(number, func() { d.text(left, d.y+h*0.78, number.Text) })
	d.f.In(act, func() {
		d.font(sizeText, false)
		for _, l := range d.wrap(d.act(s), d.width()-stepIndent) {
			d.text(left+stepIndent, d.y+h*0.78, l)
			d.y += h
		}
		if s.Why != "" {
			d.f.SetTextColor(70, 70, 70)
			d.write(d.local(s.Why), sizeSmall, false, stepIndent)
			d.f.SetTextColor(0, 0, 0)
		}
	})
	d.gap(1)
}

// holdPoint is a heavy box with a line to sign on.
func (d *pack) holdPoint(s plan.Step) {
	act, record := fmt.Sprintf("%d  %s", s.Number, d.local(s.Act)), ""
	if s.Record != "" {
		record = "Record: " + d.local(s.Record)
	}
	d.f.In(d.listedWhole(joinNonEmpty("\n", act, record, "signed "+toWrite+" date and time "+toWrite)), func() { d.signed(act, record) })
}

// signed draws the box of a hold point.
func (d *pack) signed(act, record string) {
	d.gap(1)
	y := d.y
	d.gap(1.2)
	h := lineMM(sizeText)
	d.font(sizeText, true)
	for _, l := range d.wrap(act, d.width()-2*holdPad) {
		d.text(left+holdPad, d.y+h*0.78, l)
		d.y += h
	}
	if record != "" {
		d.write(record, sizeSmall, false, holdPad)
	}
	d.font(sizeSmall, false)
	d.gap(5)
	d.text(left+holdPad, d.y, "signed")
	d.text(left+95, d.y, "date and time")
	d.line(left+15, d.y+0.6, left+90, d.y+0.6, 0.18)
	d.line(left+117, d.y+0.6, pageWidth-right-4, d.y+0.6, 0.18)
	d.gap(2.6)
	d.f.SetLineWidth(0.6)
	d.f.Rect(left, y, d.width(), d.y-y, "D")
	d.gap(2.4)
}
