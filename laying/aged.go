package laying

import (
	"context"
	"fmt"

	"gelwright/cure"
	"gelwright/mixing"
)

// aged says before which parts of mat and top coat the mat or the coat under them may be too old to bond:
// reckoned from the hour at which each of its buckets was mixed to that of the first bucket that
// goes over it, at the early end of the time for which it takes one. It is the one answer to
// whether a layer is abraded; it is said before the edges are cut in, where they come first.
func (s *Schedule) aged(ctx context.Context, g *Ground, films Films, passes []Pass) error {
	for i := range passes {
		x := &passes[i]
		under := groundOf(passes, i)
		if under == nil || x.Plan == nil {
			continue
		}
		h, err := g.filmed(ctx, films, under)
		if err != nil {
			return err
		}
		held := s.Pass(x.Key())
		for k := range held.parts() {
			part := &held.Parts[k]
			words := tooOld(under, part.Day, part.BeginMin, within(h.ranges.Hardening[cure.OverCoatUntil]).LowMin)
			if first := s.edgesOf(x, part); first != nil {
				part = first
			}
			if words != "" && part.First == "" {
				part.First = words
			}
		}
	}
	return nil
}

// groundOf is the mat or the coat that a pass of mat or of top coat goes over; nil for none.
func groundOf(passes []Pass, i int) *Pass {
	x := &passes[i]
	if !x.field() {
		return nil
	}
	for k := i - 1; k >= 0; k-- {
		if y := &passes[k]; y.Deck == x.Deck && y.field() && y.Plan != nil && len(y.Plan.Mixes) > 0 {
			return y
		}
	}
	return nil
}

// field reports whether a pass covers a deck: mat, or the field of a coat.
func (x *Pass) field() bool { return x.Kind == "mat" || x.Kind == "top coat" }

// edgesOf is the part in which the edges of a part of a coat are cut in before it; nil where
// there is none.
func (s *Schedule) edgesOf(x *Pass, part *PartTime) *PartTime {
	if x.Kind != "top coat" {
		return nil
	}
	return s.PartAt(passKey(x.Deck, CuttingIn, x.Layer), part.Day, part.BeginMin)
}

// tooOld says which buckets of a pass may be too old, longer ago than so many minutes, at a minute of a day;
// empty for none. What was laid first is the oldest.
func tooOld(x *Pass, day int, min, untilMin float64) string {
	since := func(m mixing.Mix) float64 { return float64(day-m.Day)*dayMin + min - m.MixAtMin }
	n, m2, mixes := 0, 0.0, x.Plan.Mixes
	for n < len(mixes) && since(mixes[n]) > untilMin {
		m2 += mixes[n].AreaM2
		n++
	}
	if n == 0 {
		return ""
	}
	age := "laid up to " + Lasting(since(mixes[0])) + " before"
	if Lasting(since(mixes[0])) == Lasting(untilMin) {
		age = "laid a little longer before"
	}
	if n == len(mixes) {
		return fmt.Sprintf("abrade %s all over with 40 grit and wipe: it may be too old to coat by then (%s, it takes a coat for %s)",
			passOf(x), age, Lasting(untilMin))
	}
	return fmt.Sprintf("abrade the ground of %s, %.0f m², with 40 grit and wipe: it may be too old to coat by then (%s, it takes a coat for "+
		"%s)", numbersOf(mixes[:n]), m2, age, Lasting(untilMin))
}

// numbersOf names buckets that follow one another: "bucket 3", "buckets 3 to 7".
func numbersOf(mixes []mixing.Mix) string {
	if len(mixes) == 1 {
		return fmt.Sprintf("bucket %d", mixes[0].Number)
	}
	return fmt.Sprintf("buckets %d to %d", mixes[0].Number, mixes[len(mixes)-1].Number)
}
