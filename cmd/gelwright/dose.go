package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"

	"github.com/spf13/cobra"

	"gelwright/check"
	"gelwright/cure"
	"gelwright/material"
	"gelwright/working"
)

// answer is the dose command's answer as JSON.
type answer struct {
	Works          bool     `json:"works"`
	ResinKG        float64  `json:"resin_kg"`
	ResinL         float64  `json:"resin_l"`
	CatalystML     float64  `json:"catalyst_ml,omitempty"`
	CatalystG      float64  `json:"catalyst_g,omitempty"`
	PctByMass      float64  `json:"pct_by_mass,omitempty"`
	PctByVolume    float64  `json:"pct_by_volume,omitempty"`
	GelLowMin      float64  `json:"gel_low_min,omitempty"`
	GelLikelyMin   float64  `json:"gel_likely_min,omitempty"`
	GelHighMin     float64  `json:"gel_high_min,omitempty"`
	Why            string   `json:"why,omitempty"`
	Remedies       []string `json:"remedies,omitempty"`
	HabitPctOf10ML float64  `json:"pct_of_10_ml_per_kg"`
	// HabitML is what the habit would pour for this dose.
	HabitML  float64      `json:"habit_ml,omitempty"`
	Evidence string       `json:"evidence,omitempty"`
	Notes    []string     `json:"notes,omitempty"`
	Cup      *cupAnswer   `json:"cup,omitempty"`
	Ready    *readyAnswer `json:"ready,omitempty"`
	LeftOver *leftAnswer  `json:"left_over,omitempty"`

	figures []*working.Figure
}

// cupAnswer is what a timed test cup changed, at the temperature and dose asked for.
type cupAnswer struct {
	Min      float64    `json:"min"`
	TempC    float64    `json:"temp_c"`
	Pct      float64    `json:"pct_by_mass"`
	Surprise float64    `json:"surprise_sd"`
	Before   cure.Range `json:"gel_before"`
	After    cure.Range `json:"gel_after"`
}

// readyAnswer is the choice between being laid in time and being hard in time.
type readyAnswer struct {
	Milestone string         `json:"milestone"`
	ByMin     float64        `json:"by_min"`
	Chosen    cure.Option    `json:"chosen"`
	Frontier  []cure.Option  `json:"frontier"`
	Measures  []cure.Measure `json:"measures,omitempty"`
}

// leftAnswer is what becomes of a mix left in its bucket.
type leftAnswer struct {
	KG       float64  `json:"kg"`
	Verdict  string   `json:"verdict"`
	GelMin   float64  `json:"gel_min"`
	PeakC    float64  `json:"peak_c"`
	PeakMin  float64  `json:"peak_min"`
	Runaway  bool     `json:"runaway"`
	SafeKG   float64  `json:"safe_kg"`
	Finding  string   `json:"finding"`
	Remedies []string `json:"remedies,omitempty"`
}

// doseFlags are the question as it was asked.
type doseFlags struct {
	temp, litres, kg, minutes, margin float64
	resin, firm, gel, drum, cup       string
	ready                             string
	by, left, film, sun               float64
	coat, json, explain               bool
}

func doseCommand() *cobra.Command {
	var f doseFlags
	cmd := &cobra.Command{
		Use:   "dose --temp °C (--litres L | --kg KG) --minutes MIN",
		Short: "How much catalyst for this bucket, or why not",
		Long: `The quick answer for the man with the jug: the temperature of resin and deck (the lower
of the two), how much resin, and how many minutes it takes to lay. Answers in millilitres
and grams of catalyst with the range of the gel time, or says why no dose works and what
would help.

A test cup timed today outranks the data sheet: --cup 22@18,2 says that it gelled in 22
minutes at 18 °C with 2 % by mass. --gel takes a law learned from the firm's own gels.
--ready rain-safe --by 240 weighs every dose: the chance of being laid before it gels
against that of being safe from rain 240 minutes after mixing, and names what would help
when no dose does both. --left 2 says how hot 2 kg left in the bucket get.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error { return runDose(cmd, f) },
	}
	g := cmd.Flags()
	g.Float64Var(&f.temp, "temp", 0, "temperature of resin and deck, °C")
	g.Float64Var(&f.litres, "litres", 0, "litres of resin")
	g.Float64Var(&f.kg, "kg", 0, "kilograms of resin")
	g.Float64Var(&f.minutes, "minutes", 0, "minutes it takes to lay")
	g.Float64Var(&f.margin, "margin", 5, "minutes kept between laying and gel")
	g.StringVar(&f.resin, "resin", "resin.all-season", "resin of the catalogue")
	g.BoolVar(&f.coat, "coat", false, "top coat in place of laminating resin")
	g.StringVar(&f.firm, "firm", "", "the firm's own file, with its resin's gel points")
	g.StringVar(&f.gel, "gel", "", "a gel law that 'learn --json' has written")
	g.StringVar(&f.drum, "drum", "", "the drum in use, where the gel law knows it")
	g.StringVar(&f.cup, "cup", "", "a test cup of this drum: MIN@°C,% by mass, such as 22@18,2")
	g.StringVar(&f.ready, "ready", "", "what must be reached: walk, sand, rain-safe, over-coat")
	g.Float64Var(&f.by, "by", 0, "minutes after mixing by which --ready must be reached")
	g.Float64Var(&f.film, "film", 0, "resin on a square metre for --ready, kg (1.125, of a top coat 0.6)")
	g.Float64Var(&f.sun, "sun", 0, "how many K of the deck's temperature are sun that shade would take away")
	g.Float64Var(&f.left, "left", 0, "kilograms that may be left in the bucket")
	g.BoolVar(&f.explain, "explain", false, "unfold the workings")
	g.BoolVar(&f.json, "json", false, "print JSON")
	return cmd
}

// mostInOnePailKG is more than any crew lays from one bucket, and usualPailKG what it
// handles in comfort (common practice, no source).
const (
	mostInOnePailKG = 10
	usualPailKG     = 5
)

func runDose(cmd *cobra.Command, f doseFlags) error {
	given := cmd.Flags().Changed
	cat, err := catalogueOf(f.firm, cmd.ErrOrStderr())
	if err != nil {
		return err
	}
	learned, err := readGel(f.gel)
	if err != nil {
		return err
	}
	switch {
	case given("resin"):
	case f.coat:
		f.resin = "topcoat.waxed"
	case learned != nil:
		f.resin = learned.ResinKey
	}
	r, err := cat.Resin(f.resin)
	if err != nil {
		return coded{exitUsage, err}
	}
	if learned != nil && learned.ResinKey != r.Key {
		return coded{exitUsage, fmt.Errorf("%s is the law of %s and the mix is of %s: take --resin %s, or leave --gel out", f.gel, learned.ResinKey, r.Key, learned.ResinKey)}
	}
	c, err := cat.Catalyst("catalyst.mekp")
	if err != nil {
		return err
	}
	if !given("temp") || math.IsNaN(f.temp) {
		return coded{exitUsage, errors.New("give the temperature of resin and deck, the lower of the two: --temp 12")}
	}
	switch {
	case given("litres") == given("kg"):
		return coded{exitUsage, errors.New("give how much resin, once: --litres 5 or --kg 5")}
	case given("litres"):
		f.kg = f.litres * r.DensityKGPerL
	}
	if !(f.kg > 0 && f.kg <= 250) {
		return coded{exitUsage, fmt.Errorf("%g kg of resin: give more than 0 and no more than a drum", f.kg)}
	}
	if !(f.minutes > 0 && f.minutes <= 600) {
		return coded{exitUsage, fmt.Errorf("%g minutes to lay it: give --minutes, more than 0", f.minutes)}
	}
	if !(f.margin >= 0 && f.margin <= 600) {
		return coded{exitUsage, fmt.Errorf("a margin of %g minutes: give --margin, 0 or more", f.margin)}
	}
	if given("left") && !(f.left > 0 && f.left <= f.kg) {
		return coded{exitUsage, fmt.Errorf("%g kg left of %g kg: give --left, more than 0 and no more than the mix", f.left, f.kg)}
	}
	a, err := answerDose(cmd.Context(), f, cat, r, c, learned)
	if err != nil {
		return err
	}
	w := cmd.OutOrStdout()
	if f.json {
		raw, err := json.MarshalIndent(a, "", " ")
		if err != nil {
			return err
		}
		if _, err := fmt.Fprintln(w, string(raw)); err != nil {
			return err
		}
	} else if err := printDose(w, a, f, r.Name); err != nil {
		return err
	}
	if !a.Works {
		return coded{exitNo, errors.New("no dose works")}
	}
	return nil
}

// catalogueOf is the generic catalogue with the firm's file laid over it.
func catalogueOf(firmPath string, errs io.Writer) (material.Catalogue, error) {
	cat := material.Generic()
	firm, err := readFirm(firmPath, errs)
	if err != nil || firm == nil {
		return cat, err
	}
	return firm.Over(cat), nil
}

func answerDose(ctx context.Context, f doseFlags, cat material.Catalogue, r material.Resin, c material.Catalyst, learned *gelFile) (answer, error) {
	a := answer{ResinKG: f.kg, ResinL: f.kg / r.DensityKGPerL, HabitPctOf10ML: c.DensityGPerML}
	law, err := lawFor(r, learned, f.drum)
	if err != nil {
		return a, err
	}
	ask := cure.Ask{Resin: r, Catalyst: c, Gel: &law, TempC: f.temp, NeedMin: f.minutes, MarginMin: f.margin, KG: f.kg}
	if f.cup != "" {
		if law, a.Cup, err = withCup(law, f.cup); err != nil {
			return a, err
		}
	}
	a.Evidence = law.Evidence
	if f.ready != "" {
		advice, milestone, err := weigh(ctx, f, cat, r, law)
		if err != nil && !errors.As(err, new(*cure.Refusal)) {
			return a, err
		}
		if len(advice.Frontier) > 0 {
			a.Ready = &readyAnswer{Milestone: milestone.Done(), ByMin: f.by, Chosen: advice.Chosen, Frontier: advice.Frontier, Measures: advice.Measures}
		}
		if err != nil {
			return a.refused(err)
		}
		ask.Pct, ask.Why = advice.Chosen.Pct, advice.Figure
	}
	if f.kg > mostInOnePailKG {
		n := math.Ceil(f.kg / usualPailKG)
		return a.refused(&cure.Refusal{Reason: cure.ErrNotThatLong, Finding: fmt.Sprintf("%.3g kg in one pail: it heats itself, and two people spread about half a kilogram to three quarters a minute", f.kg),
			Remedies: []check.Remedy{{Text: fmt.Sprintf("mix it as %.0f buckets of %.2g kg, each poured out at once, and ask again for one of them", n, f.kg/n)}}})
	}
	d, err := cure.Dose(ask)
	if err != nil {
		return a.refused(err)
	}
	a.Works = true
	a.CatalystML, a.CatalystG, a.PctByMass, a.PctByVolume = d.CatalystML, d.CatalystG, d.Pct, d.VolPct
	a.GelLowMin, a.GelLikelyMin, a.GelHighMin = d.Gel.LowMin, d.Gel.LikelyMin, d.Gel.HighMin
	a.HabitML, a.Notes, a.figures = d.HabitML, d.Notes, d.Figures
	if f.left > 0 {
		if err := a.leave(ctx, f, r, law); err != nil {
			return a, err
		}
	}
	return a, nil
}

// refused takes over a refusal; any other error passes through.
func (a answer) refused(err error) (answer, error) {
	var no *cure.Refusal
	if !errors.As(err, &no) {
		return a, coded{exitNo, err}
	}
	a.Why = no.Finding
	for _, m := range no.Remedies {
		a.Remedies = append(a.Remedies, m.Text)
	}
	return a, nil
}

// cupText is a test cup as it is written: minutes@°C,per cent.
var cupText = regexp.MustCompile(`^([0-9.]+)(?:min)?@(-?[0-9.]+)(?:°?C)?,([0-9.]+)%?$`)

func withCup(law cure.Gel, text string) (cure.Gel, *cupAnswer, error) {
	m := cupText.FindStringSubmatch(text)
	wrong := coded{exitUsage, fmt.Errorf("--cup %q: give minutes@°C,%% by mass, such as --cup 22@18,2", text)}
	if m == nil {
		return law, nil, wrong
	}
	var v [3]float64
	for i := range v {
		var err error
		if v[i], err = strconv.ParseFloat(m[i+1], 64); err != nil {
			return law, nil, wrong
		}
	}
	cup := &cupAnswer{Min: v[0], TempC: v[1], Pct: v[2]}
	after, err := law.WithCup(cup.TempC, cup.Pct, cup.Min)
	if err != nil {
		return law, nil, coded{exitNo, err}
	}
	cup.Surprise = law.CupSurprise(cup.TempC, cup.Pct, cup.Min)
	if cup.Before, err = law.Time(cup.TempC, cup.Pct); err != nil {
		return law, nil, coded{exitNo, err}
	}
	cup.After, err = after.Time(cup.TempC, cup.Pct)
	return after, cup, err
}

// readyWords are the milestones that --ready takes.
var readyWords = map[string]cure.Milestone{"walk": cure.Walk, "sand": cure.Sand, "rain-safe": cure.RainSafe, "over-coat": cure.OverCoatFrom}

// weigh asks the frontier for the dose that is laid in time and ready in time.
func weigh(ctx context.Context, f doseFlags, cat material.Catalogue, r material.Resin, law cure.Gel) (cure.MixAdvice, cure.Milestone, error) {
	milestone, ok := readyWords[f.ready]
	switch {
	case !ok:
		return cure.MixAdvice{}, 0, coded{exitUsage, fmt.Errorf("--ready %s: there is walk, sand, rain-safe, over-coat", f.ready)}
	case !(f.by > 0 && f.by <= 30*24*60):
		return cure.MixAdvice{}, 0, coded{exitUsage, fmt.Errorf("%s by %g minutes after mixing: give --by, such as --by 240", f.ready, f.by)}
	case f.film < 0 || f.film > 5:
		return cure.MixAdvice{}, 0, coded{exitUsage, fmt.Errorf("a film of %g kg/m²: give --film, 0.4 to 2.4", f.film)}
	}
	ask := cure.TableAsk{Kinetics: cure.Roof(), Thresholds: cure.RoofThresholds()}
	film := 1.125 // one mat of 450 g/m² at 2.5 of resin to 1 of glass
	if r.Coat {
		ask.Thresholds, ask.GlassShare, film = cure.TopCoatThresholds(), -1, 0.6
	}
	if f.film > 0 {
		film = f.film
	}
	if err := law.Allowed(f.temp, law.MinPct); err != nil {
		return cure.MixAdvice{}, milestone, err
	}
	table, err := cure.NewTable(ctx, law, ask.Narrow(law, film))
	if err != nil {
		return cure.MixAdvice{}, milestone, err
	}
	goal := cure.Goal{LayMin: f.minutes, Ready: milestone, ByMin: f.by, ResinKGPerM2: film, KG: f.kg, DensityKGPerL: r.DensityKGPerL, Base: []cure.Reading{{TempC: f.temp}}, SunK: f.sun}
	advice, err := cure.Frontier(ctx, &table, ask.Kinetics, goal)
	if !errors.Is(err, cure.ErrNoAim) {
		return advice, milestone, err
	}
	// Other grades cost a table each, so they are weighed only now.
	var grades []cure.Grade
	for _, other := range cat.Resins {
		if other.Key == r.Key || other.Coat != r.Coat {
			continue
		}
		g, err := cure.NewGel(other)
		if err != nil {
			return advice, milestone, err
		}
		if g.Allowed(f.temp, g.MinPct) != nil {
			continue
		}
		t, err := cure.NewTable(ctx, g, ask.Narrow(g, film))
		if err != nil {
			return advice, milestone, err
		}
		grades = append(grades, cure.Grade{Name: "use " + other.Name, Table: &t})
	}
	if len(grades) == 0 {
		return advice, milestone, err
	}
	advice, err = cure.Frontier(ctx, &table, ask.Kinetics, goal, grades...)
	return advice, milestone, err
}

// leave adds what becomes of what is left in the bucket.
func (a *answer) leave(ctx context.Context, f doseFlags, r material.Resin, law cure.Gel) error {
	d, err := cure.Roof().Matched(law, f.temp, a.PctByMass).LeftOver(ctx, f.left, r.DensityKGPerL, a.PctByMass, f.temp)
	if err != nil {
		return err
	}
	a.LeftOver = &leftAnswer{KG: f.left, Verdict: string(d.Verdict), GelMin: d.GelMin, PeakC: d.PeakC, PeakMin: d.PeakMin, Runaway: d.Runaway, SafeKG: d.SafeKG, Finding: d.Finding}
	for _, m := range d.Remedies {
		a.LeftOver.Remedies = append(a.LeftOver.Remedies, m.Text)
	}
	a.figures = append(a.figures, d.Figures...)
	return nil
}

// printer writes lines and keeps the first error.
type printer struct {
	w   io.Writer
	err error
}

func (p *printer) line(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintf(p.w, format+"\n", args...)
	}
}

func printDose(w io.Writer, a answer, f doseFlags, resin string) error {
	p := &printer{w: w}
	if c := a.Cup; c != nil {
		p.line("Test cup: %g min at %g °C and %g %%. Before it %.0f–%.0f min were expected there, now %.0f–%.0f.", c.Min, c.TempC, c.Pct, c.Before.LowMin, c.Before.HighMin, c.After.LowMin, c.After.HighMin)
		if c.Surprise > 3 || c.Surprise < -3 {
			p.line("That cup is far from what was expected (%.1f standard deviations): check drum, thermometer and jug, and time another.", c.Surprise)
		}
	}
	if !a.Works {
		p.line("No: %s", a.Why)
		for _, m := range a.Remedies {
			p.line("  %s", m)
		}
		return p.err
	}
	p.line("%.0f ml of catalyst (%.0f g) into %.2f l (%.2f kg) of %s", a.CatalystML, a.CatalystG, a.ResinL, a.ResinKG, resin)
	p.line("%.2f %% by mass, %.2f %% by volume; gels in %.0f–%.0f min, likely %.0f, at %g °C", a.PctByMass, a.PctByVolume, a.GelLowMin, a.GelHighMin, a.GelLikelyMin, f.temp)
	if r := a.Ready; r != nil {
		p.line("Worked %s: laid before it gels in %s of 100 cases; %s within %g min in %s of 100.", r.Chosen.Technique, working.Chance(r.Chosen.Laid), r.Milestone, r.ByMin, working.Chance(r.Chosen.Ready))
	}
	outranks := "The data sheet and a timed test cup come before this."
	if a.Cup != nil {
		outranks = "Time another cup when the drum or the weather changes."
	}
	if a.Ready != nil && a.GelLowMin-f.margin < f.minutes {
		p.line("Lay it within %.0f min; a gel as early as %.0f min leaves no margin. %s", f.minutes, a.GelLowMin, outranks)
	} else {
		p.line("Lay it within %.0f min. %s (10 ml per kg is %.2f %% with this catalyst, not 1 %%.)", a.GelLowMin-f.margin, outranks, a.HabitPctOf10ML)
	}
	p.line("The habit would pour %.0f ml for this dose: %+.0f %%.", a.HabitML, 100*(a.HabitML/a.CatalystML-1))
	if l := a.LeftOver; l != nil {
		p.line("Left over: %s.", l.Finding)
		for _, m := range l.Remedies {
			p.line("  %s", m)
		}
	}
	if p.err != nil || !f.explain {
		return p.err
	}
	// One tree, so that what several figures share is unfolded once.
	return working.Unfold(w, working.Choice("this mix", "as answered above", working.Source{Title: "figures of this answer", Standing: working.Derived}, a.figures...))
}
