package plan

import (
	"slices"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/laying"
	"gelwright/method"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/settingout"
	"gelwright/working"
)

// netM2 is the net area of the roof.
func (made *roofMade) netM2() float64 {
	sum := 0.0
	for i := range made.decks {
		sum += made.decks[i].geometry.Value.NetM2
	}
	return sum
}

// screwsPerM2 is how many screws hold the upper boards on a square metre of the whole roof.
func (made *roofMade) screwsPerM2() float64 {
	count, area := 0, made.netM2()
	for i := range made.decks {
		for _, f := range made.decks[i].framing.Value.Upper.Fixings {
			count += f.Edge + f.Field
		}
	}
	if area == 0 {
		return 0
	}
	return float64(count) / area
}

// neededPerM2 is how many fasteners the uplift asks for on a square metre, on the mean of all zones.
func (made *roofMade) neededPerM2() float64 {
	count, area := 0.0, 0.0
	for i := range made.decks {
		for _, z := range made.decks[i].checks.Value.Zones {
			count, area = count+z.FastenersPerM2*z.AreaM2, area+z.AreaM2
		}
	}
	if area == 0 {
		return 0
	}
	return count / area
}

var netOfDecks = working.MustFormula("A = Σ A")

// assemble puts what the steps have made into the plan. Figures go to the ledger in the order
// of the steps: the first under a key stays.
func (s *survey) assemble(made *roofMade) *Plan {
	p := &Plan{Version: Version, Job: s.job, Workings: &working.Ledger{}, Set: s.set, Country: s.set.Heading(),
		StyreneLongPPM: s.set.StyreneLong.Value}
	_, p.CountryCautions = country.For(s.job.Site.Country)
	note := func(n *check.Notes) {
		for _, f := range n.Figures {
			p.Workings.Add(f)
		}
		p.Checks = append(p.Checks, n.Checks...)
	}
	note(&made.rulesOf.Value) // by whose rules, before anything is asked by them
	var areas []*working.Figure
	for i := range made.decks {
		m := &made.decks[i]
		p.Decks = append(p.Decks, m.deck(s.job.Decks[i].Name, &made.waters.Value.Decks[i]))
		note(&m.geometry.Value.Notes)
		areas = append(areas, m.geometry.Value.NetArea)
	}
	p.Totals.NetM2 = made.netM2()
	p.Workings.Add(netOfDecks.Figure("net area of the roof", "m²", runoff.Derived, areas...).Keyed("roof.net"))
	for i := range made.decks {
		note(&made.decks[i].falls.Value.Notes)
	}
	for i := range made.decks {
		m := &made.decks[i]
		if under := m.setOut.Value.Structural; under != nil {
			note(&check.Notes{Figures: under.Figures})
		}
		note(&m.fields.Value.Notes)
		note(&m.wetWork.Value.Notes)
		note(&check.Notes{Figures: m.framing.Value.Upper.Figures})
		p.Totals.count(m)
	}
	for i := range made.decks {
		note(&made.decks[i].laminate.Value.Notes)
	}
	note(&s.picks)
	wet := &made.buckets.Value
	p.Schedule = wet.Schedule
	p.Passes, p.Wet, p.DoseCard, p.Order.Schedule = wet.Passes, laying.Weighed(made.hardening.Value.Wet, made.doses.Value),
		made.doseCard.Value.Card, made.order.Value.Schedule
	p.Totals.ResinKG, p.Totals.CoatKG, p.Totals.CatalystG, p.Totals.Buckets = wet.ResinKG, wet.CoatKG, wet.CatalystG, wet.Buckets
	for _, n := range []*check.Notes{&wet.Notes, &made.doseCard.Value.Notes, &made.order.Value.Notes, &made.overlay.Value} {
		note(n)
	}
	for i := range made.decks {
		m := &made.decks[i]
		note(&m.checks.Value.Notes)
		note(&m.damp.Value)
		if p.Spans == nil {
			p.Spans = m.checks.Value.Spans
		}
	}
	for _, n := range []*check.Notes{&made.heat.Value, &made.exposure.Value, &made.rules.Value, &made.hardening.Value.Notes,
		&made.days.Value.Notes} {
		note(n)
	}
	for i := range made.decks {
		note(&made.decks[i].proof.Value)
	}
	note(&made.wayOut.Value)
	p.Checks = append(p.Checks, unworked(p.Workings)...)
	// Behind the rules that hold a test cup is asked for before all else: every dose rests on it.
	slices.SortStableFunc(p.Checks, func(a, b check.Result) int { return askedFirst(a) - askedFirst(b) })
	p.Method = methodOf(made.method.Value, p.Workings)
	p.Findings = roof.Findings(p.Job)
	return p
}

// askedFirst is the order of what stands before all other checks.
func askedFirst(r check.Result) int {
	switch r.Key {
	case country.RulesKey:
		return 0
	case laying.CupKey:
		return 1
	}
	return 2
}

// unworked is a failed check for every figure that its formula and inputs do not make: a
// mistake of the program, told on the plan it spoils.
func unworked(l *working.Ledger) []check.Result {
	var out []check.Result
	for _, fault := range l.Faults() {
		out = append(out, check.Result{Key: "plan.workings", Title: "Does every figure follow from its inputs?", Verdict: check.Fail,
			Utilisation: 2,
			Clause:      working.Source{Title: "a figure is made by its printed formula from the inputs shown", Standing: working.Derived},
			Finding:     fault.Error(),
			Remedies: []check.Remedy{{Text: "a fault of the program: do not rely on this figure or on what follows from it, and report it " +
				"with the roof file"}}})
	}
	return out
}

// methodOf keeps of the figures that the steps name those that were worked out.
func methodOf(all []method.Step, l *working.Ledger) []method.Step {
	out := make([]method.Step, len(all))
	for i, x := range all {
		var known []string
		for _, k := range x.Figures {
			if _, ok := l.Find(k); ok {
				known = append(known, k)
			}
		}
		x.Figures = known
		out[i] = x
	}
	return out
}

// deck puts together what the steps have made of one deck.
func (m *deckMade) deck(name string, w *runoff.DeckWaters) Deck {
	g, falls, lam, c := &m.geometry.Value, &m.falls.Value, &m.laminate.Value, &m.checks.Value
	d := Deck{Name: name, GrossM2: g.GrossM2, OpeningsM2: g.OpeningsM2, NetM2: g.NetM2, SlopeM2: g.SlopeM2, FieldM2: m.fields.Value.FieldM2,
		UpstandM2: m.fields.Value.UpstandM2,
		EdgeM:     g.EdgeM, EdgeByCondition: g.EdgeByCondition, Corners: g.Corners, CornerHeightMM: g.CornerHeightMM, HighestMM: g.HighestMM,
		LeastFall:  g.LeastFall,
		LaminateMM: lam.LaminateMM, GlassPct: lam.GlassPct, ResinKGPerM2: lam.ResinKGPerM2, CoatM2: lam.CoatM2,
		CutInM2: m.wetWork.Value.CutInM2,
		SetOut:  m.framing.Value.Upper, Given: m.setOut.Value.Given, Structural: m.setOut.Value.Structural,
		Surface: g.Surface, Net: g.Net, Fields: m.fields.Value.Fields, Zones: c.Zones,
		Firrings: falls.Firrings, Tapered: falls.Tapered, Levels: falls.Levels, HeightStepM: falls.HeightStepM, Heights: falls.Heights,
		OutletHeights: falls.OutletHeights, LowPointFault: falls.LowPointFault,
		Waters: w.Waters, Pools: w.Pools, Drains: w.Drains, Blocked: c.Blocked, JointsProposed: c.JointsProposed, Renewals: m.renewals}
	if len(w.Pools) == 0 {
		// All water runs off: the lowest corner lies on a level line that leads to a drain.
		d.LowPointFault = ""
	}
	return d
}

// count adds what was set out on a deck.
func (t *Totals) count(m *deckMade) {
	if under := m.setOut.Value.Structural; under != nil {
		for _, mat := range under.Materials {
			t.Boards += mat.Items
		}
	}
	s := &m.framing.Value.Upper
	for _, mat := range s.Materials {
		switch mat.Kind {
		case settingout.Board:
			t.Boards += mat.Items
		case settingout.Mat:
			t.MatM2 += mat.Bought
		}
	}
	for _, p := range s.Pieces {
		switch p.Kind {
		case settingout.Trim:
			if !p.MovementJoint() {
				t.TrimM += float64(p.LengthMM) / 1000
			}
		case settingout.Bandage:
			t.BandageM += float64(p.LengthMM) / 1000
		}
	}
}
