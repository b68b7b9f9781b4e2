package wind

import (
	"fmt"
	"math"
)

// Zone is a zone of a flat roof by EN 1991-1-4 figure 7.6.
type Zone string

const (
	Corner    Zone = "F" // corners
	Perimeter Zone = "G" // along the edges
	Inner     Zone = "H"
	Field     Zone = "I"
)

// Zones returns the zones from the most loaded to the least.
func Zones() []Zone { return []Zone{Corner, Perimeter, Inner, Field} }

// Words names a zone for a roofer.
func (z Zone) Words() string {
	switch z {
	case Corner:
		return "corner"
	case Perimeter:
		return "edge strip"
	case Inner:
		return "inner zone"
	}
	return "field"
}

// Eaves says how the roof ends.
type Eaves struct {
	// ParapetOverHeight is hp/h; RadiusOverHeight is r/h of a rounded edge. Both
	// zero is a sharp edge; at most one may be set.
	ParapetOverHeight, RadiusOverHeight float64
}

// row holds cpe,10 and cpe,1 by zone F, G, H, I.
type row struct {
	at       float64
	ten, one [4]float64
}

// EN 1991-1-4 table 7.2. Zone I takes both signs; the uplift is used here.
func sharpRow() row {
	return row{0, [4]float64{-1.8, -1.2, -0.7, -0.2}, [4]float64{-2.5, -2.0, -1.2, -0.2}}
}

func parapetRows() []row {
	return []row{sharpRow(),
		{0.025, [4]float64{-1.6, -1.1, -0.7, -0.2}, [4]float64{-2.2, -1.8, -1.2, -0.2}},
		{0.05, [4]float64{-1.4, -0.9, -0.7, -0.2}, [4]float64{-2.0, -1.6, -1.2, -0.2}},
		{0.10, [4]float64{-1.2, -0.8, -0.7, -0.2}, [4]float64{-1.8, -1.4, -1.2, -0.2}}}
}

func curvedRows() []row {
	return []row{sharpRow(),
		{0.05, [4]float64{-1.0, -1.2, -0.4, -0.2}, [4]float64{-1.5, -1.8, -0.4, -0.2}},
		{0.10, [4]float64{-0.7, -0.8, -0.3, -0.2}, [4]float64{-1.2, -1.4, -0.3, -0.2}},
		{0.20, [4]float64{-0.5, -0.5, -0.3, -0.2}, [4]float64{-0.8, -0.8, -0.3, -0.2}}}
}

// Coefficient returns the external pressure coefficient of a zone for a loaded
// area, m² (EN 1991-1-4 table 7.2, note 1 and figure 7.2): linear between the
// rows, held beyond the last; between 1 and 10 m² with the logarithm of the area.
// Between a sharp edge and the first row it is interpolated towards the sharp row,
// a convention from memory.
func Coefficient(zone Zone, e Eaves, areaM2 float64) (float64, error) {
	if e.ParapetOverHeight < 0 || e.RadiusOverHeight < 0 || (e.ParapetOverHeight > 0 && e.RadiusOverHeight > 0) {
		return 0, fmt.Errorf("an edge has a parapet (hp/h %g) or a radius (r/h %g), not both and none below zero", e.ParapetOverHeight,
			e.RadiusOverHeight)
	}
	if !(areaM2 > 0) {
		return 0, fmt.Errorf("loaded area %g m² must be above zero", areaM2)
	}
	rows, at := parapetRows(), e.ParapetOverHeight
	if e.RadiusOverHeight > 0 {
		rows, at = curvedRows(), e.RadiusOverHeight
	}
	i := -1
	for k, z := range Zones() {
		if z == zone {
			i = k
		}
	}
	if i < 0 {
		return 0, fmt.Errorf("zone %q is not one of F, G, H, I", zone)
	}
	ten, one := rows[len(rows)-1].ten[i], rows[len(rows)-1].one[i]
	for k := 0; k+1 < len(rows); k++ {
		a, b := rows[k], rows[k+1]
		if at <= b.at {
			t := (at - a.at) / (b.at - a.at)
			ten = a.ten[i] + t*(b.ten[i]-a.ten[i])
			one = a.one[i] + t*(b.one[i]-a.one[i])
			break
		}
	}
	switch {
	case areaM2 <= 1:
		return one, nil
	case areaM2 >= 10:
		return ten, nil
	}
	return one - (one-ten)*math.Log10(areaM2), nil
}
