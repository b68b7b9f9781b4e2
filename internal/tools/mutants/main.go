// Command mutants runs gremlins on packages and prints what the tests let live: it
// changes conditions, signs and operators one at a time. A survivor that no input can
// tell from the code is argued in internal/rules/mutants.txt, one line each
// (file, kind, the source line, the reason), and counted apart.
//
//	go run ./internal/tools/mutants -gremlins PATH check/drainage firring
package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// outcome is what gremlins writes.
type outcome struct {
	Files []struct {
		FileName  string `json:"file_name"`
		Mutations []struct {
			Type   string `json:"type"`
			Status string `json:"status"`
			Line   int    `json:"line"`
			Column int    `json:"column"`
		} `json:"mutations"`
	} `json:"files"`
}

type tally struct{ caught, argued, lived, unreached int }

func main() {
	gremlins := flag.String("gremlins", "gremlins", "the gremlins program")
	arguments := flag.String("argued", "internal/rules/mutants.txt", "the list of survivors that no input can tell from the code")
	least := flag.Float64("least", 0, "fail where a package catches less than this, per cent of what its tests reach")
	flag.Parse()
	argued, err := arguedIn(*arguments)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
	fmt.Printf("%-20s %7s %7s %7s %12s %6s\n", "package", "caught", "argued", "lived", "not reached", "%")
	short := false
	for _, room := range flag.Args() {
		t, lived, err := run(*gremlins, strings.TrimPrefix(filepath.Clean(room), "./"), argued)
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(2)
		}
		pct := 100 * float64(t.caught) / math.Max(1, float64(t.caught+t.lived))
		short = short || pct < *least
		fmt.Printf("%-20s %7d %7d %7d %12d %6.0f\n", room, t.caught, t.argued, t.lived, t.unreached, pct)
		for _, l := range lived {
			fmt.Println("  " + l)
		}
	}
	if short {
		os.Exit(1)
	}
}

// arguedIn reads the argued survivors: "check/wind/zones.go | CONDITIONALS_BOUNDARY | source line | reason".
func arguedIn(file string) (map[[3]string]bool, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	out := map[[3]string]bool{}
	for n, line := range strings.Split(string(text), "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		f := strings.Split(line, " | ")
		if len(f) != 4 {
			return nil, fmt.Errorf("%s:%d: give file | kind | source line | reason", file, n+1)
		}
		out[[3]string{f[0], f[1], f[2]}] = true
	}
	return out, nil
}

// run mutates one package and sorts what became of it.
func run(gremlins, room string, argued map[[3]string]bool) (t tally, lived []string, err error) {
	out, err := os.CreateTemp("", "mutants-*.json")
	if err != nil {
		return t, nil, err
	}
	out.Close()
	defer os.Remove(out.Name())
	if text, err := exec.Command(gremlins, "unleash", "--workers", "1", "--timeout-coefficient", "20", "-o", out.Name(), "./"+room).CombinedOutput(); err != nil {
		return t, nil, fmt.Errorf("gremlins on %s: %w\n%s", room, err, text)
	}
	text, err := os.ReadFile(out.Name())
	if err != nil {
		return t, nil, err
	}
	var o outcome
	if err := json.Unmarshal(text, &o); err != nil {
		return t, nil, fmt.Errorf("gremlins on %s: %w", room, err)
	}
	for _, f := range o.Files {
		name := filepath.ToSlash(f.FileName)
		if !strings.HasPrefix(name, room) {
			name = room + "/" + filepath.Base(name)
		}
		src, err := os.ReadFile(filepath.FromSlash(name))
		if err != nil {
			return t, nil, err
		}
		lines := strings.Split(string(src), "\n")
		for _, m := range f.Mutations {
			switch m.Status {
			case "KILLED", "TIMED OUT":
				t.caught++
			case "NOT COVERED":
				t.unreached++
			case "LIVED":
				line := strings.TrimSpace(lines[m.Line-1])
				if argued[[3]string{name, m.Type, line}] {
					t.argued++
					continue
				}
				t.lived++
				lived = append(lived, fmt.Sprintf("%s:%d:%d  %s  %s", name, m.Line, m.Column, m.Type, line))
			}
		}
	}
	return t, lived, nil
}
