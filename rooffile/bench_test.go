package rooffile

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// big is a roof of 5 000 m² with 80 rooflights.
func big() []byte {
	var b strings.Builder
	b.WriteString("version: 1\nname: Depot\ndate: 2026-05-12\ndeck:\n  outline: [[0, 0], [100, 0], [100, 50], [0, 50]]\n  edges: [drip, kerb, drip, kerb]\n  fall: {kind: ridge, line: [[0, 25], [100, 25]], ratio: 40}\n  openings:\n")
	for i := range 80 {
		x, y := 3+float64(i%20)*4.9, 4+float64(i/20)*11
		fmt.Fprintf(&b, "    - {name: RL%02d, from: [%g, %g], to: [%g, %g]}\n", i+1, x, y, x+1.2, y+1.2)
	}
	return []byte(b.String())
}

func TestLargeRoofIsRead(t *testing.T) {
	job, _, err := Read("depot.yaml", big())
	if err != nil || len(job.Decks[0].Openings) != 80 {
		t.Fatalf("%d openings, %v", len(job.Decks[0].Openings), err)
	}
}

func BenchmarkReadLargeRoof(b *testing.B) {
	text := big()
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Read("depot.yaml", text); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRefuseJunk(b *testing.B) {
	for name, junk := range map[string][]byte{
		"10MB":     bytes.Repeat([]byte("[{&*"), 10<<18),
		"brackets": bytes.Repeat([]byte("["), 500<<10),
		"dashes":   bytes.Repeat([]byte("- "), 250<<10),
		"lines":    bytes.Repeat([]byte("- x\n"), 125<<10),
		"most":     bytes.Repeat([]byte("- x\n"), 39_000),
		"mostkeys": []byte(distinct(26_000)),
		"mostflow": []byte("a: {" + strings.ReplaceAll(distinct(19_000), "\n", ",\n") + "}"),
		"deepkeys": []byte("a:\n" + strings.ReplaceAll(distinct(26_000), "k", "  k")),
		"pairs":    bytes.Repeat([]byte("a: b\n"), 100<<10),
		"flow":     append([]byte("a: {"), bytes.Repeat([]byte("b: c, "), 80<<10)...),
		"quotes":   bytes.Repeat([]byte(`"`), 500<<10),
		"words":    bytes.Repeat([]byte("abc def "), 60<<10),
		"comments": bytes.Repeat([]byte("# x\n"), 125<<10),
		"blank":    bytes.Repeat([]byte("\n"), 500<<10),
		"block":    append([]byte("a: |\n"), bytes.Repeat([]byte("  x\n"), 120<<10)...),
		"folded":   append([]byte("a: "), bytes.Repeat([]byte("x\n  y"), 80<<10)...),
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, _, err := ReadFrom(name, bytes.NewReader(junk)); err == nil {
					b.Fatal("accepted")
				}
			}
		})
	}
}

// distinct is a mapping of so many keys, none twice.
func distinct(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "k%d: 1\n", i)
	}
	return b.String()
}
