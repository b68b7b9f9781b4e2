package rules

import (
	"bufio"
	"flag"
	"fmt"
	"go/ast"
	"go/token"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"
)

// Sizes beyond which a reader loses the thread. A file is a short chapter, a function a
// page, and a call with seven arguments wants a struct.
const (
	mostFileLines   = 500
	mostCyclomatic  = 15
	mostParameters  = 6
	mostLineLetters = 140
)

var listSizes = flag.Bool("sizes", false, "print every size beyond the rule, excepted or not")

// exceptionFile holds what may be larger, a line each: the kind of size, its place, how
// large it may be, and why.
const exceptionFile = "exceptions.txt"

// oversize is one size beyond its rule.
type oversize struct {
	kind, place string
	size        int
}

func TestSizes(t *testing.T) {
	allowed := exceptions(t)
	met := map[string]bool{}
	for _, o := range oversizes(t) {
		key := o.kind + " " + o.place
		met[key] = true
		if *listSizes {
			fmt.Println(o.kind, o.place, o.size)
		}
		if most, there := allowed[key]; !there {
			t.Errorf("%s: %s %d: part it, or argue for it in internal/rules/%s", o.place, o.kind, o.size, exceptionFile)
		} else if o.size > most {
			t.Errorf("%s: %s %d, its exception allows %d", o.place, o.kind, o.size, most)
		}
	}
	for key := range allowed {
		if !met[key] {
			t.Errorf("%s no longer needs its exception: take it out of internal/rules/%s", key, exceptionFile)
		}
	}
}

// exceptions reads the sizes that are allowed, by "kind place".
func exceptions(t *testing.T) map[string]int {
	t.Helper()
	file, err := os.Open(exceptionFile)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	out := map[string]int{}
	lines := bufio.NewScanner(file)
	for n := 1; lines.Scan(); n++ {
		line := strings.TrimSpace(lines.Text())
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		words := strings.Fields(line)
		if len(words) < 4 {
			t.Fatalf("%s:%d: want kind, place, size and the reason", exceptionFile, n)
		}
		size, err := strconv.Atoi(words[2])
		if err != nil {
			t.Fatalf("%s:%d: %v", exceptionFile, n, err)
		}
		out[words[0]+" "+words[1]] = size
	}
	return out
}

// oversizes are the sizes of the whole tree, tests left out, that pass a rule.
func oversizes(t *testing.T) []oversize {
	t.Helper()
	root, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	var out []oversize
	for _, p := range packages(t) {
		sources(t, p.Dir, func(path string, file *ast.File, set *token.FileSet) {
			place, err := filepath.Rel(root, path)
			if err != nil {
				t.Fatal(err)
			}
			place = filepath.ToSlash(place)
			out = append(out, fileSizes(t, path, place)...)
			for _, d := range file.Decls {
				if f, ok := d.(*ast.FuncDecl); ok {
					out = append(out, functionSizes(f, place)...)
				}
			}
		})
	}
	return out
}

// fileSizes are a file's lines, and how many of them are too long.
func fileSizes(t *testing.T, path, place string) []oversize {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSuffix(string(raw), "\n"), "\n")
	var out []oversize
	if len(lines) > mostFileLines {
		out = append(out, oversize{"file-lines", place, len(lines)})
	}
	long := 0
	for _, l := range lines {
		if utf8.RuneCountInString(l) > mostLineLetters {
			long++
		}
	}
	if long > 0 {
		out = append(out, oversize{"long-lines", place, long})
	}
	return out
}

// functionSizes are a function's paths and parameters.
func functionSizes(f *ast.FuncDecl, place string) []oversize {
	name := f.Name.Name
	if f.Recv != nil && len(f.Recv.List) > 0 {
		name = receiver(f.Recv.List[0].Type) + "." + name
	}
	var out []oversize
	if n := cyclomatic(f); n > mostCyclomatic {
		out = append(out, oversize{"cyclomatic", place + ":" + name, n})
	}
	if n := f.Type.Params.NumFields(); n > mostParameters {
		out = append(out, oversize{"parameters", place + ":" + name, n})
	}
	return out
}

func receiver(t ast.Expr) string {
	switch t := t.(type) {
	case *ast.StarExpr:
		return receiver(t.X)
	case *ast.IndexExpr:
		return receiver(t.X)
	case *ast.IndexListExpr:
		return receiver(t.X)
	case *ast.Ident:
		return t.Name
	}
	return "?"
}

// cyclomatic is McCabe's number of a function and the literals within it: one, and one more
// for each branch, loop, case and short-circuit (T. J. McCabe, A Complexity Measure, 1976).
func cyclomatic(f *ast.FuncDecl) int {
	n := 1
	ast.Inspect(f, func(x ast.Node) bool {
		switch x := x.(type) {
		case *ast.IfStmt, *ast.ForStmt, *ast.RangeStmt:
			n++
		case *ast.CaseClause:
			if x.List != nil {
				n++
			}
		case *ast.CommClause:
			if x.Comm != nil {
				n++
			}
		case *ast.BinaryExpr:
			if x.Op == token.LAND || x.Op == token.LOR {
				n++
			}
		}
		return true
	})
	return n
}
