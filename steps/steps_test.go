package steps_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"

	"gelwright/steps"
)

type part struct {
	Name string
	deep *float64
	size map[string]int
}

type input struct {
	Parts []part
	From  steps.Made[int]
	Do    func()
}

func number(v float64) *float64 { return &v }

// ran reports whether an input makes the step run.
func ran[I any](t *testing.T, c *steps.Cache, in I) bool {
	t.Helper()
	run := false
	if _, err := steps.Run(context.Background(), steps.Runner{Cache: c}, "step", in, func(context.Context, I) (int, error) {
		run = true
		return 1, nil
	}); err != nil {
		t.Fatal(err)
	}
	return run
}

func TestAStepRunsForEveryInputThatDiffers(t *testing.T) {
	c := steps.NewCache(100)
	made := func(n int) steps.Made[int] {
		m, err := steps.Run(context.Background(), steps.Runner{Cache: c}, "before", n,
			func(_ context.Context, n int) (int, error) { return n, nil })
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	base := func() input {
		return input{Parts: []part{{Name: "a", deep: number(1), size: map[string]int{"x": 1, "y": 2, "z": 3}}}, From: made(1)}
	}
	if !ran(t, c, base()) {
		t.Fatal("the first input does not run")
	}
	for range 20 { // maps have no order
		if ran(t, c, base()) {
			t.Fatal("the same input, built anew, runs again")
		}
	}
	for name, change := range map[string]func(*input){
		"a name":                     func(in *input) { in.Parts[0].Name = "b" },
		"what a pointer points to":   func(in *input) { in.Parts[0].deep = number(1.0000000000000002) },
		"no pointer":                 func(in *input) { in.Parts[0].deep = nil },
		"an entry of a map":          func(in *input) { in.Parts[0].size["y"] = 3 },
		"keys of a map changed over": func(in *input) { in.Parts[0].size["x"], in.Parts[0].size["y"] = 2, 1 },
		"one part more":              func(in *input) { in.Parts = append(in.Parts, part{}) },
		"no parts":                   func(in *input) { in.Parts = nil },
		"parts without any":          func(in *input) { in.Parts = []part{} },
		"another step before it":     func(in *input) { in.From = made(2) },
	} {
		in := base()
		change(&in)
		if !ran(t, c, in) {
			t.Errorf("%s: the step does not run", name)
		}
		if ran(t, c, in) {
			t.Errorf("%s: the step runs twice", name)
		}
	}
	// Two strings side by side are not one.
	type pair struct{ A, B string }
	if !ran(t, c, pair{"ab", "c"}) || !ran(t, c, pair{"a", "bc"}) {
		t.Error("ab, c and a, bc are taken for one")
	}
}

func TestWhatCannotBeHashedAlwaysRuns(t *testing.T) {
	c := steps.NewCache(100)
	for name, in := range map[string]input{"a function": {Do: func() {}}, "what no step made": {From: steps.Of(1)}} {
		if first, second := ran(t, c, in), ran(t, c, in); !first || !second {
			t.Errorf("%s: the step does not run", name)
		}
	}
	if c.Len() != 0 {
		t.Errorf("%d outputs kept of inputs that have no key", c.Len())
	}
}

func TestErrorsAndWhatIsCutShortAreNotKept(t *testing.T) {
	c := steps.NewCache(100)
	r := steps.Runner{Cache: c}
	bad := errors.New("bad")
	if _, err := steps.Run(context.Background(), r, "step", 1, func(context.Context, int) (int, error) { return 0, bad }); !errors.Is(err,
		bad) {
		t.Fatalf("error %v", err)
	}
	ctx, stop := context.WithCancel(context.Background())
	if _, err := steps.Run(ctx, r, "step", 1, func(context.Context, int) (int, error) { stop(); return 1, nil }); err != nil {
		t.Fatal(err)
	}
	if c.Len() != 0 {
		t.Errorf("%d outputs kept", c.Len())
	}
	if _, err := steps.Run(ctx, r, "step", 1,
		func(context.Context, int) (int, error) { t.Error("runs under a done context"); return 1, nil }); !errors.Is(err, context.Canceled) {
		t.Errorf("a done context gives %v", err)
	}
}

func TestTheOutputAskedForLongestAgoIsForgotten(t *testing.T) {
	c := steps.NewCache(2)
	for _, x := range []struct {
		in   int
		runs bool
	}{{1, true}, {2, true}, {1, false}, {3, true}, {1, false}, {2, true}, {3, true}} {
		if got := ran(t, c, x.in); got != x.runs {
			t.Errorf("input %d runs %t, want %t", x.in, got, x.runs)
		}
		if c.Len() > 2 {
			t.Fatalf("%d outputs kept of at most 2", c.Len())
		}
	}
	if got := c.Runs()["step"]; got != 5 {
		t.Errorf("%d runs counted, want 5", got)
	}
}

func TestManyAskAtOnce(t *testing.T) {
	c := steps.NewCache(8)
	var all sync.WaitGroup
	for w := range 8 {
		all.Go(func() {
			for n := range 200 {
				in := (n*7 + w) % 16
				m, err := steps.Run(context.Background(), steps.Runner{Cache: c}, "square", in,
					func(_ context.Context, n int) (string, error) { return fmt.Sprint(n * n), nil })
				if err != nil || m.Value != fmt.Sprint(in*in) {
					t.Errorf("square of %d: %q, %v", in, m.Value, err)
				}
			}
		})
	}
	all.Wait()
	if c.Len() > 8 {
		t.Errorf("%d outputs kept", c.Len())
	}
}

func TestProgressTellsWhatRuns(t *testing.T) {
	var told []string
	r := steps.Runner{Cache: steps.NewCache(4), Progress: func(s string) { told = append(told, s) }}
	for range 3 {
		if _, err := steps.Run(context.Background(), r, "cut", 1, func(context.Context, int) (int, error) { return 1, nil }); err != nil {
			t.Fatal(err)
		}
	}
	if len(told) != 1 || told[0] != "cut" {
		t.Errorf("told %v of one run", told)
	}
}
