package conduction

import (
	"fmt"
	"math"
)

// Layer is one sheet of the build-up.
type Layer struct {
	// Name in trade words, for messages: "laminate", "OSB 18".
	Name string
	// ThicknessMM, > 0 and at most 2000 mm.
	ThicknessMM float64
	// ConductivityWPerMK is λ, > 0.
	ConductivityWPerMK float64
	// DensityKgPerM3, > 0.
	DensityKgPerM3 float64
	// HeatJPerKgK is the specific heat, > 0.
	HeatJPerKgK float64
	// ContactM2KPerW is the resistance between this layer and the next one inward:
	// 0 where they are bonded, 0.16 m²K/W for an air gap with upward heat flow.
	ContactM2KPerW float64
	// Cells is the number of cells the layer is cut into; 0 lets New choose.
	Cells int
}

// ResistanceM2KPerW is thickness over conductivity, without the contact below.
func (l Layer) ResistanceM2KPerW() float64 {
	return l.ThicknessMM / 1000 / l.ConductivityWPerMK
}

// CapacityJPerM2K is the heat that a square metre of the layer stores per kelvin.
func (l Layer) CapacityJPerM2K() float64 {
	return l.ThicknessMM / 1000 * l.DensityKgPerM3 * l.HeatJPerKgK
}

// DiffusivityM2PerS is a = λ/(ρ·c).
func (l Layer) DiffusivityM2PerS() float64 {
	return l.ConductivityWPerMK / (l.DensityKgPerM3 * l.HeatJPerKgK)
}

// LayerError says which layer cannot be used, why, and what to write instead.
type LayerError struct {
	// Index counts from 0, outermost first; -1 for the build-up as a whole.
	Index  int
	Name   string
	Fault  string
	Remedy string
}

// Error prints place, fault and remedy on one line.
func (e *LayerError) Error() string {
	if e.Index < 0 {
		return fmt.Sprintf("build-up: %s. %s", e.Fault, e.Remedy)
	}
	return fmt.Sprintf("build-up, layer %d %q: %s. %s", e.Index+1, e.Name, e.Fault, e.Remedy)
}

const (
	maxLayers    = 64
	maxCells     = 4096
	maxLayerMM   = 2000
	growth       = 1.3
	slowestCellS = 3600
	mostCoarse   = 200 // cells of a layer before they are refined
)

func checkLayers(layers []Layer) error {
	if len(layers) == 0 {
		return &LayerError{Index: -1, Fault: "it has no layer", Remedy: "List the layers from the outside in, at least one"}
	}
	if len(layers) > maxLayers {
		return &LayerError{Index: -1, Fault: fmt.Sprintf("it has %d layers", len(layers)),
			Remedy: fmt.Sprintf("Merge layers; at most %d are taken", maxLayers)}
	}
	for i, l := range layers {
		fault := func(what string, v float64, remedy string) error {
			return &LayerError{Index: i, Name: l.Name, Fault: fmt.Sprintf("%s is %g", what, v), Remedy: remedy}
		}
		switch {
		case !(l.ThicknessMM > 0 && l.ThicknessMM <= maxLayerMM):
			return fault("the thickness in mm", l.ThicknessMM, "Give more than 0 and at most 2000 mm")
		case !positive(l.ConductivityWPerMK):
			return fault("the conductivity in W/(m·K)", l.ConductivityWPerMK, "Give the value of its data sheet, above 0")
		case !positive(l.DensityKgPerM3):
			return fault("the density in kg/m³", l.DensityKgPerM3, "Give the value of its data sheet, above 0")
		case !positive(l.HeatJPerKgK):
			return fault("the specific heat in J/(kg·K)", l.HeatJPerKgK, "Give the value of its data sheet, above 0")
		case !(l.ContactM2KPerW >= 0) || math.IsInf(l.ContactM2KPerW, 0):
			return fault("the contact resistance in m²K/W", l.ContactM2KPerW, "Give 0 for bonded layers, or the resistance of the gap")
		case l.Cells < 0 || l.Cells > maxCells/2:
			return fault("the number of cells", float64(l.Cells), "Give 0 to have it chosen")
		}
	}
	return nil
}

func positive(v float64) bool { return v > 0 && !math.IsInf(v, 0) }

// widths cuts a layer into cells. Where the number is not given, the first cell's
// width is the depth that heat crosses in fastS seconds, √(a·t), and cells grow
// inward, because quick swings die out near the outside; *fastS is carried from
// layer to layer. refine divides every cell.
func widths(l Layer, fastS *float64, refine int) []float64 {
	thick := l.ThicknessMM / 1000
	if l.Cells > 0 {
		n := l.Cells * refine
		w := make([]float64, n)
		for i := range w {
			w[i] = thick / float64(n)
		}
		return w
	}
	a := l.DiffusivityM2PerS()
	var coarse []float64
	sum := 0.0
	for sum < thick && len(coarse) < mostCoarse {
		dx := math.Sqrt(a * *fastS)
		coarse = append(coarse, dx)
		sum += dx
		*fastS = math.Min(*fastS*growth*growth, slowestCellS)
	}
	w := make([]float64, 0, len(coarse)*refine)
	for _, dx := range coarse {
		for range refine {
			w = append(w, dx*thick/sum/float64(refine))
		}
	}
	return w
}
