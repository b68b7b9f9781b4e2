package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Every command has its page, each flag stands in it, and two runs give the same bytes.
func TestManualPages(t *testing.T) {
	first, again := t.TempDir(), t.TempDir()
	for _, dir := range []string{first, again} {
		if code, _, errs := call(t, "", "manual", "--out", dir); code != exitDone {
			t.Fatalf("%d %s", code, errs)
		}
	}
	pages, err := filepath.Glob(filepath.Join(first, "*", "*"))
	if err != nil || len(pages) < 12 {
		t.Fatalf("%v, %v", err, pages)
	}
	for _, page := range pages {
		raw, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		rel, _ := filepath.Rel(first, page)
		if other, err := os.ReadFile(filepath.Join(again, rel)); err != nil || !bytes.Equal(raw, other) {
			t.Errorf("%s differs from run to run (%v)", rel, err)
		}
	}
	raw, err := os.ReadFile(filepath.Join(first, "man", "gelwright-dose.1"))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{".TH \"GELWRIGHT-DOSE\" 1", ".SH OPTIONS", `\-\-litres`, "(5 when not given)", ".BR gelwright (1) ,", "a test cup of this drum"} {
		if !strings.Contains(string(raw), want) {
			t.Errorf("the page of dose lacks %q", want)
		}
	}
	if _, err := exec.LookPath("groff"); err != nil {
		return // the reader below is not everywhere; what is above is
	}
	out, err := exec.Command("groff", "-man", "-Tutf8", "-ww", "-z", filepath.Join(first, "man", "gelwright-dose.1")).CombinedOutput()
	if err != nil || len(out) > 0 {
		t.Errorf("groff: %v %s", err, out)
	}
}
