package ode

import (
	"testing"

	"gelwright/internal/published"
)

// The pair of Dormand and Prince 1980, RK5(4)7M, table 2, transcribed apart from the code, with the dense output of the program
// DOPRI5 (Hairer, Nørsett and Wanner, II.6) and the step control of its manual.
func TestTheTableauIsAsPublished(t *testing.T) {
	const paper = "Dormand and Prince 1980, table 2"
	of := func(place string, got, top, bottom float64) published.Row {
		return published.Row{Clause: paper, Place: place, Got: got, Want: top / bottom}
	}
	published.Hold(t, []published.Row{
		of("c2", c2, 1, 5), of("c3", c3, 3, 10), of("c4", c4, 4, 5), of("c5", c5, 8, 9),
		of("a21", a21, 1, 5), of("a31", a31, 3, 40), of("a32", a32, 9, 40),
		of("a41", a41, 44, 45), of("a42", a42, -56, 15), of("a43", a43, 32, 9),
		of("a51", a51, 19372, 6561), of("a52", a52, -25360, 2187), of("a53", a53, 64448, 6561), of("a54", a54, -212, 729),
		of("a61", a61, 9017, 3168), of("a62", a62, -355, 33), of("a63", a63, 46732, 5247), of("a64", a64, 49, 176),
		of("a65", a65, -5103, 18656),
		of("b1", b1, 35, 384), of("b3", b3, 500, 1113), of("b4", b4, 125, 192), of("b5", b5, -2187, 6784), of("b6", b6, 11, 84),
		// b − b̂ with b̂ = (5179/57600, 0, 7571/16695, 393/640, −92097/339200, 187/2100, 1/40)
		of("e1", e1, 35.0/384-5179.0/57600, 1), of("e3", e3, 500.0/1113-7571.0/16695, 1), of("e4", e4, 125.0/192-393.0/640, 1),
		of("e5", e5, -2187.0/6784+92097.0/339200, 1), of("e6", e6, 11.0/84-187.0/2100, 1), of("e7", e7, -1, 40),
		of("d1", d1, -12715105075, 11282082432), of("d3", d3, 87487479700, 32700410799), of("d4", d4, -10690763975, 1880347072),
		of("d5", d5, 701980252875, 199316789632), of("d6", d6, -1453857185, 822651844), of("d7", d7, 69997945, 29380423),
		{Clause: "DOPRI5: BETA", Place: "beta", Got: beta, Want: 0.04}, {Clause: "DOPRI5: SAFE", Place: "safety", Got: safety, Want: 0.9},
		{Clause: "DOPRI5: EXPO1 = 0.2 − BETA·0.75", Place: "expo", Got: expo, Want: 0.17},
		{Clause: "DOPRI5: FAC1", Place: "slowest", Got: slowest, Want: 0.2}, {Clause: "DOPRI5: FAC2", Place: "quickest", Got: quickest, Want: 10},
	})
}

// The conditions of a method of order five (Hairer, Nørsett and Wanner, II.1) that rest on the nodes alone, and rows that sum to their node.
func TestOrderConditions(t *testing.T) {
	c := []float64{0, c3, c4, c5, 1}
	b := []float64{b1, b3, b4, b5, b6}
	power := []float64{1, 1, 1, 1, 1}
	for k := 1; k <= 5; k++ {
		sum := 0.0
		for i := range b {
			sum += b[i] * power[i]
			power[i] *= c[i]
		}
		published.HoldWorked(t, []published.Worked{{Clause: "∑ b·c^(k−1) = 1/k", Place: "b", Got: sum, Want: 1 / float64(k), Digits: 13}})
	}
	published.HoldWorked(t, []published.Worked{
		{Clause: "row 2", Place: "a", Got: a21, Want: c2, Digits: 13}, {Clause: "row 3", Place: "a", Got: a31 + a32, Want: c3, Digits: 13},
		{Clause: "row 4", Place: "a", Got: a41 + a42 + a43, Want: c4, Digits: 13},
		{Clause: "row 5", Place: "a", Got: a51 + a52 + a53 + a54, Want: c5, Digits: 13},
		{Clause: "row 6", Place: "a", Got: a61 + a62 + a63 + a64 + a65, Want: 1, Digits: 13},
		{Clause: "errors sum to nothing", Place: "e", Got: e1 + e3 + e4 + e5 + e6 + e7, Want: 0, Digits: 13},
		{Clause: "the dense output keeps the end", Place: "d", Got: d1 + d3 + d4 + d5 + d6 + d7, Want: 0, Digits: 12},
	})
}
