package method

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// sources are the files of this package that are no tests.
func sources(t *testing.T) []*ast.File {
	t.Helper()
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	var files []*ast.File
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, file)
	}
	return files
}

func inspect(files []*ast.File, f func(ast.Node) bool) {
	for _, file := range files {
		ast.Inspect(file, f)
	}
}

// Every act that the code names has words, and every act with words is named.
func TestActsAreNamedAndUsed(t *testing.T) {
	named := map[string]bool{}
	files := sources(t)
	inspect(files, func(n ast.Node) bool {
		if l, ok := n.(*ast.BasicLit); ok && l.Kind == token.STRING {
			s, _ := strconv.Unquote(l.Value)
			named[s] = true
		}
		return true
	})
	for name, a := range acts() {
		if !named[name] {
			t.Errorf("nobody says %q", name)
		}
		if a.words == "" {
			t.Errorf("%q has no words", name)
		}
	}
	calls := regexp.MustCompile(`^(do|hold|said)$`)
	inspect(files, func(n ast.Node) bool {
		c, ok := n.(*ast.CallExpr)
		if !ok || len(c.Args) == 0 {
			return true
		}
		l, ok := c.Args[0].(*ast.BasicLit)
		if !ok {
			return true
		}
		f, name := "", ""
		switch x := c.Fun.(type) {
		case *ast.SelectorExpr:
			f = x.Sel.Name
		case *ast.Ident:
			f = x.Name
		}
		name, _ = strconv.Unquote(l.Value)
		if _, there := acts()[name]; calls.MatchString(f) && !there {
			t.Errorf("%q is named and has no words", name)
		}
		return true
	})
}

// Sizes that are planned, specified or set in one place of the program are holes in the
// words: only the trade's own that nothing else works with are written out.
func TestNoPlannedSizeIsTypedIntoWords(t *testing.T) {
	own := map[string]bool{"10 mm": true, "20 mm": true, "25 mm": true, "65 mm": true}
	for name, a := range acts() {
		for _, size := range regexp.MustCompile(`\d+ mm`).FindAllString(a.words+" "+a.why, -1) {
			if !own[size] {
				t.Errorf("%q: %s is typed into its words", name, size)
			}
		}
	}
}
