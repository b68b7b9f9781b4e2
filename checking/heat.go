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
	// Bases of the decks in their order.
	Bases    []roof.Base
	Geometry []steps.Made[runoff.Geometry]
	// ScrewsPerM2 is how many screws pass the insulation on a square metre of the whole roof.
	ScrewsPerM2 float64
}

// MakeHeatChecks asks after U-value, surface, condensation and ventilation.
func MakeHeatChecks(ctx context.Context, in HeatInput) (check.Notes, error) {
	var out check.Notes
	return out, in.check(ctx, &out)
}

func (in *HeatInput) check(ctx context.Context, out *check.Notes) error {
	set, _ := country.For(in.Country)
	if b := in.Below; b == "unheated" || b == "open" {
		results, _, err := thermal.Check(thermal.Build{}, thermal.Unheated, set, 10)
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
	results, _, err := thermal.Check(build, purpose, set, 10)
	if err != nil {
		out.Answer(check.Result{Key: "thermal.u", Title: "Does it keep the heat in?", Verdict: check.Ask, Finding: err.Error(),
			Clause: runoff.Derived, CallFor: "someone who computes heat flow in two dimensions"}, "")
	}
	for _, r := range results {
		if taperNote != "" {
			r.Flags = append(r.Flags, taperNote)
		}
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
			NoColdRoofs: set.Code == "GB-SCT"}), "")
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

// layers builds the roof from inside to outside for heat and for vapour.
func (in *HeatInput) layers() (thermal.Build, []moisture.Layer) {
	s := in.Spec
	var b thermal.Build
	var v []moisture.Layer
	add := func(l thermal.Layer, sd float64) {
		b.Layers = append(b.Layers, l)
		v = append(v, moisture.Layer{Name: l.Name, ResistanceM2KPerW: l.Resistance(), SdM: sd})
	}
	mem := working.Remembered
	add(thermal.Layer{Name: "plasterboard", ThicknessMM: 12.5, LambdaWPerMK: 0.25, Standing: mem, Usual: true}, 0.125)
	ins := thermal.Layer{Name: "insulation", Main: true}
	mu := 60.0
	if s.Insulation != nil {
		ins.Name, ins.ThicknessMM = s.Insulation.Material, s.Insulation.ThicknessMM
		ins.LambdaWPerMK, ins.Standing = s.Insulation.LambdaWPerM, working.Given
		if strings.Contains(strings.ToLower(s.Insulation.Material), "wool") || strings.Contains(strings.ToLower(s.Insulation.Material), "quilt") {
			mu = 1
		}
	}
	board := thermal.Layer{Name: s.Board.Material + " deck", ThicknessMM: s.Board.ThicknessMM, LambdaWPerMK: 0.13, Standing: mem}
	boardSd := 50 * s.Board.ThicknessMM / 1000
	vcl := func() {
		if s.VCL {
			v = append(v, moisture.Layer{Name: "vapour control layer", SdM: 50})
		}
	}
	insSd := mu * ins.ThicknessMM / 1000
	if s.Build == "cold" {
		vcl()
		base := in.Bases[0]
		if base.JoistWidthMM > 0 && base.JoistSpacingMM > 0 {
			ins.BridgeLambda, ins.BridgeFraction = 0.13, base.JoistWidthMM/base.JoistSpacingMM
		}
		add(ins, insSd)
		// A well ventilated void counts for nothing, nor does what lies outside it; the surface
		// of the insulation sees still air (ISO 6946, from memory). Vapour still meets the rest.
		b.Rse = thermal.RsiUp
		v = append(v, moisture.Layer{Name: "ventilated void", ResistanceM2KPerW: thermal.UnventilatedAir(50), SdM: 0.05},
			moisture.Layer{Name: board.Name, ResistanceM2KPerW: board.Resistance(), SdM: boardSd},
			moisture.Layer{Name: "laminate", ResistanceM2KPerW: 0.0075, SdM: 30})
		return b, v
	} else if s.Build == "inverted" {
		add(thermal.Layer{Name: "joist void", ThicknessMM: 150, ResistanceM2KPerW: thermal.UnventilatedAir(150), Standing: mem}, 0.05)
		add(board, boardSd)
		add(thermal.Layer{Name: "laminate", ThicknessMM: 3, LambdaWPerMK: 0.40, Standing: mem}, 30)
		add(ins, insSd)
		// Rain that runs under the boards: mean of the heating season where nobody has given it.
		b.RainMMPerDay, b.RainFactor = invertedRainMMPerDay, 0.04
		return b, v
	} else {
		add(thermal.Layer{Name: "joist void", ThicknessMM: 150, ResistanceM2KPerW: thermal.UnventilatedAir(150), Standing: mem}, 0.05)
		under := board
		under.Name = "structural deck"
		add(under, boardSd)
		vcl()
		add(ins, insSd)
		if s.Build == "warm" {
			carrier := board
			carrier.Name = "carrier board"
			add(carrier, boardSd)
			// Steel screws through to the joists, as many as were set out.
			b.Fasteners = thermal.Fasteners{PerM2: in.ScrewsPerM2, DiameterMM: 4.8, LambdaWPerMK: 50}
		}
	}
	add(thermal.Layer{Name: "laminate", ThicknessMM: 3, LambdaWPerMK: 0.40, Standing: mem, Usual: true}, 30)
	return b, v
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
