package form

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// Limits of a file. A roof of 5 000 m² with 80 rooflights is a file of some 10 KB.
const (
	// MaxBytes is the largest file that is read.
	MaxBytes = 512 << 10
	maxDepth = 24
	// maxTokens bounds what the parser, whose time grows faster than the file, is given:
	// 4 000 spot heights are some 60 000.
	maxTokens = 80_000
	// maxKeys bounds the fields of one group; no group of a file knows more than 40.
	maxKeys  = 500
	maxFault = 100
)

// Place is where a field stands in the file.
type Place struct{ Line, Column int }

// Reader collects what is found while a file is read.
type Reader struct {
	file   string
	faults Faults
	full   bool
	places map[string]Place
	root   Value
}

// ReadAll reads a file up to the limit; one byte more tells that it is too large.
func ReadAll(r io.Reader) ([]byte, error) { return io.ReadAll(io.LimitReader(r, MaxBytes+1)) }

// Open parses a file's text. The reader holds faults when it is not plain YAML
// data with a mapping at the top.
func Open(file string, data []byte) *Reader {
	rd := &Reader{file: file, places: map[string]Place{}}
	// Some editors begin a text with a mark of its encoding.
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if len(data) > MaxBytes {
		rd.Add(Fault{Code: "file.size", Message: fmt.Sprintf("the file is larger than %d KB", MaxBytes>>10),
			Remedy: "A roof takes a few KB; check that this is the right file"})
		return rd
	}
	if !utf8.Valid(data) || bytes.IndexByte(data, 0) >= 0 {
		rd.Add(Fault{Code: "file.text", Message: "the file is not UTF-8 text", Remedy: "Save it as plain text in UTF-8"})
		return rd
	}
	node := rd.parse(data)
	if node == nil {
		return rd
	}
	rd.root = Value{rd: rd, node: node}
	return rd
}

// Root returns the top of the file; its node is nil when there is none.
func (rd *Reader) Root() Value { return rd.root }

// Add takes up a fault.
func (rd *Reader) Add(f Fault) {
	if rd.full {
		return
	}
	f.File = rd.file
	if len(rd.faults) == maxFault {
		rd.full = true
		f = Fault{Code: "file.faults", File: rd.file, Line: f.Line, Column: f.Column,
			Message: fmt.Sprintf("there are more than %d faults", maxFault), Remedy: "Mend these first and read the file again"}
	}
	rd.faults = append(rd.faults, f)
}

// AddAt takes up a fault of a field known by its path: it is placed at the field,
// or at the nearest piece above it that the file holds. A field that could not be
// read has its fault already and gets no second one.
func (rd *Reader) AddAt(path string, f Fault) {
	f.Path = path
	for p := path; ; p = parent(p) {
		if at, ok := rd.places[p]; ok {
			f.Line, f.Column = at.Line, at.Column
			break
		}
		if p == "" {
			break
		}
	}
	for _, have := range rd.faults {
		if !have.Warning && f.Line > 0 && have.Line == f.Line && have.Column == f.Column {
			return
		}
	}
	rd.Add(f)
}

// parent returns the path above: "decks[main].edges" of "decks[main].edges[2]".
func parent(path string) string {
	depth := 0
	for i := len(path) - 1; i >= 0; i-- {
		switch path[i] {
		case ']':
			depth++
		case '[':
			if depth--; depth == 0 {
				return path[:i]
			}
		case '.':
			if depth == 0 {
				return path[:i]
			}
		}
	}
	return ""
}

// Given reports whether the file holds a field of that path.
func (rd *Reader) Given(path string) bool { _, ok := rd.places[path]; return ok }

// Faults returns what was found, sorted.
func (rd *Reader) Faults() Faults { return rd.faults.sorted() }

// parse turns text into the tree of one document, or faults.
func (rd *Reader) parse(data []byte) (node ast.Node) {
	// The parser is another's; a file must not be able to bring the program down.
	defer func() {
		if r := recover(); r != nil {
			node = nil
			rd.Add(Fault{Code: "file.yaml", Message: "the file cannot be parsed as YAML", Remedy: "Check quotes, brackets and indentation"})
		}
	}()
	if !rd.shallow(data) {
		return nil
	}
	tokens := lexer.Tokenize(string(data))
	if !rd.plain(tokens) {
		return nil
	}
	file, err := parser.Parse(tokens, 0)
	if err != nil {
		rd.Add(syntaxFault(err))
		return nil
	}
	var bodies []ast.Node
	for _, d := range file.Docs {
		if d.Body != nil {
			bodies = append(bodies, d.Body)
		}
	}
	switch {
	case len(bodies) == 0:
		rd.Add(Fault{Code: "file.empty", Message: "the file is empty", Remedy: "Begin with one of the examples"})
		return nil
	case len(bodies) > 1:
		at := bodies[1].GetToken().Position
		rd.Add(Fault{Code: "file.documents", Line: at.Line, Column: at.Column, Message: "the file holds more than one document",
			Remedy: "Write one roof a file and remove the line ---"})
		return nil
	}
	return bodies[0]
}

// shallow refuses nesting that no survey has, before the recursive parser sees it.
func (rd *Reader) shallow(data []byte) bool {
	n := nesting{line: 1, start: true}
	for i := range data {
		n.take(data, i)
		if n.tooDeep() {
			rd.Add(Fault{Code: "file.depth", Line: n.line, Column: 1, Message: "the file is nested too deep here",
				Remedy: "A roof file needs no more than six levels; check for a bracket that is not closed"})
			return false
		}
	}
	return true
}

// nesting is how deep a text stands in brackets, marks of lists and spaces at a place.
type nesting struct {
	depth, line, dashes, indent int
	start                       bool // nothing but spaces yet on this line
}

// take goes on by one byte.
func (n *nesting) take(data []byte, i int) {
	c := data[i]
	switch c {
	case '\n':
		n.line, n.dashes, n.indent, n.start = n.line+1, 0, 0, true
		return
	case '[', '{':
		n.depth++
	case ']', '}':
		n.depth = max(0, n.depth-1)
	case '-', '?', ':':
		if i+1 == len(data) || bytes.IndexByte([]byte(" \t\n"), data[i+1]) >= 0 {
			n.dashes++
		}
	}
	if n.start && (c == ' ' || c == '\t') {
		n.indent++
	} else {
		n.start = false
	}
}

func (n *nesting) tooDeep() bool {
	return n.depth > maxDepth || (n.dashes > 8*maxDepth && n.depth == 0) || n.indent > 20*maxDepth
}

// plain refuses what makes a file more than data.
func (rd *Reader) plain(tokens token.Tokens) bool {
	if len(tokens) > maxTokens {
		rd.Add(Fault{Code: "file.size", Message: fmt.Sprintf("the file holds more than %d words and marks", maxTokens),
			Remedy: "A roof takes a few hundred; check that this is the right file"})
		return false
	}
	depth, keys := 0, counter{}
	for _, t := range tokens {
		what := ""
		if keys.token(t) > maxKeys {
			what = "there are too many fields in one group"
		}
		switch t.Type {
		case token.AnchorType, token.AliasType, token.MergeKeyType:
			what = "anchors and aliases are not accepted"
		case token.TagType, token.DirectiveType:
			what = "tags and directives are not accepted"
		case token.MappingKeyType:
			what = "keys written with ? are not accepted"
		}
		if t.Position != nil && t.Position.Column > 4096 {
			what = "the line is too long"
		}
		if what != "" {
			rd.Add(Fault{Code: "file.plain", Line: t.Position.Line, Column: t.Position.Column, Message: what,
				Remedy: "Write the values out in plain YAML, on lines of ordinary length; put text with * or & or ! in quotes"})
			return false
		}
		// Indentation that only grows is a tree as deep as the file is long.
		if t.Position != nil {
			depth = max(depth, t.Position.IndentLevel)
		}
	}
	if depth > 2*maxDepth {
		rd.Add(Fault{Code: "file.depth", Message: "the file is nested too deep", Remedy: "A roof file needs no more than six levels"})
		return false
	}
	return true
}

// Renumber moves what is noted below the entries of a list to other numbers: the
// list's path and, for each old number, the new one.
func (v Value) Renumber(to func(i int) int) {
	moved := map[string]Place{}
	for path, at := range v.rd.places {
		rest, ok := strings.CutPrefix(path, v.path+"[")
		number, tail, closed := strings.Cut(rest, "]")
		i, err := strconv.Atoi(number)
		if !ok || !closed || err != nil {
			continue
		}
		delete(v.rd.places, path)
		moved[fmt.Sprintf("%s[%d]%s", v.path, to(i), tail)] = at
	}
	for path, at := range moved {
		v.rd.places[path] = at
	}
}

// counter counts the fields of each group by the column that their names stand in.
type counter []struct{ column, count int }

// token takes up one token and returns how many fields the group holds that it
// belongs to, as far as it has been read.
func (c *counter) token(t *token.Token) int {
	key := t
	switch {
	case t.Type == token.MappingValueType && t.Prev != nil && t.Prev.Position != nil:
		key = t.Prev
	case t.Type != token.SequenceEntryType || t.Position == nil:
		return 0
	}
	column := key.Position.Column
	for len(*c) > 0 && (*c)[len(*c)-1].column > column {
		*c = (*c)[:len(*c)-1]
	}
	if t.Type == token.SequenceEntryType {
		return 0
	}
	if n := len(*c); n == 0 || (*c)[n-1].column < column {
		*c = append(*c, struct{ column, count int }{column, 0})
	}
	top := &(*c)[len(*c)-1]
	top.count++
	return top.count
}
