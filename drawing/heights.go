package drawing

import "gelwright/plane"

// heights tells how high the finished deck lies above its lowest point.
type heights struct {
	falls   plane.Falls
	surface plane.Surface
	known   bool
}

// chordM is how far chords may stand off an arc where heights are read.
const chordM = 0.001

// heightsOf builds the surface; heights are not known for a level deck or for
// falls that do not make one, which the survey's own checks report.
func heightsOf(f plane.Falls, outline plane.Ring) heights {
	h := heights{falls: f}
	if f.Kind == plane.Level || len(f.Planes) == 0 {
		return h
	}
	deck, err := plane.PolygonOf(outline, nil, chordM)
	if err != nil {
		return h
	}
	h.surface, err = plane.SurfaceOf([]plane.Polygon{deck}, f)
	h.known = err == nil
	return h
}

// side returns 0 left of the fall line, 1 right of it.
func (h heights) side(p plane.Point) int {
	if h.falls.Line[1].Sub(h.falls.Line[0]).Cross(p.Sub(h.falls.Line[0])) >= 0 {
		return 0
	}
	return 1
}

// aboveLowMM is the height at p, mm above the deck's lowest point.
func (h heights) aboveLowMM(p plane.Point) float64 { return h.surface.HeightM(p) * 1000 }
