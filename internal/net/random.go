package main

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// randomRoofs is how many roofs are drawn; each is its seed's own.
const randomRoofs = 60

// drawn is a random roof on its way to being a roof file.
type drawn struct {
	*rand.Rand
	b strings.Builder
}

func (d *drawn) line(format string, args ...any) { fmt.Fprintf(&d.b, format+"\n", args...) }

// metres draws a length on a 10 mm grid.
func (d *drawn) metres(low, high float64) float64 {
	return float64(int(100*(low+(high-low)*d.Float64()))) / 100
}

func pick[T any](d *drawn, from ...T) T { return from[d.IntN(len(from))] }

// chance is true with one in n.
func (d *drawn) chance(n int) bool { return d.IntN(n) == 0 }

// randomRoof writes the roof file of a seed: an invented roof of one deck, of a shape, with
// edges, a build-up, openings and a day drawn at random. The same seed gives the same file.
func randomRoof(seed uint64) string {
	d := &drawn{Rand: rand.New(rand.NewPCG(seed, 0x67656c))}
	d.line("version: 1\nname: Random roof %d\ndate: %q", seed, "2026-05-13")
	d.line("site: {country: %s, lat_deg: 52.4, lon_deg: -1.2, altitude_m: %d, terrain: %s, eaves_m: %.1f}",
		pick(d, "GB-ENG", "GB-SCT", "IE", "DE"), 20+d.IntN(200), pick(d, "I", "II", "III", "IV"), d.metres(2.2, 7))
	d.line("use: {below: %s, access: maintenance}", pick(d, "heated", "unheated"))
	joists := d.chance(2)
	d.spec(joists)
	if people := d.IntN(4); people > 0 {
		d.line("crew: {people: %d}", people)
	}
	d.line("day: {air_c: %d}", 9+d.IntN(16))
	d.deck(joists)
	return d.b.String()
}

func (d *drawn) spec(joists bool) {
	d.line("spec:\n  layers_g_per_m2: %s", pick(d, "[450]", "[600]", "[450, 450]"))
	if joists && d.chance(2) {
		d.line("  build_up: warm\n  insulation: {material: PIR, thickness_mm: %d}", 80+20*d.IntN(4))
	}
}

func (d *drawn) deck(joists bool) {
	w, h := d.metres(2.2, 9), d.metres(2, 7)
	a, b := d.metres(0.35*w, 0.6*w), d.metres(0.35*h, 0.6*h)
	d.line("deck:\n  name: main")
	edges := 4
	// Water runs south over the first edge; the room for a rooflight is left of a, below b.
	switch pick(d, "rectangle", "rectangle", "L", "L", "T", "U", "triangle", "bay", "skew") {
	case "L":
		edges = 6
		d.line("  outline: [[0, 0], [%g, 0], [%g, %g], [%g, %g], [%g, %g], [0, %g]]", w, w, b, a, b, a, h, h)
	case "T":
		edges = 8
		d.line("  outline: [[0, 0], [%g, 0], [%g, %g], [%g, %g], [%g, %g], [%g, %g], [%g, %g], [0, %g]]",
			w, w, b, 0.8*w, b, 0.8*w, h, 0.3*w, h, 0.3*w, b, b)
	case "U":
		edges = 8
		d.line("  outline: [[0, 0], [%g, 0], [%g, %g], [%g, %g], [%g, %g], [%g, %g], [%g, %g], [0, %g]]",
			w, w, h, 0.7*w, h, 0.7*w, b, 0.3*w, b, 0.3*w, h, h)
	case "triangle":
		edges = 3
		d.line("  outline: [[0, 0], [%g, 0], [0, %g]]", w, h)
	case "bay":
		d.line("  outline: [[0, 0, %g], [%g, 0], [%g, %g], [0, %g]]", d.metres(0.1, 0.4), w, w, h, h)
	case "skew":
		d.line("  outline: [[0, 0], [%g, 0], [%g, %g], [0, %g]]", w, w, h, d.metres(0.7*h, h))
	default:
		d.line("  outline: [[0, 0], [%g, 0], [%g, %g], [0, %g]]", w, w, h, h)
	}
	conditions := []string{"drip"}
	for len(conditions) < edges {
		conditions = append(conditions, pick(d, "kerb", "kerb", "wall", "verge", "{condition: parapet, height_mm: 300, width_mm: 215}"))
	}
	d.line("  edges: [%s]", strings.Join(conditions, ", "))
	d.line("  fall: {towards: south, ratio: %d}", pick(d, 40, 60, 80))
	if edges > 3 && d.chance(3) {
		x, y := d.metres(0.3*a, 0.5*a), d.metres(0.3*b, 0.5*b)
		d.line("  openings: [{name: RL1, kind: rooflight, from: [%.2f, %.2f], to: [%.2f, %.2f], kerb_mm: 150}]",
			x, y, x+min(0.9, 0.4*a), y+min(0.7, 0.4*b))
	}
	if d.chance(4) {
		d.line("  penetrations: [{name: SVP, kind: pipe, at: [%.2f, %.2f], diameter_mm: 110}]", 0.2*w, 0.15*h)
	}
	if joists {
		d.line("  base: {kind: joists, joist_spacing_mm: %d, joist_bearing_deg: %d, joist_width_mm: 47, joist_depth_mm: 195, joist_span_m: 3, "+
			"timber_class: C24}",
			pick(d, 300, 400, 600), pick(d, 0, 90))
	} else {
		d.line("  base: {kind: sound deck}")
	}
	d.line("  exit: [0, %g]", pick(d, 0, 0.7*h))
}
