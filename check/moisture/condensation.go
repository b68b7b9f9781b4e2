package moisture

import (
	"context"
	"fmt"
	"math"
)

// Layer is one layer, inside first.
type Layer struct {
	Name string
	// ResistanceM2KPerW and SdM of the layer.
	ResistanceM2KPerW, SdM float64
}

// Month is one month of climate.
type Month struct {
	Name            string
	Days            float64
	OutdoorC, RHPct float64
	IndoorC         float64
	IndoorPa        float64 // 0: from the humidity class with the 1.10 margin
}

// Roof is the build-up for the condensation calculation.
type Roof struct {
	Layers   []Layer
	Rsi, Rse float64 // zero takes 0.10 and 0.04
	Class    HumidityClass
}

// Year is the outcome over twelve months.
type Year struct {
	// Months in order from the starting month.
	Start  int
	Rates  []map[string]float64 // condensate by interface in each month, kg/m² (negative dries)
	Water  []float64            // total at the end of each month, kg/m²
	PeakKG float64
	EndKG  float64
	// Interfaces that were wet at any time.
	Interfaces []string
	// Never is true when no month condenses; Always when every month does.
	Never, Always bool
}

// node is an interface between two slices of layers.
type node struct {
	name string
	sd   float64 // from the inside
	r    float64
}

// surfaces are the surface resistances, m²K/W; those not given are for heat flowing up.
func (roof Roof) surfaces() (rsi, rse float64) {
	rsi, rse = roof.Rsi, roof.Rse
	if rsi == 0 {
		rsi = 0.10
	}
	if rse == 0 {
		rse = 0.04
	}
	return rsi, rse
}

// nodes splits layers so that none exceeds 0.25 m²K/W (ISO 13788:2012) and returns
// the interfaces with their distance in sd and R from the inner air.
func (roof Roof) nodes() (inner []node, totalSd, totalR float64) {
	rsi, rse := roof.surfaces()
	sd, r := 0.0, rsi
	inner = append(inner, node{"inner face", 0, r})
	for i, l := range roof.Layers {
		n := max(1, int(math.Ceil(l.ResistanceM2KPerW/0.25-1e-9)))
		for k := 1; k <= n; k++ {
			sd += l.SdM / float64(n)
			r += l.ResistanceM2KPerW / float64(n)
			name := "inside " + l.Name
			if k == n {
				name = "outer face"
				if i+1 < len(roof.Layers) {
					name = l.Name + " / " + roof.Layers[i+1].Name
				}
			}
			inner = append(inner, node{name, sd, r})
		}
	}
	return inner, sd, r + rse
}

// Solve follows the water between the layers through a year. It starts in the first
// month that condenses after one that does not (ISO 13788 6.4); wet interfaces are
// held at saturation until they have dried, within the month if need be.
func (roof Roof) Solve(ctx context.Context, months []Month) (Year, error) {
	if len(roof.Layers) == 0 {
		return Year{}, fmt.Errorf("the roof has no layers")
	}
	if len(months) != 12 {
		return Year{}, fmt.Errorf("the climate has %d months, want 12", len(months))
	}
	for _, l := range roof.Layers {
		if l.ResistanceM2KPerW < 0 || l.SdM < 0 || math.IsNaN(l.ResistanceM2KPerW+l.SdM) {
			return Year{}, fmt.Errorf("layer %q: resistance %g and sd %g must not be below zero", l.Name, l.ResistanceM2KPerW, l.SdM)
		}
	}
	nodes, _, totalR := roof.nodes()
	condenses := make([]bool, 12)
	all, none := true, true
	for i, m := range months {
		rates := roof.rates(nodes, totalR, m, nil)
		for _, g := range rates {
			if g > 1e-18 {
				condenses[i] = true
			}
		}
		all, none = all && condenses[i], none && !condenses[i]
	}
	y := Year{Never: none, Always: all}
	if none {
		y.Water = make([]float64, 12)
		y.Rates = make([]map[string]float64, 12)
		return y, nil
	}
	for i := range months {
		if condenses[i] && !condenses[(i+11)%12] {
			y.Start = i
			break
		}
	}
	water := make([]float64, len(nodes))
	seen := map[string]bool{}
	for k := 0; k < 12; k++ {
		if err := ctx.Err(); err != nil {
			return y, err
		}
		m := months[(y.Start+k)%12]
		gained := map[string]float64{}
		roof.month(nodes, totalR, m, water, gained)
		total := 0.0
		for i, w := range water {
			total += w
			if w > 0 && !seen[nodes[i].name] {
				seen[nodes[i].name] = true
				y.Interfaces = append(y.Interfaces, nodes[i].name)
			}
		}
		y.Rates = append(y.Rates, gained)
		y.Water = append(y.Water, total)
		y.PeakKG = math.Max(y.PeakKG, total)
	}
	y.EndKG = y.Water[11]
	return y, nil
}

// month advances the water through one month, split where an interface dries.
func (roof Roof) month(nodes []node, totalR float64, m Month, water []float64, gained map[string]float64) {
	left := m.Days * 86400
	for step := 0; left > 1e-6 && step < 4*len(nodes); step++ {
		rates := roof.rates(nodes, totalR, m, water)
		span := left
		for i, g := range rates {
			if g < 0 && water[i] > 0 {
				span = math.Min(span, water[i]/-g)
			}
		}
		for i, g := range rates {
			before := water[i]
			water[i] = math.Max(0, water[i]+g*span)
			if water[i] < 1e-12 {
				water[i] = 0
			}
			if d := water[i] - before; d != 0 {
				gained[nodes[i].name] += d
			}
		}
		left -= span
	}
}

// rates returns the condensation rate at each node, kg/(m²s): the vapour pressure is
// the greatest that nowhere exceeds saturation (the lower convex hull of the
// saturation points in sd), with wet nodes held at saturation.
func (roof Roof) rates(nodes []node, totalR float64, m Month, water []float64) []float64 {
	indoor := m.IndoorPa
	outdoor := m.RHPct / 100 * SaturationPa(m.OutdoorC)
	if indoor == 0 {
		indoor = outdoor + 1.10*roof.Class.excessPa(m.OutdoorC)
	}
	sat := make([]float64, len(nodes))
	for i, n := range nodes {
		sat[i] = SaturationPa(m.IndoorC - (m.IndoorC-m.OutdoorC)*n.r/totalR)
	}
	last := len(nodes) - 1
	sat[0], sat[last] = math.Max(sat[0], indoor), outdoor
	pressure := make([]float64, len(nodes))
	pinned := []int{0}
	pressure[0], pressure[last] = indoor, outdoor
	for i := 1; i < last; i++ {
		if water != nil && water[i] > 0 {
			pinned = append(pinned, i)
			pressure[i] = sat[i]
		}
	}
	pinned = append(pinned, last)
	touched := map[int]bool{}
	for k := 0; k+1 < len(pinned); k++ {
		for _, i := range hull(nodes, sat, pressure, pinned[k], pinned[k+1]) {
			pressure[i] = sat[i]
			touched[i] = true
		}
	}
	// Condensation is the change of slope at the nodes that touch saturation.
	stops := []int{}
	for i := range nodes {
		wet := water != nil && i < last && water[i] > 0
		if i == 0 || i == last || touched[i] || wet {
			stops = append(stops, i)
		}
	}
	out := make([]float64, len(nodes))
	for k := 1; k+1 < len(stops); k++ {
		a, b, c := stops[k-1], stops[k], stops[k+1]
		out[b] = flow(nodes, pressure, a, b) - flow(nodes, pressure, b, c)
	}
	return out
}

func flow(nodes []node, p []float64, a, b int) float64 {
	d := nodes[b].sd - nodes[a].sd
	if d <= 0 {
		d = 1e-9 // two interfaces with nothing between them that holds vapour back
	}
	return diffusion * (p[a] - p[b]) / d
}

// hull returns the nodes strictly between a and b where the lower convex hull from
// (sd a, p a) to (sd b, p b) under the saturation points touches them.
func hull(nodes []node, sat, p []float64, a, b int) []int {
	type at struct {
		i    int
		x, y float64
	}
	stack := []at{{a, nodes[a].sd, p[a]}}
	for i := a + 1; i <= b; i++ {
		q := at{i, nodes[i].sd, sat[i]}
		if i == b {
			q.y = p[b]
		}
		for len(stack) > 1 {
			u, v := stack[len(stack)-2], stack[len(stack)-1]
			if (v.x-u.x)*(q.y-u.y)-(v.y-u.y)*(q.x-u.x) <= 0 {
				stack = stack[:len(stack)-1]
				continue
			}
			break
		}
		stack = append(stack, q)
	}
	var out []int
	for _, s := range stack[1:] {
		if s.i != b {
			out = append(out, s.i)
		}
	}
	return out
}
