package checking

import (
	"math"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/working"
)

// Blocked is the water that stands when an enclosed deck's outlet is blocked.
type Blocked struct {
	DepthMM float64         `json:"depth_mm"`
	AreaM2  float64         `json:"area_m2"`
	VolumeL float64         `json:"volume_l"`
	LoadKPa float64         `json:"load_kpa"`
	Area    []plane.Polygon `json:"area"`
}

// waterOn cuts the deck's surface at depthMM above its lowest point: where water then
// stands, and how much, exactly facet by facet.
func waterOn(s plane.Surface, depthMM float64) (Blocked, error) {
	b := Blocked{DepthMM: depthMM, LoadKPa: depthMM / 1000 * 9.81}
	level := depthMM / 1000
	for _, f := range s.Facets {
		parts := f.Area
		g := f.Gradient
		if slope := g.Length(); slope > 0 {
			// Below the level: g·p ≤ level − z0, a half-plane.
			at := level - f.HeightM(plane.Point{})
			u := g.Scale(1 / slope)
			on := u.Scale(at / slope)
			const far = 1e3
			a, c := on.Add(u.Left().Scale(far)), on.Sub(u.Left().Scale(far))
			down := u.Scale(-far)
			half := plane.Polygon{Outer: []plane.Point{a, a.Add(down), c.Add(down), c}}
			if signed(half.Outer) < 0 {
				half.Outer = []plane.Point{c, c.Add(down), a.Add(down), a}
			}
			var err error
			if parts, err = plane.Intersection(f.Area, []plane.Polygon{half}); err != nil {
				return b, err
			}
		} else if f.HeightM(plane.Point{}) >= level {
			continue
		}
		for _, p := range parts {
			// Over a plane the mean depth is that at the centre of area.
			a := p.Area()
			b.AreaM2 += a
			b.VolumeL += 1000 * a * (level - f.HeightM(p.Centroid()))
		}
		b.Area = append(b.Area, parts...)
	}
	return b, nil
}

func signed(loop []plane.Point) float64 {
	sum := 0.0
	for i := range loop {
		sum += loop[i].Cross(loop[(i+1)%len(loop)])
	}
	return sum / 2
}

var (
	pondArea   = working.Method("Ap", "area of the planes of the deck below the level")
	pondVolume = working.Method("V", "Σ area × depth at the centre of area of every plane below the level")
)

// blocked works out the pond of an enclosed deck by the depth from the overflow check.
func (out *DeckChecks) blocked(deck string, s plane.Surface, depth *working.Figure) error {
	b, err := waterOn(s, depth.Value)
	if err != nil {
		return err
	}
	out.Blocked = &b
	source := working.Source{Title: "level cut through the planes of the deck", Standing: working.Derived}
	out.Figure(pondArea.Run("water on deck "+deck+" with the outlet blocked, area", b.AreaM2, "m²", source,
		depth).Keyed("pond.blocked." + deck + ".area"))
	out.Figure(pondVolume.Run("water on deck "+deck+" with the outlet blocked", b.VolumeL, "l", source,
		depth).Keyed("pond.blocked." + deck + ".litres"))
	return nil
}

// wallAboveM2 is the wall that sheds driven rain on to a deck: each abutting wall's
// length by its rise, one storey where nothing says otherwise.
func wallAboveM2(d *roof.Deck, levels []Level) float64 {
	sum := 0.0
	for i, e := range d.Edges {
		if e.Condition == roof.Wall {
			sum += d.Outline.Edge(i).Length() * math.Min(wallRiseM(d, e, levels), 10)
		}
	}
	return sum
}
