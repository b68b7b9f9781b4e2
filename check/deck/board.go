package deck

import (
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/elementary"
	"gelwright/working"
)

// Loads on the deck, characteristic.
type Loads struct {
	DeadKPa     float64 // coverings, insulation, boards
	VariableKPa float64 // the greater of snow and imposed load
	PointKN     float64 // a man's foot, or the balcony's concentrated load
	// Short is true where the variable load is snow or maintenance (short-term),
	// false for a balcony (medium-term).
	Short bool
	// Psi2 is the quasi-permanent part: 0 for roofs, 0.3 for a balcony.
	Psi2 float64
	// From knows which sizes of board and joist somebody has written, and Base where in the
	// roof file the deck's base stands.
	From working.Giver
	Base string
	// ExceptionalKPa is the snow of the accidental design situation; 0 where there is none.
	ExceptionalKPa float64
}

const (
	gammaG = 1.35
	gammaQ = 1.5
)

func ec5(clause string) working.Source {
	return working.Source{Title: "EN 1995-1-1:2004", Clause: clause, Standing: working.Quoted}
}

// BoardAnswer is what a board does between two joists.
type BoardAnswer struct {
	DesignLoadKPa   float64 // w_d
	MomentNmmPerM   float64
	StressN, LimitN float64
	FinalMM         float64 // under the spread load, with creep
	PointStressN    float64
	PointMM         float64
	Bending, Point  float64 // utilisations
	Deflection      float64
	Exceptional     float64 // in bending under exceptional snow
}

// Deflection limits, span over n, after IStructE guidance: 250 for the final
// deflection under a brittle finish, 150 where nothing brittle is marked by a passing
// foot.
const (
	boardFinalN = 250
	boardPointN = 150
)

// Board checks a board of thicknessMM, its strong way across the joists, on a span
// of spanMM: 1 m strip, simply supported. A concentrated load acts on an effective
// width of 600 mm, an engineering assumption (EN 12871 is the test route).
func Board(p Panel, thicknessMM, spanMM float64, l Loads, set country.Set, weakAxis bool) (BoardAnswer, error) {
	if !(spanMM > 0 && spanMM <= 3000) {
		return BoardAnswer{}, fmt.Errorf("board span %g mm is outside 0 to 3000 mm: give the joist spacing", spanMM)
	}
	kmod := p.KmodMedium
	if l.Short {
		kmod = p.KmodShort
	}
	bend, e := p.BendAlong, p.EAlong
	if weakAxis {
		bend, e = p.BendAcross, p.EAcross
	}
	section := 1000 * thicknessMM * thicknessMM / 6       // mm³ per m
	inertia := 1000 * elementary.Pow(thicknessMM, 3) / 12 // mm⁴ per m
	limit := kmod * bend / set.PanelFactor.Value
	wd := gammaG*l.DeadKPa + gammaQ*l.VariableKPa // kN/m² = N/mm per m
	a := BoardAnswer{DesignLoadKPa: wd, LimitN: limit}
	a.MomentNmmPerM = wd * spanMM * spanMM / 8
	a.StressN = a.MomentNmmPerM / section
	a.Bending = a.StressN / limit
	if l.ExceptionalKPa > 0 {
		kmod := pick(l.Short, p.KmodShort, p.KmodMedium)
		a.Exceptional = a.Bending * (l.DeadKPa + l.ExceptionalKPa) / wd * kmod / set.PanelFactor.Value / p.KmodShort // γA is 1
	}
	five := 5 * elementary.Pow(spanMM, 4) / (384 * e * inertia)
	a.FinalMM = five * (l.DeadKPa*(1+p.Kdef) + l.VariableKPa*(1+l.Psi2*p.Kdef))
	strip := p.PointWidthMM / 1000
	a.PointStressN = (gammaQ*l.PointKN*1000*spanMM/4/strip + gammaG*l.DeadKPa*spanMM*spanMM/8) / section
	a.Point = a.PointStressN / limit
	a.PointMM = l.PointKN * 1000 * elementary.Pow(spanMM, 3) / (48 * e * inertia * strip)
	a.Deflection = math.Max(a.FinalMM*boardFinalN, a.PointMM*boardPointN) / spanMM
	return a, nil
}

// Governing returns the greatest utilisation and its name.
func (a BoardAnswer) Governing() (float64, string) {
	worst, name := a.Bending, "bending under the spread load"
	if a.Point > worst {
		worst, name = a.Point, "bending under a foot"
	}
	if a.Deflection > worst {
		worst, name = a.Deflection, "deflection"
	}
	if a.Exceptional > worst {
		worst, name = a.Exceptional, underDrift
	}
	return worst, name
}

// The search for a board's span, mm: between these, until no more than the tolerance is open.
const (
	leastBoardSpanMM     = 50.0
	mostBoardSpanMM      = 1500.0
	boardSpanToleranceMM = 0.5
)

// AllowedSpan returns the greatest joist spacing, mm to the whole 5 mm below, that the
// board allows, found by bisection: all utilisations grow with the span.
func AllowedSpan(p Panel, thicknessMM float64, l Loads, set country.Set) float64 {
	low, high := leastBoardSpanMM, mostBoardSpanMM
	for high-low > boardSpanToleranceMM {
		mid := (low + high) / 2
		a, err := Board(p, thicknessMM, mid, l, set, false)
		if err != nil {
			return 0
		}
		if u, _ := a.Governing(); u <= 1 {
			low = mid
		} else {
			high = mid
		}
	}
	return 5 * math.Floor(low/5)
}

// The formulas of a board and of a joist. A line load in kN/m is one in N/mm.
var (
	sectionOfStrip = working.MustFormula("W = 1000·t²/6")
	inertiaOfStrip = working.MustFormula("I = 1000·t³/12")
	boardStrength  = working.MustFormula("fm,d = kmod·fm,k/γM")
	boardLoad      = working.MustFormula("wd = γG·g + γQ·q")
	boardStress    = working.MustFormula("σ = wd·L²/8/W")
	footStress     = working.MustFormula("σQ = (γQ·1000·Q·L/4/b + γG·g·L²/8)/W")
	footDeflection = working.MustFormula("uQ = 1000·Q·L³/(48·E·I·b)")
	boardFinal     = working.MustFormula("ufin = 5·L⁴/(384·E·I)·(g·(1 + kdef) + q·(1 + ψ2·kdef))")
	boardUse       = working.MustFormula("u = max(σ/fm,d, σQ/fm,d, 250ufin/L, 150uQ/L)")
	boardUseDrift  = working.MustFormula("u = max(σ/fm,d, σQ/fm,d, 250ufin/L, 150uQ/L, ue)")
	boardDrift     = working.MustFormula("ue = σ/fm,d·(g + qA)/wd·kmod/γM/kA·γA")
)

// partial are the partial factors of loads (EN 1990 table A1.2(B)).
func partial() (g, q *working.Figure) {
	source := working.Source{Title: "EN 1990:2002", Clause: "table A1.2(B)", Standing: working.Quoted}
	return working.Constant("γG", "partial factor of weight", gammaG, "", source),
		working.Constant("γQ", "partial factor of variable load", gammaQ, "", source)
}

// boardWorking is the use of a board with all that leads to it; governs names what decides.
func boardWorking(p Panel, thicknessMM, spanMM float64, l Loads, set country.Set, governs string) *working.Figure {
	board := working.Source{Title: "EN 12369-1", Clause: "board along its length", Standing: working.Quoted}
	span := working.From(l.From, "L", "joist spacing", spanMM, "mm", l.Base+".joist_spacing_mm")
	t := working.From(l.From, "t", "thickness of the board", thicknessMM, "mm", "spec.board.thickness_mm")
	γG, γQ := partial()
	g := working.Measured("g", "weight of the build-up", l.DeadKPa, "kN/m²", "specified layers, thickness by density")
	q := working.Measured("q", "snow or imposed load", l.VariableKPa, "kN/m²", "checks of snow and use")
	point := working.Measured("Q", "concentrated load", l.PointKN, "kN", "use of the roof")
	width := working.Constant("b", "width of board that a foot bends", p.PointWidthMM/1000, "m",
		working.Source{Title: "engineering assumption", Standing: working.CommonPractice})
	section := sectionOfStrip.Figure("section modulus of a strip of 1 m", "mm³", ec5("6.1.6"), t)
	inertia := inertiaOfStrip.Figure("second moment of a strip of 1 m", "mm⁴", ec5("7.2"), t)
	e := working.Constant("E", "modulus of "+p.Name, p.EAlong, "N/mm²", board)
	kmod := working.Constant("kmod", "duration factor of the board", pick(l.Short, p.KmodShort, p.KmodMedium), "",
		working.Source{Title: "EN 1995-1-1:2004", Clause: "table 3.1, service class 2", Standing: p.StandingKmod})
	strength := boardStrength.Figure("design bending strength of the board", "N/mm²", ec5("2.4.1"),
		working.Constant("fm,k", "bending strength of "+p.Name, p.BendAlong, "N/mm²", board), kmod, set.PanelFactor.Figure("γM"))
	load := boardLoad.Figure("design load", "kN/m²", working.Source{Title: "EN 1990:2002", Clause: "eq. 6.10",
		Standing: working.Quoted}, γG, g, γQ, q)
	stress := boardStress.Figure("bending stress under the spread load", "N/mm²", ec5("6.1.6"), load, span, section)
	foot := footStress.Figure("bending stress under a foot", "N/mm²", ec5("6.1.6"), γQ, point, span, width, γG, g, section)
	bent := footDeflection.Figure("deflection under a foot", "mm",
		working.Source{Title: "common limit under a foot, L/150", Standing: working.CommonPractice}, point, span, e, inertia, width)
	final := boardFinal.Figure("final deflection", "mm", ec5("7.2, limit L/250"), span, e, inertia, g,
		working.Constant("kdef", "creep of the board", p.Kdef, "",
			working.Source{Title: "EN 1995-1-1:2004", Clause: "table 3.2, service class 2", Standing: p.StandingDef}), q,
		working.Constant("ψ2", "lasting part of the variable load", l.Psi2, "",
			working.Source{Title: "EN 1990:2002", Clause: "table A1.1", Standing: working.Quoted}))
	uses := []*working.Figure{stress, foot, strength, final, bent, span}
	formula := boardUse
	if l.ExceptionalKPa > 0 {
		formula = boardUseDrift
		uses = append(uses, boardDrift.Figure("use under exceptional snow", "", eq611, stress, strength, g, l.exceptional(), load, kmod,
			set.PanelFactor.Figure("γM"), lasting("boards", p.KmodShort, p.StandingKmod), accidentalFactor()))
	}
	return formula.Figure("utilisation of the boards", "", ec5("6.1.6, 7.2"), uses...).
		Noting("decided by " + governs).Keyed("check.deck.boards")
}

// CheckBoard returns the verdict on the boards.
func CheckBoard(material string, thicknessMM, spanMM float64, l Loads, set country.Set) (check.Result, error) {
	r := check.Result{Key: "deck.boards", Title: "Will the boards bounce or break between the joists?", Clause: ec5("6.1.6, 7.2")}
	p, err := PanelOf(material, thicknessMM)
	if err != nil {
		return r, err
	}
	a, err := Board(p, thicknessMM, spanMM, l, set, false)
	if err != nil {
		return r, err
	}
	_, name := a.Governing()
	use := boardWorking(p, thicknessMM, spanMM, l, set, name)
	u := use.Value
	r.Utilisation, r.Working = u, []*working.Figure{use}
	r.Finding = fmt.Sprintf("%g mm %s on %g mm centres is used to %.0f %% (%s)", thicknessMM, material, spanMM, 100*u, name)
	r.Flags = append(r.Flags, "duration factors of boards are from memory, to be confirmed",
		"the width of board that a foot bends is an engineering assumption")
	if u <= 1 {
		r.Verdict = check.Pass
		return r, nil
	}
	r.Verdict = check.Fail
	for _, t := range []float64{18, 22, 25} {
		if t <= thicknessMM {
			continue
		}
		if q, err := PanelOf(material, t); err == nil {
			if b, err := Board(q, t, spanMM, l, set, false); err == nil {
				if v, _ := b.Governing(); v <= 1 {
					r.Remedies = append(r.Remedies, check.Remedy{Text: fmt.Sprintf("use %g mm boards", t), Field: "spec.board.thickness_mm",
						Value: fmt.Sprint(t)})
					break
				}
			}
		}
	}
	if s := AllowedSpan(p, thicknessMM, l, set); s > 0 {
		r.Remedies = append(r.Remedies, check.Remedy{Text: fmt.Sprintf("add joists or noggins so that boards span no more than %g mm", s),
			Field: "base.joist_spacing_mm", Value: fmt.Sprint(s)})
	}
	return r, nil
}

func pick(short bool, a, b float64) float64 {
	if short {
		return a
	}
	return b
}
