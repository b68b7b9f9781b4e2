// Package spoken finds the sentences that a package's source says to a person, so that a test can ask a language for each.
package spoken

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"sort"
	"strconv"
	"strings"
)

// Form is a sentence as the source has it, each hole filled with the figure 7, and where it stands.
type Form struct {
	Text, Place string
}

// Forms returns the sentences of the package in a folder, in order of their text: string literals of at least two words,
// and what is joined of literals and values. Errors, which stop a paper, and texts that no person reads (patterns, paths, keys)
// are no sentences.
func Forms(dir string) ([]Form, error) {
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		return nil, err
	}
	found := map[string]string{}
	set := token.NewFileSet()
	for _, path := range files {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		raw, err := os.ReadFile(path)
		if err != nil {
			return nil, err
		}
		file, err := parser.ParseFile(set, path, raw, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		w := walker{found: found, set: set}
		ast.Inspect(file, w.visit)
	}
	out := make([]Form, 0, len(found))
	for text, place := range found {
		out = append(out, Form{text, place})
	}
	sort.Slice(out, func(i, k int) bool { return out[i].Text < out[k].Text })
	return out, nil
}

type walker struct {
	found map[string]string
	set   *token.FileSet
}

// visit takes sentences, and goes no further into what is not said to a person.
func (w walker) visit(n ast.Node) bool {
	switch x := n.(type) {
	case *ast.ImportSpec, *ast.Field:
		_, field := x.(*ast.Field)
		return field && x.(*ast.Field).Tag == nil
	case *ast.CallExpr:
		return !silent(x.Fun)
	case *ast.BinaryExpr:
		if x.Op == token.ADD {
			if text, said := joined(x); said {
				w.take(text, x)
				return false
			}
		}
		return x.Op != token.EQL && x.Op != token.NEQ
	case *ast.CaseClause:
		for _, s := range x.Body {
			ast.Inspect(s, w.visit)
		}
		return false
	case *ast.BasicLit:
		if text, said := literal(x); said {
			w.take(text, x)
		}
	}
	return true
}

// silents are functions whose texts are no sentences of a paper.
var silents = map[string]bool{"Errorf": true, "New": true, "MustCompile": true, "MustFormula": true, "Split": true, "Cut": true,
	"Contains": true, "HasPrefix": true, "HasSuffix": true, "TrimSuffix": true, "TrimPrefix": true, "CutPrefix": true, "CutSuffix": true,
	"ReplaceAll": true, "NewReplacer": true, "ContainsAny": true, "Format": true, "Parse": true, "Find": true,
	// the acts of the method by their names
	"said": true, "do": true, "hold": true}

func silent(fun ast.Expr) bool {
	switch x := fun.(type) {
	case *ast.SelectorExpr:
		return silents[x.Sel.Name]
	case *ast.Ident:
		return silents[x.Name]
	}
	return false
}

func literal(x *ast.BasicLit) (string, bool) {
	if x.Kind != token.STRING {
		return "", false
	}
	text, err := strconv.Unquote(x.Value)
	return text, err == nil
}

// joined is literals and values with plus signs between them as one text; said is false where there is no literal.
func joined(n ast.Expr) (text string, said bool) {
	switch x := n.(type) {
	case *ast.BinaryExpr:
		if x.Op == token.ADD {
			a, one := joined(x.X)
			b, two := joined(x.Y)
			return a + b, one || two
		}
	case *ast.ParenExpr:
		return joined(x.X)
	case *ast.BasicLit:
		return literal(x)
	case *ast.CallExpr:
		if s, ok := x.Fun.(*ast.SelectorExpr); ok && s.Sel.Name == "Sprintf" && len(x.Args) > 0 {
			if lit, ok := x.Args[0].(*ast.BasicLit); ok {
				return literal(lit)
			}
		}
	}
	return "%s", false
}

var (
	verb = regexp.MustCompile(`%(\[[0-9]\])?[-+0-9.*]*[a-zA-Z]`)
	word = regexp.MustCompile(`\p{L}{2,}`)
	// coded are texts for programs: keys, paths, names of fields.
	coded = regexp.MustCompile(`^[a-z_./%0-9-]*[._/][a-z_./%0-9A-Z-]*$|^[^ ]*%[^ ]*$|</?[a-z]|=%|%PDF|/ViewerPref`)
)

// take keeps a text that is a sentence.
func (w walker) take(text string, at ast.Node) {
	text = strings.ReplaceAll(text, "%%", "%")
	filled := strings.TrimSpace(verb.ReplaceAllString(text, "7"))
	if coded.MatchString(strings.TrimSpace(text)) || len(word.FindAllString(filled, -1)) < 2 {
		return
	}
	if _, seen := w.found[filled]; !seen {
		p := w.set.Position(at.Pos())
		w.found[filled] = filepath.Base(p.Filename) + ":" + strconv.Itoa(p.Line)
	}
}
