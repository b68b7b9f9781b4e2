package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gelwright/desk"
)

func TestCurePrintsAndDraws(t *testing.T) {
	roof := filepath.Join("..", "..", "examples", "r01-garage.yaml")
	dir := t.TempDir()
	code, out, errs := call(t, "", "cure", roof, "--out", dir)
	if code != exitDone {
		t.Fatalf("%d: %s", code, errs)
	}
	for _, want := range []string{"deck main, mat 1:", "deck main, top coat 1:", "walk", "safe from rain", "over-coat until", "full cure", "left standing", "dry sand",
		"\nask: brand not known"} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
	for name, head := range map[string]string{"cure-01.svg": "<svg", "cure-02.svg": "<svg", "cure-01.png": "\x89PNG", "cure-02.png": "\x89PNG", "cure.pdf": "%PDF-",
		"cure.html": "<!DOCTYPE html>"} {
		raw, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil || !bytes.HasPrefix(raw, []byte(head)) {
			t.Errorf("%s: %v, %.20q", name, err, raw)
		}
	}
	_, again, _ := call(t, "", "cure", roof)
	if strings.TrimSuffix(out, "written to "+dir+"\n") != again {
		t.Error("two runs differ")
	}
	code, out, _ = call(t, "", "cure", roof, "--explain")
	if code != exitDone || !strings.Contains(out, "α(t) reaches its threshold") || !strings.Contains(out, "gel points of the catalogue's example") {
		t.Error("the workings are not unfolded to the gel law")
	}
}

func TestCureOfAFrostyDayIsNo(t *testing.T) {
	roof := filepath.Join("..", "..", "examples", "r01-garage.yaml")
	code, out, _ := call(t, "", "cure", roof, "--temp", "2", "--json")
	var a desk.Hardening
	if err := json.Unmarshal([]byte(out), &a); err != nil {
		t.Fatal(err)
	}
	if code != exitNo || len(a.Passes) != 0 || len(a.Refusals) != 2 || len(a.Refusals[0].Remedies) == 0 {
		t.Errorf("%d, %+v", code, a)
	}
	code, out, _ = call(t, "", "cure", roof, "--temp", "20", "--json")
	if err := json.Unmarshal([]byte(out), &a); err != nil || code != exitDone || len(a.Passes) != 2 || len(a.Checks) != 3 || a.Checks[0].Key != "cure.cup" {
		t.Errorf("%d, %v, %+v", code, err, a)
	}
	if code, _, errs := call(t, "", "cure", "nosuch.yaml"); code != exitFaults || !strings.Contains(errs, "no such roof file") {
		t.Errorf("%d, %s", code, errs)
	}
}
