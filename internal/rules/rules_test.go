package rules

import (
	"encoding/json"
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strings"
	"testing"
)

// rooms lists the packages from left to right; a package imports only from rooms
// to its left. Packages of one row stand side by side and do not import each other
// unless the row says so.
var rooms = [][]string{
	{"elementary"},
	{"unit", "working", "ode", "steps", "record"},
	{"language"},
	{"conduction", "cutting", "plane", "check"},
	{"survey"},
	{"tracing"},
	{"roof", "material"},
	{"laminate", "weather", "firring"},
	{"cure", "settingout", "check/wind", "check/snow", "check/deck", "check/drainage", "check/thermal", "check/moisture", "check/movement", "check/exposure", "check/detailing", "check/country"},
	{"mixing"},
	{"programme", "quantity"},
	{"runoff"},
	{"framing"},
	{"laying"},
	{"quantity/takeoff", "checking", "method"},
	{"plan"},
	{"scene", "rooffile", "firmfile", "gelfile", "programme/works"},
	{"desk"},
	{"drawing"},
	{"document", "margin"},
	{"store", "authority"},
	{"people", "office", "joining"},
	{"store/archive"},
	{"store/storetest", "store/tables", "store/sqlite"},
	{"work"},
	{"web", "doctor"},
	{"cmd"},
}

// impure names the imports that an engine package may not have, and why.
var impure = map[string]string{
	"os":        "the engine reads no files and no environment",
	"os/exec":   "the engine starts nothing",
	"net":       "the engine knows no network",
	"net/http":  "the engine knows no network",
	"log":       "results carry what they have to say",
	"log/slog":  "results carry what they have to say",
	"math/rand": "same input, same output",
	"syscall":   "the engine runs in a browser too",
	"unsafe":    "nothing here needs it",
}

// varying names the functions of package math whose last digit depends on the processor, because they are assembly on some, or
// rest on one that is; elementary has those that are needed.
var varying = map[string]bool{
	"Exp": true, "Exp2": true, "Expm1": true, "Pow": true, "Sinh": true, "Cosh": true, "Tanh": true, "Erf": true, "Erfc": true,
	"Gamma": true, "Lgamma": true, "J0": true, "J1": true, "Jn": true, "Y0": true, "Y1": true, "Yn": true,
}

type listed struct {
	ImportPath string
	Dir        string
	Imports    []string
}

func packages(t *testing.T) []listed {
	t.Helper()
	out, err := exec.Command("go", "list", "-json=ImportPath,Dir,Imports", "gelwright/...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	var all []listed
	dec := json.NewDecoder(strings.NewReader(string(out)))
	for dec.More() {
		var p listed
		if err := dec.Decode(&p); err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
	return all
}

// room returns the index of the row a package stands in, by its longest matching name; -1 when none.
func room(path string) int {
	path = strings.TrimPrefix(path, "gelwright/")
	best, at := -1, -1
	for i, row := range rooms {
		for _, name := range row {
			if (path == name || strings.HasPrefix(path, name+"/")) && len(name) > best {
				best, at = len(name), i
			}
		}
	}
	return at
}

func TestImportsPointOneWay(t *testing.T) {
	for _, p := range packages(t) {
		if strings.HasPrefix(p.ImportPath, "gelwright/internal/") || strings.HasPrefix(p.ImportPath, "gelwright/bench/") || strings.HasPrefix(p.ImportPath, "gelwright/examples") {
			continue
		}
		here := room(p.ImportPath)
		if here < 0 {
			t.Errorf("%s stands in no room: add it to the rows in this test and to ARCHITECTURE.md", p.ImportPath)
			continue
		}
		for _, in := range p.Imports {
			if !strings.HasPrefix(in, "gelwright/") || strings.HasPrefix(in, p.ImportPath+"/") || sameFamily(p.ImportPath, in) {
				continue
			}
			if there := room(in); there >= here {
				t.Errorf("%s imports %s, which stands to its right or beside it", p.ImportPath, in)
			}
		}
	}
}

// sameFamily reports whether both belong to one top folder, whose inner order is its own affair.
func sameFamily(a, b string) bool {
	first := func(p string) string {
		p = strings.TrimPrefix(p, "gelwright/")
		return strings.SplitN(p, "/", 2)[0]
	}
	return first(a) == first(b)
}

func TestEngineIsPure(t *testing.T) {
	engineEnd := room("gelwright/desk")
	for _, p := range packages(t) {
		at := room(p.ImportPath)
		if at < 0 || at > engineEnd || p.ImportPath == "gelwright/weather/fetch" {
			continue
		}
		for _, in := range p.Imports {
			if why, bad := impure[in]; bad {
				t.Errorf("%s imports %s: %s", p.ImportPath, in, why)
			}
		}
		sources(t, p.Dir, func(path string, file *ast.File, set *token.FileSet) {
			ast.Inspect(file, func(n ast.Node) bool {
				sel, ok := n.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				id, ok := sel.X.(*ast.Ident)
				if ok && id.Name == "time" && (sel.Sel.Name == "Now" || sel.Sel.Name == "Since" || sel.Sel.Name == "Sleep") {
					t.Errorf("%s: the engine reads no clock (time.%s)", set.Position(n.Pos()), sel.Sel.Name)
				}
				return true
			})
		})
	}
}

// What is timed beside other programs (bench) or tests the others (internal) may use the platform's functions; whatever makes a plan, a paper or a page may not.
func TestSameBitsOnEveryProcessor(t *testing.T) {
	for _, p := range packages(t) {
		if strings.HasPrefix(p.ImportPath, "gelwright/bench/") || strings.HasPrefix(p.ImportPath, "gelwright/internal/") {
			continue
		}
		sources(t, p.Dir, func(path string, file *ast.File, set *token.FileSet) {
			ast.Inspect(file, func(n ast.Node) bool {
				sel, ok := n.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				if id, ok := sel.X.(*ast.Ident); ok && id.Name == "math" && varying[sel.Sel.Name] {
					t.Errorf("%s: math.%s differs between processors in its last digit; use package elementary", set.Position(n.Pos()), sel.Sel.Name)
				}
				return true
			})
		})
	}
}

// keepers may know the store, and who of them may know the database in it: the page's program (cmd/wasm) carries neither;
// the bench fills a database with jobs.
var keepers = map[string]bool{"gelwright/cmd/gelwright": true, "gelwright/bench/portfolio": true, "gelwright/web": false, "gelwright/work": true, "gelwright/doctor": false, "gelwright/people": false, "gelwright/office": false}

func TestTheStoreIsKnownToFew(t *testing.T) {
	for _, p := range packages(t) {
		database, keeper := keepers[p.ImportPath]
		for _, in := range p.Imports {
			if sameFamily(p.ImportPath, in) || !sameFamily("gelwright/store", in) || !strings.HasPrefix(in, "gelwright/") {
				continue
			}
			if !keeper || in != "gelwright/store" && !database {
				t.Errorf("%s imports %s: jobs are kept by commands and served by web", p.ImportPath, in)
			}
		}
	}
}

func TestEveryPackageSaysWhatItKnows(t *testing.T) {
	for _, p := range packages(t) {
		said := 0
		sources(t, p.Dir, func(path string, file *ast.File, set *token.FileSet) {
			if file.Doc != nil && strings.TrimSpace(file.Doc.Text()) != "" {
				said++
				if first := new(doc.Package).Synopsis(file.Doc.Text()); file.Name.Name != "main" && !strings.HasPrefix(first, "Package "+file.Name.Name+" ") {
					t.Errorf("%s: the doc comment must begin with %q", path, "Package "+file.Name.Name)
				}
			}
		})
		if said != 1 {
			t.Errorf("%s has %d package comments, want 1 (in doc.go)", p.ImportPath, said)
		}
	}
}

// sources calls f for each Go file of a folder that is not a test.
func sources(t *testing.T, dir string, f func(path string, file *ast.File, set *token.FileSet)) {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	sort.Strings(names)
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, name, nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		f(name, file, set)
	}
}

// unfinished are marks that do not stay in the tree. They are put together here
// so that this list does not find itself.
var unfinished = []string{"TO" + "DO", "FIX" + "ME", "X" + "XX", "not imple" + "mented"}

func TestNothingIsLeftUnfinished(t *testing.T) {
	root := filepath.Join("..", "..")
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == ".git" || d.Name() == "testdata" || d.Name() == "out") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ".go") && !strings.HasSuffix(path, ".md") && !strings.HasSuffix(path, ".sh") {
			return nil
		}
		raw, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		for i, line := range strings.Split(string(raw), "\n") {
			for _, mark := range unfinished {
				if strings.Contains(line, mark) {
					t.Errorf("%s:%d: %s", path, i+1, strings.TrimSpace(line))
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
