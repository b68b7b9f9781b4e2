package runoff

import (
	"context"
	"fmt"

	"gelwright/check"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/working"
)

var Derived = working.Source{Title: "plan geometry", Standing: working.Derived}

var (
	outlineArea     = working.Method("Ag", "½·Σ(xi·yi+1 − xi+1·yi) + Σ R²·(θ − sin θ)/2 round the outline")
	holeArea        = working.Method("Ah", "½·Σ(xi·yi+1 − xi+1·yi) + Σ R²·(θ − sin θ)/2 round the opening")
	openingsArea    = working.MustFormula("Ao = Σ Ah")
	netArea         = working.MustFormula("A = Ag − Ao")
	slopeArea       = working.Method("As", "A·√(1 + s²), facet by facet")
	riseOf          = working.Method("h", "run/n over the facets")
	edgeLength      = working.Method("L", "edge lengths added up, arcs by radius × angle")
	upstandArea     = working.Method("Au", "Σ L·(h + b) + Σ opening perimeter × kerb")
	upstandWithTops = working.Method("Au", "Σ L·(h + b) + Σ opening perimeter × (kerb + t), without t at a chimney")
)

// GeometryInput is one deck as surveyed, and the file that it was written in.
type GeometryInput struct {
	// Place is the roof file, Path where in it the deck stands.
	Place, Path string
	Deck        roof.Deck
}

// Geometry is the areas, lengths, corners and heights of a deck.
type Geometry struct {
	// Areas on plan and on the slope, m²; what stands up from the deck at edges and openings.
	GrossM2, OpeningsM2, NetM2, SlopeM2, UpstandM2 float64
	EdgeM                                          float64
	EdgeByCondition                                []EdgeSum
	Corners                                        []plane.Corner
	CornerHeightMM                                 []float64
	HighestMM, LeastFall                           float64
	Surface                                        plane.Surface
	Net                                            []plane.Polygon
	// Net area, area on the slope and upstands as figures.
	NetArea, SlopeArea, Upstands *working.Figure
	check.Notes
}

// MakeGeometry works out the geometry of a deck.
func MakeGeometry(_ context.Context, in GeometryInput) (Geometry, error) {
	d := &in.Deck
	key := func(s string) string { return "deck." + d.Name + "." + s }
	out := Geometry{GrossM2: d.Outline.Area(), EdgeM: d.Outline.Perimeter(), Corners: d.Outline.Corners()}
	place := in.Place + ", deck " + d.Name
	written := func(field string) working.Source {
		return working.Source{Title: in.Place, Clause: in.Path + "." + field, Standing: working.Given}
	}
	gross := outlineArea.Run("area within the outline of deck "+d.Name, out.GrossM2, "m²", Derived,
		working.Choice("outline", fmt.Sprintf("%d edges, %.3f m around", len(d.Outline), out.EdgeM),
			written("outline"))).Keyed(key("gross"))
	var holes []plane.Ring
	var holeFigures []*working.Figure
	for k, o := range d.Openings {
		outline := working.Source{Title: in.Place, Clause: d.OpeningPath(in.Path, k), Standing: working.Given}
		holes = append(holes, o.Outline)
		holeFigures = append(holeFigures, holeArea.Run("area of "+o.Name, o.Outline.Area(), "m²", Derived,
			working.Choice("outline", o.Kind, outline)))
	}
	openings := working.Measured("Ao", "openings in deck "+d.Name, 0, "m²", place+", which has none")
	if len(holeFigures) > 0 {
		openings = openingsArea.Figure("openings in deck "+d.Name, "m²", Derived, holeFigures...)
	}
	net := netArea.Figure("net area of deck "+d.Name, "m²", Derived, gross, openings.Keyed(key("openings"))).Keyed(key("net"))
	out.OpeningsM2, out.NetM2 = openings.Value, net.Value

	var err error
	if out.Net, err = plane.Net(d.Outline, holes, plane.ChordToleranceM); err != nil {
		return out, err
	}
	if out.Surface, err = plane.SurfaceOf(out.Net, d.Falls); err != nil {
		return out, err
	}
	// The chords lose a little of every arc; the slope factor does not.
	factor := out.Surface.TrueArea() / plane.TotalArea(out.Net)
	out.SlopeM2 = out.NetM2 * factor
	out.NetArea = net
	out.SlopeArea = out.Figure(slopeArea.Run("area of deck "+d.Name+" on the slope", out.SlopeM2, "m²", Derived, net,
		working.Measured("n", "fall 1:n", first(d.Falls.Planes), "", place+", falls")).Keyed(key("slope")))

	for _, h := range out.Surface.CornerHeights(d.Outline) {
		out.CornerHeightMM = append(out.CornerHeightMM, h*1000)
	}
	_, high := out.Surface.Highest()
	out.HighestMM = high * 1000
	out.LeastFall = out.Surface.LeastRatio()
	if d.Falls.Kind == plane.Level {
		out.LeastFall = 0
	}
	fallOf := working.Choice("falls", string(d.Falls.Kind), working.Source{Title: place, Clause: "falls", Standing: working.Derived})
	out.Figure(riseOf.Run("highest point of deck "+d.Name+" above its lowest", out.HighestMM, "mm", Derived, fallOf).Keyed(key("rise")))

	out.edges(d, written("edges"))
	out.upstands(d, place)
	out.Figure(net)
	return out, nil
}

// edges sums the lengths of edges by their condition.
func (out *Geometry) edges(d *roof.Deck, written working.Source) {
	for _, c := range roof.Conditions() {
		sum := 0.0
		for k, e := range d.Edges {
			if e.Condition == c {
				sum += d.Outline.Edge(k).Length()
			}
		}
		if sum > 0 {
			out.EdgeByCondition = append(out.EdgeByCondition, EdgeSum{c, sum})
			out.Figure(edgeLength.Run(fmt.Sprintf("%s edges of deck %s", c, d.Name), sum, "m", Derived,
				working.Choice("edges", fmt.Sprintf("%d edges", len(d.Edges)), written)).Keyed("deck." + d.Name + ".edge." + string(c)))
		}
	}
}

// upstands sums what stands up from the deck at its edges and openings.
func (out *Geometry) upstands(d *roof.Deck, place string) {
	for k, e := range d.Edges {
		if e.Condition.HasUpstand() || e.Condition == roof.Kerb {
			out.UpstandM2 += settingout.FreeLengthM(*d, k) * (e.HeightMM + e.WidthMM) / 1000
		}
	}
	var tops []*working.Figure
	for _, o := range d.Openings {
		up := o.KerbMM
		if o.Kind != "chimney" {
			// Over the kerb's top to its inner edge; a chimney has none.
			up += settingout.KerbThicknessMM
			if tops == nil {
				tops = append(tops, working.Constant("t", "top of a timber kerb, laminated over", settingout.KerbThicknessMM, "mm",
					working.Source{Title: "timber kerb of 50 mm", Standing: working.CommonPractice}))
			}
		}
		out.UpstandM2 += settingout.FacesM(*d, o) * up / 1000
	}
	by := upstandArea
	if tops != nil {
		by = upstandWithTops
	}
	edges := working.Choice("edges and openings",
		fmt.Sprintf("%d edges, %d openings, their lengths, heights and widths", len(d.Edges), len(d.Openings)),
		working.Source{Title: place, Standing: working.Derived})
	out.Upstands = out.Figure(by.Run("upstands and kerbs of deck "+d.Name, out.UpstandM2, "m²", Derived,
		append(tops, edges)...).Keyed("deck." + d.Name + ".upstand"))
}

func first(planes []plane.FallPlane) float64 {
	if len(planes) == 0 {
		return 0
	}
	return planes[0].Ratio
}

// EdgeSum is the length of all edges of one condition.
type EdgeSum struct {
	Condition roof.Condition `json:"condition"`
	LengthM   float64        `json:"length_m"`
}
