package document

import (
	"fmt"
	"time"

	"gelwright/cure"
	"gelwright/laying"
)

// lookAfterMonths are when the roof is looked at again, after it was laid: common practice.
const lookAfterMonths = 6

// care is the sheet that the owner keeps: what he has, how to look after it, what spoils it.
func (d *pack) care() {
	d.begin("Care sheet for the owner", "To hand over with the record of the roof. Keep it with the papers of the house.")
	d.facts(d.width())
	for _, s := range []struct {
		head string
		says []string
	}{
		{"What you have", []string{
			d.careRoof(),
			"The top coat comes out glossy and falls to satin within a day or two. That is as it should be; it is not worn off.",
			"For a week or two it may smell a little of resin. It bears rain as soon as the roofer says so, and walking " +
				d.careFoot() + "."}},
		{"Twice a year, in spring and after the leaves have fallen", []string{
			"Clear leaves and moss from the roof, the gutter and every outlet, with a soft brush and your hands. Rinse with water and mild soap. " +
				"No wire brush, no pressure washer held close, no solvent.",
			"Look at the edges, corners, pipes and the join to the wall: cracks, blisters, loose trims, water that stands for days. Photograph " +
				"what you find and send it."}},
		{"On the roof", []string{
			d.careWalk(),
			"It is slippery when wet, frosty or green. Soft soles; nothing dragged, nothing dropped, no furniture on sharp feet: put pads or " +
				"slabs on pads below planters, aerials and ladders.",
			"Snow: leave it, or take a plastic shovel and leave the last of it. No salt, no steel.",
			"No fire, barbecue, hot ash or torch on it."}},
		{"Never", []string{
			"Screw or drill through it: aerials, cables and rails are fixed to the wall, or the roofer seals them.",
			"Patch it with bitumen, mastic or paint: nothing bonds to what is below afterwards. Small damage is abraded and laid over with the " +
				"same resin and mat, and is then as good as new.",
			"Block an outlet or overflow, or lead more water on to it, without asking."}},
	} {
		d.heading(s.head, 9)
		for _, a := range s.says {
			d.bullet("•", a)
		}
	}
	d.heading("To be filled in when it is handed over", 30)
	d.blanks([]string{"Laid on", "top coat on", "handed over on"}, []float64{59, 59, 60})
	d.blanks([]string{"First look at it" + d.careLook()}, []float64{178})
	d.blanks([]string{"Warranty: years", "given by", "ends on"}, []float64{50, 78, 50})
	d.blanks([]string{"Colour and batch of the top coat, for a repair"}, []float64{178})
	d.blanks([]string{"Call in case of damage", "telephone"}, []float64{110, 68})
}

// careRoof says what was laid, in the owner's words.
func (d *pack) careRoof() string {
	mats := len(d.p.Job.Spec.Layers)
	layers := "one layer"
	if mats > 1 {
		layers = fmt.Sprintf("%d layers", mats)
	}
	return fmt.Sprintf("A seamless roof of glass fibre and resin, %s on boards, %s m² in all, with a %s top coat that keeps off sun and "+
		"rain. It needs no coating for many years.", layers, d.num(d.p.Totals.NetM2, 1), d.p.Job.Spec.TopCoat.Colour)
}

// careFoot says when the top coat is first walked on: a day is the least, longer where the plan makes it longer.
func (d *pack) careFoot() string {
	const least = "after a day"
	var longest *laying.WetMark
	for i := range d.p.Wet {
		w := &d.p.Wet[i]
		if !w.Last(d.p.Job.Spec.TopCoat.Coats) {
			continue
		}
		for k := range w.Marks {
			if x := &w.Marks[k]; x.Milestone == cure.Walk.String() && (longest == nil || x.After.HighMin > longest.After.HighMin) {
				longest = x
			}
		}
	}
	if longest == nil || longest.After.HighMin <= 24*60 {
		return least
	}
	return least + " at the earliest: it bears a careful foot " + d.local(laying.LastingRange(longest.After)) +
		" after it is laid, the longer the colder it is"
}

// careWalk says what the roof was made to bear.
func (d *pack) careWalk() string {
	if d.p.Job.Use.Access == "maintenance" {
		return "It was made to be walked on for upkeep only, not as a terrace."
	}
	return "It was made for this use: " + d.p.Job.Use.Access + ". Ask before it is used otherwise, or loaded with a tub, a tank or gravel."
}

// careLook adds the month of the first look, counted from the job's date.
func (d *pack) careLook() string {
	t, err := time.Parse(time.DateOnly, d.p.Job.Date)
	if err != nil {
		return ""
	}
	return fmt.Sprintf(", about %s", t.AddDate(0, lookAfterMonths, 0).Format("January 2006"))
}
