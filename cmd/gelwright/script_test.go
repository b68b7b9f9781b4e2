package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write the golden files anew")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"gelwright": main})
}

// TestScripts runs the text files of testdata/script: the real program, what it is
// given, what it says, and what it leaves behind.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       *update,
		Setup: func(e *testscript.Env) error {
			examples, err := filepath.Abs(filepath.Join("..", "..", "examples"))
			e.Setenv("EXAMPLES", examples)
			kept, err2 := filepath.Abs(filepath.Join("..", "..", "store", "sqlite", "testdata", "kept-1"))
			e.Setenv("KEPT", kept)
			return errors.Join(err, err2)
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"exits": exits, "json": isJSON, "nothing": nothing, "junk": junk, "within": within,
		},
	})
}

// exits CODE PROGRAM ARGS…: the program ends with this exit code.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE PROGRAM ARGS…")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := "0"
	if err != nil {
		if got = strings.TrimPrefix(err.Error(), "exit status "); got == err.Error() {
			ts.Fatalf("%s: %v", args[1], err)
		}
	}
	if got != args[0] {
		ts.Fatalf("exit code %s, want %s", got, args[0])
	}
}

// json FILE [KEY=VALUE…]: the file is one JSON value that holds these at its top.
func isJSON(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: json FILE [KEY=VALUE…]")
	}
	var v any
	if err := json.Unmarshal([]byte(ts.ReadFile(args[0])), &v); err != nil {
		ts.Fatalf("%s: %v", args[0], err)
	}
	for _, want := range args[1:] {
		key, value, _ := strings.Cut(want, "=")
		top, ok := v.(map[string]any)
		if !ok {
			ts.Fatalf("%s is no object", args[0])
		}
		if got := fmt.Sprint(top[key]); got != value {
			ts.Fatalf("%s: %s is %s, want %s", args[0], key, got, value)
		}
	}
}

// nothing DIR: the folder is empty or not there, hidden files counted.
func nothing(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: nothing DIR")
	}
	found, err := os.ReadDir(ts.MkAbs(args[0]))
	if err != nil && !os.IsNotExist(err) {
		ts.Fatalf("%v", err)
	}
	for _, f := range found {
		ts.Fatalf("%s holds %s", args[0], f.Name())
	}
}

// junk FILE KIND: ten megabytes that are no roof.
func junk(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: junk FILE KIND")
	}
	var b []byte
	const size = 10 << 20
	switch args[1] {
	case "bytes":
		b = make([]byte, size)
		x := uint32(2463534242) // xorshift32, Marsaglia 2003
		for i := range b {
			x ^= x << 13
			x ^= x >> 17
			x ^= x << 5
			b[i] = byte(x)
		}
	case "lines":
		b = bytes.Repeat([]byte("deck: [[0, 0], [1, 0], [1, 1]]\n"), size/31)
	case "nested":
		b = bytes.Repeat([]byte("["), size)
	case "corners":
		b = append([]byte("version: 1\ndeck:\n  outline: ["), bytes.Repeat([]byte("[0, 0], "), size/8)...)
		b = append(b, ']')
	default:
		ts.Fatalf("no such junk: %s", args[1])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), b, 0o644))
}

// within SECONDS CODE PROGRAM ARGS…: the program ends with this exit code in time. The
// limit is many times what it takes, so that a busy machine does not fail it.
func within(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 3 {
		ts.Fatalf("usage: within SECONDS CODE PROGRAM ARGS…")
	}
	limit, err := time.ParseDuration(args[0] + "s")
	ts.Check(err)
	from := time.Now()
	exits(ts, false, args[1:])
	if took := time.Since(from); took > limit {
		ts.Fatalf("took %v of %v", took, limit)
	}
}

var (
	indented = regexp.MustCompile("(?m)^    (?:bin/)?(gelwright .*)$")
	inline   = regexp.MustCompile("`(gelwright [^`]*)`")
	yamlOf   = regexp.MustCompile("(?s)```yaml\n(.*?)```")
)

// shellWords parts a line into words, those in double quotes whole.
func shellWords(line string) []string {
	var out []string
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			out = append(out, part)
			continue
		}
		out = append(out, strings.Fields(part)...)
	}
	return out
}

// TestCommandsOfTheReadmeRun runs each gelwright command that the README shows, on an
// example where it says ROOF.yaml and on the README's own roof where it names that.
func TestCommandsOfTheReadmeRun(t *testing.T) {
	raw, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	examples, err := filepath.Abs(filepath.Join("..", "..", "examples"))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	kept := filepath.Join("..", "..", "store", "sqlite", "testdata", "kept-1")
	if err := os.CopyFS(filepath.Join(dir, "jobs"), os.DirFS(kept)); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"pieces.csv": "name,length_mm,count\nA,1500,3\n", "panels.csv": "name,length_mm,width_mm,count\nA,1200,600,5\n", "hours.csv": hours("2026-05-20", 14),
		"roof.dxf": "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n6\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\nOUTLINE\n70\n1\n" +
			"10\n0\n20\n0\n10\n4\n20\n0\n10\n4\n20\n3\n0\nENDSEC\n"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if roof := yamlOf.FindSubmatch(raw); roof != nil {
		if err := os.WriteFile(filepath.Join(dir, "lean-to.yaml"), roof[1], 0o644); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(dir)
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(dir, "settings"))
	stand := strings.NewReplacer("ROOF.yaml", filepath.Join(examples, "r01-garage.yaml"), "examples/", examples+"/")
	seen := map[string]bool{}
	for _, show := range append(indented.FindAllSubmatch(raw, -1), inline.FindAllSubmatch(raw, -1)...) {
		line, _, _ := strings.Cut(string(show[1]), " #")
		words := shellWords(stand.Replace(line))
		if seen[line] || len(words) < 2 || words[1] == "serve" { // it ends when it is told to: serve_test.go
			continue
		}
		seen[line] = true
		var said, errs bytes.Buffer
		if code := run(words[1:], strings.NewReader(""), &said, &errs); code != exitDone && code != exitNo {
			t.Errorf("%s: exit %d: %s", line, code, errs.String())
		}
		if said.Len() == 0 {
			t.Errorf("%s: said nothing", line)
		}
	}
	if len(seen) < 5 {
		t.Errorf("the README shows %d commands: %v", len(seen), seen)
	}
}

// hours is an invented forecast of mild dry days.
func hours(from string, days int) string {
	var b strings.Builder
	b.WriteString("time,air_c,rh_pct,wind_ms,rain_mm,cloud_pct\n")
	day, err := time.Parse(time.DateOnly, from)
	if err != nil {
		panic(err) // a slip in this file
	}
	for h := range 24 * days {
		at := day.Add(time.Duration(h) * time.Hour)
		// 10 °C before dawn, 20 °C in the afternoon.
		air := 15 + 5*math.Sin(float64(at.Hour()-9)/24*2*math.Pi)
		fmt.Fprintf(&b, "%s,%.1f,%.0f,%.1f,%.1f,%.0f\n", at.Format("2006-01-02T15:04"), air, 70-air, 2.5, 0.0, 30.0)
	}
	return b.String()
}
