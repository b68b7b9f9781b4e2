package moisture

import (
	"context"
	"fmt"
	"math"

	"gelwright/working"
)

// Layer is one layer, inside first.
type Layer struct {
	Name string
	// ResistanceM2KPerW and SdM of the layer.
	ResistanceM2KPerW, SdM float64
	// Resistance and Sd are the same as figures, nil where nothing lies behind the numbers.
	Resistance, Sd *working.Figure
}

// LayerOf is a layer by its figures.
func LayerOf(name string, resistance, sd *working.Figure) Layer {
	return Layer{Name: name, ResistanceM2KPerW: resistance.Value, SdM: sd.Value, Resistance: resistance, Sd: sd}
}

// figures are the layer's resistance and air layer as inputs of a working.
func (l Layer) figures() []*working.Figure {
	build := working.Source{Title: "build-up of the roof", Standing: working.Derived}
	r, sd := l.Resistance, l.Sd
	if r == nil {
		r = working.Constant("R", "resistance of "+l.Name, l.ResistanceM2KPerW, "m²K/W", build)
	}
	if sd == nil {
		sd = working.Constant("sd", "air layer equal to "+l.Name, l.SdM, "m", build)
	}
	return []*working.Figure{r.As("R"), sd.As("sd")}
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
	if err := roof.sound(months); err != nil {
		return Year{}, err
	}
	nodes, _, totalR := roof.nodes()
	y := roof.begin(nodes, totalR, months)
	if y.Never {
		y.Water = make([]float64, 12)
		y.Rates = make([]map[string]float64, 12)
		return y, nil
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

// sound refuses a build-up or a climate that cannot be followed.
func (roof Roof) sound(months []Month) error {
	if len(roof.Layers) == 0 {
		return fmt.Errorf("the roof has no layers")
	}
	if len(months) != 12 {
		return fmt.Errorf("the climate has %d months, want 12", len(months))
	}
	for _, l := range roof.Layers {
		if l.ResistanceM2KPerW < 0 || l.SdM < 0 || math.IsNaN(l.ResistanceM2KPerW+l.SdM) {
			return fmt.Errorf("layer %q: resistance %g and sd %g must not be below zero", l.Name, l.ResistanceM2KPerW, l.SdM)
		}
	}
	return nil
}

// begin finds the month from which the water is followed: the first that condenses on a dry
// roof after one that does not.
func (roof Roof) begin(nodes []node, totalR float64, months []Month) Year {
	condenses := make([]bool, 12)
	y := Year{Never: true, Always: true}
	for i, m := range months {
		for _, g := range roof.rates(nodes, totalR, m, nil) {
			condenses[i] = condenses[i] || g > 1e-18
		}
		y.Always, y.Never = y.Always && condenses[i], y.Never && !condenses[i]
	}
	for i := range months {
		if condenses[i] && !condenses[(i+11)%12] {
			y.Start = i
			break
		}
	}
	return y
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
	sat := roof.saturation(nodes, totalR, m)
	last := len(nodes) - 1
	wet := func(i int) bool { return water != nil && i > 0 && i < last && water[i] > 0 }
	pressure := make([]float64, len(nodes))
	pinned := []int{0}
	pressure[0], pressure[last] = roof.indoorPa(m), sat[last]
	for i := range nodes {
		if wet(i) {
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
		if i == 0 || i == last || touched[i] || wet(i) {
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

// outdoorPa and indoorPa are the vapour pressures of both airs.
func outdoorPa(m Month) float64 { return m.RHPct / 100 * SaturationPa(m.OutdoorC) }

func (roof Roof) indoorPa(m Month) float64 {
	if m.IndoorPa != 0 {
		return m.IndoorPa
	}
	return outdoorPa(m) + 1.10*roof.Class.excessPa(m.OutdoorC)
}

// saturation is the saturation pressure at each node; at the faces no less than the air's own.
func (roof Roof) saturation(nodes []node, totalR float64, m Month) []float64 {
	sat := make([]float64, len(nodes))
	for i, n := range nodes {
		sat[i] = SaturationPa(m.IndoorC - (m.IndoorC-m.OutdoorC)*n.r/totalR)
	}
	sat[0], sat[len(nodes)-1] = math.Max(sat[0], roof.indoorPa(m)), outdoorPa(m)
	return sat
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
