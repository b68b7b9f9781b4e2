package laying

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

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

// tooOld says on which strips of a pass the mixes may be too old, longer ago than so many minutes, at a minute of a day; empty for
// none. It names the strips and not the buckets: who asks on the day has other buckets than the papers, on the same strips.
func tooOld(x *Pass, day int, min, untilMin float64) string {
	since := func(m mixing.Mix) float64 { return float64(day-m.Day)*dayMin + min - m.MixAtMin }
	var old, young []mixing.Mix
	m2, oldest := 0.0, 0.0
	for _, m := range x.Plan.Mixes {
		if since(m) <= untilMin {
			young = append(young, m)
			continue
		}
		old, m2, oldest = append(old, m), m2+m.AreaM2, math.Max(oldest, since(m))
	}
	if len(old) == 0 {
		return ""
	}
	age := "laid up to " + Lasting(oldest) + " before"
	if Lasting(oldest) == Lasting(untilMin) {
		age = "laid a little longer before"
	}
	if len(young) == 0 {
		return fmt.Sprintf("abrade %s all over with 40 grit and wipe: it may be too old to coat by then (%s, it takes a coat for %s)",
			passOf(x), age, Lasting(untilMin))
	}
	return fmt.Sprintf("abrade %s, %.0f m², with 40 grit and wipe: it may be too old to coat by then (%s, it takes a coat for "+
		"%s)", stripsOf(old, young), m2, age, Lasting(untilMin))
}

// stripsOf names the strips on which some mixes of a pass lie, and those on which others lie too: "M1 to M3 and part of M4".
func stripsOf(mixes, others []mixing.Mix) string {
	shared := map[string]bool{}
	for _, m := range others {
		for _, c := range m.Parts {
			shared[c.Name] = true
		}
	}
	var whole, part []string
	for _, m := range mixes {
		for _, c := range m.Parts {
			list := &whole
			if shared[c.Name] {
				list = &part
			}
			if !slices.Contains(*list, c.Name) {
				*list = append(*list, c.Name)
			}
		}
	}
	out := inRuns(whole)
	for _, name := range part {
		out = append(out, "part of "+name)
	}
	if n := len(out); n > 1 {
		return strings.Join(out[:n-1], ", ") + " and " + out[n-1]
	}
	return strings.Join(out, "")
}

// inRuns joins names whose numbers follow one another: "M1 to M3".
func inRuns(names []string) []string {
	numberOf := func(name string) (string, int) {
		letters := strings.TrimRight(name, "0123456789")
		n, err := strconv.Atoi(name[len(letters):])
		if err != nil {
			return name, -1
		}
		return letters, n
	}
	var out []string
	for i := 0; i < len(names); {
		j := i + 1
		for letters, n := numberOf(names[i]); j < len(names) && n >= 0; j++ {
			if l, k := numberOf(names[j]); l != letters || k != n+j-i {
				break
			}
		}
		switch j - i {
		case 1:
			out = append(out, names[i])
		case 2:
			out = append(out, names[i], names[i+1])
		default:
			out = append(out, names[i]+" to "+names[j-1])
		}
		i = j
	}
	return out
}
