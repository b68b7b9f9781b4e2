package mixing

import (
	"context"
	"errors"
	"fmt"
	"math"

	"gelwright/cure"
	"gelwright/plane"
	"gelwright/working"
)

// Input is one pass over an area: a layer of mat, or a top coat.
type Input struct {
	// Key is the lasting prefix of the figures, "mix.main.mat1"; Name is printed.
	Key, Name string
	Cells     []Cell
	// Exits are where people leave this area; at least one.
	Exits []plane.Point
	Crew  Crew
	Resin Resin
	Aim   cure.Aim
	Day   Day
	// EdgeOpenMin is how long a laid edge stays wet; 0 takes the earliest likely gel
	// of the bucket that laid it.
	EdgeOpenMin float64
	// TackyMin is how long a gelled edge still bonds without abrading; 0 takes a day
	// for unwaxed resin and nothing for a waxed top coat.
	TackyMin float64
	// CapL is the largest mix of details, litres; 0 is what details are mixed in.
	CapL float64
	// Edges are cut in ahead of the field, in turns with it; nil for none.
	Edges *Edges
	// Gangs lay details at the same time, each with a pail of its own; in a field as many pails
	// are mixed in turn. 0 is taken as 1.
	Gangs int
	// FirstNumber of the buckets; 0 is taken as 1.
	FirstNumber int
	// FirstDay of the pass, counted through the job; 0 is taken as 1. BeginMin is the
	// minute of it before which nobody is free to begin; 0 for the start of the day.
	FirstDay int
	BeginMin float64
	// ShownDay is the day on which a mix of the same resin has shown its pace already; 0 for none.
	ShownDay int
	// Sessions, where given, say on which days and from when it is laid, each with its own
	// temperatures, in place of FirstDay and BeginMin.
	Sessions []Session
	// Breaks are the lines, m on plan, at which the laminate ends on both sides:
	// movement joints. Edges along them do not wait for one another, but people walk
	// over; what lies between is a field, laid in one go where the way off allows it.
	Breaks [][2]plane.Point
	// Rates are what a cell's resin was reckoned by, for its working; none where the
	// cells' resin is given.
	Rates []*working.Figure
}

// Part is what a bucket covers of one cell.
type Part struct {
	Cell   int        `json:"cell"` // index in the input
	Name   string     `json:"name"`
	Shape  plane.Loop `json:"shape,omitempty"`
	AreaM2 float64    `json:"area_m2"`
	KG     float64    `json:"kg"`
	// Whole when the bucket covers all of the cell.
	Whole bool `json:"whole"`
	// From and To are which share of a detail it covers, from the left or else the lower end on plan; 0 where all, or in several places.
	From float64 `json:"from,omitempty"`
	To   float64 `json:"to,omitempty"`
	// piece is the cell or bay, stretch the number of what it is of in the order of laying.
	piece, stretch int
}

// Mix is one bucket.
type Mix struct {
	Number int `json:"number"`
	// Gang that mixes and lays it, "A"; empty where there is but one.
	Gang string `json:"gang,omitempty"`
	Charge
	Gel cure.Range `json:"gel"`
	// Open is the gel on the deck, until which the edge that it leaves is wet.
	Open cure.Range `json:"gel_on_deck"`
	// TempC of the deck and ResinC of the resin in its pail when it is mixed.
	TempC  float64 `json:"temp_c"`
	ResinC float64 `json:"resin_c"`
	// Day, counted through the job, and MixAtMin say when it is stirred if all goes at the
	// crew's pace; WaitedMin is how long the crew has waited for warmth or shade before it.
	Day       int     `json:"day"`
	MixAtMin  float64 `json:"mix_at_min"`
	WaitedMin float64 `json:"waited_min,omitempty"`
	// CutInMin is how long the crew cuts in, before it, the edges that the field reaches next, OverMin, of a mix
	// for these edges, how old it is when the field has gone over all of them.
	CutInMin float64 `json:"cut_in_min,omitempty"`
	OverMin  float64 `json:"over_min,omitempty"`
	// MixByMin is the latest minute at which the edge of the bucket before is still
	// wet; 0 for the first of a day, or of a field beyond a movement joint.
	MixByMin float64 `json:"mix_by_min,omitempty"`
	// LayByMin from mixing: all of it is on the roof. LayingMin is what it should take.
	LayByMin  float64 `json:"lay_by_min"`
	LayingMin float64 `json:"laying_min"`
	AreaM2    float64 `json:"area_m2"`
	Parts     []Part  `json:"parts"`
	// LimitKG is the largest bucket allowed then, LimitedBy what sets it.
	LimitKG   float64 `json:"limit_kg"`
	LimitedBy string  `json:"limited_by"`
	// Ladder is what to weigh when it is warmer or colder than that.
	Ladder []Rung `json:"ladder,omitempty"`
	// ChanceLaid is the probability that it is laid before it gels.
	ChanceLaid float64           `json:"chance_laid"`
	Working    []*working.Figure `json:"-"`
}

// JointState is how the second side of a joint finds the first.
type JointState string

const (
	Wet     JointState = "wet"       // younger than the edge's open time
	Tacky   JointState = "tacky"     // gelled, still bonds without abrading
	Planned JointState = "day joint" // to be planned: feather, let harden, abrade
)

// Joint lies between two buckets that is not wet when the second comes.
type Joint struct {
	First   int        `json:"first"` // bucket numbers
	Second  int        `json:"second"`
	LengthM float64    `json:"length_m"`
	AgeMin  float64    `json:"age_min"`
	State   JointState `json:"state"`
}

// Plan is the buckets of one pass, in order.
type Plan struct {
	Name  string `json:"name"`
	Mixes []Mix  `json:"mixes"`
	// How the order was found, and how sure it is the best.
	How   string `json:"how"`
	Claim Claim  `json:"claim"`
	// WayOut is proven cell by cell and again bucket by bucket.
	WayOut WayOut `json:"way_out"`
	// Metres of joint by state, and those that are not wet, in order of laying.
	WetM     float64 `json:"wet_m"`
	TackyM   float64 `json:"tacky_m"`
	PlannedM float64 `json:"planned_m"`
	Joints   []Joint `json:"joints,omitempty"`
	// Tucked are the laps whose lower side is laid second, since the way off asks for it.
	Tucked []Tuck `json:"tucked,omitempty"`
	// ChanceOfDay holds for each day the probability that all its buckets are laid
	// before they gel; ChanceDay is that of every day.
	ChanceOfDay []float64         `json:"chance_of_day"`
	ChanceDay   float64           `json:"chance_day"`
	Days        int               `json:"days"`
	EndMin      float64           `json:"end_min"` // minute of the last day at which the last bucket is rolled out
	Notes       []string          `json:"notes,omitempty"`
	Figures     []*working.Figure `json:"-"`
	// Edges are the buckets with which the edges of a field are cut in, in turns with its own; nil for none.
	Edges *Plan `json:"-"`
}

// Make plans the buckets of one pass. It returns a [cure.Refusal] when no dose works at
// any hour of the day.
func Make(ctx context.Context, in Input) (*Plan, error) {
	crew, err := in.check()
	if err != nil {
		return nil, err
	}
	in.Crew = crew
	p := in.pour()
	first, largest, err := p.ready()
	if err != nil {
		return nil, err
	}
	openMin := math.Max(in.open(first.edge()), in.tacky())
	fields := fieldsOf(in.Cells, in.Breaks)
	p.pieces = bays(in.Cells, fields, crew.averageM2PerMin(), openMin)
	cells, bay, field := make([]Cell, len(p.pieces)), make([]int, len(p.pieces)), make([]int, len(p.pieces))
	for i, x := range p.pieces {
		cells[i], bay[i], field[i] = x.Cell, x.bay, x.field
	}
	p.ground = survey(cells, in.Exits, in.Breaks...)
	p.ground.bay = bay
	if fields != nil {
		p.ground.field = field
	}
	p.ground.on = lapsOf(in.Cells, p.pieces)
	order, err := p.ground.choose(ctx, 1/crew.averageM2PerMin(), openMin)
	if err != nil {
		return nil, err
	}
	p.queue = p.ground.stretches(order.order)
	for i := range p.queue {
		p.queue[i].whole = p.queue[i].whole && p.pieces[p.queue[i].cell].whole
	}
	for i := range p.queue {
		p.queue[i].number = i
	}
	partApart(p.queue, largest.m2/2)
	p.takeTurns()
	if err := p.run(ctx); err != nil {
		return nil, err
	}
	return p.finish(order)
}

func (in *Input) check() (Crew, error) {
	if err := checkCells(in.Cells); err != nil {
		return in.Crew, err
	}
	if err := checkResin(in.Resin); err != nil {
		return in.Crew, err
	}
	if err := in.Day.check(); err != nil {
		return in.Crew, err
	}
	if len(in.Exits) == 0 {
		return in.Crew, fmt.Errorf("mixing: %s: no way off the roof: give the place of the ladder, hatch or scaffold", in.Name)
	}
	if !(in.EdgeOpenMin >= 0) || !(in.TackyMin >= 0) {
		return in.Crew, fmt.Errorf("mixing: %s: an edge cannot be open for less than no time", in.Name)
	}
	if err := in.begins(); err != nil {
		return in.Crew, err
	}
	if err := in.sessionsSound(); err != nil {
		return in.Crew, err
	}
	for i, b := range in.Breaks {
		if l := b[0].Distance(b[1]); !(l > 1e-6) || math.IsInf(l, 0) {
			return in.Crew, fmt.Errorf("mixing: %s: movement joint %d has no length: give its two ends, m on plan", in.Name, i+1)
		}
	}
	if in.FirstNumber == 0 {
		in.FirstNumber = 1
	}
	return in.Crew.filled()
}

// begins checks when the pass may begin.
func (in *Input) begins() error {
	if !(in.BeginMin >= 0 && in.BeginMin <= 24*60) || in.FirstDay < 0 {
		return fmt.Errorf("mixing: %s: begins at minute %g of day %d: give a minute of the day, and days from 1", in.Name, in.BeginMin,
			in.FirstDay)
	}
	return nil
}

// tacky is how old an edge may be and still bond.
func (in *Input) tacky() float64 {
	if in.TackyMin > 0 || in.Resin.Waxed {
		return in.TackyMin
	}
	return 24 * 60
}

// open is how long the edge of a bucket stays wet, by its gel on the deck.
func (in *Input) open(onDeck cure.Range) float64 {
	if in.EdgeOpenMin > 0 {
		return in.EdgeOpenMin
	}
	return onDeck.LowMin
}

// pour is a plan in the making.
type pour struct {
	in     Input
	pieces []piece // cells, parted into bays where need be
	ground *ground
	queue  []stretch
	// session at hand, where the input has any.
	session int
	turns   *turns
	day     int
	clock   float64
	waited  float64
	detail  bool     // items without a place on plan
	items   []Detail // these
	mixes   []Mix
	notes   []string
	doses   map[cure.Temps]Dose // by temperatures
}

// pour begins a plan on its first day, when somebody is free.
func (in Input) pour() *pour {
	p := &pour{in: in, day: max(1, in.FirstDay), clock: math.Max(in.Day.StartMin, in.BeginMin)}
	if len(in.Sessions) > 0 {
		p.enter(0)
	}
	return p
}

// days is on how many days it has been poured.
func (p *pour) days() int {
	n := 0
	for i, m := range p.mixes {
		if i == 0 || m.Day != p.mixes[i-1].Day {
			n++
		}
	}
	return n
}

// size bounds a bucket: by mass, and by the area that can be laid before it gels.
type size struct {
	kg, m2     float64
	by, areaBy string // what sets each
}

// effort is the share of a full bucket that kg over m2 takes.
func (b size) effort(kg, m2 float64) float64 { return math.Max(kg/b.kg, m2/b.m2) }

// limit returns the largest bucket for resin spread at kg over m2, and what sets it.
func (b size) limit(kg, m2 float64) (float64, string) {
	if byPot := b.m2 * kg / m2; byPot < b.kg {
		return byPot, b.areaBy
	}
	return b.kg, b.by
}

// firstMixL is the largest mix before the first of the day has shown its pace, litres (common
// practice, no source).
const firstMixL = 2

// bound returns the largest bucket for a dose: what is laid at the live pace before
// the earliest likely gel less the margin, what experience and arms allow, 2 litres for the
// first of a day, 3 kg in the heat, and of a top coat no more than is rolled out while its edge
// is wet.
func (p *pour) bound(d Dose) size {
	c := p.in.Crew
	b := size{kg: c.CapKG, m2: (d.Gel.LowMin - c.MarginMin) * c.liveM2PerMin(), by: "experience", areaBy: "pot life and pace"}
	if open := p.in.open(d.edge()); p.in.tacky() <= open && !p.detail {
		if wet := bayShare * open * c.averageM2PerMin(); wet < b.m2 {
			b.m2, b.areaBy = wet, "wet edge"
		}
	}
	if p.detail {
		b.by = "experience, and small mixes for details"
	}
	lower := func(limit float64, why string) {
		if limit > 0 && limit < b.kg {
			b.kg, b.by = limit, why
		}
	}
	lower(c.MaxBucketKG, "what is carried")
	if p.in.ShownDay != p.day && !p.begun() {
		lower(firstMixL*p.in.Resin.DensityKGPerL, "the first mix of the day, which shows its pace")
	}
	if d.At.Warmest() > hotC {
		lower(hotCapKG, "heat: small buckets above 25 °C")
	}
	return b
}

// waitStep is how often a crew that waits for warmth looks at the thermometer, min.
const waitStep = 15

// ready returns the dose and bound for now, waiting within the day for a
// temperature that works.
func (p *pour) ready() (Dose, size, error) {
	var refusal error
	today := p.today()
	for t := p.clock; t < today.EndMin || t == p.clock; t += waitStep {
		d, err := p.dose(today.temps(t))
		if err == nil {
			if t > p.clock {
				p.notes = append(p.notes, fmt.Sprintf("day %d: wait until %s", p.day, clockText(t)))
				p.waited += t - p.clock
				p.clock = t
			}
			return d, p.bound(d), nil
		}
		var r *cure.Refusal
		if !errors.As(err, &r) {
			return Dose{}, size{}, err
		}
		if refusal == nil {
			refusal = err
		}
	}
	return Dose{}, size{}, refusal
}

// dose is ChooseDose with what was answered before.
func (p *pour) dose(at cure.Temps) (Dose, error) {
	if d, ok := p.doses[at]; ok {
		return d, nil
	}
	d, err := ChooseDose(p.in.Resin, p.in.Aim, at, p.in.Crew.MarginMin)
	if err != nil {
		return Dose{}, err
	}
	if p.doses == nil {
		p.doses = map[cure.Temps]Dose{}
	}
	p.doses[at] = d
	return d, nil
}

func clockText(min float64) string {
	m := int(math.Round(min))
	return fmt.Sprintf("%02d:%02d", m/60, m%60)
}

// mostMixes is the size of a question.
const mostMixes = 100000

// run pours the queue, session by session where there are any.
func (p *pour) run(ctx context.Context) error {
	if len(p.in.Sessions) == 0 {
		return p.runQueue(ctx)
	}
	for i, queue := range p.parted() {
		p.enter(i)
		p.queue = queue
		if err := p.runQueue(ctx); err != nil {
			return err
		}
	}
	return nil
}

// runQueue pours what is queued, on the next day what the day at hand does not hold; a
// session is poured to its end.
func (p *pour) runQueue(ctx context.Context) error {
	for len(p.queue) > 0 {
		if err := ctx.Err(); err != nil {
			return err
		}
		if len(p.mixes) > mostMixes {
			return fmt.Errorf("mixing: %s: more than 100 000 buckets: check area and crew", p.in.Name)
		}
		d, b, err := p.next(ctx)
		if err != nil && len(p.in.Sessions) == 0 && p.begun() {
			p.nextDay(err.Error()) // too hot or too cold for the rest of this day
			continue
		}
		if err != nil {
			return err
		}
		parts := p.take(b)
		if err := p.add(d, b, parts); err != nil {
			return err
		}
	}
	return nil
}

// PrepareMin is how long a mix takes to weigh and to stir, min: a minute to weigh, 60 to 90 seconds
// to stir (common practice, no source). No gang mixes sooner after its last.
const PrepareMin = 2.5

// takes is how long it is from a bucket of an area to the next, min: at the crew's pace over the
// stage, and no less than its pails are made ready in.
func (p *pour) takes(m2 float64) float64 {
	pails := 1
	if !p.detail {
		pails = max(1, min(p.in.Gangs, p.in.Crew.People))
	}
	return math.Max(m2/p.in.Crew.averageM2PerMin(), PrepareMin/float64(pails))
}

func (p *pour) add(d Dose, b size, parts []Part) error {
	kg, m2 := 0.0, 0.0
	for _, x := range parts {
		kg, m2 = kg+x.KG, m2+x.AreaM2
	}
	n := p.number()
	key := ""
	if p.in.Key != "" {
		key = fmt.Sprintf("%s.%d", p.in.Key, n)
	}
	if err := checkResin(p.in.Resin); err != nil {
		return err
	}
	if !(kg > 0) || math.IsInf(kg, 0) {
		return fmt.Errorf("mixing: a bucket of %g kg: give a positive mass", kg)
	}
	charge := chargeOf(p.in.Resin, p.resinOf(parts), d, keyed(key))
	m := Mix{Number: n, Charge: charge, Gel: d.Gel, Open: d.edge(), TempC: d.At.DeckC, ResinC: d.At.ResinC, Day: p.day,
		MixAtMin: p.clock, WaitedMin: p.waited, LayByMin: d.Gel.LowMin - p.in.Crew.MarginMin,
		LayingMin: m2 / p.in.Crew.liveM2PerMin(), AreaM2: m2, Parts: parts}
	m.LimitKG, m.LimitedBy = b.limit(kg, m2)
	if t := p.turns; t != nil {
		m.CutInMin, t.tookMin, t.restM2 = t.tookMin, 0, t.restM2-m2
	}
	if k := len(p.mixes); k > 0 && p.mixes[k-1].Day == p.day && p.sameField(p.mixes[k-1].Parts, parts) {
		m.MixByMin = p.mixes[k-1].MixAtMin + p.in.open(p.mixes[k-1].Open)
	}
	var err error
	if m.Ladder, err = p.ladder(d, kg, m.LayingMin); err != nil {
		return err
	}
	m.Working = append(charge.Figures, p.figures(key, m)...)
	p.mixes, p.waited = append(p.mixes, m), 0
	p.clock += p.takes(m2)
	if len(p.queue) > 0 && len(p.in.Sessions) == 0 {
		if next := p.takes(math.Min(m2, b.m2)); p.clock+next > p.in.Day.EndMin {
			p.nextDay("the next bucket would not be rolled out in time")
		}
	}
	return nil
}
