package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"gelwright/desk"
	"gelwright/gelfile"
)

// call runs the program and returns what it said.
func call(t *testing.T, stdin string, args ...string) (code int, out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(args, strings.NewReader(stdin), &o, &e)
	return code, o.String(), e.String()
}

func sampleLog() string { return filepath.Join("..", "..", "examples", "gels.csv") }

// The sample log was written with a slow drum A17 and one entry whose thermometer lay in
// the sun: both must be found, and nothing else be doubted.
func TestLearnFindsTheSlowDrumAndTheSlip(t *testing.T) {
	code, out, errs := call(t, "", "learn", sampleLog())
	if code != exitDone || errs != "" {
		t.Fatalf("%d, %s", code, errs)
	}
	if !regexp.MustCompile(`drum A17: gels [5-9] % later`).MatchString(out) {
		t.Errorf("the slow drum is not seen:\n%s", out)
	}
	doubted := regexp.MustCompile(`(?m)^gels\.csv:(\d+): .* check thermometer, jug and pen$`).FindAllStringSubmatch(out, -1)
	if len(doubted) != 1 || doubted[0][1] != "9" {
		t.Errorf("doubted: %v\n%s", doubted, out)
	}
	for _, row := range []string{"10 °C", "15 °C", "20 °C", "25 °C"} {
		if !strings.Contains(out, row) {
			t.Errorf("no row for %s", row)
		}
	}
}

// What was learned narrows the range of the drum that was logged, is taken by dose and
// plan, and refuses another resin.
func TestALearnedLawReachesDoseAndPlan(t *testing.T) {
	code, law, errs := call(t, "", "learn", sampleLog(), "--json")
	if code != exitDone {
		t.Fatal(errs)
	}
	path := filepath.Join(t.TempDir(), "gel.json")
	if err := os.WriteFile(path, []byte(law), 0o644); err != nil {
		t.Fatal(err)
	}
	ask := func(more ...string) desk.Dose {
		t.Helper()
		code, out, errs := call(t, "", append([]string{"dose", "--temp", "15", "--kg", "4", "--minutes", "10", "--json"}, more...)...)
		var a desk.Dose
		if err := json.Unmarshal([]byte(out), &a); err != nil || code != exitDone {
			t.Fatalf("%d %v %s", code, err, errs)
		}
		return a
	}
	sheet, drum := ask(), ask("--gel", path, "--drum", "A17")
	spread := func(a desk.Dose) float64 { return a.GelHighMin / a.GelLowMin }
	if spread(drum) >= spread(sheet) {
		t.Errorf("the range is %.2f wide with the drum's log and was %.2f", spread(drum), spread(sheet))
	}
	if !strings.Contains(drum.Evidence, "4 gels of drum A17") {
		t.Errorf("evidence: %s", drum.Evidence)
	}
	for want, args := range map[string][]string{
		"A17, A18, B02":    {"--gel", path, "--drum", "Z9"},
		"give the law":     {"--drum", "A17"},
		"resin.all-season": {"--gel", path, "--resin", "resin.winter"},
		"no such gel law":  {"--gel", path + "x"},
		"not a gel law":    {"--gel", sampleLog()},
	} {
		code, _, errs := call(t, "", append([]string{"dose", "--temp", "15", "--kg", "4", "--minutes", "10"}, args...)...)
		if code == exitDone || !strings.Contains(errs, want) {
			t.Errorf("%v: %d, %s", args, code, errs)
		}
	}
	spoilt := filepath.Join(t.TempDir(), "spoilt.json")
	if err := os.WriteFile(spoilt, []byte(strings.Replace(law, `"min_pct": 1`, `"min_pct": 0`, 1)), 0o644); err != nil {
		t.Fatal(err)
	}
	if code, _, errs := call(t, "", "dose", "--temp", "15", "--kg", "4", "--minutes", "10", "--gel", spoilt); code != exitFaults || !strings.Contains(errs, "least dose") {
		t.Errorf("a spoilt law: %d, %s", code, errs)
	}
	roof := filepath.Join("..", "..", "examples", "r01-garage.yaml")
	_, plain, _ := call(t, "", "plan", roof, "--json")
	code, own, errs := call(t, "", "plan", roof, "--json", "--gel", path)
	if code != exitDone || own == plain || !strings.Contains(own, "13 gels logged on site") {
		t.Errorf("plan --gel: %d, %s", code, errs)
	}
}

func TestFaultsOfALogAreAllNamed(t *testing.T) {
	for _, c := range []struct {
		name, log string
		want      []string
	}{
		{"values", "# my log\ndrum,temp_c,catalyst_pct,mix_kg,gel_min\nA,warm,2,4,20\nA,12,,4,20\nB,12,22,4,\nC,12,2,4,20\n", []string{
			"standard input:3:3: temp_c \"warm\" is no number", "standard input:4:6: no catalyst_pct", "standard input:5:6: catalyst_pct 22 is not between", "standard input:5:11: no gel_min"}},
		{"heading", "\na,b\n1,2\n", []string{"standard input:2:1: there is no column temp_c", "there is no column gel_min", "there is no dose"}},
		{"a column twice", "temp_c,temp_c,catalyst_pct,gel_min\n", []string{"standard input:1:8: column \"temp_c\" comes twice"}},
		{"empty", "", []string{"1:1: the log is empty"}},
		{"heading alone", "temp_c,catalyst_pct,gel_min\n", []string{"no gels under the heading"}},
		{"millilitres alone", "temp_c,catalyst_ml,gel_min\n12,80,20\n", []string{"add a column catalyst_pct, or catalyst_ml and mix_kg"}},
		{"half a bottle", "temp_c,catalyst_ml,mix_kg,gel_min\n12,800,1,20\n", []string{"standard input:2:4: 800 ml in 1 kg is 92.0 %"}},
		{"open quote", "temp_c,catalyst_pct,gel_min\n12,\"2,20\n", []string{"quote whole fields"}},
		{"short row", "temp_c,catalyst_pct,gel_min\n12\n", []string{"standard input:2:1: no catalyst_pct", "no gel_min"}},
	} {
		code, out, errs := call(t, c.log, "learn", "-")
		if code != exitFaults || out != "" {
			t.Errorf("%s: exit %d, %s", c.name, code, out)
		}
		for _, w := range c.want {
			if !strings.Contains(errs, w) {
				t.Errorf("%s: no %q in\n%s", c.name, w, errs)
			}
		}
	}
}

// Semicolons with decimal commas, and millilitres with kilograms, say the same as the
// plain form: 80 ml at 1.15 g/ml in 4 kg is 2.3 % (arithmetic).
func TestFormsOfALog(t *testing.T) {
	law := func(log string) string {
		t.Helper()
		code, out, errs := call(t, log, "learn", "-", "--json")
		if code != exitDone {
			t.Fatal(errs)
		}
		return out
	}
	plain := law("drum,temp_c,catalyst_pct,mix_kg,gel_min\nA,12.5,2.3,4,33\n")
	for name, log := range map[string]string{
		"semicolons":  "drum;temp_c;catalyst_pct;mix_kg;gel_min\nA;12,5;2,3;4;33\n",
		"other order": "# a; remark\ngel_min, mix_kg ,TEMP_C,catalyst_pct,drum,sky\n33,4,12.5,2.3,A,grey\n",
	} {
		if law(log) != plain {
			t.Errorf("%s: another law", name)
		}
	}
	// The quotient of the millilitres rounds in its last digits.
	digits := regexp.MustCompile(`(\d+\.\d{6})\d+`)
	if a, b := digits.ReplaceAllString(law("drum,temp_c,catalyst_ml,mix_kg,gel_min\nA,12.5,80,4,33\n"), "$1"), digits.ReplaceAllString(plain, "$1"); a != b {
		t.Error("millilitres: another law")
	}
	// A bucket heats itself: as a cup it would have gelled later.
	var cup, bucket gelfile.Law
	for to, log := range map[*gelfile.Law]string{&cup: "temp_c,catalyst_pct,gel_min\n20,2,20\n", &bucket: "temp_c,catalyst_pct,mix_kg,gel_min\n20,2,5,20\n"} {
		if err := json.Unmarshal([]byte(law(log)), to); err != nil {
			t.Fatal(err)
		}
	}
	if !(bucket.Gel.Mean[0] > cup.Gel.Mean[0]) {
		t.Errorf("a bucket's gel counts as late as a cup's: %v", fmt.Sprint(bucket.Gel.Mean, cup.Gel.Mean))
	}
}
