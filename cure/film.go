package cure

import (
	"context"
	"fmt"
	"math"

	"gelwright/conduction"
	"gelwright/elementary"
)

// Film is a fresh laminate, or a top coat, on its deck.
type Film struct {
	// ResinKGPerM2 and GlassKGPerM2 laid in this pass.
	ResinKGPerM2, GlassKGPerM2 float64
	// Below it, outermost first: board, insulation, or the laminate under a top coat.
	Deck []conduction.Layer
	// Base is the temperature that the same film would have without curing, by minutes
	// from mixing: the surface temperature that package weather computes for the
	// roof, or one reading for a steady deck. The heat of cure comes on top, and is
	// lost by LossWPerM2K. Exact as long as the faces are linear.
	Base []Reading
	// LossWPerM2K to air and sky together: 15 when 0 (about 2 m/s of wind; EN ISO 6946
	// has 25 at 4 m/s, from memory).
	LossWPerM2K float64
	// ResinAboveK is how much warmer than the deck the resin comes out of the bucket.
	ResinAboveK float64
	// Drive, when not nil, replaces Base and LossWPerM2K by the faces themselves,
	// seconds from mixing; the build-up then starts at StartC. Its Source is ignored.
	Drive  *conduction.Drive
	StartC float64
	// EndMin ends the run; 0: when the last milestone is reached, 30 days at most.
	EndMin float64
	// Trace asks for the curve of the surface.
	Trace bool
	// Grid tunes the conduction.
	Grid conduction.Options
}

// FilmRun is how a film gets hard.
type FilmRun struct {
	Hardening Hardening
	// PeakC of the laminate and when.
	PeakC, PeakMin float64
	// EndAlpha is the conversion of the slowest slice at the end, EndMin the end.
	EndAlpha, EndMin float64
	Steps            int
	Trace            []Moment
}

// Properties of a laminate: densities in kg/m³, heat in J/(kg·K), conductivity in
// W/(m·K). Glass: ISO laminate rules; the rest from memory.
const (
	glassKGPerM3, glassJPerKGK = 2560.0, 820.0
	liquidKGPerM3              = 1100.0
	laminateWPerMK             = 0.20
)

// Board is a deck board for the cure of a film: OSB or plywood, 0.13 W/(m·K), 620
// kg/m³, 1700 J/(kg·K) (EN ISO 10456, from memory).
func Board(thicknessMM float64) conduction.Layer {
	return conduction.Layer{Name: "board", ThicknessMM: thicknessMM, ConductivityWPerMK: 0.13, DensityKgPerM3: 620, HeatJPerKgK: 1700}
}

// Insulant is rigid foam, 0.022 W/(m·K), 32 kg/m³, 1400 J/(kg·K) (from memory).
func Insulant(thicknessMM float64) conduction.Layer {
	return conduction.Layer{Name: "insulation", ThicknessMM: thicknessMM, ConductivityWPerMK: 0.022, DensityKgPerM3: 32, HeatJPerKgK: 1400}
}

// Laminate returns the film as a layer that conducts.
func (f Film) Laminate(k Kinetics) conduction.Layer {
	mass := f.ResinKGPerM2 + f.GlassKGPerM2
	mm := 1000 * (f.ResinKGPerM2/liquidKGPerM3 + f.GlassKGPerM2/glassKGPerM3)
	l := conduction.Layer{Name: "laminate", ThicknessMM: mm, ConductivityWPerMK: laminateWPerMK, DensityKgPerM3: 1000 * mass / mm,
		HeatJPerKgK: (f.ResinKGPerM2*1000*k.HeatCapacityKJPerKGK + f.GlassKGPerM2*glassJPerKGK) / mass}
	l.Cells = 1 + int(mm/sliceMM)
	return l
}

func (f Film) check() error {
	switch {
	case !(f.ResinKGPerM2 > 0 && f.ResinKGPerM2 <= 50) || !(f.GlassKGPerM2 >= 0 && f.GlassKGPerM2 <= 50):
		return fmt.Errorf("cure: a film of %g kg/m² resin and %g kg/m² glass: give kilograms for a square metre", f.ResinKGPerM2, f.GlassKGPerM2)
	case f.Drive == nil && !(f.LossWPerM2K >= 0 && f.LossWPerM2K < 1000):
		return fmt.Errorf("cure: a film that loses %g W/(m²·K): give 5 to 40, or 0 for 15", f.LossWPerM2K)
	case math.IsNaN(f.ResinAboveK) || math.Abs(f.ResinAboveK) > 60:
		return fmt.Errorf("cure: resin %g K above the deck: give a difference", f.ResinAboveK)
	case !(f.EndMin >= 0) || f.EndMin > 365*24*60:
		return fmt.Errorf("cure: a film followed for %g min: give up to a year, or 0", f.EndMin)
	}
	if f.Drive != nil {
		return nil
	}
	if err := checkProfile(f.Base); err != nil {
		return err
	}
	for _, r := range f.Base {
		if r.TempC < -60 || r.TempC > 150 {
			return fmt.Errorf("cure: a deck of %g °C: give °C", r.TempC)
		}
	}
	return nil
}

// Steps of the film's run.
const (
	alphaStep = 0.012 // conversion a step may add
	firstStep = 20.0  // s
	longStep  = 900.0 // s, while the weather changes
	slackK    = 0.25  // how far a step's end may differ from what was expected, K
	quietWM2  = 0.05  // heat below which the film no longer warms its deck, W/m²

	quietSliceWM2 = 5.0     // the same for one slice, while the whole is quiet
	hardStep      = 21600.0 // s, when little is left to come on a level deck
	leastStep     = 0.05    // s
	growth        = 1.6     // of a step over the last
	mostShrink    = 0.3
	stepSafety    = 0.8
	nearEnd       = 0.7  // of what is left of the induction
	nearlyHard    = 0.9  // conversion from which little is left to come
	wellUnderWay  = 0.3  // conversion from which a cool film is past its heat
	coolK         = 0.05 // a film as warm as its deck
	finishPanels  = 24   // of the quadrature to the milestones that are left
	sliceMM       = 1.5  // a laminate is cut into slices of this or less
	longestRunS   = 30 * 24 * 3600

	filmTolK       = 0.05
	filmFirstCellS = 60
)

// openLossWPerM2K is the loss to air and sky together when none is given: about 2 m/s of wind.
const openLossWPerM2K = 15

// Film follows a film of resin with pct catalyst by mass until it is hard.
//
// Conversion and heat are advanced in turn: over a short step each slice cures along
// the temperature that it is heading for, and what it released warms the layers
// (package conduction); the step keeps the conversion gained and the miss in
// temperature small. All heat released enters the layers.
func (k Kinetics) Film(ctx context.Context, f Film, pct float64, th Thresholds) (FilmRun, error) {
	if err := k.Check(); err != nil {
		return FilmRun{}, err
	}
	if err := f.check(); err != nil {
		return FilmRun{}, err
	}
	if err := th.check(); err != nil {
		return FilmRun{}, err
	}
	if !(pct > 0 && pct <= 10) {
		return FilmRun{}, fmt.Errorf("cure: %g %% of catalyst in the film: give per cent by mass", pct)
	}
	s, err := newFilmState(&k, &f, pct, th)
	if err != nil {
		return FilmRun{}, err
	}
	if err := s.run(ctx); err != nil {
		return s.out, fmt.Errorf("cure: film: %w", err)
	}
	return s.out, nil
}

type filmState struct {
	k     *Kinetics
	f     *Film
	th    Thresholds
	r     rates
	slab  *conduction.Slab
	drive conduction.Drive
	base  func(tS float64) float64
	level bool // the base no longer changes

	from, n                   int // the laminate's cells
	z, alpha, gain            []float64
	rate                      []float64 // of the cells past their induction, at the start of the step, 1/s
	temp, before, heading     []float64 // excess over the base, per laminate cell
	all                       []float64
	resinKGPerM3              float64
	t, h, hBefore, expectMiss float64
	slow                      float64
	out                       FilmRun
}

func newFilmState(k *Kinetics, f *Film, pct float64, th Thresholds) (*filmState, error) {
	s := &filmState{k: k, f: f, th: th, r: k.at(pct), h: firstStep}
	lam := f.Laminate(*k)
	start := f.StartC
	s.base = func(float64) float64 { return 0 }
	if f.Drive == nil {
		loss := f.LossWPerM2K
		if loss == 0 {
			loss = openLossWPerM2K
		}
		start = 0
		s.base = func(tS float64) float64 { return tempAt(f.Base, tS/60) }
		face := conduction.Face{ConvectionWPerM2K: loss}
		s.drive = conduction.Steady(face, conduction.Adiabatic(), nil)
	} else {
		s.drive = *f.Drive
	}
	grid := f.Grid
	if grid.TolK == 0 {
		grid.TolK = filmTolK
	}
	if grid.FirstCellS == 0 {
		grid.FirstCellS = filmFirstCellS
	}
	slab, err := conduction.New(append([]conduction.Layer{lam}, f.Deck...), start, grid)
	if err != nil {
		return nil, fmt.Errorf("cure: film: %w", err)
	}
	s.slab = slab
	from, to := slab.LayerCells(0)
	s.from, s.n = from, to-from
	s.all = slab.Temps()
	for i := from; i < to; i++ {
		s.all[i] += f.ResinAboveK
	}
	if f.ResinAboveK != 0 {
		if err := slab.SetTemps(s.all); err != nil {
			return nil, fmt.Errorf("cure: film: %w", err)
		}
	}
	block := make([]float64, 7*s.n)
	for i, p := range []*[]float64{&s.z, &s.alpha, &s.gain, &s.rate, &s.temp, &s.before, &s.heading} {
		*p = block[i*s.n : (i+1)*s.n]
	}
	for i := range s.z {
		if k.InductionS > 0 {
			s.z[i] = 1
		}
	}
	s.resinKGPerM3 = f.ResinKGPerM2 / (lam.ThicknessMM / 1000)
	s.drive.Source = func(_ float64, _, w, _ []float64) {
		for i := range s.n {
			w[s.from+i] = s.gain[i]
		}
	}
	copy(s.temp, s.all[from:to])
	copy(s.before, s.temp)
	s.out.Hardening = endless()
	s.out.PeakC = s.temp[0] + s.base(0)
	return s, nil
}

func (s *filmState) run(ctx context.Context) error {
	end := 60 * s.f.EndMin
	if end == 0 {
		end = longestRunS
	}
	lastReading := 0.0
	if s.f.Drive == nil {
		lastReading = 60 * s.f.Base[len(s.f.Base)-1].Min
	}
	for s.t < end && !(s.f.EndMin == 0 && s.done()) {
		if err := ctx.Err(); err != nil {
			return err
		}
		s.level = s.f.Drive == nil && s.t >= lastReading
		if s.level && s.f.EndMin == 0 && s.slow > wellUnderWay && s.cool() {
			s.finish()
			return nil
		}
		if err := s.step(ctx, end); err != nil {
			return err
		}
	}
	s.out.EndAlpha, s.out.EndMin = s.slow, s.t/60
	return nil
}

func (s *filmState) done() bool {
	for _, v := range s.out.Hardening {
		if math.IsInf(v, 1) {
			return false
		}
	}
	return true
}

// cool reports whether the film is back at the deck's own temperature for good.
func (s *filmState) cool() bool {
	for i, v := range s.temp {
		if math.Abs(v) > coolK || s.gain[i]*s.f.ResinKGPerM2/s.resinKGPerM3 > quietSliceWM2 {
			return false
		}
	}
	return true
}

// finish gives the milestones that are left on a level, cool deck by quadrature.
func (s *filmState) finish() {
	tk := s.base(s.t) + zeroC
	k1, k2 := s.r.constants(tk)
	const panels = finishPanels
	for m := range milestones {
		if !math.IsInf(s.out.Hardening[m], 1) {
			continue
		}
		// Even panels in −ln(1−α), since the end is what is slow.
		a, b := -math.Log(1-s.slow), -math.Log(1-s.th.alpha(m, s.k))
		sum := 0.0
		for i := range panels {
			sum += gauss(func(u float64) float64 { e := elementary.Exp(-u); return e / s.r.shape(1-e, tk, k1, k2) }, a+(b-a)*float64(i)/panels,
				a+(b-a)*float64(i+1)/panels)
		}
		s.reach(m, s.t/60+sum/60)
	}
	s.out.EndAlpha, s.out.EndMin = s.slow, s.t/60
}

func (s *filmState) reach(m Milestone, min float64) {
	s.out.Hardening[m] = math.Min(s.out.Hardening[m], s.th.held(m, min))
}

func (s *filmState) step(ctx context.Context, end float64) error {
	h := s.chooseStep(end)
	b0, b1 := s.base(s.t), s.base(s.t+h)
	heat := 0.0
	slowBefore := s.slow
	s.slow = 1
	for i := range s.n {
		s.heading[i] = s.temp[i]
		if s.hBefore > 0 {
			s.heading[i] += (s.temp[i] - s.before[i]) * min(h/s.hBefore, 2)
		}
		z, a := s.cureCell(i, s.temp[i]+b0+zeroC, s.heading[i]+b1+zeroC, h)
		s.gain[i] = 1000 * s.k.HeatKJPerKG * s.resinKGPerM3 * (a - s.alpha[i]) / h
		heat += s.gain[i] / float64(s.n) * s.f.ResinKGPerM2 / s.resinKGPerM3
		s.z[i], s.alpha[i] = z, a
		s.slow = min(s.slow, a)
	}
	copy(s.before, s.temp)
	if s.f.Drive != nil || heat > quietWM2 || !s.cool() {
		if err := s.slab.Advance(ctx, s.t, s.t+h, s.drive); err != nil {
			return err
		}
		s.slab.ReadTemps(s.all)
		copy(s.temp, s.all[s.from:s.from+s.n])
	}
	s.expectMiss = 0
	for i := range s.n {
		s.expectMiss = max(s.expectMiss, math.Abs(s.temp[i]-s.heading[i]))
		if c := s.temp[i] + b1; c > s.out.PeakC {
			s.out.PeakC, s.out.PeakMin = c, (s.t+h)/60
		}
	}
	for m := range milestones {
		at := s.th.alpha(m, s.k)
		if s.slow >= at && slowBefore < at {
			s.reach(m, (s.t+h*(at-slowBefore)/(s.slow-slowBefore))/60)
		} else if l := s.th.LatestMin[m]; l > 0 && (s.t+h)/60 >= l {
			s.reach(m, l)
		}
	}
	s.t += h
	s.hBefore = h
	s.out.Steps++
	if s.f.Trace {
		s.out.Trace = append(s.out.Trace, Moment{Min: s.t / 60, TempC: s.temp[0] + b1, Alpha: s.alpha[0]})
	}
	return nil
}

// chooseStep bounds the step by the conversion it may add, by growth, and by how well
// the last one was foreseen.
func (s *filmState) chooseStep(end float64) float64 {
	h := growth * s.h
	if s.expectMiss > slackK {
		h = s.h * max(mostShrink, stepSafety*math.Sqrt(slackK/s.expectMiss))
	}
	b := s.base(s.t)
	for i := range s.n {
		tk := s.temp[i] + b + zeroC
		if s.z[i] > 0 {
			// Come down on the end of the induction with a short step behind it.
			left := s.z[i] / s.r.induction(tk)
			h = min(h, max(firstStep, nearEnd*left))
			continue
		}
		v := s.r.cure(s.alpha[i], tk)
		s.rate[i] = v
		if v > 0 {
			h = min(h, alphaStep/v)
		}
	}
	most := longStep
	if s.level && s.slow > nearlyHard {
		most = hardStep
	}
	h = max(leastStep, min(h, most))
	s.h = h
	return min(h, end-s.t)
}

// cureCell advances slice i over h seconds while its temperature goes straight from
// tk0 to tk1 (kelvin): induction first, then conversion by Runge and Kutta's method.
func (s *filmState) cureCell(i int, tk0, tk1, h float64) (float64, float64) {
	z, alpha, used := s.z[i], s.alpha[i], 0.0
	ka := s.rate[i]
	if z > 0 {
		r0, r1 := s.r.induction(tk0), s.r.induction(tk1)
		mid := s.r.induction((tk0 + tk1) / 2)
		eaten := h * (r0 + 4*mid + r1) / 6
		if eaten < z {
			return z - eaten, alpha
		}
		used = h * z / eaten
		z = 0
		ka = s.r.cure(alpha, tk0+(tk1-tk0)*used/h)
	}
	dt := h - used
	tm := tk0 + (tk1-tk0)*(used+0.5*dt)/h
	kb := s.r.cure(alpha+dt/2*ka, tm)
	kc := s.r.cure(alpha+dt/2*kb, tm)
	kd := s.r.cure(alpha+dt*kc, tk1)
	return z, min(1, alpha+dt*(ka+2*kb+2*kc+kd)/6)
}
