package main

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	_ "gelwright/internal/steady" // one seed everywhere
)

// A program without its tables of lines says and computes what it did, garbage collected under deep stacks, calls through reflect,
// what it recovers from; only the calls that led to a failure are gone.
func TestLeanProgramDoesTheSame(t *testing.T) {
	node, err := exec.LookPath("node")
	if err != nil || testing.Short() {
		t.Skip("it builds for browsers and runs in node")
	}
	dir := t.TempDir()
	whole, lean := filepath.Join(dir, "whole.wasm"), filepath.Join(dir, "lean.wasm")
	build := exec.Command("go", "build", "-ldflags", "-s -w", "-o", whole, "./testdata/fails")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if text, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	if err := run(whole, lean); err != nil {
		t.Fatal(err)
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	says := func(module string) string {
		text, _ := exec.Command(node, "--stack-size=8192", filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec_node.js"),
			module).CombinedOutput()
		return string(text)
	}
	was, is := says(whole), says(lean)
	until := func(text string) string { return text[:max(0, strings.Index(text, "goroutine 1 ["))] }
	if until(is) == "" || until(is) != until(was) {
		t.Errorf("it says %q, was %q", is, was)
	}
	if !strings.Contains(was, "main.main") || strings.Contains(is, "main.main") {
		t.Error("the functions' names are not taken out")
	}
	if a, b := read(t, whole), read(t, lean); bytes.Contains(b, []byte("main.(*deck).Deep")) || !bytes.Contains(a, []byte("main.(*deck).Deep")) {
		t.Error("a function's name is left in the file")
	}
	tables := tablesOf(t, memoryIn(t, read(t, lean)))
	if names := bytes.ReplaceAll(tables.names, []byte{0}, nil); string(names) != strings.Join(asked, "") {
		t.Errorf("the names are %q, want those by which the runtime tells functions", names)
	}
}

// A number that looks like the head of the tables, or like the record that tells where it is, is not taken for it.
func TestTablesAreToldFromChance(t *testing.T) {
	memory := make([]byte, 2048)
	const at, self = 1024, 1200
	copy(memory[at:], head)
	order.PutUint64(memory[self:], at)
	for k := range 5 {
		order.PutUint64(memory[at+8*(headParts+k):], 100)
		order.PutUint64(memory[self+8*(moduleParts+3*k):], at+100)
		order.PutUint64(memory[self+8*(moduleParts+3*k+1):], 4)
	}
	order.PutUint64(memory[self+8*moduleGofunc:], at)
	copy(memory[8:], head)
	order.PutUint64(memory[40:], at)
	if l, err := linesOf(memory); err != nil || len(l.units) != 16 {
		t.Errorf("%v, %v", l, err)
	}
}

func memoryIn(t *testing.T, module []byte) []byte {
	list, err := sections(module)
	if err != nil {
		t.Fatal(err)
	}
	memory, err := memoryOf(list[len(list)-1].body)
	if err != nil {
		t.Fatal(err)
	}
	return memory
}

func tablesOf(t *testing.T, memory []byte) *lines {
	l, err := linesOf(memory)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func read(t *testing.T, path string) []byte {
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestMemoryIsFilledAsBefore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var memory []byte
		for range rapid.IntRange(0, 6).Draw(t, "pieces") {
			memory = append(memory, make([]byte, rapid.IntRange(0, 3*leastGap).Draw(t, "gap"))...)
			memory = append(memory, rapid.SliceOfN(rapid.Byte(), 0, 40).Draw(t, "bytes")...)
		}
		data := dataOf(memory)
		again, err := memoryOf(data)
		if err != nil {
			t.Fatal(err)
		}
		if want := bytes.TrimRight(memory, "\x00"); !bytes.Equal(again, want) {
			t.Fatalf("%x, want %x", again, want)
		}
		module := joined([]section{{1, []byte{0}}, {sectionData, data}})
		if list, err := sections(module); err != nil || len(list) != 2 || !bytes.Equal(list[1].body, data) {
			t.Fatalf("%v %v", list, err)
		}
	})
}

func TestFewZeroesMakeNoPiece(t *testing.T) {
	for _, c := range []struct{ zeroes, pieces int }{{leastGap - 1, 1}, {leastGap, 2}} {
		memory := append(append([]byte{1}, make([]byte, c.zeroes)...), 2)
		if data := dataOf(memory); int(data[0]) != c.pieces {
			t.Errorf("%d zeroes: %d pieces, want %d", c.zeroes, data[0], c.pieces)
		}
	}
}

// Values that step by place: 3 for a while, then 2, then 4.
func TestTableStays(t *testing.T) {
	l := &lines{values: []byte{0, 8, 5, 1, 2, 4, 200, 1, 0, 7, 7}}
	l.used = make([]bool, len(l.values))
	most, err := l.keep(1)
	if err != nil || most != 4 {
		t.Errorf("greatest %d, %v; want 4", most, err)
	}
	for i, used := range l.used {
		if used != (i >= 1 && i <= 8) {
			t.Errorf("byte %d: used %v", i, used)
		}
	}
	if _, err := l.keep(9); !errors.Is(err, errLines) {
		t.Errorf("a table without an end: %v", err)
	}
	if most, err := l.keep(0); most != -1 || err != nil {
		t.Errorf("no table: %d, %v", most, err)
	}
}

// Another toolchain's module is refused, not spoiled.
func TestRefusesWhatItDoesNotKnow(t *testing.T) {
	for _, module := range []string{"", "\x00asm", moduleHead, moduleHead + "\x0b\x01\x00", moduleHead + "\x0b\x7f"} {
		if _, err := leaner([]byte(module)); err == nil {
			t.Errorf("%q is taken", module)
		}
	}
}

func TestSignedNumbers(t *testing.T) {
	for _, v := range []int64{0, 1, -1, 63, 64, -64, -65, 127, 128, 1 << 20, -(1 << 31), 1<<31 - 1} {
		b := appendSigned(nil, v)
		if got, n := signed(b); got != v || n != len(b) {
			t.Errorf("%d: %d in %d of %d bytes", v, got, n, len(b))
		}
	}
	if b := appendSigned(nil, 64); !bytes.Equal(b, []byte{0xc0, 0}) {
		t.Errorf("64: %x", b)
	}
}
