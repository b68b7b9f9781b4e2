// Command speed prints how long the program takes at two revisions, side by side. Both
// are built from git into a temporary folder; each question is asked of both in turn,
// several times, and the medians of user CPU are printed with their ratio, and the
// greatest memory of the newer. Where node is there, the WebAssembly build answers too;
// of it wall time is taken, as no other is known inside. A question that fails has a dash.
//
//	speed [-of REVISION] [-against REVISION] [-runs N] [-only WORDS]
package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"

	"gelwright/bench/year"
)

func main() {
	of := flag.String("of", "HEAD", "the revision that is measured")
	against := flag.String("against", "HEAD~1", "the revision it is set beside")
	runs := flag.Int("runs", 5, "how often each question is asked")
	only := flag.String("only", "", "only lines with these words")
	flag.Parse()
	if err := run(*of, *against, max(*runs, 1), *only); err != nil {
		fmt.Fprintln(os.Stderr, "speed:", err)
		os.Exit(1)
	}
}

// question is a line of the table. In its words OUT is a new folder, WORKS the roof of
// 5,000 m² and YEAR a forecast of a year. What is not asked of the program is asked of a
// command that takes the time inside itself; its answer is read.
type question struct {
	name string
	aim  time.Duration
	of   asked
	args []string
}

// asked is who answers a question.
type asked int

const (
	program asked = iota // the program, as a whole process
	warm                 // WebAssembly that has been asked twice before
	stop                 // the longest between two looks whether a plan is still wanted
)

const (
	works    = "bench/speed/works-5000m2.yaml"
	yearFile = "year.csv"
)

func questions() []question {
	const r01, r04, r12 = "examples/r01-garage.yaml", "examples/r04-l-shape.yaml", "examples/r12-hall.yaml"
	ms := time.Millisecond
	words := func(s string) []string { return strings.Fields(s) }
	return []question{
		{"garage R01, plan", 50 * ms, program, words("plan -q " + r01)},
		{"garage R01, with its papers", 400 * ms, program, words("plan -q --out OUT " + r01)},
		{"L-shape R04, plan", 150 * ms, program, words("plan -q " + r04)},
		{"L-shape R04, with its papers", 700 * ms, program, words("plan -q --out OUT " + r04)},
		{"hall R12, plan", 1000 * ms, program, words("plan -q " + r12)},
		{"hall R12, with its papers", 2500 * ms, program, words("plan -q --out OUT " + r12)},
		{"5,000 m² with 80 openings, plan", 5000 * ms, program, words("plan -q WORKS")},
		{"now", 100 * ms, program, words("now " + r01 + " --at 2026-05-11T10:30 --forecast examples/forecast.csv")},
		{"when, 365 days", 1500 * ms, program, words("when " + r01 + " --forecast YEAR --from 2026-01-01 --days 365")},
		{"hall R12, until a plan is stopped", 50 * ms, stop, words(r12)},
		{"WebAssembly, warm: R01", 250 * ms, warm, words("plan " + r01)},
		{"WebAssembly, warm: R04", 600 * ms, warm, words("plan " + r04)},
		{"WebAssembly, warm: R01, another temperature", 100 * ms, warm, words("temperature " + r01)},
	}
}

func run(of, against string, runs int, only string) error {
	dir, err := os.MkdirTemp("", "speed-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	after, err := build(filepath.Join(dir, "after"), of)
	if err != nil {
		return err
	}
	before, err := build(filepath.Join(dir, "before"), against)
	if err != nil {
		return err
	}
	fmt.Printf("%-45s %10s %10s %7s %9s %8s\n", "median of "+strconv.Itoa(runs)+", user CPU", against, of, "ratio", "aim", "memory")
	for _, q := range questions() {
		if !strings.Contains(q.name, only) {
			continue
		}
		var was, is []time.Duration
		var memory int64
		for i := 0; i < runs; i++ {
			a, _ := before.ask(q)
			b, kb := after.ask(q)
			was, is, memory = append(was, a), append(is, b), max(memory, kb)
		}
		fmt.Println(line(q, median(was), median(is), memory))
	}
	return nil
}

// line prints a question's answers, a dash for what could not be asked.
func line(q question, was, is time.Duration, memoryKB int64) string {
	ms := func(d time.Duration) string {
		if d <= 0 {
			return "–"
		}
		return fmt.Sprintf("%d ms", d.Milliseconds())
	}
	ratio, memory := "–", ""
	if was > 0 && is > 0 {
		ratio = fmt.Sprintf("%.2f", is.Seconds()/was.Seconds())
	}
	if memoryKB > 0 {
		memory = fmt.Sprintf("%d MB", memoryKB>>10)
	}
	return fmt.Sprintf("%-45s %10s %10s %7s %9s %8s", q.name, ms(was), ms(is), ratio, ms(q.aim), memory)
}

func median(d []time.Duration) time.Duration {
	slices.Sort(d)
	return d[len(d)/2]
}

// revision is the program at one revision, built.
type revision struct {
	dir, native, stop string
	warm              []string // the words that run the WebAssembly; nil where there is none
}

// build takes a revision out of git into dir and builds it there. What the revision does
// not have, the WebAssembly question among it, is left out.
func build(dir, name string) (revision, error) {
	p := revision{dir: dir, native: filepath.Join(dir, "gelwright")}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return p, err
	}
	archive, err := exec.Command("git", "archive", name).Output()
	if err != nil {
		return p, fmt.Errorf("git archive %s: %w", name, err)
	}
	unpack := exec.Command("tar", "-x", "-C", dir)
	unpack.Stdin = bytes.NewReader(archive)
	if err := unpack.Run(); err != nil {
		return p, fmt.Errorf("unpacking %s: %w", name, err)
	}
	// The questions are today's, whatever the revision has.
	if err := os.CopyFS(filepath.Join(dir, "bench", "speed-now"), os.DirFS("bench/speed")); err != nil {
		return p, err
	}
	if err := p.compile(p.native, "./cmd/gelwright", nil); err != nil {
		return p, err
	}
	hours := year.Hours(time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC))
	if err := os.WriteFile(filepath.Join(dir, yearFile), []byte(hours), 0o644); err != nil {
		return p, err
	}
	out := filepath.Join(dir, "stop")
	if err := p.compile(out, "./bench/speed-now/stop", nil); err != nil {
		fmt.Fprintf(os.Stderr, "speed: %s cannot be asked how soon it stops: %v\n", name, err)
	} else {
		p.stop = out
	}
	if node, err := exec.LookPath("node"); err == nil {
		root, err := exec.Command("go", "env", "GOROOT").Output()
		if err != nil {
			return p, err
		}
		out := filepath.Join(dir, "warm.wasm")
		// As the revision compiles its engine, where it says how.
		flags, _ := p.run("bash", "scripts/engine-flags.sh")
		if err := p.compile(out, "./bench/speed-now/warm", flags, "GOOS=js", "GOARCH=wasm"); err != nil {
			fmt.Fprintf(os.Stderr, "speed: %s has no WebAssembly to ask: %v\n", name, err)
		} else {
			p.warm = []string{node, "--stack-size=8192", filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec_node.js"), out}
		}
	}
	return p, nil
}

// run is the words that a command of the revision's prints; none where it has no such command.
func (p revision) run(name string, args ...string) ([]string, error) {
	c := exec.Command(name, args...)
	c.Dir = p.dir
	text, err := c.Output()
	return strings.Fields(string(text)), err
}

func (p revision) compile(out, what string, flags []string, env ...string) error {
	c := exec.Command("go", append(append([]string{"build"}, flags...), "-trimpath", "-buildvcs=false", "-o", out, what)...)
	c.Dir, c.Env = p.dir, append(os.Environ(), env...)
	if text, err := c.CombinedOutput(); err != nil {
		return fmt.Errorf("building %s: %w: %s", what, err, text)
	}
	return nil
}

// longest is how long an answer may take; exitNo is the exit code of one that says no.
const (
	longest = 10 * time.Minute
	exitNo  = 4
)

// ask returns the user CPU of an answer and the greatest memory, kB; 0 where there is none.
func (p revision) ask(q question) (time.Duration, int64) {
	out, err := os.MkdirTemp(p.dir, "out")
	if err != nil {
		return 0, 0
	}
	defer os.RemoveAll(out)
	var args []string
	for _, a := range q.args {
		switch a {
		case "OUT":
			a = out
		case "WORKS":
			a = strings.Replace(works, "speed", "speed-now", 1)
		case "YEAR":
			a = yearFile
		}
		args = append(args, a)
	}
	ctx, end := context.WithTimeout(context.Background(), longest)
	defer end()
	switch {
	case q.of == warm && p.warm != nil:
		return p.read(exec.CommandContext(ctx, p.warm[0], append(p.warm[1:len(p.warm):len(p.warm)], args...)...)), 0
	case q.of == stop && p.stop != "":
		return p.read(exec.CommandContext(ctx, p.stop, args...)), 0
	case q.of != program:
		return 0, 0
	}
	c := exec.CommandContext(ctx, p.native, args...)
	c.Dir = p.dir
	// A no is an answer too.
	if c.Run() != nil && c.ProcessState.ExitCode() != exitNo {
		return 0, 0
	}
	use, _ := c.ProcessState.SysUsage().(*syscall.Rusage)
	return c.ProcessState.UserTime(), use.Maxrss
}

// read is the time that a command prints; 0 where it prints none.
func (p revision) read(c *exec.Cmd) time.Duration {
	c.Dir = p.dir
	text, err := c.Output()
	if err != nil {
		return 0
	}
	d, err := time.ParseDuration(strings.TrimSpace(string(text)))
	if err != nil {
		return 0
	}
	return d
}
