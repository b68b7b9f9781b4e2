package sheet

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"gelwright/scene"
)

var facts = Facts{Server: "https://192.168.7.20:8443/", Fetch: "http://192.168.7.20:8442/", Name: "box roofs 2026-05-12 1a2b", File: "firm.crt",
	Fingerprint: []string{"0A 1B 2C 3D", "01 02 03 04", "05 06 07 08", "09 0A 0B 0C", "0D 0E 0F 10", "11 12 13 14", "15 16 17 18", "19 1A 1B 1C"},
	Domains:     []string{"localhost", "local", "home.arpa", "internal", "lan", "box"},
	Made:        time.Date(2026, 5, 12, 9, 0, 0, 0, time.UTC), Ends: time.Date(2036, 5, 12, 9, 0, 0, 0, time.UTC)}

func program(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).Output()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
	return string(out)
}

// The printed page, read by independent programs (poppler, zbar): two sheets of A4, every figure on it, a code that leads to the certificate.
func TestThePrintedPageIsRead(t *testing.T) {
	raw, err := PDF(facts)
	if err != nil {
		t.Fatal(err)
	}
	again, err := PDF(facts)
	if err != nil || !bytes.Equal(raw, again) {
		t.Errorf("the same facts give other bytes (%v)", err)
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "page.pdf")
	if err := os.WriteFile(path, raw, 0o644); err != nil {
		t.Fatal(err)
	}
	if info := program(t, "pdfinfo", path); !strings.Contains(info, "Pages:           2\n") || !strings.Contains(info, "(A4)") {
		t.Errorf("pdfinfo: %s", info)
	}
	said := strings.Join(strings.Fields(program(t, "pdftotext", "-layout", path, "-")), " ")
	for _, want := range append(facts.Fingerprint, facts.Server, facts.Fetch, facts.Name, "iPhone and iPad", "Android", "Computers", "12 May 2036",
		"Certificate Trust Settings", "CA certificate", "localhost, local, home.arpa, internal, lan or box", "gelwright authority renew") {
		if !strings.Contains(said, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	program(t, "pdftoppm", "-r", "110", "-gray", "-f", "1", "-l", "1", path, filepath.Join(dir, "sheet"))
	pictures, err := filepath.Glob(filepath.Join(dir, "sheet*"))
	if err != nil || len(pictures) != 1 {
		t.Fatalf("%v %v", pictures, err)
	}
	if code := strings.TrimSpace(program(t, "zbarimg", "-q", "--raw", pictures[0])); code != facts.Fetch {
		t.Errorf("the code leads to %q", code)
	}
}

// Nothing runs over the edge of the paper, however long the names are; what cannot fit is said.
func TestNothingRunsOverTheEdge(t *testing.T) {
	long := facts
	name := strings.Repeat("long-name-of-an-office.", 4) + "lan"
	long.Server, long.Fetch = "https://"+name+":8443/", "http://"+name+":8442/"
	for _, f := range []Facts{facts, long} {
		first, second := f.parts()
		one, err := newPaper(1).front(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range append(first, second...) {
			one.part(p)
		}
		for _, item := range one.s.Items {
			if x, ok := item.(scene.Text); ok && x.Across == scene.Start {
				if end := x.At.X + scene.Measure(x.Content, x.HeightMM, x.Bold).WidthMM; end > wideMM-rightMM+0.1 || len(scene.Lacks(x.Content)) > 0 {
					t.Errorf("%q ends at %.1f mm, lacks %q", x.Content, end, scene.Lacks(x.Content))
				}
			}
		}
	}
	long.Domains = append(long.Domains, strings.Repeat(name+" ", 90))
	if _, err := PDF(long); !errors.Is(err, errLong) {
		t.Errorf("names that do not fit: %v", err)
	}
}

// The page for a browser says what the printed one says, is well formed, and asks for nothing from elsewhere.
func TestThePageForABrowser(t *testing.T) {
	for _, fetch := range []string{facts.Fetch, ""} {
		f := facts
		f.Fetch = fetch
		raw, err := HTML(f)
		if err != nil {
			t.Fatal(err)
		}
		d := xml.NewDecoder(bytes.NewReader(raw))
		d.Entity = xml.HTMLEntity
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("not well formed: %v", err)
			}
		}
		text := string(raw)
		for _, want := range append(facts.Fingerprint, facts.Server, "iPhone and iPad", "firm.crt", "12 May 2036") {
			if !strings.Contains(text, want) {
				t.Errorf("the page does not say %q", want)
			}
		}
		if (fetch != "") != strings.Contains(text, "Square code of "+facts.Fetch) || strings.Contains(text, "<script") || strings.Contains(text, "src=") {
			t.Error("the code stands there without an address, or something is fetched")
		}
	}
}
