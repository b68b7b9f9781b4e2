package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
)

// room is a package as the go command lists it.
type room struct {
	Dir, ImportPath, Export string
	ForTest                 string
	GoFiles, TestGoFiles    []string
	DepOnly                 bool
	Module                  struct{ Path string }
}

func (r room) name() string { return strings.TrimPrefix(r.ImportPath, r.Module.Path+"/") }

// roomsOf lists packages, and where the compiled form of everything they import is.
func roomsOf(patterns []string) (rooms []room, exports map[string]string, err error) {
	out, err := exec.Command("go",
		append([]string{"list", "-export", "-deps", "-test", "-json=Dir,ImportPath,Export,ForTest,GoFiles,TestGoFiles,DepOnly,Module"},
			patterns...)...).Output()
	if err != nil {
		return nil, nil, fmt.Errorf("go list: %w", err)
	}
	exports = map[string]string{}
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var r room
		if err := d.Decode(&r); err == io.EOF {
			return rooms, exports, nil
		} else if err != nil {
			return nil, nil, err
		}
		if r.ForTest == "" {
			exports[r.ImportPath] = r.Export
		}
		if !r.DepOnly && r.ForTest == "" && !strings.HasSuffix(r.ImportPath, ".test") && len(r.TestGoFiles) > 0 {
			rooms = append(rooms, r)
		}
	}
}

// change is one thing that may be otherwise.
type change struct {
	file, kind string // file within the module
	line       int
	text, says string
	number     bool
}

// edit puts text in place of bytes from to to; deep orders those at one place.
type edit struct {
	from, to, deep int
	text           string
}

// mutants is a package with every change built in.
type mutants struct {
	room    room
	fset    *token.FileSet
	info    *types.Info
	lists   lists
	changes []change
	edits   map[string][]edit
	sources map[string][]byte
	// shadows are constants with their changes: object to (number of the change, its text).
	shadows map[types.Object][]shadow
	extra   strings.Builder
	// imports are the packages that shadows rest on, path to name.
	imports map[string]string
	tallies map[bool]tally
}

type shadow struct {
	k    int
	name string
}

func (r room) mutate(l lists, exports map[string]string) (*mutants, error) {
	m := &mutants{room: r, fset: token.NewFileSet(), lists: l, edits: map[string][]edit{}, sources: map[string][]byte{},
		shadows: map[types.Object][]shadow{}, tallies: map[bool]tally{}, imports: map[string]string{}}
	m.info = &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{}}
	var files []*ast.File
	for _, f := range append(append([]string{}, r.GoFiles...), r.TestGoFiles...) {
		path := filepath.Join(r.Dir, f)
		src, err := os.ReadFile(path)
		if err != nil {
			return nil, err
		}
		file, err := parser.ParseFile(m.fset, path, src, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		m.sources[path] = src
		files = append(files, file)
	}
	conf := types.Config{Importer: importer.ForCompiler(m.fset, "gc",
		func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })}
	if _, err := conf.Check(r.ImportPath, m.fset, files, m.info); err != nil {
		return nil, fmt.Errorf("%s: %w", r.name(), err)
	}
	for i, f := range files {
		if i < len(r.GoFiles) {
			m.constants(f)
		}
	}
	for i, f := range files {
		m.expressions(f, i >= len(r.GoFiles))
	}
	return m, nil
}

func (m *mutants) add(at token.Pos, kind, says string, number bool) int {
	p := m.fset.Position(at)
	lines := bytes.Split(m.sources[p.Filename], []byte("\n"))
	m.changes = append(m.changes, change{m.room.name() + "/" + filepath.Base(p.Filename), kind, p.Line,
		strings.TrimSpace(string(lines[p.Line-1])), says, number})
	return len(m.changes)
}

func (m *mutants) offset(p token.Pos) int { return m.fset.Position(p).Offset }

func (m *mutants) source(n ast.Node) string {
	p := m.fset.Position(n.Pos())
	return string(m.sources[p.Filename][p.Offset:m.offset(n.End())])
}

// constants makes a shadow of every named constant for each change of its value.
func (m *mutants) constants(f *ast.File) {
	ast.Inspect(f, func(n ast.Node) bool {
		d, ok := n.(*ast.GenDecl)
		if !ok || d.Tok != token.CONST {
			return true
		}
		for _, s := range d.Specs {
			v := s.(*ast.ValueSpec)
			for i, name := range v.Names {
				if i >= len(v.Values) || m.lists.bounds[m.room.name()+" "+name.Name] || mentions(v.Values[i], "iota") {
					continue
				}
				obj := m.info.Defs[name]
				if m.local(v.Values[i]) {
					continue // its shadow stands at the top of the package, where what it rests on is not known
				}
				if b, ok := obj.Type().Underlying().(*types.Basic); !ok || b.Info()&types.IsNumeric == 0 {
					continue
				}
				m.within(v.Values[i], func(k int, text string) {
					shade := fmt.Sprintf("mutant%d", k)
					kind := ""
					if v.Type != nil {
						kind = " " + m.source(v.Type)
						m.rests(v.Type)
					}
					m.rests(v.Values[i])
					fmt.Fprintf(&m.extra, "const %s%s = %s\n", shade, kind, text)
					m.shadows[obj] = append(m.shadows[obj], shadow{k, shade})
				})
			}
		}
		return true
	})
}

// rests takes note of the packages that an expression names.
func (m *mutants) rests(e ast.Expr) {
	ast.Inspect(e, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			if p, ok := m.info.Uses[id].(*types.PkgName); ok {
				m.imports[p.Imported().Path()] = p.Name()
			}
		}
		return true
	})
}

// local reports whether an expression rests on a constant of a function.
func (m *mutants) local(e ast.Expr) bool {
	found := false
	ast.Inspect(e, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			c, constant := m.info.Uses[id].(*types.Const)
			found = found || constant && c.Pkg() != nil && c.Pkg().Path() == m.room.ImportPath && c.Parent() != c.Pkg().Scope()
		}
		return true
	})
	return found
}

func mentions(e ast.Expr, name string) bool {
	found := false
	ast.Inspect(e, func(n ast.Node) bool {
		id, ok := n.(*ast.Ident)
		found = found || ok && id.Name == name
		return true
	})
	return found
}

// within finds the changes in a constant expression; each is given the whole expression's text with it made.
func (m *mutants) within(whole ast.Expr, each func(k int, text string)) {
	text, start := m.source(whole), m.offset(whole.Pos())
	put := func(from, to token.Pos, with string) string {
		return text[:m.offset(from)-start] + with + text[m.offset(to)-start:]
	}
	ast.Inspect(whole, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.BasicLit:
			if moved := move(n); moved != "" {
				each(m.add(n.Pos(), "NUMBER", n.Value+" -> "+moved, true), put(n.Pos(), n.End(), moved))
			}
		case *ast.BinaryExpr:
			if n.Op == token.SHL || n.Op == token.SHR {
				return false // places of bits are no quantity
			}
			if other, ok := arithmetic[n.Op]; ok && m.numeric(n) {
				each(m.add(n.OpPos, "ARITHMETIC_BASE", n.Op.String()+" -> "+other.String(), false),
					put(n.OpPos, n.OpPos+token.Pos(len(n.Op.String())), other.String()))
			}
		case *ast.UnaryExpr:
			if n.Op == token.SUB {
				each(m.add(n.OpPos, "INVERT_NEGATIVES", "- -> +", false), put(n.OpPos, n.OpPos+1, "+"))
			}
		}
		return true
	})
}

var arithmetic = map[token.Token]token.Token{token.ADD: token.SUB, token.SUB: token.ADD, token.MUL: token.QUO, token.QUO: token.MUL,
	token.REM: token.MUL}

var helper = map[token.Token]string{token.ADD: "mutantAdd", token.SUB: "mutantSub", token.MUL: "mutantMul", token.QUO: "mutantQuo",
	token.REM: "mutantRem",
	token.LSS: "mutantLess", token.LEQ: "mutantAtMost", token.GTR: "mutantMore", token.GEQ: "mutantAtLeast"}

func (m *mutants) numeric(e ast.Expr) bool {
	t := m.info.Types[e].Type
	if t == nil {
		return false
	}
	b, ok := t.Underlying().(*types.Basic)
	return ok && b.Info()&(types.IsInteger|types.IsFloat) != 0
}

// expressions puts a switch at everything that may be otherwise; in a test file only at
// the constants of the package, so that a test that names one sees it changed.
func (m *mutants) expressions(f *ast.File, test bool) {
	w := &walker{m: m, name: m.fset.Position(f.Pos()).Filename, test: test}
	for _, d := range f.Decls {
		ast.Inspect(d, w.visit)
	}
}

// walker goes through a file and puts the switches.
type walker struct {
	m     *mutants
	name  string
	test  bool
	depth int
}

func (w *walker) insert(from, to token.Pos, deep int, text string) {
	w.m.edits[w.name] = append(w.m.edits[w.name], edit{w.m.offset(from), w.m.offset(to), deep, text})
}

func (w *walker) visit(n ast.Node) bool {
	if n == nil {
		w.depth--
		return true
	}
	w.depth++
	if e, ok := n.(ast.Expr); ok {
		if tv := w.m.info.Types[e]; tv.Value != nil && tv.Type != nil {
			w.m.constant(e, tv.Type, w.depth, w.test, w.insert)
			w.depth--
			return false
		}
	}
	if w.aside(n) {
		w.depth--
		return false
	}
	if !w.test {
		w.turn(n)
	}
	return true
}

// aside reports whether a node is no place for switches; of some only a part is, which is gone through here.
func (w *walker) aside(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.GenDecl:
		return n.Tok == token.CONST || n.Tok == token.IMPORT
	case *ast.ArrayType:
		return true
	case *ast.SelectorExpr:
		ast.Inspect(n.X, w.visit)
		return true
	case *ast.IndexExpr:
		if w.m.info.Types[n.Index].Value == nil {
			return false
		}
		ast.Inspect(n.X, w.visit) // a place in a list is no quantity
		return true
	case *ast.SliceExpr:
		ast.Inspect(n.X, w.visit)
		return true
	case *ast.BinaryExpr:
		if n.Op != token.SHL && n.Op != token.SHR || w.m.info.Types[n.Y].Value == nil {
			return false
		}
		ast.Inspect(n.X, w.visit) // nor is a place of bits
		return true
	case *ast.CallExpr:
		return w.size(n)
	}
	return false
}

// size goes through the arguments of make, len and cap, whose constants are no quantities.
func (w *walker) size(n *ast.CallExpr) bool {
	id, ok := n.Fun.(*ast.Ident)
	if !ok || id.Name != "make" && id.Name != "len" && id.Name != "cap" {
		return false
	}
	for _, a := range n.Args {
		if w.m.info.Types[a].Value == nil && !w.m.info.Types[a].IsType() {
			ast.Inspect(a, w.visit)
		}
	}
	return true
}

// turn puts the switch of an operator.
func (w *walker) turn(n ast.Node) {
	switch n := n.(type) {
	case *ast.BinaryExpr:
		w.m.binary(n, w.depth, w.insert)
	case *ast.UnaryExpr:
		if n.Op == token.SUB && w.m.numeric(n) {
			k := w.m.add(n.OpPos, "INVERT_NEGATIVES", "- -> +", false)
			w.insert(n.Pos(), n.OpPos+1, w.depth, fmt.Sprintf("mutantNeg(%d, ", k))
			w.insert(n.End(), n.End(), -w.depth, ")")
		}
	case *ast.IncDecStmt:
		w.m.step(n, w.insert)
	}
}

// constant puts the switches of a whole constant expression: its numbers and signs, and the constants it names.
func (m *mutants) constant(e ast.Expr, t types.Type, depth int, test bool, insert func(from, to token.Pos, deep int, text string)) {
	b, ok := types.Default(t).(*types.Basic)
	if !ok || b.Kind() != types.Float64 && b.Kind() != types.Int {
		return
	}
	text := m.source(e)
	switched := false
	use := func(k int, with string) {
		text, switched = fmt.Sprintf("mutantOf[%s](%d, %s, %s)", b.Name(), k, text, with), true
	}
	if !test {
		m.within(e, use)
	}
	whole, start := m.source(e), m.offset(e.Pos())
	ast.Inspect(e, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			for _, s := range m.shadows[m.info.Uses[id]] {
				use(s.k, whole[:m.offset(id.Pos())-start]+s.name+whole[m.offset(id.End())-start:])
			}
		}
		return true
	})
	if switched {
		insert(e.Pos(), e.End(), depth, text)
	}
}

func (m *mutants) binary(n *ast.BinaryExpr, depth int, insert func(from, to token.Pos, deep int, text string)) {
	call := ""
	switch n.Op {
	case token.EQL, token.NEQ:
		k := m.add(n.OpPos, "CONDITIONALS_NEGATION", n.Op.String()+" turned", false)
		insert(n.Pos(), n.Pos(), depth, fmt.Sprintf("mutantNot(%d, ", k))
		insert(n.End(), n.End(), -depth, ")")
		return
	case token.LSS, token.LEQ, token.GTR, token.GEQ:
		k := m.add(n.OpPos, "CONDITIONALS_BOUNDARY", n.Op.String()+" at the boundary", false)
		m.add(n.OpPos, "CONDITIONALS_NEGATION", n.Op.String()+" turned", false)
		call = fmt.Sprintf("%s%s(%d, ", helper[n.Op], m.typed(n.X, n.Y), k)
	default:
		other, ok := arithmetic[n.Op]
		if !ok || !m.numeric(n) {
			return
		}
		call = fmt.Sprintf("%s%s(%d, ", helper[n.Op], m.typed(n, n),
			m.add(n.OpPos, "ARITHMETIC_BASE", n.Op.String()+" -> "+other.String(), false))
	}
	insert(n.Pos(), n.Pos(), depth, call)
	insert(n.OpPos, n.OpPos+token.Pos(len(n.Op.String())), depth, ",")
	insert(n.End(), n.End(), -depth, ")")
}

// typed names the type of an operation between basic types: a shift of a bare number would be taken for an int.
func (m *mutants) typed(x, y ast.Expr) string {
	for _, e := range []ast.Expr{x, y} {
		if b, ok := m.info.Types[e].Type.(*types.Basic); ok && b.Info()&types.IsUntyped == 0 {
			return "[" + b.Name() + "]"
		}
	}
	return ""
}

func (m *mutants) step(n *ast.IncDecStmt, insert func(from, to token.Pos, deep int, text string)) {
	if x, ok := n.X.(*ast.IndexExpr); ok {
		if _, isMap := m.info.Types[x.X].Type.Underlying().(*types.Map); isMap {
			return // no place to point at
		}
	}
	by := "1"
	if n.Tok == token.DEC {
		by = "-1"
	}
	k := m.add(n.TokPos, "INCREMENT_DECREMENT", n.Tok.String()+" turned", false)
	insert(n.Pos(), n.Pos(), 0, fmt.Sprintf("mutantStep(%d, &", k))
	insert(n.TokPos, n.End(), 1<<20, ", "+by+")")
}

// move returns the number 5 % larger; "" for what is no quantity (0, 1, 2, tiny tolerances, small counts).
func move(l *ast.BasicLit) string {
	plain := strings.ReplaceAll(l.Value, "_", "")
	switch l.Kind {
	case token.FLOAT:
		v, err := strconv.ParseFloat(plain, 64)
		if err != nil || v == 0 || v == 1 || math.Abs(v) < 1e-5 {
			return ""
		}
		return strconv.FormatFloat(v*1.05, 'g', -1, 64)
	case token.INT:
		v, err := strconv.ParseInt(plain, 0, 64)
		if err != nil || v < 5 || l.Value[0] == '0' {
			return ""
		}
		return strconv.FormatInt(v+int64(math.Max(1, math.Round(float64(v)*.05))), 10)
	}
	return ""
}

// write returns a file's text with its switches.
func (m *mutants) write(name string) []byte {
	edits := m.edits[name]
	sort.SliceStable(edits, func(a, b int) bool {
		x, y := edits[a], edits[b]
		if x.from != y.from {
			return x.from < y.from
		}
		// What ends here comes before what begins here; of two ends the inner first, of two beginnings the outer.
		if (x.deep < 0) != (y.deep < 0) {
			return x.deep < 0
		}
		if x.deep < 0 {
			return x.deep < y.deep
		}
		return x.deep < y.deep
	})
	src := m.sources[name]
	var out bytes.Buffer
	at := 0
	for _, e := range edits {
		out.Write(src[at:e.from])
		out.WriteString(e.text)
		at = e.to
	}
	out.Write(src[at:])
	return out.Bytes()
}
