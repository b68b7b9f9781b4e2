package cure

import (
	"context"
	"fmt"
	"math"

	"gelwright/ode"
	"gelwright/working"
)

// Bucket is a mix left in its bucket.
type Bucket struct {
	// KG of resin and its density, kg/l.
	KG, DensityKGPerL float64
	// DiameterMM of the bucket; 0 for one as wide as the mix is deep.
	DiameterMM float64
	// WallWPerM2K is the heat lost through wall, bottom and top; 10 when 0 (still
	// air, convection and radiation, 8 to 12, from memory).
	WallWPerM2K float64
	// AirC, and StartC of the resin.
	AirC, StartC float64
	// At PourMin all but LeftKG leaves the bucket; 0 for never.
	PourMin, LeftKG float64
	// EndMin ends the run: 24 h when 0.
	EndMin float64
	// Trace asks for the curve.
	Trace bool
}

// Moment is a point of a curve.
type Moment struct {
	Min   float64 `json:"min"`
	TempC float64 `json:"temp_c"`
	Alpha float64 `json:"alpha"`
}

// BucketRun is what happens in the bucket.
type BucketRun struct {
	// GelMin is +Inf when it does not gel within the run.
	GelMin, GelC float64
	PeakC        float64
	PeakMin      float64
	PeakAlpha    float64
	EndAlpha     float64
	EndC         float64
	// Psi over PsiCritical above 1 is a runaway: heat is made faster than lost.
	Psi, PsiCritical float64
	Trace            []Moment
}

// Runaway reports whether the bucket makes heat faster than it can lose it.
func (r BucketRun) Runaway() bool { return r.Psi > r.PsiCritical }

// Geometry returns the surface in m² of a mix and how deep it lies in mm. All faces lose heat.
func (b Bucket) Geometry(kg float64) (areaM2, depthMM float64) {
	v := b.KG / b.DensityKGPerL / 1000 // m³
	d := b.DiameterMM / 1000
	if !(d > 0) {
		d = math.Cbrt(4 * v / math.Pi)
	}
	h := kg / b.DensityKGPerL / 1000 / (math.Pi * d * d / 4)
	return math.Pi*d*d/2 + math.Pi*d*h, 1000 * h
}

func (b Bucket) filled() (Bucket, error) {
	if b.WallWPerM2K == 0 {
		b.WallWPerM2K = 10
	}
	if b.EndMin == 0 {
		b.EndMin = 24 * 60
	}
	switch {
	case !(b.KG > 0 && b.KG <= 2000):
		return b, fmt.Errorf("cure: a bucket of %g kg: give more than 0", b.KG)
	case !(b.DensityKGPerL > 0.5 && b.DensityKGPerL < 3):
		return b, fmt.Errorf("cure: resin of %g kg/l in the bucket: give about 1.1", b.DensityKGPerL)
	case !(b.DiameterMM >= 0 && b.DiameterMM < 5000):
		return b, fmt.Errorf("cure: a bucket %g mm wide: give its diameter in mm, or 0", b.DiameterMM)
	case !(b.WallWPerM2K > 0 && b.WallWPerM2K <= 1000):
		return b, fmt.Errorf("cure: a bucket that loses %g W/(m²·K): give 8 to 12", b.WallWPerM2K)
	case !(b.AirC >= -40 && b.AirC <= 60 && b.StartC >= -40 && b.StartC <= 80):
		return b, fmt.Errorf("cure: resin of %g °C in air of %g °C: give °C", b.StartC, b.AirC)
	case !(b.PourMin >= 0) || (b.PourMin > 0 && !(b.LeftKG > 0 && b.LeftKG <= b.KG)):
		return b, fmt.Errorf("cure: %g kg left of %g kg after pouring at %g min: give what stays, more than 0", b.LeftKG, b.KG, b.PourMin)
	case !(b.EndMin > 0 && b.EndMin <= 60*24*60):
		return b, fmt.Errorf("cure: a run of %g min: give up to 60 days", b.EndMin)
	}
	return b, nil
}

// Bucket follows a mix with pct catalyst by mass in its bucket: m·cp·dT/dt =
// m·H·dα/dt − U·A·(T−Ta). No boiling and no cracking are in it.
func (k Kinetics) Bucket(ctx context.Context, b Bucket, pct float64) (BucketRun, error) {
	if err := k.Check(); err != nil {
		return BucketRun{}, err
	}
	b, err := b.filled()
	if err != nil {
		return BucketRun{}, err
	}
	if !(pct > 0 && pct <= 10) {
		return BucketRun{}, fmt.Errorf("cure: %g %% of catalyst in the bucket: give per cent by mass", pct)
	}
	area, _ := b.Geometry(b.KG)
	h := heating{k: &k, pct: pct, startC: b.StartC, airC: b.AirC, endS: 60 * b.EndMin, trace: b.Trace,
		massKG: b.KG, capJPerK: 1000 * b.KG * k.HeatCapacityKJPerKGK, lossWPerK: b.WallWPerM2K * area}
	if b.PourMin > 0 {
		left, _ := b.Geometry(b.LeftKG)
		h.changeS, h.then = 60*b.PourMin, &body{b.LeftKG, 1000 * b.LeftKG * k.HeatCapacityKJPerKGK, b.WallWPerM2K * left}
	}
	run, err := h.run(ctx)
	if err != nil {
		return run, fmt.Errorf("cure: bucket of %g kg: %w", b.KG, err)
	}
	rate, _ := k.peakRate(b.AirC, pct)
	run.Psi = k.psi(b.KG, b.WallWPerM2K*area, b.AirC, rate)
	run.PsiCritical, _ = CriticalPsi(k.E2KJPerMol, b.AirC)
	return run, nil
}

// body is what heats itself and loses heat.
type body struct{ massKG, capJPerK, lossWPerK float64 }

// heating is a lumped run: induction, cure, heat balance.
type heating struct {
	k                           *Kinetics
	pct                         float64
	startC, airC                float64
	massKG, capJPerK, lossWPerK float64
	changeS                     float64 // when the body changes to then; 0 never
	then                        *body
	endS                        float64
	trace                       bool
	relTol                      float64 // 1e-8 when 0
}

// Events of the cure.
const (
	eventGel = iota
	eventPeak
)

// state of a lumped run: time in s, inhibitor left, conversion, temperature in kelvin.
type state struct{ t, z, alpha, tk float64 }

func (h *heating) run(ctx context.Context) (BucketRun, error) {
	out := BucketRun{GelMin: math.Inf(1), PeakC: h.startC}
	if h.relTol == 0 {
		h.relTol = 1e-8
	}
	b := body{h.massKG, h.capJPerK, h.lossWPerK}
	s := state{z: 1, tk: h.startC + zeroC}
	if h.k.InductionS == 0 {
		s.z = 0
	}
	changed := h.then == nil
	for s.t < h.endS {
		to := h.endS
		if !changed && h.changeS > s.t {
			to = math.Min(to, h.changeS)
		}
		phase := h.curing
		if s.z > 0 {
			phase = h.waiting
		}
		if err := phase(ctx, &s, &out, b, to); err != nil {
			return out, err
		}
		if !changed && s.t >= h.changeS {
			b, changed = *h.then, true
		}
	}
	out.EndAlpha, out.EndC = s.alpha, s.tk-zeroC
	return out, nil
}

// waiting goes through the induction, up to to or to its end.
func (h *heating) waiting(ctx context.Context, s *state, out *BucketRun, b body, to float64) error {
	r, ta := h.k.at(h.pct), h.airC+zeroC
	o := ode.Options{RelTol: h.relTol, AbsTol: []float64{1e-10, 1e-9}, Observe: h.observer(out, false),
		Events: []ode.Event{{G: func(_ float64, y []float64) float64 { return y[0] }, Direction: -1, Stop: true}}}
	sol, err := ode.Solve(ctx, func(_ float64, y, d []float64) {
		d[0], d[1] = -r.induction(y[1]), -b.lossWPerK/b.capJPerK*(y[1]-ta)
	}, s.t, to, []float64{s.z, s.tk}, o)
	if err != nil {
		return err
	}
	s.t, s.z, s.tk = sol.T, math.Max(sol.Y[0], 0), sol.Y[1]
	if sol.Stopped {
		s.z = 0
	}
	out.warm(s.t, s.tk, 0)
	return nil
}

// curing goes on from the end of the induction.
func (h *heating) curing(ctx context.Context, s *state, out *BucketRun, b body, to float64) error {
	r, ta := h.k.at(h.pct), h.airC+zeroC
	rise, loss := 1000*h.k.HeatKJPerKG*b.massKG/b.capJPerK, b.lossWPerK/b.capJPerK
	slope := r.warming(rise, loss, ta)
	o := ode.Options{RelTol: h.relTol, AbsTol: []float64{1e-12, 1e-9}, Observe: h.observer(out, true), Events: []ode.Event{
		eventGel:  {G: func(_ float64, y []float64) float64 { return y[0] - h.k.GelAlpha }, Direction: 1},
		eventPeak: {G: func(_ float64, y []float64) float64 { _, dT := slope(y); return dT }, Direction: -1},
	}}
	sol, err := ode.Solve(ctx, func(_ float64, y, d []float64) { d[0], d[1] = slope(y) }, s.t, to, []float64{s.alpha, s.tk}, o)
	if err != nil {
		return err
	}
	for _, hit := range sol.Hits {
		if hit.Event == eventGel {
			out.GelMin, out.GelC = hit.T/60, hit.Y[1]-zeroC
		} else {
			out.warm(hit.T, hit.Y[1], hit.Y[0])
		}
	}
	s.t, s.alpha, s.tk = sol.T, sol.Y[0], sol.Y[1]
	out.warm(s.t, s.tk, s.alpha)
	return nil
}

// warm keeps the hottest moment.
func (r *BucketRun) warm(tS, tempK, alpha float64) {
	if tempK-zeroC > r.PeakC {
		r.PeakC, r.PeakMin, r.PeakAlpha = tempK-zeroC, tS/60, alpha
	}
}

// observer records the curve when it was asked for.
func (h *heating) observer(out *BucketRun, curing bool) func(*ode.Step) {
	if !h.trace {
		return nil
	}
	point := []float64{0, 0}
	return func(p *ode.Step) {
		p.At(p.To, point)
		m := Moment{Min: p.To / 60, TempC: point[1] - zeroC}
		if curing {
			m.Alpha = point[0]
		}
		out.Trace = append(out.Trace, m)
	}
}

var (
	bucketSurface = working.MustFormula("A = π·d²/2 + π·d·h")
	peakOfBucket  = working.Method("Tp", "integration of m·cp·dT/dt = m·H·dα/dt − U·A·(T − Ta), error below 10⁻⁶")
	runaway       = working.Method("ψr", "ψ/ψc: ψ = H·m·r·E/(U·A·R·Ta²), ψc from θc = (1−2ε−√(1−4ε))/(2ε²), ε = R·Ta/E")
)

// surface is what a bucket loses heat by: wall and top.
func (b Bucket) surface(source working.Source) *working.Figure {
	_, depthMM := b.Geometry(b.KG)
	d := working.Measured("d", "diameter of the bucket", b.DiameterMM/1000, "m", "bucket")
	if !(b.DiameterMM > 0) {
		d = working.AssumedFigure("d", "diameter of the bucket", depthMM/1000, "m", "as wide as the mix is deep")
	}
	return bucketSurface.Figure("surface", "m²", source, d, working.Measured("h", "depth of the mix", depthMM/1000, "m",
		"volume of the mix over the bucket's section"))
}

// Figures returns peak and danger of a run with their working.
func (r BucketRun) Figures(k Kinetics, b Bucket, pct float64) []*working.Figure {
	set := working.Source{Title: "kinetics " + k.Name, Clause: k.Standing, Standing: working.Assumed}
	balance := working.Source{Title: "heat balance of a lumped body", Standing: working.Derived}
	b, _ = b.filled()
	in := []*working.Figure{
		working.Measured("m", "resin in the bucket", b.KG, "kg", "bucket"), working.Measured("c", "catalyst by mass", pct, "%", "bucket"),
		working.Measured("Ta", "air", b.AirC, "°C", "bucket"), working.Measured("T0", "resin at mixing", b.StartC, "°C", "bucket"),
		working.Constant("H", "heat of cure", k.HeatKJPerKG, "kJ/kg", set),
		working.Constant("cp", "heat capacity", k.HeatCapacityKJPerKGK, "kJ/(kg·K)", set),
		b.surface(balance), working.Constant("U", "heat lost by wall and surface", b.WallWPerM2K, "W/(m²·K)",
			working.Source{Title: "still air, convection and radiation", Standing: working.Remembered}),
	}
	peak := peakOfBucket.Run("peak temperature of a mix left in the bucket", r.PeakC, "°C", balance, in...).
		Noting(fmt.Sprintf("%.0f min after mixing; never above %.0f °C = T + H/cp; boiling and cracking are left out",
			r.PeakMin, math.Max(b.AirC, b.StartC)+k.AdiabaticK()))
	psi := runaway.Run("heat made over heat that can be lost", r.Psi/r.PsiCritical, "",
		working.Source{Title: "Semenov's limit with the full Arrhenius rate", Standing: working.Remembered}, in...).Noting("above 1 it runs away")
	return []*working.Figure{peak, psi}
}
