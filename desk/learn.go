package desk

import (
	"context"
	"fmt"
	"slices"

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

// CatalystGPerML is the density of the catalyst that gels are logged with, g/ml.
func CatalystGPerML(cat material.Catalogue) (float64, error) {
	c, err := cat.Catalyst(material.UsualCatalyst)
	return c.DensityGPerML, err
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
	after, learned, err := cure.Learn(before, gels)
	if err != nil {
		return nil, as(Faulty, fmt.Errorf("%s: %w", log.Name, err))
	}
	return &Learned{Before: before, Law: gelfile.Law{Version: gelfile.Version, ResinKey: r.Key, Gel: after, Learned: learned}, Log: log}, nil
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
