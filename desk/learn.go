package desk

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"gelwright/cure"
	"gelwright/gelfile"
	"gelwright/material"
)

// Learned is what a log of gels teaches about a resin.
type Learned struct {
	Before cure.Gel
	Law    gelfile.Law
	Log    *gelfile.Log
}

// CatalystGPerML is the density of a catalyst as a log names it, g/ml: by its key or its speed;
// that of the usual one where it names none. What nobody knows is a fault when it is learned from.
func CatalystGPerML(cat material.Catalogue) (func(name string) float64, error) {
	usual, err := cat.Catalyst(material.UsualCatalyst)
	return func(name string) float64 {
		if c := catalystNamed(cat, name); c != nil {
			return c.DensityGPerML
		}
		return usual.DensityGPerML
	}, err
}

// catalystNamed is the catalyst of a key or a speed; nil for none.
func catalystNamed(cat material.Catalogue, name string) *material.Catalyst {
	k := slices.IndexFunc(cat.Catalysts, func(c material.Catalyst) bool {
		return name != "" && (c.Key == name || c.Speed == strings.ToLower(name))
	})
	if k < 0 {
		return nil
	}
	return &cat.Catalysts[k]
}

// Learn learns a resin's gel law from a log.
func Learn(ctx context.Context, cat material.Catalogue, resin string, log *gelfile.Log) (*Learned, error) {
	r, err := cat.Resin(resin)
	if err != nil {
		return nil, as(Asked, err)
	}
	before, err := cure.NewGel(r)
	if err != nil {
		return nil, as(Faulty, err)
	}
	gels, err := asCups(ctx, log, before, r.DensityKGPerL)
	if err != nil {
		return nil, err
	}
	if err := withUsual(cat, r.Key, log, gels); err != nil {
		return nil, err
	}
	after, learned, err := cure.Learn(before, gels)
	if err != nil {
		return nil, as(Faulty, fmt.Errorf("%s: %w", log.Name, err))
	}
	return &Learned{Before: before, Law: gelfile.Law{Version: gelfile.Version, ResinKey: r.Key, Gel: after, Learned: learned}, Log: log}, nil
}

// withUsual turns gels that were made with another catalyst into those of the usual one, which
// the law is of, by its factor; a law is then used with each catalyst by the same factor.
func withUsual(cat material.Catalogue, resin string, l *gelfile.Log, gels []cure.GelLog) error {
	for i, name := range l.Catalysts {
		if name == "" {
			continue
		}
		c := catalystNamed(cat, name)
		if c == nil {
			var known []string
			for _, c := range cat.Catalysts {
				known = append(known, cmp.Or(c.Speed, c.Key))
			}
			return as(Faulty, fmt.Errorf("%s:%d: there is no catalyst %q: give one of %s", l.Name, l.Lines[i], name, strings.Join(known, ", ")))
		}
		if slices.ContainsFunc(c.Gels, func(g material.CatalystGels) bool { return g.Resin == resin && len(g.Points) > 0 }) {
			return as(Faulty, fmt.Errorf("%s:%d: %s has gel points of its own with this resin, which stand before any log: leave its gels out",
				l.Name, l.Lines[i], c.Name))
		}
		if c.GelFactor > 0 {
			gels[i].Min /= c.GelFactor
		}
	}
	return nil
}

// asCups takes the bucket's own heat out of each gel.
func asCups(ctx context.Context, l *gelfile.Log, g cure.Gel, densityKGPerL float64) ([]cure.GelLog, error) {
	out := slices.Clone(l.Gels)
	for i, kg := range l.KG {
		if kg == 0 {
			continue
		}
		var err error
		if out[i], err = cure.Roof().AsCup(ctx, g, l.Gels[i], kg, densityKGPerL); err != nil {
			return nil, as(Faulty, fmt.Errorf("%s:%d: %w", l.Name, l.Lines[i], err))
		}
	}
	return out, nil
}
