package takeoff

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"gelwright/check"
	"gelwright/framing"
	"gelwright/laying"
	"gelwright/material"
	"gelwright/quantity"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/settingout"
	"gelwright/steps"
	"gelwright/working"
)

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

// Input is a roof worked out piece by piece, and what the pieces are made of.
type Input struct {
	Decks     []Deck
	Catalogue material.Catalogue
	Spec      roof.Spec
	Work      roof.Work
	// InsulationStays says that the insulation is there already and none is bought.
	InsulationStays bool
}

// Deck is a deck worked out.
type Deck struct {
	Deck     roof.Deck
	Geometry steps.Made[runoff.Geometry]
	Falls    steps.Made[runoff.Falls]
	SetOut   steps.Made[framing.SetOut]
	Framing  steps.Made[framing.Framing]
	Renewals []framing.Renewal
}

// TakeOff is what the pieces of a roof use, before anything is mixed.
type TakeOff struct {
	Items []material.Item
	Uses  []quantity.PieceUse
	// TakenM2 is mat cut from the firm's own rolls and pieces, by key.
	TakenM2 map[string]float64
	// Counted are goods that are bought as counted, with no allowance.
	Counted map[string]quantity.Waste
	Notes   []string
}

// taker gathers what the pieces use.
type taker struct {
	in      *Input
	items   []material.Item
	known   map[string]bool
	uses    []quantity.PieceUse
	takenM2 map[string]float64
	counted map[string]quantity.Waste
}

func (o *taker) use(number, key, unit string, q float64) {
	if q > 0 {
		o.uses = append(o.uses, quantity.PieceUse{Number: number, MaterialKey: key, Quantity: q, Unit: unit})
	}
}

func (o *taker) item(i material.Item) string {
	if !o.known[i.Key] {
		o.known[i.Key] = true
		o.items = append(o.items, i)
	}
	return i.Key
}

// Make books what the pieces of every deck use.
func Make(_ context.Context, in Input) (TakeOff, error) {
	o := &taker{in: &in, items: in.Catalogue.Items(), known: map[string]bool{}, takenM2: map[string]float64{}, counted: map[string]quantity.Waste{}}
	for _, i := range o.items {
		o.known[i.Key] = true
	}
	for i := range in.Decks {
		d, prefix := &in.Decks[i], ""
		if len(in.Decks) > 1 {
			prefix = d.Deck.Name + " "
		}
		if err := o.deck(d, prefix); err != nil {
			return TakeOff{}, fmt.Errorf("deck %q: %w", d.Deck.Name, err)
		}
	}
	notes := takenNotes(in.Decks)
	if layer := in.Spec.Insulation; in.InsulationStays {
		notes = append(notes, fmt.Sprintf("no insulation: the %g mm of %s lie between the joists below a deck that stays, and count as there already; what is wet or missing of them is put in from below", layer.ThicknessMM, layer.Material))
	}
	return TakeOff{Items: o.items, Uses: o.uses, TakenM2: o.takenM2, Counted: o.counted, Notes: notes}, nil
}

// OrderInput is what the pieces and the buckets use, what things cost and what is in hand.
type OrderInput struct {
	TakeOff steps.Made[TakeOff]
	Buckets steps.Made[laying.Buckets]
	// Keys of the catalogue.
	Resin, Coat, Catalyst string
	People                int
	Warm                  bool // the day is known to be 15 °C or more
	Waste                 roof.Waste
	Origin                roof.Origin // of spec.waste_pct
	Prices                quantity.Prices
	InHand                map[string]float64
	Offcuts               []Offcut
	Mats                  []material.Mat
}

// Ordered is the order with its figures.
type Ordered struct {
	Schedule *quantity.Schedule
	check.Notes
}

// MakeOrder makes the schedule from the pieces, the buckets and the rules.
func MakeOrder(_ context.Context, in OrderInput) (Ordered, error) {
	var out Ordered
	taken, wet := &in.TakeOff.Value, &in.Buckets.Value
	work := quantity.Work{ResinKG: wet.ResinKG, TopCoatKG: wet.CoatKG, CatalystKG: wet.CatalystG / 1000, Mixes: wet.Buckets, People: max(1, in.People), Days: laying.DaysOf(wet.Passes), Warm: in.Warm}
	for _, p := range wet.Passes {
		work.Warm = work.Warm && p.Plan != nil
		switch p.Kind {
		case "mat":
			work.LaminateM2 += p.AreaM2
		case "top coat":
			work.TopCoatM2 += p.AreaM2
		}
	}
	rules, err := quantity.Consumables(work)
	if err != nil {
		return out, err
	}
	uses := append(slices.Clip(taken.Uses), in.mixed()...)
	s, err := quantity.Make(quantity.Input{Items: taken.Items, Uses: uses, Rules: rules, Prices: in.Prices, InHand: in.inHand(), WasteOf: taken.Counted,
		WasteOfKind: map[material.Kind]quantity.Waste{
			material.KindFixing:     {Pct: in.Waste.Fixings, Source: in.allowance("fixings")},
			material.KindAdhesive:   {Pct: in.Waste.Adhesive, Source: in.allowance("adhesive")},
			material.KindMat:        {Pct: in.Waste.Mat, Source: in.allowance("mat")},
			material.KindAggregate:  {Pct: 20, Source: working.Source{Title: "aggregate broadcast and swept up", Standing: working.CommonPractice}},
			material.KindMembrane:   {Pct: 10, Source: working.Source{Title: "laps and turn-ups of the control layer", Standing: working.CommonPractice}},
			material.KindInsulation: {Pct: 5, Source: working.Source{Title: "cutting of insulation boards", Standing: working.CommonPractice}},
		},
		KeepSpare: []string{in.Resin, in.Coat}})
	if err != nil {
		return out, err
	}
	s.Notes = append(s.Notes, taken.Notes...)
	out.Schedule = s
	for _, l := range s.Lines {
		out.Figure(l.Figure)
		out.Figure(l.PointsFigure)
	}
	return out, nil
}

// mixed is resin, top coat and catalyst by bucket; where no bucket could be mixed at this
// temperature, by the pieces, with catalyst at 2 %.
func (in *OrderInput) mixed() []quantity.PieceUse {
	var out []quantity.PieceUse
	use := func(number, key string, kg float64) {
		if kg > 0 {
			out = append(out, quantity.PieceUse{Number: number, MaterialKey: key, Quantity: kg, Unit: "kg"})
		}
	}
	for _, p := range in.Buckets.Value.Passes {
		key := in.Resin
		if p.Kind == "top coat" {
			key = in.Coat
		}
		if p.Plan != nil {
			for _, x := range p.Plan.Mixes {
				n := fmt.Sprintf("mix %d", x.Number)
				use(n, key, x.ResinKG)
				use(n, in.Catalyst, x.CatalystG/1000)
			}
			continue
		}
		for _, c := range p.Cells {
			use(c.Name, key, c.ResinKG)
			use(c.Name, in.Catalyst, c.ResinKG*0.02)
		}
	}
	return out
}

// allowance is an allowance for waste with its standing: given only where the file gives it.
func (in *OrderInput) allowance(field string) working.Source {
	if why, silent := in.Origin.Silent("spec.waste_pct." + field); silent {
		return working.Source{Title: why, Clause: "spec.waste_pct." + field + ", not in the file", Standing: working.CommonPractice}
	}
	return working.Source{Title: in.Origin.Place(), Clause: "spec.waste_pct." + field, Standing: working.Given}
}

// deck gathers boards, trims, corners, fixings, mat, bandage and build-up of one deck.
func (o *taker) deck(d *Deck, prefix string) error {
	spec, cat, job := o.in.Spec, o.in.Catalogue, &d.Deck
	upper, under := &d.Framing.Value.Upper, d.SetOut.Value.Structural
	b := spec.Board
	boardKey := ""
	if board, err := cat.Board(b.Material, b.ThicknessMM, b.LengthM, b.WidthM, b.TongueAndGroove); err == nil {
		boardKey = board.Key
	} else {
		boardKey = o.item(material.Item{Key: fmt.Sprintf("board.%s.%g.%gx%g", strings.ToLower(strings.ReplaceAll(b.Material, "/", "")), b.ThicknessMM, b.LengthM*1000, b.WidthM*1000),
			Name: fmt.Sprintf("%s %g mm, %g × %g mm", b.Material, b.ThicknessMM, b.LengthM*1000, b.WidthM*1000), Kind: material.KindBoard, Unit: "piece",
			KGPerUnit: b.LengthM * b.WidthM * b.ThicknessMM * 0.64, Standing: working.Given})
	}
	if under != nil {
		for _, mat := range under.Materials {
			for _, s := range mat.Stock {
				o.share(prefix, s, boardKey)
			}
		}
		for _, f := range under.Fixings {
			o.use(prefix+f.Board, o.deckScrew(framing.OnJoistsScrew(b)), "piece", float64(f.Edge+f.Field))
		}
		for _, n := range under.Of(settingout.Noggin) {
			o.between(prefix+n.Number, n, job.Base)
		}
	}
	// Boards and lengths: each stock item is shared by the pieces cut from it.
	for _, mat := range upper.Materials {
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
	for _, p := range upper.Pieces {
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
			// Galvanised clouts through the flange, two beads of adhesive.
			count := math.Ceil(float64(p.LengthMM)/framing.CloutMM) + 1
			clouts += count
			o.use(n, "clout.25", "kg", count*0.0016)
			beadM += 2 * float64(p.LengthMM) / 1000
			o.use(n, "adhesive.trim", "piece", 2*float64(p.LengthMM)/1000/11)
			if p.Edge >= 0 && (job.Edges[p.Edge].Condition == roof.Drip || job.Edges[p.Edge].Condition == roof.StepDown) {
				o.use(n, "timber.batten.50x25", "m", float64(p.LengthMM)/1000)
				o.use(n, "timber.batten.38x25", "m", float64(p.LengthMM)/1000)
				// The first batten by itself, the second through both.
				at := framing.Places(float64(p.LengthMM)/1000, framing.TimberFixM)
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
	if err := o.mats(job.Name, upper, prefix); err != nil {
		return err
	}
	screw := ""
	if framing.ThroughInsulation(spec) {
		screw = o.throughScrew(d)
	} else {
		screw = o.deckScrew(framing.BoardScrew(b, o.in.Work, job.Base))
	}
	for _, f := range upper.Fixings {
		o.use(prefix+f.Board, screw, "piece", float64(f.Edge+f.Field))
	}
	if spec.Insulation != nil && !o.in.InsulationStays {
		o.use("deck "+d.Deck.Name, o.insulation(), "m²", d.Geometry.Value.NetM2)
	}
	if spec.VCL && !o.in.InsulationStays {
		o.use("deck "+d.Deck.Name, "vcl", "m²", d.Geometry.Value.NetM2)
		// Taped at every lap of a 2 m roll and all round.
		o.use("deck "+d.Deck.Name, "vcl.tape", "m", d.Geometry.Value.NetM2/2+d.Geometry.Value.EdgeM)
	}
	if area := antiSlipM2(job, d.Geometry.Value.SlopeM2); area > 0 {
		o.use("deck "+d.Deck.Name, o.aggregate(), "kg", area*spec.AggregateKGPerM2)
	}
	o.edgesAndHoles(d, prefix)
	o.renew(d, prefix, boardKey)
	o.firrings(d, prefix)
	return nil
}

// joint gathers what a length of movement joint takes beside its mat and bandage. Of a
// raised joint: two battens screwed down, the cap fixed on one side; of a flush one: the
// strip bedded on both sides over a backing rod (common practice, no source).
func (o *taker) joint(n string, p settingout.Piece) {
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
func (o *taker) share(prefix string, s settingout.Stock, key string) {
	for i, c := range s.Cuts {
		part := 1.0 / float64(len(s.Cuts))
		if i == len(s.Cuts)-1 {
			part = 1 - part*float64(len(s.Cuts)-1)
		}
		o.use(prefix+c.Piece, key, "piece", part)
	}
}

// mats gathers mat and tissue: what the pieces lay, raised to what is cut off the roll.
func (o *taker) mats(deck string, upper *settingout.SetOut, prefix string) error {
	cat := o.in.Catalogue
	for _, mat := range upper.Materials {
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
		o.rollEnds(deck, mat, key)
		o.takenM2[key] += mat.TakenQuantity
		for _, p := range upper.Pieces {
			if p.Material == mat.Name && (p.Kind == settingout.Mat || p.Kind == settingout.Patch) {
				o.use(prefix+p.Number, key, "m²", p.AreaM2*mat.Bought/mat.Used)
			}
		}
	}
	return nil
}

// cornerKey finds a preformed corner in the catalogue, or describes it.
func (o *taker) cornerKey(p settingout.Piece) string {
	function := map[string]string{"drip": "drip", "verge": "raised edge", "kerb": "raised edge", "wall fillet": "wall fillet"}
	for name, f := range function {
		for _, internal := range []bool{false, true} {
			side := "external"
			if internal {
				side = "internal"
			}
			if p.Material == "corner "+side+" "+name {
				if c, err := o.in.Catalogue.Corner(f, internal); err == nil {
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
func antiSlipM2(job *roof.Deck, slopeM2 float64) float64 {
	if job.AntiSlipAll {
		return slopeM2
	}
	sum := 0.0
	for _, r := range job.AntiSlip {
		sum += r.Area()
	}
	return math.Min(sum, slopeM2)
}

// firrings books a deck's firrings with the screws that hold each down to its joist, as
// long as it is high there.
func (o *taker) firrings(d *Deck, prefix string) {
	centres := d.Framing.Value.FirringCentresM
	for _, f := range d.Falls.Value.Firrings {
		o.use(prefix+f.Number, "timber.firring", "m", f.CutM())
		byLength := map[float64]float64{}
		n := framing.Places(f.LengthM, centres)
		for k := range int(n) {
			h := f.HeightMM(f.LengthM * float64(k) / (n - 1))
			// Few lengths in the order: steps of 20 mm.
			byLength[20*math.Ceil((h+framing.HoldInJoistMM)/20-1e-9)-framing.HoldInJoistMM]++
		}
		var through []float64
		for h := range byLength {
			through = append(through, h)
		}
		slices.Sort(through)
		for _, h := range through {
			o.fixTimber(prefix+f.Number, h, byLength[h])
		}
	}
}

// deckScrew is the item of a board's screw, described where the catalogue has none of its
// length for boards.
func (o *taker) deckScrew(s framing.Screw) string {
	if s.MM == framing.LeastScrewMM {
		return s.Key
	}
	return o.item(material.Item{Key: "screw.deck." + strings.TrimPrefix(s.Key, "screw."), Name: fmt.Sprintf("Deck screws 5.0 × %g mm, into %s", s.MM, s.Into), Kind: material.KindFixing, Unit: "piece",
		Packs: []material.Pack{{Quantity: 100, Name: "box of 100"}, {Quantity: 200, Name: "box of 200"}}, Standing: working.CommonPractice, Note: s.Note})
}

// fixTimber books the screws of a timber of so many mm to drive through: straight where
// a screw of that length is sold, else two askew at each place.
func (o *taker) fixTimber(number string, throughMM float64, places float64) {
	mm, each := framing.ScrewLengthMM(throughMM+framing.HoldInJoistMM), 1.0
	if mm > framing.LongestMM {
		mm, each = framing.SkewMM, 2
	}
	key := o.item(material.Item{Key: fmt.Sprintf("screw.timber.5x%g", mm), Name: fmt.Sprintf("Screws 5.0 × %g mm, for firrings, battens and edge timbers", mm), Kind: material.KindFixing, Unit: "piece",
		Packs: []material.Pack{{Quantity: 100, Name: "box of 100"}, {Quantity: 200, Name: "box of 200"}}, Standing: working.CommonPractice, Note: "timber and what lies below it to its bearing + 35 mm held; two askew where that is more than 180 mm"})
	o.use(number, key, "piece", places*each)
}

// renew books the boards, noggins and screws of what is renewed.
func (o *taker) renew(d *Deck, prefix, boardKey string) {
	if len(d.Renewals) == 0 {
		return
	}
	screw := o.deckScrew(framing.OnJoistsScrew(o.in.Spec.Board))
	for _, r := range d.Renewals {
		o.use(prefix+r.Name, boardKey, "piece", float64(r.Boards))
		o.use(prefix+r.Name, "timber.noggin.100x50", "m", r.NogginM)
		o.use(prefix+r.Name, screw, "piece", float64(r.Screws))
	}
}

// between books a timber between the joists, and a header's hangers: one at each end
// (common practice).
func (o *taker) between(number string, p settingout.Piece, base roof.Base) {
	metres := float64(p.LengthMM) / 1000
	if !framing.Trimmer(p) {
		o.use(number, "timber.noggin.100x50", "m", metres)
		return
	}
	section := fmt.Sprintf("%d × %g mm", p.WidthMM, base.JoistDepthMM)
	key := fmt.Sprintf("%dx%g", p.WidthMM, base.JoistDepthMM)
	if base.JoistDepthMM <= 0 {
		section, key = fmt.Sprintf("%d mm wide, as deep as the joists", p.WidthMM), fmt.Sprintf("%d", p.WidthMM)
	}
	class := base.TimberClass
	if class != "" {
		key += "." + strings.ToLower(class)
		class = ", " + class
	}
	o.use(number, o.item(material.Item{Key: "timber.trimmer." + key, Name: "Timber " + section + class + ", for headers and trimming pieces", Kind: material.KindTimber, Unit: "m",
		Packs: []material.Pack{{Quantity: 4.8, Name: "length of 4.8 m"}}, Standing: working.CommonPractice, Note: "the joists' section, counted single: doubled or deeper where the engineer says"}), "m", metres)
	if p.Role != framing.Header {
		return
	}
	hanger := o.item(material.Item{Key: "hanger.joist." + key, Name: "Joist hangers for timber " + section, Kind: material.KindFixing, Unit: "piece", Standing: working.CommonPractice,
		Note: "one at each end of a header, with the nails it is made for; the engineer's detail goes before, and says how cut joists and trimming pieces hang on the header"})
	o.counted[hanger] = quantity.Waste{Source: working.Source{Title: "counted, one at each end", Standing: working.CommonPractice}}
	o.use(number, hanger, "piece", 2)
}
