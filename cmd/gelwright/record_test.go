package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// A day's first buckets are kept, one is corrected, a copy goes its own way and is joined; what was changed by hand is told.
func TestARecordIsKeptJoinedAndVerified(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(dir, "van"))
	file, copied, joined := filepath.Join(dir, "garage.record"), filepath.Join(dir, "copy.record"), filepath.Join(dir, "joined.record")
	ok := func(args ...string) string {
		t.Helper()
		code, out, errs := call(t, "", args...)
		if code != exitDone {
			t.Fatalf("%q: %d, %s%s", args, code, out, errs)
		}
		return out
	}
	add := func(file, what string, more ...string) string {
		t.Helper()
		out := ok(append([]string{"record", "add", file, what, "--who", "A. Alder"}, more...)...)
		return regexp.MustCompile(`kept as (\S+),`).FindStringSubmatch(out)[1]
	}
	first := add(file, "mixed", "--job", "Garage", "--bucket", "1", "--kg", "1.64", "--ml", "29", "--resin", "14", "--at", "2026-05-12T08:00:00+01:00")
	add(file, "mixed", "--bucket", "2", "--kg", "1.9", "--ml", "29", "--at", "2026-05-12T08:10:00+01:00")
	add(file, "gelled", "--bucket", "1", "--kg", "0.2", "--at", "2026-05-12T08:33:00+01:00")
	gels := filepath.Join(dir, "gels.csv")
	log := ok("record", "gels", file)
	if log != "drum,temp_c,catalyst_ml,mix_kg,gel_min\n,14,3.53659,0.2,33\n" {
		t.Errorf("the log is %q", log)
	}
	if err := os.WriteFile(gels, []byte(log), 0o600); err != nil {
		t.Fatal(err)
	}
	if out := ok("learn", gels); !strings.Contains(out, "1 gel") {
		t.Errorf("learned: %s", out)
	}
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(copied, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	add(file, "corrected", "--of", first, "--bucket", "1", "--kg", "1.66", "--ml", "30")
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(dir, "phone"))
	add(copied, "reading", "--measure", "deck moisture", "--value", "14.5", "--unit", "%")
	if out := ok("record", "join", file, copied, "--out", joined); !strings.Contains(out, "copy.record: 4 events, 1 of them new") {
		t.Error(out)
	}
	ok("plan", filepath.Join("..", "..", "examples", "r01-garage.yaml"), "--out", filepath.Join(dir, "papers"))
	out := ok("record", "show", joined, "--plan", filepath.Join(dir, "papers", "plan.json"))
	for _, want := range []string{"Garage: 5 events; 3.56 kg of resin mixed with 59 ml", "1.66  1.64", "(33 min)", "1.70 (+12 %: stop and look)",
		"deck moisture, 14.5 %", "22 of 24 buckets of the plan are not mixed yet"} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
	add(copied, "note", "--text", "a\x1b[31mred\ndevice x: 8 events")
	add(copied, "mixed", "--bucket", "3", "--kg", "3", "--ml", "570")
	if out := ok("record", "show", copied); !strings.Contains(out, "a␣[31mred␣device x") || !strings.Contains(out, "bucket 3 had 190.0 ml") {
		t.Error(out)
	}
	head := regexp.MustCompile(`the last ([0-9a-f]{64})`).FindStringSubmatch(out)[1]
	if out := ok("verify", joined, "--head", head); !strings.Contains(out, "5 events of \"Garage\" hold together") {
		t.Error(out)
	}
	raw, _ = os.ReadFile(joined)
	if err := os.WriteFile(joined, []byte(strings.Replace(string(raw), `"kg":1.9`, `"kg":1.7`, 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	code, said, _ := call(t, "", "verify", joined, "--head", head)
	if code != exitFaults || !strings.Contains(said, "-2: the event was changed") {
		t.Errorf("%d: %s", code, said)
	}
	before, _ := os.ReadFile(joined)
	if code, _, errs := call(t, "", "record", "add", joined, "laid", "--bucket", "1", "--who", "B"); code != exitFaults || !strings.Contains(errs, "Nothing was added") {
		t.Errorf("%d: %s", code, errs)
	}
	if after, _ := os.ReadFile(joined); string(after) != string(before) {
		t.Error("a record with faults was written over")
	}
	for want, args := range map[string][]string{
		"name the roof with --job":                  {"record", "add", filepath.Join(dir, "new.record"), "laid", "--bucket", "1", "--who", "B"},
		"a record says who says so":                 {"record", "add", file, "laid", "--bucket", "1"},
		"is there already and holds something else": {"record", "join", file, file, "--out", gels},
		"there is no record":                        {"record", "show", filepath.Join(dir, "none.record")},
		"\"ABC\" is no hash":                        {"verify", file, "--head", "ABC"},
		"kg: NaN kg is no bucket":                   {"record", "add", file, "mixed", "--bucket", "3", "--kg", "NaN", "--ml", "30", "--who", "B"},
		"nothing that happens is called \"mixd\"":   {"record", "add", file, "mixd", "--who", "B"},
		"bucket, kg and catalyst_ml are wanted":     {"record", "add", file, "mixed", "--who", "B"},
		"is no time: write 2026-05-12T08:40":        {"record", "add", file, "laid", "--bucket", "1", "--who", "B", "--at", "noon"},
		"is the record of \"Garage\"":               {"record", "add", file, "laid", "--bucket", "1", "--who", "B", "--job", "Shed"},
		"where the joined record is written":        {"record", "join", file, copied},
		"what ended with it was cut off or chan":    {"verify", file, "--head", strings.Repeat("0", 64)},
	} {
		if code, out, errs := call(t, "", args...); code == exitDone || !strings.Contains(out+errs, want) {
			t.Errorf("%q: %d, %s%s", args, code, out, errs)
		}
	}
}
