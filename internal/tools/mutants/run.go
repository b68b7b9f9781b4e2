package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
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

// run builds the tests with all switches in, and throws one after the other.
func (m *mutants) run(l lists, timeout time.Duration, only string, short bool) (lived []string, err error) {
	dir, err := os.MkdirTemp("", "mutants")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	binary, err := m.build(dir)
	if err != nil {
		return nil, err
	}
	seenFile := filepath.Join(dir, "seen")
	started := time.Now()
	if out, err := m.test(binary, 0, "MUTANT_SEEN="+seenFile, timeout, short); err != nil {
		return nil, fmt.Errorf("%s fails unchanged: %w\n%s", m.room.name(), err, out)
	}
	// A change may send a loop round for ever: no run may last much longer than the first.
	if long := 20*time.Since(started) + 5*time.Second; long < timeout {
		timeout = long
	}
	text, err := os.ReadFile(seenFile)
	if err != nil && !os.IsNotExist(err) {
		return nil, err
	}
	seen := map[int]bool{}
	for _, f := range strings.Fields(string(text)) {
		k, err := strconv.Atoi(f)
		if err != nil {
			return nil, err
		}
		seen[k] = true
	}
	for i, c := range m.changes {
		if only == "numbers" && !c.number || only == "operators" && c.number {
			continue
		}
		t := m.tallies[c.number]
		k := i + 1
		switch {
		case !seen[k]:
			t.unreached++
		case l.argued[[3]string{c.file, c.kind, c.text}]:
			t.argued++
		default:
			if _, err := m.test(binary, k, "", timeout, short); err != nil {
				t.caught++
				break
			}
			t.lived++
			lived = append(lived, fmt.Sprintf("%s:%d  %s  %s   %s", c.file, c.line, c.kind, c.says, c.text))
		}
		m.tallies[c.number] = t
	}
	return lived, nil
}

func (m *mutants) test(binary string, k int, env string, timeout time.Duration, short bool) ([]byte, error) {
	ctx, cancel := context.WithTimeout(context.Background(), timeout)
	defer cancel()
	args := []string{"-test.failfast", "-test.run", "^(Test|Example|Fuzz)"}
	if short {
		args = append(args, "-test.short")
	}
	if m.draws() {
		args = append(args, "-rapid.nofailfile") // a test that notices is no find to keep
	}
	cmd := exec.CommandContext(ctx, binary, args...)
	cmd.Dir = m.room.Dir
	cmd.Env = append(os.Environ(), "MUTANT="+strconv.Itoa(k))
	if env != "" {
		cmd.Env = append(cmd.Env, env)
	}
	return cmd.CombinedOutput()
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
	if err := put(filepath.Join(m.room.Dir, "mutant_switches.go"), []byte("package "+pkg+"\n"+helpers+m.extra.String())); err != nil {
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
