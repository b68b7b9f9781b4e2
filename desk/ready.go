package desk

import (
	"context"
	"errors"

	"gelwright/cure"
)

// milestones that DoseAsk.Ready takes.
var milestones = map[string]cure.Milestone{"walk": cure.Walk, "sand": cure.Sand, "rain-safe": cure.RainSafe, "over-coat": cure.OverCoatFrom}

// The film that a milestone is asked of when none is given, kg of resin per m²: one mat of
// 450 g/m² at 2.5 of resin to 1 of glass, and a top coat.
const (
	usualFilmKGPerM2 = 1.125
	usualCoatKGPerM2 = 0.6
)

// weigh asks the frontier for the dose that is laid in time and ready in time.
func (b *bucket) weigh(ctx context.Context) (cure.MixAdvice, cure.Milestone, error) {
	milestone, ok := milestones[b.Ready]
	switch {
	case !ok:
		return cure.MixAdvice{}, 0, wrong("ready", "", "%s: there is walk, sand, rain-safe, over-coat", b.Ready)
	case !(b.ByMin > 0 && b.ByMin <= 30*24*60):
		return cure.MixAdvice{}, 0, wrong("by", "", "%s by %g minutes after mixing: give minutes, such as 240", b.Ready, b.ByMin)
	case b.FilmKGPerM2 < 0 || b.FilmKGPerM2 > 5:
		return cure.MixAdvice{}, 0, wrong("film", "", "a film of %g kg/m²: give 0.4 to 2.4", b.FilmKGPerM2)
	}
	ask, film := cure.TableAsk{Kinetics: cure.Roof(), Thresholds: cure.RoofThresholds()}, usualFilmKGPerM2
	if b.resin.Coat {
		ask.Thresholds, ask.GlassShare, film = cure.TopCoatThresholds(), -1, usualCoatKGPerM2
	}
	if b.FilmKGPerM2 > 0 {
		film = b.FilmKGPerM2
	}
	if err := b.law.Allowed(*b.TempC, b.law.MinPct); err != nil {
		return cure.MixAdvice{}, milestone, err
	}
	table, err := cure.NewTable(ctx, b.law, ask.Narrow(b.law, film))
	if err != nil {
		return cure.MixAdvice{}, milestone, err
	}
	goal := cure.Goal{LayMin: b.NeedMin, Ready: milestone, ByMin: b.ByMin, ResinKGPerM2: film, KG: b.kg,
		DensityKGPerL: b.resin.DensityKGPerL, Base: []cure.Reading{{TempC: *b.TempC}}, SunK: b.SunK}
	advice, err := cure.Frontier(ctx, &table, ask.Kinetics, goal)
	if !errors.Is(err, cure.ErrNoAim) {
		return advice, milestone, err
	}
	// Other grades cost a table each, so they are weighed only now.
	grades, failed := b.grades(ctx, ask, film)
	if failed != nil {
		return advice, milestone, failed
	}
	if len(grades) == 0 {
		return advice, milestone, err
	}
	advice, err = cure.Frontier(ctx, &table, ask.Kinetics, goal, grades...)
	return advice, milestone, err
}

// grades are the other resins of the same sort that may be laid at this temperature.
func (b *bucket) grades(ctx context.Context, ask cure.TableAsk, film float64) ([]cure.Grade, error) {
	var grades []cure.Grade
	for _, other := range b.cat.Resins {
		if other.Key == b.resin.Key || other.Coat != b.resin.Coat {
			continue
		}
		g, err := cure.NewGel(other)
		if err != nil {
			return nil, err
		}
		if g, err = g.With(other, b.catalyst); err != nil {
			return nil, err
		}
		if g.Allowed(*b.TempC, g.MinPct) != nil {
			continue
		}
		t, err := cure.NewTable(ctx, g, ask.Narrow(g, film))
		if err != nil {
			return nil, err
		}
		grades = append(grades, cure.Grade{Name: "use " + other.Name, Table: &t})
	}
	return grades, nil
}
