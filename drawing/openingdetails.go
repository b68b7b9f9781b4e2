package drawing

import (
	"fmt"

	"gelwright/roof"
)

// openingKerb is the kerb of a rooflight, hatch or chimney.
func (d *detail) openingKerb(job *roof.Job, dk roof.Deck, o roof.Opening) {
	low := d.deckUpTo(job, dk, 0, "")
	h := orUnknown(o.KerbMM)
	const wide = 50.0
	f := min(filletMM, h*0.6)
	d.cut(figure(timber, xy(-f, 0), xy(0, 0), xy(0, f)))
	if o.Kind == "chimney" {
		d.cut(rectangle(masonry, 0, low, 140, h+110, "trb"))
		d.breakLine(xy(0, h+110), xy(140, h+110))
		d.laminate(xy(-reachMM, skinMM), xy(-f-3, skinMM), xy(-skinMM, f+2), xy(-skinMM, h))
		d.line("flashing", metalPen, xy(chaseMM, h+20), xy(-2, h+20), xy(-11, h+12), xy(-11, h-flashingLapMM))
		d.noteRight(-11, h-30, fmt.Sprintf("flashing, lapped %.0f, chased %.0f deep", flashingLapMM, chaseMM))
		d.noteRight(80, h*0.4, "chimney")
	} else {
		d.laminate(xy(-reachMM, skinMM), xy(-f-3, skinMM), xy(-skinMM, f+2), xy(-skinMM, h+skinMM), xy(wide, h+skinMM))
		d.cut(rectangle(timber, 0, low, wide, h, "b"))
		d.line("frame", metalPen, xy(-22, h-15), xy(-22, h+30), xy(150, h+30))
		d.line("frame", metalPen, xy(-22, h+42), xy(150, h+42))
		d.line("frame", metalPen, xy(-22, h+30), xy(-22, h+42))
		d.breakLine(xy(150, h+25), xy(150, h+47))
		frame := o.Kind
		if frame == "" {
			frame = "cover"
		}
		if o.Fragile {
			frame += ", fragile: covered and marked while people are on the roof"
		}
		d.noteRight(110, h+36, frame)
		d.noteRight(wide-8, h+skinMM, "laminate over the top to the inner edge")
		d.noteRight(wide/2, h*0.5, "kerb of treated timber")
	}
	d.noteRight(-f*0.35, f*0.3, fmt.Sprintf("fillet %.0f, corners two layers", f))
	if o.KerbMM > 0 {
		d.heightOf(-f-8, 8, h, 0)
	}
}

// outlet is drawn through its middle, recessed so that the bandage does not dam it.
func (d *detail) outlet(job *roof.Job, dk roof.Deck, p roof.Penetration) {
	r := max(p.DiameterMM, 40) / 2
	half := r + 100
	const far = 190.0
	// The recess is cut out of the deck board on both sides of the pipe.
	low := d.deckUpTo(job, dk, -half, "r")
	t := orUnknown(job.Spec.Board.ThicknessMM)
	cutAway := min(recessMM, t*0.6)
	right := max(far, half+50)
	y := 0.0
	for i, l := range layersOf(job, dk) {
		top := y
		if i == 0 {
			top = -cutAway
		}
		o := ""
		if l.thickMM == joistShownMM {
			o = "b"
		}
		d.cut(rectangle(l.stuff, -half, y-l.thickMM, -r, top, o+"l"), rectangle(l.stuff, r, y-l.thickMM, half, top, o+"r"),
			rectangle(l.stuff, half, y-l.thickMM, right, y, o+"rl"))
		y -= l.thickMM
	}
	d.breakLine(xy(right, y), xy(right, 12))
	for _, s := range []float64{-1, 1} {
		start := reachMM
		if s > 0 {
			start = right
		}
		d.laminate(xy(s*start, skinMM), xy(s*(half+4), skinMM), xy(s*(half-12), skinMM-cutAway), xy(s*(r-2), skinMM-cutAway),
			xy(s*(r-skinMM), -cutAway-4), xy(s*(r-skinMM), -45))
		d.line("recess", metalPen, xy(s*half, 0), xy(s*half, -cutAway))
		d.line("outlet", metalPen, xy(s*(r+60), 1-cutAway), xy(s*r, 1-cutAway), xy(s*r, low-20))
	}
	d.noteRight(r, -60, "outlet ø"+plain(job.Site.Locale, p.DiameterMM))
	d.noteRight(r+40, skinMM-cutAway, "laminate dressed into the outlet, two layers")
	d.noteRight(half-5, -cutAway*0.6, fmt.Sprintf("recess %.0f deep, so that nothing dams the water", cutAway))
	d.width(skinMM+3, 5, -half, half)
}
