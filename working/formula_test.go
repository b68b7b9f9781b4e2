package working

import (
	"math"
	"strings"
	"testing"

	"gelwright/elementary"
)

func is(symbol string, v float64) *Figure { return Measured(symbol, symbol, v, "", "test") }

// TestFormulasAreWorkedAsPrinted: every part of the language, against Go's own arithmetic
// in the same order.
func TestFormulasAreWorkedAsPrinted(t *testing.T) {
	a, b, c, twenty := 3.7, 0.29, 11.3, 20.0
	in := []*Figure{is("a", a), is("b", b), is("c", c)}
	for text, want := range map[string]float64{
		"x = a + b − c":               a + b - c,
		"x = a − (b − c)":             a - (b - c),
		"x = a·b/c":                   a * b / c,
		"x = a/b·c":                   a / b * c,
		"x = a/(b·c)":                 a / (b * c),
		"x = −a·b + c":                -(a * b) + c,
		"x = 2a/3b + c":               (2*a)/(3*b) + c,
		"x = 4a²/(π²·b)·ln(c)":        4 * a * a / (math.Pi * math.Pi * b) * math.Log(c),
		"x = ½·a·b³ + c":              0.5*a*b*b*b + c,
		"x = 20·10⁻⁶·a·b·c":           twenty * 1e-6 * a * b * c,
		"x = √(a·b) + √c":             math.Sqrt(a*b) + math.Sqrt(c),
		"x = a^0.25·b^⅔·c":            elementary.Pow(a, 0.25) * elementary.Pow(b, 2.0/3) * c,
		"x = exp(−a)·b + ln c":        elementary.Exp(-a)*b + math.Log(c),
		"x = min(a, b, c)":            b,
		"x = max(0.8, min(a, 4))·b·c": a * b * c,
		"x = ⌈a/b⌉ + ⌊c⌋":             math.Ceil(a/b) + 11,
		"x = a where b ≤ c, else 0":   a,
		"x = 1 where b ≥ c, else 2 where a < 3 and b > 0, else a": a,
		"x = abs(b − c)·a": (c - b) * a,
	} {
		f, err := ParseFormula(text)
		if err != nil {
			t.Error(err)
			continue
		}
		var used []*Figure
		for _, s := range f.Symbols() {
			used = append(used, in[strings.Index("abc", s)])
		}
		got := f.Figure("x", "m", Source{}, used...)
		if got.Fault != nil || got.Value != want {
			t.Errorf("%s: %v, want %v (%v)", text, got.Value, want, got.Fault)
		}
		if again, ok := got.Again(valuesOf(used)); !ok || again != want {
			t.Errorf("%s: worked again it is %v", text, again)
		}
	}
}

func TestSymbolsOfTheBooks(t *testing.T) {
	f := MustFormula("fm,d = kmod·kh·fm,k/γM + vb,0·R′T/R″T·ΔU″ + fc,90,d·h_min·x₁")
	if got := strings.Join(f.Symbols(), " "); got != "kmod kh fm,k γM vb,0 R′T R″T ΔU″ fc,90,d h_min x₁" || f.Symbol() != "fm,d" {
		t.Errorf("%q of %q", got, f.Symbol())
	}
}

// TestSumsRunOverAllInputsOfASymbol: first with first, and a single one with each.
func TestSumsRunOverAllInputsOfASymbol(t *testing.T) {
	in := []*Figure{is("A", 2), is("q", 10), is("A", 3), is("q", 20), is("w", 5)}
	for text, want := range map[string]float64{
		"M = Σ A·q·w":               400,
		"M = (Σ A)·w + Σ q":         55,
		"M = Σ (A + q) + w":         40,
		"M = max(A)·min(q)·w":       150,
		"M = max(A, q, w)":          20,
		"M = count(A) + count(q)·w": 12,
		"M = w·Σ A·q":               400,
		"M = Σ A·q/w":               16,
		"M = w + Σ A where q > 15, else 0 where q > 30, else 1": math.NaN(),
	} {
		f := MustFormula(text)
		var used []*Figure
		for _, i := range in {
			if strings.Contains(strings.Join(f.Symbols(), " "), i.Symbol) {
				used = append(used, i)
			}
		}
		got := f.Figure("M", "kg", Source{}, used...)
		if math.IsNaN(want) != (got.Fault != nil) || !math.IsNaN(want) && got.Value != want {
			t.Errorf("%s: %v, want %v (%v)", text, got.Value, want, got.Fault)
		}
	}
}

// TestAMisboundFigureCannotBeBuilt: nothing missing, nothing idle, nothing double.
func TestAMisboundFigureCannotBeBuilt(t *testing.T) {
	f := MustFormula("M = q·A")
	q, a := is("q", 1.5), is("A", 10)
	for name, in := range map[string][]*Figure{
		"no input":          nil,
		"one missing":       {q},
		"one too many":      {q, a, is("w", 5)},
		"two of one":        {q, a, a},
		"a wrong letter":    {q, is("a", 10)},
		"nil":               {q, nil},
		"a choice in words": {q, {Symbol: "A", Text: "large"}},
		"an infinite value": {q, is("A", math.Inf(1))},
		"one with a fault":  {q, f.Figure("x", "", Source{}, q).Keyed("").renamed("A")},
	} {
		got := f.Figure("resin", "kg", Source{}, in...)
		if got.Fault == nil || !math.IsNaN(got.Value) {
			t.Errorf("%s: made %v", name, got.Value)
			continue
		}
		var l Ledger
		l.Add(got.Keyed("resin"))
		if _, ok := l.Find("resin"); ok || len(l.Faults()) != 1 {
			t.Errorf("%s: the ledger took it", name)
		}
	}
	if ok := f.Figure("resin", "kg", Source{}, a, q); ok.Fault != nil || ok.Value != 15 || ok.Formula != "M = q·A" || ok.Symbol != "M" {
		t.Errorf("%+v", ok)
	}
}

func (f *Figure) renamed(symbol string) *Figure { f.Symbol = symbol; return f }

// TestFormulasThatCannotBeRead name what is wrong; none panics.
func TestFormulasThatCannotBeRead(t *testing.T) {
	for text, want := range map[string]string{
		"q·A":               "begin with the symbol",
		"M = ":              "missing at the end",
		"M = q·":            "missing at the end",
		"M = (q":            "\")\" is missing",
		"M = q A":           "left over",
		"M = 3 + 4":         "takes no input",
		"M = see clause":    "left over",
		"M = min q":         "comes a bracket",
		"M = a where b":     "a condition has",
		"M = a where b < 3": "comes \", else\"",
		"2M = q":            "no symbol",
		"M = q%":            "left over",
		"min = q":           "no symbol",
		"M = " + strings.Repeat("(", 100) + "q" + strings.Repeat(")", 100): "too many brackets",
	} {
		if _, err := ParseFormula(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}

func FuzzParseFormula(f *testing.F) {
	for _, s := range []string{"M = q·A", "fm,d = kmod·fm,k/γM", "x = 4a²/(π²·b)·ln(c)", "x = max(0.8, min(a, 4))", "x = a where b ≤ c, else 0", "m = Σ g/1000", "x = 10⁻⁶·⌈a⌉"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		g, err := ParseFormula(text)
		if err != nil {
			return
		}
		var in []*Figure
		for i, s := range g.Symbols() {
			in = append(in, is(s, float64(i)+0.5))
		}
		if made := g.Figure("x", "", Source{}, in...); made.Fault == nil && (math.IsNaN(made.Value) || math.IsInf(made.Value, 0)) {
			t.Errorf("%q made %v", text, made.Value)
		}
	})
}

func TestMethodsHaveInputs(t *testing.T) {
	m := Method("Tp", "the greatest along the day")
	if f := m.Run("peak", 61, "°C", Source{}); f.Fault == nil {
		t.Error("a run without inputs was taken")
	}
	if f := m.Run("peak", math.NaN(), "°C", Source{}, is("T", 20)); f.Fault == nil {
		t.Error("a run without a result was taken")
	}
	if f := m.Run("peak", 61, "°C", Source{}, nil); f.Fault == nil {
		t.Error("a missing input was taken")
	}
	run := m.Run("peak", 61, "°C", Source{}, is("T", 20))
	if _, again := run.Again([]float64{20}); again || run.Value != 61 || run.Formula != "" || run.By() != "the greatest along the day" {
		t.Errorf("%+v", run)
	}
	of := m.Of("peak", "°C", Source{}, func(in []float64) float64 { return in[0] + in[1] }, is("T", 20), is("r", 5))
	if v, again := of.Again([]float64{21, 5}); of.Value != 25 || !again || v != 26 {
		t.Errorf("%+v", of)
	}
}

// TestAsPointsAtWhatHasAWorking: another letter is no second figure.
func TestAsPointsAtWhatHasAWorking(t *testing.T) {
	leaf := is("a", 2)
	if r := leaf.As("b"); r.Symbol != "b" || r.Value != 2 || len(r.Inputs) != 0 || leaf.Symbol != "a" {
		t.Errorf("%+v", r)
	}
	keyed := is("a", 2).Keyed("k")
	if r := keyed.As("b"); r.Formula != "b = a" || r.Value != 2 || r.Inputs[0] != keyed || r.Key != "" {
		t.Errorf("%+v", r)
	}
	if r := leaf.As("a"); r != leaf {
		t.Error("the same letter made a copy")
	}
}

// TestTheWeakestInputCounts: a published formula fed with an assumption is an assumption.
func TestTheWeakestInputCounts(t *testing.T) {
	given, assumed := GivenFigure("a", "a", 1, "", "roof file"), AssumedFigure("b", "b", 2, "", "usual")
	en := Source{Title: "EN 1991-1-4:2005", Standing: Published}
	f := MustFormula("w = a + b").Figure("w", "", en, given, assumed)
	g := MustFormula("v = a·w").Figure("v", "", en, given, f)
	if g.Standing() != Assumed || g.Source.Standing != Published {
		t.Errorf("%q, source %q", g.Standing(), g.Source.Standing)
	}
	if s := MustFormula("v = a²").Figure("v", "", en, given).Standing(); s != Given {
		t.Errorf("%q", s)
	}
	if s := MustFormula("v = 2a").Figure("v", "", Source{Standing: Derived}, Constant("a", "a", 1, "", en)).Standing(); s != Published {
		t.Errorf("%q", s)
	}
	order := []Standing{Derived, Published, Given, Supplier, CommonPractice, Remembered, Assumed}
	for i := range order[1:] {
		if Weaker(order[i], order[i+1]) != order[i+1] || Weaker(order[i+1], order[i]) != order[i+1] {
			t.Errorf("%q should be weaker than %q", order[i+1], order[i])
		}
	}
	var b strings.Builder
	if err := Unfold(&b, g); err != nil || !strings.Contains(b.String(), "rests on: assumed") {
		t.Errorf("%v\n%s", err, b.String())
	}
}
