package roof

import (
	"fmt"

	"gelwright/plane"
)

// Kerbs of openings: 150 mm above the finished roof, as BS 6229 asks in Britain (from memory, to
// be confirmed); below 50 mm a kerb is no kerb (common practice).
const (
	leastKerbMM = 150
	noKerbMM    = 50
)

// mostDetail bounds how many pairs of sides are held against each other; 1 000 round
// openings in a deck of 100 sides are some four million.
const mostDetail = 5_000_000

// openings checks each opening and each pair; it answers whether the outlines could all be
// held against each other.
func (v *validator) openings(k *Deck, path string, outline plane.Outline) bool {
	seen := map[string]bool{}
	shapes := make([]plane.Outline, len(k.Openings))
	detail := 0
	for i := range k.Openings {
		o := &k.Openings[i]
		p := k.OpeningPath(path, i)
		where := fmt.Sprintf("deck %q, opening %q", k.Name, o.Name)
		if seen[o.Name] {
			v.fault("name.twice", p+".name", where, "two openings of this deck have the same name", "Give each its own name")
		}
		seen[o.Name] = true
		v.kerb(o, p, where)
		if len(o.Outline) < 2 || !finite(o.Outline) || o.Outline.Area() < 1e-4 {
			v.fault("opening.outline", p, where, "the opening has no area", "Give two opposite corners, or centre and diameter_m")
			continue
		}
		shapes[i] = o.Outline.Outline()
		if detail += len(shapes[i]) * len(outline); detail > mostDetail {
			v.tooDetailed(p, where)
			return false
		}
		if at, _, _, hit := o.Outline.Outline().MeetsItself(); hit {
			v.fault("opening.crosses", p, where, fmt.Sprintf("its outline crosses itself at (%.3f, %.3f)", at.X, at.Y),
				"Check the order of its corners")
			shapes[i] = nil
			continue
		}
		if at, out := outline.Reaches(shapes[i]); out {
			v.fault("opening.outside", p, where, fmt.Sprintf("it reaches outside the deck near (%.3f, %.3f)", at.X, at.Y),
				"Check its place; it may touch the outline, not pass it")
		}
	}
	return v.pairs(k, path, shapes, detail)
}

// kerb checks the kerb of an opening.
func (v *validator) kerb(o *Opening, path, where string) {
	switch {
	case o.KerbMM < noKerbMM && o.Kind != "void":
		v.fault("opening.kerb", path+".kerb_mm", where, fmt.Sprintf("a kerb of %g mm keeps no water out", o.KerbMM),
			"Raise it to 150 mm above the finished roof; less than 50 mm cannot be laminated and flashed")
	case o.KerbMM < leastKerbMM && o.Kind != "void":
		v.warn("opening.kerb", path+".kerb_mm", where, fmt.Sprintf("a kerb of %g mm is below 150 mm", o.KerbMM),
			"Confirm it, or raise it to 150 mm (common practice)")
	}
}

// pairs checks that no two openings overlap; detail is how many pairs of sides were held against
// each other before.
func (v *validator) pairs(k *Deck, path string, shapes []plane.Outline, detail int) bool {
	for i := range shapes {
		for m := range i {
			if shapes[i] == nil || shapes[m] == nil || apart(k.Openings[i].Outline, k.Openings[m].Outline) {
				continue
			}
			if detail += len(shapes[i]) * len(shapes[m]); detail > mostDetail {
				v.tooDetailed(k.OpeningPath(path, i), fmt.Sprintf("deck %q", k.Name))
				return false
			}
			if at, hit := shapes[i].Overlaps(shapes[m]); hit {
				v.fault("opening.overlap", k.OpeningPath(path, i), fmt.Sprintf("deck %q, opening %q", k.Name, k.Openings[i].Name),
					fmt.Sprintf("it overlaps opening %q near (%.3f, %.3f)", k.Openings[m].Name, at.X, at.Y), "Check the places of both")
			}
		}
	}
	return true
}

func (v *validator) tooDetailed(path, where string) {
	v.fault("opening.detail", path, where, "the outlines of deck and openings have too many corners and curves to be held against each other",
		"Split the deck, or draw curves as arcs and not as many short sides")
}

// apart reports whether two outlines' bounds do not meet.
func apart(r, s plane.Ring) bool {
	a, b := r.Bounds()
	c, d := s.Bounds()
	return b.X <= c.X || d.X <= a.X || b.Y <= c.Y || d.Y <= a.Y
}

func (v *validator) penetrations(k *Deck, path string, outline plane.Outline) {
	seen := map[string]bool{}
	for i := range k.Penetrations {
		p := &k.Penetrations[i]
		field := k.PenetrationPath(path, i)
		where := fmt.Sprintf("deck %q, %s %q", k.Name, p.Kind, p.Name)
		if seen[p.Name] {
			v.fault("name.twice", field+".name", where, "two penetrations of this deck have the same name", "Give each its own name")
		}
		seen[p.Name] = true
		if !outline.Holds(p.At, plane.TouchM) {
			v.fault("penetration.outside", field+".at", where, fmt.Sprintf("(%g, %g) lies outside the deck", p.At.X, p.At.Y),
				"Check its place; an overflow may stand on the outline")
		}
		if p.DiameterMM == 0 && (p.WidthMM == 0) != (p.DepthMM == 0) {
			v.fault("penetration.size", field, where, "only one side of it is given", "Give width_mm and depth_mm, or diameter_mm")
		}
		for _, o := range k.Openings {
			if len(o.Outline) < 2 || !finite(o.Outline) {
				continue
			}
			if d, in := o.Outline.Outline().Away(p.At); in && d > plane.TouchM {
				v.fault("penetration.opening", field+".at", where, fmt.Sprintf("it stands in opening %q", o.Name), "Check the places of both")
			}
		}
	}
}

// found checks what was found on the old deck.
func (v *validator) found(k *Deck, path, where string, outline plane.Outline) {
	for i, m := range k.Moisture {
		field := fmt.Sprintf("%s.moisture[%d]", path, i)
		if !(m.Pct >= 0 && m.Pct <= 100) {
			v.fault("moisture.range", field+".pct", where, fmt.Sprintf("a moisture of %g %% cannot be read on a pin meter", m.Pct),
				"Give % of dry mass, 5 to 60 as a rule")
		}
		if !outline.Holds(m.At, 0.1) {
			v.fault("moisture.outside", field+".at", where, fmt.Sprintf("the reading at (%g, %g) lies outside the deck", m.At.X, m.At.Y),
				"Check its place")
		}
	}
	for i, l := range k.Levels {
		if !outline.Holds(l.At, 0.1) {
			v.fault("level.outside", fmt.Sprintf("%s.levels[%d].at", path, i), where,
				fmt.Sprintf("the level at (%g, %g) lies outside the deck", l.At.X, l.At.Y), "Check its place")
		}
	}
	for _, list := range []struct {
		field string
		rings []plane.Ring
	}{{"soft_areas", k.SoftAreas}, {"anti_slip", k.AntiSlip}} {
		for i, r := range list.rings {
			field := fmt.Sprintf("%s.%s[%d]", path, list.field, i)
			if len(r) < 2 || !finite(r) {
				v.fault("area.corners", field, where, "the area has too few corners", "Give three corners at least")
				continue
			}
			if at, out := outline.Reaches(r.Outline()); out {
				v.fault("area.outside", field, where, fmt.Sprintf("the area reaches outside the deck near (%.3f, %.3f)", at.X, at.Y),
					"Check its corners")
			}
		}
	}
	for i, l := range k.MovementJoints {
		middle := l[0].Add(l[1]).Scale(0.5)
		if l[0].Distance(l[1]) < plane.TouchM || !outline.Holds(middle, plane.TouchM) {
			v.fault("joint.outside", fmt.Sprintf("%s.movement_joints[%d]", path, i), where, "the movement joint does not cross the deck",
				"Give both ends, on the outline")
		}
	}
}
