package checking

import (
	"context"
	"fmt"
	"math"
	"strings"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/check/moisture"
	"gelwright/check/thermal"
	"gelwright/firring"
	"gelwright/laying"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/steps"
	"gelwright/weather"
	"gelwright/working"
)

// HeatInput is the build-up of a roof and what lies below it.
type HeatInput struct {
	Country string
	Below   string // as in roof.Use
	New     bool
	LatDeg  float64
	Spec    roof.Spec
	// Origin is where boards and insulation were written.
	Origin roof.Origin
	// Guesses are values of the specification that nobody has given.
	Guesses []roof.Default
	// Bases of the decks in their order.
	Bases    []roof.Base
	Geometry []steps.Made[runoff.Geometry]
	Laminate []steps.Made[laying.Laminate]
	// ScrewsPerM2 is how many screws pass the insulation on a square metre of the whole roof,
	// NeededPerM2 how many the uplift asks for on the mean; 0 is not known.
	ScrewsPerM2, NeededPerM2 float64
}

// Warmed is a specification without what heat does not ask: another colour, resin or allowance
// works out no U-value anew.
func Warmed(s roof.Spec) roof.Spec {
	s.TopCoat, s.WastePct, s.Resin, s.CoatResin, s.Catalyst = roof.TopCoat{}, roof.Waste{}, "", "", ""
	return s
}

// MakeHeatChecks asks after U-value, surface, condensation and ventilation.
func MakeHeatChecks(ctx context.Context, in HeatInput) (check.Notes, error) {
	var out check.Notes
	return out, in.check(ctx, &out)
}

func (in *HeatInput) check(ctx context.Context, out *check.Notes) error {
	set, _ := country.For(in.Country)
	if b := in.Below; b == "unheated" || b == "open" {
		results, _, err := thermal.Check(thermal.Build{}, thermal.Unheated, set, thermal.Room{})
		if err != nil {
			return err
		}
		out.Answer(results[0], "")
		r := check.Result{Key: "moisture.ventilation", Title: "Is the space below aired?", Verdict: check.Caution,
			Clause:  working.Source{Title: "unheated spaces below a tight roof", Standing: working.CommonPractice},
			Finding: "no insulation is wanted; keep the space below ventilated, or the underside of the boards will drip on cold clear nights"}
		out.Answer(r, "")
		return nil
	}
	build, vapour := in.layers()
	taperNote, err := in.evenOut(&build)
	if err != nil {
		return err
	}
	purpose := thermal.Renovation
	if in.New {
		purpose = thermal.Extension
	}
	if in.Spec.Insulation == nil {
		out.Answer(check.Result{Key: "thermal.u", Title: "Does it keep the heat in?", Verdict: check.Ask,
			Finding: "the space below is heated and no insulation is named: what is there, or what will there be?", Clause: runoff.Derived,
			Remedies: []check.Remedy{{Text: "name the insulation", Field: "spec.insulation"}}}, "")
		return nil
	}
	results, _, err := thermal.Check(build, purpose, set, in.room())
	if err != nil {
		out.Answer(check.Result{Key: "thermal.u", Title: "Does it keep the heat in?", Verdict: check.Ask, Finding: err.Error(),
			Clause: runoff.Derived, CallFor: "someone who computes heat flow in two dimensions"}, "")
	}
	for _, r := range results {
		if taperNote != "" {
			r.Flags = append(r.Flags, taperNote)
		}
		soften(&r, in.Guesses, func() bool { return false })
		out.Answer(r, "")
	}
	class := moisture.HumidityClass(3)
	if in.Below == "wet room" {
		class = 5
	}
	months := months(in.LatDeg)
	cold := in.Spec.Build == "cold"
	r, _, err := moisture.CheckCondensation(ctx, moisture.Roof{Layers: vapour, Class: class}, months,
		fmt.Sprintf("monthly norms for latitude %.0f°", in.LatDeg), cold)
	if err != nil {
		return err
	}
	r.Flags = append(r.Flags, "the climate is a norm by latitude, not the site's own record")
	out.Answer(r, "")
	if cold {
		path := 0.0
		for _, b := range in.Bases {
			path = math.Max(path, b.JoistSpanM)
		}
		out.Answer(moisture.CheckVentilation(moisture.Void{PathM: path, ClearMM: in.Spec.VoidMM, BothEnds: in.Spec.VoidVented,
			NoColdRoofs: set.Code == "GB-SCT"}, set), "")
	}
	return nil
}

// taperCellM is the side of the cells over which the U-value of tapered insulation is
// averaged: fine enough that the fall within one does not count.
const taperCellM = 0.3

// evenOut replaces tapered insulation by the even thickness of the same mean U-value,
// which is less than its mean thickness (ISO 6946 annex E, by integration).
func (in *HeatInput) evenOut(build *thermal.Build) (string, error) {
	if in.Spec.Insulation == nil || !in.Spec.Insulation.Tapered {
		return "", nil
	}
	main := -1
	for i := range build.Layers {
		if build.Layers[i].Main {
			main = i
		}
	}
	var area, heat, volume float64
	for i := range in.Geometry {
		t, err := firring.TaperedBoards(in.Geometry[i].Value.Surface, taperCellM, taperCellM, build.Layers[main].ThicknessMM)
		if err != nil {
			return "", err
		}
		at := *build
		at.Layers = append([]thermal.Layer(nil), build.Layers...)
		for _, b := range t.Boards {
			at.Layers[main].ThicknessMM = b.MeanMM
			a, err := at.Solve()
			if err != nil {
				return "", err
			}
			cell := plane.TotalArea(b.Area)
			area, heat, volume = area+cell, heat+cell*a.Corrected, volume+cell*b.MeanMM
		}
	}
	if area == 0 {
		return "", nil
	}
	least := build.Layers[main].ThicknessMM
	even, err := build.ThicknessFor(heat / area)
	if err != nil {
		return "", err
	}
	build.Layers[main].ThicknessMM = even
	return fmt.Sprintf("tapered from %.0f mm, %.0f mm in the mean, counts as %.0f mm even", least, volume/area, even), nil
}

// invertedRainMMPerDay stands in for the mean rainfall of the heating season (assumed;
// 1 to 3.5 mm a day in maritime climates).
const invertedRainMMPerDay = 2.5

// insulationStepMM is the step in which insulation is sold.
const insulationStepMM = 10

// room is what of the build-up a remedy may change: between joists insulation leaves the void
// that airs it.
func (in *HeatInput) room() thermal.Room {
	r := thermal.Room{StepMM: insulationStepMM, NeededPerM2: in.NeededPerM2}
	if in.Spec.Build != "cold" {
		return r
	}
	for _, b := range in.Bases {
		void, _ := moisture.VoidFor(b.JoistSpanM)
		if most := b.JoistDepthMM - void; b.Kind == "joists" && b.JoistDepthMM > 0 && (r.MostMM == 0 || most < r.MostMM) {
			r.MostMM = math.Max(most, 0)
			r.Why = fmt.Sprintf("the joists are %.0f mm deep and %.0f mm above the insulation must stay open", b.JoistDepthMM, void)
		}
	}
	return r
}

// Resistance to vapour, as a multiple μ of still air (EN ISO 10456, from memory); a vapour
// control layer and an air space by the air layer sd that they equal, m.
const (
	boardMu      = 50.0
	plasterMu    = 10.0
	foamMu       = 60.0
	woolMu       = 1.0
	laminateMu   = 10000.0
	vclSdM       = 50.0
	airSdM       = 0.05
	laminateName = "laminate"
	// openVoidMM is the depth from which a still air layer resists no more.
	openVoidMM = 50.0
)

var airLayer = working.MustFormula("sd = μ·d/1000")

// stack is a roof from inside to outside, for heat and for vapour.
type stack struct {
	heat   thermal.Build
	vapour []moisture.Layer
}

// vapourOf adds a layer for vapour alone.
func (s *stack) vapourOf(l thermal.Layer, sd *working.Figure) {
	s.vapour = append(s.vapour, moisture.LayerOf(l.Name, l.Resistance(), sd))
}

// solid is the air layer equal to a solid layer.
func solid(l thermal.Layer, mu float64) *working.Figure {
	source := working.Source{Title: "EN ISO 10456", Standing: working.Remembered}
	return airLayer.Figure("air layer equal to "+l.Name, "m", source, l.Thickness(),
		working.Constant("μ", "resistance of "+l.Name+" to vapour, in still air", mu, "", source))
}

func still(name string, sdM float64) *working.Figure {
	return working.Constant("sd", "air layer equal to "+name, sdM, "m", working.Source{Title: "EN ISO 10456", Standing: working.Remembered})
}

// add puts a solid layer on, void a still air space.
func (s *stack) add(l thermal.Layer, mu float64) {
	s.heat.Layers = append(s.heat.Layers, l)
	s.vapourOf(l, solid(l, mu))
}

func (s *stack) void() {
	l := thermal.Layer{Name: "joist void", ThicknessMM: 150, ResistanceM2KPerW: thermal.UnventilatedAir(150), Standing: working.Remembered}
	s.heat.Layers = append(s.heat.Layers, l)
	s.vapourOf(l, still(l.Name, airSdM))
}

// laminate is the laminate of the thickest deck: it holds vapour back most.
func (in *HeatInput) laminate() thermal.Layer {
	l := thermal.Layer{Name: laminateName, LambdaWPerMK: 0.40, Standing: working.Remembered}
	for i := range in.Laminate {
		if x := &in.Laminate[i].Value; x.LaminateMM > l.ThicknessMM {
			l.ThicknessMM, l.Worked = x.LaminateMM, x.Thickness
		}
	}
	return l
}

// insulation is the main layer and its resistance to vapour.
func (in *HeatInput) insulation() (thermal.Layer, float64) {
	x := in.Spec.Insulation
	if x == nil {
		return thermal.Layer{Name: "insulation", Main: true}, foamMu
	}
	l := thermal.Layer{Name: x.Material, Main: true, ThicknessMM: x.ThicknessMM, LambdaWPerMK: x.LambdaWPerM,
		LambdaFrom: in.Origin.Source("spec.insulation.lambda_w_per_mk"), Field: "spec.insulation.thickness_mm", From: in.Origin}
	if name := strings.ToLower(x.Material); strings.Contains(name, "wool") || strings.Contains(name, "quilt") {
		return l, woolMu
	}
	return l, foamMu
}

// layers builds the roof from inside to outside for heat and for vapour.
func (in *HeatInput) layers() (thermal.Build, []moisture.Layer) {
	var s stack
	spec := &in.Spec
	s.add(thermal.Layer{Name: "plasterboard", ThicknessMM: 12.5, LambdaWPerMK: 0.25, Standing: working.Remembered, Usual: true}, plasterMu)
	ins, mu := in.insulation()
	board := thermal.Layer{Name: spec.Board.Material + " deck", ThicknessMM: spec.Board.ThicknessMM, LambdaWPerMK: 0.13,
		Standing: working.Remembered, Field: "spec.board.thickness_mm", From: in.Origin}
	skin := in.laminate()
	vcl := func() {
		if spec.VapourLayer() {
			s.vapour = append(s.vapour, moisture.Layer{Name: "vapour control layer", SdM: vclSdM, Sd: still("vapour control layer", vclSdM)})
		}
	}
	switch spec.Build {
	case "cold":
		vcl()
		if base := in.Bases[0]; base.JoistWidthMM > 0 && base.JoistSpacingMM > 0 {
			ins.BridgeLambda, ins.BridgeFraction = 0.13, base.JoistWidthMM/base.JoistSpacingMM
		}
		s.add(ins, mu)
		// A well ventilated void counts for nothing, nor does what lies outside it; the surface
		// of the insulation sees still air (ISO 6946, from memory). Vapour still meets the rest.
		s.heat.Rse = thermal.RsiUp
		s.vapourOf(thermal.Layer{Name: "ventilated void", ResistanceM2KPerW: thermal.UnventilatedAir(openVoidMM),
			Standing: working.Remembered}, still("ventilated void", airSdM))
		s.vapourOf(board, solid(board, boardMu))
		s.vapourOf(skin, solid(skin, laminateMu))
		return s.heat, s.vapour
	case "inverted":
		s.void()
		s.add(board, boardMu)
		s.add(skin, laminateMu)
		s.add(ins, mu)
		// Rain that runs under the boards: mean of the heating season where nobody has given it.
		s.heat.RainMMPerDay, s.heat.RainFactor = invertedRainMMPerDay, 0.04
		return s.heat, s.vapour
	}
	s.void()
	under := board
	under.Name = "structural deck"
	s.add(under, boardMu)
	vcl()
	s.add(ins, mu)
	if spec.Build == "warm" {
		carrier := board
		carrier.Name = "carrier board"
		s.add(carrier, boardMu)
		// Steel screws through to the joists, as many as were set out.
		s.heat.Fasteners = thermal.Fasteners{PerM2: in.ScrewsPerM2, DiameterMM: 4.8, LambdaWPerMK: 50}
	}
	s.add(skin, laminateMu)
	return s.heat, s.vapour
}

// months gives the climate norms of the site's latitude.
func months(latDeg float64) []moisture.Month {
	n := weather.NormsOfLatitude(latDeg)
	names := [...]string{"January", "February", "March", "April", "May", "June",
		"July", "August", "September", "October", "November", "December"}
	days := [...]float64{31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	var out []moisture.Month
	for i := range names {
		out = append(out, moisture.Month{Name: names[i], Days: days[i], OutdoorC: n.Months[i].MeanC, RHPct: n.Months[i].RHPct, IndoorC: 20})
	}
	return out
}
