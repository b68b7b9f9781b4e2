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
}

const (
	gammaG = 1.35
	gammaQ = 1.5
)

func ec5(clause string) working.Source {
	return working.Source{Title: "EN 1995-1-1:2004", Clause: clause, Standing: working.Published}
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
	u, name := a.Governing()
	r.Utilisation = u
	strength := working.Calc("fm,d", "design bending strength of the board", a.LimitN, "N/mm²", "fm,d = kmod·fm,k/γM", ec5("2.4.1"),
		working.Constant("fm,k", "bending strength of "+p.Name, p.BendAlong, "N/mm²", working.Source{Title: "EN 12369-1", Clause: "board along its length", Standing: working.Published}),
		working.Constant("kmod", "duration factor", pick(l.Short, p.KmodShort, p.KmodMedium), "", working.Source{Title: "EN 1995-1-1:2004", Clause: "table 3.1, service class 2", Standing: p.StandingKmod}),
		set.PanelFactor.Figure("γM"))
	span := working.GivenFigure("L", "joist spacing", spanMM, "mm", "roof file")
	load := working.Calc("wd", "design load", a.DesignLoadKPa, "kN/m²", "wd = 1.35·g + 1.5·q", working.Source{Title: "EN 1990:2002", Clause: "eq. 6.10", Standing: working.Published},
		working.GivenFigure("g", "weight of the build-up", l.DeadKPa, "kN/m²", "specification"), working.GivenFigure("q", "snow or imposed load", l.VariableKPa, "kN/m²", "snow and use"))
	foot := working.Calc("σ", "bending stress under a foot", a.PointStressN, "N/mm²", "σ = (1.5·Q·L/4/b + 1.35·g·L²/8)/W, b = 0.6 m", working.Source{Title: "engineering assumption of the width that a foot bends", Standing: working.CommonPractice}, span,
		working.GivenFigure("Q", "concentrated load", l.PointKN, "kN", "use"))
	r.Working = []*working.Figure{
		working.Calc("u", "utilisation of the boards", u, "", "the greatest of bending and deflection: "+name, ec5("6.1.6, 7.2"), foot,
			working.Calc("σ", "bending stress under the spread load", a.StressN, "N/mm²", "σ = wd·L²/8/W", ec5("6.1.6"), load, span),
			strength,
			working.Calc("uQ", "deflection under a foot", a.PointMM, "mm", "u = Q·L³/(48·E·I), limit L/150", working.Source{Title: "common limit under a foot", Standing: working.CommonPractice}, span),
			working.Calc("ufin", "final deflection", a.FinalMM, "mm", "u = 5·L⁴/(384·E·I)·(g·(1 + kdef) + q·(1 + ψ2·kdef)), limit L/250", ec5("7.2"), load, span)).Keyed("check.deck.boards")}
	r.Finding = fmt.Sprintf("%g mm %s on %g mm centres is used to %.0f %% (%s)", thicknessMM, material, spanMM, 100*u, name)
	r.Flags = append(r.Flags, "duration factors of boards are from memory, to be confirmed", "the width of board that a foot bends is an engineering assumption")
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
					r.Remedies = append(r.Remedies, check.Remedy{Text: fmt.Sprintf("use %g mm boards", t), Field: "spec.board.thickness_mm", Value: fmt.Sprint(t)})
					break
				}
			}
		}
	}
	if s := AllowedSpan(p, thicknessMM, l, set); s > 0 {
		r.Remedies = append(r.Remedies, check.Remedy{Text: fmt.Sprintf("add joists or noggins so that boards span no more than %g mm", s), Field: "base.joist_spacing_mm", Value: fmt.Sprint(s)})
	}
	return r, nil
}

func pick(short bool, a, b float64) float64 {
	if short {
		return a
	}
	return b
}
