package drawing

import (
	"fmt"
	"math"

	"gelwright/roof"
	"gelwright/settingout"
)

// Sizes that the set-out gives patches and the mat of kerbs, mm; a test holds them against its pieces.
const (
	cornerPatchMM = 150.0
	onDeckMM      = 75.0
)

// bandageScale is the n of 1:n of bandage at openings: strips lie on one another there.
const bandageScale = 5

// kerbFoot is the sizes of what lies round the foot of a kerb, mm.
type kerbFoot struct {
	high, wide, bandage, patch, deck float64
	chimney                          bool
}

func kerbFootOf(job *roof.Job, o roof.Opening) kerbFoot {
	k := kerbFoot{high: orUnknown(o.KerbMM), wide: settingout.KerbThicknessMM, bandage: job.Spec.CornerStripMM, patch: cornerPatchMM,
		deck: onDeckMM, chimney: o.Kind == "chimney"}
	if k.bandage <= 0 {
		k.bandage = 150
	}
	return k
}

// matMM is the girth of the kerb's mat.
func (k kerbFoot) matMM() float64 {
	if k.chimney {
		return k.deck + k.high
	}
	return k.deck + k.high + k.wide
}

// bandageSections show bandage, patches and mat at openings and pipes, one of each kind.
func bandageSections(job *roof.Job, dk roof.Deck) (out []*detail) {
	for _, g := range kerbGroups(dk.Openings) {
		k := kerbFootOf(job, g[0])
		where := dk.Name + ", " + openingNames(g)
		out = append(out, enlarged("Bandage at a kerb's corner, from above", where, func(d *detail) { d.kerbCorner(k) }))
	}
	seen := map[float64]bool{}
	for _, p := range dk.Penetrations {
		if p.Kind != "pipe" || seen[p.DiameterMM] {
			continue
		}
		seen[p.DiameterMM] = true
		out = append(out, enlarged(fmt.Sprintf("Bandage at a pipe ø%.0f", p.DiameterMM), dk.Name+", "+p.Name,
			func(d *detail) { d.pipeFoot(job, dk, p) }))
	}
	return out
}

// enlarged is a detail at the scale of bandage, which it says.
func enlarged(name, where string, draw func(d *detail)) *detail {
	d := called(name, fmt.Sprintf("%s, 1:%d", where, bandageScale), draw)
	d.scale = bandageScale
	return d
}

// kerbCorner is the outer corner of a kerb from above: its foot runs along x and y from the origin, the deck lies
// left of it and below.
func (d *detail) kerbCorner(k kerbFoot) {
	const shownMM = 190.0
	half, patch := k.bandage/2, k.patch/2
	if k.chimney {
		d.cut(rectangle(masonry, 0, 0, shownMM, shownMM, "rt"))
	} else {
		d.cut(cut{stuff: timber, region: figure(timber, xy(0, 0), xy(shownMM, 0), xy(shownMM, k.wide), xy(k.wide, k.wide),
			xy(k.wide, shownMM), xy(0, shownMM)).region})
		d.line("kerb", metalPen, xy(shownMM, 0), xy(0, 0), xy(0, shownMM))
		d.line("kerb", metalPen, xy(shownMM, k.wide), xy(k.wide, k.wide), xy(k.wide, shownMM))
	}
	d.breakLine(xy(shownMM, -half), xy(shownMM, k.wide))
	d.breakLine(xy(-half, shownMM), xy(k.wide, shownMM))
	// The strip along x runs past the corner, the one along y lies on it.
	d.line("bandage", trimPen, xy(shownMM, -half), xy(-half, -half), xy(-half, 0), xy(0, 0))
	d.line("bandage", trimPen, xy(-half, shownMM), xy(-half, -half), xy(0, -half), xy(0, 0))
	d.line("patch", laminatePen, xy(0, patch), xy(-patch, patch), xy(-patch, -patch), xy(patch, -patch), xy(patch, 0))
	d.line("slit", seenPen, xy(-patch, -patch), xy(0, 0))
	d.noteRight(shownMM*0.6, k.wide*0.5, map[bool]string{false: "kerb", true: "chimney"}[k.chimney])
	d.noteRight(shownMM*0.7, -half*0.5,
		fmt.Sprintf("bandage %.0f: %.0f on the deck, %.0f up, run %.0f past the corner", k.bandage, half, half, half))
	d.noteRight(patch*0.75, -patch*0.9,
		fmt.Sprintf("two patches %.0f × %.0f, one on the other, slit to the corner and folded up", k.patch, k.patch))
	mat := fmt.Sprintf("mat of the kerb %.0f over it: %.0f on the deck, %.0f up", k.matMM(), k.deck, k.high)
	if !k.chimney {
		mat += fmt.Sprintf(", %.0f over the top", k.wide)
	}
	d.noteLeft(-k.deck*0.5, shownMM*0.7, mat)
	d.noteLeft(-patch*0.6, -patch*0.6, "the wet deck first, then strips, patches, mat; roll each out")
	d.width(-half-6, -7, -half, 0)
	d.rise(-half-6, 7, -half, 0)
}

// pipeFoot is a pipe through the deck in section: the strip round it, and the patch on the deck.
func (d *detail) pipeFoot(job *roof.Job, dk roof.Deck, p roof.Penetration) {
	k := kerbFootOf(job, roof.Opening{})
	r, half := max(p.DiameterMM, 40)/2, k.bandage/2
	t := orUnknown(job.Spec.Board.ThicknessMM)
	reach := r + k.patch + 30
	for _, s := range []float64{-1, 1} {
		x0, x1, open := -r-half-30, -r, "l"
		if s > 0 {
			x0, x1, open = r, reach, "r"
		}
		d.cut(rectangle(board, x0, -t, x1, 0, open))
		d.line("pipe", metalPen, xy(s*r, -t-40), xy(s*r, half+50))
		d.line("bandage", trimPen, xy(s*(r+half), 4), xy(s*(r+10), 4), xy(s*(r+4), 10), xy(s*(r+4), half))
		d.line("patch", laminatePen, xy(max(s*(r+k.patch), -r-half-30), 9), xy(s*(r+12), 9))
	}
	d.breakLine(xy(-r, half+50), xy(r, half+50))
	d.breakLine(xy(-r, -t-40), xy(r, -t-40))
	round := math.Pi * p.DiameterMM
	d.noteRight(r+4, half*0.8, fmt.Sprintf("bandage %.0f, about %.0f long, wrapped round, ends lapped 50: %.0f up, the foot slit every 25 "+
		"and spread", k.bandage, round+50, half))
	side := 2*k.patch + p.DiameterMM
	d.noteRight(r+k.patch*0.8, 9, fmt.Sprintf("patch %.0f × %.0f with a hole, over the slit foot", side, side))
	d.noteRight(r, half+20, fmt.Sprintf("pipe ø%s, abraded and degreased; a collar or clamp over it", plain(job.Site.Locale, p.DiameterMM)))
	d.noteRight(r+k.patch*0.5, -t*0.6, "top board, close to the pipe")
	d.rise(-r-half-8, 6, 0, half)
	d.width(-t-6, -6, -r-half, -r)
}
