package deck

import (
	"fmt"

	"gelwright/check/country"
	"gelwright/working"
)

var (
	joistSpan      = working.MustFormula("L = lc + l")
	joistSection   = working.MustFormula("W = b·h²/6")
	joistInertia   = working.MustFormula("I = b·h³/12")
	joistSelf      = working.MustFormula("gs = b·h·10⁻⁶·ρ·9.81/1000")
	joistDead      = working.MustFormula("gl = g·s/1000 + gs")
	joistVariable  = working.MustFormula("ql = q·s/1000")
	joistLoad      = working.MustFormula("wd = γG·gl + γQ·ql")
	joistMoment    = working.MustFormula("Md = wd·L²/8/10⁶")
	joistStress    = working.MustFormula("σ = Md·10⁶/W")
	joistPoint     = working.MustFormula("σQ = (γQ·1000·Q·L/4 + γG·gl·L²/8)/W")
	solidDepth     = working.MustFormula("kh = min((150/h)^0.2, 1.3) where h < 150, else 1")
	laminatedDepth = working.MustFormula("kh = min((600/h)^0.1, 1.1) where h < 600, else 1")
	joistStrength  = working.MustFormula("fm,d = kmod·kh·ksys·fm,k/γM")
	joistShear     = working.MustFormula("V = wd·L/2")
	shearStrength  = working.MustFormula("fv,d = kmod·ksys·fv,k/γM")
	shearUse       = working.MustFormula("v = 1.5·V/(kcr·b·h)/fv,d")
	bearingLength  = working.MustFormula("lef = l + min(30, l)")
	crushStrength  = working.MustFormula("fc,d = kmod·fc,k/γM")
	bearingUse     = working.MustFormula("c = V/(b·lef)/fc,d")
	joistInstant   = working.MustFormula("uinst = (5·L⁴/(384·E·I) + 1.2·L²/(8·G·b·h))·(gl + ql)")
	joistFinal     = working.MustFormula("ufin = (5·L⁴/(384·E·I) + 1.2·L²/(8·G·b·h))·(gl·(1 + kdef) + ql·(1 + ψ2·kdef))")
	joistPointBend = working.MustFormula("uQ = 1000·Q·L³/(48·E·I) + 5·L⁴/(384·E·I)·gl")
	joistDrift     = working.MustFormula("ue = max(σ/fm,d, v, c)·(gl + lA)/wd·kmod/γM/kA·γA")
	driftLine      = working.MustFormula("lA = qA·s/1000")
	joistUseDrift  = working.MustFormula("u = max(σ/fm,d, v, c, uinst/(0.003·L), 250ufin/L, σQ/fm,d, uQ/(0.003·L), ue)")
	joistUse       = working.MustFormula("u = max(σ/fm,d, v, c, uinst/(0.003·L), 250ufin/L, σQ/fm,d, uQ/(0.003·L))")
)

// fields of the roof file that hold the measures of a joist, by symbol.
var fields = map[string]string{"lc": "joist_span_m", "b": "joist_width_mm", "h": "joist_depth_mm", "s": "joist_spacing_mm"}

// input is a measure of the joist, mm: of the roof file, or assumed where nobody took it.
func (j Joist) input(l Loads, symbol, name string, mm float64) *working.Figure {
	if why, guessed := j.Guessed[symbol]; guessed {
		return working.AssumedFigure(symbol, name, mm, "mm", why)
	}
	return working.From(l.From, symbol, name, mm, "mm", l.Base+"."+fields[symbol])
}

// working is the use of the joist with all that leads to it; governs names what decides.
func (j Joist) working(l Loads, set country.Set, governs string) (*working.Figure, error) {
	t, err := TimberOf(j.Class)
	if err != nil {
		return nil, err
	}
	book := "EN 338"
	if t.Laminated {
		book = "EN 14080"
	}
	class := func(symbol, name string, v float64, unit string) *working.Figure {
		source := working.Source{Title: book, Clause: j.Class, Standing: t.Standing}
		if symbol == "fv,k" {
			source.Standing = t.ShearStanding
		}
		return working.Constant(symbol, name+" of "+j.Class, v, unit, source)
	}
	derived := working.Source{Title: "a beam on two bearings", Standing: working.Derived}
	bearing := working.Measured("l", "bearing", j.bearingMM(), "mm", "bearing asked for")
	if j.BearingMM == 0 {
		bearing = working.AssumedFigure("l", "bearing", usualBearingMM, "mm", "the usual bearing; the roof file does not say")
	}
	span := joistSpan.Figure("span from middle to middle of the bearings", "mm", derived,
		j.input(l, "lc", "clear span of a joist", j.ClearMM), bearing)
	b, h := j.input(l, "b", "width of a joist", j.WidthMM), j.input(l, "h", "depth of a joist", j.DepthMM)
	spacing := j.input(l, "s", "joist spacing", j.SpacingMM)
	γG, γQ := partial()
	γM, kmod := t.partialFactor(set), working.Constant("kmod", "duration factor", timberKmod(l), "",
		ec5("table 3.1, service class 2"))
	ksys := working.Constant("ksys", "factor of joists that share their load", systemFactor, "", ec5("6.6"))
	e, g := class("E", "mean modulus", t.MeanE, "N/mm²"), class("G", "mean shear modulus", t.MeanG, "N/mm²")
	section := joistSection.Figure("section modulus", "mm³", derived, b, h)
	inertia := joistInertia.Figure("second moment of area", "mm⁴", derived, b, h)

	self := joistSelf.Figure("a joist's own weight", "kN/m", derived, b, h, class("ρ", "mean density", t.DensityMean, "kg/m³"))
	dead := joistDead.Figure("weight on a joist", "kN/m", derived,
		working.Measured("g", "weight of the build-up", l.DeadKPa, "kN/m²", "specified layers, thickness by density"), spacing, self)
	variable := joistVariable.Figure("snow or imposed load on a joist", "kN/m", derived,
		working.Measured("q", "snow or imposed load", l.VariableKPa, "kN/m²", "checks of snow and use"), spacing)
	point := working.Measured("Q", "concentrated load", l.PointKN, "kN", "use of the roof")
	load := joistLoad.Figure("design load on a joist", "kN/m", working.Source{Title: "EN 1990:2002", Clause: "eq. 6.10",
		Standing: working.Quoted}, γG, dead, γQ, variable)

	strength := joistStrength.Figure("design bending strength", "N/mm²", ec5("2.4.1, 3.2, 6.6"), kmod,
		t.depthFactor(h), ksys, class("fm,k", "bending strength", t.BendN, "N/mm²"), γM)
	stress := joistStress.Figure("bending stress", "N/mm²", ec5("6.1.6"), joistMoment.Figure("design moment", "kNm", derived, load, span),
		section)
	underMan := joistPoint.Figure("bending stress under one man", "N/mm²", ec5("6.1.6"), γQ, point, span, γG, dead, section)
	shear := joistShear.Figure("shear force", "N", derived, load, span)
	sheared := shearUse.Figure("shear utilisation", "", ec5("6.1.7"), shear,
		class("kcr", "part of the width that cracks leave", t.CrackFactor, ""), b, h,
		shearStrength.Figure("design shear strength", "N/mm²", ec5("2.4.1, 6.6"), kmod, ksys,
			class("fv,k", "shear strength", t.ShearN, "N/mm²"), γM))
	crushed := bearingUse.Figure("bearing utilisation", "", ec5("6.1.5"), shear, b,
		bearingLength.Figure("effective length of bearing", "mm", ec5("6.1.5"), bearing),
		crushStrength.Figure("design strength across the grain", "N/mm²", ec5("2.4.1"), kmod,
			class("fc,k", "strength across the grain", t.CrushN, "N/mm²"), γM))
	instant := joistInstant.Figure("deflection at once", "mm", ec5("7.2, limit 0.003·L"), span, e, inertia, g, b, h, dead, variable)
	final := joistFinal.Figure("final deflection", "mm", ec5("7.2, limit L/250"), span, e, inertia, g, b, h, dead,
		working.Constant("kdef", "creep of the timber", timberKdef, "", ec5("table 3.2, service class 2")), variable,
		working.Constant("ψ2", "lasting part of the variable load", l.Psi2, "",
			working.Source{Title: "EN 1990:2002", Clause: "table A1.1", Standing: working.Quoted}))
	bent := joistPointBend.Figure("deflection under one man", "mm", ec5("7.2, limit 0.003·L"), point, span, e, inertia, dead)
	uses, formula := []*working.Figure{stress, strength, sheared, crushed, instant, span, final, underMan, bent}, joistUse
	if l.ExceptionalKPa > 0 {
		formula = joistUseDrift
		uses = append(uses, joistDrift.Figure("use under exceptional snow", "", eq611, stress, strength, sheared, crushed, dead,
			driftLine.Figure("exceptional snow on a joist", "kN/m", derived, l.exceptional(), spacing), load, kmod, γM,
			lasting("joists", shortKmod, working.Quoted), accidentalFactor()))
	}
	return formula.Figure("utilisation of the joists", "", ec5("6.1, 7.2"), uses...).
		Noting("decided by " + governs).Keyed("check.deck.joists"), nil
}

var longestClear = working.Method("lc",
	"the longest clear span, to the whole 10 mm below, at which the check of the joists uses no more than all of them, by bisection")

// spanWorking is the longest clear span of a section with what it follows from.
func (j Joist) spanWorking(clearMM float64, l Loads, set country.Set) (*working.Figure, error) {
	t, err := TimberOf(j.Class)
	if err != nil {
		return nil, err
	}
	book := working.Source{Title: "EN 338", Clause: j.Class, Standing: t.Standing}
	practice := working.Source{Title: "house practice for floors", Clause: "0.003·L", Standing: working.CommonPractice}
	section := working.Source{Title: "section of the table", Standing: working.Derived}
	return longestClear.Run(fmt.Sprintf("longest clear span of %g × %g mm at %g mm", j.WidthMM, j.DepthMM, j.SpacingMM), clearMM/1000, "m",
		ec5("6.1, 7.2"), working.Constant("b", "width of a joist", j.WidthMM, "mm", section),
		working.Constant("h", "depth of a joist", j.DepthMM, "mm", section),
		working.Constant("s", "joist spacing", j.SpacingMM, "mm", section),
		working.Constant("l", "bearing", j.bearingMM(), "mm", working.Source{Title: "the usual bearing", Standing: working.CommonPractice}),
		working.Measured("g", "weight of the build-up", l.DeadKPa, "kN/m²", "specified layers, thickness by density"),
		working.Measured("q", "snow or imposed load", l.VariableKPa, "kN/m²", "checks of snow and use"),
		working.Measured("Q", "concentrated load", l.PointKN, "kN", "use of the roof"),
		working.Constant("fm,k", "bending strength of "+j.Class, t.BendN, "N/mm²", book),
		working.Constant("E", "mean modulus of "+j.Class, t.MeanE, "N/mm²", book), t.partialFactor(set),
		working.Constant("kmod", "duration factor", timberKmod(l), "", ec5("table 3.1, service class 2")),
		working.Constant("uL", "deflection at once over the span", joistInstantRatio, "", practice)).
		Keyed(SpanKey(j.WidthMM, j.DepthMM, j.SpacingMM)), nil
}
