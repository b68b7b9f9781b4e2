package document

import (
	"fmt"
	"strings"

	"gelwright/method"
)

// method is numbered steps, one act a step, with its reason, and hold points.
func (d *pack) method() {
	d.follow("Method", "In the order of work. Hold points, in a frame, stop the job until somebody has signed the record.", leastMethodMM)
	stage := ""
	for _, s := range d.p.Method {
		h := d.stepHeight(s)
		if s.Stage != stage {
			stage = s.Stage
			d.room(stageMM + h)
			d.gap(2)
			d.write(stage, sizeMethod+1, true, 0)
			d.gap(0.6)
		}
		d.room(h)
		if s.Hold {
			d.holdPoint(s)
		} else {
			d.step(s)
		}
	}
}

// stageMM is the heading of a stage; leastMethodMM is the room in which the method is begun.
const stageMM, leastMethodMM = 7.5, 50.0

// sizeMethod is the type of method and safety: read once, and again where it is asked for.
const sizeMethod = 8.7

const (
	stepGapMM  = 0.6 // below a step
	stepIndent = 9.0
	holdPad    = 3.0
)

// stepHeight is the room a step takes, all of it, so that none is parted over pages.
func (d *pack) stepHeight(s method.Step) float64 {
	if s.Hold {
		lines, record := d.holdLines(s)
		return float64(len(lines))*lineMM(sizeMethod) + float64(len(record))*lineMM(sizeSmall) + holdFrameMM
	}
	acts, why := d.stepLines(s)
	return float64(len(acts))*lineMM(sizeMethod) + float64(len(why))*lineMM(sizeSmall) + stepGapMM
}

func (d *pack) act(s method.Step) string { return with(d.local(s.Act), d.refs.marks(s.Figures)) }

// stepLines wraps a step: its act, and what of its reason does not fit behind the act.
func (d *pack) stepLines(s method.Step) (acts, why []string) {
	d.font(sizeMethod, false)
	acts = d.wrap(d.act(s), d.width()-stepIndent)
	_, _, why = d.behind(s, acts)
	return acts, why
}

// leastBehind is how many words of a reason stand behind its act at least; it begins below it where there is room for fewer.
const leastBehind = 3

// behind is where the reason of a step begins in the last line of its act, mm from the step's indent, what of it stands there,
// and the lines below.
func (d *pack) behind(s method.Step, acts []string) (at float64, first string, rest []string) {
	const apartMM = 3.0
	if s.Why == "" {
		return 0, "", nil
	}
	wide := d.width() - stepIndent
	d.font(sizeMethod, false)
	at = d.f.GetStringWidth(d.set(acts[len(acts)-1])) + apartMM
	d.font(sizeSmall, false)
	words := d.words(d.set(d.local(s.Why)))
	n := len(words)
	for n > 0 && at+d.f.GetStringWidth(strings.Join(words[:n], " ")) > wide {
		n--
	}
	if n < min(leastBehind, len(words)) {
		n = 0
	}
	if n < len(words) {
		d.in.Made(strings.Join(words[n:], " "))
		rest = d.wrap(strings.Join(words[n:], " "), wide)
	}
	d.in.Made(strings.Join(words[:n], " "))
	return at, strings.Join(words[:n], " "), rest
}

func (d *pack) step(s method.Step) {
	h := lineMM(sizeMethod)
	acts, why := d.stepLines(s)
	number, act := d.listed(fmt.Sprint(s.Number), joinNonEmpty("\n", d.act(s), d.local(s.Why)))
	d.font(sizeMethod, true)
	d.f.In(number, func() { d.text(left, d.y+h*0.78, number.Text) })
	d.f.In(act, func() {
		d.font(sizeMethod, false)
		for _, l := range acts {
			d.text(left+stepIndent, d.y+h*0.78, l)
			d.y += h
		}
		d.f.SetTextColor(70, 70, 70)
		if at, first, _ := d.behind(s, acts); first != "" {
			d.font(sizeSmall, false)
			d.text(left+stepIndent+at, d.y-h*0.22, first)
		}
		d.font(sizeSmall, false)
		for _, l := range why {
			d.text(left+stepIndent, d.y+lineMM(sizeSmall)*0.78, l)
			d.y += lineMM(sizeSmall)
		}
		d.f.SetTextColor(0, 0, 0)
	})
	d.gap(stepGapMM)
}

// holdFrameMM is what the frame of a hold point takes above and below its words.
const holdFrameMM = 5.5

// holdWords are what holds, and what is written into the record.
func (d *pack) holdWords(s method.Step) (act, record string) {
	record = "Sign it in the record."
	if s.Record != "" {
		record = "Sign it in the record, with: " + d.local(s.Record) + "."
	}
	return fmt.Sprintf("%d  %s", s.Number, d.local(s.Act)), record
}

// holdLines wraps the words of a hold point.
func (d *pack) holdLines(s method.Step) (lines, record []string) {
	act, words := d.holdWords(s)
	d.font(sizeMethod, true)
	lines = d.wrap(act, d.width()-2*holdPad)
	d.font(sizeSmall, false)
	return lines, d.wrap(words, d.width()-2*holdPad)
}

// holdPoint is a heavy box; it is signed in the record, where its time stands too.
func (d *pack) holdPoint(s method.Step) {
	d.gap(0.8)
	y := d.y
	d.gap(1)
	lines, record := d.holdLines(s)
	act, words := d.holdWords(s)
	d.f.In(d.listedWhole(joinNonEmpty("\n", act, words)), func() {
		for i, l := range append(lines, record...) {
			points := sizeMethod
			if i >= len(lines) {
				points = sizeSmall
			}
			d.font(points, i < len(lines))
			d.text(left+holdPad, d.y+lineMM(points)*0.78, l)
			d.y += lineMM(points)
		}
	})
	d.gap(1.2)
	d.f.SetLineWidth(0.6)
	d.f.Rect(left, y, d.width(), d.y-y, "D")
	d.gap(2)
}
