package plan

import (
	"cmp"
	"context"
	"fmt"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/check/exposure"
	"gelwright/checking"
	"gelwright/cure"
	"gelwright/framing"
	"gelwright/laying"
	"gelwright/material"
	"gelwright/method"
	"gelwright/quantity/takeoff"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/steps"
	"gelwright/weather"
)

// Names of the steps, as progress and errors tell them.
const (
	stepGeometry  = "geometry"
	stepFalls     = "falls"
	stepSetOut    = "set-out and cutting"
	stepFields    = "fields"
	stepFraming   = "framing"
	stepLaminate  = "laminate"
	stepTakeOff   = "take-off"
	stepWetWork   = "wet work"
	stepDays      = "the day"
	stepPick      = "resin and catalyst"
	stepBuckets   = "buckets"
	stepHardening = "hardening"
	stepDoses     = "doses"
	stepDoseCard  = "dose card"
	stepOrder     = "quantities"
	stepWaters    = "waters"
	stepChecks    = "design checks"
	stepDamp      = "damp"
	stepHeat      = "heat"
	stepExposure  = "exposure"
	stepCountry   = "country"
	stepOverlay   = "overlay"
	stepRules     = "rules"
	stepProof     = "proof"
	stepWayOut    = "way out"
	stepMethod    = "method"
)

// survey is what was asked, looked up and checked, before anything is worked out.
type survey struct {
	in       Input
	job      roof.Job
	run      steps.Runner
	set      country.Set
	coat     material.Resin
	liquids  [2]laying.Liquid // laminating resin and top coat, as picked
	resin    material.Resin
	catalyst material.Catalyst // of the laminate
	picks    check.Notes
	several  bool
	// schedule is the days and hours that were settled, or the day like which all are.
	schedule laying.Schedule
}

// surveyOf looks up what a job names.
func surveyOf(in Input) (survey, error) {
	s := survey{in: in, job: in.Job, run: steps.Runner{Cache: in.Cache, Progress: in.Progress}, several: len(in.Job.Decks) > 1}
	if t := in.TempC; t != nil {
		s.job.Day.AirC, s.job.Day.DeckC, s.job.Day.ResinC, s.job.Day.Hours = *t, *t, *t, nil
	}
	s.schedule = laying.DayLike(s.job.Date, s.job.Day, s.silent("day.resin_c"))
	if in.Schedule != nil {
		s.schedule = *in.Schedule
	}
	spec := s.job.Spec
	for _, named := range []struct {
		field, key string
		look       func(string) error
	}{
		{"spec.resin", spec.Resin, func(key string) (err error) { s.resin, err = in.Catalogue.Resin(key); return }},
		{"spec.coat_resin", spec.CoatResin, func(key string) (err error) { s.coat, err = in.Catalogue.Resin(key); return }},
		{"spec.catalyst", spec.Catalyst, func(key string) (err error) { s.catalyst, err = in.Catalogue.Catalyst(key); return }},
		{"spec.coat_catalyst", s.coatCatalyst(), func(key string) error { _, err := in.Catalogue.Catalyst(key); return err }},
	} {
		if err := named.look(named.key); err != nil {
			return s, fmt.Errorf("%s: %w", named.field, err)
		}
	}
	s.set, _ = country.For(s.job.Site.Country)
	return s, nil
}

// Law is the gel law of a resin on this job with one catalyst, the one that every dose and every
// hardening follows: what the firm has learned of it, else its data sheet's, with that catalyst
// and the day's test cup, which was timed with what the plan had picked.
func (in *Input) Law(r material.Resin, c material.Catalyst) (cure.Gel, error) {
	law, err := in.lawOf(r)
	if err != nil {
		return law, err
	}
	if law, err = law.With(r, c); err != nil {
		return law, err
	}
	return in.cupped(r.Coat, law)
}

// lawOf is the law of a resin with the catalyst of its sheet.
func (in *Input) lawOf(r material.Resin) (cure.Gel, error) {
	if law, learned := in.Gels[r.Key]; learned {
		return law, nil
	}
	return cure.NewGel(r)
}

// cup is the day's test cup of the laminate or of the coat.
func (in *Input) cup(coat bool) roof.Cup {
	if coat {
		return in.Job.Day.CoatCup
	}
	return in.Job.Day.Cup
}

// cupped is a law with the day's test cup, where there is one of the laminate or of the coat.
func (in *Input) cupped(coat bool, law cure.Gel) (cure.Gel, error) {
	cup, where := in.cup(coat), "day.cup"
	if coat {
		where = "day.coat_cup"
	}
	if !cup.Given() {
		return law, nil
	}
	law, err := law.WithCup(cup.TempC, cup.Pct, cup.Min)
	if err != nil {
		return law, fmt.Errorf("%s: %w", where, err)
	}
	return law, nil
}

// silent reports whether the roof file does not give a field of the day.
func (s *survey) silent(field string) bool {
	_, silent := s.job.Origin("day.").Silent(field)
	return silent
}

// coatCatalyst is the top coat's catalyst; a job made without one takes the laminate's.
func (s *survey) coatCatalyst() string { return cmp.Or(s.job.Spec.CoatCatalyst, s.job.Spec.Catalyst) }

// deckMade is a deck as far as it is worked out.
type deckMade struct {
	geometry steps.Made[runoff.Geometry]
	falls    steps.Made[runoff.Falls]
	setOut   steps.Made[framing.SetOut]
	fields   steps.Made[framing.Fields]
	framing  steps.Made[framing.Framing]
	laminate steps.Made[laying.Laminate]
	wetWork  steps.Made[laying.WetWork]
	checks   steps.Made[checking.DeckChecks]
	damp     steps.Made[check.Notes]
	proof    steps.Made[check.Notes]
	renewals []framing.Renewal
}

// roofMade is a roof as far as it is worked out.
type roofMade struct {
	decks     []deckMade
	takeOff   steps.Made[takeoff.TakeOff]
	days      steps.Made[laying.Days]
	buckets   steps.Made[laying.Buckets]
	hardening steps.Made[laying.Hardening]
	doses     steps.Made[map[string]*laying.Doses]
	doseCard  steps.Made[laying.DoseCards]
	order     steps.Made[takeoff.Ordered]
	waters    steps.Made[runoff.Waters]
	rulesOf   steps.Made[check.Notes]
	overlay   steps.Made[check.Notes]
	heat      steps.Made[check.Notes]
	exposure  steps.Made[check.Notes]
	rules     steps.Made[check.Notes]
	wayOut    steps.Made[check.Notes]
	method    steps.Made[[]method.Step]
}

// Make works out a job, step by step: geometry and falls, set-out, framing, take-off, wet
// work, days, buckets, checks, method. A job that cannot be worked out is an error; a day on
// which no dose works, a check that fails and a question nobody has answered are not: they
// stand in the plan.
func Make(ctx context.Context, in Input) (*Plan, error) {
	s, err := surveyOf(in)
	if err != nil {
		return nil, err
	}
	var made roofMade
	for _, stage := range []func(context.Context, *roofMade) error{s.boards, s.wetWork, s.quantities, s.checks, s.proofs, s.method} {
		if err := stage(ctx, &made); err != nil {
			return nil, err
		}
	}
	p := s.assemble(&made)
	p.Made, err = in.Identity()
	return p, err
}

// boards works out geometry, falls, set-out and framing of every deck. Decks are set out one
// after another: what one leaves over is stock for the next.
func (s *survey) boards(ctx context.Context, made *roofMade) error {
	job := &s.job
	made.decks = make([]deckMade, len(job.Decks))
	var err error
	for i := range made.decks {
		m := &made.decks[i]
		in := runoff.GeometryInput{Place: job.Origin().Place(), Path: job.DeckPath(i), Deck: job.Decks[i]}
		if m.geometry, err = steps.Run(ctx, s.run, stepGeometry, in, runoff.MakeGeometry); err != nil {
			return err
		}
		m.renewals = framing.Renewals(&job.Decks[i], job.Spec.Board)
	}
	for i := range made.decks {
		m := &made.decks[i]
		in := runoff.FallsInput{Deck: job.Decks[i], Geometry: m.geometry, New: job.Work.Kind == "new", WallGapMM: job.Spec.Board.WallGapMM}
		if x := job.Spec.Insulation; x != nil {
			in.Tapered, in.ThinMM = x.Tapered, x.ThicknessMM
		}
		if m.falls, err = steps.Run(ctx, s.run, stepFalls, in, runoff.MakeFalls); err != nil {
			return err
		}
	}
	stock := takeoff.Supply(s.in.Stock, job.Spec.Board, job.Spec.WastePct.Mat, s.in.Catalogue, s.in.Prices)
	for i := range made.decks {
		m, d := &made.decks[i], job.Decks[i]
		site, two, through := framing.WindSite(job.Site, &d), framing.TwoDecks(job.Spec, &d), framing.ThroughInsulation(job.Spec)
		if m.setOut, err = steps.Run(ctx, s.run, stepSetOut,
			framing.SetOutInput{Deck: d, Spec: framing.LaidOut(job.Spec), Geometry: m.geometry, Wind: site, Supply: stock,
				TwoDecks: two}, framing.MakeSetOut); err != nil {
			return err
		}
		stock = stock.Less(m.setOut.Value.Upper)
		if m.fields, err = steps.Run(ctx, s.run, stepFields, framing.FieldsInput{Deck: d.Name, Geometry: m.geometry, SetOut: m.setOut},
			framing.MakeFields); err != nil {
			return err
		}
		in := framing.FramingInput{Deck: d, Board: job.Spec.Board, Geometry: m.geometry, Falls: m.falls, SetOut: m.setOut, Wind: site,
			Country: job.Site.Country, ThroughInsulation: through, TwoDecks: two}
		if m.framing, err = steps.Run(ctx, s.run, stepFraming, in, framing.MakeFraming); err != nil {
			return err
		}
	}
	return nil
}

// wetWork parts the wet work into passes and cells, and these by the day into buckets.
func (s *survey) wetWork(ctx context.Context, made *roofMade) error {
	job := &s.job
	days := laying.DaysInput{Date: job.Date, Day: job.Day, Start: job.Crew.Start, End: job.Crew.End,
		Site: weather.Site{LatDeg: job.Site.LatDeg, LonDeg: job.Site.LonDeg, ElevM: job.Site.AltitudeM}}
	days.ResinSilent, days.DeckSilent = s.silent("day.resin_c"), s.silent("day.deck_c") && s.in.TempC == nil
	var err error
	if made.days, err = steps.Run(ctx, s.run, stepDays, days, laying.MakeDays); err != nil {
		return err
	}
	if err = s.pick(ctx, made); err != nil {
		return err
	}
	for i := range made.decks {
		m := &made.decks[i]
		if m.laminate, err = steps.Run(ctx, s.run, stepLaminate,
			laying.LaminateInput{Deck: job.Decks[i].Name, Several: s.several, Spec: laying.Laid(job.Spec),
				Origin: job.Origin("spec.").Without("spec.top_coat.colour"), Coat: s.coat,
				SetOut: m.setOut, Fields: m.fields}, laying.MakeLaminate); err != nil {
			return err
		}
		in := laying.WetWorkInput{Deck: job.Decks[i], Spec: laying.Laid(job.Spec), SetOut: m.setOut, Fields: m.fields, Laminate: m.laminate,
			LayM2PerManHour: job.Crew.LayM2PerManHour}
		if m.wetWork, err = steps.Run(ctx, s.run, stepWetWork, in, laying.MakeWetWork); err != nil {
			return err
		}
	}
	ground := s.ground()
	in := laying.BucketsInput{Crew: job.Crew, Day: made.days.Value.Work, Schedule: s.schedule, Ground: ground,
		Apart:        len(laying.Rounds(job.Decks)) > 1,
		ResinToGlass: job.Spec.ResinToGlass, SoakKGPerM2: job.Spec.DeckSoakKGPerM2, TopCoat: laying.Coated(job.Spec.TopCoat),
		Waste:  job.Spec.WastePct,
		Origin: job.Origin("spec.", "crew.").Without("spec.top_coat.colour")}
	for _, i := range laying.TopDown(job.Decks) {
		in.Work = append(in.Work, made.decks[i].wetWork)
	}
	var names []string
	for i := range made.decks {
		names = append(names, job.Decks[i].Name)
	}
	if made.buckets, err = steps.Run(ctx, s.run, stepBuckets, in, laying.MakeBuckets); err != nil {
		return err
	}
	if made.hardening, err = steps.Run(ctx, s.run, stepHardening, laying.HardeningInput{Buckets: made.buckets, Ground: ground, Decks: names},
		laying.MakeHardening); err != nil {
		return err
	}
	if s.in.Weigh {
		in := laying.DosesInput{Hardening: made.hardening}
		if made.doses, err = steps.Run(ctx, s.run, stepDoses, in, laying.MakeDoses); err != nil {
			return err
		}
	}
	made.doseCard, err = steps.Run(ctx, s.run, stepDoseCard,
		laying.DoseCardInput{Resin: s.liquids[0], Coat: s.liquids[1], Catalyst: s.catalyst,
			MarginMin: job.Crew.MarginMin}, laying.MakeDoseCard)
	return err
}

// ground is what the films of the wet work lie on.
func (s *survey) ground() laying.Ground {
	spec := s.job.Spec
	g := laying.Ground{Resin: s.liquids[0], Coat: s.liquids[1], Layers: spec.Layers, TissueGPerM2: spec.TissueGPerM2,
		ResinToGlass: spec.ResinToGlass, CoatKGPerM2: spec.TopCoat.KGPerM2,
		BoardMM: spec.Board.ThicknessMM, Forecast: s.schedule.Forecast(), EndMin: s.job.Crew.End.Or(roof.ClockAt(17 * 60)).Min()}
	if s.schedule.Forecast() || len(s.job.Day.Hours) > 0 {
		g.Hours = s.schedule.Hours
	}
	if framing.ThroughInsulation(spec) {
		g.InsulationMM = spec.Insulation.ThicknessMM
	}
	return g
}

// quantities takes off what the pieces use, and orders it with what the buckets use.
func (s *survey) quantities(ctx context.Context, made *roofMade) error {
	job := &s.job
	in := takeoff.Input{Catalogue: s.in.Catalogue, Spec: job.Spec, Work: job.Work, InsulationStays: framing.InsulationStays(job)}
	for i := range made.decks {
		m := &made.decks[i]
		in.Decks = append(in.Decks, takeoff.Deck{Deck: job.Decks[i], Geometry: m.geometry, Falls: m.falls, SetOut: m.setOut, Framing: m.framing,
			Renewals: m.renewals})
	}
	var err error
	if made.takeOff, err = steps.Run(ctx, s.run, stepTakeOff, in, takeoff.Make); err != nil {
		return err
	}
	_, guessed := job.Origin("day.").Silent("day.air_c")
	warm := (s.in.TempC != nil || !guessed) && job.Day.DeckC >= 15
	made.order, err = steps.Run(ctx, s.run, stepOrder,
		takeoff.OrderInput{TakeOff: made.takeOff, Buckets: made.buckets, Resin: s.resin.Key, Coat: s.coat.Key,
			Catalyst: s.liquids[0].Catalyst, CoatCatalyst: s.liquids[1].Catalyst, People: job.Crew.People, Warm: warm,
			Waste: job.Spec.WastePct, Origin: job.Origin("spec.waste_pct.", "crew."), Prices: s.in.Prices, InHand: s.in.InHand,
			Offcuts: s.in.Stock.Offcuts, Mats: s.in.Catalogue.Mats}, takeoff.MakeOrder)
	return err
}

// checks asks every design check.
func (s *survey) checks(ctx context.Context, made *roofMade) error {
	job := &s.job
	var err error
	if made.rulesOf, err = steps.Run(ctx, s.run, stepCountry, checking.CountryInput{Country: job.Site.Country},
		checking.MakeCountryCheck); err != nil {
		return err
	}
	if made.overlay, err = steps.Run(ctx, s.run, stepOverlay, checking.RulesInput{Job: *job}, checking.MakeOverlayCheck); err != nil {
		return err
	}
	var surfaces []steps.Made[runoff.Geometry]
	for i := range made.decks {
		surfaces = append(surfaces, made.decks[i].geometry)
	}
	if made.waters, err = steps.Run(ctx, s.run, stepWaters, runoff.WatersInput{Decks: job.Decks, Geometry: surfaces},
		runoff.MakeWaters); err != nil {
		return err
	}
	tabulated := false
	for i := range made.decks {
		m, d := &made.decks[i], job.Decks[i]
		in := checking.DeckChecksInput{Deck: d, Index: i, Levels: checking.LevelsOf(job.Decks), Several: s.several, Spec: job.Spec,
			Site: job.Site, Use: job.Use, Country: job.Site.Country, Guesses: checking.GuessesOf(job, i),
			Wind: framing.WindSite(job.Site, &d), Geometry: m.geometry, SetOut: m.setOut, Framing: m.framing, Laminate: m.laminate,
			Waters: made.waters, SpanTable: !tabulated && job.Work.Kind == "new", Base: job.DeckPath(i) + ".base",
			Origin: job.Origin("site.", "spec.board.", job.DeckPath(i)+".base.")}
		if m.checks, err = steps.Run(ctx, s.run, stepChecks, in, checking.MakeDeckChecks); err != nil {
			return err
		}
		tabulated = tabulated || m.checks.Value.Spans != nil
		damp := checking.DampInput{Deck: d.Name, Several: s.several, Readings: d.Moisture, BoardMM: job.Spec.Board.ThicknessMM,
			AirC: job.Day.AirC, RelativeHumidityPct: job.Day.RelativeHumidityPct, Origin: job.Origin("spec.board.", "day.")}
		if m.damp, err = steps.Run(ctx, s.run, stepDamp, damp, checking.MakeDampCheck); err != nil {
			return err
		}
	}
	heat := checking.HeatInput{Origin: job.Origin("spec.board.", "spec.insulation."), Country: job.Site.Country,
		Below: job.Use.Below, New: job.Work.Kind == "new", LatDeg: job.Site.LatDeg,
		Spec: checking.Warmed(job.Spec), Geometry: surfaces, ScrewsPerM2: made.screwsPerM2(), NeededPerM2: made.neededPerM2(),
		Guesses: checking.GuessesOf(job, 0)}
	for i, d := range job.Decks {
		heat.Bases, heat.Laminate = append(heat.Bases, d.Base), append(heat.Laminate, made.decks[i].laminate)
	}
	if made.heat, err = steps.Run(ctx, s.run, stepHeat, heat, checking.MakeHeatChecks); err != nil {
		return err
	}
	wet := &made.buckets.Value
	work := exposure.Work{ResinKG: wet.ResinKG, CoatKG: wet.CoatKG, StyreneFraction: s.resin.StyreneFraction,
		StyreneFrom: s.resin.Sheet("styrene_fraction"), Enclosed: job.Site.Enclosed,
		ResinC: job.Day.ResinC, Neighbours: job.Site.Neighbours, WetM2: checking.RolledAtOnceM2(wet.Passes, made.netM2())}
	if made.exposure, err = steps.Run(ctx, s.run, stepExposure,
		checking.ExposureInput{Country: job.Site.Country, Work: work,
			Load: made.order.Value.Schedule.Load.Figure}, checking.MakeExposureChecks); err != nil {
		return err
	}
	made.rules, err = steps.Run(ctx, s.run, stepRules, checking.RulesInput{Job: *job}, checking.MakeRuleChecks)
	return err
}

// proofs proves what goes to the roof, apart from how it was made.
func (s *survey) proofs(ctx context.Context, made *roofMade) error {
	var err error
	for i := range made.decks {
		m := &made.decks[i]
		in := checking.ProofInput{Deck: s.job.Decks[i], Spec: framing.LaidOut(s.job.Spec), SetOut: m.setOut, Framing: m.framing}
		if m.proof, err = steps.Run(ctx, s.run, stepProof, in, checking.MakeProof); err != nil {
			return err
		}
	}
	made.wayOut, err = steps.Run(ctx, s.run, stepWayOut, checking.WayOutInput{Buckets: made.buckets}, checking.MakeWayOutChecks)
	return err
}

// method writes how the work is done.
func (s *survey) method(ctx context.Context, made *roofMade) error {
	job := &s.job
	in := method.Input{Site: job.Site, Work: job.Work, Spec: job.Spec, Rounds: laying.Rounds(job.Decks), Buckets: made.buckets,
		Hardening: made.hardening, People: job.Crew.People, LayM2PerManHour: job.Crew.LayM2PerManHour,
		Refused: refusedOverlay(made.overlay.Value.Checks)}
	for i := range made.decks {
		m := &made.decks[i]
		in.Decks = append(in.Decks, method.Deck{Deck: job.Decks[i], Falls: m.falls, SetOut: m.setOut, Fields: m.fields, Framing: m.framing,
			Laminate: m.laminate, Renewals: m.renewals})
	}
	var err error
	made.method, err = steps.Run(ctx, s.run, stepMethod, in, method.Make)
	return err
}
