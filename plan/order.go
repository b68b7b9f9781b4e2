package plan

import (
	"fmt"
	"math"
	"strings"

	"gelwright/material"
	"gelwright/quantity"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/working"
)

// Order is the schedule of quantities with its packs.
type Order struct {
	Schedule *quantity.Schedule `json:"schedule"`
}

// trimNames are the trims that the set-out knows.
var trimNames = [...]string{
	"trim drip", "trim verge", "trim kerb", "trim wall fillet",
	"trim drip, flexible", "trim verge, flexible", "trim kerb, flexible", "trim wall fillet, flexible",
}

// trimKey maps the set-out's name of a trim to the catalogue.
func trimKey(name string) string {
	switch name {
	case "trim drip":
		return "trim.drip"
	case "trim verge", "trim kerb":
		return "trim.raised-edge"
	case "trim wall fillet":
		return "trim.wall-fillet"
	case "joint cap":
		return "trim.joint-cap"
	case "flexible joint strip":
		return "trim.joint-strip"
	case "trim drip, flexible":
		return "trim.flexible-drip"
	case "trim verge, flexible", "trim kerb, flexible":
		return "trim.flexible-raised-edge"
	case "trim wall fillet, flexible":
		return "trim.flexible-wall-fillet"
	}
	return ""
}

// adHoc returns an item for something set out that the catalogue lacks: a corner
// between two kinds of trim, formed on site or ordered by its description.
func adHoc(name string) material.Item {
	key := strings.NewReplacer(" ", "-", ",", "").Replace(name)
	kind := material.KindCorner
	note := "not a stock piece in every range: ask the supplier, or form it on site"
	return material.Item{Key: key, Name: strings.ToUpper(name[:1]) + name[1:], Kind: kind, Unit: "piece", Standing: working.CommonPractice, Note: note}
}

// orderMaker gathers what the pieces use.
type orderMaker struct {
	m     *maker
	items []material.Item
	known map[string]bool
	uses  []quantity.PieceUse
	// takenM2 is mat cut from the firm's own rolls and pieces, by key.
	takenM2 map[string]float64
	// counted are goods that are bought as counted, with no allowance.
	counted map[string]quantity.Waste
}

func (o *orderMaker) use(number, key, unit string, q float64) {
	if q > 0 {
		o.uses = append(o.uses, quantity.PieceUse{Number: number, MaterialKey: key, Quantity: q, Unit: unit})
	}
}

func (o *orderMaker) item(i material.Item) string {
	if !o.known[i.Key] {
		o.known[i.Key] = true
		o.items = append(o.items, i)
	}
	return i.Key
}

// order makes the schedule from the pieces, the buckets and the rules.
func (m *maker) order() error {
	o := &orderMaker{m: m, items: m.in.Catalogue.Items(), known: map[string]bool{}, takenM2: map[string]float64{}, counted: map[string]quantity.Waste{}}
	for _, i := range o.items {
		o.known[i.Key] = true
	}
	many := len(m.job.Decks) > 1
	for i := range m.plan.Decks {
		prefix := ""
		if many {
			prefix = m.plan.Decks[i].Name + " "
		}
		if err := o.deck(&m.plan.Decks[i], &m.job.Decks[i], prefix); err != nil {
			return fmt.Errorf("deck %q: %w", m.plan.Decks[i].Name, err)
		}
	}
	o.buckets()
	work := quantity.Work{ResinKG: m.plan.Totals.ResinKG, TopCoatKG: m.plan.Totals.CoatKG, CatalystKG: m.plan.Totals.CatalystG / 1000, Mixes: m.plan.Totals.Buckets, People: max(1, m.job.Crew.People), Days: 1, Warm: m.warm()}
	for _, p := range m.plan.Passes {
		switch p.Kind {
		case "mat":
			work.LaminateM2 += p.AreaM2
		case "top coat":
			work.TopCoatM2 += p.AreaM2
		}
	}
	work.Days = m.plan.WetDays()
	rules, err := quantity.Consumables(work)
	if err != nil {
		return err
	}
	w := m.job.Spec.WastePct
	s, err := quantity.Make(quantity.Input{Items: o.items, Uses: o.uses, Rules: rules, Prices: m.in.Prices, InHand: o.inHand(), WasteOf: o.counted,
		WasteOfKind: map[material.Kind]quantity.Waste{
			material.KindFixing:     {Pct: w.Fixings, Source: m.waste("fixings")},
			material.KindAdhesive:   {Pct: w.Adhesive, Source: m.waste("adhesive")},
			material.KindMat:        {Pct: w.Mat, Source: m.waste("mat")},
			material.KindAggregate:  {Pct: 20, Source: working.Source{Title: "aggregate broadcast and swept up", Standing: working.CommonPractice}},
			material.KindMembrane:   {Pct: 10, Source: working.Source{Title: "laps and turn-ups of the control layer", Standing: working.CommonPractice}},
			material.KindInsulation: {Pct: 5, Source: working.Source{Title: "cutting of insulation boards", Standing: working.CommonPractice}},
		},
		KeepSpare: []string{m.resin.Key, m.coat.Key}})
	if err != nil {
		return err
	}
	s.Notes = append(s.Notes, m.takenNotes()...)
	if m.insulationStays() {
		s.Notes = append(s.Notes, fmt.Sprintf("no insulation: the %g mm of %s lie between the joists below a deck that stays, and count as there already; what is wet or missing of them is put in from below", m.job.Spec.Insulation.ThicknessMM, m.job.Spec.Insulation.Material))
	}
	m.plan.Order.Schedule = s
	for _, l := range s.Lines {
		m.figure(l.Figure)
		if l.PointsFigure != nil {
			m.figure(l.PointsFigure)
		}
	}
	return nil
}

// deck gathers boards, trims, corners, fixings, mat, bandage and build-up of one deck.
func (o *orderMaker) deck(d *Deck, job *roof.Deck, prefix string) error {
	spec, cat := o.m.job.Spec, o.m.in.Catalogue
	b := spec.Board
	boardKey := ""
	if board, err := cat.Board(b.Material, b.ThicknessMM, b.LengthM, b.WidthM, b.TongueAndGroove); err == nil {
		boardKey = board.Key
	} else {
		boardKey = o.item(material.Item{Key: fmt.Sprintf("board.%s.%g.%gx%g", strings.ToLower(strings.ReplaceAll(b.Material, "/", "")), b.ThicknessMM, b.LengthM*1000, b.WidthM*1000),
			Name: fmt.Sprintf("%s %g mm, %g × %g mm", b.Material, b.ThicknessMM, b.LengthM*1000, b.WidthM*1000), Kind: material.KindBoard, Unit: "piece",
			KGPerUnit: b.LengthM * b.WidthM * b.ThicknessMM * 0.64, Standing: working.Given})
	}
	if d.Structural != nil {
		for _, mat := range d.Structural.Materials {
			for _, s := range mat.Stock {
				o.share(prefix, s, boardKey)
			}
		}
		for _, f := range d.Structural.Fixings {
			o.use(prefix+f.Board, o.deckScrew(o.m.onJoists()), "piece", float64(f.Edge+f.Field))
		}
		for _, n := range d.Structural.Of(settingout.Noggin) {
			o.between(prefix+n.Number, n, job.Base)
		}
	}
	// Boards and lengths: each stock item is shared by the pieces cut from it.
	for _, mat := range d.SetOut.Materials {
		if mat.Kind != settingout.Board && mat.Kind != settingout.Trim {
			continue
		}
		for _, s := range mat.Stock {
			switch {
			case s.InHand: // the firm's own
			case mat.Kind == settingout.Board:
				o.share(prefix, s, boardKey)
			default:
				o.share(prefix, s, o.trimItem(mat.Name, s.LengthMM))
			}
		}
	}
	clouts := 0.0
	beadM := 0.0
	for _, p := range d.SetOut.Pieces {
		n := prefix + p.Number
		switch p.Kind {
		case settingout.Corner:
			// One formed on site is work and not goods: its mat, bandage and resin are
			// counted with the details.
			if !strings.HasPrefix(p.Material, "site-formed") {
				o.use(n, o.cornerKey(p), "piece", 1)
			}
		case settingout.Trim:
			if p.MovementJoint() {
				o.joint(n, p)
				break
			}
			// Galvanised clouts every 175 mm through the flange, two beads of adhesive.
			count := math.Ceil(float64(p.LengthMM)/175) + 1
			clouts += count
			o.use(n, "clout.25", "kg", count*0.0016)
			beadM += 2 * float64(p.LengthMM) / 1000
			o.use(n, "adhesive.trim", "piece", 2*float64(p.LengthMM)/1000/11)
			if p.Edge >= 0 && (job.Edges[p.Edge].Condition == roof.Drip || job.Edges[p.Edge].Condition == roof.StepDown) {
				o.use(n, "timber.batten.50x25", "m", float64(p.LengthMM)/1000)
				o.use(n, "timber.batten.38x25", "m", float64(p.LengthMM)/1000)
				// The first batten by itself, the second through both.
				at := places(float64(p.LengthMM)/1000, timberFixM)
				o.fixTimber(n, battenMM, at)
				o.fixTimber(n, 2*battenMM, at)
			}
		case settingout.Bandage:
			width := 75
			if p.WidthMM > 75 {
				width = 150
			}
			strips := math.Ceil(float64(p.WidthMM) / float64(width))
			o.use(n, fmt.Sprintf("bandage.%d", width), "m", strips*float64(p.LengthMM)/1000)
		case settingout.Noggin:
			o.between(n, p, job.Base)
		}
	}
	if err := o.mats(d, prefix); err != nil {
		return err
	}
	screw := ""
	if o.m.throughInsulation() {
		screw = o.throughScrew(d, job)
	} else {
		screw = o.deckScrew(o.m.boardScrew(job))
	}
	for _, f := range d.SetOut.Fixings {
		o.use(prefix+f.Board, screw, "piece", float64(f.Edge+f.Field))
	}
	if spec.Insulation != nil && !o.m.insulationStays() {
		o.use("deck "+d.Name, o.insulation(), "m²", d.NetM2)
	}
	if spec.VCL && !o.m.insulationStays() {
		o.use("deck "+d.Name, "vcl", "m²", d.NetM2)
		// Taped at every lap of a 2 m roll and all round.
		o.use("deck "+d.Name, "vcl.tape", "m", d.NetM2/2+d.EdgeM)
	}
	if area := o.m.antiSlipM2(d, job); area > 0 {
		o.use("deck "+d.Name, o.aggregate(), "kg", area*spec.AggregateKGPerM2)
	}
	o.edgesAndHoles(d, job, prefix)
	o.renew(d, prefix, boardKey)
	return o.firrings(d, job, prefix)
}

// joint gathers what a length of movement joint takes beside its mat and bandage. Of a
// raised joint: two battens screwed down, the cap fixed on one side; of a flush one: the
// strip bedded on both sides over a backing rod (common practice, no source).
func (o *orderMaker) joint(n string, p settingout.Piece) {
	length := float64(p.LengthMM)/1000 - p.EndLapMM/1000
	if p.Material == "joint cap" {
		o.use(n, "timber.batten.50x38", "m", 2*length)
		o.use(n, "screw.5x80", "piece", 2*(math.Ceil(length/0.3)+1))
		o.use(n, "screw.cap", "piece", math.Ceil(length/0.3)+1)
		return
	}
	o.use(n, "joint.backing-rod", "m", length)
	o.use(n, "adhesive.trim", "piece", 2*length/11)
}

// share books one board or length to the pieces cut from it, in equal parts that add
// up to one.
func (o *orderMaker) share(prefix string, s settingout.Stock, key string) {
	for i, c := range s.Cuts {
		part := 1.0 / float64(len(s.Cuts))
		if i == len(s.Cuts)-1 {
			part = 1 - part*float64(len(s.Cuts)-1)
		}
		o.use(prefix+c.Piece, key, "piece", part)
	}
}

// mats gathers mat and tissue: what the pieces lay, raised to what is cut off the roll.
func (o *orderMaker) mats(d *Deck, prefix string) error {
	cat := o.m.in.Catalogue
	for _, mat := range d.SetOut.Materials {
		if mat.Kind != settingout.Mat || mat.Used <= 0 {
			continue
		}
		var grams float64
		tissue := strings.HasPrefix(mat.Name, "tissue")
		if _, err := fmt.Sscanf(strings.TrimPrefix(strings.TrimPrefix(mat.Name, "tissue "), "mat "), "%g", &grams); err != nil {
			return fmt.Errorf("mat %q has no weight in its name", mat.Name)
		}
		find := cat.Mat
		if tissue {
			find = cat.Tissue
		}
		key := ""
		if x, err := find(grams); err == nil {
			key = x.Key
		} else {
			key = o.item(material.Item{Key: fmt.Sprintf("mat.%g", grams), Name: fmt.Sprintf("Chopped strand mat %g g/m², 1.0 m wide", grams), Kind: material.KindMat, Unit: "m²",
				Packs: []material.Pack{{Quantity: math.Floor(30000 / grams), Name: "roll of 30 kg"}}, KGPerUnit: grams / 1000, Standing: working.Given})
		}
		o.rollEnds(d.Name, mat, key)
		o.takenM2[key] += mat.TakenQuantity
		for _, p := range d.SetOut.Pieces {
			if p.Material == mat.Name && (p.Kind == settingout.Mat || p.Kind == settingout.Patch) {
				o.use(prefix+p.Number, key, "m²", p.AreaM2*mat.Bought/mat.Used)
			}
		}
	}
	return nil
}

// cornerKey finds a preformed corner in the catalogue, or describes it.
func (o *orderMaker) cornerKey(p settingout.Piece) string {
	function := map[string]string{"drip": "drip", "verge": "raised edge", "kerb": "raised edge", "wall fillet": "wall fillet"}
	for name, f := range function {
		for _, internal := range []bool{false, true} {
			side := "external"
			if internal {
				side = "internal"
			}
			if p.Material == "corner "+side+" "+name {
				if c, err := o.m.in.Catalogue.Corner(f, internal); err == nil {
					return c.Key
				}
			}
		}
	}
	return o.item(adHoc(p.Material))
}

func insulationName(name string) string {
	switch strings.ToLower(name) {
	case "pir", "pur":
		return "PIR"
	case "eps":
		return "EPS"
	case "quilt", "mineral wool", "glass wool":
		return "mineral wool"
	}
	return name
}

// antiSlipM2 is the area that takes aggregate.
func (m *maker) antiSlipM2(d *Deck, job *roof.Deck) float64 {
	if job.AntiSlipAll {
		return d.SlopeM2
	}
	sum := 0.0
	for _, r := range job.AntiSlip {
		sum += r.Area()
	}
	return math.Min(sum, d.SlopeM2)
}

// buckets gathers resin, top coat and catalyst by bucket; where no bucket could be
// mixed at this temperature, by the pieces, with catalyst at 2 %.
func (o *orderMaker) buckets() {
	m := o.m
	for _, p := range m.plan.Passes {
		key := m.resin.Key
		if p.Kind == "top coat" {
			key = m.coat.Key
		}
		if p.Plan != nil {
			for _, x := range p.Plan.Mixes {
				n := fmt.Sprintf("mix %d", x.Number)
				o.use(n, key, "kg", x.ResinKG)
				o.use(n, m.catalyst.Key, "kg", x.CatalystG/1000)
			}
			continue
		}
		for _, c := range p.Cells {
			o.use(c.Name, key, "kg", c.ResinKG)
			o.use(c.Name, m.catalyst.Key, "kg", c.ResinKG*0.02)
		}
	}
}
