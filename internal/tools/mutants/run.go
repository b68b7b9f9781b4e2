package main

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
)

// helpers is put into the package: the switches, and a note of which were passed.
const helpers = `
import (
	"cmp"
	"math"
	"os"
	"strconv"
	"sync/atomic"
)

const mutantMath = math.Pi // the constants of a package may name others of math

var mutantActive, _ = strconv.Atoi(os.Getenv("MUTANT"))
var mutantSeen = os.Getenv("MUTANT_SEEN")
var mutantPassed [1 << 16]atomic.Bool

func mutantOn(k int) bool {
	if mutantSeen != "" {
		if !mutantPassed[k].Load() && mutantPassed[k].CompareAndSwap(false, true) {
			f, err := os.OpenFile(mutantSeen, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
			if err == nil {
				f.WriteString(strconv.Itoa(k) + "\n")
				f.Close()
			}
		}
	}
	return k == mutantActive
}

type mutantNumber interface {
	~int | ~int8 | ~int16 | ~int32 | ~int64 | ~uint | ~uint8 | ~uint16 | ~uint32 | ~uint64 | ~float32 | ~float64
}

func mutantOf[T any](k int, was, moved T) T {
	if mutantOn(k) {
		return moved
	}
	return was
}
func mutantNot(k int, b bool) bool { return b != mutantOn(k) }
func mutantAdd[T mutantNumber](k int, a, b T) T {
	if mutantOn(k) {
		return a - b
	}
	return a + b
}
func mutantSub[T mutantNumber](k int, a, b T) T {
	if mutantOn(k) {
		return a + b
	}
	return a - b
}
func mutantMul[T mutantNumber](k int, a, b T) T {
	if mutantOn(k) {
		return a / b
	}
	return a * b
}
func mutantQuo[T mutantNumber](k int, a, b T) T {
	if mutantOn(k) {
		return a * b
	}
	return a / b
}
func mutantRem[T ~int | ~int8 | ~int16 | ~int32 | ~int64 | ~uint | ~uint8 | ~uint16 | ~uint32 | ~uint64](k int, a, b T) T {
	if mutantOn(k) {
		return a * b
	}
	return a % b
}
func mutantNeg[T mutantNumber](k int, a T) T {
	if mutantOn(k) {
		return a
	}
	return -a
}
func mutantStep[T mutantNumber](k int, at *T, by int) {
	if (by > 0) != mutantOn(k) {
		*at++
	} else {
		*at--
	}
}
func mutantLess[T cmp.Ordered](k int, a, b T) bool {
	if mutantOn(k) {
		return a <= b
	}
	return (a < b) != mutantOn(k+1)
}
func mutantAtMost[T cmp.Ordered](k int, a, b T) bool {
	if mutantOn(k) {
		return a < b
	}
	return (a <= b) != mutantOn(k+1)
}
func mutantMore[T cmp.Ordered](k int, a, b T) bool {
	if mutantOn(k) {
		return a >= b
	}
	return (a > b) != mutantOn(k+1)
}
func mutantAtLeast[T cmp.Ordered](k int, a, b T) bool {
	if mutantOn(k) {
		return a > b
	}
	return (a >= b) != mutantOn(k+1)
}
`

// run builds the tests with all switches in, throws one after the other, and prints what lives as it is found.
func (m *mutants) run(l lists, how manner) error {
	dir, err := os.MkdirTemp("", "mutants")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	binary, err := m.build(dir)
	if err != nil {
		return err
	}
	tests, err := m.reached(binary, dir, how)
	if err != nil {
		return err
	}
	seen := map[int]bool{}
	for _, t := range tests {
		for k := range t.seen {
			seen[k] = true
		}
	}
	for _, k := range m.drawn(seen, l, how) {
		c := m.changes[k-1]
		t := m.tallies[c.number]
		if m.noticed(binary, k, tests, how) {
			t.caught++
		} else {
			t.lived++
			fmt.Printf("  %s:%d  %s  %s   %s\n", c.file, c.line, c.kind, c.says, c.text)
		}
		m.tallies[c.number] = t
	}
	return nil
}

// oneTest is a test with the changes that it passes and the time a processor takes over it alone.
type oneTest struct {
	name string
	seen map[int]bool
	took time.Duration
}

// reached runs each test alone, and returns which changes it passes; the quickest come first.
func (m *mutants) reached(binary, dir string, how manner) ([]oneTest, error) {
	list := exec.Command(binary, "-test.list", how.run)
	list.Dir = m.room.Dir
	out, err := list.Output()
	if err != nil {
		return nil, fmt.Errorf("%s: list of tests: %w", m.room.name(), err)
	}
	var tests []oneTest
	for i, name := range strings.Fields(string(out)) {
		if strings.HasPrefix(name, "Benchmark") {
			continue
		}
		file := filepath.Join(dir, "seen"+strconv.Itoa(i))
		took, out, err := m.test(binary, 0, []string{name}, "MUTANT_SEEN="+file, how)
		if err != nil {
			return nil, fmt.Errorf("%s of %s fails unchanged: %w\n%s", name, m.room.name(), err, out)
		}
		t := oneTest{name, map[int]bool{}, took}
		text, err := os.ReadFile(file)
		if err != nil && !os.IsNotExist(err) {
			return nil, err
		}
		for _, f := range strings.Fields(string(text)) {
			k, err := strconv.Atoi(f)
			if err != nil {
				return nil, err
			}
			t.seen[k] = true
		}
		tests = append(tests, t)
	}
	slices.SortStableFunc(tests, func(a, b oneTest) int { return cmp.Compare(a.took, b.took) })
	return tests, nil
}

// noticed asks the tests that pass a change whether they notice it: the quick ones in one run, then the others.
func (m *mutants) noticed(binary string, k int, tests []oneTest, how manner) bool {
	const quick = 200 * time.Millisecond
	var names [2][]string
	var took [2]time.Duration
	for _, t := range tests {
		if !t.seen[k] {
			continue
		}
		group := 0
		if t.took > quick {
			group = 1
		}
		names[group] = append(names[group], t.name)
		took[group] += t.took
	}
	for group, n := range names {
		if len(n) == 0 {
			continue
		}
		// A change may send a loop round for ever: no run may take much more of a processor than its tests did.
		limited := how
		limited.processor = 4*took[group] + time.Second
		if _, _, err := m.test(binary, k, n, "", limited); err != nil {
			return true
		}
	}
	return false
}

// drawn counts what is not tried, and returns the numbers of the changes that are.
func (m *mutants) drawn(seen map[int]bool, l lists, how manner) []int {
	kinds := map[bool][]int{}
	for i, c := range m.changes {
		t := m.tallies[c.number]
		switch {
		case how.skips(c.number) || how.elsewhere(c):
		case !seen[i+1]:
			t.unreached++
		case l.argued[[3]string{c.file, c.kind, c.text}]:
			t.argued++
		default:
			kinds[c.number] = append(kinds[c.number], i+1)
		}
		m.tallies[c.number] = t
	}
	var out []int
	for _, number := range []bool{false, true} {
		list := kinds[number]
		if how.most > 0 && how.most < len(list) {
			rand.New(rand.NewSource(how.seed)).Shuffle(len(list), func(a, b int) { list[a], list[b] = list[b], list[a] })
			list = list[:how.most]
			slices.Sort(list)
		}
		out = append(out, list...)
	}
	return out
}

// test runs the tests named with a change, and returns the processor's time and what they print.
func (m *mutants) test(binary string, k int, names []string, env string, how manner) (time.Duration, []byte, error) {
	ctx, cancel := context.WithTimeout(context.Background(), how.timeout)
	defer cancel()
	args := []string{binary, "-test.failfast", "-test.run", "^(" + strings.Join(names, "|") + ")$"}
	if how.short {
		args = append(args, "-test.short")
	}
	if m.draws() {
		args = append(args, "-rapid.nofailfile") // a test that notices is no find to keep
	}
	if how.processor > 0 {
		limit := strconv.Itoa(int(math.Ceil(how.processor.Seconds())))
		args = append([]string{"sh", "-c", "ulimit -t " + limit + `; exec "$0" "$@"`}, args...)
	}
	cmd := exec.CommandContext(ctx, args[0], args[1:]...)
	cmd.Dir = m.room.Dir
	cmd.Env = append(os.Environ(), "MUTANT="+strconv.Itoa(k))
	if env != "" {
		cmd.Env = append(cmd.Env, env)
	}
	out, err := cmd.CombinedOutput()
	if cmd.ProcessState == nil {
		return 0, out, err
	}
	return cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime(), out, err
}

// draws reports whether the package's tests draw at random.
func (m *mutants) draws() bool {
	for name, src := range m.sources {
		if strings.HasSuffix(name, "_test.go") && strings.Contains(string(src), `"pgregory.net/rapid"`) {
			return true
		}
	}
	return false
}

// build compiles the package's tests with the switches laid over its files.
func (m *mutants) build(dir string) (string, error) {
	replace := map[string]string{}
	put := func(name string, text []byte) error {
		to := filepath.Join(dir, strconv.Itoa(len(replace))+".go")
		replace[name] = to
		return os.WriteFile(to, text, 0o600)
	}
	pkg := ""
	for name := range m.sources {
		if err := put(name, m.write(name)); err != nil {
			return "", err
		}
		if pkg == "" && !strings.HasSuffix(name, "_test.go") {
			pkg = packageOf(m.sources[name])
		}
	}
	imports := ""
	for path, name := range m.imports {
		if !strings.Contains(helpers, "\t"+strconv.Quote(path)+"\n") {
			imports += fmt.Sprintf("import %s %q\n", name, path)
		}
	}
	if err := put(filepath.Join(m.room.Dir, "mutant_switches.go"), []byte("package "+pkg+"\n"+imports+helpers+m.extra.String())); err != nil {
		return "", err
	}
	overlay := filepath.Join(dir, "overlay.json")
	text, err := json.Marshal(map[string]map[string]string{"Replace": replace})
	if err != nil {
		return "", err
	}
	if err := os.WriteFile(overlay, text, 0o600); err != nil {
		return "", err
	}
	binary := filepath.Join(dir, "tests")
	if out, err := exec.Command("go", "test", "-c", "-vet=off", "-overlay", overlay, "-o", binary,
		m.room.ImportPath).CombinedOutput(); err != nil {
		return "", fmt.Errorf("%s does not build with its switches: %w\n%s", m.room.name(), err, out)
	}
	return binary, nil
}

func packageOf(src []byte) string {
	for _, line := range strings.Split(string(src), "\n") {
		if name, ok := strings.CutPrefix(line, "package "); ok {
			return strings.TrimSpace(name)
		}
	}
	return ""
}
