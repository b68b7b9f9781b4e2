package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gelwright/laying"
)

// No cup of the day has been timed: every command asks for one before anything else that it asks,
// and takes it. With cups of both resins nobody asks any more, and what was asked moves.
func TestEveryCommandAsksForACupAndTakesIt(t *testing.T) {
	csv := hoursFile(t, may, 8, nil)
	cups := []string{"--cup", "29 min at 15 C, 2 %", "--coat-cup", "31 min at 15 C, 2 %"}
	const asks = "test cup of today's resin first"
	for name, args := range map[string][]string{
		"when": {"when", garage, "--forecast", csv},
		"now":  {"now", garage, "--forecast", csv, "--at", "2026-05-12T10:00", "--done", "deck,trims=2026-05-12T09:30"},
	} {
		_, without, _ := call(t, "", args...)
		_, with, _ := call(t, "", append(args, cups...)...)
		if notes := strings.Index(without, asks); notes < 0 || notes > strings.Index(without, "bare boards are taken") || strings.Contains(with, asks) {
			t.Errorf("%s asks for no cup before anything else, or still asks with cups:\n%s\n---\n%s", name, without, with)
		}
	}
	// check and cure have it among what is open, first of what is asked.
	for _, command := range []string{"check", "cure"} {
		if _, out, _ := call(t, "", command, garage); !strings.Contains(out, "brand not known") {
			t.Errorf("%s does not ask for a cup:\n%s", command, out)
		}
		if _, out, _ := call(t, "", append([]string{command, garage}, cups...)...); strings.Contains(out, "brand not known") {
			t.Errorf("%s still asks for a cup that it has:\n%s", command, out)
		}
	}
	slow := append([]string{}, cups...)
	slow[1] = "60 min at 15 C, 2 %"
	doses := map[string]float64{}
	for name, with := range map[string][]string{"without": nil, "usual": cups, "slow": slow} {
		dir := filepath.Join(t.TempDir(), "out")
		if code, _, errs := call(t, "", append([]string{"plan", garage, "--out", dir}, with...)...); code != exitDone {
			t.Fatalf("plan, %s: %d, %s", name, code, errs)
		}
		var p struct {
			Passes []laying.Pass `json:"passes"`
		}
		raw, err := os.ReadFile(filepath.Join(dir, "plan.json"))
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(raw, &p); err != nil {
			t.Fatal(err)
		}
		for _, x := range p.Passes {
			if x.Kind == "mat" {
				doses[name], doses[name+" range"] = x.Plan.Mixes[0].DosePct, x.Plan.Mixes[0].Gel.HighMin/x.Plan.Mixes[0].Gel.LowMin
			}
		}
	}
	if doses["slow"] <= doses["usual"] || doses["usual range"] > 0.7*doses["without range"] {
		t.Errorf("the plan's doses and ranges: %v", doses)
	}
}
