package form

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"

	"gelwright/internal/words"
	"gelwright/unit"
)

// syntaxFault turns the parser's error into a fault.
func syntaxFault(err error) Fault {
	f := Fault{Code: "file.yaml", Message: "the file is not valid YAML",
		Remedy: "Check quotes, brackets and indentation on this line and the one above"}
	var syntax yaml.Error
	if errors.As(err, &syntax) {
		f.Message += ": " + strings.ReplaceAll(syntax.GetMessage(), "\n", " ")
		if t := syntax.GetToken(); t != nil && t.Position != nil {
			f.Line, f.Column = t.Position.Line, t.Position.Column
		}
	}
	return f
}

// Value is one node of the file with its path and the piece it belongs to.
type Value struct {
	rd    *Reader
	node  ast.Node
	path  string
	where string
}

// Exists reports whether the file holds such a value.
func (v Value) Exists() bool { return v.node != nil }

// Path returns the field's path: "decks[main].edges[2].height_mm".
func (v Value) Path() string { return v.path }

// Named returns the value as part of a piece with a name.
func (v Value) Named(where string) Value {
	v.where = where
	return v
}

// Where returns the piece the value belongs to.
func (v Value) Where() string { return v.where }

// At returns the value under another path, and notes that the file holds it.
func (v Value) At(path string) Value {
	v.path = path
	v.note()
	return v
}

func (v Value) note() {
	if v.node == nil {
		return
	}
	if p := v.place(); p.Line > 0 {
		if _, ok := v.rd.places[v.path]; !ok {
			v.rd.places[v.path] = p
		}
	}
}

func (v Value) place() Place {
	n := v.node
	if m, ok := n.(*ast.MappingNode); ok && !m.IsFlowStyle && len(m.Values) > 0 {
		n = m.Values[0].Key.(ast.Node)
	}
	if m, ok := n.(*ast.MappingValueNode); ok {
		n = m.Key.(ast.Node)
	}
	if t := n.GetToken(); t != nil && t.Position != nil {
		return Place{t.Position.Line, t.Position.Column}
	}
	return Place{}
}

// Fault takes up a fault at this value.
func (v Value) Fault(code, message, remedy string) {
	at := v.place()
	where := v.where
	if field := lastField(v.path); field != "" {
		if where != "" {
			where += ", "
		}
		where += field
	}
	v.rd.Add(Fault{Code: code, Line: at.Line, Column: at.Column, Path: v.path, Where: where, Message: message, Remedy: remedy})
}

// lastField returns the name at the end of a path, with the number of the list's
// entry counted from 1: "height_mm", "outline, entry 2".
func lastField(path string) string {
	tail := path[strings.LastIndexByte(path, '.')+1:]
	name, rest, inList := strings.Cut(tail, "[")
	number, _, _ := strings.Cut(rest, "]")
	if i, err := strconv.Atoi(number); inList && err == nil {
		return fmt.Sprintf("%s, entry %d", name, i+1)
	}
	return name
}

// pairs returns the entries of a mapping; ok is false when the value is none.
func (v Value) pairs() (list []*ast.MappingValueNode, ok bool) {
	switch n := v.node.(type) {
	case *ast.MappingNode:
		return n.Values, true
	case *ast.MappingValueNode:
		return []*ast.MappingValueNode{n}, true
	}
	return nil, false
}

// IsMapping reports whether the value is a mapping.
func (v Value) IsMapping() bool { _, ok := v.pairs(); return ok }

// IsText reports whether the value is a plain word or text.
func (v Value) IsText() bool {
	switch v.node.(type) {
	case *ast.StringNode, *ast.LiteralNode:
		return true
	}
	return false
}

// IsList reports whether the value is a list.
func (v Value) IsList() bool { _, ok := v.node.(*ast.SequenceNode); return ok }

// Get returns the entry of a mapping with that key, without any check.
func (v Value) Get(key string) Value {
	list, _ := v.pairs()
	for _, p := range list {
		if k, ok := keyText(p); ok && k == key {
			out := Value{rd: v.rd, node: p.Value, path: join(v.path, key), where: v.where}
			if _, null := p.Value.(*ast.NullNode); null {
				out.node = nil
			}
			return out
		}
	}
	return Value{rd: v.rd, path: join(v.path, key), where: v.where}
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

func keyText(p *ast.MappingValueNode) (string, bool) {
	switch k := p.Key.(type) {
	case *ast.StringNode:
		return k.Value, true
	case ast.ScalarNode:
		if t := k.GetToken(); t != nil {
			return t.Value, true
		}
	}
	return "", false
}

// check refuses keys that are not in the list, with the nearest that is.
func (v Value) check(known []string) bool {
	list, ok := v.pairs()
	if !ok {
		v.Fault("type.mapping", "fields with values are wanted here, not "+v.kind(),
			"Write one field a line: "+strings.Join(known[:min(3, len(known))], ": …, ")+": …")
		return false
	}
	for _, p := range list {
		key, ok := keyText(p)
		here := Value{rd: v.rd, node: p.Key.(ast.Node), path: v.path, where: v.where}
		if !ok {
			here.Fault("field.unknown", "a field name is wanted here", "Write a plain word")
			continue
		}
		found := false
		for _, k := range known {
			found = found || k == key
		}
		if found {
			continue
		}
		remedy := "Fields here are " + strings.Join(known, ", ")
		if near := words.Closest(key, known); near != "" {
			remedy = fmt.Sprintf("Did you mean %q?", near)
		}
		at := here.place()
		v.rd.Add(Fault{Code: "field.unknown", Line: at.Line, Column: at.Column, Where: v.where,
			Message: fmt.Sprintf("field %q is not known", clip(key)), Remedy: remedy})
	}
	return true
}

func clip(s string) string { return clipped(s, 40) }

func clipped(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

// kind says in words what the value is.
func (v Value) kind() string {
	switch n := v.node.(type) {
	case *ast.MappingNode, *ast.MappingValueNode:
		return "a group of fields"
	case *ast.SequenceNode:
		return "a list"
	case *ast.StringNode:
		return fmt.Sprintf("the text %q", clip(n.Value))
	case *ast.LiteralNode:
		return "a block of text"
	case *ast.BoolNode:
		return "yes or no"
	case *ast.IntegerNode, *ast.FloatNode:
		return "the number " + clip(v.node.GetToken().Value)
	case *ast.InfinityNode, *ast.NanNode:
		return "a number without a value"
	}
	return "nothing"
}

// Items returns the entries of a list.
func (v Value) Items(what string) []Value {
	s, ok := v.node.(*ast.SequenceNode)
	if !ok {
		v.Fault("type.list", "a list of "+what+" is wanted, not "+v.kind(), "Write it in brackets with commas, or one entry a line with a dash")
		return nil
	}
	out := make([]Value, len(s.Values))
	for i, n := range s.Values {
		out[i] = Value{rd: v.rd, node: n, path: fmt.Sprintf("%s[%d]", v.path, i), where: v.where}
		if _, null := n.(*ast.NullNode); null || n == nil {
			out[i].node = ast.Null(s.GetToken())
		}
		out[i].note()
	}
	return out
}

// Text returns a text value. A number stands for its digits, so that a reference
// like 1042 needs no quotes.
func (v Value) Text() (string, bool) {
	switch n := v.node.(type) {
	case *ast.StringNode:
		return n.Value, true
	case *ast.LiteralNode:
		return n.Value.Value, true
	case *ast.IntegerNode, *ast.FloatNode:
		return v.node.GetToken().Value, true
	}
	v.Fault("type.text", "a text is wanted, not "+v.kind(), `Write it in quotes: "…"`)
	return "", false
}

// Bool returns a yes or no.
func (v Value) Bool() (bool, bool) {
	switch n := v.node.(type) {
	case *ast.BoolNode:
		return n.Value, true
	case *ast.StringNode:
		switch n.Value {
		case "yes":
			return true, true
		case "no":
			return false, true
		}
	}
	v.Fault("type.bool", "true or false is wanted, not "+v.kind(), "Write true or false")
	return false, false
}

// Range is what a number may be, with the unit a bare number has.
type Range struct {
	// Unit as printed; "" for a pure number.
	Unit     string
	Min, Max float64
	// Kind, when set, accepts a text with a unit too.
	Measure *unit.Unit
}

// Number returns a finite number within range.
func (v Value) Number(r Range) (float64, bool) {
	x, ok := v.bare(r)
	if !ok {
		return 0, false
	}
	if x >= r.Min && x <= r.Max {
		return x, true
	}
	u := ""
	if r.Unit != "" {
		u = " " + r.Unit
	}
	remedy := fmt.Sprintf("It may be from %s to %s%s", short(r.Min), short(r.Max), u)
	if r.Measure != nil && *r.Measure == unit.Metre && x > r.Max && x/1000 <= r.Max && x/1000 >= r.Min {
		remedy = fmt.Sprintf("Did you mean \"%s mm\", which is %s m?", short(x), short(x/1000))
	}
	if r.Measure != nil && *r.Measure == unit.Millimetre && x > 0 && x < r.Min && x*1000 <= r.Max {
		remedy = fmt.Sprintf("Did you mean \"%s m\", which is %s mm?", short(x), short(x*1000))
	}
	if r.Measure != nil && *r.Measure == unit.Metre && x > r.Max && x/1000 < r.Min && x/10 >= r.Min && x/10 <= r.Max {
		remedy = fmt.Sprintf("Did you mean %s m? It may be from %s to %s m", short(x/10), short(r.Min), short(r.Max))
	}
	if r.Unit == "°C" && x > r.Max {
		remedy = fmt.Sprintf("Is that °F? Then write \"%s °F\", which is %.0f °C; "+
			"it may be from %s to %s °C", short(x), (x-32)/1.8, short(r.Min),
			short(r.Max))
	}
	v.Fault("value.range", fmt.Sprintf("%s%s is out of range", short(x), u), remedy)
	return 0, false
}

func short(x float64) string { return strconv.FormatFloat(x, 'g', 10, 64) }

// short17 prints every digit that a number needs to come back the same.
func short17(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// bare returns the number whatever its range.
func (v Value) bare(r Range) (float64, bool) {
	switch n := v.node.(type) {
	case *ast.IntegerNode, *ast.FloatNode:
		return v.plain(v.node.GetToken().Value)
	case *ast.InfinityNode, *ast.NanNode:
		v.Fault("value.finite", v.kind()+" is not accepted", "Write a number, or leave the field out")
		return 0, false
	case *ast.StringNode:
		if r.Measure != nil {
			x, err := unit.Parse(n.Value, *r.Measure)
			if err == nil {
				return x, true
			}
			v.Fault("value.unit", err.Error(), fmt.Sprintf("Write a number in %s, or a text like %q", r.Unit, "2.4 "+r.Unit))
			return 0, false
		}
	}
	remedy := "Write digits with a decimal point"
	if r.Measure != nil {
		remedy = fmt.Sprintf("Write a number in %s, or a text like %q", r.Unit, "2.4 "+r.Unit)
	}
	v.Fault("type.number", "a number is wanted, not "+v.kind(), remedy)
	return 0, false
}

// plain reads a number written plainly. YAML knows others: 010 is eight in its older rules
// and ten in its newer, and 0x10 and 1_0 are numbers to it and slips to a person.
func (v Value) plain(text string) (float64, bool) {
	x, ok := unit.Decimal(text)
	digits := strings.TrimLeft(text, "+-")
	if ok && !(len(digits) > 1 && digits[0] == '0' && digits[1] >= '0' && digits[1] <= '9') {
		return x, true
	}
	remedy := "Write plain digits with a decimal point"
	if ok {
		remedy = fmt.Sprintf("Write %s, without the zero before it", short(x))
	}
	v.Fault("value.plain", fmt.Sprintf("%q can be read in more than one way", clip(text)), remedy)
	return 0, false
}

// Warn takes up a warning at this value.
func (v Value) Warn(code, message, remedy string) {
	at := v.place()
	v.rd.Add(Fault{Code: code, Line: at.Line, Column: at.Column, Path: v.path, Where: v.where,
		Message: message, Remedy: remedy, Warning: true})
}
