// Command nudge asks whether the tests would notice a wrong constant: it moves one
// number of the code at a time by 5 per cent, runs the tests of its package, and lists
// the numbers that nothing noticed. The tree is left alone (go test -overlay).
//
// Numbers that are no quantity (bounds of a search, steps, tolerances) are named
// constants listed with their reason in internal/rules/bounds.txt; they are left out.
//
//	go run ./internal/tools/nudge -n 60 -seed 1 ./check/... ./cure
//	go run ./internal/tools/nudge -n 0 -also ./plan ./laminate    # all, and plan's tests too
package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"math"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"time"
)

type pkg struct {
	Dir, ImportPath string
	GoFiles         []string
	Module          struct{ Path string }
}

// room is the package's path within the module: "check/wind".
func (p pkg) room() string { return strings.TrimPrefix(p.ImportPath, p.Module.Path+"/") }

// site is one number in the code.
type site struct {
	pkg        pkg
	file       string
	line       int
	from, to   int // bytes
	was, moved string
	text       string
}

type count struct{ noticed, lived int }

func main() {
	n := flag.Int("n", 40, "how many numbers to move; 0 for all")
	seed := flag.Int64("seed", 1, "which ones")
	also := flag.String("also", "", "packages whose tests may notice too, separated by commas")
	short := flag.Bool("short", false, "run the short tests only")
	timeout := flag.Duration("timeout", 3*time.Minute, "for one run of tests")
	bounds := flag.String("bounds", "internal/rules/bounds.txt", "the list of numbers that are no quantity")
	flag.Parse()
	listed, err := listedIn(*bounds)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
	sites, left, err := find(flag.Args(), listed)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
	rand.New(rand.NewSource(*seed)).Shuffle(len(sites), func(i, j int) { sites[i], sites[j] = sites[j], sites[i] })
	all := len(sites)
	if *n > 0 && *n < len(sites) {
		sites = sites[:*n]
	}
	report(sites, all, left, func(s site) string { return try(s, *also, *short, *timeout) })
}

// report tries every site and prints what lived, by package and in all.
func report(sites []site, all, left int, try func(site) string) {
	here, err := os.Getwd()
	if err != nil {
		here = "."
	}
	by := map[string]*count{}
	sum, broken := count{}, 0
	for _, s := range sites {
		c := by[s.pkg.room()]
		if c == nil {
			c = &count{}
			by[s.pkg.room()] = c
		}
		switch try(s) {
		case "noticed":
			c.noticed, sum.noticed = c.noticed+1, sum.noticed+1
		case "lived":
			c.lived, sum.lived = c.lived+1, sum.lived+1
			rel, err := filepath.Rel(here, s.file)
			if err != nil {
				rel = s.file
			}
			fmt.Printf("lived  %s:%d  %s -> %s   %s\n", rel, s.line, s.was, s.moved, s.text)
		default:
			broken++
		}
	}
	names := make([]string, 0, len(by))
	for name := range by {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		fmt.Printf("%-24s %s\n", name, by[name])
	}
	fmt.Printf("%d of %d numbers tried (%d listed as no quantity, %d did not compile): %s\n", len(sites), all, left, broken, sum)
}

func (c count) String() string {
	return fmt.Sprintf("%d noticed, %d lived: %.0f %%", c.noticed, c.lived, 100*float64(c.noticed)/math.Max(1, float64(c.noticed+c.lived)))
}

// listedIn reads the names of constants that are no quantity: "check/wind mapTopMS".
func listedIn(file string) (map[string]bool, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	listed := map[string]bool{}
	for _, line := range strings.Split(string(text), "\n") {
		if f := strings.Fields(line); len(f) > 2 && !strings.HasPrefix(f[0], "#") {
			listed[f[0]+" "+f[1]] = true
		}
	}
	return listed, nil
}

// find returns the numbers of the packages, and how many were left out as listed.
func find(patterns []string, listed map[string]bool) (sites []site, left int, err error) {
	out, err := exec.Command("go", append([]string{"list", "-json=Dir,ImportPath,GoFiles,Module"}, patterns...)...).Output()
	if err != nil {
		return nil, 0, fmt.Errorf("go list: %w", err)
	}
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p pkg
		if err := d.Decode(&p); err == io.EOF {
			return sites, left, nil
		} else if err != nil {
			return nil, 0, err
		}
		for _, f := range p.GoFiles {
			more, out, err := inFile(p, filepath.Join(p.Dir, f), listed)
			if err != nil {
				return nil, 0, err
			}
			sites, left = append(sites, more...), left+out
		}
	}
}

func inFile(p pkg, file string, listed map[string]bool) (sites []site, left int, err error) {
	src, err := os.ReadFile(file)
	if err != nil {
		return nil, 0, err
	}
	fset := token.NewFileSet()
	f, err := parser.ParseFile(fset, file, src, 0)
	if err != nil {
		return nil, 0, err
	}
	lines := strings.Split(string(src), "\n")
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.IndexExpr, *ast.SliceExpr, *ast.ArrayType, *ast.ImportSpec:
			return false
		case *ast.ValueSpec:
			for _, name := range n.Names {
				if listed[p.room()+" "+name.Name] {
					left++
					return false
				}
			}
		case *ast.CallExpr: // make([]T, 8) and the like
			if id, ok := n.Fun.(*ast.Ident); ok && (id.Name == "make" || id.Name == "len" || id.Name == "cap") {
				return false
			}
		case *ast.BasicLit:
			moved := move(n)
			if moved == "" {
				return true
			}
			at := fset.Position(n.Pos())
			sites = append(sites, site{p, file, at.Line, at.Offset, at.Offset + len(n.Value), n.Value, moved, shorten(lines[at.Line-1])})
		}
		return true
	})
	return sites, left, nil
}

// move returns the number 5 % larger; "" for what is no quantity (0, 1, 2, tiny tolerances, small counts).
func move(l *ast.BasicLit) string {
	switch l.Kind {
	case token.FLOAT:
		v, err := strconv.ParseFloat(strings.ReplaceAll(l.Value, "_", ""), 64)
		if err != nil || v == 0 || v == 1 || math.Abs(v) < 1e-5 {
			return ""
		}
		return strconv.FormatFloat(v*1.05, 'g', -1, 64)
	case token.INT:
		v, err := strconv.ParseInt(strings.ReplaceAll(l.Value, "_", ""), 0, 64)
		if err != nil || v < 5 || l.Value[0] == '0' {
			return ""
		}
		return strconv.FormatInt(v+int64(math.Max(1, math.Round(float64(v)*.05))), 10)
	}
	return ""
}

// try moves one number and runs the tests: "noticed", "lived" or "broken" (did not compile).
func try(s site, also string, short bool, timeout time.Duration) string {
	dir, err := os.MkdirTemp("", "nudge")
	if err != nil {
		return "broken"
	}
	defer os.RemoveAll(dir)
	src, err := os.ReadFile(s.file)
	if err != nil {
		return "broken"
	}
	changed, overlay, binary := filepath.Join(dir, "changed.go"), filepath.Join(dir, "overlay.json"), filepath.Join(dir, "tests")
	body := append(append(append([]byte{}, src[:s.from]...), s.moved...), src[s.to:]...)
	text, err := json.Marshal(map[string]map[string]string{"Replace": {s.file: changed}})
	if err != nil || os.WriteFile(changed, body, 0o644) != nil || os.WriteFile(overlay, text, 0o644) != nil {
		return "broken"
	}
	if exec.Command("go", "test", "-c", "-vet=off", "-overlay", overlay, "-o", binary, s.pkg.ImportPath).Run() != nil {
		return "broken"
	}
	if _, err := os.Stat(binary); err == nil { // a package without tests leaves none
		run := exec.Command(binary, "-test.short="+strconv.FormatBool(short), "-test.timeout="+timeout.String())
		run.Dir = s.pkg.Dir
		if run.Run() != nil {
			return "noticed"
		}
	}
	if also == "" {
		return "lived"
	}
	args := []string{"test", "-vet=off", "-count=1", "-short=" + strconv.FormatBool(short), "-timeout", timeout.String(), "-overlay", overlay}
	if exec.Command("go", append(args, strings.Split(also, ",")...)...).Run() != nil {
		return "noticed"
	}
	return "lived"
}

func shorten(s string) string {
	s = strings.TrimSpace(s)
	if r := []rune(s); len(r) > 110 {
		s = string(r[:110]) + "…"
	}
	return s
}
