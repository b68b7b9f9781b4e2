// Package published holds numbers of the code to what a standard, a table or a data
// sheet says: each value is written a second time, apart from the code, from the source.
package published

import (
	"math"
	"testing"
)

// Row is one published number and where it stands in the code.
type Row struct {
	// Clause is the standard, table or sheet with its place; "(from memory)" where nobody read it.
	Clause string
	// Place is the name in the code, or the call that shows it.
	Place     string
	Got, Want float64
}

// Hold reports every row whose number in the code is not the published one.
func Hold(t *testing.T, rows []Row) {
	t.Helper()
	for _, r := range rows {
		if !(math.Abs(r.Got-r.Want) <= 1e-9*math.Max(1e-6, math.Abs(r.Want))) {
			t.Errorf("%s: %s is %.10g, published %.10g", r.Clause, r.Place, r.Got, r.Want)
		}
	}
}

// Worked is a value worked from a published formula to the digits given.
type Worked struct {
	Clause    string
	Place     string
	Got, Want float64
	// Digits after the point to which Want is given.
	Digits int
}

// HoldWorked reports every row that differs by more than half the last digit given.
func HoldWorked(t *testing.T, rows []Worked) {
	t.Helper()
	for _, r := range rows {
		if !(math.Abs(r.Got-r.Want) <= 0.5000001*math.Pow(10, -float64(r.Digits))) {
			t.Errorf("%s: %s is %.*f, worked from what is published %.*f", r.Clause, r.Place, r.Digits+2, r.Got, r.Digits, r.Want)
		}
	}
}
