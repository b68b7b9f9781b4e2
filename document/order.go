package document

import (
	"fmt"
	"slices"
	"strings"

	"gelwright/material"
	"gelwright/quantity"
)

// leastListMM is the room in which a list of a book begins below what is there.
const leastListMM = 90

// orderList is the schedule of quantities and what to order.
func (d *pack) orderList() {
	s := d.p.Order.Schedule
	if s == nil {
		return
	}
	d.follow("Schedule of quantities and order list",
		"Net is what the numbered pieces and buckets take, gross adds the waste allowance, the order is rounded up to packs. Tick what is on "+
			"the van.", leastListMM)
	if d.p.RefusedOverlay() != nil {
		d.write("ORDER NOTHING YET: the overlay is refused. This list is what it would take if somebody decides otherwise in writing.",
			sizeSub, true, 0)
		d.gap(1)
	}
	t, rows := d.orderTable(s)
	d.table(t, rows)
	d.orderTotals(s)
}

// orderTable is the lines of the schedule, with a column for the cost where any has a price.
func (d *pack) orderTable(s *quantity.Schedule) (table, [][]string) {
	priced := somePriced(s)
	t := table{columns: []column{{share: 5, tick: true}, {head: "material", share: 52}, {head: "order", share: 38, bold: true},
		{head: "unit", share: 10}, {head: "net", share: 14, number: true}, {head: "waste %", share: 10, number: true},
		{head: "gross", share: 18, number: true}}, points: sizeTiny + 0.7, leastMM: 5.2}
	if priced {
		t.columns = append(t.columns, column{head: "cost", share: 15, number: true})
	}
	t.columns = append(t.columns, column{head: "for", share: 34})
	kind := ""
	var rows [][]string
	for _, l := range s.Lines {
		if string(l.Kind) != kind {
			kind = string(l.Kind)
			rows = append(rows, []string{acrossRow + capital(kind)})
		}
		waste := ""
		if l.WastePct > 0 {
			waste = d.num(l.WastePct, 0)
		}
		row := []string{"", d.local(l.Description), d.orderWords(l), l.Unit, d.count(l.Net), waste, with(d.count(l.Gross), d.refs.mark(l.Key))}
		if priced {
			cost := ""
			if l.Priced {
				cost = d.num(float64(l.CostMinor)/100, 2)
			}
			row = append(row, cost)
		}
		rows = append(rows, append(row, d.purpose(l)))
	}
	return t, rows
}

func somePriced(s *quantity.Schedule) bool {
	return slices.ContainsFunc(s.Lines, func(l quantity.Line) bool { return l.Priced })
}

// purpose is what a line is for; of a catalyst, what of it no bucket takes.
func (d *pack) purpose(l quantity.Line) string {
	if in := d.inBuckets(l.MaterialKey); l.Kind == material.KindCatalyst && l.Net > in+1e-9 {
		return fmt.Sprintf("%s %s in the buckets, %s %s in reserve for a colder day or a spill", d.num(in, 2), l.Unit, d.num(l.Net-in, 2),
			l.Unit)
	}
	return forWords(l.Pieces)
}

// orderTotals are cost and mass of the order, and what is to be known of it.
func (d *pack) orderTotals(s *quantity.Schedule) {
	if somePriced(s) {
		d.write(fmt.Sprintf("Priced lines together: %s.", d.num(float64(s.CostMinor)/100, 2)), sizeSub, true, 0)
		if len(s.Unpriced) > 0 {
			d.write(fmt.Sprintf("Without a price: %d lines.", len(s.Unpriced)), sizeSmall, false, 0)
		}
	}
	if s.MassKG > 0 {
		d.write(fmt.Sprintf("Together about %s kg to load, as far as masses are known.", d.num(s.MassKG, 0)), sizeSmall, false, 0)
	}
	for _, n := range s.Notes {
		mark := ""
		if strings.Contains(n, "points") {
			mark = d.refs.mark("quantity.carriage_points")
		}
		d.write(with(d.local(capital(n))+".", mark), sizeSmall, false, 0)
	}
}

// orderWords says the packs one under another: "1 × 20 kg pail".
func (d *pack) orderWords(l quantity.Line) string {
	return strings.ReplaceAll(d.local(l.OrderText()), " + ", "\n+ ")
}

// forWords names the pieces a line is for, shortened.
func forWords(pieces []string) string {
	text := runs(pieces)
	if strings.HasPrefix(text, "mix ") {
		text = "buckets " + strings.ReplaceAll(text, "mix ", "")
	}
	return atMost(text, 60, len(pieces))
}

// inBuckets is what the buckets take of a catalyst, kg.
func (d *pack) inBuckets(catalyst string) float64 {
	sum, spec := 0.0, &d.p.Job.Spec
	for _, x := range d.p.Passes {
		key := spec.Catalyst
		if x.Coat() {
			key = spec.CoatCatalyst
		}
		if x.Plan == nil || key != catalyst {
			continue
		}
		for _, m := range x.Plan.Mixes {
			sum += m.CatalystG / 1000
		}
	}
	return sum
}
