package conduction

import (
	"fmt"
	"math"
	"slices"
)

// Options tune the grid and the steps. The zero value is right for roofs.
type Options struct {
	// TolK is the error allowed in any cell's temperature per step, K; default 0.02.
	TolK float64
	// FirstCellS is the time in seconds that heat takes across the outermost
	// cell, where cells are chosen; default 30 s (about 2 mm of timber board).
	FirstCellS float64
	// Refine divides every cell; default 1. For convergence studies.
	Refine int
	// MaxStepS bounds a step; default 3600 s.
	MaxStepS float64
}

// What Options take when they are not given.
const (
	usualTolK       = 0.02
	usualFirstCellS = 30
	usualMaxStepS   = 3600
)

// A build-up starts no colder and no hotter than this, °C.
const coldestStartC, hottestStartC = -100, 500

func (o Options) filled() Options {
	if !(o.TolK > 0) {
		o.TolK = usualTolK
	}
	if !(o.FirstCellS > 0) {
		o.FirstCellS = usualFirstCellS
	}
	if o.Refine < 1 {
		o.Refine = 1
	}
	if !(o.MaxStepS > 0) {
		o.MaxStepS = usualMaxStepS
	}
	return o
}

// Cell is one slice of a layer.
type Cell struct {
	// Layer is the index of its layer, outermost 0.
	Layer int
	// DepthMM is the depth of its middle below the outer surface; contact gaps
	// have no thickness.
	DepthMM float64
	WidthMM float64
	// CapacityJPerM2K is the heat it stores per kelvin.
	CapacityJPerM2K float64
}

// Balance is the heat that has entered since the start, J/m².
type Balance struct {
	OuterJPerM2, InnerJPerM2, SourceJPerM2 float64
}

// Slab is a build-up with its present temperatures. It is made by New, changed by
// Settle, SetTemps, Step and Advance, and not safe for use by several goroutines.
type Slab struct {
	opts   Options
	layers []Layer
	cells  []Cell
	// heat capacity per cell; conductance between cell i and i+1; half-cell
	// conductances at the two faces.
	capacity, between  []float64
	gOuter, gInner     float64
	temp               []float64
	outerTs, innerTs   float64
	nextStepS          float64
	heat               Balance
	refusedSteps, done int

	last trial
	work
}

// work is the scratch of a step.
type work struct {
	low, up                      []float64 // conductance over capacity
	k1, k2, base, y              []float64
	source, slope, dl, d, du, rh []float64
	// outer and inner are the faces at the moment at; not a number where they are those of none.
	outer, inner Face
	at           float64
}

// New returns the build-up of layers, outermost first, all at startC °C.
func New(layers []Layer, startC float64, opts Options) (*Slab, error) {
	if err := checkLayers(layers); err != nil {
		return nil, err
	}
	if math.IsNaN(startC) || startC < coldestStartC || startC > hottestStartC {
		return nil, fmt.Errorf("build-up: the starting temperature is %g °C. Give one between -100 and 500 °C", startC)
	}
	s := &Slab{opts: opts.filled(), layers: slices.Clone(layers)}
	depth, fast := 0.0, s.opts.FirstCellS
	var half []float64 // resistance of half a cell
	for i, l := range layers {
		for _, w := range widths(l, &fast, s.opts.Refine) {
			s.cells = append(s.cells, Cell{Layer: i, DepthMM: (depth + w/2) * 1000, WidthMM: w * 1000,
				CapacityJPerM2K: w * l.DensityKgPerM3 * l.HeatJPerKgK})
			half = append(half, w/2/l.ConductivityWPerMK)
			depth += w
		}
		if len(s.cells) > maxCells {
			return nil, &LayerError{Index: i, Name: l.Name, Fault: fmt.Sprintf("the build-up needs more than %d cells", maxCells),
				Remedy: "Use fewer cells per layer"}
		}
	}
	n := len(s.cells)
	s.capacity = make([]float64, n)
	s.between = make([]float64, n)
	for i, c := range s.cells {
		s.capacity[i] = c.CapacityJPerM2K
		if i+1 < n {
			r := half[i] + half[i+1]
			if s.cells[i+1].Layer != c.Layer {
				r += layers[c.Layer].ContactM2KPerW
			}
			s.between[i] = 1 / r
		}
	}
	s.gOuter, s.gInner = 1/half[0], 1/half[n-1]
	s.temp = make([]float64, n)
	for i := range s.temp {
		s.temp[i] = startC
	}
	s.outerTs, s.innerTs = startC, startC
	s.scratch()
	return s, nil
}

func (s *Slab) scratch() {
	n := len(s.cells)
	block := make([]float64, 12*n)
	for i, p := range []*[]float64{&s.low, &s.up, &s.k1, &s.k2, &s.base, &s.y, &s.source, &s.slope, &s.dl, &s.d, &s.du, &s.rh} {
		*p = block[i*n : (i+1)*n : (i+1)*n]
	}
	for i := range n {
		if i > 0 {
			s.low[i] = s.between[i-1] / s.capacity[i]
		}
		if i+1 < n {
			s.up[i] = s.between[i] / s.capacity[i]
		}
	}
}

// LayerCells gives the half-open range of the cells of a layer; (0, 0) for a
// layer that is not there.
func (s *Slab) LayerCells(layer int) (from, to int) {
	for i, c := range s.cells {
		if c.Layer == layer {
			if to == 0 {
				from = i
			}
			to = i + 1
		}
	}
	return from, to
}

// SurfaceC and InnerSurfaceC are the temperatures of the two surfaces, °C, under
// the faces of the latest step (or Settle); before any, the outermost cell's.
func (s *Slab) SurfaceC() float64 { return s.outerTs }

// Temps returns a copy of the cell temperatures, °C, outermost first.
func (s *Slab) Temps() []float64 { return slices.Clone(s.temp) }

// ReadTemps copies the cell temperatures into dst and returns how many.
func (s *Slab) ReadTemps(dst []float64) int { return copy(dst, s.temp) }

// SetTemps sets the cell temperatures, °C; one for each cell.
func (s *Slab) SetTemps(tempC []float64) error {
	if len(tempC) != len(s.temp) {
		return fmt.Errorf("build-up: %d temperatures for %d cells. Give one for each cell", len(tempC), len(s.temp))
	}
	for i, t := range tempC {
		if math.IsNaN(t) || math.IsInf(t, 0) || t < -ZeroCelsiusK {
			return fmt.Errorf("build-up: the temperature of cell %d is %g. Give a value in °C", i, t)
		}
	}
	copy(s.temp, tempC)
	s.outerTs, s.innerTs = s.temp[0], s.temp[len(s.temp)-1]
	s.nextStepS = 0
	return nil
}

// LayerBottomC is the temperature of the inner side of a layer, °C, between its
// last cell and the next layer's first; NaN for a layer that is not there.
func (s *Slab) LayerBottomC(layer int) float64 {
	_, to := s.LayerCells(layer)
	if to == 0 {
		return math.NaN()
	}
	i := to - 1
	if to == len(s.cells) {
		return s.innerTs
	}
	flow := s.between[i] * (s.temp[i] - s.temp[i+1])
	half := s.cells[i].WidthMM / 2000 / s.layers[layer].ConductivityWPerMK
	return s.temp[i] - flow*half
}

// HeatStoredJPerM2 is the heat held above 0 °C, J/m².
func (s *Slab) HeatStoredJPerM2() float64 {
	sum := 0.0
	for i, c := range s.capacity {
		sum += c * s.temp[i]
	}
	return sum
}

// HeatIn is what has entered through the faces and from the source since New.
func (s *Slab) HeatIn() Balance { return s.heat }
