package settingout

import (
	"math"

	"gelwright/plane"
	"gelwright/roof"
)

// Zone is a part of the deck under its own uplift, with its own fixing centres.
type Zone struct {
	// Name: "F" corner, "G" perimeter, "H" inner, "I" field.
	Name string
	Area []plane.Polygon
	// CentresMM is how far apart fixings stand here at most, along edges and in the
	// field; 0 is as everywhere.
	CentresMM float64
}

// ZoneFixings is what holds the boards in one zone.
type ZoneFixings struct {
	Zone   string  `json:"zone"`
	AreaM2 float64 `json:"area_m2"`
	Count  int     `json:"count"`
	PerM2  float64 `json:"per_m2"`
	// CentresMM is the zone's own, 0 when it has none.
	CentresMM float64 `json:"centres_mm,omitempty"`
}

// zoneIndex is zones with the bounds of their polygons.
type zoneIndex struct {
	zones []Zone
	boxes [][][2]plane.Point
}

func indexZones(zones []Zone) zoneIndex {
	ix := zoneIndex{zones: zones}
	for _, z := range zones {
		var boxes [][2]plane.Point
		for _, a := range z.Area {
			lo, hi := a.Bounds()
			boxes = append(boxes, [2]plane.Point{lo, hi})
		}
		ix.boxes = append(ix.boxes, boxes)
	}
	return ix
}

// at returns the zone that holds p, other when none does.
func (ix zoneIndex) at(p plane.Point, other int) int {
	for i, z := range ix.zones {
		for k, a := range z.Area {
			lo, hi := ix.boxes[i][k][0], ix.boxes[i][k][1]
			if p.X < lo.X || p.Y < lo.Y || p.X > hi.X || p.Y > hi.Y || !a.Outer.Contains(p) {
				continue
			}
			hole := false
			for _, h := range a.Holes {
				hole = hole || h.Contains(p)
			}
			if !hole {
				return i
			}
		}
	}
	return other
}

// FixAlong counts the fixings on the line from a to b, in each zone and in all: one
// at each end and no more than centresM between, closer where a zone asks for it.
func FixAlong(zones []Zone, a, b plane.Point, centresM float64) (byZone []int, sum int) {
	byZone = make([]int, len(zones))
	list := fixLine(indexZones(zones), a, b, centresM, -1)
	for _, z := range list {
		if z >= 0 {
			byZone[z]++
		}
	}
	return byZone, len(list)
}

// fixLine returns the zone of each fixing on a line, in order.
func fixLine(ix zoneIndex, a, b plane.Point, centresM float64, other int) []int {
	zones, length := ix.zones, a.Distance(b)
	at := func(x float64) int {
		// A fixing stands off the ends of its line.
		x = min(max(x, 0.02), max(length-0.02, 0.02))
		return ix.at(a.Add(b.Sub(a).Unit().Scale(x)), other)
	}
	centres := func(z int) float64 {
		if z >= 0 && z < len(zones) && zones[z].CentresMM > 0 {
			return min(centresM, zones[z].CentresMM/1000)
		}
		return centresM
	}
	own := false
	for _, z := range zones {
		own = own || z.CentresMM > 0
	}
	// Stretches of equal centres.
	type part struct{ from, to, centres float64 }
	parts := []part{{0, length, centresM}}
	if own {
		parts = parts[:0]
		const step = 0.05
		n := max(1, int(math.Ceil(length/step)))
		for k := 0; k < n; k++ {
			from, to := length*float64(k)/float64(n), length*float64(k+1)/float64(n)
			c := centres(at((from + to) / 2))
			if m := len(parts); m > 0 && parts[m-1].centres == c {
				parts[m-1].to = to
				continue
			}
			parts = append(parts, part{from, to, c})
		}
	}
	var out []int
	for _, p := range parts {
		n := max(0, int(math.Ceil((p.to-p.from)/p.centres-0.01)))
		for k := 0; k < n; k++ {
			out = append(out, at(p.from+(p.to-p.from)*float64(k)/float64(n)))
		}
	}
	return append(out, at(length))
}

// inZones counts a board's fixings zone by zone, by the same lines as fixingsOf.
func inZones(name string, s sheet, f plane.Frame, g grid, spec roof.Board, ix zoneIndex) Fixings {
	whole := fixingsOf(name, s, g, spec)
	zones := ix.zones
	if len(zones) == 0 {
		return whole
	}
	edgeM, fieldM := spec.EdgeFixMM/1000, spec.FieldFixMM/1000
	if !(edgeM > 0) {
		edgeM = 0.150
	}
	if !(fieldM > 0) {
		fieldM = 0.300
	}
	other := middleZone(s, f, ix)
	out := Fixings{Board: name, Zones: make([]int, len(zones))}
	if g.free {
		return out.byShare(s, f, g, spec, ix, other)
	}
	line := func(x0, y0, x1, y1, centres float64, ends bool) int {
		list := fixLine(ix, f.Out(plane.Point{X: x0, Y: y0}), f.Out(plane.Point{X: x1, Y: y1}), centres, other)
		if !ends {
			if len(list) <= 2 {
				return 0
			}
			list = list[1 : len(list)-1]
		}
		for _, z := range list {
			if z >= 0 {
				out.Zones[z]++
			}
		}
		return len(list)
	}
	out.Edge = line(s.low.X, s.low.Y, s.low.X, s.high.Y, edgeM, true) + line(s.high.X, s.low.Y, s.high.X, s.high.Y, edgeM, true)
	if !spec.TongueAndGroove {
		out.Edge += line(s.low.X, s.low.Y, s.high.X, s.low.Y, edgeM, false) + line(s.low.X, s.high.Y, s.high.X, s.high.Y, edgeM, false)
	}
	for _, x := range g.within(s.low.X+g.width/2, s.high.X-g.width/2) {
		for _, iv := range chordsAt(s.shape.Region(), x) {
			out.Field += line(x, iv[0], x, iv[1], fieldM, spec.TongueAndGroove)
		}
	}
	return out
}

// middleZone is the zone of a board's middle, or of the first of its points that lies in one.
func middleZone(s sheet, f plane.Frame, ix zoneIndex) int {
	if z := ix.at(f.Out(s.low.Add(s.high).Scale(0.5)), -1); z >= 0 {
		return z
	}
	for _, p := range gridIn(s) {
		if z := ix.at(f.Out(p), -1); z >= 0 {
			return z
		}
	}
	return -1
}

// gridIn is points spread evenly over a piece of board.
func gridIn(s sheet) []plane.Point {
	const n = 12
	var out []plane.Point
	r := s.shape.Region()
	for i := 0; i < n; i++ {
		for k := 0; k < n; k++ {
			p := plane.Point{X: s.low.X + (s.high.X-s.low.X)*(float64(i)+0.5)/n, Y: s.low.Y + (s.high.Y-s.low.Y)*(float64(k)+0.5)/n}
			if r.Contains(p) {
				out = append(out, p)
			}
		}
	}
	return out
}

// byShare counts a board on a deck, which is fixed by area: each zone has the share
// of a board fixed at the zone's centres that it has of the board.
func (o Fixings) byShare(s sheet, f plane.Frame, g grid, spec roof.Board, ix zoneIndex, other int) Fixings {
	zones := ix.zones
	share := make([]float64, len(zones))
	points := gridIn(s)
	for _, p := range points {
		if z := ix.at(f.Out(p), other); z >= 0 {
			share[z] += 1 / float64(len(points))
		}
	}
	var edge, field float64
	want := make([]float64, len(zones))
	for z := range zones {
		at := spec
		if c := zones[z].CentresMM; c > 0 {
			at.EdgeFixMM, at.FieldFixMM = min(orElse(at.EdgeFixMM, 150), c), min(orElse(at.FieldFixMM, 300), c)
		}
		n := fixingsOf(o.Board, s, g, at)
		edge, field = edge+share[z]*float64(n.Edge), field+share[z]*float64(n.Field)
		want[z] = share[z] * float64(n.Edge+n.Field)
	}
	if len(points) == 0 || other < 0 {
		return fixingsOf(o.Board, s, g, spec)
	}
	o.Edge, o.Field = int(math.Ceil(edge-1e-6)), int(math.Ceil(field-1e-6))
	o.Zones = apportion(want, o.Edge+o.Field)
	return o
}

func orElse(v, usual float64) float64 {
	if v > 0 {
		return v
	}
	return usual
}

// apportion rounds shares to whole numbers of a given sum, largest remainders first.
func apportion(want []float64, sum int) []int {
	out := make([]int, len(want))
	left := sum
	for i, w := range want {
		out[i] = int(w)
		left -= out[i]
	}
	for ; left > 0; left-- {
		best := 0
		for i := range want {
			if want[i]-float64(out[i]) > want[best]-float64(out[best])+1e-12 {
				best = i
			}
		}
		out[best]++
	}
	return out
}

// CountZones sums the boards' fixings by zone.
func (s *SetOut) CountZones(zones []Zone) {
	s.FixingZones = nil
	for i, z := range zones {
		f := ZoneFixings{Zone: z.Name, AreaM2: round3(plane.TotalArea(z.Area)), CentresMM: z.CentresMM}
		for _, b := range s.Fixings {
			if i < len(b.Zones) {
				f.Count += b.Zones[i]
			}
		}
		if area := plane.TotalArea(z.Area); area > 0 {
			f.PerM2 = round3(float64(f.Count) / area)
		}
		s.FixingZones = append(s.FixingZones, f)
	}
}
