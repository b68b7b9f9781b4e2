package takeoff

import (
	"fmt"
	"gelwright/framing"
	"gelwright/material"
	"gelwright/quantity"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/working"
	"math"
	"slices"
	"strings"
)

// deck gathers boards, trims, corners, fixings, mat, bandage and build-up of one deck.
func (o *taker) deck(d *Deck, prefix string) error {
	boardKey := o.boardKey()
	o.structural(d, prefix, boardKey)
	o.lengths(d, prefix, boardKey)
	for _, p := range d.Framing.Value.Upper.Pieces {
		o.piece(prefix+p.Number, p, &d.Deck)
	}
	if err := o.mats(&d.Framing.Value.Upper, prefix); err != nil {
		return err
	}
	o.buildUp(d, prefix)
	o.edgesAndHoles(d, prefix)
	o.sundries(d, prefix)
	o.renew(d, prefix, boardKey)
	o.firrings(d, prefix)
	return nil
}

// boardKey finds the board in the catalogue, or describes it.
func (o *taker) boardKey() string {
	b := o.in.Spec.Board
	if board, err := o.in.Catalogue.Board(b.Material, b.ThicknessMM, b.LengthM, b.WidthM, b.TongueAndGroove); err == nil {
		return board.Key
	}
	is := strings.ToLower(strings.ReplaceAll(b.Material, "/", ""))
	return o.item(material.Item{Key: fmt.Sprintf("board.%s.%g.%gx%g", is, b.ThicknessMM, b.LengthM*1000, b.WidthM*1000),
		Name: fmt.Sprintf("%s %g mm, %g × %g mm", b.Material, b.ThicknessMM, b.LengthM*1000, b.WidthM*1000), Kind: material.KindBoard,
		Unit:      "piece",
		KGPerUnit: b.LengthM * b.WidthM * b.ThicknessMM * 0.64, Standing: working.CommonPractice})
}

// structural gathers boards, screws and timbers below the insulation.
func (o *taker) structural(d *Deck, prefix, boardKey string) {
	under := d.SetOut.Value.Structural
	if under == nil {
		return
	}
	for _, mat := range under.Materials {
		for _, s := range mat.Stock {
			o.share(prefix, s, boardKey)
		}
	}
	for _, f := range under.Fixings {
		o.use(prefix+f.Board, o.deckScrew(framing.OnJoistsScrew(o.in.Spec.Board)), "piece", float64(f.Edge+f.Field))
	}
	for _, n := range under.Of(settingout.Noggin) {
		o.between(prefix+n.Number, n, d.Deck.Base)
	}
}

// lengths gathers boards and lengths: each stock item is shared by the pieces cut from it.
func (o *taker) lengths(d *Deck, prefix, boardKey string) {
	for _, mat := range d.Framing.Value.Upper.Materials {
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
}

// piece gathers what one piece takes: corners, trims with their fixings, bandage, timbers.
func (o *taker) piece(n string, p settingout.Piece, job *roof.Deck) {
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
			return
		}
		o.trim(n, p, job)
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

// trim gathers what fixes a trim: galvanised clouts through the flange, two beads of
// adhesive, and at a drip the battens behind it.
func (o *taker) trim(n string, p settingout.Piece, job *roof.Deck) {
	length := float64(p.LengthMM) / 1000
	count := math.Ceil(float64(p.LengthMM)/framing.CloutMM) + 1
	o.use(n, "clout.25", "kg", count*0.0016)
	o.use(n, "adhesive.trim", "piece", 2*length/11)
	if p.Edge >= 0 && (job.Edges[p.Edge].Condition == roof.Drip || job.Edges[p.Edge].Condition == roof.StepDown) {
		o.use(n, "timber.batten.50x25", "m", length)
		o.use(n, "timber.batten.38x25", "m", length)
		// The first batten by itself, the second through both.
		at := framing.Places(length, framing.TimberFixM)
		o.fixTimber(n, battens, battenMM, at)
		o.fixTimber(n, battens, 2*battenMM, at)
	}
}

// buildUp gathers the screws of the upper boards, insulation, control layer and aggregate.
func (o *taker) buildUp(d *Deck, prefix string) {
	spec, g, on := o.in.Spec, &d.Geometry.Value, "deck "+d.Deck.Name
	screw := ""
	if framing.ThroughInsulation(spec) {
		screw = o.throughScrew(d)
	} else {
		screw = o.deckScrew(framing.BoardScrew(spec.Board, o.in.Work, d.Deck.Base))
	}
	for _, f := range d.Framing.Value.Upper.Fixings {
		o.use(prefix+f.Board, screw, "piece", float64(f.Edge+f.Field))
	}
	if spec.Insulation != nil && !o.in.InsulationStays {
		o.use(on, o.insulation(), "m²", g.NetM2)
	}
	// A warm deck is laid on one, whether or not the file says yet how thick its insulation is: see the method.
	if (spec.VapourLayer() || spec.Build == "warm") && !o.in.InsulationStays {
		o.use(on, "vcl", "m²", g.NetM2)
		// Taped at every lap of a 2 m roll and all round.
		o.use(on, "vcl.tape", "m", g.NetM2/2+g.EdgeM)
	}
	if area := antiSlipM2(&d.Deck, g.SlopeM2); area > 0 {
		o.use(on, o.aggregate(), "kg", area*spec.AggregateKGPerM2)
	}
}

// joint gathers what a length of movement joint takes beside its mat and bandage. Of a
// raised joint: two battens screwed down, the cap fixed on one side; of a flush one: the
// strip bedded on both sides over a backing rod (common practice, no source).
func (o *taker) joint(n string, p settingout.Piece) {
	length := float64(p.LengthMM)/1000 - p.EndLapMM/1000
	if p.Material == "joint cap" {
		o.use(n, "timber.batten.50x38", "m", 2*length)
		o.use(n, "screw.5x80", "piece", 2*(math.Ceil(length/framing.TimberFixM)+1))
		o.use(n, "screw.cap", "piece", math.Ceil(length/framing.TimberFixM)+1)
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
func (o *taker) mats(upper *settingout.SetOut, prefix string) error {
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
			key = o.item(material.Item{Key: fmt.Sprintf("mat.%g", grams), Name: fmt.Sprintf("Chopped strand mat %g g/m², 1.0 m wide", grams),
				Kind: material.KindMat, Unit: "m²",
				Packs: []material.Pack{{Quantity: math.Floor(30000 / grams), Name: "roll of 30 kg"}}, KGPerUnit: grams / 1000,
				Standing: working.CommonPractice})
		}
		o.rollsBought(mat, key)
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
			o.fixTimber(prefix+f.Number, "firrings", h, byLength[h])
		}
	}
}

// deckScrew is the item of a board's screw, described where the catalogue has none of its
// length for boards.
func (o *taker) deckScrew(s framing.Screw) string {
	if s.MM == framing.LeastScrewMM {
		return s.Key
	}
	return o.item(material.Item{Key: "screw.deck." + strings.TrimPrefix(s.Key, "screw."),
		Name: fmt.Sprintf("Deck screws 5.0 × %g mm, into %s", s.MM, s.Into), Kind: material.KindFixing, Unit: "piece",
		Packs: []material.Pack{{Quantity: 100, Name: "box of 100"},
			{Quantity: 200, Name: "box of 200"}}, Standing: working.CommonPractice, Note: s.Note})
}

// battens and edgeTimbers are what screws of timbers are for, beside firrings and kerbs.
const battens, edgeTimbers = "battens", "edge timbers"

// fixTimber books the screws of a timber of so many mm to drive through: straight where
// a screw of that length is sold, else two askew at each place. They are named by what they hold.
func (o *taker) fixTimber(number, what string, throughMM, places float64) {
	mm, each := framing.ScrewLengthMM(throughMM+framing.HoldInJoistMM), 1.0
	if mm > framing.LongestMM {
		mm, each = framing.SkewMM, 2
	}
	key := o.item(material.Item{Key: fmt.Sprintf("screw.timber.5x%g", mm), Kind: material.KindFixing, Unit: "piece",
		Packs: []material.Pack{{Quantity: 100, Name: "box of 100"},
			{Quantity: 200, Name: "box of 200"}}, Standing: working.CommonPractice,
		Note: "timber and what lies below it to its bearing + 35 mm held; two askew where that is more than 180 mm"})
	if !slices.Contains(o.timbers[key], what) {
		o.timbers[key] = append(o.timbers[key], what)
	}
	for i := range o.items {
		if o.items[i].Key == key {
			o.items[i].Name = fmt.Sprintf("Screws 5.0 × %g mm, for %s", mm, framing.ListOf(o.timbers[key]))
		}
	}
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
	o.use(number, o.item(material.Item{Key: "timber.trimmer." + key, Name: "Timber " + section + class + ", for headers and trimming pieces",
		Kind: material.KindTimber, Unit: "m",
		Packs: []material.Pack{{Quantity: 4.8,
			Name: "length of 4.8 m"}}, Standing: working.CommonPractice,
		Note: "the joists' section, counted single: doubled or deeper where the engineer says"}), "m", metres)
	if p.Role != framing.Header {
		return
	}
	hanger := o.item(material.Item{Key: "hanger.joist." + key, Name: "Joist hangers for timber " + section, Kind: material.KindFixing,
		Unit: "piece", Standing: working.CommonPractice,
		Note: "one at each end of a header, with the nails it is made for; the engineer's detail goes before, and says how cut joists and " +
			"trimming pieces hang on the header"})
	o.counted[hanger] = quantity.Waste{Source: working.Source{Title: "counted, one at each end", Standing: working.CommonPractice}}
	o.use(number, hanger, "piece", 2)
}
