package rooffile

import (
	"errors"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/google/go-cmp/cmp"

	"gelwright/plane"
	"gelwright/roof"
)

// sound is the shortest roof file there is.
const sound = `version: 1
name: Shed
date: 2026-05-12
deck:
  outline: [[0, 0], [3, 0], [3, 4], [0, 4]]
  edges: [drip, kerb, wall, kerb]
  fall: {towards: south, ratio: 40}
`

func TestTheShortestFile(t *testing.T) {
	job, warnings, err := Read("shed.yaml", []byte(sound))
	if err != nil || len(warnings) > 0 {
		t.Fatalf("%v %v", err, warnings)
	}
	if job.Decks[0].Name != "main" || job.Decks[0].Exit != (plane.Point{X: 1.5, Y: 0}) || job.Spec.Layers[0] != 600 {
		t.Errorf("defaults not taken: %+v", job.Decks[0])
	}
	noted := map[string]roof.Default{}
	for _, d := range job.Defaults {
		if d.Why == "" || d.Value == "" {
			t.Errorf("default %s says no value or no reason", d.Field)
		}
		noted[d.Field] = d
	}
	for _, field := range []string{"site.lat_deg", "spec.resin_to_glass", "decks[main].edges[2].height_mm", "decks[main].exit", "crew.people"} {
		if _, ok := noted[field]; !ok {
			t.Errorf("default %s is not listed", field)
		}
	}
}

// snippets are the parts of a remedy that are meant for the file: fields in quotes.
func snippets(remedy string) []string {
	var out []string
	for _, m := range regexp.MustCompile(`"([a-z_]+:[^"]*)"`).FindAllStringSubmatch(remedy, -1) {
		out = append(out, m[1])
	}
	return out
}

// A field that must be there and is left out comes with a remedy that, written into the file,
// is read.
func TestARemedyWrittenIntoTheFileIsRead(t *testing.T) {
	for _, line := range []string{"version: 1\n", "name: Shed\n", "date: 2026-05-12\n", "  outline: [[0, 0], [3, 0], [3, 4], [0, 4]]\n",
		"  edges: [drip, kerb, wall, kerb]\n", "  fall: {towards: south, ratio: 40}\n"} {
		without := strings.Replace(sound, line, "", 1)
		_, _, err := Read("shed.yaml", []byte(without))
		var faults Faults
		if !errors.As(err, &faults) {
			t.Fatalf("without %q: %v", line, err)
		}
		add := snippets(faults[0].Remedy)
		if len(add) == 0 {
			t.Errorf("without %q: no remedy for the file in %q", line, faults[0].Remedy)
			continue
		}
		indent := line[:len(line)-len(strings.TrimLeft(line, " "))]
		again := strings.Replace(sound, line, indent+add[0]+"\n", 1)
		if _, _, err := Read("shed.yaml", []byte(again)); err != nil && strings.Contains(err.Error(), "is missing") {
			t.Errorf("with %q in place of %q: %v", add[0], line, err)
		}
	}
}

// Each case is a change of the sound file, and what must be said of it.
func TestFaultsNamePlaceMatterAndRemedy(t *testing.T) {
	for _, c := range []struct {
		name, old, new string
		want           []string
	}{
		{"outline crosses", "[3, 4], [0, 4]", "[0, 4], [3, 4]", []string{"shed.yaml:5:37", "edges 2 and 4", "crosses itself", "(1.500, 2.000)"}},
		{"edge without condition", "kerb, wall, kerb", "kerb, wall", []string{"shed.yaml:6:", "edge 4 of 4, from (0, 4) to (0, 0), has no condition", "Add its condition"}},
		{"too many edges", "wall, kerb]", "wall, kerb, drip]", []string{"5 edges for 4 corners"}},
		{"unknown edge word", "drip, kerb", "dripp, kerb", []string{"shed.yaml:6:11", `"dripp" is not known`, `Did you mean "drip"?`}},
		{"unknown field", "name: Shed", "nam: Shed", []string{"shed.yaml:2:1", `Did you mean "name"?`, `field "name" is missing`}},
		{"unknown field in a deck", "  fall:", "  exitt: [0, 0]\n  fall:", []string{"shed.yaml:7:3", `deck "main"`, `Did you mean "exit"?`}},
		{"6200 m long", "[3, 0], [3, 4]", "[6200, 0], [6200, 4]", []string{"outline, entry 2", `"6200 mm"`}},
		{"1500 m long", "[3, 0], [3, 4]", "[1500, 0], [1500, 4]", []string{"1500 m long", "Did you mean 1500 mm?"}},
		{"fall of zero", "ratio: 40", "ratio: 0", []string{"shed.yaml:7:", "fall is zero", "1:40"}},
		{"fall as a slope", "ratio: 40", "ratio: 0.025", []string{"shed.yaml:7:", "1:0.025 is no flat roof", "Did you mean ratio: 40"}},
		{"fall in per cent", "ratio: 40", "ratio: 2.5", []string{"Did you mean ratio: 40", "2.5 %"}},
		{"span without its point", "  fall:", "  base: {joist_span_m: 29}\n  fall:", []string{"29 m is out of range", "Did you mean 2.9 m?"}},
		{"air in Fahrenheit", "deck:", "day: {air_c: 54}\ndeck:", []string{"54 °C is out of range", "Is that °F?", "12 °C"}},
		{"no fall direction", "towards: south, ", "", []string{"where the water runs"}},
		{"arc impossible", "edges: [drip,", "edges: [{condition: drip, arc: {radius_m: 1}},", []string{"radius of 1.000 m cannot span a chord of 3.000 m", "1.500 m or more"}},
		{"exit far", "  fall:", "  exit: [50, 0]\n  fall:", []string{"shed.yaml:7:9", "47.0 m off the deck"}},
		{"a date of another age", "2026-05-12", "0001-01-01", []string{"shed.yaml:3:", "the year 0001", "1990 to 2100"}},
		{"a date too far", "2026-05-12", "9999-12-31", []string{"shed.yaml:3:", "the year 9999"}},
		{"the end too far", "deck:", "work: {finish_by: \"2101-01-01\"}\ndeck:", []string{"the year 2101"}},
		{"a name of two lines", "name: Shed", `name: "Shed\nat"`, []string{"shed.yaml:2:", "line break", "on one line"}},
		{"a name parted by a line separator", "name: Shed", `name: "Shed\u2028at"`, []string{"shed.yaml:2:", "line break"}},
		{"a name that turns its line", "name: Shed", `name: "Shed\u202Etxt"`, []string{"shed.yaml:2:", "turns the direction"}},
		{"a name with a mark of direction", "name: Shed", `name: "Shed\u200F"`, []string{"shed.yaml:2:", "turns the direction"}},
		{"a name with what is not seen", "name: Shed", `name: "She\u200Bd"`, []string{"shed.yaml:2:", "not seen"}},
		{"a name with a bell", "name: Shed", `name: "She\ad"`, []string{"shed.yaml:2:", "control characters"}},
		{"a name of nothing", "name: Shed", `name: "  "`, []string{"shed.yaml:2:", "the text is empty"}},
		{"a deck's name that turns", "deck:", "deck:\n  name: \"a\\u2067b\"", []string{"shed.yaml:5:", "turns the direction"}},
		{"a neighbour of nothing", "deck:", "site: {neighbours: ['']}\ndeck:", []string{"the entry is empty"}},
		{"a neighbour that turns", "deck:", "site: {neighbours: [\"a\\u202eb\"]}\ndeck:", []string{"turns the direction"}},
		{"a remark that turns", "deck:", "note: \"a\\u202eb\"\ndeck:", []string{"turns the direction"}},
		{"no layers", "deck:", "spec: {layers_g_per_m2: []}\ndeck:", []string{"shed.yaml:4:", "layers_g_per_m2: the list is empty", "leave the field out"}},
		{"bad date", "2026-05-12", "2026-02-30", []string{"no day of the calendar"}},
		{"bad zone", "deck:", "site: {time_zone: Europe/Londno}\ndeck:", []string{"time zone"}},
		{"bad country", "deck:", "site: {country: GB-EN}\ndeck:", []string{`Did you mean "GB-ENG"?`}},
		{"no country", "deck:", "site: {country: XX}\ndeck:", []string{`"XX" is no country of ISO 3166`, "US, NZ"}},
		{"a country whose middle is not held", "deck:", "site: {country: KE}\ndeck:", []string{"where in Kenya", "lat_deg and lon_deg"}},
		{"opening outside", "  fall:", "  openings: [{name: RL1, from: [2, 1], to: [4, 2]}]\n  fall:", []string{`opening "RL1"`, "outside the deck"}},
		{"openings overlap", "  fall:", "  openings: [{name: A, from: [1, 1], to: [2, 2]}, {name: B, centre: [2, 2], diameter_m: 1}]\n  fall:", []string{`opening "B": it overlaps opening "A"`}},
		{"same name", "  fall:", "  openings: [{name: A, from: [1, 1], to: [2, 2]}, {name: A, from: [1, 3], to: [2, 3.5]}]\n  fall:", []string{"same name"}},
		{"no kerb", "  fall:", "  openings: [{name: A, from: [1, 1], to: [2, 2], kerb_mm: 30}]\n  fall:", []string{"30 mm keeps no water out", "150 mm"}},
		{"step to nowhere", "wall, kerb]", "{condition: step up, to: attic}, kerb]", []string{`no other deck "attic"`}},
		{"pipe outside", "  fall:", "  penetrations: [{kind: pipe, at: [9, 9]}]\n  fall:", []string{"(9, 9) lies outside the deck"}},
		{"a pipe among the openings", "  fall:", "  openings: [{kind: pipe, from: [1, 1], to: [2, 2]}]\n  fall:", []string{`"pipe" is not known here`, "penetrations: [{kind: pipe,"}},
		{"a rooflight among the pipes", "  fall:", "  penetrations: [{kind: rooflight, at: [1, 1]}]\n  fall:", []string{"openings: [{kind: rooflight,"}},
		{"a suburb", "deck:", "site: {terrain: suburban}\ndeck:", []string{"shed.yaml:4:", "Write III: villages, suburbs"}},
		{"a town", "deck:", "site: {terrain: town}\ndeck:", []string{"Write IV where", "15 m high", "otherwise III"}},
		{"moisture", "  fall:", "  moisture: [{at: [1, 1], pct: 150}]\n  fall:", []string{"150 %"}},
		{"not a number", "ratio: 40", "ratio: .nan", []string{"shed.yaml:7:33", "without a value"}},
		{"infinite", "ratio: 40", "ratio: .inf", []string{"without a value"}},
		{"wrong unit", "[3, 0]", `["3 kg", 0]`, []string{"is a mass, and a length is wanted"}},
		{"anchor", "name: Shed", "name: &a Shed", []string{"shed.yaml:2:7", "anchors"}},
		{"tag", "name: Shed", "name: !!str Shed", []string{"tags"}},
		{"plane on the wrong side", "{towards: south, ratio: 40}", "{kind: ridge, line: [[0, 2], [3, 2]], left: {towards: south, ratio: 40}, right: {towards: north, ratio: 40}}", []string{"left of the ridge", "swap them"}},
		{"not YAML", "deck:", "deck: [", []string{"shed.yaml:", "YAML"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(sound, c.old, c.new, 1)
			if text == sound {
				t.Fatal("the case changes nothing")
			}
			_, _, err := Read("shed.yaml", []byte(text))
			var faults Faults
			if !errors.As(err, &faults) {
				t.Fatalf("no fault found, err %v", err)
			}
			for _, w := range c.want {
				if !strings.Contains(err.Error(), w) {
					t.Errorf("missing %q in\n%v", w, err)
				}
			}
			for _, f := range faults {
				if f.Code == "" || f.Remedy == "" || f.Line == 0 {
					t.Errorf("no code, remedy or line: %+v", f)
				}
				for _, s := range snippets(f.Remedy) {
					var v map[string]any
					if err := yaml.Unmarshal([]byte(s), &v); err != nil || len(v) != 1 {
						t.Errorf("remedy %q is not YAML: %v", s, err)
					}
				}
			}
		})
	}
}

// All faults come in one reading, in the order of their lines.
func TestAllFaultsInOneGo(t *testing.T) {
	text := strings.NewReplacer("name: Shed", "nmae: Shed", "ratio: 40", "ratio: 0", "2026-05-12", "2026-13-01", "[3, 4], [0, 4]", "[0, 4], [3, 4]", "kerb, wall", "krb, wall").Replace(sound)
	_, _, err := Read("shed.yaml", []byte(text))
	var faults Faults
	if !errors.As(err, &faults) {
		t.Fatal("no faults")
	}
	for _, code := range []string{"field.unknown", "field.missing", "fall.zero", "date.bad", "outline.crosses", "word.unknown"} {
		if !slices.ContainsFunc(faults, func(f Fault) bool { return f.Code == code }) {
			t.Errorf("%s not found in\n%v", code, err)
		}
	}
	for i := 1; i < len(faults); i++ {
		if faults[i].Line < faults[i-1].Line {
			t.Errorf("not sorted:\n%v", err)
		}
	}
}

// A clockwise outline is turned; every condition, height and sill stays at its own edge.
func TestClockwiseOutlineIsTurned(t *testing.T) {
	text := strings.NewReplacer("[[0, 0], [3, 0], [3, 4], [0, 4]]", "[[0, 0], [0, 4], [3, 4], [3, 0]]",
		"[drip, kerb, wall, kerb]", "[kerb, {condition: wall, height_mm: 180, thresholds: [{from_m: 0.5, to_m: 1.4, upstand_mm: 160}]}, verge, {condition: drip, arc: {rise_m: 0.3}}]").Replace(sound)
	job, warnings, err := Read("shed.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	if len(warnings) != 1 || warnings[0].Code != "outline.clockwise" {
		t.Errorf("warnings: %v", warnings)
	}
	d := job.Decks[0]
	for i, e := range d.Edges {
		side := d.Outline.Edge(i)
		middle := side.A.Add(side.B).Scale(0.5)
		want := map[roof.Condition]plane.Point{roof.Kerb: {X: 0, Y: 2}, roof.Wall: {X: 1.5, Y: 4}, roof.Verge: {X: 3, Y: 2}, roof.Drip: {X: 1.5, Y: 0}}[e.Condition]
		if middle != want {
			t.Errorf("%s lies at %v, want %v", e.Condition, middle, want)
		}
		if e.Condition == roof.Drip && (side.Bulge < 0.2-1e-12 || side.Bulge > 0.2+1e-12) {
			t.Errorf("drip bulge %g, want 0.2 outward", side.Bulge)
		}
		// The sill from x 0.5 to 1.4 must still be there, counted from the other end.
		if e.Condition == roof.Wall && (e.HeightMM != 180 || side.At(e.Thresholds[0].FromM/3).X != 1.4) {
			t.Errorf("wall %+v", e)
		}
	}
	for _, def := range job.Defaults {
		if strings.HasSuffix(def.Field, "edges[1].height_mm") && d.Edges[1].Condition == roof.Wall {
			t.Errorf("the wall's height was given, yet %v", def)
		}
	}
}

// The four ways to write an arc agree: chord 2.4, radius 1.5, rise 0.6 (acceptance roof R03).
func TestFourWaysToWriteAnArc(t *testing.T) {
	for _, way := range []string{"radius_m: 1.5", "rise_m: 0.6", "bulge: 0.5", "through: [1.2, -0.6]", "rise_m: 600 mm"} {
		text := strings.NewReplacer("[[0, 0], [3, 0], [3, 4], [0, 4]]", "[[0, 0], [2.4, 0], [2.4, 4], [0, 4]]", "[drip,", "[{condition: drip, arc: {"+way+"}},").Replace(sound)
		job, _, err := Read("bay.yaml", []byte(text))
		if err != nil {
			t.Errorf("%s: %v", way, err)
			continue
		}
		if b := job.Decks[0].Outline[0].Bulge; b < 0.5-1e-12 || b > 0.5+1e-12 {
			t.Errorf("%s: bulge %v, want 0.5", way, b)
		}
	}
}

func TestJunkEndsSoon(t *testing.T) {
	for name, junk := range map[string]string{
		"zeros":    strings.Repeat("\x00", 10<<20),
		"brackets": strings.Repeat("[", 10<<20),
		"dashes":   strings.Repeat("- ", 200<<10),
		"nested":   strings.Repeat("[", 400<<10),
		"keys":     strings.Repeat("a:\n ", 100<<10),
		"lines":    strings.Repeat("- - - x\n", 60<<10),
		"quotes":   strings.Repeat(`"`, 500<<10),
		"colons":   strings.Repeat(": ", 250<<10),
		"fields":   distinct(26_000),
		"question": strings.Repeat("? ", 250<<10),
		"flow":     "a: {" + strings.Repeat("b: c, ", 80<<10),
	} {
		if _, _, err := ReadFrom(name, strings.NewReader(junk)); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	// Indentation that grows line by line is a tree as deep as the file is long.
	var deep strings.Builder
	for i := range 700 {
		deep.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	if _, _, err := Read("deep", []byte(deep.String())); err == nil {
		t.Error("deep: no error")
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(sound))
	for _, name := range []string{"r03-bay", "r06-balcony", "r08-winter", "r10-terrace", "r11-three-levels"} {
		text, err := os.ReadFile("../examples/" + name + ".yaml")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Add([]byte("version: 1\ndecks: [{outline: [[0,0],[1e308,0],[0,1]], edges: [drip]}]"))
	f.Add([]byte("a: &a [*a, *a]\nb: !!binary x"))
	f.Add([]byte("? [\n- - - {"))
	f.Fuzz(func(t *testing.T, data []byte) {
		job, _, err := Read("fuzz.yaml", data)
		if err != nil {
			return
		}
		text, err := Write(job)
		if err != nil {
			t.Fatalf("a sound job cannot be written: %v", err)
		}
		again, _, err := Read("fuzz.yaml", text)
		if err != nil {
			t.Fatalf("what was written cannot be read: %v\n%s", err, text)
		}
		if d := cmp.Diff(job, again); d != "" {
			t.Fatalf("changed on the way (-first +second):\n%s\n%s", d, text)
		}
	})
}
