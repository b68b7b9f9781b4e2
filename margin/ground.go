package margin

import (
	"context"

	"gelwright/runoff"
	"gelwright/steps"
)

// Ground is what follows from a roof's shape alone, at once: areas, lengths, heights.
type Ground struct {
	Decks    []DeckGround `json:"decks"`
	NetM2    float64      `json:"net_m2"`
	Warnings []Fault      `json:"warnings"`
}

// DeckGround is one deck's. CornerHeightMM stand above its lowest point, in the order of its corners.
type DeckGround struct {
	Name           string    `json:"name"`
	NetM2          float64   `json:"net_m2"`
	EdgeM          float64   `json:"edge_m"`
	UpstandM2      float64   `json:"upstand_m2"`
	HighestMM      float64   `json:"highest_mm"`
	CornerHeightMM []float64 `json:"corner_height_mm"`
	// Outline is where its corners lie, m; where a tape was called, as the survey puts them.
	Outline [][2]float64 `json:"outline"`
}

// GroundOf works out the geometry of a roof; a plan that is made with the same kept steps works it out no more.
func GroundOf(ctx context.Context, q RoofAsk, kept *steps.Cache) (*Ground, error) {
	job, warnings, err := q.read()
	if err != nil {
		return nil, err
	}
	out := &Ground{Decks: []DeckGround{}, Warnings: warnings}
	run := steps.Runner{Cache: kept}
	for i := range job.Decks {
		in := runoff.GeometryInput{Place: job.Origin().Place(), Path: job.DeckPath(i), Deck: job.Decks[i]}
		m, err := steps.Run(ctx, run, "geometry", in, runoff.MakeGeometry)
		if err != nil {
			return nil, err
		}
		g := &m.Value
		d := DeckGround{job.Decks[i].Name, g.NetM2, g.EdgeM, g.UpstandM2, g.HighestMM, g.CornerHeightMM, [][2]float64{}}
		for _, v := range job.Decks[i].Outline {
			d.Outline = append(d.Outline, [2]float64{v.X, v.Y})
		}
		out.Decks = append(out.Decks, d)
		out.NetM2 += g.NetM2
	}
	return out, nil
}
