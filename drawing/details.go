package drawing

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gelwright/language"
	"gelwright/roof"
	"gelwright/scene"
	"gelwright/settingout"
)

// Sizes of the trade that a survey does not give: common practice, drawn and
// lettered as what is to be done.
const (
	fasciaMM      = float64(settingout.FasciaMM)
	battenMM      = float64(settingout.BattenMM)
	gutterMM      = 112.0 // half round, EN 607
	intoGutterMM  = 15.0
	filletMM      = 25.0
	flashingLapMM = float64(settingout.FlashingLapMM)
	chaseMM       = 25.0
	joinLapMM     = 100.0
	recessMM      = 10.0
	flangeMM      = 80.0
	leafMM        = 102.0
)

// detailsOf lists the sections a job needs: one for each edge condition with its
// sizes, in the order of roof.Conditions, then kerbs of openings, then outlets.
func detailsOf(job *roof.Job) []*detail {
	out := edgeSections(job)
	for _, dk := range job.Decks {
		out = append(out, sillSections(job, dk)...)
	}
	for _, dk := range job.Decks {
		out = append(out, jointSections(job, dk)...)
	}
	for _, dk := range job.Decks {
		out = append(out, openingSections(job, dk)...)
	}
	for _, dk := range job.Decks {
		out = append(out, bandageSections(job, dk)...)
	}
	return detailsIn(job.Site.Said, alikeOnce(out))
}

// detailsIn are sections with their lettering in the language of the papers.
func detailsIn(in *language.Speaker, all []*detail) []*detail {
	if in == nil {
		return all
	}
	for _, d := range all {
		d.in = in
		d.title, d.where = in.Say(d.title), in.Say(d.where)
		for _, notes := range [...][]note{d.left, d.right} {
			for i := range notes {
				notes[i].words = in.Say(strings.ReplaceAll(notes[i].words, "\u00a0", " "))
			}
		}
	}
	return all
}

// alikeOnce leaves one of the sections that are drawn alike, with all the places it stands for.
func alikeOnce(all []*detail) []*detail {
	var out []*detail
	of := map[string]*detail{}
	for _, d := range all {
		is := fmt.Sprint(d.title, d.scale, d.cuts, d.strokes, d.left, d.right, d.rules)
		if first := of[is]; first != nil {
			if !slices.Contains(strings.Split(first.where, "; "), d.where) {
				first.where += "; " + d.where
			}
			continue
		}
		of[is] = d
		out = append(out, d)
	}
	return out
}

// called is a section of a name and place, drawn by draw.
func called(name, where string, draw func(d *detail)) *detail {
	d := &detail{}
	draw(d)
	d.title, d.where = name, where
	return d
}

// edgeSections is one section for all edges of a deck that are made alike.
func edgeSections(job *roof.Job) []*detail {
	type group struct {
		deck  roof.Deck
		edge  roof.Edge
		where []string
	}
	var groups []*group
	for _, c := range roof.Conditions() {
		byKey := map[string]*group{}
		for _, d := range job.Decks {
			for i, e := range d.Edges {
				if e.Condition != c {
					continue
				}
				k := fmt.Sprintf("%s/%g/%g/%s/%g/%s", d.Name, e.HeightMM, e.WidthMM, e.To, e.LimitMM, e.CavityTray)
				if byKey[k] == nil {
					byKey[k] = &group{deck: d, edge: e}
					groups = append(groups, byKey[k])
				}
				byKey[k].where = append(byKey[k].where, fmt.Sprint(i+1))
			}
		}
	}
	var out []*detail
	for _, g := range groups {
		word := "edge "
		if len(g.where) > 1 {
			word = "edges "
		}
		out = append(out, called(upperFirst(edgeWords(g.edge)), g.deck.Name+", "+word+strings.Join(g.where, ", "),
			func(d *detail) { edgeDetails[g.edge.Condition](d, job, g.deck, g.edge) }))
	}
	return out
}

func sillSections(job *roof.Job, dk roof.Deck) (out []*detail) {
	seen := map[float64]bool{}
	for i, e := range dk.Edges {
		for _, th := range e.Thresholds {
			if seen[th.UpstandMM] {
				continue
			}
			seen[th.UpstandMM] = true
			out = append(out, called(fmt.Sprintf("Door sill, upstand %.0f", th.UpstandMM), fmt.Sprintf("%s, edge %d", dk.Name, i+1),
				func(d *detail) { d.threshold(job, dk, th) }))
		}
	}
	return out
}

func jointSections(job *roof.Job, dk roof.Deck) (out []*detail) {
	joints, err := settingout.MovementJointsOf(dk)
	if err != nil {
		return nil // the plan has said so
	}
	for _, kind := range [...]struct {
		raised bool
		words  string
		draw   func(*detail, *roof.Job, roof.Deck)
	}{{true, "Movement joint, raised", (*detail).raisedJoint}, {false, "Movement joint, flush", (*detail).flushJoint}} {
		var names []string
		for _, j := range joints {
			if j.Raised == kind.raised && !slices.Contains(names, j.Name) {
				names = append(names, j.Name)
			}
		}
		if len(names) > 0 {
			out = append(out, called(kind.words, dk.Name+", "+strings.Join(names, ", "), func(d *detail) { kind.draw(d, job, dk) }))
		}
	}
	return out
}

func openingSections(job *roof.Job, dk roof.Deck) (out []*detail) {
	for _, g := range kerbGroups(dk.Openings) {
		out = append(out, called(fmt.Sprintf("%s kerb %.0f high", upperFirst(g[0].Kind), g[0].KerbMM), dk.Name+", "+openingNames(g),
			func(d *detail) { d.openingKerb(job, dk, g[0]) }))
	}
	seen := map[float64]bool{}
	for _, p := range dk.Penetrations {
		if p.Kind != "outlet" || seen[p.DiameterMM] {
			continue
		}
		seen[p.DiameterMM] = true
		out = append(out, called(fmt.Sprintf("Outlet ø%.0f", p.DiameterMM), dk.Name+", "+p.Name,
			func(d *detail) { d.outlet(job, dk, p) }))
	}
	return out
}

func kerbGroups(all []roof.Opening) [][]roof.Opening {
	var out [][]roof.Opening
next:
	for _, o := range all {
		for i, g := range out {
			if g[0].Kind == o.Kind && g[0].KerbMM == o.KerbMM {
				out[i] = append(g, o)
				continue next
			}
		}
		out = append(out, []roof.Opening{o})
	}
	return out
}

func openingNames(g []roof.Opening) string {
	if len(g) > 1 {
		return g[0].Name + " to " + g[len(g)-1].Name
	}
	return g[0].Name
}

var edgeDetails = map[roof.Condition]func(*detail, *roof.Job, roof.Deck, roof.Edge){
	roof.Drip:      (*detail).drip,
	roof.Verge:     (*detail).raised,
	roof.Kerb:      (*detail).raised,
	roof.Wall:      (*detail).wall,
	roof.Parapet:   (*detail).parapet,
	roof.Tuck:      (*detail).tuck,
	roof.BoxGutter: (*detail).boxGutter,
	roof.StepUp:    (*detail).stepUp,
	roof.StepDown:  (*detail).stepDown,
	roof.Joins:     (*detail).joins,
}

// laminate draws the skin and counts it as the section's main line.
func (d *detail) laminate(points ...scene.Point) { d.line("laminate", laminatePen, points...) }

func wallGap(job *roof.Job) float64 {
	if g := job.Spec.Board.WallGapMM; g > 0 {
		return g
	}
	return 10
}

// dripFace draws fascia, battens and the trim whose face hangs clear of them.
func (d *detail) dripFace(low float64) (faceX, footY float64) {
	d.cut(
		rectangle(timber, 0, low+10, fasciaMM, 0, ""),
		rectangle(timber, fasciaMM, -50, fasciaMM+battenMM, 0, ""),
		rectangle(timber, fasciaMM+battenMM, -38, fasciaMM+2*battenMM, 0, ""))
	faceX, footY = fasciaMM+2*battenMM+trimMM, -75
	d.line("trim", trimPen, xy(-flangeMM, trimMM), xy(faceX, trimMM), xy(faceX, footY))
	d.laminate(xy(-reachMM, skinMM), xy(faceX+3.5, skinMM), xy(faceX+3.5, -25))
	d.noteRight(faceX, -55, "drip trim, bonded and nailed")
	d.noteRight(fasciaMM+battenMM*1.5, -18, "two treated battens, 25 × 50 and 25 × 38")
	d.noteLeft(fasciaMM/2, low+22, "fascia")
	return faceX, footY
}

// bearer draws the timber beside the insulation under an open edge of a warm roof.
func (d *detail) bearer(job *roof.Job, dk roof.Deck) {
	if job.Spec.Build != "warm" {
		return
	}
	y := 0.0
	for _, l := range layersOf(job, dk) {
		if low := y - l.thickMM; l.stuff == foam {
			d.cut(rectangle(timber, -settingout.EdgeBearerMM, low, 0, y, ""))
			d.noteLeft(-settingout.EdgeBearerMM*0.6, low+l.thickMM*0.25, fmt.Sprintf("treated timber %d × %.0f, screwed down",
				settingout.EdgeBearerMM, l.thickMM))
		}
		y -= l.thickMM
	}
}

func (d *detail) drip(job *roof.Job, dk roof.Deck, e roof.Edge) {
	low := d.deckUpTo(job, dk, 0, "")
	d.bearer(job, dk)
	faceX, foot := d.dripFace(low)
	r := gutterMM / 2
	rim := foot + intoGutterMM
	c := xy(fasciaMM+4+r, rim)
	d.strokes = append(d.strokes, stroke{scene.Arc(c, r, 0, -180), metalPen, "gutter"})
	d.line("gutter", metalPen, xy(c.X+r, rim), xy(c.X+r+4, rim), xy(c.X+r+4, rim-6))
	d.noteRight(c.X+r*0.7, rim-r*0.714, "gutter")
	d.rise(c.X+r+8, -4, foot, rim, 0)
	d.width(8, 4, fasciaMM, faceX-trimMM)
}

// laminatedOver reports whether a raised edge takes mat of its own, as it is set out: a
// kerb whose top has a width to go over. Else the laminate ends on the trim's flange.
func laminatedOver(e roof.Edge) bool { return e.Condition == roof.Kerb && e.WidthMM > 0 }

// raised is a kerb or a verge: timber on the deck's edge, trimmed over.
func (d *detail) raised(job *roof.Job, dk roof.Deck, e roof.Edge) {
	low := d.deckUpTo(job, dk, 0, "")
	d.bearer(job, dk)
	h, out, in := orUnknown(e.HeightMM), fasciaMM+battenMM, -settingout.EdgeTimberMM(e)
	d.cut(
		rectangle(timber, in, 0, 0, h, ""),
		rectangle(timber, 0, low+10, fasciaMM, h, ""),
		rectangle(timber, fasciaMM, h-settingout.BattenDeepMM, out, h, ""))
	f := min(filletMM, h*0.6)
	foot := h - 90
	d.line("trim", trimPen, xy(in-flangeMM, trimMM), xy(in-f, trimMM), xy(in-trimMM, f), xy(in-trimMM, h+trimMM), xy(out+trimMM, h+trimMM),
		xy(out+trimMM, foot))
	if laminatedOver(e) {
		d.laminate(xy(-reachMM, skinMM), xy(in-f-1.5, skinMM), xy(in-skinMM, f+1.5), xy(in-skinMM, h+skinMM), xy(out+skinMM, h+skinMM),
			xy(out+skinMM, h-30))
	} else {
		d.laminate(xy(-reachMM, skinMM), xy(in-f-1.5, skinMM))
		d.noteLeft(in-f-6, skinMM, "laminate ends on the trim's flange")
	}
	name := "kerb trim"
	if e.Condition == roof.Verge {
		name = "verge trim"
	}
	d.noteRight(out+trimMM, foot+20, name+", bonded and nailed")
	d.noteRight(in/2, h/2, fmt.Sprintf("treated timber %.0f × %.0f, fixed through the deck", -in, h))
	d.noteRight(fasciaMM+battenMM/2, h-22, fmt.Sprintf("treated batten %.0f × %d", battenMM, settingout.BattenDeepMM))
	d.noteRight(fasciaMM/2, low+30, "fascia")
	if e.HeightMM > 0 {
		d.heightOf(in-skinMM-f, 5, h, in/2)
	}
	if e.WidthMM >= out-in {
		d.width(h+skinMM, 4, in, out)
	}
}

// turnUp draws fillet, trim and laminate against a face at x up to h.
func (d *detail) turnUp(x, h float64) {
	f := min(filletMM, h*0.6)
	d.line("trim", trimPen, xy(-flangeMM, trimMM), xy(x-f-2, trimMM), xy(x-2, f), xy(x-2, min(h, 100)))
	d.laminate(xy(-reachMM, skinMM), xy(x-f-4, skinMM), xy(x-6, f+2), xy(x-6, h))
	d.noteLeft(x-f*0.5-1, f*0.5-1, "wall fillet, fixed to the deck only")
	d.heightOf(x-f-8, 8, h, x-6)
}

// heightOf dimensions a height above the deck, or names it where it is too low
// for lettering beside it.
func (d *detail) heightOf(x, offset, h, partX float64) {
	if h < 45 {
		d.noteLeft(partX, h+skinMM, fmt.Sprintf("%.0f above the deck", h))
		return
	}
	d.rise(x, offset, 0, h)
}

func (d *detail) wall(job *roof.Job, dk roof.Deck, e roof.Edge) {
	low := d.deckUpTo(job, dk, 0, "")
	g, h := wallGap(job), orUnknown(e.HeightMM)
	top := h + 95
	d.cut(rectangle(masonry, g, low, g+leafMM, top, "tb"))
	d.breakLine(xy(g, top), xy(g+leafMM, top))
	d.breakLine(xy(g, low), xy(g+leafMM, low))
	d.turnUp(g, h)
	chase := h + 20
	d.cut(figure(beyond, xy(g, chase-5), xy(g+chaseMM, chase-5), xy(g+chaseMM, chase+5), xy(g, chase+5)))
	d.line("flashing", metalPen, xy(g+chaseMM-2, chase), xy(g-2, chase), xy(g-12, chase-8), xy(g-12, h-flashingLapMM))
	d.noteRight(g-12, h-flashingLapMM/3, fmt.Sprintf("flashing, lapped %.0f over the upstand", flashingLapMM))
	d.noteRight(g+chaseMM-4, chase, fmt.Sprintf("chase %.0f deep, wedged and sealed", chaseMM))
	d.noteRight(g/2, -6, fmt.Sprintf("gap %.0f, deck free of the wall", g))
	d.noteRight(g+leafMM*0.6, low+40, "wall")
	switch e.CavityTray {
	case "yes":
		d.noteRight(g+leafMM*0.7, top-30, "cavity tray above the flashing")
	case "no":
		d.noteRight(g+leafMM*0.7, top-30, "no cavity tray: one is needed above the flashing")
	default:
		d.noteRight(g+leafMM*0.7, top-30, "cavity tray: not looked at yet")
	}
	if e.LimitMM > 0 {
		d.noteRight(g+leafMM*0.4, top-55, fmt.Sprintf("limit %.0f above the present surface", e.LimitMM))
	}
}

func (d *detail) parapet(job *roof.Job, dk roof.Deck, e roof.Edge) {
	low := d.deckUpTo(job, dk, 0, "")
	g, h := wallGap(job), orUnknown(e.HeightMM)
	w := e.WidthMM
	if w < 60 {
		w = leafMM
	}
	d.cut(rectangle(masonry, g, low, g+w, h, "b"))
	d.breakLine(xy(g, low), xy(g+w, low))
	d.turnUp(g, h)
	d.laminate(xy(g-6, h), xy(g-6, h+skinMM), xy(g+w-10, h+skinMM))
	d.cut(figure(concrete, xy(g-45, h+12), xy(g+w+45, h+12), xy(g+w+45, h+70), xy(g-45, h+58)))
	d.noteRight(g+w+20, h+40, "coping, bedded; throat each side")
	d.noteRight(g+w*0.6, h+skinMM, "laminate over the wall, under the coping")
	d.noteRight(g+w*0.6, h*0.4, "parapet")
	d.noteRight(g/2, -6, fmt.Sprintf("gap %.0f, deck free of the wall", g))
	if e.WidthMM >= w {
		d.width(h+72, 4, g, g+w)
	}
}

// threshold is a wall edge under a door, where the upstand ends below the sill.
func (d *detail) threshold(job *roof.Job, dk roof.Deck, th roof.Threshold) {
	low := d.deckUpTo(job, dk, 0, "")
	g, h := wallGap(job), orUnknown(th.UpstandMM)
	d.cut(rectangle(masonry, g, low, g+leafMM, h, "b"))
	d.breakLine(xy(g, low), xy(g+leafMM, low))
	d.turnUp(g, h)
	d.laminate(xy(g-6, h), xy(g-6, h+skinMM), xy(g+50, h+skinMM))
	d.cut(figure(timber, xy(g-40, h+12), xy(g+leafMM, h+12), xy(g+leafMM, h+62), xy(g+30, h+62), xy(g-40, h+40)))
	d.cut(rectangle(timber, g+45, h+62, g+leafMM-8, h+130, "t"))
	d.breakLine(xy(g+45, h+130), xy(g+leafMM-8, h+130))
	d.noteRight(g+70, h+105, "door")
	d.noteRight(g+leafMM-20, h+35, "sill, its drip clear of the upstand")
	d.noteRight(g+45, h+skinMM, "laminate carried under the sill")
	d.noteRight(g+leafMM*0.6, low+40, "wall")
	d.noteRight(g/2, -6, fmt.Sprintf("gap %.0f, deck free of the wall", g))
}

func (d *detail) tuck(job *roof.Job, dk roof.Deck, e roof.Edge) {
	low := d.deckUpTo(job, dk, 0, "")
	g, h := wallGap(job), orUnknown(e.HeightMM)
	const far = 190.0
	slope := math.Tan(35 * math.Pi / 180)
	at := func(x float64) float64 { return h + (x-g)*slope }
	d.cut(rectangle(timber, g, low+20, g+18, h, "b"))
	rafter := cut{stuff: timber, region: scene.Polygon(xy(g+18, at(g+18)-95), xy(far, at(far)-95), xy(far, at(far)), xy(g+18, at(g+18)))}
	rafter.sides = []scene.Path{scene.Polyline(xy(far, at(far)-95), xy(g+18, at(g+18)-95), xy(g+18, at(g+18)), xy(far, at(far)))}
	d.cut(rafter)
	d.breakLine(xy(far, at(far)-95), xy(far, at(far)+30))
	d.turnUp(g, h)
	end := g + 110
	d.laminate(xy(g-6, h), xy(g-2, h+skinMM+2), xy(end, at(end)+skinMM+2))
	// Two courses of slates, the lower on a tilting fillet.
	d.cut(figure(timber, xy(g+4, at(g+4)+8), xy(g+60, at(g+60)+8), xy(g+4, at(g+4)+24)))
	for k := range 2 {
		x := g - 42 + 70*float64(k)
		lift := 26 + 8*float64(k)
		x1 := min(x+165, far)
		c := cut{stuff: beyond, region: scene.Polygon(xy(x, at(x)+lift), xy(x1, at(x1)+lift-10), xy(x1, at(x1)+lift-3), xy(x, at(x)+lift+7))}
		c.sides = []scene.Path{c.region}
		d.cut(c)
	}
	d.noteRight(far-60, at(far-60)+30, "slates or tiles over the upstand")
	d.noteRight(end-6, at(end-6)+skinMM+2, "laminate carried up under them")
	d.noteRight(g+12, at(g+12)+16, "tilting fillet")
	d.noteRight(g+100, at(g+100)-50, "rafter")
	d.noteRight(g+9, h*0.45, "upstand board")
}

func (d *detail) boxGutter(job *roof.Job, dk roof.Deck, e roof.Edge) {
	low := d.deckUpTo(job, dk, 0, "")
	const wide, deep, lining = 150.0, 90.0, 18.0
	d.cut(
		rectangle(board, 0, -deep-lining, wide+2*lining, -deep, ""),
		rectangle(board, 0, -deep, lining, 0, ""),
		rectangle(board, wide+lining, -deep, wide+2*lining, 0, ""))
	d.cut(rectangle(masonry, wide+2*lining, low, wide+2*lining+60, 150, "trb"))
	d.breakLine(xy(wide+2*lining+60, low), xy(wide+2*lining+60, 150))
	i0, i1 := lining+skinMM, wide+lining-skinMM
	d.laminate(xy(-reachMM, skinMM), xy(i0, skinMM), xy(i0, -deep+skinMM+12), xy(i0+12, -deep+skinMM), xy(i1-12, -deep+skinMM),
		xy(i1, -deep+skinMM+12), xy(i1, 12), xy(wide+2*lining-6, 24), xy(wide+2*lining-6, 140))
	d.line("trim", trimPen, xy(-flangeMM, trimMM), xy(lining+trimMM, trimMM), xy(lining+trimMM, -40))
	d.noteRight(wide/2, -deep+skinMM, "gutter lined in one with the roof; its size as found on site")
	d.noteRight(wide+lining*1.5, -deep/2, "gutter boards with rounded corners")
	d.noteRight(wide+2*lining-6, 110, "upstand beyond the gutter")
}

func (d *detail) stepUp(job *roof.Job, dk roof.Deck, e roof.Edge) {
	low := d.deckUpTo(job, dk, 0, "")
	g, up := wallGap(job), orUnknown(e.HeightMM)
	t := orUnknown(job.Spec.Board.ThicknessMM)
	// The higher deck is shown as low as its drip can cover the upstand.
	h := up + 45
	const far = 150.0
	d.cut(
		rectangle(timber, g, low, g+38, h-t, "b"),
		rectangle(board, g, h-t, far, h, "r"),
		rectangle(timber, g-battenMM-10, h-45, g-10, h, ""))
	d.breakLine(xy(far, h-t-10), xy(far, h+10))
	d.turnUp(g, up)
	x := g - battenMM - 10 - trimMM
	d.line("trim", trimPen, xy(g+70, h+trimMM), xy(x, h+trimMM), xy(x, h-75))
	d.laminate(xy(far, h+skinMM), xy(x-3.5, h+skinMM), xy(x-3.5, h-30))
	d.noteRight(far-30, h-t/2, "higher deck"+toWords(e))
	d.noteRight(x, h-60, "its drip, over the upstand")
	d.noteRight(g+19, h*0.35, "riser")
	d.noteRight(g/2, -6, fmt.Sprintf("gap %.0f, deck free of the riser", g))
}

func toWords(e roof.Edge) string {
	if e.To == "" {
		return ""
	}
	return ": " + e.To
}

func (d *detail) stepDown(job *roof.Job, dk roof.Deck, e roof.Edge) {
	low := d.deckUpTo(job, dk, 0, "")
	d.bearer(job, dk)
	d.dripFace(min(low, -70))
	deep := min(low, -70) - 60
	d.cut(rectangle(masonry, -leafMM+fasciaMM, deep, 0, low, "tb"))
	d.breakLine(xy(-leafMM+fasciaMM, deep), xy(0, deep))
	d.line("lower upstand", laminatePen, xy(6+fasciaMM, -85), xy(6+fasciaMM, deep+20), xy(6+fasciaMM+20, deep), xy(150, deep))
	d.noteRight(6+fasciaMM, deep+35, "upstand of the lower roof"+toWords(e)+", behind the drip")
}

func (d *detail) joins(job *roof.Job, dk roof.Deck, e roof.Edge) {
	const far = 190.0
	d.deckUpTo(job, dk, far, "r")
	d.breakLine(xy(far, -30), xy(far, 15))
	d.line("existing laminate", metalPen, xy(0, 2.5), xy(far, 2.5))
	d.laminate(xy(-reachMM, skinMM), xy(-12, skinMM), xy(4, skinMM+4), xy(joinLapMM, skinMM+4))
	d.noteRight(far-30, 2.5, "existing laminate, abraded and clean under the lap")
	d.noteRight(joinLapMM*0.7, skinMM+4, "new laminate over the old")
	d.width(skinMM+6, 5, 0, joinLapMM)
}
