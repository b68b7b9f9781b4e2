package roof

import (
	"fmt"
	"math"

	"gelwright/plane"
)

// What is believed of a roof that is laid by hand (common practice, no source): more, or
// less, is a slip of the unit or of a place.
const (
	largestM2  = 10_000 // all decks of one job
	leastWideM = 0.1    // a deck, as twice its area over its outline
	leastHoleM = 0.05   // an opening, either way
	leastRestM = 0.05   // deck between an opening and the outline
	leastNetM2 = 0.3    // deck that openings leave
)

// sense checks what each deck by itself cannot show, and the sums.
func (v *validator) sense() {
	sum := 0.0
	for i := range v.job.Decks {
		k := &v.job.Decks[i]
		if !finite(k.Outline) {
			return
		}
		sum += k.Outline.Area()
		for m := range i {
			v.sameGround(k, &v.job.Decks[m], v.job.DeckPath(i))
		}
	}
	if sum > largestM2 {
		v.fault("decks.large", v.job.DeckPath(0)+".outline", "",
			fmt.Sprintf("the roof measures %.0f m², more than %d m² is not planned as one job", sum, largestM2),
			"Check the unit of the corners, or split the roof into jobs along its movement joints")
	}
}

// storeyM is how far apart two decks lie that may be one above the other.
const storeyM = 1.8

// sameGround refuses decks that cover the same ground at about the same level.
func (v *validator) sameGround(k, other *Deck, path string) {
	if len(k.Outline) < 2 || len(other.Outline) < 2 || apart(k.Outline, other.Outline) {
		return
	}
	at, hit := k.Outline.Outline().Overlaps(other.Outline.Outline())
	if !hit {
		return
	}
	where := fmt.Sprintf("deck %q", k.Name)
	text := fmt.Sprintf("it covers the same ground as deck %q near (%.3f, %.3f)", other.Name, at.X, at.Y)
	if math.Abs(k.LevelM-other.LevelM) < storeyM {
		v.fault("decks.overlap", path+".outline", where, text, "Check the corners of both; a deck above another needs its level_m")
		return
	}
	v.warn("decks.overlap", path+".outline", where, text, "Right where one roof stands above another; else check the corners of both")
}

// narrow refuses a deck that is a line rather than a deck.
func (v *validator) narrow(k *Deck, path, where string) {
	if wide := 2 * k.Outline.Area() / k.Outline.Perimeter(); wide < leastWideM {
		v.fault("outline.narrow", path+".outline", where, fmt.Sprintf("the deck is about %.0f mm wide", wide*1000),
			"Check the corners; they are in metres")
	}
}

// joists checks that there is room between the joists.
func (v *validator) joists(k *Deck, path, where string) {
	b := k.Base
	if b.Kind != "joists" || !(b.JoistSpacingMM > 0) || b.JoistWidthMM < b.JoistSpacingMM {
		return
	}
	v.fault("joists.width", path+".base.joist_width_mm", where,
		fmt.Sprintf("joists %g mm wide stand %g mm from centre to centre: there is no room between them", b.JoistWidthMM, b.JoistSpacingMM),
		"Give joist_spacing_mm from centre to centre, or base: {kind: sound deck} where the timber is closed")
}

// boxGutter refuses a gutter within the roof that nobody has drawn: it has boards, a
// lining and an outlet, which are a deck's.
func (v *validator) boxGutter(e *Edge, path, where string) {
	if e.Condition == BoxGutter && e.To == "" {
		v.fault("edge.gutter", path, where, "the box gutter has no deck: its boards, its lining and its outlet would be left out",
			`Draw the gutter as a deck of its own, with its fall and its outlet, and name it here: {condition: box gutter, to: gutter}`)
	}
}

// holeSense refuses openings of nothing, and slivers of deck beside them.
func (v *validator) holeSense(k *Deck, path string, outline plane.Outline) {
	net := k.Outline.Area()
	for i := range k.Openings {
		o := &k.Openings[i]
		if len(o.Outline) < 2 || !finite(o.Outline) {
			continue
		}
		p, where := k.OpeningPath(path, i), fmt.Sprintf("deck %q, opening %q", k.Name, o.Name)
		low, high := o.Outline.Bounds()
		net -= o.Outline.Area()
		if small := min(high.X-low.X, high.Y-low.Y); small < leastHoleM {
			v.fault("opening.small", p, where, fmt.Sprintf("the opening is %.0f mm wide", small*1000),
				"Check its corners; a pipe is given under penetrations")
		}
		if rest := sliver(outline, o.Outline.Outline()); rest < leastRestM {
			v.fault("opening.sliver", p, where, fmt.Sprintf("%.0f mm of deck are left between it and the outline: nothing can be laid there",
				rest*1000), "Take the opening to the outline, or keep 150 mm off it to work in")
		}
	}
	if len(k.Openings) > 0 && net < leastNetM2 {
		v.fault("opening.all", k.OpeningPath(path, 0), fmt.Sprintf("deck %q", k.Name), fmt.Sprintf("the openings leave %.2f m² of %.2f m²",
			max(0, net), k.Outline.Area()), "Check the corners of the openings")
	}
}

// sliver is how near an opening comes to an outline that it does not touch, m.
func sliver(outline, hole plane.Outline) float64 {
	if least := outline.Gap(hole); least > 2*plane.OutlineM {
		return least
	}
	return math.Inf(1)
}
