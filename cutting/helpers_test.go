package cutting

import (
	"bufio"
	"encoding/csv"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// full runs every published instance; without it a third of them.
var full = flag.Bool("full", false, "run all published instances")

type instance struct {
	name, group string
	problem     Problem
	optimum     int
}

// published reads testdata/csp.
func published(t testing.TB) []instance {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", "csp", "OPTIMA.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var all []instance
	for _, row := range rows[1:] {
		opt, err := strconv.Atoi(row[6])
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, instance{row[0], row[1], readCSP(t, filepath.Join("testdata", "csp", row[0])), opt})
	}
	return all
}

func numbers(t testing.TB, path string) []int {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []int
	s := bufio.NewScanner(f)
	s.Split(bufio.ScanWords)
	for s.Scan() {
		n, err := strconv.Atoi(s.Text())
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		out = append(out, n)
	}
	return out
}

func readCSP(t testing.TB, path string) Problem {
	n := numbers(t, path)
	p := Problem{Stocks: []Stock{{"bar", n[1], 1, -1}}}
	for i := 0; i < n[0]; i++ {
		p.Pieces = append(p.Pieces, Piece{fmt.Sprint("p", i+1), n[2+2*i], n[3+2*i]})
	}
	return p
}
