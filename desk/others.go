package desk

import (
	"context"

	"gelwright/cure"
	"gelwright/laying"
	"gelwright/material"
)

// Other is another resin or catalyst with which a dose works for the same bucket.
type Other struct {
	ResinKey    string  `json:"resin"`
	CatalystKey string  `json:"catalyst"`
	With        string  `json:"with"`
	CatalystML  float64 `json:"catalyst_ml"`
	PctByMass   float64 `json:"pct_by_mass"`
	MLPerLitre  float64 `json:"ml_per_litre"`
	GelLowMin   float64 `json:"gel_low_min"`
	GelHighMin  float64 `json:"gel_high_min"`
}

// pairName names resin and catalyst, as the bucket tables do.
func pairName(resin string, c material.Catalyst) string {
	if c.Speed == "" {
		return resin + "; " + c.Name
	}
	return resin + "; " + c.Speed + " catalyst"
}

// others asks the same of every other pair that the firm keeps: first of the same resin, then of the
// other grades. A test cup tells of the pair it was timed with, a learned law of its resin.
func others(ctx context.Context, cat material.Catalogue, ask DoseAsk, no *Dose) ([]Other, error) {
	store := laying.Store{Catalogue: cat, Keeps: ask.Keeps, Law: cure.NewGel}
	pairs, err := store.Pairs(laying.Wish{Resin: no.ResinKey, Catalyst: no.CatalystKey})
	if err != nil {
		return nil, as(Faulty, err)
	}
	var out []Other
	for _, p := range pairs {
		if p.Key == no.ResinKey && p.Catalyst == no.CatalystKey {
			continue
		}
		again := ask
		again.Resin, again.Catalyst, again.Cup, again.LeftKG = p.Key, p.Catalyst, nil, nil
		if p.Key != no.ResinKey {
			again.Gel, again.Drum = nil, ""
		}
		a, err := doseOf(ctx, cat, again)
		if err != nil {
			return nil, err
		}
		if a.Works {
			out = append(out, Other{a.ResinKey, a.CatalystKey, a.With, a.CatalystML, a.PctByMass, a.MLPerLitre, a.GelLowMin, a.GelHighMin})
		}
	}
	return out, nil
}
