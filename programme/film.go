package programme

import (
	"math"
	"slices"

	"gelwright/cure"
	"gelwright/elementary"
)

// Mark is a milestone of hardening that a lag or a guard waits for: one more than that of cure, so that
// what names none is at once.
type Mark int

// After is the mark of a milestone.
func After(m cure.Milestone) Mark { return Mark(m) + 1 }

// The marks in their usual order; None is at once.
const (
	None          Mark = 0
	Gel                = Mark(cure.AtGel) + 1
	Trim               = Mark(cure.Trim) + 1
	Walk               = Mark(cure.Walk) + 1
	Sand               = Mark(cure.Sand) + 1
	RainSafe           = Mark(cure.RainSafe) + 1
	OverCoatFrom       = Mark(cure.OverCoatFrom) + 1
	OverCoatUntil      = Mark(cure.OverCoatUntil) + 1
	marks              = OverCoatUntil + 1
)

var markNames = [marks]string{"at once", "gel", "trimming", "hard to walk", "hard to sand", "safe from rain", "over-coat from",
	"over-coat until"}

// String is the mark in words.
func (m Mark) String() string {
	if m < 0 || m >= marks {
		return "unknown"
	}
	return markNames[m]
}

// Film is how one kind of wet work hardens: the minutes to each mark at steady
// temperatures, with a dose that is set by the temperature when it is laid. What the
// surface does afterwards is followed by equivalent age: a mark is reached when
// ∫dt/t(T) is 1.
type Film struct {
	Name string
	// TempsC rise in even steps; Min[mark][i] are minutes at TempsC[i] with dose RefPct.
	TempsC []float64
	RefPct float64
	Min    [marks][]float64
	// DoseExponent n of each mark in t ∝ c^−n; Dose gives the dose, % by mass, for a
	// temperature at laying.
	DoseExponent [marks]float64
	DosePct      []float64 // by TempsC
	// MostMin caps a mark in time whatever the temperature; 0 for no cap.
	MostMin [marks]float64
	// LeastMin holds a mark off for a time whatever the temperature and however quick the
	// resin; 0 for none.
	LeastMin [marks]float64
	// SD is the standard deviation of ln t: resin, dose and judgement.
	SD float64
}

// scale is the temperatures of a film's tables: rising in even steps, n of them.
type scale struct {
	lowC, highC float64
	n           int
}

func (f *Film) scale() scale { return scale{f.TempsC[0], f.TempsC[len(f.TempsC)-1], len(f.TempsC)} }

// cell is where a temperature lies in a table over a scale: between its value i and the next, so far from the one; level beyond the ends.
func (s scale) cell(tempC float64) (i int, u float64) {
	x := (tempC - s.lowC) / (s.highC - s.lowC) * float64(s.n-1)
	if !(x > 0) {
		return 0, 0
	}
	if i = int(x); i >= s.n-1 {
		return s.n - 2, 1
	}
	return i, x - float64(i)
}

// at interpolates a table over TempsC, level beyond its ends.
func (f *Film) at(v []float64, tempC float64) float64 {
	i, u := f.scale().cell(tempC)
	return v[i]*(1-u) + v[i+1]*u
}

// warmth is the temperatures of one course of the weather as places in the tables of films of one scale, by quarter: the
// step of the fine table, and the cell of the others.
type warmth struct {
	step []uint16
	cell []uint16
	u    []float64
}

// warm finds the places of temperatures.
func (s scale) warm(tempC []float32) warmth {
	n := len(tempC)
	out := warmth{make([]uint16, n), make([]uint16, n), make([]float64, n)}
	last := s.fine() - 1
	for q, t := range tempC {
		i := int((float64(t)-s.lowC)*finePerK + 0.5)
		out.step[q] = uint16(max(0, min(i, last)))
		i, u := s.cell(float64(t))
		out.cell[q], out.u[q] = uint16(i), u
	}
	return out
}

// finePerK is in how many steps to the kelvin 1/t is tabulated for a mark, so that following a year is a look-up.
const finePerK = 4

// fine is how many steps that are.
func (s scale) fine() int { return int((s.highC-s.lowC)*finePerK) + 1 }

// fine is 1/t by steps of a quarter kelvin for one mark.
func (f *Film) fine(m Mark) []float64 {
	ln := make([]float64, len(f.TempsC))
	for i, t := range f.Min[m] {
		ln[i] = math.Log(t)
	}
	s := f.scale()
	rate := make([]float64, s.fine())
	for i := range rate {
		rate[i] = elementary.Exp(-f.at(ln, s.lowC+float64(i)/finePerK))
	}
	return rate
}

// never stands for not within the weather known.
const never = math.MaxInt32

// following is a film made ready to be followed to one mark.
type following struct {
	film *Film
	mark Mark
	rate []float64 // 1/t by steps of a quarter kelvin
	dose []float64 // by TempsC: how the time to the mark follows from the dose laid
	// Where reach works: the share of the time to the mark that goes by in a quarter, by the same steps, and that has gone by, by quarter.
	part, age []float64
}

// to makes a film ready to be followed to a mark.
func (f *Film) to(m Mark) following {
	out := following{film: f, mark: m, rate: f.fine(m), dose: make([]float64, len(f.TempsC))}
	for i, c := range f.DosePct {
		out.dose[i] = elementary.Pow(f.RefPct/c, f.DoseExponent[m])
	}
	return out
}

// ages is the share of the time to the mark that has gone by, by quarter.
func (w *following) ages(on *warmth, slow float64) []float64 {
	n := len(on.step)
	if len(w.age) != n+1 {
		w.age, w.part = make([]float64, n+1), make([]float64, len(w.rate))
	}
	for i, r := range w.rate {
		w.part[i] = r * 15 / slow
	}
	w.age[0] = 0
	for q, i := range on.step {
		w.age[q+1] = w.age[q] + w.part[i]
	}
	return w.age
}

// reach gives for a film laid at each quarter the quarter at which the mark is
// reached, rounded up (down for a greatest lag), with times stretched by slow.
func (w *following) reach(on *warmth, slow float64, down bool) []int32 {
	f, m, n := w.film, w.mark, len(on.step)
	age := w.ages(on, slow)
	most := int32(never)
	if c := f.MostMin[m]; c > 0 {
		most = int32(c / 15)
	}
	least := int32(f.LeastMin[m] / 15)
	out := make([]int32, n+1)
	r := 0
	for q := range n {
		i, u := on.cell[q], on.u[q]
		need := age[q] + (w.dose[i]*(1-u) + w.dose[i+1]*u)
		// Doses change slowly, so the mark moves little from one quarter to the next.
		r = max(r, q)
		for r > q && age[r-1] >= need {
			r--
		}
		for r < n && age[r] < need {
			r++
		}
		switch {
		case age[r] < need:
			out[q] = never
		case down && r > q && age[r] > need:
			out[q] = int32(r - 1)
		default:
			out[q] = int32(r)
		}
		if out[q] < int32(q)+least {
			out[q] = int32(q) + least
		}
		if most != never {
			out[q] = min(out[q], int32(q)+most)
		}
	}
	out[n] = never
	return out
}

// earliest is the least of rows, place by place.
func earliest(rows [][]int32) []int32 {
	out := slices.Clone(rows[0])
	for _, row := range rows[1:] {
		for q, at := range row {
			out[q] = min(out[q], at)
		}
	}
	return out
}
