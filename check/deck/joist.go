package deck

import (
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/elementary"
	"gelwright/working"
)

// Joist is a solid timber joist on two bearings.
type Joist struct {
	WidthMM, DepthMM float64
	// ClearMM is the clear span, from face to face of the bearings; the joist works over
	// SpanMM, from middle to middle.
	ClearMM   float64
	SpacingMM float64
	BearingMM float64 // length of each bearing; 0 takes 45
	Class     string
	// Guessed are the inputs that nobody has measured, by symbol (lc, b, h, s), and why each was taken so.
	Guessed map[string]string
}

// SpanMM is the span of the calculation, mm: from middle to middle of the bearings, so the
// clear span and half a bearing at each end.
func (j Joist) SpanMM() float64 { return j.ClearMM + j.bearingMM() }

// JoistAnswer is what a joist does.
type JoistAnswer struct {
	MomentKNm, StressN, LimitN float64
	InstantMM, FinalMM         float64
	PointMM, PointStressN      float64
	Bending, Shear, Bearing    float64
	Point, PointDeflection     float64
	Deflection                 float64
	Exceptional                float64 // strength under exceptional snow
	SelfKNPerM                 float64
}

// joistInstantRatio is the deflection limit 0.003·L of house practice
// (NHBC standards 6.4.9 for floors; used for roofs in want of a stricter text).
const joistInstantRatio = 0.003

// systemFactor ksys for load-sharing members (EN 1995-1-1 6.6).
const systemFactor = 1.1

// Spans that are answered, mm; no joist of a flat roof is asked about beyond them.
const (
	leastJoistSpanMM = 200.0
	mostJoistSpanMM  = 12000.0
)

// The search for what a joist carries, kN/m²: up to the most, until no more than the tolerance is open.
const (
	mostCapacityKPa      = 20.0
	capacityToleranceKPa = 1e-3
)

// Solve checks one joist: service class 2, load sharing, no notches. A concentrated
// load acts on one joist alone.
func (j Joist) Solve(l Loads, set country.Set) (JoistAnswer, error) {
	t, err := TimberOf(j.Class)
	if err != nil {
		return JoistAnswer{}, err
	}
	for _, v := range []struct {
		name      string
		v, lo, hi float64
	}{{"width", j.WidthMM, 20, 300}, {"depth", j.DepthMM, 40, 600}, {"spacing", j.SpacingMM, 100, 1200},
		{"clear span", j.ClearMM, leastJoistSpanMM, mostJoistSpanMM}} {
		if !(v.v >= v.lo && v.v <= v.hi) {
			return JoistAnswer{}, fmt.Errorf("joist %s %g mm is outside %g to %g mm", v.name, v.v, v.lo, v.hi)
		}
	}
	b, h, span := j.WidthMM, j.DepthMM, j.SpanMM()
	section, inertia := b*h*h/6, b*h*h*h/12
	self := b * h * 1e-6 * t.DensityMean * 9.81 / 1000 // kN/m
	g := l.DeadKPa*j.SpacingMM/1000 + self             // kN/m = N/mm
	q := l.VariableKPa * j.SpacingMM / 1000
	kmod, kdef := timberKmod(l), timberKdef
	kh := t.depthFactor(working.Measured("h", "depth", h, "mm", "")).Value
	a := JoistAnswer{SelfKNPerM: self}
	gm := t.partialFactor(set).Value
	a.LimitN = kmod * kh * systemFactor * t.BendN / gm
	wd := gammaG*g + gammaQ*q
	a.MomentKNm = wd * span * span / 8 / 1e6
	a.StressN = a.MomentKNm * 1e6 / section
	a.Bending = a.StressN / a.LimitN
	v := wd * span / 2
	a.Shear = 1.5 * v / (t.CrackFactor * b * h) / (kmod * systemFactor * t.ShearN / gm)
	bearing := j.bearingMM()
	// Effective length: 30 mm more on the inner side (EN 1995-1-1 6.1.5), kc,90 = 1.
	a.Bearing = v / (b * (bearing + math.Min(30, bearing))) / (kmod * t.CrushN / gm)
	if l.ExceptionalKPa > 0 {
		a.Exceptional = exceptionalUse(a, g+l.ExceptionalKPa*j.SpacingMM/1000, wd, kmod, gm)
	}
	five := 5 * elementary.Pow(span, 4) / (384 * t.MeanE * inertia)
	// Bending and shear: 5wL⁴/384EI + 1.2wL²/8GA.
	spread := five + 1.2*span*span/(8*t.MeanG*b*h)
	a.InstantMM = spread * (g + q)
	a.FinalMM = spread * (g*(1+kdef) + q*(1+l.Psi2*kdef))
	a.Deflection = math.Max(a.InstantMM/(joistInstantRatio*span), a.FinalMM*boardFinalN/span)
	p := l.PointKN * 1000
	a.PointMM = p*elementary.Pow(span, 3)/(48*t.MeanE*inertia) + five*g
	a.PointStressN = (gammaQ*p*span/4 + gammaG*g*span*span/8) / section
	a.Point = a.PointStressN / a.LimitN
	a.PointDeflection = a.PointMM / (joistInstantRatio * span)
	return a, nil
}

// Governing returns the greatest utilisation and its name.
func (a JoistAnswer) Governing() (float64, string) {
	worst, name := 0.0, ""
	for _, c := range []struct {
		u    float64
		name string
	}{{a.Bending, "bending"}, {a.Shear, "shear"}, {a.Bearing, "bearing"}, {a.Deflection, "deflection"}, {a.Point, "bending under one man"},
		{a.PointDeflection, "deflection under one man"}, {a.Exceptional, underDrift}} {
		if c.u > worst {
			worst, name = c.u, c.name
		}
	}
	return worst, name
}

// AllowedClear returns the longest clear span, mm to the whole 10 mm below, that the joist allows.
func (j Joist) AllowedClear(l Loads, set country.Set) (float64, error) {
	low, high := leastJoistSpanMM, mostJoistSpanMM
	for high-low > 1 {
		j.ClearMM = (low + high) / 2
		a, err := j.Solve(l, set)
		if err != nil {
			return 0, err
		}
		if u, _ := a.Governing(); u <= 1 {
			low = j.ClearMM
		} else {
			high = j.ClearMM
		}
	}
	return 10 * math.Floor(low/10), nil
}

// VariableCapacity returns the spread variable load, kN/m², at which the joist is just used up.
func (j Joist) VariableCapacity(l Loads, set country.Set) (float64, error) {
	low, high := 0.0, mostCapacityKPa
	l.PointKN, l.ExceptionalKPa = 0, 0
	for high-low > capacityToleranceKPa {
		l.VariableKPa = (low + high) / 2
		a, err := j.Solve(l, set)
		if err != nil {
			return 0, err
		}
		if u, _ := a.Governing(); u <= 1 {
			low = l.VariableKPa
		} else {
			high = l.VariableKPa
		}
	}
	return low, nil
}

// SpanRow is one line of a span table.
type SpanRow struct {
	WidthMM float64 `json:"width_mm"`
	DepthMM float64 `json:"depth_mm"`
	// SpanM is the clear span by spacing, in the order asked for.
	SpanM []float64 `json:"span_m"`
	// Figures are the same with their workings, in the same order.
	Figures []*working.Figure `json:"-"`
}

// SpanKey is the key of one span of the table.
func SpanKey(widthMM, depthMM, spacingMM float64) string {
	return fmt.Sprintf("check.deck.span.%gx%g.%g", widthMM, depthMM, spacingMM)
}

// SpanLimits says what the spans of the table keep to.
var SpanLimits = []string{
	"bending, shear and bearing by EN 1995-1-1, service class 2, joists that share their load",
	"deflection at once and under one man 0.003 of the span (house practice for floors), final deflection a 250th",
	"two bearings of 45 mm, no notches or holes, no cantilever; clear from face to face of the bearings",
}

// SpanTable returns the allowed clear spans of common sections of one class, m, for the
// job's loads and the given spacings.
func SpanTable(class string, sections [][2]float64, spacingsMM []float64, l Loads, set country.Set) ([]SpanRow, error) {
	var rows []SpanRow
	for _, s := range sections {
		row := SpanRow{WidthMM: s[0], DepthMM: s[1]}
		for _, c := range spacingsMM {
			j := Joist{WidthMM: s[0], DepthMM: s[1], SpacingMM: c, Class: class}
			mm, err := j.AllowedClear(l, set)
			if err != nil {
				return nil, err
			}
			row.SpanM = append(row.SpanM, mm/1000)
			f, err := j.spanWorking(mm, l, set)
			if err != nil {
				return nil, err
			}
			row.Figures = append(row.Figures, f)
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// timberKdef is the creep of solid timber in service class 2 (EN 1995-1-1 table 3.2).
const timberKdef = 0.8

// timberKmod is the duration factor of solid timber in service class 2, medium or short
// term (EN 1995-1-1 table 3.1).
func timberKmod(l Loads) float64 { return pick(l.Short, shortKmod, 0.8) }

// shortKmod is the duration factor of solid timber under snow.
const shortKmod = 0.9

// usualBearingMM is the bearing of a joist where nobody gave it.
const usualBearingMM = 45

func (j Joist) bearingMM() float64 {
	if j.BearingMM == 0 {
		return usualBearingMM
	}
	return j.BearingMM
}

// CheckJoist returns the verdict on the joists. Balcony joists get a note on
// vibration, which this check does not compute.
func CheckJoist(j Joist, l Loads, set country.Set, balcony bool) (check.Result, error) {
	r := check.Result{Key: "deck.joists", Title: "Are the joists strong and stiff enough?", Clause: ec5("6.1.5 to 6.1.7, 7.2")}
	a, err := j.Solve(l, set)
	if err != nil {
		return r, err
	}
	_, name := a.Governing()
	use, err := j.working(l, set, name)
	if err != nil {
		return r, err
	}
	u := use.Value
	r.Utilisation, r.Working = u, []*working.Figure{use}
	r.Finding = fmt.Sprintf("%g×%g mm %s at %g mm, clear span %.2f m, is used to %.0f %% (%s)", j.WidthMM, j.DepthMM, j.Class,
		j.SpacingMM, j.ClearMM/1000, 100*u, name)
	if balcony {
		r.CallFor = "a structural engineer: a balcony's joists, guard posts and vibration need a licensed person's eye"
	}
	if u <= 1 {
		r.Verdict = check.Pass
		if balcony {
			r.Verdict = check.Caution
		}
		return r, nil
	}
	r.Verdict = check.Fail
	r.CallFor = "a structural engineer"
	for _, d := range []float64{120, 145, 170, 195, 220, 245} {
		if d <= j.DepthMM {
			continue
		}
		k := j
		k.DepthMM = d
		if b, err := k.Solve(l, set); err == nil {
			if v, _ := b.Governing(); v <= 1 {
				r.Remedies = append(r.Remedies, check.Remedy{Text: fmt.Sprintf("use joists %g mm deep", d), Field: "base.joist_depth_mm",
					Value: fmt.Sprint(d)})
				break
			}
		}
	}
	if s, err := j.AllowedClear(l, set); err == nil {
		r.Remedies = append(r.Remedies,
			check.Remedy{Text: fmt.Sprintf("carry the joists on %s in between so that none spans more than %.2f m clear", bearers(j.ClearMM, s),
				s/1000), Field: "base.joist_span_m", Value: fmt.Sprintf("%.2f", s/1000)})
	}
	return r, nil
}

// bearerMM is the width of a beam or wall that carries joists in between (common practice).
const bearerMM = 100.0

// bearers is how many beams part a clear span into spans of no more than so many mm.
func bearers(clearMM, mostMM float64) string {
	n := math.Ceil((clearMM+bearerMM)/(mostMM+bearerMM)-1e-9) - 1
	if n <= 1 {
		return "a beam"
	}
	return fmt.Sprintf("%.0f beams", n)
}
