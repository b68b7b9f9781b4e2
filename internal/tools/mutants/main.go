// Command mutants asks whether the tests bite. In the packages given it changes one thing
// at a time (a comparison's boundary or sense, + for −, × for ÷, a sign, ++ for −−, or a
// number by 5 per cent) and lists what the package's tests let live.
//
// Every change is built into one test binary behind a switch, which the environment throws,
// so that a package is compiled once; a change is put only to the tests that pass its place. Numbers that
// are no quantity are left out by internal/rules/bounds.txt; changes that no input can tell
// from the code are argued in internal/rules/mutants.txt and counted apart.
//
//	go run ./internal/tools/mutants ./check/drainage ./firring
//	go run ./internal/tools/mutants -least 85 ./check/...
//	go run ./internal/tools/mutants -n 60 -seed 2 ./cutting    # a sample
package main

import (
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"time"
)

// tally is what became of one kind of change in a package.
type tally struct{ caught, argued, lived, unreached int }

// manner is how the changes are tried.
type manner struct {
	timeout time.Duration
	// processor is how much of a processor's time a run may take, 0 for any.
	processor time.Duration
	only      string
	short     bool
	run       string
	at        string
	most      int
	seed      int64
}

// elsewhere reports whether a change lies on no line that is asked for.
func (h manner) elsewhere(c change) bool {
	return h.at != "" && !slices.Contains(strings.Split(h.at, ","), fmt.Sprintf("%s:%d", c.file, c.line))
}

// skips reports whether a kind of change is not asked for.
func (h manner) skips(number bool) bool {
	return h.only == "numbers" && !number || h.only == "operators" && number
}

func (t tally) plus(o tally) tally {
	return tally{t.caught + o.caught, t.argued + o.argued, t.lived + o.lived, t.unreached + o.unreached}
}

func (t tally) print(room string, number bool) {
	name := "operators"
	if number {
		name = "numbers"
	}
	fmt.Printf("%-22s %-10s %7d %7d %7d %12d %6.0f\n", room, name, t.caught, t.argued, t.lived, t.unreached, t.percent())
}

func (t tally) percent() float64 {
	return 100 * float64(t.caught) / math.Max(1, float64(t.caught+t.lived))
}

func main() {
	bounds := flag.String("bounds", "internal/rules/bounds.txt", "the list of numbers that are no quantity")
	argued := flag.String("argued", "internal/rules/mutants.txt", "the list of changes that no input can tell from the code")
	least := flag.Float64("least", 0, "fail where a package catches less than this, per cent of what its tests reach")
	var how manner
	flag.DurationVar(&how.timeout, "timeout", 2*time.Minute, "for one run of a package's tests")
	flag.StringVar(&how.only, "only", "", "numbers or operators")
	flag.BoolVar(&how.short, "short", false, "run the short tests only")
	flag.StringVar(&how.run, "run", "^(Test|Example|Fuzz)", "the tests that are asked")
	flag.StringVar(&how.at, "at", "", "only changes at these lines: plane/flow.go:175,plane/loop.go:56")
	flag.IntVar(&how.most, "n", 0, "how many changes of each kind are tried, drawn from those that the tests reach; 0 for all")
	flag.Int64Var(&how.seed, "seed", 1, "which ones")
	flag.Parse()
	lists, err := listsOf(*bounds, *argued)
	if err != nil {
		fail(err)
	}
	rooms, exports, err := roomsOf(flag.Args())
	if err != nil {
		fail(err)
	}
	short := false
	sum := map[bool]tally{}
	fmt.Printf("%-22s %-10s %7s %7s %7s %12s %6s\n", "package", "change", "caught", "argued", "lived", "not reached", "%")
	for _, r := range rooms {
		m, err := r.mutate(lists, exports)
		if err != nil {
			fail(err)
		}
		if err := m.run(lists, how); err != nil {
			fail(err)
		}
		for _, number := range []bool{false, true} {
			if how.skips(number) {
				continue
			}
			t := m.tallies[number]
			short = short || t.percent() < *least
			t.print(r.name(), number)
			sum[number] = sum[number].plus(t)
		}
	}
	for _, number := range []bool{false, true} {
		if !how.skips(number) {
			sum[number].print("all", number)
		}
	}
	if short {
		os.Exit(1)
	}
}

func fail(err error) {
	fmt.Fprintln(os.Stderr, err)
	os.Exit(2)
}

// lists are the two lists of what need not be noticed.
type lists struct {
	bounds map[string]bool    // "check/wind mapTopMS"
	argued map[[3]string]bool // file, kind, source line
}

func listsOf(bounds, argued string) (lists, error) {
	l := lists{map[string]bool{}, map[[3]string]bool{}}
	text, err := os.ReadFile(bounds)
	if err != nil {
		return l, err
	}
	for _, line := range strings.Split(string(text), "\n") {
		if f := strings.Fields(line); len(f) > 2 && !strings.HasPrefix(f[0], "#") {
			l.bounds[f[0]+" "+f[1]] = true
		}
	}
	if text, err = os.ReadFile(argued); err != nil {
		return l, err
	}
	for n, line := range strings.Split(string(text), "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		f := strings.Split(line, " | ")
		if len(f) != 4 {
			return l, fmt.Errorf("%s:%d: give file | kind | source line | reason", argued, n+1)
		}
		l.argued[[3]string{f[0], f[1], f[2]}] = true
	}
	return l, nil
}
