package desk

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"gelwright/check"
	"gelwright/cure"
	"gelwright/gelfile"
	"gelwright/material"
	"gelwright/roof"
	"gelwright/working"
)

// DoseAsk is a question for the dose of one bucket.
type DoseAsk struct {
	// TempC of the deck, and ResinC of the resin in its pail; nil is as warm as the deck.
	TempC, ResinC *float64
	// KG or Litres of resin: one of them.
	KG, Litres *float64
	// NeedMin is how long it takes to lay, MarginMin what is kept between laying and gel.
	NeedMin, MarginMin float64
	// Resin of the catalogue; empty is the learned law's, or the usual one of its sort.
	// Catalyst of the catalogue; empty is the usual one.
	Resin, Catalyst string
	// Keeps are the keys of the resins and catalysts that the firm keeps, among which another pair is
	// looked for where no dose works; all of the catalogue where there are none.
	Keeps []string
	// Coat asks for a top coat in place of laminating resin.
	Coat bool
	// Gel is a law learned from the firm's own gels, Drum the drum in use where it knows it.
	Gel  *gelfile.Law
	Drum string
	// Cup is a test cup timed today; nil for none.
	Cup *roof.Cup
	// Ready is what must be reached ByMin minutes after mixing: walk, sand, rain-safe,
	// over-coat; empty asks nothing of the kind.
	Ready string
	ByMin float64
	// FilmKGPerM2 of resin for Ready; 0 is the usual film.
	FilmKGPerM2 float64
	// SunK is how much of the deck's temperature is sun that shade would take away, K.
	SunK float64
	// LeftKG may be left in the bucket.
	LeftKG *float64
	// MostKG is the largest mix that the crew's experience allows, kg, Crew the word for it; 0 for no such limit.
	MostKG float64
	Crew   string
}

// Dose is how much catalyst goes into a bucket, or why no dose works.
type Dose struct {
	Works bool `json:"works"`
	// ResinKey and CatalystKey are the pair that is reckoned with, With its name.
	ResinKey       string   `json:"resin"`
	CatalystKey    string   `json:"catalyst"`
	With           string   `json:"with"`
	ResinKG        float64  `json:"resin_kg"`
	ResinL         float64  `json:"resin_l"`
	CatalystML     float64  `json:"catalyst_ml,omitempty"`
	CatalystG      float64  `json:"catalyst_g,omitempty"`
	PctByMass      float64  `json:"pct_by_mass,omitempty"`
	MLPerLitre     float64  `json:"ml_per_litre,omitempty"`
	GelLowMin      float64  `json:"gel_low_min,omitempty"`
	GelLikelyMin   float64  `json:"gel_likely_min,omitempty"`
	GelHighMin     float64  `json:"gel_high_min,omitempty"`
	Why            string   `json:"why,omitempty"`
	Remedies       []string `json:"remedies,omitempty"`
	HabitPctOf10ML float64  `json:"pct_of_10_ml_per_kg"`
	// HabitML is what the habit would pour for this dose.
	HabitML  float64   `json:"habit_ml,omitempty"`
	Evidence string    `json:"evidence,omitempty"`
	Notes    []string  `json:"notes,omitempty"`
	Cup      *CupTold  `json:"cup,omitempty"`
	Ready    *Ready    `json:"ready,omitempty"`
	LeftOver *LeftOver `json:"left_over,omitempty"`
	// Others are the pairs with which a dose works where none does with this one; Sought says that
	// they were looked for.
	Others []Other `json:"others,omitempty"`
	Sought bool    `json:"others_sought,omitempty"`

	// Resin is the name of what is dosed, Figures the working.
	Resin   string            `json:"-"`
	Figures []*working.Figure `json:"-"`
}

// CupTold is what a timed test cup changed, at the temperature and dose asked for.
type CupTold struct {
	Min      float64    `json:"min"`
	TempC    float64    `json:"temp_c"`
	Pct      float64    `json:"pct_by_mass"`
	Surprise float64    `json:"surprise_sd"`
	Before   cure.Range `json:"gel_before"`
	After    cure.Range `json:"gel_after"`
}

// Ready is the choice between being laid in time and being hard in time.
type Ready struct {
	Milestone string         `json:"milestone"`
	ByMin     float64        `json:"by_min"`
	Chosen    cure.Option    `json:"chosen"`
	Frontier  []cure.Option  `json:"frontier"`
	Measures  []cure.Measure `json:"measures,omitempty"`
}

// LeftOver is what becomes of a mix left in its bucket.
type LeftOver struct {
	KG       float64  `json:"kg"`
	Verdict  string   `json:"verdict"`
	GelMin   float64  `json:"gel_min"`
	PeakC    float64  `json:"peak_c"`
	PeakMin  float64  `json:"peak_min"`
	PeakLow  float64  `json:"peak_low_c"`
	PeakHigh float64  `json:"peak_high_c"`
	DepthMM  float64  `json:"safe_depth_mm"`
	Sand     float64  `json:"sand_volumes"`
	Runaway  bool     `json:"runaway"`
	SafeKG   float64  `json:"safe_kg"`
	Finding  string   `json:"finding"`
	Remedies []string `json:"remedies,omitempty"`
}

// The usual materials of a question that names none.
const (
	UsualResin = "resin.all-season"
	usualCoat  = "topcoat.waxed"
)

// mostInOnePailKG is more than any crew lays from one bucket, and usualPailKG what it
// handles in comfort (common practice, no source). mostInADrumKG is a full drum.
const (
	mostInOnePailKG = 10
	usualPailKG     = 5
	mostInADrumKG   = 250
)

// mostLayMin bounds how long a mix may take to lay or be kept in hand, min: past ten hours
// no resin of the catalogue is still liquid.
const mostLayMin = 600

// bucket is a question made whole: what is dosed, with which catalyst, by which law.
type bucket struct {
	DoseAsk
	cat      material.Catalogue
	resin    material.Resin
	catalyst material.Catalyst
	law      cure.Gel
	kg       float64
}

// DoseOf answers how much catalyst goes into this bucket. A question for which no dose works
// is answered, with Works unset and the other pairs of resin and catalyst with which one does; it is no error.
func DoseOf(ctx context.Context, cat material.Catalogue, ask DoseAsk) (Dose, error) {
	a, err := doseOf(ctx, cat, ask)
	if err != nil || a.Works || a.ResinKG > mostInOnePailKG {
		return a, err
	}
	a.Sought = true
	a.Others, err = others(ctx, cat, ask, &a)
	return a, err
}

// doseOf answers with the pair asked for and no other.
func doseOf(ctx context.Context, cat material.Catalogue, ask DoseAsk) (Dose, error) {
	b := &bucket{DoseAsk: ask, cat: cat}
	if err := b.materials(); err != nil {
		return Dose{}, err
	}
	if err := b.amounts(); err != nil {
		return Dose{}, err
	}
	a := Dose{ResinKG: b.kg, ResinL: b.kg / b.resin.DensityKGPerL, HabitPctOf10ML: b.catalyst.DensityGPerML, Resin: b.resin.Name,
		ResinKey: b.resin.Key, CatalystKey: b.catalyst.Key, With: pairName(b.resin.Name, b.catalyst)}
	var err error
	if b.law, err = lawFor(b.resin, ask.Gel, ask.Drum); err != nil {
		return a, err
	}
	if b.law, err = b.law.With(b.resin, b.catalyst); err != nil {
		return a, as(Faulty, err)
	}
	return b.answer(ctx, a)
}

// Refused says no when no dose works.
func (a *Dose) Refused() error {
	if !a.Works {
		return refuse("no dose works")
	}
	return nil
}

func (b *bucket) materials() error {
	key := b.Resin
	switch {
	case key != "":
	case b.Coat:
		key = usualCoat
	case b.Gel != nil:
		key = b.Gel.ResinKey
	default:
		key = UsualResin
	}
	var err error
	if b.resin, err = b.cat.Resin(key); err != nil {
		return as(Asked, err)
	}
	if b.Gel != nil && b.Gel.ResinKey != b.resin.Key {
		return wrong("gel", fmt.Sprintf("Ask for the resin %s, or leave the law out", b.Gel.ResinKey),
			"it is the law of %s and the mix is of %s", b.Gel.ResinKey, b.resin.Key)
	}
	name := b.Catalyst
	if name == "" {
		name = material.UsualCatalyst
	}
	b.catalyst, err = b.cat.Catalyst(name)
	return as(Asked, err)
}

// temps are the temperatures of resin and deck.
func (b *bucket) temps() cure.Temps {
	at := cure.At(*b.TempC)
	if b.ResinC != nil {
		at.ResinC = *b.ResinC
	}
	return at
}

// amounts checks temperature, mass and times.
func (b *bucket) amounts() error {
	switch {
	case b.TempC == nil || math.IsNaN(b.temps().Warmest()):
		return wrong("temp", "", "give the temperature of the deck, such as 12, and that of the resin where the pail is not as warm")
	case (b.KG == nil) == (b.Litres == nil):
		return wrong("litres", "", "give how much resin, once: in litres or in kilograms")
	case b.KG != nil:
		b.kg = *b.KG
	default:
		b.kg = *b.Litres * b.resin.DensityKGPerL
	}
	switch {
	case !(b.kg > 0 && b.kg <= mostInADrumKG):
		return wrong("kg", "", "%g kg of resin: give more than 0 and no more than a drum", b.kg)
	case !(b.NeedMin > 0 && b.NeedMin <= mostLayMin):
		return wrong("minutes", "", "%g minutes to lay it: give more than 0", b.NeedMin)
	case !(b.MarginMin >= 0 && b.MarginMin <= mostLayMin):
		return wrong("margin", "", "%g minutes kept before gel: give 0 or more", b.MarginMin)
	case b.LeftKG != nil && !(*b.LeftKG > 0 && *b.LeftKG <= b.kg):
		return wrong("left", "", "%g kg left of %g kg: give more than 0 and no more than the mix", *b.LeftKG, b.kg)
	}
	return nil
}

// lawFor is the law of a resin: the learned one, for its drum where it knows the drum,
// else that of the data sheet.
func lawFor(r material.Resin, learned *gelfile.Law, drum string) (cure.Gel, error) {
	if learned == nil {
		if drum != "" {
			return cure.Gel{}, wrong("drum", "", "%s: a drum is known only from its log: give the law learned from it as well", drum)
		}
		g, err := cure.NewGel(r)
		return g, as(Faulty, err)
	}
	if drum == "" {
		return learned.Gel, nil
	}
	g, ok := learned.Gel.ForDrum(drum)
	if !ok {
		var names []string
		for _, d := range learned.Gel.Drums {
			names = append(names, d.Name)
		}
		return g, wrong("drum", "", "%s: the log knows %s", drum, strings.Join(names, ", "))
	}
	return g, nil
}

// answer works the dose out.
func (b *bucket) answer(ctx context.Context, a Dose) (Dose, error) {
	// The data sheet's law, or the log's; a cup below changes what is told, and the dose.
	sheet := b.law
	ask := cure.Ask{Resin: b.resin, Catalyst: b.catalyst, Gel: &b.law, At: b.temps(), NeedMin: b.NeedMin, MarginMin: b.MarginMin, KG: b.kg}
	if b.Cup != nil {
		var err error
		if b.law, a.Cup, err = withCup(sheet, *b.Cup); err != nil {
			return a, err
		}
	}
	a.Evidence = b.law.Evidence
	if b.Ready != "" {
		advice, milestone, err := b.weigh(ctx)
		if err != nil && !errors.As(err, new(*cure.Refusal)) {
			return a, err
		}
		if len(advice.Frontier) > 0 {
			a.Ready = &Ready{Milestone: milestone.Done(), ByMin: b.ByMin, Chosen: advice.Chosen, Frontier: advice.Frontier,
				Measures: advice.Measures}
		}
		if err != nil {
			return a.refused(err)
		}
		ask.Pct, ask.Why = advice.Chosen.Pct, advice.Figure
	}
	if b.MostKG > 0 && b.kg > b.MostKG+1e-9 {
		return a.refused(tooMuchFor(b.kg, b.MostKG, b.Crew))
	}
	if b.kg > mostInOnePailKG {
		return a.refused(tooMuch(b.kg))
	}
	d, err := cure.Dose(ask)
	if err != nil {
		return a.refused(err)
	}
	a.Works = true
	a.CatalystML, a.CatalystG, a.PctByMass, a.MLPerLitre = d.CatalystML, d.CatalystG, d.Pct, d.MLPerL
	a.GelLowMin, a.GelLikelyMin, a.GelHighMin = d.Gel.LowMin, d.Gel.LikelyMin, d.Gel.HighMin
	a.HabitML, a.Notes, a.Figures = d.HabitML, d.Notes, d.Figures
	if b.LeftKG != nil && *b.LeftKG > 0 {
		if err := b.leave(ctx, &a); err != nil {
			return a, err
		}
	}
	return a, nil
}

// tooMuch refuses a mass that nobody lays from one pail.
func tooMuch(kg float64) error {
	n := math.Ceil(kg / usualPailKG)
	return &cure.Refusal{Reason: cure.ErrNotThatLong,
		Finding: fmt.Sprintf("%.3g kg in one pail: it heats itself, and two people spread about half a kilogram to three quarters a minute", kg),
		Remedies: []check.Remedy{{Text: fmt.Sprintf("mix it as %.0f buckets of %.2g kg, each poured out at once, and ask again for one of them",
			n, kg/n)}}}
}

// tooMuchFor refuses a mass beyond what the experience of a crew allows.
func tooMuchFor(kg, mostKG float64, crew string) error {
	n := math.Ceil(kg/mostKG - 1e-9)
	finding := fmt.Sprintf("%.3g kg in one pail: a crew that is %s mixes no more than %g kg at once (common practice, no source)", kg,
		crew, mostKG)
	remedy := fmt.Sprintf("mix it as %.0f buckets of %.3g kg, one after the other, and ask again for one of them", n, kg/n)
	return &cure.Refusal{Reason: cure.ErrNotThatLong, Finding: finding, Remedies: []check.Remedy{{Text: remedy}}}
}

// refused takes over a refusal; any other error is an answer of no.
func (a Dose) refused(err error) (Dose, error) {
	var no *cure.Refusal
	if !errors.As(err, &no) {
		return a, as(No, err)
	}
	a.Why = no.Finding
	for _, m := range no.Remedies {
		a.Remedies = append(a.Remedies, m.Text)
	}
	return a, nil
}

// withCup is a law with what a test cup tells.
func withCup(law cure.Gel, c roof.Cup) (cure.Gel, *CupTold, error) {
	cup := &CupTold{Min: c.Min, TempC: c.TempC, Pct: c.Pct}
	after, err := law.WithCup(cup.TempC, cup.Pct, cup.Min)
	if err != nil {
		return law, nil, as(No, err)
	}
	cup.Surprise = law.CupSurprise(cup.TempC, cup.Pct, cup.Min)
	if cup.Before, err = law.Time(cup.TempC, cup.Pct); err != nil {
		return law, nil, as(No, err)
	}
	cup.After, err = after.Time(cup.TempC, cup.Pct)
	return after, cup, err
}

// leave adds what becomes of what is left in the bucket.
func (b *bucket) leave(ctx context.Context, a *Dose) error {
	d, err := cure.Roof().LeftOver(ctx, b.law,
		cure.Left{KG: *b.LeftKG, DensityKGPerL: b.resin.DensityKGPerL, Pct: a.PctByMass, AirC: *b.TempC})
	if err != nil {
		return err
	}
	a.LeftOver = &LeftOver{KG: *b.LeftKG, Verdict: string(d.Verdict), GelMin: d.GelMin, PeakC: d.PeakC, PeakMin: d.PeakMin,
		PeakLow: d.PeakLowC, PeakHigh: d.PeakHighC, DepthMM: d.SafeDepthMM, Sand: d.SandVolumes, Runaway: d.Runaway,
		SafeKG: d.SafeKG, Finding: d.Finding}
	for _, m := range d.Remedies {
		a.LeftOver.Remedies = append(a.LeftOver.Remedies, m.Text)
	}
	a.Figures = append(a.Figures, d.Figures...)
	return nil
}
