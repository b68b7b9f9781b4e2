package movement

import (
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/working"
)

// Input is what the check needs to know.
type Input struct {
	// From knows which sizes of the boards somebody has written.
	From working.Giver
	// AreaM2 and LongestM of the largest field between movement joints.
	AreaM2, LongestM float64
	Dark             bool
	// ReentrantCorners of the outline with no movement joint in them.
	ReentrantCorners int
	Bays             int // fields that movement joints make; 1 when there are none
	// Laminate: thickness mm, modulus N/mm², strain at first cracking.
	ThicknessMM, ModulusN float64
	CrackStrain           float64
	// Board: width along which it moves (m), moisture change expected (% points).
	BoardM         float64
	MoistureChange float64
	// BandageMM over board joints; GapMM between boards.
	BandageMM, GapMM float64
	// BandageThicknessMM adds to the laminate over the joint.
	BandageThicknessMM float64
}

// Coefficients of movement.
const (
	laminateAlpha = 27 // 10⁻⁶/K, chopped strand mat laminate, 20–35
	// boardMoisture is OSB's in-plane movement for one per cent of moisture, 0.02–0.03 %.
	boardMoisture = 2.5 // 10⁻⁴
	// heldShare is the part of a board's movement that reaches its joints when it is
	// screwed every 150 mm to joists that move with it; an assumption.
	heldShare     = 0.4
	coldestC      = -15
	hottestDarkC  = 75
	hottestLightC = 57 // light greys run 15–20 K cooler
)

// Range returns the temperature range of the surface, K.
func (in Input) rangeK() float64 {
	if in.Dark {
		return hottestDarkC - coldestC
	}
	return hottestLightC - coldestC
}

var (
	freeMovement = working.MustFormula("ΔL = α·L·ΔT/1000")
	jointOpening = working.MustFormula("δ = k·B·β·ΔM/10")
	overJoint    = working.MustFormula("t = tl + tb")
	jointStrain  = working.MustFormula("ε = 100·δ/(g + 2·√(E·t·d/Gb))")
	strainUsed   = working.MustFormula("u = ε/εc")
	largestArea  = working.MustFormula("Amax = A0·k")
	longestSide  = working.MustFormula("Lmax = L0·k")
	fieldUse     = working.MustFormula("u = max(A/Amax, L/Lmax)")
)

// darkPart lowers the limits of common practice for dark colours by a fifth.
const darkPart = 0.8

// longestSideM is the side above which common practice plans a joint.
const longestSideM = 10

// CheckJoints returns the verdict on the size of the largest field.
func CheckJoints(in Input, set country.Set) check.Result {
	source := working.Source{Title: "movement joints in hand-laid laminate: no standard gives a spacing",
		Clause: "50 m² or 10 m, a fifth less for dark colours", Standing: working.CommonPractice}
	r := check.Result{Key: "movement.joints", Title: "Is it small enough to do without movement joints?", Clause: source}
	part := working.Constant("k", "part of the limits for a light colour", 1, "", source)
	if in.Dark {
		part = working.Constant("k", "part of the limits for a dark colour", darkPart, "", source)
	}
	areaF := largestArea.Figure("largest field without a movement joint", "m²", source, set.LargestField.Figure("A0"), part).
		Keyed("check.movement.area")
	sideF := longestSide.Figure("longest side without a movement joint", "m", source,
		working.Constant("L0", "longest side of a light field", longestSideM, "m", source), part).Keyed("check.movement.side")
	area, side := areaF.Value, sideF.Value
	f := freeMovement.Figure("free movement of the longest side", "mm", working.Source{Title: "thermal expansion", Standing: working.Derived},
		working.Constant("α", "expansion of the laminate", laminateAlpha, "10⁻⁶/K",
			working.Source{Title: "expansion of mat laminates, 20 to 35, as a public table of materials gives it", Standing: working.Quoted}),
		working.Measured("L", "longest side of the largest field", in.LongestM, "m", "outline and joints of the deck"),
		working.Constant("ΔT", "range of surface temperature", in.rangeK(), "K",
			working.Source{Title: "−15 °C to a sunlit surface", Standing: working.CommonPractice})).Keyed("check.movement.free")
	use := fieldUse.Figure("use of the limits of the largest field", "", source, areaF, sideF,
		working.Measured("A", "area of the largest field", in.AreaM2, "m²", "outline of the deck and its movement joints"),
		working.Measured("L", "longest side of the largest field", in.LongestM, "m", "outline of the deck and its movement joints")).
		Keyed("check.movement.use")
	r.Working = []*working.Figure{f, use, areaF, sideF}
	free := f.Value
	r.Utilisation = use.Value
	r.Finding = fmt.Sprintf(
		"largest field %.1f m² with a side of %.1f m; the limits of practice here are %.0f m² and %.0f m; free movement %.0f mm", in.AreaM2,
		in.LongestM, area, side, free)
	switch {
	case r.Utilisation > 1+1e-9:
		r.Verdict = check.Fail
		n := int(math.Max(math.Ceil(in.AreaM2/area-1e-9), math.Ceil(in.LongestM/side-1e-9)))
		r.Remedies = []check.Remedy{
			{Text: fmt.Sprintf(
				"part the largest field into %d with movement joints (raised rolls or flexible insets), at changes of deck direction and at the "+
					"building's own joints", n), Field: "movement_joints"}}
		if in.Dark && in.AreaM2 <= set.LargestField.Value && in.LongestM <= longestSideM {
			r.Remedies = append(r.Remedies, check.Remedy{Text: "or choose a light colour: it runs 15 to 20 K cooler",
				Field: "spec.top_coat.colour", Value: "light grey"})
		}
		r.CallFor = "the resin supplier's technical desk: the system's own limits come first"
	case in.ReentrantCorners > 0:
		r.Verdict = check.Caution
		corners := "one re-entrant corner"
		if in.ReentrantCorners > 1 {
			corners = fmt.Sprintf("%d re-entrant corners", in.ReentrantCorners)
		}
		r.Finding += "; " + corners + ": double the mat 300 mm each way or put a joint there"
	default:
		r.Verdict = check.Pass
	}
	return r
}

// The face of a board that holds the laminate: its planar shear modulus (N/mm², EN 12369-1)
// and the depth that shears (mm), an estimate.
const (
	faceShearN  = 50
	faceDepthMM = 3
)

// CheckBoardJoints returns the verdict on the strain that boards put into the
// laminate over their joints. The movement is spread over the gap and the shear lag ℓ
// to each side, ℓ = √(E·t·d/Gb), in which the laminate drags the board's face along;
// a bandage adds thickness, and so length, there.
func CheckBoardJoints(in Input) check.Result {
	source := working.Source{Title: "strain at board joints, shear-lag estimate", Standing: working.CommonPractice}
	r := check.Result{Key: "movement.board-joints", Title: "Will it crack along the board joints?", Clause: source}
	open := jointOpening.Figure("opening of a board joint over the years", "mm",
		working.Source{Title: "movement of boards", Standing: working.Derived},
		working.From(in.From, "B", "board dimension across the joint", in.BoardM, "m", "spec.board.width_m"),
		working.Constant("β", "movement of OSB per cent of moisture", boardMoisture, "10⁻⁴",
			working.Source{Title: "OSB in plane, 0.02 to 0.03 % for each per cent", Standing: working.Remembered}),
		working.Constant("k", "part of the movement that screws let through", heldShare, "",
			working.Source{Title: "boards screwed every 150 mm, an assumption", Standing: working.CommonPractice}),
		working.Constant("ΔM", "change of moisture", in.MoistureChange, "%",
			working.Source{Title: "a deck between a dry summer and a damp winter", Standing: working.CommonPractice}))
	// Shear lag: the laminate (E·t) is held by the board's face layer of modulus Gb over
	// a depth d of about 3 mm; its stretch dies out over ℓ = √(E·t·d/Gb).
	strainOf := func(name string, t *working.Figure) *working.Figure {
		return jointStrain.Figure(name, "%", source, open, working.From(in.From, "g", "gap", in.GapMM, "mm", "spec.board.gap_mm"), t,
			working.Constant("E", "modulus of the laminate", in.ModulusN, "N/mm²",
				working.Source{Title: "laminate of mat", Standing: working.CommonPractice}),
			working.Constant("d", "depth of the board's face that shears", faceDepthMM, "mm", source),
			working.Constant("Gb", "planar shear modulus of the board", faceShearN, "N/mm²",
				working.Source{Title: "EN 12369-1", Clause: "planar shear", Standing: working.Remembered}))
	}
	laminate := working.Measured("tl", "thickness of the laminate", in.ThicknessMM, "mm", "laminate of the deck")
	without := strainOf("strain of the laminate over a joint without bandage", laminate.As("t"))
	f := without
	if in.BandageMM > 0 {
		f = strainOf("strain of the laminate over a board joint", overJoint.Figure("laminate with bandage", "mm",
			working.Source{Title: "layers on each other", Standing: working.Derived}, laminate,
			working.Constant("tb", "thickness of the bandage", in.BandageThicknessMM, "mm", source)))
	}
	f.Keyed("check.movement.strain")
	use := strainUsed.Figure("strain over that at first cracking", "", source, f,
		working.Constant("εc", "strain at which the laminate first cracks", 100*in.CrackStrain, "%", source)).Keyed("check.movement.cracking")
	r.Working = []*working.Figure{f, use}
	if f != without {
		r.Working = append(r.Working, without)
	}
	r.Utilisation = use.Value
	opening, strain, plain := open.Value, f.Value/100, without.Value/100
	r.Finding = fmt.Sprintf("a joint opens by about %.2f mm; strain %.2f %% with the bandage, %.2f %% without, cracking near %.1f %%",
		opening, strain*100, plain*100, in.CrackStrain*100)
	r.Flags = append(r.Flags, "an estimate to compare build-ups, not a design strength")
	switch {
	case strain > in.CrackStrain:
		r.Verdict = check.Fail
		r.Remedies = []check.Remedy{
			{Text: "use tongue-and-groove boards glued, smaller boards, drier boards at laying, or a second layer of mat",
				Field: "spec.board.tongue_and_groove", Value: "true"}}
	case in.BandageMM < 75:
		r.Verdict = check.Fail
		r.Utilisation = math.Max(r.Utilisation, 1.01)
		r.Remedies = []check.Remedy{{Text: "bandage every square-edged joint, 75 mm wide", Field: "spec.bandage_mm", Value: "75"}}
	case strain > 0.7*in.CrackStrain:
		r.Verdict = check.Caution
	default:
		r.Verdict = check.Pass
	}
	return r
}
