package survey

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gelwright/plane"
)

func lengths(sd float64, list ...any) []Measurement {
	var out []Measurement
	for i := 0; i < len(list); i += 3 {
		out = append(out, Measurement{Kind: Length, From: list[i].(string), To: list[i+1].(string), Value: list[i+2].(float64), SD: sd})
	}
	return out
}

func adjust(t *testing.T, n Network) Result {
	t.Helper()
	r, err := Adjust(context.Background(), n, Usual(), Frame{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > within {
		t.Errorf("%s: %.6g, want %.6g within %g", what, got, want, within)
	}
}

// A point tied to three known stations: C. D. Ghilani, Adjustment Computations, trilateration from three stations (A 865.40,
// 4527.15; B 2432.55, 2047.25; C 2865.22, 27.15; distances 6049.00, 4736.83 and 5446.49; residuals -0.037, 0.077 and -0.047, the
// standard error of unit weight 0.098). From memory. The stations are held by the distances between them to a tenth of a millimetre.
func TestThreeStations(t *testing.T) {
	a, b, c := plane.Point{X: 865.40, Y: 4527.15}, plane.Point{X: 2432.55, Y: 2047.25}, plane.Point{X: 2865.22, Y: 27.15}
	known := lengths(1e-4, "A", "B", a.Distance(b), "B", "C", b.Distance(c), "A", "C", a.Distance(c))
	n := Network{Corners: []string{"A", "C", "B"}, Measurements: append(known, lengths(1, "A", "U", 6049.00, "B", "U", 4736.83, "C", "U", 5446.49)...)}
	r := adjust(t, n)
	for i, want := range []float64{-0.037, 0.077, -0.047} {
		m := r.Measured[3+i]
		near(t, m.Name, m.Adjusted-m.Value, want, 0.0006)
	}
	near(t, "standard error of unit weight", math.Sqrt(r.Squares/float64(r.Spare)), 0.098, 0.0005)
	if r.Spare != 1 {
		t.Errorf("%d to spare, want 1", r.Spare)
	}
}

// A free network of four stations measured both ways: Horizontal network adjustment, in the tutorials of the OSGeo laboratory of the
// Budapest University of Technology (OSGeoLabBp/tutorials, data_processing/lessons/horiz_net). There directions are adjusted along
// with the lengths, which moves the lengths by less than their millimetre.
func TestFreeNetworkOfFourStations(t *testing.T) {
	n := Network{Corners: []string{"4", "3", "2", "1"}, Measurements: lengths(0.001,
		"1", "2", 66.552, "1", "4", 24.954, "2", "1", 66.552, "2", "3", 32.288, "2", "4", 71.355,
		"3", "2", 32.289, "3", "4", 87.929, "4", "1", 24.955, "4", "2", 71.355, "4", "3", 87.929)}
	r := adjust(t, n)
	published := map[string]plane.Point{"1": {X: -87.492, Y: 24.945}, "2": {X: -20.941, Y: 24.577}, "3": {X: 0.002, Y: 0.001}, "4": {X: -87.927, Y: -0.005}}
	at := map[string]plane.Point{}
	for _, c := range r.Corners {
		at[c.Name] = c.At
	}
	for a, p := range published {
		for b, q := range published {
			near(t, a+"–"+b, at[a].Distance(at[b]), p.Distance(q), 0.0025)
		}
	}
	if !r.Closes || r.Spare != 5 {
		t.Errorf("closes %v with %d to spare", r.Closes, r.Spare)
	}
}

// Points of chi-squared: Abramowitz and Stegun, Handbook of Mathematical Functions, table 26.8, probability 0.05 and 0.001.
func TestChiSquaredAgainstTheHandbook(t *testing.T) {
	for _, c := range []struct {
		r         int
		five, one float64
	}{{1, 3.84146, 10.828}, {2, 5.99147, 13.816}, {3, 7.81473, 16.266}, {4, 9.48773, 18.467}, {5, 11.0705, 20.515}, {10, 18.3070, 29.588},
		{15, 24.9958, 37.697}, {20, 31.4104, 45.315}, {30, 43.7729, 59.703}} {
		near(t, "5 %", chiSquaredLimit(0.05, c.r), c.five, 1e-4*c.five)
		near(t, "0.1 %", chiSquaredLimit(0.001, c.r), c.one, 1e-4*c.one)
	}
}

// The normal deviate of Baarda's test is the root of chi-squared with one degree of freedom, and its shift the one that leaves a
// fifth unnoticed.
func TestBaardaDeviates(t *testing.T) {
	near(t, "critical", chiSquaredTail(critical*critical, 1), 0.001, 1e-6)
	miss := 0.5 * chiSquaredTail(square(noncentral-critical), 1)
	near(t, "missed", miss, 0.2, 1e-4)
}

func TestDerivatives(t *testing.T) {
	at := [3]plane.Point{{X: 0.3, Y: -1.2}, {X: 4.1, Y: 2.2}, {X: 1.7, Y: 3.3}}
	for _, kind := range []Kind{Length, Angle, Along, Offset} {
		m := Measurement{Kind: kind}
		_, d := m.observed(at[0], at[1], at[2])
		for i := range at {
			for _, axis := range []plane.Point{{X: 1}, {Y: 1}} {
				const h = 1e-6
				p, q := at, at
				p[i], q[i] = p[i].Add(axis.Scale(h)), q[i].Sub(axis.Scale(h))
				up, _ := m.observed(p[0], p[1], p[2])
				down, _ := m.observed(q[0], q[1], q[2])
				near(t, "derivative", d[i].Dot(axis), (up-down)/(2*h), 1e-7)
			}
		}
	}
}

// ell is an L of 7.2 by 5.6 m walked from its south-west corner.
func ell() Walk {
	return Walk{{7.20, 90, Squared}, {3.20, 90, Squared}, {4.00, -90, Squared}, {2.40, 90, Squared}, {3.20, 90, Squared}, {5.60, 90, Squared}}
}

func TestTheEllCloses(t *testing.T) {
	w := ell()
	w[3].LengthM = 2.403
	diagonals := lengths(0.003, "A", "C", 7.880, "B", "F", 9.120)
	r := adjust(t, NetworkOf(w, diagonals, Usual()))
	if !r.Closes || !r.Square {
		t.Fatalf("closes %v, square %v: %+v", r.Closes, r.Square, r)
	}
	got := r.Outline()
	for i, want := range []plane.Point{{}, {X: 7.2}, {X: 7.2, Y: 3.2}, {X: 3.2, Y: 3.2}, {X: 3.2, Y: 5.601}, {X: 0, Y: 5.601}} {
		near(t, CornerName(i), got[i].Distance(want), 0, 0.0015)
		if i > 0 && got[i].X != got[i-1].X && got[i].Y != got[i-1].Y {
			t.Errorf("side %s–%s is not square to the first: %v %v", CornerName(i-1), CornerName(i), got[i-1], got[i])
		}
	}
	gap, known := w.Gap()
	near(t, "gap of the walk", gap, 0.003, 1e-9)
	if !known {
		t.Error("the gap is known")
	}
	sum := 0.0
	for _, m := range r.Measured {
		if !m.Assumed {
			sum += m.Redundancy
		}
	}
	near(t, "sum of the redundancy numbers", sum, float64(r.Spare), 0.01)
}

// Without the diagonals only the look of the corners says that the L does not lean; a diagonal is what is asked for.
func TestSquareCornersAreNoCheck(t *testing.T) {
	r := adjust(t, NetworkOf(ell(), nil, Usual()))
	if !r.Closes || len(r.Wanted) == 0 {
		t.Fatalf("closes %v, wants %v", r.Closes, r.Wanted)
	}
	for _, m := range r.Measured {
		if m.Assumed && m.Checked == ByTape {
			t.Errorf("%s is said to be checked by the tape", m.Name)
		}
	}
	w := r.Wanted[0]
	if want := r.Corners[index(r, w.From)].At.Distance(r.Corners[index(r, w.To)].At); math.Abs(want-w.LengthM) > 1e-6 {
		t.Errorf("%s–%s is %g and expected as %g", w.From, w.To, want, w.LengthM)
	}
	if w.From == "C" && w.To == "E" || w.From == "E" && w.To == "C" {
		t.Error("the tape cannot lie over the house")
	}
	// Measured as expected, the corners come under the check of the tape.
	var more []Measurement
	for _, w := range r.Wanted {
		more = append(more, lengths(0.003, w.From, w.To, math.Round(w.LengthM*1000)/1000)...)
	}
	after := adjust(t, NetworkOf(ell(), more, Usual()))
	taped := 0
	for _, m := range after.Measured {
		if m.Checked == Unchecked || m.Assumed && m.Checked != ByTape {
			t.Errorf("%s is still checked %s after %v", m.Name, m.Checked, r.Wanted)
		}
		if m.Checked == ByTape {
			taped++
		}
	}
	if taped < len(after.Measured)*3/4 {
		t.Errorf("%d of %d are checked by the tape after %v", taped, len(after.Measured), r.Wanted)
	}
}

func index(r Result, name string) int {
	return slices.IndexFunc(r.Corners, func(c Corner) bool { return c.Name == name })
}

// One side misread: 3.20 for 2.30 on the side D–E is named, with what it should read.
func TestABlunderIsNamed(t *testing.T) {
	w := ell()
	w[3].LengthM = 4.20 // instead of 2.40
	r := adjust(t, NetworkOf(w, lengths(0.003, "A", "C", 7.880, "B", "F", 9.120, "A", "E", 6.450), Usual()))
	if r.Closes || r.Suspect == nil {
		t.Fatal("closes with a blunder of 1.8 m")
	}
	if r.Measured[r.Suspect.Measurements[0]].Name != "D–E" || !r.Suspect.Explains {
		t.Fatalf("suspects %v", r.Suspect)
	}
	near(t, "D–E", r.Suspect.Instead, 2.40, 0.01)
	if r.Suspect.Slip != "two digits changed round" {
		t.Errorf("slip %q", r.Suspect.Slip)
	}
}

// A rectangle by its sides alone: a metre too long on one side may as well be a metre too short on the other.
func TestWhatNothingTellsApart(t *testing.T) {
	r := adjust(t, NetworkOf(Walk{{6, 90, Squared}, {4, 90, Squared}, {5, 90, Squared}, {4, 90, Squared}}, nil, Usual()))
	if r.Closes || r.Suspect == nil || len(r.Suspect.Measurements) < 2 {
		t.Fatalf("%v %+v", r.Closes, r.Suspect)
	}
	if r.Suspect.Slip != "a whole metre" {
		t.Errorf("slip %q", r.Suspect.Slip)
	}
}

// A wall that is not square shows, and the outline follows the tape.
func TestOutOfSquare(t *testing.T) {
	// A at the origin, B 6 m east, C 4 m from B and 0.15 m to the east, D 4 m north of A.
	c, d := plane.Point{X: 6.15, Y: 3.997}, plane.Point{X: 0, Y: 4}
	w := Walk{{6, 90, Squared}, {c.Distance(plane.Point{X: 6}), 90, Squared}, {c.Distance(d), 90, Squared}, {4, 90, Squared}}
	n := NetworkOf(w, lengths(0.003, "A", "C", c.Length(), "B", "D", d.Distance(plane.Point{X: 6})), Usual())
	for i := range n.Measurements {
		if m := &n.Measurements[i]; m.Assumed {
			m.SD = 3
		}
	}
	r := adjust(t, n)
	if r.Square || !r.Closes {
		t.Fatalf("square %v, closes %v", r.Square, r.Closes)
	}
	near(t, "corner C", r.Corners[2].At.Distance(c), 0, 0.004)
	near(t, "inside B", r.Corners[1].InsideDeg, 90+math.Atan2(0.15, 3.997)*180/math.Pi, 0.05)
}

// A corner by three tapes from two nails, one by offset and length along a line, a side that could not be reached.
func TestNailsAndOffsets(t *testing.T) {
	corners := []plane.Point{{}, {X: 5}, {X: 5.5, Y: 3}, {X: 0.4, Y: 3.5}}
	nail := plane.Point{X: 2, Y: -1}
	w := Walk{{5, 0, Free}, {corners[1].Distance(corners[2]), 0, Free}, {0, 0, Free}, {corners[3].Length(), 0, Free}}
	more := lengths(0.002, "A", "N", nail.Length(), "B", "N", nail.Distance(corners[1]), "N", "D", nail.Distance(corners[3]),
		"N", "C", nail.Distance(corners[2]), "A", "C", corners[2].Length())
	more = append(more, Measurement{Kind: Along, From: "A", To: "B", At: "D", Value: 0.4, SD: 0.003},
		Measurement{Kind: Offset, From: "A", To: "B", At: "D", Value: 3.5, SD: 0.003})
	r := adjust(t, NetworkOf(w, more, Usual()))
	for i, want := range corners {
		near(t, "corner "+CornerName(i), r.Corners[i].At.Distance(want), 0, 1e-6)
	}
	// Lengths alone do not tell a shape from its mirror image: it goes anticlockwise.
	braced := Walk{{4, 0, Free}, {3, 0, Free}, {4, 0, Free}, {3, 0, Free}}
	for _, diagonals := range [][]Measurement{lengths(0.002, "A", "C", 5.0, "B", "D", 5.0), lengths(0.002, "B", "D", 5.001)} {
		if mirrored := adjust(t, NetworkOf(braced, diagonals, Usual())); area(mirrored.Outline()) < 0 {
			t.Error("the outline goes clockwise")
		}
	}
	near(t, "nail", r.Others[0].At.Distance(nail), 0, 1e-6)
	if _, known := w.Gap(); known {
		t.Error("a gap of a walk with a side unknown")
	}
}

// A kite and an arrowhead have the same sides and the same short diagonal: nobody guesses which.
func TestTwoOutlinesFit(t *testing.T) {
	kite := Walk{{5, 0, Free}, {3, 0, Free}, {3, 0, Free}, {5, 0, Free}}
	short := lengths(0.002, "B", "D", 4.0)
	if _, err := Adjust(context.Background(), NetworkOf(kite, short, Usual()), Usual(), Frame{}); err == nil ||
		!strings.Contains(err.Error(), "two outlines fit") {
		t.Errorf("%v, want two outlines", err)
	}
	// One word settles it: at C the kite turns left, the arrowhead right.
	for _, c := range []struct{ turn, long float64 }{{1, math.Sqrt(21) + math.Sqrt(5)}, {-1, math.Sqrt(21) - math.Sqrt(5)}} {
		kite[1].TurnDeg = c.turn
		kite[0].TurnDeg, kite[2].TurnDeg, kite[3].TurnDeg = 1, 1, 1
		r := adjust(t, NetworkOf(kite, short, Usual()))
		near(t, "A–C", r.Corners[0].At.Distance(r.Corners[2].At), c.long, 0.001)
	}
}

func TestFaultsSayWhatToMeasure(t *testing.T) {
	free := Walk{{5, 0, Free}, {3, 0, Free}, {5, 0, Free}, {3, 0, Free}}
	short := Walk{{5, 0, Free}, {3, 0, Free}}
	for _, c := range []struct {
		n          Network
		says, asks string
	}{
		{NetworkOf(free, nil, Usual()), "nothing says where C and D lie", "Measure C–A"},
		{NetworkOf(short, nil, Usual()), "2 corners", "three"},
		{NetworkOf(free, lengths(0, "A", "C", 5.8), Usual()), "tolerance", ""},
		{NetworkOf(free, lengths(0.01, "A", "A", 5.8), Usual()), "named twice", ""},
		{NetworkOf(free, lengths(0.01, "A", "C", math.NaN()), Usual()), "no length", ""},
		{NetworkOf(free, lengths(0.01, "A", "C", -5.8), Usual()), "above 0", ""},
		{Network{Corners: []string{"A", "A", "B"}}, "called A", ""},
		{Network{Corners: []string{"A", "B", "C"}}, "no length", ""},
	} {
		_, err := Adjust(context.Background(), c.n, Usual(), Frame{})
		var f *Fault
		if !errors.As(err, &f) || !strings.Contains(f.Message, c.says) || !strings.Contains(f.Remedy, c.asks) {
			t.Errorf("%v, want %q and %q", err, c.says, c.asks)
		}
	}
	stopped, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Adjust(stopped, NetworkOf(ell(), nil, Usual()), Usual(), Frame{}); !errors.Is(err, context.Canceled) {
		t.Errorf("%v, want the context's", err)
	}
}

// drawn is a random square-cornered outline and the survey of it: an L, a T or a step, its diagonals, and the noise of the tape.
func drawn(r *rand.Rand, noise float64) (Network, []plane.Point) {
	side := func() float64 { return math.Round((2+6*r.Float64())*100) / 100 }
	a, b, c, d := side(), side(), side(), side()
	corners := []plane.Point{{}, {X: a + c}, {X: a + c, Y: b}, {X: a, Y: b}, {X: a, Y: b + d}, {X: 0, Y: b + d}}
	tape := Usual()
	w := make(Walk, len(corners))
	read := func(p, q plane.Point) float64 {
		l := p.Distance(q)
		return l + noise*r.NormFloat64()*tape.Of(l)
	}
	for i, p := range corners {
		next, after := corners[(i+1)%6], corners[(i+2)%6]
		w[i] = Leg{read(p, next), 90 * float64(turned(p, next, after)), Squared}
	}
	var more []Measurement
	for _, pair := range [][2]int{{0, 2}, {1, 3}, {0, 4}, {3, 5}, {1, 5}} {
		l := read(corners[pair[0]], corners[pair[1]])
		more = append(more, Measurement{Kind: Length, From: CornerName(pair[0]), To: CornerName(pair[1]), Value: l, SD: tape.Of(l)})
	}
	return NetworkOf(w, more, tape), corners
}

// Over many random surveys: a square roof is taken for crooked about as often as the tests say (one in twenty, and a little), the corners are off
// by what their standard errors say, and a misreading of 100 mm is found, and named, nearly always.
func TestTestsKeepTheirRisk(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 19))
	const rounds = 400
	crooked, named, missed := 0, 0, 0
	off, said := 0.0, 0.0
	for range rounds {
		n, corners := drawn(r, 1)
		res := adjust(t, n)
		if !res.Square {
			crooked++
		}
		for i, c := range res.Corners {
			// The truth on the same datum: the same middle and mean direction.
			if res.Square {
				off += square(best(res, corners)[i].Distance(c.At))
				said += square(c.ErrorM) + square(c.ShorterM)
			}
		}
		spoilt := Network{n.Corners, n.Turns, slices.Clone(n.Measurements)}
		at := r.IntN(6)
		if r.IntN(2) == 0 {
			spoilt.Measurements[at].Value += 0.1
		} else {
			spoilt.Measurements[at].Value -= 0.1
		}
		res = adjust(t, spoilt)
		switch {
		case res.Closes:
			missed++
		case res.Suspect != nil && slices.Contains(res.Suspect.Measurements, at):
			named++
		}
	}
	t.Logf("taken for crooked %d, missed %d, named %d of %d; squared errors %.3g, said %.3g", crooked, missed, named, rounds, off, said)
	if crooked < rounds*2/100 || crooked > rounds*9/100 || missed > rounds/100 || named < rounds*95/100 {
		t.Errorf("taken for crooked %d, missed %d, named %d of %d", crooked, missed, named, rounds)
	}
	if ratio := off / said; ratio < 0.85 || ratio > 1.15 {
		t.Errorf("squared errors are %.2f of those said", ratio)
	}
}

// best lays the true corners over the adjusted ones: by their middles and the best turn.
func best(r Result, corners []plane.Point) []plane.Point {
	var p, q plane.Point
	for i, c := range r.Corners {
		p, q = p.Add(c.At.Scale(1.0/6)), q.Add(corners[i].Scale(1.0/6))
	}
	sin, cos := 0.0, 0.0
	for i, c := range r.Corners {
		a, b := corners[i].Sub(q), c.At.Sub(p)
		sin, cos = sin+a.Cross(b), cos+a.Dot(b)
	}
	turn := math.Atan2(sin, cos) * 180 / math.Pi
	out := make([]plane.Point, len(corners))
	for i, c := range corners {
		out[i] = p.Add(rotated(c.Sub(q), turn))
	}
	return out
}
