package laying

import (
	"context"
	"fmt"
	"maps"
	"math"

	"gelwright/check"
	"gelwright/conduction"
	"gelwright/cure"
	"gelwright/mixing"
	"gelwright/roof"
	"gelwright/steps"
	"gelwright/working"
)

// WetPass is how one pass of laminate or top coat hardens at the day's temperatures,
// reckoned for its last bucket, which is the last to be hard.
type WetPass struct {
	Deck  string `json:"deck"`
	Kind  string `json:"kind"` // "mat" or "top coat", with Layer as in Pass
	Layer int    `json:"layer"`
	Resin string `json:"resin"`
	// Key is the prefix of its figures: "wet.main.mat1".
	Key string `json:"key"`
	// Bucket is the last of the pass, mixed at MixAtMin after midnight of Day, counted
	// through the job, on a deck
	// of DeckC, with Pct of catalyst by mass.
	Bucket   int     `json:"bucket"`
	Day      int     `json:"day"`
	MixAtMin float64 `json:"mix_at_min"`
	DeckC    float64 `json:"deck_c"`
	Pct      float64 `json:"pct_by_mass"`
	// The film that cures: resin and glass of this pass on a square metre.
	ResinKGPerM2 float64 `json:"resin_kg_per_m2"`
	GlassKGPerM2 float64 `json:"glass_kg_per_m2"`
	// Marks are the milestones in the order of cure.Milestones.
	Marks []WetMark `json:"milestones"`
	// The film's own peak temperature with its range.
	PeakC     float64 `json:"peak_c"`
	PeakLowC  float64 `json:"peak_low_c"`
	PeakHighC float64 `json:"peak_high_c"`
	// Left is the largest bucket of the pass, were it left standing.
	Left WetBucket `json:"left_standing"`
	// Curve is conversion and temperature of the likely case over the minutes from mixing.
	Curve []cure.Moment `json:"curve"`
	// Doses of its largest bucket, weighed, where it is the largest of the job.
	Doses *Doses `json:"doses,omitempty"`

	law  cure.Gel
	ask  cure.TableAsk
	goal cure.Goal
}

// WetMark is a milestone in minutes after mixing; never is null in JSON.
type WetMark struct {
	Milestone string     `json:"milestone"`
	After     cure.Range `json:"min_after_mixing"`
	// Key of its figure.
	Key string `json:"key"`

	is     cure.Milestone
	figure *working.Figure
}

// WetBucket is a bucket left standing.
type WetBucket struct {
	Bucket  int     `json:"bucket"`
	KG      float64 `json:"kg"`
	TempC   float64 `json:"temp_c"`
	Pct     float64 `json:"pct_by_mass"` // its dose in the plan
	GelMin  float64 `json:"gel_min"`
	PeakC   float64 `json:"peak_c"`
	PeakMin float64 `json:"peak_min"`
	// PeakLowC and PeakHighC: gel, heat of cure and loss each at the end of its range.
	PeakLowC  float64 `json:"peak_low_c"`
	PeakHighC float64 `json:"peak_high_c"`

	danger cure.Danger
}

// At returns the minutes after mixing at which a milestone is reached.
func (w *WetPass) At(m cure.Milestone) cure.Range {
	for _, x := range w.Marks {
		if x.Milestone == m.String() {
			return x.After
		}
	}
	return cure.Range{LowMin: math.Inf(1), LikelyMin: math.Inf(1), HighMin: math.Inf(1)}
}

// Last reports whether nothing is laid over a pass, on a roof of so many top coats.
func (w *WetPass) Last(coats int) bool { return w.Kind == "top coat" && w.Layer >= coats }

// Told are the milestones that anybody is told of a pass, on a roof of so many top coats: nothing goes over the last coat, and a
// coat is sanded only to be coated anew, so the last is not.
func (w *WetPass) Told(coats int) []WetMark {
	var out []WetMark
	for _, m := range w.Marks {
		over := m.Milestone == cure.OverCoatFrom.String() || m.Milestone == cure.OverCoatUntil.String() || m.Milestone == cure.Sand.String()
		if over && w.Last(coats) {
			continue
		}
		out = append(out, m)
	}
	return out
}

// markKeys are the last part of a milestone's key.
var markKeys = map[cure.Milestone]string{
	cure.AtGel: "gel", cure.Trim: "trim", cure.Walk: "walk", cure.Sand: "sand", cure.RainSafe: "rain_safe",
	cure.OverCoatFrom: "over_coat_from", cure.OverCoatUntil: "over_coat_until", cure.FullCure: "full_cure",
}

const (
	// wetCases of the film are run for a range: the law, drum, dose, temperature,
	// thickness and eye at points that are always the same; within some 6 per cent of
	// the range of thousands.
	wetCases = 20
	// wetDays is for how many days a day given hour by hour is taken to repeat itself.
	wetDays = 3
	// curveMin is how far the curve of a pass is followed.
	curveMin = 10 * 24 * 60
	// eveningMin after the crew's end by which the last bucket should be safe from rain.
	eveningMin = 120
)

// film is what a hardening run depends on; passes that share it share the run.
type film struct {
	resin               string
	resinKG, glassKG    float64
	pct, startMin, temp float64
	below               float64 // mm of laminate below it
}

type hardened struct {
	ranges cure.FilmRanges
	run    cure.FilmRun
}

// Films keeps the hardening runs that passes share.
type Films map[film]hardened

// Ground is what the films of the wet work are made of, lie on, and how warm it gets.
type Ground struct {
	Resin, Coat Liquid
	// Layers of mat, tissue, resin to glass and the rate of a coat, as in the specification.
	Layers                    []float64
	TissueGPerM2              float64
	ResinToGlass, CoatKGPerM2 float64
	// BoardMM below the laminate, InsulationMM below the boards; 0 for none.
	BoardMM, InsulationMM float64
	// Hours from the midnight of day 1 on, none where the day has one temperature. Forecast is
	// set where they are those of the days themselves; otherwise every day is like the first.
	Hours    []ScheduleHour
	Forecast bool
	// EndMin is the end of the crew's day.
	EndMin float64
}

// HardeningInput is every pass with its buckets.
type HardeningInput struct {
	Buckets steps.Made[Buckets]
	Ground  Ground
	// Decks by name in the order of the file.
	Decks []string
}

// Hardening is how every pass hardens.
type Hardening struct {
	Wet []WetPass
	check.Notes
}

// MakeHardening follows every pass of laminate and top coat until it is hard.
func MakeHardening(ctx context.Context, in HardeningInput) (Hardening, error) {
	var out Hardening
	if err := out.cups(&in.Ground, in.Buckets.Value.Passes); err != nil {
		return out, err
	}
	films := maps.Clone(in.Buckets.Value.Films)
	for i := range in.Buckets.Value.Passes {
		x := &in.Buckets.Value.Passes[i]
		if x.Plan == nil || len(x.Plan.Mixes) == 0 || x.Pieces() {
			continue
		}
		w, err := out.pass(ctx, &in.Ground, films, x)
		if err != nil {
			return out, fmt.Errorf("deck %q, %s %d: %w", x.Deck, x.Kind, x.Layer, err)
		}
		out.Wet = append(out.Wet, w)
	}
	for _, deck := range in.Decks {
		out.checks(&in.Ground, deck, len(in.Decks) > 1)
	}
	return out, nil
}

// lawAndMarks returns the resin of a pass, at which conversions it is hard enough for what,
// and the prefix of its figures.
func (g *Ground) lawAndMarks(x *Pass) (Liquid, cure.Thresholds, string) {
	if x.Kind == "top coat" {
		return g.Coat, cure.TopCoatThresholds(), fmt.Sprintf("wet.%s.coat%d", x.Deck, x.Layer)
	}
	return g.Resin, cure.RoofThresholds(), fmt.Sprintf("wet.%s.mat%d", x.Deck, x.Layer)
}

// filmed follows the last bucket of a pass of mat or top coat until it is hard; passes that
// share film, dose and course share the run.
func (g *Ground) filmed(ctx context.Context, films Films, x *Pass) (hardened, error) {
	r, th, _ := g.lawAndMarks(x)
	last := x.Plan.Mixes[len(x.Plan.Mixes)-1]
	resinKG, glassKG, below := g.filmOf(x)
	f := cure.Film{ResinKGPerM2: resinKG, GlassKGPerM2: glassKG, Deck: below, Base: g.courseFrom(last.Day, last.MixAtMin, last.TempC)}
	belowMM := 0.0
	if below[0].Name == "laminate" {
		belowMM = below[0].ThicknessMM
	}
	is := film{r.Key, resinKG, glassKG, last.DosePct, last.MixAtMin, last.TempC, belowMM}
	switch {
	case len(g.Hours) == 0:
		is.startMin = 0 // a level deck is the same at any hour
	case g.Forecast:
		is.startMin += float64(last.Day) * dayMin
	}
	if h, ok := films[is]; ok {
		return h, nil
	}
	k := cure.Roof()
	var h hardened
	var err error
	if h.ranges, err = cure.FilmRange(ctx, r.Law, k, f, last.DosePct, th, cure.Doubts{}, wetCases); err != nil {
		return h, err
	}
	// Far enough for the picture: the hardening itself comes from the cases.
	f.Trace, f.EndMin = true, curveMin
	if h.run, err = k.Matched(r.Law, last.TempC, last.DosePct).Film(ctx, f, last.DosePct, th); err != nil {
		return h, err
	}
	films[is] = h
	return h, nil
}

func (out *Hardening) pass(ctx context.Context, g *Ground, films Films, x *Pass) (WetPass, error) {
	r, th, key := g.lawAndMarks(x)
	h, err := g.filmed(ctx, films, x)
	if err != nil {
		return WetPass{}, err
	}
	k := cure.Roof()
	last := x.Plan.Mixes[len(x.Plan.Mixes)-1]
	w := WetPass{Deck: x.Deck, Kind: x.Kind, Layer: x.Layer, Resin: x.Resin, Key: key, Bucket: last.Number, Day: last.Day,
		MixAtMin: last.MixAtMin, DeckC: last.TempC, Pct: last.DosePct, law: r.Law}
	var below []conduction.Layer
	w.ResinKGPerM2, w.GlassKGPerM2, below = g.filmOf(x)
	w.PeakC, w.PeakLowC, w.PeakHighC = h.ranges.PeakC, h.ranges.PeakLow, h.ranges.PeakHigh
	w.Curve = keptCurve(h.run.Trace)
	w.ask = cure.TableAsk{Kinetics: k, Thresholds: th, Deck: below, GlassShare: w.GlassKGPerM2 / w.ResinKGPerM2}
	if w.GlassKGPerM2 == 0 {
		w.ask.GlassShare = -1
	}
	if err := g.largest(ctx, &w, x, r); err != nil {
		return WetPass{}, err
	}
	return w, out.figures(&w, h, k, th, len(g.Hours) > 0)
}

// filmOf returns resin and glass of a pass on a square metre, in kg, and what lies below.
func (g *Ground) filmOf(x *Pass) (resinKG, glassKG float64, below []conduction.Layer) {
	below = []conduction.Layer{cure.Board(g.BoardMM)}
	if g.InsulationMM > 0 {
		below = append(below, cure.Insulant(g.InsulationMM))
	}
	rate := rates(roof.Spec{Layers: g.Layers, ResinToGlass: g.ResinToGlass, TissueGPerM2: g.TissueGPerM2})
	upTo := len(g.Layers)
	if x.Kind == "mat" {
		upTo = x.Layer - 1
		glassKG = g.Layers[x.Layer-1] / 1000
		resinKG = rate.layer[x.Layer-1]
		if x.Layer == len(g.Layers) {
			glassKG, resinKG = glassKG+g.TissueGPerM2/1000, resinKG+rate.tissue
		}
	} else {
		resinKG = g.CoatKGPerM2
	}
	under := cure.Film{}
	for i := range upTo {
		under.GlassKGPerM2 += g.Layers[i] / 1000
		under.ResinKGPerM2 += rate.layer[i]
	}
	if upTo > 0 {
		l := under.Laminate(cure.Roof())
		below = append([]conduction.Layer{l}, below...)
	}
	return resinKG, glassKG, below
}

// courseFrom is the deck's temperature from a mix on, in minutes after it, with what lies
// before the mix: the hours known, then level at the mean of their last day; or one
// temperature. Without a forecast every day is like the first.
func (g *Ground) courseFrom(day int, mixAtMin, tempC float64) []cure.Reading {
	if len(g.Hours) == 0 {
		return []cure.Reading{{Min: 0, TempC: tempC}}
	}
	if !g.Forecast {
		day = 1
	}
	var out []cure.Reading
	for _, h := range g.Hours {
		out = append(out, cure.Reading{Min: float64(h.Day-day)*dayMin + h.Min - mixAtMin, TempC: h.DeckC})
	}
	last, mean, n := out[len(out)-1].Min, 0.0, 0.0
	for _, r := range out {
		if r.Min > last-dayMin+1e-9 {
			mean, n = mean+r.TempC, n+1
		}
	}
	level := last + 60
	if !g.Forecast {
		level = out[0].Min + wetDays*dayMin
	}
	return append(out, cure.Reading{Min: level, TempC: mean / n})
}

// largest looks at the largest bucket of a pass: what it does when it is left, and what
// its dose is weighed for.
func (g *Ground) largest(ctx context.Context, w *WetPass, x *Pass, r Liquid) error {
	var big mixing.Mix
	for _, b := range x.Plan.Mixes {
		if b.ResinKG > big.ResinKG+1e-9 {
			big = b
		}
	}
	d, err := cure.Roof().LeftOver(ctx, w.law, cure.Left{KG: big.ResinKG, DensityKGPerL: r.DensityKGPerL, Pct: big.DosePct, AirC: big.TempC})
	if err != nil {
		return err
	}
	w.Left = WetBucket{Bucket: big.Number, KG: big.ResinKG, TempC: big.TempC, Pct: big.DosePct, GelMin: d.GelMin, PeakC: d.PeakC,
		PeakMin: d.PeakMin, PeakLowC: d.PeakLowC, PeakHighC: d.PeakHighC, danger: d}
	if math.IsInf(d.GelMin, 1) {
		return fmt.Errorf("bucket %d does not gel within a day: check the resin's gel points", big.Number)
	}
	sun := 0.0
	for _, h := range g.Hours {
		if (h.Day == big.Day || !g.Forecast && h.Day == 1) && h.Min <= big.MixAtMin {
			sun = math.Max(0, h.DeckC-h.AirC)
		}
	}
	w.goal = cure.Goal{LayMin: big.LayingMin, Ready: cure.RainSafe, ByMin: math.Max(30, g.EndMin+eveningMin-big.MixAtMin),
		ResinKGPerM2: w.ResinKGPerM2, KG: big.ResinKG, DensityKGPerL: r.DensityKGPerL, Base: g.courseFrom(big.Day, big.MixAtMin,
			big.TempC), SunK: math.Min(sun, 30)}
	return nil
}

// lastingMin bounds what a figure can print: a time that is never reached within it.
const lastingMin = 30 * 24 * 60

// within takes a time beyond 30 days for never.
func within(r cure.Range) cure.Range {
	for _, v := range []*float64{&r.LowMin, &r.LikelyMin, &r.HighMin} {
		if *v > lastingMin {
			*v = math.Inf(1)
		}
	}
	return r
}

var (
	filmPeak   = working.Method("Tp", "heat of cure less what deck and air take, film and deck by finite volumes")
	bucketPeak = working.Method("Tb", "integration of m·cp·dT/dt = m·H·dα/dt − U·A·(T − Ta)")
)

// figures notes the milestones of a pass.
func (out *Hardening) figures(w *WetPass, h hardened, k cure.Kinetics, th cure.Thresholds, byHours bool) error {
	gel, err := w.law.Working(w.DeckC, w.Pct, "the deck at mixing and the chosen dose")
	if err != nil {
		return err
	}
	on := []*working.Figure{
		working.Measured("mr", "resin of the pass on a square metre", w.ResinKGPerM2, "kg/m²",
			"glass of the pass by its resin to glass; of a coat, its rate"),
		working.Measured("Td", "deck at mixing of bucket "+fmt.Sprint(w.Bucket), w.DeckC, "°C",
			"the day's temperatures at the mixing of the pass's last bucket"),
	}
	if byHours {
		on = append(on, working.Choice("days after this one", "like this one",
			working.Source{Title: "no forecast beyond the hours given", Standing: working.Assumed}))
	}
	for _, is := range cure.Milestones() {
		key := w.Key + "." + markKeys[is]
		r := within(h.ranges.Hardening[is])
		name := fmt.Sprintf("%s, %s %d of deck %s", is.Done(), w.Kind, w.Layer, w.Deck)
		if math.IsInf(r.LikelyMin, 1) {
			f := out.Figure(working.Choice(name, "not within 30 days", th.Standing,
				append([]*working.Figure{gel}, on...)...).Keyed(key).Noting("the cure stops short in the cold"))
			w.Marks = append(w.Marks, WetMark{Milestone: is.String(), After: r, Key: key, is: is, figure: f})
			continue
		}
		shown := cure.Range{LowMin: r.LowMin, LikelyMin: r.LikelyMin, HighMin: math.Min(r.HighMin, lastingMin)}
		f := cure.MilestoneFigure(is, shown, gel, k, th)
		f.Name, f.Inputs = name, append(f.Inputs, on...)
		if math.IsInf(r.HighMin, 1) {
			f.Noting("at the latest it may not come within 30 days; " + f.Note)
		}
		out.Figure(f.Keyed(key))
		w.Marks = append(w.Marks, WetMark{Milestone: is.String(), After: r, Key: key, is: is, figure: f})
	}
	in := []*working.Figure{gel, working.Constant("H", "heat of cure", k.HeatKJPerKG, "kJ/kg",
		working.Source{Title: "kinetics " + k.Name, Clause: k.Standing, Standing: working.Assumed})}
	balance := working.Source{Title: "heat of cure conducted into the deck", Standing: working.Derived}
	out.Figure(filmPeak.Run("peak of the film", w.PeakC, "°C", balance, append(in, on...)...).Between(w.PeakLowC,
		w.PeakHighC).Keyed(w.Key + ".peak"))
	out.Figure(bucketPeak.Run(fmt.Sprintf("peak of bucket %d, left standing", w.Left.Bucket), w.Left.PeakC, "°C",
		working.Source{Title: "heat balance of a lumped body", Standing: working.Derived},
		append(in, working.Measured("m", "resin in the bucket", w.Left.KG, "kg", "the largest bucket of the pass"))...).Keyed(w.Key+
		".bucket_peak").Between(w.Left.PeakLowC, w.Left.PeakHighC).Noting("boiling and cracking are left out"))
	return nil
}

// checks asks of a deck what a bucket left standing does, and whether its passes harden in
// useful time.
func (out *Hardening) checks(g *Ground, deck string, several bool) {
	var passes []*WetPass
	for i := range out.Wet {
		if out.Wet[i].Deck == deck {
			passes = append(passes, &out.Wet[i])
		}
	}
	if len(passes) == 0 {
		return
	}
	worst := passes[0]
	for _, w := range passes {
		if w.Left.KG > worst.Left.KG+1e-9 || w.Left.KG > worst.Left.KG-1e-9 && w.Left.PeakC > worst.Left.PeakC {
			worst = w
		}
	}
	out.AnswerOn(deck, several, worst.leftOver())
	out.AnswerOn(deck, several, window(passes, len(g.Hours) > 0))
}

func (w *WetPass) leftOver() check.Result {
	d := w.Left.danger
	r := check.Result{Key: "cure.leftover", Title: "What happens to a bucket that is left standing?", Verdict: d.Verdict,
		Finding: fmt.Sprintf("bucket %d, the largest: %s", w.Left.Bucket, d.Finding), Clause: d.Source, Working: d.Figures, Remedies: d.Remedies}
	if r.Verdict == check.Fail {
		// The plan lays it in time; the danger is in what goes wrong.
		r.Verdict = check.Caution
	}
	return r
}

// tableTemps are steps of 5 K or less over what the deck runs through and the measures
// would make of it, within the resin's limits.
func (w *WetPass) tableTemps() []float64 {
	const aroundK, stepK = 6.0, 5.0
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range w.goal.Base {
		low, high = math.Min(low, r.TempC), math.Max(high, r.TempC)
	}
	low = math.Max(w.law.MinC, math.Min(low-aroundK-w.goal.SunK, w.law.MaxC-aroundK))
	high = math.Min(w.law.MaxC, math.Max(high+aroundK, w.law.MinC+aroundK))
	n := max(1, int(math.Ceil((high-low)/stepK)))
	out := make([]float64, n+1)
	for i := range out {
		out[i] = low + (high-low)*float64(i)/float64(n)
	}
	return out
}
