package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"gelwright/desk"
)

// Yesterday's answer is taken for what stands: under the same forecast nothing moves, under a wet one the plan falls and its reason is told.
func TestAMorningAfterAnother(t *testing.T) {
	const bay = "../../examples/r03-bay.yaml"
	dry, err := os.ReadFile("../../examples/forecast.csv")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	yesterday, wet := filepath.Join(dir, "yesterday.json"), filepath.Join(dir, "wet.csv")
	rain := regexp.MustCompile(`(?m)^(2026-05-1[2-9] .*),0\.0,\d+$`).ReplaceAllString(string(dry), "$1,0.9,90")
	if err := os.WriteFile(wet, []byte(rain), 0o600); err != nil {
		t.Fatal(err)
	}
	flags := []string{garage, bay, "--target", "0.7", "--courses", "12", "--forecast"}
	text, err := say(morningCommand(), append(flags, "../../examples/forecast.csv", "--json")...)
	if err != nil {
		t.Fatal(err)
	}
	var first []morningLine
	if err := json.Unmarshal([]byte(text), &first); err != nil {
		t.Fatal(err)
	}
	for _, x := range first {
		if x.Stands != desk.Unplanned || x.Best == nil || len(x.Starts) != len(x.Best.Slots) || x.Chance != x.Best.P {
			t.Fatalf("%s: %s, %d starts, %g", x.File, x.Stands, len(x.Starts), x.Chance)
		}
	}
	if err := os.WriteFile(yesterday, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		forecast string
		stands   string
		moved    bool
	}{{"../../examples/forecast.csv", "holds", false}, {wet, "not sure enough", true}} {
		text, err := say(morningCommand(), append(flags, c.forecast, "--before", yesterday)...)
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimSpace(text), "\n")
		for i, name := range []string{"Garage at Lower Mill", "Bay window at Quay House"} {
			k := 1 + i
			if c.moved {
				k = 1 + 2*i
			}
			if len(lines) <= k || !strings.HasPrefix(lines[k], name) || !strings.Contains(lines[k], c.stands) || !strings.Contains(lines[k], " → ") {
				t.Fatalf("%s:\n%s", c.forecast, text)
			}
			if c.moved && (!strings.Contains(lines[k], "Weakest: ") || !strings.Contains(lines[k+1], "begin")) {
				t.Fatalf("no reason, or nothing in its place:\n%s", text)
			}
		}
	}
}

// Judged alone, each roof has its line and nothing is looked for in the place of what falls; what stood stands until then.
func TestAMorningThatJudgesAlone(t *testing.T) {
	yesterday := filepath.Join(t.TempDir(), "yesterday.json")
	flags := []string{garage, "--courses", "6", "--forecast", "../../examples/forecast.csv"}
	text, err := say(morningCommand(), append(flags, "--json")...)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(yesterday, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	if text, err = say(morningCommand(), append(flags, "--before", yesterday, "--seek", "nothing", "--target", "0.99")...); err != nil ||
		strings.Count(text, "\n") != 2 || !strings.Contains(text, "not sure enough") {
		t.Fatalf("%v:\n%s", err, text)
	}
	if text, err = say(morningCommand(), append(flags, "--before", yesterday, "--seek", "nothing", "--target", "0.99", "--json")...); err != nil {
		t.Fatal(err)
	}
	var lines []morningLine
	if err := json.Unmarshal([]byte(text), &lines); err != nil {
		t.Fatal(err)
	}
	if x := lines[0]; x.Stands != desk.Falls || x.Best != nil || x.Order || len(x.Starts) == 0 || x.Chance != x.P || x.Was != x.P {
		t.Errorf("%s, order %v, %d starts, %g of %g", x.Stands, x.Order, len(x.Starts), x.Chance, x.Was)
	}
}

// A roof that cannot be answered is told in its line, with the code of a fault; what is no answer of a morning is refused.
func TestAMorningWithFaults(t *testing.T) {
	dir := t.TempDir()
	far := filepath.Join(dir, "far.yaml")
	raw, err := os.ReadFile(garage)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(far, []byte(strings.Replace(string(raw), "site:", "site:\n  time_zone: Europe/Dublin", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	text, err := say(morningCommand(), garage, far, "--courses", "2", "--forecast", "../../examples/forecast.csv")
	if err != nil || strings.Count(text, "not planned before") != 2 {
		t.Fatalf("two zones: %v\n%s", err, text)
	}
	if text, err = say(morningCommand(), garage, "--from", "2031-01-01", "--forecast", "../../examples/forecast.csv"); exitOf(err) != exitFaults ||
		!strings.Contains(text, "not answered") {
		t.Errorf("a day without weather: %v\n%s", err, text)
	}
	if _, err = say(morningCommand(), garage, "--before", garage, "--forecast", "../../examples/forecast.csv"); exitOf(err) != exitFaults {
		t.Errorf("a roof file as yesterday's answer: %v", err)
	}
	if text, err = say(morningCommand(), garage, "--seek", "sure", "--courses", "4", "--target", "0.99", "--forecast",
		"../../examples/forecast.csv"); err != nil || !strings.Contains(text, "nothing holds with 99 %") {
		t.Errorf("a sure programme of four courses: %v\n%s", err, text)
	}
	if _, err = say(morningCommand(), garage, "--seek", "all", "--forecast", "../../examples/forecast.csv"); exitOf(err) != exitUsage {
		t.Errorf("seeking all: %v", err)
	}
	if _, err = say(morningCommand(), garage); exitOf(err) != exitUsage {
		t.Errorf("no weather: %v", err)
	}
}
