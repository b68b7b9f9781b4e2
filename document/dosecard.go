package document

import (
	"fmt"
	"strings"

	"gelwright/laying"
)

// cardRowMM is a row of the dose card.
const cardRowMM = 6.3

// cardLead stands over the dose card.
const cardLead = "Measure the deck and take its row; measure the resin in its pail too: warmer than the row allows, cool it in the " +
	"shade first. A timed test cup outranks this card."

// cardMM is the room that the dose card takes.
func (d *pack) cardMM() float64 {
	const titleMM, headsMM = 16.5, 16.0
	high := titleMM + headsMM + cardRowMM*float64(len(d.p.DoseCard.Rows))
	d.font(sizeSmall, false)
	high += lineMM(sizeSmall) * float64(len(d.wrap(d.cardWhy(), d.width())))
	for _, n := range d.cardNotes() {
		high += lineMM(sizeSmall) * float64(len(d.wrap(n, d.width())))
	}
	d.font(sizeText, true)
	return high + lineMM(sizeText)*float64(len(d.wrap(cardLead, d.width())))
}

// cardWhy is what the doses of the card are counted in.
func (d *pack) cardWhy() string {
	return d.local(d.p.DoseCard.Convention+" "+d.p.DoseCard.HabitNote) + " " + d.refs.mark("dose.habit")
}

// cardRefusals are the words in place of a dose, by the rows of the card.
func (d *pack) cardRefusals() (lam, coat []string) {
	return refusedRows(d.p.DoseCard.Rows, func(r laying.DoseRow) laying.DoseAnswer { return r.Laminate }),
		refusedRows(d.p.DoseCard.Rows, func(r laying.DoseRow) laying.DoseAnswer { return r.Coat })
}

// refusedRows says of each row without a dose that it is too cold or too hot.
func refusedRows(rows []laying.DoseRow, of func(laying.DoseRow) laying.DoseAnswer) []string {
	out := make([]string, len(rows))
	warm := false
	for i, r := range rows {
		if a := of(r); a.Refused == "" {
			warm = true
		} else if warm {
			out[i] = "too hot"
		} else {
			out[i] = "too cold"
		}
	}
	if !warm {
		for i, r := range rows {
			if !strings.Contains(of(r).Refused, "cold") {
				out[i] = "no dose"
			}
		}
	}
	return out
}

// doseCard is for the day that is not as forecast.
func (d *pack) doseCard() {
	c := d.p.DoseCard
	d.follow("Dose card", d.cardWhy(), d.cardMM())
	d.write(cardLead, sizeText, true, 0)
	d.gap(2)
	lam, coat := d.cardRefusals()
	cells := func(a laying.DoseAnswer, refused, key string) []string {
		if a.Refused != "" {
			return []string{"–", "–", "–", refused}
		}
		return []string{d.num(a.MLPerL, 0), with(d.num(a.GPerKG, 1), d.refs.mark(key+".catalyst_ml")), d.num(a.Pct, 2),
			d.num(a.LowMin, 0) + "–" + d.num(a.HighMin, 0) + "; " + d.num(a.PailC, 0)}
	}
	var rows [][]string
	for i, r := range c.Rows {
		rows = append(rows, append(append([]string{d.num(r.TempC, 1)}, cells(r.Laminate, lam[i], laying.CardKey("laminate", r.TempC))...),
			cells(r.Coat, coat[i], laying.CardKey("coat", r.TempC))...))
	}
	over := []overhead{{1, 5, "Laminating resin" + catalystOf(c.Laminate)}, {5, 9, "Top coat" + catalystOf(c.Coat)}}
	d.table(table{over: over, columns: []column{{head: "deck °C", share: 16, number: true, bold: true, points: 12},
		{head: "ml per litre", share: 18, number: true, bold: true, points: 13}, {head: "g per kg", share: 16, number: true, points: 12},
		{head: "% by mass", share: 15, number: true}, {head: "gels in min; pail at most °C", share: 19, number: true, points: 11},
		{head: "ml per litre", share: 18, number: true, bold: true, points: 13}, {head: "g per kg", share: 16, number: true, points: 12},
		{head: "% by mass", share: 15, number: true}, {head: "gels in min; pail at most °C", share: 19, number: true, points: 11}},
		points: sizeText, leastMM: cardRowMM, airMM: 0.2}, rows)
	for _, n := range d.cardNotes() {
		d.write(n, sizeSmall, false, 0)
	}
}

// catalystOf is the catalyst of what is mixed, after a semicolon: "; slow catalyst".
func catalystOf(mixed string) string {
	if _, catalyst, ok := strings.Cut(mixed, "; "); ok {
		return "; " + catalyst
	}
	return ""
}

// cardNotes say once why there is no dose where the card says too cold or too hot, and what the
// doses rest on.
func (d *pack) cardNotes() []string {
	lam, coat := d.cardRefusals()
	said := map[string]bool{}
	var out []string
	note := func(name, word string, a laying.DoseAnswer) {
		if a.Refused == "" || said[name+word] {
			return
		}
		said[name+word] = true
		out = append(out, fmt.Sprintf("%s, %s: %s.", name, word, d.local(a.Refused)))
	}
	rows := d.p.DoseCard.Rows
	// The warmest of the cold rows and the coldest of the hot ones are the limits.
	for i := len(rows) - 1; i >= 0; i-- {
		if lam[i] == "too cold" {
			note("Laminating resin", lam[i], rows[i].Laminate)
		}
		if coat[i] == "too cold" {
			note("Top coat", coat[i], rows[i].Coat)
		}
	}
	for i := range rows {
		note("Laminating resin", lam[i], rows[i].Laminate)
		note("Top coat", coat[i], rows[i].Coat)
	}
	last := "The resin's data are generic until your supplier's gel points stand in the firm file."
	if len(said) > 0 {
		last = "Too cold: warm resin and deck, or wait. Too hot: shade deck and resin, or begin earlier. " + last
	}
	return append(out, last)
}
