package document

import (
	"fmt"
	"math"
	"strings"
	"time"

	"gelwright/check/deck"
	"gelwright/cure"
	"gelwright/laying"
	"gelwright/programme"
	"gelwright/settingout"
)

// matOver is when the mat goes over the bandage of a pass, until when, and what is done later: by the clock of a forecast, as `now` has
// it, after mixing without one. Empty for another pass, and where nothing is known.
func (d *pack) matOver(x *laying.Pass) string {
	if x.Kind != "details" {
		return ""
	}
	if d.p.Ahead != nil {
		if over := d.over(x.Key()); over != nil {
			return capital(d.overWords(over))
		}
		return ""
	}
	// Bandage is of the resin of the mat, and as thick.
	least := math.Inf(1)
	for i := range d.p.Wet {
		if w := &d.p.Wet[i]; w.Kind == "mat" && w.Layer == 1 && w.Deck == x.Deck {
			least = math.Min(least, w.At(cure.OverCoatUntil).LowMin)
		}
	}
	if math.IsInf(least, 1) {
		return ""
	}
	return fmt.Sprintf("Bandage takes the mat when a blade trims it, until %s after its first bucket; later abrade it with 40 grit and wipe.",
		d.local(laying.Lasting(least)))
}

// overWords says from when to when a window is open, and what is done later. Bandage that is laid over two days may be too old in part
// before all of it has gelled.
func (d *pack) overWords(over *programme.Over) string {
	at := func(t time.Time) string { return t.In(d.p.Ahead.Zone).Format("Mon 2 Jan 15:04") }
	from := fmt.Sprintf("begin the mat over it from %s, when all of it has gelled and a blade trims it", at(over.From))
	if over.Until.Before(over.From) {
		return fmt.Sprintf("%s. What was laid first is too old from %s on: abrade it with 40 grit and wipe first, %.0f min for the crew.",
			from, at(over.Until), over.AgainMin)
	}
	return fmt.Sprintf("%s, until %s. Later abrade it all with 40 grit and wipe first: %.0f min for the crew.", from, at(over.Until),
		over.AgainMin)
}

// over is the window of what a pass leaves, as the days have it; nil where they have none.
func (d *pack) over(key string) *programme.Over {
	for _, day := range d.p.Ahead.Days {
		for _, b := range day.Bars {
			if b.Key == key && b.Over != nil {
				return b.Over
			}
		}
	}
	return nil
}

// hard says when each pass bears what comes next, as ranges of time.
func (d *pack) hard() {
	if len(d.p.Wet) == 0 {
		return
	}
	why := "From when the last bucket of each pass is laid, at the temperatures planned for, low to high. Press a thumb and a coin " +
		"before you believe either; the curves are in office.pdf."
	if d.p.Ahead != nil {
		why += " On a deck in the sun it gels sooner than in its pail. Keep it dry until the hour that stands under the range: the latest in " +
			"all courses drawn round the forecast."
	}
	type mark struct {
		m     cure.Milestone
		head  string
		share float64
	}
	marks := []mark{{cure.Walk, "walk on it", 26}, {cure.Sand, "sand it", 24}, {cure.RainSafe, "rain does no harm", 24},
		{cure.OverCoatFrom, "over-coat from", 24}, {cure.OverCoatUntil, "over-coat until; abrade after", 24}}
	if d.p.Ahead != nil {
		marks = append([]mark{{cure.AtGel, "gelled on the deck", 28}}, marks...)
	}
	columns := []column{{head: "pass", share: 22, bold: true}, {head: "last bucket", share: 12}, {head: "deck °C", share: 9, number: true}}
	for _, m := range marks {
		columns = append(columns, column{head: m.head, share: m.share})
	}
	columns = append(columns, column{head: "if left in the bucket", share: 32})
	var rows [][]string
	for i := range d.p.Wet {
		w := &d.p.Wet[i]
		name := passName(laying.Pass{Kind: w.Kind, Layer: w.Layer})
		if len(d.p.Decks) > 1 {
			name += ", deck " + w.Deck
		}
		row := []string{capital(name), fmt.Sprint(w.Bucket), d.num(w.DeckC, 0)}
		for _, m := range marks {
			row = append(row, d.hardCell(w, m.m))
		}
		rows = append(rows,
			append(row, fmt.Sprintf("%s kg: %s–%s °C after %s min", d.num(w.Left.KG, 1), d.num(w.Left.PeakLowC, 0), d.num(w.Left.PeakHighC, 0),
				d.num(w.Left.PeakMin, 0))))
	}
	t := table{columns: columns, leastMM: 7}
	d.follow("Hard when?", why, d.titleMM(why)+t.measure(d.pages, rows[:min(len(rows), fewRows)]))
	d.table(t, rows)
}

// hardCell is when a pass bears something, or why nobody asks.
func (d *pack) hardCell(w *laying.WetPass, m cure.Milestone) string {
	last := w.Last(d.p.Job.Spec.TopCoat.Coats)
	switch {
	case last && m == cure.Sand:
		return "– not sanded" // but to coat it anew
	case last && (m == cure.OverCoatFrom || m == cure.OverCoatUntil):
		return "– nothing over it"
	}
	text := ""
	for _, x := range w.Marks {
		if x.Milestone == m.String() {
			text = with(d.local(laying.LastingRange(x.After)), d.refs.mark(x.Key))
		}
	}
	if m == cure.RainSafe {
		text = joinNonEmpty("\n", text, d.dryUntil(w))
	}
	return text
}

// dryUntil is the hour until which a pass is kept from rain and dew, as `when`, the day sheets and the calendar have it; empty
// without a forecast.
func (d *pack) dryUntil(w *laying.WetPass) string {
	if d.p.Ahead == nil {
		return ""
	}
	var latest time.Time
	key := strings.TrimPrefix(w.Key, "wet.")
	for _, day := range d.p.Ahead.Days {
		for _, b := range day.Bars {
			if (b.Key == key || strings.HasPrefix(b.Key, key+".")) && b.SafeByLate.After(latest) {
				latest = b.SafeByLate
			}
		}
	}
	if latest.IsZero() {
		return ""
	}
	at := latest.In(d.p.Ahead.Zone)
	if at.Format(time.DateOnly) == d.p.Schedule.DateOf(w.Day) {
		return "dry until " + at.Format("15:04")
	}
	return "dry until " + at.Format("Mon 2 Jan 15:04")
}

// fixingRows are the fixings of the boards, a row for each wind zone of each deck.
func (d *pack) fixingRows() [][]string {
	var rows [][]string
	for i := range d.p.Decks {
		k := &d.p.Decks[i]
		count := map[string]settingout.ZoneFixings{}
		for _, z := range k.SetOut.FixingZones {
			count[z.Zone] = z
		}
		for _, z := range k.Zones {
			centres, n, per := "as everywhere", "", ""
			if f, ok := count[z.Zone]; ok {
				n, per = fmt.Sprint(f.Count), d.num(f.PerM2, 1)
				if f.CentresMM > 0 {
					centres = "at most " + d.num(f.CentresMM, 0)
				}
			}
			rows = append(rows, []string{k.Name, z.Zone + " " + z.Words, d.num(z.AreaM2, 2),
				with(d.num(z.NetKPa, 2), d.refs.mark("check.wind."+k.Name+"."+z.Zone)), d.num(z.FastenersPerM2, 1), per, n, centres})
		}
	}
	return rows
}

// heldRows are the fixings, how many joints are proposed, and the room that held takes, mm: none where it
// has nothing to say.
func (d *pack) heldRows() (rows [][]string, joints int, need float64) {
	rows = d.fixingRows()
	for _, k := range d.p.Decks {
		joints += len(k.JointsProposed)
	}
	if len(rows) == 0 && joints == 0 && d.p.Spans == nil {
		return nil, 0, 0
	}
	need = 30 + 5*float64(len(rows)+2*joints)
	if d.p.Spans != nil {
		need += 30 + 5*float64(len(d.p.Spans.Rows))
	}
	return rows, joints, need
}

// heldInFront tells it below the decks on the first page where that has the room: a page of a few
// rows is none.
func (d *pack) heldInFront() {
	const contentsMM = 26.0
	if _, _, need := d.heldRows(); need > 0 && d.y+5+need <= bottom-contentsMM {
		d.held()
	}
}

// held is what holds the deck: fixings by wind zone, movement joints, and how far joists
// of this job's timber may span.
func (d *pack) held() {
	rows, joints, need := d.heldRows()
	if need == 0 || d.heldTold {
		return
	}
	d.heldTold = true
	d.follow("Fixings, joints and spans", "What holds the deck down and up.", need)
	if len(rows) > 0 {
		d.heading("Fixings of the boards by wind zone", 20)
		d.table(table{columns: []column{{head: "deck", share: 20, bold: true}, {head: "zone", share: 22},
			{head: "area m²", share: 16, number: true}, {head: "uplift kN/m²", share: 22, number: true},
			{head: "needed per m²", share: 18, number: true}, {head: "set out per m²", share: 18, number: true},
			{head: "fixings", share: 14, number: true}, {head: "centres, mm", share: 26}}}, rows)
	}
	if joints > 0 {
		d.heading("Movement joints proposed", 12)
		for _, k := range d.p.Decks {
			for _, j := range k.JointsProposed {
				d.bullet("•", fmt.Sprintf("Deck %s: from %s / %s m to %s / %s m; it is on a drawing of its own.", k.Name, d.num(j[0].X, 2),
					d.num(j[0].Y, 2), d.num(j[1].X, 2), d.num(j[1].Y, 2)))
			}
		}
	}
	if s := d.p.Spans; s != nil {
		d.spans(s.SpacingsMM, s.Rows)
	}
}

// spans tabulates how far joists may span.
func (d *pack) spans(spacings []float64, list []deck.SpanRow) {
	s := d.p.Spans
	d.heading("How far joists may span, m", 18+5*float64(len(list)))
	d.write(with(
		fmt.Sprintf(
			"%s timber, clear span in m. Dead load %s kN/m², variable load %s kN/m² or %s kN at a point; by the calculation of the check, for "+
				"this job only. Limits: %s.", s.Class, d.num(s.DeadKPa, 2), d.num(s.LoadKPa, 2), d.num(s.PointKN, 1),
			d.local(strings.Join(s.Limits, "; "))), d.refs.mark("check.deck.joists")),
		sizeSmall, false, 0)
	columns := []column{{head: "joist mm", share: 30, bold: true}}
	for _, c := range spacings {
		columns = append(columns, column{head: "at " + d.num(c, 0), share: 20, number: true})
	}
	columns = append(columns, column{share: 90})
	var rows [][]string
	for _, r := range list {
		row := []string{fmt.Sprintf("%s × %s", d.num(r.WidthMM, 0), d.num(r.DepthMM, 0))}
		for i, v := range r.SpanM {
			row = append(row, with(d.num(v, 2), d.refs.mark(deck.SpanKey(r.WidthMM, r.DepthMM, spacings[i]))))
		}
		rows = append(rows, append(row, ""))
	}
	d.table(table{columns: columns}, rows)
}
