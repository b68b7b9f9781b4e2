package working

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// parser reads the right side of a formula. It goes through the text once, by the rules
// of precedence: cases, sums, products, powers.
type parser struct {
	text    string
	at      int
	depth   int
	symbols []string
}

// deepest is how many brackets may stand in each other; a formula for people has five.
const deepest = 40

var errTooDeep = errors.New("too many brackets in each other")

func (p *parser) whole() (node, error) {
	n, err := p.cases()
	if err != nil {
		return nil, err
	}
	if p.space(); p.at < len(p.text) {
		return nil, fmt.Errorf("%q is left over", p.text[p.at:])
	}
	return n, nil
}

func (p *parser) space() {
	for p.at < len(p.text) && p.text[p.at] == ' ' {
		p.at++
	}
}

// take moves past the first of the marks that stands here, and returns it.
func (p *parser) take(marks ...string) string {
	p.space()
	for _, m := range marks {
		if strings.HasPrefix(p.text[p.at:], m) {
			p.at += len(m)
			return m
		}
	}
	return ""
}

// word moves past a whole word.
func (p *parser) word(w string) bool {
	p.space()
	rest := p.text[p.at:]
	if !strings.HasPrefix(rest, w) {
		return false
	}
	if r, _ := utf8.DecodeRuneInString(rest[len(w):]); inSymbol(r) {
		return false
	}
	p.at += len(w)
	return true
}

// cases reads "a where x ≤ b, else c".
func (p *parser) cases() (node, error) {
	if p.depth++; p.depth > deepest {
		return nil, errTooDeep
	}
	defer func() { p.depth-- }()
	first, err := p.sum()
	if err != nil || !p.word("where") {
		return first, err
	}
	c := choice{then: first}
	for {
		t, err := p.test()
		if err != nil {
			return nil, err
		}
		if c.tests = append(c.tests, t); !p.word("and") {
			break
		}
	}
	if p.take(",") == "" || !p.word("else") {
		return nil, errors.New("after \"where\" comes \", else\"")
	}
	c.other, err = p.cases()
	return c, err
}

func (p *parser) test() (test, error) {
	left, err := p.sum()
	if err != nil {
		return test{}, err
	}
	mark := p.take("≤", "≥", "<", ">", "=")
	if mark == "" {
		return test{}, errors.New("a condition has ≤, ≥, <, > or =")
	}
	right, err := p.sum()
	return test{left, right, mark}, err
}

func (p *parser) sum() (node, error) {
	n, err := p.product()
	for err == nil {
		mark := p.take("+", "−", "-")
		if mark == "" {
			return n, nil
		}
		var right node
		right, err = p.product()
		if mark == "+" {
			n = sum{n, right}
		} else {
			n = difference{n, right}
		}
	}
	return nil, err
}

func (p *parser) product() (node, error) {
	if p.take("−", "-") != "" {
		n, err := p.product()
		return negative{n}, err
	}
	if p.take("Σ") != "" {
		n, err := p.product()
		return total{n}, err
	}
	n, err := p.power()
	for err == nil {
		mark := p.take("·", "×", "/")
		if mark == "" {
			return n, nil
		}
		var right node
		if p.take("Σ") != "" { // it adds all that follows it: 60·Σ h
			right, err = p.product()
			right = total{right}
		} else {
			right, err = p.power()
		}
		if mark == "/" {
			n = quotient{n, right}
		} else {
			n = product{n, right}
		}
	}
	return nil, err
}

// power reads a factor with its exponent; a number right before a symbol or bracket is
// one factor with it.
func (p *parser) power() (node, error) {
	p.space()
	number := p.startsNumber()
	n, err := p.factor()
	if err != nil {
		return nil, err
	}
	if n, err = p.exponent(n); err != nil {
		return nil, err
	}
	if r, _ := utf8.DecodeRuneInString(p.text[p.at:]); number && (unicode.IsLetter(r) || r == '√' || r == '(') {
		right, err := p.power()
		return product{n, right}, err
	}
	return n, nil
}

func (p *parser) exponent(n node) (node, error) {
	if text := p.raised(); text != "" {
		if n == number(10) { // 10⁻⁶ is the decimal, not six divisions
			ten, err := strconv.ParseFloat("1e"+text, 64)
			return number(ten), err
		}
		e, err := strconv.Atoi(text)
		if err != nil {
			return nil, fmt.Errorf("exponent %q: %w", text, err)
		}
		return power{n, number(e)}, nil
	}
	if !strings.HasPrefix(p.text[p.at:], "^") {
		return n, nil
	}
	p.at++
	e, err := p.factor()
	return power{n, e}, err
}

const raisedFigures = "⁰¹²³⁴⁵⁶⁷⁸⁹"

// raised takes raised figures with their sign and returns them as plain ones.
func (p *parser) raised() string {
	var b strings.Builder
	for p.at < len(p.text) {
		r, size := utf8.DecodeRuneInString(p.text[p.at:])
		switch at := strings.IndexRune(raisedFigures, r); {
		case r == '⁻' && b.Len() == 0:
			b.WriteByte('-')
		case at >= 0:
			b.WriteByte(byte('0' + utf8.RuneCountInString(raisedFigures[:at])))
		default:
			return b.String()
		}
		p.at += size
	}
	return b.String()
}

func (p *parser) startsNumber() bool {
	r, _ := utf8.DecodeRuneInString(p.text[p.at:])
	_, part := parts[r]
	return part || r >= '0' && r <= '9'
}

// parts are the fractions that stand as one letter.
var parts = map[rune]float64{'½': 0.5, '⅓': 1.0 / 3, '⅔': 2.0 / 3, '¼': 0.25, '¾': 0.75}

// factor reads a number, a symbol, a bracket, a root or a function.
func (p *parser) factor() (node, error) {
	if p.space(); p.at >= len(p.text) {
		return nil, errors.New("something is missing at the end")
	}
	if p.startsNumber() {
		return p.number()
	}
	switch p.take("(", "√", "⌈", "⌊") {
	case "(":
		return p.closed(")")
	case "√":
		n, err := p.factor()
		return function{"√", []node{n}}, err
	case "⌈":
		n, err := p.closed("⌉")
		return function{"⌈", []node{n}}, err
	case "⌊":
		n, err := p.closed("⌋")
		return function{"⌊", []node{n}}, err
	}
	name := p.symbol()
	switch name {
	case "":
		return nil, fmt.Errorf("%q is not understood", p.text[p.at:])
	case "π":
		return number(pi), nil
	case "exp", "ln", "abs":
		n, err := p.factor()
		return function{name, []node{n}}, err
	case "min", "max", "count":
		args, err := p.arguments()
		return function{name, args}, err
	case "where", "else", "and":
		return nil, fmt.Errorf("%q stands where a value should", name)
	}
	at := indexOf(p.symbols, name)
	if at < 0 {
		at = len(p.symbols)
		p.symbols = append(p.symbols, name)
	}
	return input{at, name}, nil
}

func (p *parser) closed(end string) (node, error) {
	n, err := p.cases()
	if err == nil && p.take(end) == "" {
		err = fmt.Errorf("%q is missing", end)
	}
	return n, err
}

func (p *parser) arguments() ([]node, error) {
	if p.take("(") == "" {
		return nil, errors.New("after min, max and count comes a bracket")
	}
	var out []node
	for {
		n, err := p.cases()
		if err != nil {
			return nil, err
		}
		switch out = append(out, n); p.take(",", ")") {
		case ")":
			return out, nil
		case "":
			return nil, errors.New("\")\" is missing")
		}
	}
}

func (p *parser) number() (node, error) {
	r, size := utf8.DecodeRuneInString(p.text[p.at:])
	if v, ok := parts[r]; ok {
		p.at += size
		return number(v), nil
	}
	from := p.at
	for p.at < len(p.text) && (p.text[p.at] >= '0' && p.text[p.at] <= '9' || p.text[p.at] == '.') {
		p.at++
	}
	v, err := strconv.ParseFloat(p.text[from:p.at], 64)
	return number(v), err
}

// inSymbol reports whether a symbol may go on with r.
func inSymbol(r rune) bool {
	return r != utf8.RuneError && (unicode.IsLetter(r) || r >= '0' && r <= '9' || r == '_' || r == '′' || r == '″' || r >= '₀' && r <= '₉')
}

// symbol takes a symbol: a comma belongs to it when a letter or figure follows at once.
func (p *parser) symbol() string {
	from := p.at
	for p.at < len(p.text) {
		r, size := utf8.DecodeRuneInString(p.text[p.at:])
		if p.at == from && (!unicode.IsLetter(r) || r == 'Σ') {
			break
		}
		if r == ',' {
			if next, _ := utf8.DecodeRuneInString(p.text[p.at+1:]); !inSymbol(next) {
				break
			}
		} else if !inSymbol(r) {
			break
		}
		p.at += size
	}
	return p.text[from:p.at]
}

// isSymbol reports whether text is one symbol and no word of the language.
func isSymbol(text string) bool {
	p := parser{text: text}
	n, err := p.whole()
	_, ok := n.(input)
	return err == nil && ok
}
