package elementary

import (
	"bytes"
	"flag"
	"fmt"
	"go/format"
	"math"
	"math/big"
	"os"
	"testing"
)

var write = flag.Bool("update", false, "write tables.go anew")

// tables writes the two tables from 240-bit arithmetic.
func tables(t *testing.T) []byte {
	var b bytes.Buffer
	fmt.Fprint(&b, `package elementary

// Written by "go test ./elementary -run TestTablesAreTheFunctions -update", which computes every entry in 240 bits; without
// -update the same test compares. Not to be edited.

// powersOfTwo holds 2^(j/128): the bits of the nearest double, from which the exponent has room to be added, and what it
// lacks, as a part of itself.
var powersOfTwo = [parts]struct {
	tail float64
	bits uint64
}{
`)
	for j := range int64(parts) {
		exact := bigExp(times(bigLn2, fraction(j, parts)))
		near, _ := exact.Float64()
		tail, _ := over(less(exact, large(near)), large(near)).Float64()
		fmt.Fprintf(&b, "{%x, %#x},\n", tail, math.Float64bits(near))
	}
	fmt.Fprint(&b, `}

// logarithms holds for each part of the octave from leastMantissa on a number of eight bits close to the inverse of its
// middle, so short that its product with any number of the part, less one, is exact; and minus the logarithm of that number in
// two parts, the first a multiple of 2^-43.
var logarithms = [parts]struct {
	inverse, hi, lo float64
}{
`)
	for j := range uint64(parts) {
		from := math.Float64frombits(leastMantissa + j<<(52-partsBits))
		to := math.Float64frombits(leastMantissa + (j+1)<<(52-partsBits))
		steps := 0x1p8
		if to <= 1 {
			steps = 0x1p7
		}
		inverse := math.Round(2/(from+to)*steps) / steps
		if from <= 1 && 1 < to {
			inverse = 1 // so that the logarithm of a number close to one keeps all its digits
		}
		exact := new(big.Float).SetPrec(referenceBits).Neg(bigLog(large(inverse)))
		rough, _ := exact.Float64()
		hi := math.RoundToEven(rough*0x1p43) / 0x1p43
		lo, _ := less(exact, large(hi)).Float64()
		fmt.Fprintf(&b, "{%x, %x, %x},\n", inverse, hi, lo)
	}
	fmt.Fprint(&b, "}\n")
	text, err := format.Source(b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func TestTablesAreTheFunctions(t *testing.T) {
	want := tables(t)
	if *write {
		if err := os.WriteFile("tables.go", want, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	have, err := os.ReadFile("tables.go")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(have, want) {
		t.Error("tables.go differs from the tables computed in 240 bits; run this test with -update")
	}
}

// The parts of ln 2 that the reductions use are ln 2 to far below the last place; the heads are multiples of 2^-43, so that a
// product under 1024 with a whole number is exact.
func TestPartsOfLn2(t *testing.T) {
	for _, c := range []struct {
		name   string
		hi, lo float64
		of     int64
	}{{"ln 2 / 128", ln2PartHi, ln2PartLo, parts}, {"ln 2", ln2Hi, ln2Lo, 1}} {
		exact := over(bigLn2, large(float64(c.of)))
		miss, _ := less(exact, sum(large(c.hi), large(c.lo))).Float64()
		if math.Abs(miss) > math.Abs(c.lo)*0x1p-52 {
			t.Errorf("%s in two parts is wrong by %g", c.name, miss)
		}
		if c.hi*0x1p43 != math.Trunc(c.hi*0x1p43) {
			t.Errorf("the head of %s is no multiple of 2^-43", c.name)
		}
	}
}
