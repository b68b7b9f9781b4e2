package document

import (
	"fmt"
	"strings"

	"gelwright/check/exposure"
	"gelwright/scene/reading"
)

// leastSafetyMM is the room that safety begins in: each of its items keeps together by itself.
const leastSafetyMM = 44

// safety is short, with the act first.
func (d *pack) safety() {
	d.follow("Safety",
		"The supplier's safety data sheets and the law of the place come before this page. Read the sheets of the day's products.",
		leastSafetyMM)
	mark := d.refs.mark
	for _, s := range []struct {
		head string
		acts []string
	}{
		{"Catalyst in the eye", []string{
			"Rinse at once with eyewash or clean water, lids held open, for 15 to 20 minutes; contact lenses out while rinsing. Then hospital, " +
				"with the bottle's label; keep rinsing on the way. " + mark(exposure.RinseKey),
			"Sealed goggles whenever it is poured or measured. Two eyewash bottles at the mixing place, open to hand."}},
		{"Catalyst (organic peroxide)", []string{
			"Never with accelerator, acetone, metal, rust or sawdust. Never back into the bottle. Below 25 °C, in the shade, vented cap, away " +
				"from resin. " + mark(exposure.StoreKey),
			"A spill: soak up with inert absorbent, damp it down, take it out of the building."}},
		{"A hot or smoking bucket", []string{
			"Warm or smoking: leave it, get upwind, keep people off. Still cold: stir it into dry sand or pour it into water, outdoors " +
				"(common practice, no source).",
			"Pour each mix out at once; resin standing deep heats itself."}},
		{"Fire", []string{
			"No smoking, flame, grinder or torch near resin, top coat or acetone. Acetone takes fire far below freezing, styrene vapour from " +
				"about 31 °C. " + mark(exposure.FlashKey),
			"Two extinguishers on the roof (6 kg powder or foam). Rags with resin or catalyst into a lidded metal bin with water, out of the " +
				"building every day. " + mark(exposure.ExtinctKey)}},
		{"Styrene", []string{
			"Work upwind. In bays, wells, courtyards and tents: forced air and masks fitted for organic vapour (A2), with dust (A2P3) when sanding.",
			"Headache or dizziness: off the roof into fresh air, and do not go back that day."}},
		{"Skin and dust", []string{
			"Splashed: clothes off at once, rinse the skin with plenty of water.",
			"Nitrile gloves, long sleeves, barrier cream: change the gloves at once when acetone wets them; butyl gloves for washing tools. Wash " +
				"skin with soap and water, never with acetone. Sand with extraction."}},
		{"Height", []string{
			"Guard rails at every edge, at 950 mm or more with gaps of 470 mm at most " + mark("safety.rail") +
				", ladder tied, fragile rooflights covered and marked, nobody below. Wet resin is slippery. No work in wind " +
				"that lifts mat or boards (8 to 10 m/s). " + mark(exposure.WindKey),
			"Stacked boards over joists near bearings, never in one heap at midspan."}},
		{"Lifting", []string{"A pail is 20 to 25 kg " + mark(exposure.PailKey) + d.boardWords() + ": two people."}},
		{"Waste", []string{
			"Cure leftovers on purpose and throw them away as solid plastic. Liquid resin, acetone, peroxide and their empty packs are hazardous " +
				"waste: keep the notes."}},
	} {
		d.caution(s.head, s.acts)
	}
}

// caution sets what it is about at the side and the acts beside it, all on one page.
func (d *pack) caution(head string, acts []string) {
	const headMM, indent = 36.0, 4.0
	h := lineMM(sizeMethod)
	d.font(sizeMethod, false)
	var all [][]string
	high := 0.0
	for _, a := range acts {
		lines := d.wrap(a, d.width()-headMM-indent)
		all, high = append(all, lines), high+float64(len(lines))*h+0.8
	}
	d.font(sizeMethod, true)
	heads := d.wrap(head, headMM-2)
	high = max(high, float64(len(heads))*h) + 1.6
	d.room(high)
	y := d.y
	label, body := d.listed(head, bulletMark+" "+strings.Join(acts, "\n"+bulletMark+" "))
	d.f.In(label, func() { d.setLines(heads, sizeMethod, true) })
	d.y = y
	d.f.In(body, func() {
		d.font(sizeMethod, false)
		for _, lines := range all {
			d.text(left+headMM, d.y+h*0.78, bulletMark)
			for _, l := range lines {
				d.text(left+headMM+indent, d.y+h*0.78, l)
				d.y += h
			}
			d.gap(0.8)
		}
	})
	d.y = y + high
	d.line(left, d.y, pageWidth-right, d.y, 0.18)
	d.gap(1.2)
}

// boardWords is what a whole board weighs.
func (d *pack) boardWords() string {
	f, ok := d.p.Workings.Find(exposure.BoardKey)
	if !ok {
		return ""
	}
	b := d.p.Job.Spec.Board
	return with(fmt.Sprintf("; a board of %s × %s m, %s mm, about %s kg", d.num(b.LengthM, 2), d.num(b.WidthM, 2), d.num(b.ThicknessMM, 0),
		d.num(f.Value, 0)), d.refs.of(f))
}

// neighbours is the letter to put through doors.
func (d *pack) neighbours() {
	d.begin("Notice to neighbours", "To give 48 hours ahead to everyone who will smell it.")
	firm := d.p.Job.PreparedBy
	if firm == "" {
		firm = "the roofing firm"
	}
	place := d.p.Job.Site.Name
	if place == "" {
		place = "the address above"
	}
	for _, para := range exposure.Notice(firm, place, "__________", "__________", "", d.p.StyreneLongPPM) {
		d.write(para, sizeText+1.5, false, 0)
		d.gap(2)
	}
	d.gap(4)
	d.blanks([]string{"Questions to", "telephone"}, []float64{100, 78})
	if n := d.p.Job.Site.Neighbours; len(n) > 0 {
		d.heading("To be given to", 12)
		for _, x := range n {
			d.item(x, "given on ____________  by ____________")
		}
	}
}

// blanks sets words each with a line to write on; the widths share out the page's.
func (d *pack) blanks(words []string, mm []float64) {
	d.room(9)
	d.y += 8
	d.as(reading.Paragraph, strings.Join(words, " "+toWrite+" ")+" "+toWrite, func() {
		x := left
		for i, w := range words {
			d.font(sizeText, false)
			d.text(x, d.y, w)
			d.line(x+d.f.GetStringWidth(d.set(w))+1.5, d.y+0.6, x+mm[i]-3, d.y+0.6, 0.18)
			x += mm[i]
		}
	})
	d.y += 1.5
}

// records are blank sheets to fill in on the roof.
func (d *pack) records() {
	d.begin("Site record of the day", "Copy it: one sheet a day. What is written here proves the roof.")
	blank := func(n, columns int) [][]string {
		rows := make([][]string, n)
		for i := range rows {
			rows[i] = make([]string, columns)
		}
		return rows
	}
	d.blanks([]string{"Date", "Crew", "Day no."}, []float64{45, 103, 30})
	d.blanks([]string{"Batch: resin", "top coat", "catalyst", "mat"}, []float64{54, 44, 44, 36})
	d.heading("Weather and deck, every hour while resin is wet", 20)
	table{columns: []column{{head: "time", share: 10}, {head: "air °C", share: 10}, {head: "deck °C", share: 10},
		{head: "resin °C", share: 10}, {head: "humidity %", share: 10}, {head: "dew point °C", share: 11},
		{head: "deck − dew K (≥ 3)", share: 14}, {head: "wind m/s", share: 10}, {head: "rain", share: 8}, {head: "by", share: 12}},
		leastMM: 7, boxed: true}.draw(d.pages, blank(8, 10))
	d.heading("Moisture of the deck, % (18 or less)", 20)
	table{columns: []column{{head: "place", share: 10}, {head: "%", share: 8}, {head: "place", share: 10}, {head: "%", share: 8},
		{head: "place", share: 10}, {head: "%", share: 8}, {head: "place", share: 10}, {head: "%", share: 8}}, leastMM: 7,
		boxed: true}.draw(d.pages, blank(3, 8))
	d.heading("Hold points, by the steps of the method", 20)
	var holds [][]string
	for _, step := range d.p.Method {
		if step.Hold {
			holds = append(holds, []string{fmt.Sprint(step.Number), d.local(step.Act), "", "", ""})
		}
	}
	table{columns: []column{{head: "step", share: 8, bold: true}, {head: "hold point", share: 66}, {head: "time", share: 14},
		{head: "signed", share: 24}, {head: "remarks, photographs", share: 30}}, leastMM: 7, boxed: true}.draw(d.pages, holds)
	d.heading("Cups, and buckets mixed again; the others are written into their row of the bucket table", 20)
	table{columns: []column{{head: "no.", share: 8}, {head: "mixed at", share: 12}, {head: "resin kg", share: 11},
		{head: "catalyst ml or g", share: 13}, {head: "air / deck / resin °C", share: 20}, {head: "covers", share: 22},
		{head: "laid by", share: 11}, {head: "gelled at", share: 11}, {head: "hard at", share: 11}, {head: "by", share: 9}}, leastMM: 7,
		boxed: true}.draw(d.pages, blank(againLines, 10))
}

// againLines are for test cups and what is mixed again on one day.
const againLines = 5
