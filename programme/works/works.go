package works

import (
	"context"
	"fmt"
	"math"

	"gelwright/conduction"
	"gelwright/cure"
	"gelwright/laying"
	"gelwright/material"
	"gelwright/plan"
	"gelwright/plane"
	"gelwright/programme"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/weather"
	"gelwright/working"
)

// Work is a roof as stages.
type Work struct {
	Stages  []programme.Stage `json:"stages"`
	Hours   programme.Hours   `json:"hours"`
	Figures []*working.Figure `json:"-"`
	Notes   []string          `json:"notes,omitempty"`
}

// blockMin is the least length of a stretch of laminate between two places where the
// day may end: about a strip.
const blockMin = 20

// leastBetweenMin is the least that is laid between two day joints, min (assumed).
const leastBetweenMin = 60

// leastPotsMin is the least that is bandaged at a stretch, min: for less nobody opens a pail, mixes and cleans rollers (assumed).
const leastPotsMin = 60

// footH is how long a top coat is left alone at the least before anybody walks on it to fix
// flashings, h: a light foot after a day (common practice, no source); in the cold it takes longer.
const footH = 24

type maker struct {
	p      *plan.Plan
	own    Rates
	r      Rates
	people float64
	out    Work
	mat    map[int]*programme.Film
	coat   *programme.Film
	small  *programme.Film
	wet    *weather.StageLimits
	top    *weather.StageLimits
	dry    *weather.StageLimits
}

// Of makes the stages of a planned roof in their order. people overrides the job's
// crew when it is not 0. in is what p was planned from: its gel laws are those of the doses.
func Of(ctx context.Context, p *plan.Plan, in *plan.Input, own Rates, people int) (*Work, error) {
	j := &p.Job
	if people == 0 {
		people = j.Crew.People
	}
	if people < 1 {
		return nil, fmt.Errorf("crew.people: nobody works. Give 1 or more")
	}
	m := &maker{p: p, own: own, r: own.Over(CommonRates()), people: float64(people), mat: map[int]*programme.Film{}}
	if own.LayM2 == 0 && j.Crew.LayM2PerManHour > 0 {
		m.own.LayM2, m.r.LayM2 = j.Crew.LayM2PerManHour, j.Crew.LayM2PerManHour
	}
	goods, err := wetGoodsOf(in, j)
	if err != nil {
		return nil, err
	}
	if err := m.films(ctx, &goods); err != nil {
		return nil, err
	}
	if err := m.limits(in, &goods); err != nil {
		return nil, err
	}
	m.out.Hours = hoursOf(j)
	if len(j.Site.Neighbours) > 0 {
		m.out.Notes = append(m.out.Notes, "neighbours are near: resin goes down between 09:00 and 18:00 only; give notice 48 h before")
	}
	// A deck that is stripped is made watertight before the next is opened; new decks
	// are all boarded first.
	order := laying.TopDown(j.Decks)
	for _, i := range order {
		m.before(&p.Decks[i])
		if j.Work.Kind == "strip" {
			m.deck(&p.Decks[i], &j.Decks[i])
		}
	}
	for _, i := range order {
		if j.Work.Kind != "strip" {
			m.deck(&p.Decks[i], &j.Decks[i])
		}
	}
	m.after()
	if j.Work.Kind == "strip" {
		m.out.Notes = append(m.out.Notes, "strip no more than can be boarded and made tight the same day; sheet over bare boards: rain on "+
			"them costs one to three drying days")
	}
	return &m.out, nil
}

// films are how each layer and the top coat harden on the boards.
func (m *maker) films(ctx context.Context, goods *wetGoods) error {
	spec := &m.p.Job.Spec
	deck := []conduction.Layer{cure.Board(math.Max(6, spec.Board.ThicknessMM))}
	var err error
	for i, g := range spec.Layers {
		glass := g / 1000
		if m.mat[i+1], err = FilmOf(ctx, fmt.Sprintf("mat layer %d", i+1), goods.mat, math.Max(0.5, glass*spec.ResinToGlass), glass,
			deck); err != nil {
			return err
		}
		m.mat[i+1].SD = math.Max(m.mat[i+1].SD, 0.1)
	}
	m.small = m.mat[1]
	m.coat, err = FilmOf(ctx, "top coat", goods.top, math.Max(0.4, spec.TopCoat.KGPerM2), 0, deck)
	return err
}

// wetGoods are laminating resin and top coat, with the laws that the plan doses them by.
type wetGoods struct {
	resin, coat            material.Resin
	catalyst, coatCatalyst material.Catalyst
	mat, top               Resin
}

func wetGoodsOf(in *plan.Input, j *roof.Job) (wetGoods, error) {
	var out wetGoods
	for _, g := range []struct {
		field, key, catalyst string
		is                   *material.Resin
		with                 *material.Catalyst
		law                  *Resin
	}{{"spec.resin", j.Spec.Resin, j.Spec.Catalyst, &out.resin, &out.catalyst, &out.mat},
		{"spec.coat_resin", j.Spec.CoatResin, j.Spec.CoatCatalyst, &out.coat, &out.coatCatalyst, &out.top}} {
		var err error
		if *g.is, err = in.Catalogue.Resin(g.key); err != nil {
			return out, fmt.Errorf("%s: %w", g.field, err)
		}
		if *g.with, err = in.Catalogue.Catalyst(g.catalyst); err != nil {
			return out, fmt.Errorf("%s: %w", g.field, err)
		}
		if g.law.Law, err = in.Law(*g.is, *g.with); err != nil {
			return out, fmt.Errorf("%s: %w", g.field, err)
		}
		g.law.Coat, g.law.MarginMin = g.is.Coat, j.Crew.MarginMin
	}
	return out, nil
}

func hoursOf(j *roof.Job) programme.Hours {
	h := programme.Hours{StartMin: j.Crew.Start.Or(roof.ClockAt(8 * 60)).Min(), EndMin: j.Crew.End.Or(roof.ClockAt(17 * 60)).Min()}
	if len(j.Site.Neighbours) > 0 {
		// Laminate in the hours in which windows are least missed.
		h.SmellFromMin, h.SmellUntilMin = 9*60, 18*60
	}
	return h
}

// limits takes the trade's limits, tightened where the data sheet is stricter.
func (m *maker) limits(in *plan.Input, goods *wetGoods) error {
	wet, top := weather.LaminateLimits(), weather.TopCoatLimits()
	tighten(&wet, goods.resin)
	tighten(&top, goods.coat)
	// The rule of two hours before sunset stands for the evening's dew, which is
	// computed here: the film must be safe before the deck comes near the dew point.
	top.BeforeSunsetH = 0
	var err error
	if wet.Mix, err = in.HottestDecks(goods.resin, goods.catalyst); err != nil {
		return err
	}
	if top.Mix, err = in.HottestDecks(goods.coat, goods.coatCatalyst); err != nil {
		return err
	}
	m.wet, m.top = &wet, &top
	m.dry = &weather.StageLimits{Stage: "dry work", RainTrace: wet.RainTrace,
		WindMax: working.Constant("", "highest wind for sheet materials", 10, "m/s",
			working.Source{Title: "roofing practice", Standing: working.CommonPractice}), MoistureMax: wet.MoistureMax, Light: true}
	return nil
}

func tighten(l *weather.StageLimits, r material.Resin) {
	sheet := func(name string, v float64) *working.Figure {
		return working.Constant("", name, v, "°C", r.Sheet("min_c", "max_c"))
	}
	if r.MinC > l.SurfaceMin.Value {
		l.SurfaceMin = sheet("least deck temperature", r.MinC)
		l.AirMin = sheet("least air temperature", r.MinC)
	}
	if r.MaxC > 0 && r.MaxC < l.SurfaceMax.Value {
		l.SurfaceMax = sheet("highest deck temperature", r.MaxC)
	}
}

// The crew's times, min: n people, rates r an hour of one.
var (
	timeStrip    = working.MustFormula("t = 60·(A/r + h)/n")
	timeBoards   = working.MustFormula("t = 60·A/r/n")
	timeWarm     = working.MustFormula("t = (60·A/r + 60·A/ri)/n")
	timeTrims    = working.MustFormula("t = (60·L/r + k·h·60)/n")
	timeBandage  = working.MustFormula("t = l/n")
	timeDetails  = working.MustFormula("t = (l + 60·Σ h)/n")
	timeLaminate = working.MustFormula("t = 60·A/r/n")
	timeFlash    = working.MustFormula("t = 60·L/r/n")
	timeClear    = working.MustFormula("t = 60·(h + hh)/n")
	timeSand     = working.MustFormula("ts = 60·A/r/n")
	timeCutIn    = working.MustFormula("tc = max(l/n, tm)")
	timeField    = working.MustFormula("tf = 60·Af/r/n")
	timeScatter  = working.MustFormula("tf = 60·Af/r/n + 60·Af/ra/n")
	timeMask     = working.MustFormula("tk = 60·L/r/n")
	timeCoat     = working.MustFormula("t = (ts + tk + tc + tf)·p")
	overRate     = working.Source{Title: "work over the crew's rate", Standing: working.Derived}
)

// crew is the people at work as a figure.
func (m *maker) crew() *working.Figure {
	return working.Measured("n", "people", m.people, "", "crew")
}

// add appends a stage that takes the time of a formula; nothing when it takes none.
func (m *maker) add(s programme.Stage, by *working.Formula, inputs ...*working.Figure) *programme.Stage {
	t := by.Figure("time for "+s.Name, "min", overRate, inputs...)
	if !(t.Value > 0) {
		return nil
	}
	s.Quarters = max(1, int(math.Ceil(t.Value/15-1e-9)))
	m.out.Figures = append(m.out.Figures, t.Keyed("time."+s.Key))
	m.out.Stages = append(m.out.Stages, s)
	return &m.out.Stages[len(m.out.Stages)-1]
}

// before: what is done before a deck is laminated.
func (m *maker) before(d *plan.Deck) {
	j := &m.p.Job
	area := working.Measured("A", "area of deck "+d.Name, d.SlopeM2, "m²", "plan")
	if j.Work.Kind == "strip" {
		m.add(programme.Stage{Key: d.Name + ".strip", Name: "strip" + m.of(d), Kind: programme.Strip, Deck: d.Name, Divisible: true,
			Limits: m.dry},
			timeStrip, area, rate("strip", m.own.StripM2, m.r.StripM2, "m²/man-hour"), rate("set up", m.own.SetUpH, m.r.SetUpH, "man-hours").As("h"),
			m.crew())
	}
	by, in := timeBoards, []*working.Figure{area, rate("boards", m.own.BoardM2, m.r.BoardM2, "m²/man-hour"), m.crew()}
	if j.Spec.Insulation != nil && !m.p.InsulationStays() {
		by, in = timeWarm, append(in, rate("insulation with vapour control layer", m.own.InsulateM2, m.r.InsulateM2, "m²/man-hour").As("ri"))
	}
	s := programme.Stage{Key: d.Name + ".boards", Name: "deck" + m.of(d), Kind: programme.Boards, Deck: d.Name, Divisible: true, Limits: m.dry}
	if j.Work.Kind == "strip" {
		s.Join = programme.Lag{MostMin: 16 * 60, Why: "what is stripped is boarded or sheeted by the next morning"}
	}
	m.add(s, by, in...)
	m.add(programme.Stage{Key: d.Name + ".trims", Name: "trims" + m.of(d), Kind: programme.Trims, Deck: d.Name, Divisible: true, Bare: true,
		Limits: m.dry,
		Hold:   "deck signed off: dry at 18 % or less, fixed, no bounce"},
		timeTrims, working.Measured("L", "edges", d.EdgeM, "m", "plan"), rate("trims", m.own.TrimM, m.r.TrimM, "m/man-hour"),
		working.Measured("k", "corners", float64(len(d.Corners)), "", "plan"), rate("a corner", m.own.CornerH, m.r.CornerH, "man-hours").As("h"),
		m.crew())
}

// of names the deck where there are several.
func (m *maker) of(d *plan.Deck) string {
	if len(m.p.Decks) == 1 {
		return ""
	}
	return ", " + d.Name
}

// deck: details, mat and top coat of one level.
func (m *maker) deck(d *plan.Deck, job *roof.Deck) {
	previous := ""
	coats := 0
	for i := range m.p.Passes {
		pass := &m.p.Passes[i]
		if pass.Deck != d.Name {
			continue
		}
		switch pass.Kind {
		case "details":
			m.details(d, job, pass)
		case "mat":
			m.laminate(d, pass, previous)
		case "top coat":
			coats++
			m.topCoat(d, pass, coats)
		}
		previous = pass.Kind
	}
}

func (m *maker) details(d *plan.Deck, job *roof.Deck, pass *laying.Pass) {
	by, in := timeBandage, []*working.Figure{working.Measured("l", "bandage and details", pass.ManMin, "man-minutes", "pieces of the details"),
		m.crew()}
	extra := func(what string, own, common float64) {
		in = append(in, rate(what, own, common, "man-hours").As("h"))
	}
	for _, o := range job.Openings {
		if o.KerbMM > 0 {
			extra("kerb of "+o.Name, m.own.KerbH, m.r.KerbH)
		}
	}
	for _, x := range job.Penetrations {
		if x.Kind == "outlet" || x.Kind == "overflow" {
			extra(x.Kind+" "+x.Name, m.own.OutletH, m.r.OutletH)
		} else {
			extra(x.Kind+" "+x.Name, m.own.PipeH, m.r.PipeH)
		}
	}
	if len(in) > 2 {
		by = timeDetails
	}
	m.add(programme.Stage{Key: d.Name + ".details", Name: "bandage and details" + m.of(d), Kind: programme.Details, Deck: d.Name,
		Divisible: true, LeastQuarters: leastPotsMin / 15, Bare: true, Limits: m.wet, Smells: true,
		Film: m.small, Hold: "each edge photographed: laps, nails, drip into gutter"}, by, in...)
}

// laminate cuts a pass of mat into stretches that each end at a sound place for a day
// joint: the end of a strip.
func (m *maker) laminate(d *plan.Deck, pass *laying.Pass, previous string) {
	pace := m.r.LayM2
	name, own := "laminate one layer", m.own.LayM2
	if pass.Layer > 1 && m.own.LayM2 == 0 {
		pace, name, own = m.r.SecondLayerM2, "second layer", m.own.SecondLayerM2
	}
	perM2 := 60 / pace / m.people // minutes of the crew
	parts := cellsOf(pass, perM2)
	f := m.mat[pass.Layer]
	base := programme.Stage{Key: fmt.Sprintf("%s.mat%d", d.Name, pass.Layer), Name: fmt.Sprintf("laminate%s", m.of(d)),
		Kind: programme.Laminate, Deck: d.Name, Limits: m.wet, Smells: true, Film: f,
		SafeAt: programme.RainSafe, LeadLimits: m.dry, Bare: pass.Layer == 1}
	if len(m.mat) > 1 {
		base.Name = fmt.Sprintf("laminate layer %d%s", pass.Layer, m.of(d))
	}
	first := programme.Lag{Why: "at once"}
	again := (*programme.Lag)(nil)
	againMin, againWhy := 0.0, ""
	if previous != "" {
		first = programme.Lag{Least: programme.Trim, Most: programme.OverCoatUntil, Why: "on gelled resin, inside its over-coating window"}
		again = &programme.Lag{Least: programme.Walk}
		againWhy = "abrade what is under it: its over-coating window has closed"
		againMin = 60 * pass.AreaM2 / m.r.AbradeM2 / m.people
		if previous == "details" {
			againMin = 60 * bandageM(d) / m.r.RoughenM / m.people
		}
	}
	done := 0
	blocks := blocksOf(parts)
	sum := 0.0
	for k, b := range blocks {
		s := base
		s.Parts = b
		if len(blocks) > 1 {
			s.Key = fmt.Sprintf("%s.%d", base.Key, k+1)
			s.Name = fmt.Sprintf("%s, part %d of %d", base.Name, k+1, len(blocks))
		}
		min := 0.0
		for _, x := range b {
			min += x.Min
		}
		sum += min
		// Rounded along the whole pass, so that the parts do not grow it.
		end := int(math.Ceil(sum/15 - 1e-9))
		s.Quarters = max(1, end-done)
		done = max(end, done+1)
		if k == 0 {
			s.Join, s.Again, s.AgainWhy = first, again, againWhy
			s.AgainQuarters = int(math.Ceil(againMin / 15))
			s.Hold = "go / no-go of the weather; joints, flanges and corners wet out and free of air"
		} else {
			s.Join = programme.Lag{MostMin: 15, Why: "the edge is still wet"}
			s.Again = &programme.Lag{Least: programme.Walk}
			s.AgainQuarters = max(1, int(math.Ceil(60*longestM(pass)/m.r.RoughenM/m.people/15-1e-9)))
			s.AgainWhy = "day joint: feathered, hard, abraded and wiped before going on"
			// A strip or two between two hard ones is a joint more on either side for nothing.
			s.NotAlone = min < leastBetweenMin && k+1 < len(blocks)
		}
		m.out.Stages = append(m.out.Stages, s)
		m.out.Figures = append(m.out.Figures, timeLaminate.Figure("time for "+s.Name, "min", overRate,
			working.Measured("A", "area of the stretch", min/perM2, "m²", "strips of the stretch"), rate(name, own, pace, "m²/man-hour"),
			m.crew()).Keyed("time."+s.Key))
	}
}

// bandageM is how much bandage lies on a deck, m.
func bandageM(d *plan.Deck) float64 {
	sum := 0.0
	for _, p := range d.SetOut.Pieces {
		if p.Kind == settingout.Bandage {
			sum += float64(p.LengthMM) / 1000
		}
	}
	return sum
}

// longestM is how long a joint between two strips of a pass may be: its longest strip, m.
func longestM(pass *laying.Pass) float64 {
	across := map[int]plane.Loop{}
	for _, c := range pass.Cells {
		across[c.Strip] = append(across[c.Strip], c.Shape...)
	}
	most := 0.0
	for _, corners := range across {
		for i, a := range corners {
			for _, b := range corners[:i] {
				most = math.Max(most, a.Distance(b))
			}
		}
	}
	return most
}

// cellsOf lists the cells of a pass with the crew's time for each by its area. What the
// programme is made of must not follow from the hours of the buckets: these are made for the
// programme.
func cellsOf(pass *laying.Pass, perM2 float64) []part {
	var out []part
	for _, c := range pass.Cells {
		// A day may end where a strip does.
		if n := len(out); n > 0 {
			out[n-1].sound = out[n-1].strip != c.Strip
		}
		out = append(out, part{programme.Part{Name: c.Name, Min: c.AreaM2 * perM2}, c.Strip, true})
	}
	if len(out) == 0 && pass.AreaM2 > 0 {
		out = append(out, part{programme.Part{Name: pass.Kind, Min: pass.AreaM2 * perM2}, 0, true})
	}
	return out
}

type part struct {
	programme.Part
	strip int
	sound bool
}

// blocksOf joins cells into stretches of at least twenty minutes that end where a strip
// does, at most forty.
func blocksOf(parts []part) [][]programme.Part {
	total := 0.0
	for _, p := range parts {
		total += p.Min
	}
	return blocksOver(parts, math.Max(blockMin, total/40))
}

// blocksOver joins cells into stretches of at least so many minutes.
func blocksOver(parts []part, least float64) [][]programme.Part {
	var out [][]programme.Part
	var now []programme.Part
	min := 0.0
	for _, p := range parts {
		now = append(now, p.Part)
		min += p.Min
		if p.sound && min >= least-1e-9 {
			out, now, min = append(out, now), nil, 0
		}
	}
	switch {
	case len(now) > 0 && len(out) > 0 && min < least/2:
		out[len(out)-1] = append(out[len(out)-1], now...)
	case len(now) > 0:
		out = append(out, now)
	}
	return out
}

// after: flashings over the upstands, and clearing up.
func (m *maker) after() {
	length := 0.0
	for i := range m.p.Decks {
		for _, e := range m.p.Decks[i].EdgeByCondition {
			if e.Condition.HasUpstand() {
				length += e.LengthM
			}
		}
	}
	wait := programme.Lag{Begin: programme.Walk, LeastMin: footH * 60, Why: "light foot traffic on the top coat"}
	if s := m.add(programme.Stage{Key: "flashings", Name: "flashings", Kind: programme.Flash, Divisible: true, Limits: m.dry, Join: wait},
		timeFlash, working.Measured("L", "walls and parapets", length, "m", "plan"),
		rate("flashing with chase", m.own.FlashingM, m.r.FlashingM, "m/man-hour"), m.crew()); s != nil {
		wait = programme.Lag{}
	}
	m.add(programme.Stage{Key: "clean-up", Name: "clean-up and hand-over", Kind: programme.CleanUp, Join: wait},
		timeClear, rate("clear up", m.own.SetUpH, m.r.SetUpH, "man-hours").As("h"),
		rate("hand-over", m.own.HandOverH, m.r.HandOverH, "man-hours").As("hh"), m.crew())
}
