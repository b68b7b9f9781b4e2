package laying

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"gelwright/check"
	"gelwright/cure"
	"gelwright/material"
	"gelwright/mixing"
	"gelwright/working"
)

// PickInput is what a resin or a top coat, and its catalyst, are picked among.
type PickInput struct {
	// Kind is "laminating resin" or "top coat".
	Kind string
	// Among are pairs of resin and catalyst, the usual one first and the others in the order
	// in which they are thought of.
	Among []Liquid
	// Hours are the temperatures of the hours in which it is laid.
	Hours []cure.Temps
	// MarginMin is what the crew keeps between the last of a bucket and gel.
	MarginMin float64
	// LeastMLPerL is the least catalyst that the trade puts in, ml to the litre; 0 for none.
	LeastMLPerL float64
}

// Picked is the pair that was picked, and why.
type Picked struct {
	Liquid
	Why string
	// Works says that it does in one of the hours at least.
	Works bool
	check.Notes
}

// PickedCheck says which resins and catalysts were picked, and why.
func PickedCheck(resin, coat *Picked) check.Result {
	verdict := check.Pass
	if !resin.Works || !coat.Works {
		verdict = check.Caution
	}
	return check.Result{Key: "mix.pick", Title: "Which resin, and which catalyst?", Verdict: verdict,
		Finding: resin.With() + ": " + resin.Why + ". " + coat.With() + ": " + coat.Why,
		Clause: working.Source{Title: "heat is answered by a slow catalyst, cold by a fast one or a winter grade",
			Standing: working.CommonPractice}}
}

// roomyMin is what a bucket of a useful size needs between mixing and the margin, min
// (common practice, no source: ten minutes are what two people mix a bucket for).
const roomyMin = 10

// lateMin is a gel so late that the day is lost on it, min.
const lateMin = 45

// MakePick picks resin grade and catalyst for the hours in which they are laid: the pair that
// works in most of them, then the one that comes nearest to leaving ten minutes and to gelling
// within three quarters of an hour, then the usual one. Heat is answered by a slow catalyst or a summer
// grade, never by less than the least dose.
func MakePick(_ context.Context, in PickInput) (Picked, error) {
	if len(in.Among) == 0 || len(in.Hours) == 0 {
		return Picked{}, fmt.Errorf("%s: nothing to pick among: name resin and catalyst, and the temperatures of the day", in.Kind)
	}
	best, bestAt := fitness{works: -1}, 0
	all := make([]fitness, len(in.Among))
	for i := range in.Among {
		f, err := in.fits(&in.Among[i])
		if err != nil {
			return Picked{}, err
		}
		if all[i] = f; f.better(best) {
			best, bestAt = f, i
		}
	}
	out := Picked{Liquid: in.Among[bestAt], Works: best.works > 0}
	out.Why = in.why(all, bestAt)
	in.least(&out)
	return out, nil
}

// fitness is in how many of the hours a pair works, and how well it suits them, as shares.
type fitness struct {
	works, suits float64
	// near is, where it works in none of them, how much nearer than another it comes, min.
	near float64
	// At the hour that is hardest for it: the earliest gel with the dose by the rule, min, or
	// why there is none.
	earliest float64
	at       cure.Temps
	dose     string
	refused  string
}

func (f fitness) better(g fitness) bool {
	const hair, same = 1e-9, 0.02
	switch {
	case f.works > g.works+hair:
		return true
	case f.works < g.works-hair:
		return false
	case f.works == 0:
		return f.near > g.near+hair
	}
	return f.suits > g.suits+same
}

// fits tries a pair at every hour.
func (in *PickInput) fits(l *Liquid) (fitness, error) {
	f := fitness{earliest: math.Inf(1)}
	n := float64(len(in.Hours))
	for _, at := range in.Hours {
		d, err := mixing.ChooseDose(l.Resin, cure.Aim{}, at, in.MarginMin)
		var no *cure.Refusal
		if errors.As(err, &no) {
			f.refused = no.Finding
			t, err := l.Law.Time(at.Warmest(), l.Law.MinPct)
			if err == nil && errors.Is(no, cure.ErrNotThatLong) {
				f.near += t.LowMin / n
			}
			continue
		}
		if err != nil {
			return f, err
		}
		f.works += 1 / n
		f.suits += math.Min(1, (d.Gel.LowMin-in.MarginMin)/roomyMin) * math.Min(1, lateMin/d.Deck.LikelyMin) / n
		if d.Gel.LowMin < f.earliest {
			f.earliest, f.at, f.dose = d.Gel.LowMin, at, l.Law.Dosed(d.Pct)
		}
	}
	return f, nil
}

// why says why a pair was picked, against the usual one.
func (in *PickInput) why(all []fitness, picked int) string {
	f, usual := all[picked], all[0]
	if f.works == 0 {
		return "nothing that is kept works in these hours: " + f.refused
	}
	own := fmt.Sprintf("%s it leaves %.0f min to lay with %s", f.at.Words(), f.earliest-in.MarginMin, f.dose)
	name := in.Among[0].With()
	switch {
	case picked == 0:
		return fmt.Sprintf("the usual pair will do, %.0f min to lay %s", f.earliest-in.MarginMin, f.at.Words())
	case usual.works == 0:
		return fmt.Sprintf("%s; with %s no dose works (%s)", own, name, usual.refused)
	case usual.works < f.works-1e-9:
		return fmt.Sprintf("%s; %s works in %.0f %% of the hours only, this in %.0f %%", own, name, 100*usual.works, 100*f.works)
	case usual.earliest < f.earliest:
		return fmt.Sprintf("%s; %s leaves %.0f min, with %s", own, name, usual.earliest-in.MarginMin, usual.dose)
	}
	return fmt.Sprintf("%s; %s gels too late in most of the hours", own, name)
}

// least says so where the sheet of what was picked goes below the trade's least dose.
func (in *PickInput) least(out *Picked) {
	g := &out.Law
	ml := g.MinPct * g.MLPerPct
	if !(in.LeastMLPerL > 0) || !(ml < in.LeastMLPerL-0.01) {
		return
	}
	out.Answer(check.Result{Key: "mix.least", Title: "Is the least dose of the sheet below the trade's?", Verdict: check.Caution,
		Finding: fmt.Sprintf("the sheet of %s goes down to %s, where the trade puts in %.0f ml to the litre or more: the sheet is used",
			out.Name, g.Dosed(g.MinPct), in.LeastMLPerL),
		Clause:   working.Source{Title: "a top coat takes no less than 20 ml of catalyst to the litre", Standing: working.CommonPractice},
		Remedies: []check.Remedy{{Text: "ask the supplier in writing whether the coat cures with so little in warm weather"}}}, "")
}

// Store is what the firm keeps of resins and catalysts.
type Store struct {
	material.Catalogue
	// Keeps are the keys that it keeps; all of the catalogue where there are none.
	Keeps []string
	// Law is the gel law of a resin with the catalyst of its sheet.
	Law func(material.Resin) (cure.Gel, error)
}

func (s *Store) kept(key string) bool { return len(s.Keeps) == 0 || slices.Contains(s.Keeps, key) }

// Wish is a resin and a catalyst by their keys, and which of them somebody asked for by name.
type Wish struct {
	Resin, Catalyst           string
	ResinNamed, CatalystNamed bool
}

// Pairs are the resins and catalysts to pick among for a wish: that pair first, then its resin
// with the other catalysts, then the other grades. What nobody asked for by name and is not
// kept gives way to what is.
func (s *Store) Pairs(w Wish) ([]Liquid, error) {
	usual, err := s.Resin(w.Resin)
	if err != nil {
		return nil, err
	}
	first, err := s.Catalyst(w.Catalyst)
	if err != nil {
		return nil, err
	}
	resins := s.others(s.Resins, usual, w.ResinNamed)
	catalysts := []material.Catalyst{first}
	for _, c := range s.Catalysts {
		if !w.CatalystNamed && c.Key != w.Catalyst && s.kept(c.Key) {
			catalysts = append(catalysts, c)
		}
	}
	if len(catalysts) > 1 && !s.kept(w.Catalyst) {
		catalysts = catalysts[1:]
	}
	var out []Liquid
	for _, r := range resins {
		of, err := s.mixed(r, catalysts)
		if err != nil {
			return nil, err
		}
		out = append(out, of...)
	}
	return out, nil
}

// others are a resin and the other grades of its sort that are kept, unless it was asked for
// by name.
func (s *Store) others(all []material.Resin, usual material.Resin, named bool) []material.Resin {
	out := []material.Resin{usual}
	for _, r := range all {
		if !named && r.Key != usual.Key && r.Coat == usual.Coat && s.kept(r.Key) {
			out = append(out, r)
		}
	}
	if len(out) > 1 && !s.kept(usual.Key) {
		return out[1:]
	}
	return out
}

// mixed is a resin with each of the catalysts.
func (s *Store) mixed(r material.Resin, catalysts []material.Catalyst) ([]Liquid, error) {
	g, err := s.Law(r)
	if err != nil {
		return nil, err
	}
	var out []Liquid
	for _, c := range catalysts {
		with, err := g.With(r, c)
		if err != nil {
			return nil, err
		}
		out = append(out, Liquid{Key: r.Key, Catalyst: c.Key, Speed: c.Speed, Resin: mixing.Resin{Name: r.Name, Law: with,
			DensityKGPerL: r.DensityKGPerL, CatalystGPerML: c.DensityGPerML, Waxed: r.Coat,
			DensityFrom: r.Sheet("density_kg_per_l"), CatalystFrom: c.Density()}})
	}
	return out, nil
}
