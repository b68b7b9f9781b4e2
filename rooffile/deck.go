package rooffile

import (
	"fmt"
	"slices"

	structure "gelwright/check/deck"
	"gelwright/internal/form"
	"gelwright/plane"
	"gelwright/roof"
)

// deck is a deck as it is written.
type deck struct {
	roof.Deck
	corners []plane.Vertex
	edges   []edge
	fall    *fall
	// Where the parts stand, for faults found when they are put together.
	value, outline, edgeList, fallAt, tapedAt form.Value
	taped                                     *taped
}

var baseTable = &form.Object[roof.Base]{Doc: "What the deck lies on.", Fields: []form.Field[roof.Base]{
	form.Word("kind", "New boards on joists, boards over a sound deck, or concrete.", base, func(b *roof.Base) *string { return &b.Kind }),
	form.Number("joist_spacing_mm", "Joists centre to centre.", span("mm", 100, 1500),
		func(b *roof.Base) *float64 { return &b.JoistSpacingMM }, 400),
	form.Number("joist_bearing_deg", "Direction the joists run, degrees anticlockwise from +x of the drawing: 0 runs along x, 90 along y. "+
		"No compass bearing, as site.bearing_deg is (from north, clockwise).",
		span("", -180, 180), func(b *roof.Base) *float64 { return &b.JoistBearingDeg }, 0),
	form.Number("joist_offset_mm", "Centre of the first joist from the outline's lowest corner across the joists.", span("mm", 0, 1500),
		func(b *roof.Base) *float64 { return &b.JoistOffsetMM }, 25),
	form.Number("joist_width_mm", "Width of a joist.", span("mm", 20, 400), func(b *roof.Base) *float64 { return &b.JoistWidthMM }, 47),
	form.Number("joist_depth_mm", "Depth of a joist.", span("mm", 40, 800), func(b *roof.Base) *float64 { return &b.JoistDepthMM }, 150),
	form.Number("joist_span_m", "Clear span, from face to face of what bears the joists.", span("m", 0.2, 20),
		func(b *roof.Base) *float64 { return &b.JoistSpanM }, 3.2),
	form.Word("timber_class", "Strength class by EN 338, of glued laminated timber by EN 14080.", structure.Classes(),
		func(b *roof.Base) *string { return &b.TimberClass }),
	form.Word("edge_bearing", "What carries board edges that run beside the joists: plate, where a fascia, wall plate or last joist does, "+
		"or none.", []string{"plate", "none"}, func(b *roof.Base) *string { return &b.EdgeBearing }),
}}

var penetrationTable = &form.Object[roof.Penetration]{Doc: "Something that passes through the laminate.",
	Fields: []form.Field[roof.Penetration]{
		form.Text("name", "Its name.", func(p *roof.Penetration) *string { return &p.Name }, "soil pipe"),
		form.Word("kind", "What it is.", through, func(p *roof.Penetration) *string { return &p.Kind }).Need().
			Elsewhere(framed),
		pointField("at", "Its middle.", func(p *roof.Penetration) *plane.Point { return &p.At }).Need(),
		form.Number("diameter_mm", "Diameter of a round one.", span("mm", 5, 3000), func(p *roof.Penetration) *float64 { return &p.DiameterMM },
			110),
		form.Number("width_mm", "Size along x of a square one.", span("mm", 5, 3000), func(p *roof.Penetration) *float64 { return &p.WidthMM },
			100),
		form.Number("depth_mm", "Size along y of a square one.", span("mm", 5, 3000), func(p *roof.Penetration) *float64 { return &p.DepthMM },
			100),
	}}

var moistureTable = &form.Object[roof.Moisture]{Doc: "A reading of the pin meter.", Fields: []form.Field[roof.Moisture]{
	pointField("at", "Where.", func(m *roof.Moisture) *plane.Point { return &m.At }).Need(),
	form.Number("pct", "Moisture of the wood, % of dry mass.", span("", 0, 200), func(m *roof.Moisture) *float64 { return &m.Pct }, 15).Need(),
}}

var levelTable = &form.Object[roof.SpotHeight]{Doc: "A measured level of the deck as found.", Fields: []form.Field[roof.SpotHeight]{
	pointField("at", "Where.", func(h *roof.SpotHeight) *plane.Point { return &h.At }).Need(),
	form.Number("mm", "Height above any datum.", span("mm", -100000, 100000), func(h *roof.SpotHeight) *float64 { return &h.MM }, 12).Need(),
}}

// deckFields is every field of a deck; the outline, the edges and the fall are read
// as written and put together by assemble.
func deckFields() []form.Field[deck] {
	fields := []form.Field[deck]{
		form.Text("name", "Its name.", func(d *deck) *string { return &d.Name }, "main"),
		form.Number("level_m", "Level of its low edge; only differences between decks matter.", span("m", -500, 5000),
			func(d *deck) *float64 { return &d.LevelM }, 2.6),
		noting(form.List("outline", "Corners [x, y] in metres, x east and y north, anticlockwise; the first corner is not repeated. Curves "+
			"are given beside their edge. To be given, unless a survey stands in its place.", maxCorners, cornerItem,
			func(d *deck) *[]plane.Vertex { return &d.corners },
			[]any{[]any{0, 0}, []any{3.2, 0}, []any{3.2, 5.6}, []any{0, 5.6}}), func(d *deck) *form.Value { return &d.outline }),
		noting(form.OptionalGroup("survey", tapedTable, func(d *deck) **taped { return &d.taped }),
			func(d *deck) *form.Value { return &d.tapedAt }),
		noting(form.List("edges", "One entry for each edge, in the order of the corners: the first edge runs from the first corner to the "+
			"second.", maxCorners, edgeItem, func(d *deck) *[]edge { return &d.edges }, []any{"kerb", "kerb", "drip", "kerb"}),
			func(d *deck) *form.Value { return &d.edgeList }).Need(),
		noting(form.OptionalGroup("fall", fallTable, func(d *deck) **fall { return &d.fall }),
			func(d *deck) *form.Value { return &d.fallAt }).Need(),
		{Name: "openings", Schema: form.Schema{"type": "array", "items": openingTable.Schema(), "maxItems": 1000,
			"description": "Rooflights, hatches, chimneys."},
			Read: func(v form.Value, d *deck) { d.Openings = readOpenings(v) },
			Write: func(d *deck, path string, o form.Omit) any {
				if len(d.Openings) == 0 {
					return nil
				}
				out := make([]any, len(d.Openings))
				for i := range d.Openings {
					w := writtenHole(d.Openings[i])
					out[i] = openingTable.Write(&w, d.OpeningPath(parentPath(path), i), o)
				}
				return out
			}},
		{Name: "penetrations", Schema: form.Schema{"type": "array", "items": penetrationTable.Schema(), "maxItems": 1000,
			"description": "Pipes, outlets, posts."},
			Read: func(v form.Value, d *deck) { d.Penetrations = readPenetrations(v) },
			Write: func(d *deck, path string, o form.Omit) any {
				if len(d.Penetrations) == 0 {
					return nil
				}
				out := make([]any, len(d.Penetrations))
				for i := range d.Penetrations {
					out[i] = penetrationTable.Write(&d.Penetrations[i], d.PenetrationPath(parentPath(path), i), o)
				}
				return out
			}},
		form.List("movement_joints", "Lines that part the deck into bays.", 200, lineItem,
			func(d *deck) *[][2]plane.Point { return &d.MovementJoints }),
		form.Group("base", baseTable, func(d *deck) *roof.Base { return &d.Base }),
		pointField("exit", "Where people leave the roof: ladder, hatch, scaffold.", func(d *deck) *plane.Point { return &d.Exit }),
		form.List("moisture", "Readings of the pin meter in the deck.", 2000, form.ObjectItem("readings", moistureTable),
			func(d *deck) *[]roof.Moisture { return &d.Moisture }),
		form.List("soft_areas", "Soft places found.", 100, ringItem, func(d *deck) *[]plane.Ring { return &d.SoftAreas }),
		form.List("levels", "Spot heights of the deck as found.", 4000, form.ObjectItem("levels", levelTable),
			func(d *deck) *[]roof.SpotHeight { return &d.Levels }),
		form.Number("level_tolerance_mm", "How far a level may be off.", span("mm", 0, 100),
			func(d *deck) *float64 { return &d.LevelToleranceMM }, 5),
		form.List("anti_slip", "Areas that take aggregate in the top coat.", 100, ringItem, func(d *deck) *[]plane.Ring { return &d.AntiSlip }),
		form.YesNo("anti_slip_all", "The whole deck takes aggregate.", func(d *deck) *bool { return &d.AntiSlipAll }),
	}
	return fields
}

// noting remembers where a field stands.
func noting(f form.Field[deck], at func(*deck) *form.Value) form.Field[deck] {
	read := f.Read
	f.Read = func(v form.Value, d *deck) {
		*at(d) = v
		read(v, d)
	}
	return f
}

var deckTable = &form.Object[deck]{Doc: "One level of the roof.", Fields: deckFields()}

func parentPath(path string) string {
	for i := len(path) - 1; i >= 0; i-- {
		if path[i] == '.' {
			return path[:i]
		}
	}
	return ""
}

// nameOf peeks at a piece's name.
func nameOf(v form.Value, fallback string) string {
	if n := v.Get("name"); v.IsMapping() && n.Exists() && n.IsText() {
		if s, ok := n.Text(); ok && s != "" {
			return s
		}
	}
	return fallback
}

// keyed returns a list's entries under the paths that bear their names.
func keyed(v form.Value, what string, path func(key string) string, fallback func(i, n int) string) (items []form.Value, names []string) {
	items = v.Items(what)
	for i := range items {
		names = append(names, nameOf(items[i], fallback(i, len(items))))
	}
	for i := range items {
		items[i] = items[i].At(path(roof.PieceKey(names, i)))
	}
	return items, names
}

// readDecks reads the decks of a file, from either of its two forms.
func readDecks(v form.Value, list bool) []roof.Deck {
	items, names := []form.Value{v.At("decks[main]")}, []string{roof.DefaultDeckName(0, 1)}
	if !list {
		names[0] = nameOf(v, names[0])
		items[0] = v.At("decks[" + roof.PieceKey(names, 0) + "]")
	} else {
		items, names = keyed(v, "decks", func(k string) string { return "decks[" + k + "]" }, roof.DefaultDeckName)
	}
	if len(items) > 50 {
		v.Fault("list.long", fmt.Sprintf("there are %d decks, more than 50", len(items)), "Split the job")
		return nil
	}
	out := make([]roof.Deck, len(items))
	for i := range items {
		d := deck{value: items[i].Named(fmt.Sprintf("deck %q", names[i]))}
		d.Name = names[i]
		deckTable.Read(d.value, &d)
		if d.Name == "" {
			d.Name = names[i]
		}
		d.assemble()
		out[i] = d.Deck
	}
	return out
}

// assemble puts outline, edges and fall together: arcs into the outline, a clockwise
// outline turned with its edges.
func (d *deck) assemble() {
	if d.fall != nil {
		d.Falls = d.fall.falls(d.fallAt)
	}
	if !d.drawnOrTaped() || !d.edgeList.Exists() || !d.cornered() {
		return
	}
	n := len(d.corners)
	if len(d.edges) != n {
		d.countFault(n)
		return
	}
	ring := plane.Ring(slices.Clone(d.corners))
	outward := 1.0
	if plane.Ring(d.corners).SignedArea() < 0 {
		outward = -1
	}
	edges := make([]roof.Edge, n)
	for i := range d.edges {
		edges[i] = d.edges[i].Edge
		if c := d.edges[i].arc; c != nil {
			if b, ok := c.bulgeOf(ring[i].Point, ring[(i+1)%n].Point, outward); ok {
				ring[i].Bulge = b
			}
		}
	}
	if ring.SignedArea() < 0 {
		if d.Survey == nil {
			// A walk may go either way round.
			d.outline.Warn("outline.clockwise", "the corners go clockwise; they were turned, with their edges", "List the corners anticlockwise")
		}
		ring, edges = turned(ring, edges)
		d.edgeList.Renumber(func(i int) int { return (2*n - 2 - i) % n })
	}
	d.Outline, d.Edges = ring, edges
}

// cornered reports whether the corners make an outline; why not is told.
func (d *deck) cornered() bool {
	n := len(d.corners)
	switch {
	case n == 0:
		return false
	case d.Survey == nil && len(d.outline.Items("corners")) != n:
		// A corner could not be read; without it the edges cannot be told apart.
		return false
	case n < 2:
		d.outline.Fault("outline.corners", fmt.Sprintf("%d corners make no outline", n), "Give three corners at least")
		return false
	case n > 3 && d.corners[0] == d.corners[n-1]:
		d.outline.Fault("outline.closed", "the last corner repeats the first", "Leave the last corner out; the outline closes by itself")
		return false
	}
	return true
}

// countFault says which edge lacks its condition, or that there are too many.
func (d *deck) countFault(n int) {
	have := len(d.edges)
	if have > n {
		d.edges[n].value.Fault("edge.many", fmt.Sprintf("there are %d edges for %d corners", have, n),
			"Remove the edges that are not there, or add the missing corners")
		return
	}
	a, b := d.corners[have], d.corners[(have+1)%n]
	d.edgeList.Fault("edge.missing", fmt.Sprintf("edge %d of %d, from (%g, %g) to (%g, %g), has no condition", have+1, n, a.X, a.Y, b.X, b.Y),
		"Add its condition: drip, verge, kerb, wall, parapet, tuck, box gutter, step up, step down or joins")
}

// turned runs an outline the other way with each condition still at its own edge.
func turned(ring plane.Ring, edges []roof.Edge) (plane.Ring, []roof.Edge) {
	n := len(ring)
	out := make([]roof.Edge, n)
	for i := range out {
		from := (2*n - 2 - i) % n
		e := edges[from]
		length := ring.Edge(from).Length()
		sills := slices.Clone(e.Thresholds)
		for k := range sills {
			sills[k].FromM, sills[k].ToM = length-sills[k].ToM, length-sills[k].FromM
		}
		e.Thresholds = sills
		out[i] = e
	}
	return ring.Reversed(), out
}
